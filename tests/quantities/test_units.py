"""The shop's list of units, held against a list that others keep; and the words for kinds."""

from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest

from runner.quantities import kinds
from runner.quantities.kinds import Kind
from runner.quantities.units import SYMBOLS, at_the_bench, meant_by, of_kind, unit, usual

ELSEWHERE = {
    "m": "meter", "cm": "centimeter", "mm": "millimeter", "um": "micrometer", "in": "inch", "thou": "thou", "ft": "foot",
    "J": "joule", "kJ": "kilojoule", "W": "watt",
    "deg": "degree", "kg": "kilogram", "g": "gram", "s": "second", "min": "minute", "h": "hour", "K": "kelvin",
    "N": "newton", "kN": "kilonewton", "lbf": "force_pound", "Pa": "pascal", "kPa": "kilopascal",
    "MPa": "megapascal", "GPa": "gigapascal", "bar": "bar", "mbar": "millibar", "psi": "psi",
    "cc": "cubic_centimeter", "l": "liter", "percent": "percent", "N*m": "newton * meter",
    "um/m/K": "micrometer / meter / kelvin", "mm/min": "millimeter / minute", "N/mm": "newton / millimeter",
    "g/cc": "gram / cubic_centimeter", "mm*mm": "millimeter ** 2",
}  # fmt: skip
"""The shop's symbols by the names of pint's default registry (pint 0.25, default_en.txt), which others maintain."""
OURS_ALONE = {"rpm", "HBW", "times", "time", "mol"}
"""Counts (a mole among them) and a hardness number that need no list; rpm is a rate of turns here and an angle a second there."""


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize("symbol", [one for one in ELSEWHERE if unit(one)])
def test_each_unit_is_worth_what_a_general_list_says(symbol: str, registry: pint.UnitRegistry) -> None:
    found = unit(symbol)
    assert found
    theirs = registry.Quantity(1, ELSEWHERE[symbol]).to_base_units()
    assert float(found.factor) == pytest.approx(float(theirs.magnitude), rel=1e-14)
    dimensions = dict(theirs.dimensionality)
    wanted = [int(dimensions.get(f"[{name}]", 0)) for name in kinds.BASES[:4]]
    assert list(found.kind.exponents[:4]) == wanted


@pytest.mark.parametrize(("symbol", "theirs"), [("degC", "degC"), ("degF", "degF")])
@pytest.mark.parametrize("number", [-40, -18, 0, 20, 200])
def test_a_temperature_is_where_a_general_list_puts_it(
    symbol: str, theirs: str, number: int, registry: pint.UnitRegistry
) -> None:
    found = unit(symbol)
    assert found and found.kind == kinds.TEMPERATURE
    kelvin = registry.Quantity(number, theirs).to("kelvin").magnitude
    assert float(number * found.factor + found.offset) == pytest.approx(kelvin, rel=1e-14)


def test_every_unit_on_the_list_was_held_against_the_other_list() -> None:
    assert set(SYMBOLS) <= {*ELSEWHERE, "degC", "degF"} | OURS_ALONE
    assert len([one for one in ELSEWHERE if unit(one)]) > 30


def test_one_turn_a_minute_is_a_sixtieth_of_a_turn_a_second() -> None:
    found = unit("rpm")
    assert found and found.factor == Fraction(1, 60) and found.kind == kinds.FREQUENCY


def test_an_inch_and_its_thousandths_are_exact() -> None:
    inch, thou, mm = unit("in"), unit("thou"), unit("mm")
    assert inch and thou and mm
    assert inch.factor == mm.factor * Fraction("25.4")
    assert thou.factor * 1000 == inch.factor


def test_an_angle_is_as_good_as_a_float_can_tell() -> None:
    found = unit("deg")
    assert found and float(found.factor) == math.pi / 180


@pytest.mark.parametrize(
    "word",
    ["Nm", "MM", "Mm", "Ra", "mil", "inch", "mms", "inchs", "pt", "c", "C", "", "mm ", "mm/", "/mm", "mm//s", "mm2",
     "mm^2", "mm**2", "K/degC", "degC/min", "degC*m", "m/m/m/m/m/m/m/m/m/m/m", "mm" * 30, "µm", "1/s", "__import__"],
)  # fmt: skip
def test_what_is_not_on_the_list_is_no_unit(word: str) -> None:
    assert unit(word) is None


@pytest.mark.parametrize(
    ("word", "symbol"),
    [
        ("Nm", "N*m"),
        ("°C", "degC"),
        ("inch", "in"),
        ("INCHES", "in"),
        ("mil", "thou"),
        ("MM", "mm"),
        ("µm", "um"),
        ("%", "percent"),
    ],
)
def test_another_spelling_is_known_for_what_it_means(word: str, symbol: str) -> None:
    assert meant_by(word) == symbol
    assert unit(symbol)


@pytest.mark.parametrize(
    ("word", "symbol"),
    [("°C", "degC"), ('"', "in"), ("%", "percent"), ("mm", "mm"), ("Nm", None), ("inch", None)],
)
def test_only_signs_that_can_mean_one_thing_are_taken_at_the_bench(word: str, symbol: str | None) -> None:
    found = at_the_bench(word)
    assert found == (unit(symbol) if symbol else None)


NAMED = [kind for kind in vars(kinds).values() if isinstance(kind, Kind)]


def test_every_kind_has_words_of_its_own_with_an_article() -> None:
    said = [kind.words for kind in NAMED]
    assert len(set(said)) == len(said) > 10
    assert all(words.startswith(("a ", "an ")) for words in said)


def test_a_kind_without_a_name_is_told_by_what_it_is_made_of() -> None:
    assert kinds.LENGTH.over(kinds.TIME).over(kinds.TIME).words == "a value in length time^-2"
    assert kinds.LENGTH.times(kinds.LENGTH) == kinds.AREA
    assert kinds.LENGTH.to_the(3) == kinds.VOLUME
    assert kinds.FORCE.over(kinds.AREA) == kinds.PRESSURE


def test_a_temperature_and_a_difference_are_two_kinds() -> None:
    assert kinds.TEMPERATURE != kinds.TEMPERATURE_DIFFERENCE
    assert kinds.TEMPERATURE.exponents == kinds.TEMPERATURE_DIFFERENCE.exponents
    assert kinds.TEMPERATURE.words == "a temperature"
    assert kinds.TEMPERATURE_DIFFERENCE.words == "a difference of two temperatures"


def test_the_usual_unit_of_a_kind_is_of_that_kind() -> None:
    for kind in NAMED:
        found = unit(usual(kind))
        assert found and found.kind == kind, kind.words
    assert of_kind(kinds.TEMPERATURE) == "degC, degF"
