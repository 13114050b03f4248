"""What the docstrings say and what the signatures hold is one and the same; what lies outside is refused in words."""

from __future__ import annotations

import doctest
import inspect
import math
import re
import sys
from collections import Counter

import pytest

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.described import described
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities import kinds
from runner.quantities.kinds import Kind

PARAMETER = re.compile(
    r"^ {0,4}(?P<name>\w+) : one [^,\[]+, (?P<domain>any|> (?P<above>\S+)(?: to (?P<most>\S+))?) \[(?P<unit>\S+)\]$"
)
RETURNS = re.compile(r"^ {0,4}Returns one [^\[]*\[(?P<unit>\S+)\]", re.MULTILINE)

UNITS = {
    "1": kinds.NUMBER,
    "m": kinds.LENGTH,
    "kg": kinds.MASS,
    "s": kinds.TIME,
    "K": kinds.TEMPERATURE_DIFFERENCE,
    "rad": kinds.ANGLE,
    "N": kinds.FORCE,
    "Pa": kinds.PRESSURE,
    "J": kinds.TORQUE,
    "W": kinds.TORQUE.over(kinds.TIME),
    "mol": kinds.NUMBER,
}

every_calculation = pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=list(CALCULATIONS))


def _doc(calculation: Signature) -> str:
    return described(calculation)


def _parameters(calculation: Signature) -> list[re.Match[str]]:
    return [found for line in _doc(calculation).splitlines() if (found := PARAMETER.match(line))]


def _measured_in(unit: str) -> Kind:
    """The kind that a unit in brackets measures, worked from left to right: 'N/m', 'm**3/s'."""
    kind = kinds.NUMBER
    for sign, name, power in re.findall(r"([*/]?)(\w+)(?:\*\*(\d))?", unit):
        factor = UNITS[name].to_the(int(power or 1))
        kind = kind.over(factor) if sign == "/" else kind.times(factor)
    return kind


@every_calculation
def test_each_parameter_is_described_in_the_order_it_is_given(calculation: Signature) -> None:
    named = [argument.name for argument in calculation.arguments]
    assert [found["name"] for found in _parameters(calculation)] == named
    assert list(inspect.signature(calculation.function).parameters) == named


@every_calculation
def test_the_unit_in_brackets_is_the_unit_of_the_kind(calculation: Signature) -> None:
    for found, argument in zip(_parameters(calculation), calculation.arguments, strict=True):
        assert _measured_in(found["unit"]) == Kind(argument.kind.exponents), argument.name
    returned = RETURNS.search(_doc(calculation))
    assert returned is not None
    assert _measured_in(returned["unit"]) == Kind(calculation.gives.exponents)


@every_calculation
def test_the_domain_described_is_the_domain_held(calculation: Signature) -> None:
    for found, argument in zip(_parameters(calculation), calculation.arguments, strict=True):
        above = float(found["above"]) if found["above"] else -math.inf
        most = float(found["most"]) if found["most"] else math.inf
        assert above == argument.above, argument.name
        assert math.isclose(most, argument.at_most, rel_tol=1e-8), argument.name


@every_calculation
def test_every_calculation_says_its_source_its_refusals_and_shows_an_example(calculation: Signature) -> None:
    doc = _doc(calculation)
    assert re.search(r"^ {0,4}Source: \S", doc, re.MULTILINE)
    assert re.search(r"^ {0,4}Refuses \(OutOfDomain\) \S", doc, re.MULTILINE)
    assert doctest.DocTestParser().get_examples(doc)


def test_every_calculation_has_a_name_of_its_own() -> None:
    assert all(name == calculation.name for name, calculation in CALCULATIONS.items())
    assert set(CALCULATIONS) >= {
        "at_20C",
        "reading_at",
        "interference",
        "expanded",
        "joining_clearance",
        "lowest_head_temperature",
        "highest_ring_temperature",
        "it_grade",
    }
    functions = [calculation.function for calculation in CALCULATIONS.values()]
    assert len(set(functions)) == len(functions)


def _middle(argument: Argument) -> float:
    """A value well inside the argument's bounds."""
    if math.isinf(argument.above):
        return 1.0 if math.isinf(argument.at_most) else argument.at_most - 1.0
    return argument.above + 1.0 if math.isinf(argument.at_most) else (argument.above + argument.at_most) / 2


@every_calculation
@pytest.mark.parametrize("amiss", [math.nan, math.inf, -math.inf])
def test_no_number_and_an_endless_number_are_refused_by_name(calculation: Signature, amiss: float) -> None:
    usual = [_middle(argument) for argument in calculation.arguments]
    for place, argument in enumerate(calculation.arguments):
        with pytest.raises(OutOfDomain) as refusal:
            calculation.work(*usual[:place], amiss, *usual[place + 1 :])
        _is_one_plain_sentence(str(refusal.value), argument.words, calculation.name)


@every_calculation
def test_a_value_on_or_below_its_lower_bound_is_refused_by_name(calculation: Signature) -> None:
    usual = [_middle(argument) for argument in calculation.arguments]
    for place, argument in enumerate(calculation.arguments):
        for below in (argument.above, argument.above - 1.0):
            if math.isinf(below):
                continue
            with pytest.raises(OutOfDomain) as refusal:
                calculation.work(*usual[:place], below, *usual[place + 1 :])
            _is_one_plain_sentence(str(refusal.value), argument.words, calculation.name)


@every_calculation
def test_a_value_over_its_upper_bound_is_refused_by_name(calculation: Signature) -> None:
    usual = [_middle(argument) for argument in calculation.arguments]
    for place, argument in enumerate(calculation.arguments):
        if math.isinf(argument.at_most):
            continue
        with pytest.raises(OutOfDomain) as refusal:
            calculation.work(*usual[:place], argument.at_most * 1.01, *usual[place + 1 :])
        _is_one_plain_sentence(str(refusal.value), argument.words, calculation.name)


def _is_one_plain_sentence(sentence: str, words: str, name: str) -> None:
    assert words in sentence
    assert "_" not in sentence.replace(name, "")
    assert not sentence.endswith(".")
    assert "\n" not in sentence
    assert not re.search(r"\b(error|invalid|please|float|nan|inf|ValueError)\b", sentence, re.IGNORECASE)


def test_refusals_speak_in_the_units_of_the_bench() -> None:
    def refusal(name: str, *values: float) -> str:
        with pytest.raises(OutOfDomain) as caught:
            CALCULATIONS[name].work(*values)
        return str(caught.value)

    assert refusal("interference", 0.042, -0.003) == "a bore of -3 mm is not a size"
    assert refusal("interference", 0.0, 0.042) == "a ring OD of 0 mm is not a size"
    assert refusal("expanded", 0.1, 1e-5, 0.0) == (
        "a temperature of -273.15 degC is not above absolute zero, -273.15 degC"
    )
    assert refusal("expanded", 0.1, 11.5, 300.0) == (
        "an expansion of 11500000 um/m/K is too high for expanded: the most is 1000 um/m/K"
    )
    assert (
        refusal("it_grade", 0.6, 7.0)
        == "a nominal size of 600 mm is too high for it_grade: the most is 500 mm"
    )


def test_a_result_that_is_no_number_is_refused_with_what_was_given() -> None:
    def over(length: float) -> float:
        return length * 1e308 * 1e308

    def nothing(length: float) -> float:
        return 1 / (length - 1)

    for name, function in (("over", over), ("nothing", nothing)):
        calculation = Signature(name, (a_size("wall"),), kinds.LENGTH, function)
        with pytest.raises(OutOfDomain, match=f"^{name} has no answer for wall 1000 mm$"):
            calculation.work(1.0)


def test_a_calculation_given_too_few_values_is_not_quietly_worked() -> None:
    with pytest.raises(TypeError, match="missing"):
        CALCULATIONS["interference"].work(0.042)


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (0.0425, kinds.LENGTH, "42.5 mm"),
        (255.15, kinds.TEMPERATURE, "-18 degC"),
        (11.5e-6, kinds.EXPANSION, "11.5 um/m/K"),
        (-0.0, kinds.NUMBER, "0"),
        (5e-5, kinds.VOLUME, "50 cc"),
        (1.25e305, kinds.LENGTH, "1.25e+308 mm"),
        (1.25e306, kinds.LENGTH, "1.25e+309 mm"),
        (-1e308, kinds.EXPANSION, "-1e+314 um/m/K"),
    ],
)
def test_values_are_shown_as_a_machinist_reads_them(value: float, kind: kinds.Kind, text: str) -> None:
    assert shown(value, kind) == text


def _said_once(module: str) -> list[str]:
    lines = (inspect.getdoc(sys.modules[module]) or "").splitlines()
    return [found["name"] for line in lines if (found := PARAMETER.match(line))]


def test_what_a_module_says_once_is_told_with_each_of_its_calculations() -> None:
    told = described(CALCULATIONS["useful_limit_low"])
    assert "ring_od" in _said_once("runner.engineering.driving")
    assert "ring_od : one length, > 0 [m]\n    At 20 °C." in told
    assert told.index("clearance :") < told.index("ring_od :") < told.index("cooling_doubt :")
    assert told.index("cooling_doubt :") < told.index("Returns one time")


def test_what_a_function_says_of_a_parameter_itself_goes_before_what_its_module_says() -> None:
    for calculation in CALCULATIONS.values():
        own = [
            found[0]
            for line in (inspect.getdoc(calculation.function) or "").splitlines()
            if (found := PARAMETER.match(line))
        ]
        assert all(line in _doc(calculation) for line in own), calculation.name


def test_a_module_says_once_only_what_two_of_its_calculations_take() -> None:
    taken: Counter[tuple[str, str]] = Counter()
    for calculation in CALCULATIONS.values():
        taken.update((calculation.function.__module__, one.name) for one in calculation.arguments)
    for module in {calculation.function.__module__ for calculation in CALCULATIONS.values()}:
        for name in _said_once(module):
            assert taken[module, name] >= 2, f"{module} says {name}, which {taken[module, name]} take"
