"""The shop's list of units and what each is worth. The only door to pint, which works the factors out exactly.

A unit is on this list or it is no unit: parsing is not enough (`Nm` is a yarn count elsewhere, `mil` an angle).
Compound units are listed ones joined by `/` or `*` without blanks: `um/m/K`, `N*m`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

import pint

from runner.quantities.kinds import BASES, NUMBER, TEMPERATURE, Kind


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of the shop: SI value = number * factor + offset, both exact."""

    symbol: str
    kind: Kind
    factor: Fraction
    offset: Fraction = Fraction(0)


_DEFINITIONS = """
metre = [length]
kilogram = [mass]
second = [time]
kelvin = [temperature]; offset: 0
radian = [angle]
newton = kilogram * metre / second ** 2
pascal = newton / metre ** 2
number = []
"""
# Factors in the base units above, exact by definition: the inch (25.4 mm), the pound (0.45359237 kg) and standard
# gravity (9.80665 m/s2) by international agreement; pi to 40 digits.
_PI = "3.141592653589793238462643383279502884197"
_POUND_FORCE = "0.45359237 * 9.80665 newton"
_SHOP_UNITS = {
    "m": "metre",
    "cm": "0.01 metre",
    "mm": "0.001 metre",
    "um": "0.000001 metre",
    "in": "0.0254 metre",
    "ft": "0.3048 metre",
    "thou": "0.0000254 metre",
    "deg": f"{_PI} / 180 radian",
    "kg": "kilogram",
    "g": "0.001 kilogram",
    "s": "second",
    "min": "60 second",
    "h": "3600 second",
    "K": "kelvin",
    "N": "newton",
    "kN": "1000 newton",
    "lbf": _POUND_FORCE,
    "Pa": "pascal",
    "kPa": "1000 pascal",
    "MPa": "1000000 pascal",
    "GPa": "1000000000 pascal",
    "bar": "100000 pascal",
    "mbar": "100 pascal",
    "J": "newton * metre",
    "kJ": "1000 newton * metre",
    "W": "newton * metre / second",
    "mol": "number",
    "psi": f"{_POUND_FORCE} / 0.0254 ** 2 / metre ** 2",
    "cc": "0.000001 metre ** 3",
    "l": "0.001 metre ** 3",
    "rpm": "1 / 60 / second",
    "HBW": "number",
    "times": "number",
    "time": "number",
    "percent": "0.01 number",
}
_SCALES = {
    "degC": (Fraction(1), Fraction("273.15")),
    "degF": (Fraction(5, 9), Fraction("459.67") * Fraction(5, 9)),
}
# Temperatures on their scales: the only units with an offset, kept apart so that no product can hold one.

SYMBOLS = tuple(sorted([*_SHOP_UNITS, *_SCALES]))

_SPELLINGS = {
    "Nm": "N*m", "nm": "N*m", "N.m": "N*m", "newton metres": "N*m", "°C": "degC", "C": "degC", "°F": "degF", "F": "degF",
    "inch": "in", "inches": "in", '"': "in", "mil": "thou", "mils": "thou", "%": "percent", "°": "deg", "micron": "um",
    "microns": "um", "µm": "um", "μm": "um", "sec": "s", "secs": "s", "seconds": "s", "second": "s", "mins": "min",
    "minutes": "min", "minute": "min", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "ml": "cc", "L": "l", "HB": "HBW",
    "MM": "mm", "Mm": "mm", "x": "times",
}  # fmt: skip
# How people write a unit that has another name here; offered as the fix, and at the bench taken as meant where unmistakable.
_MEANT_AT_THE_BENCH = ("°C", "°F", '"', "%", "°", "µm", "μm")


@cache
def _registry() -> Any:
    # Built late and once: pint costs more to load than the rest of the program's core together.
    registry: Any = pint.UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry


@cache
def _listed(symbol: str) -> Unit | None:
    if symbol in _SCALES:
        factor, offset = _SCALES[symbol]
        return Unit(symbol, TEMPERATURE, factor, offset)
    if symbol not in _SHOP_UNITS:
        return None
    quantity = _registry().parse_expression(_SHOP_UNITS[symbol])
    if not hasattr(quantity, "to_base_units"):
        return Unit(symbol, NUMBER, Fraction(quantity))
    quantity = quantity.to_base_units()
    dimensions = {name.strip("[]"): int(power) for name, power in quantity.dimensionality.items()}
    a, b, c, d, e = (dimensions.get(base, 0) for base in BASES)
    return Unit(symbol, Kind((a, b, c, d, e)), Fraction(quantity.magnitude))


@cache
def unit(symbol: str) -> Unit | None:
    """The unit written so, listed or joined from listed ones (`um/m/K`), or None if it is not one of the shop's."""
    if len(symbol) > 40 or not re.fullmatch(r"[A-Za-z]+(?:[/*][A-Za-z]+)*", symbol):
        return None
    words = re.split(r"([/*])", symbol)
    whole = _listed(words[0])
    if whole is None or len(words) == 1:
        return whole
    if len(words) > 9 or whole.kind.point:
        return None
    factor, kind = whole.factor, whole.kind
    for sign, word in zip(words[1::2], words[2::2], strict=True):
        part = _listed(word)
        if part is None or part.kind.point:
            return None
        factor = factor * part.factor if sign == "*" else factor / part.factor
        kind = kind.times(part.kind) if sign == "*" else kind.over(part.kind)
    return Unit(symbol, kind, factor)


def meant_by(word: str) -> str | None:
    """The shop's symbol for a unit that somebody wrote another way (`Nm`, `°C`, `inch`), or None."""
    return _SPELLINGS.get(word) or _SPELLINGS.get(word.lower())


def at_the_bench(word: str) -> Unit | None:
    """The unit a person typed beside a number: the shop's symbols, and signs that can mean only one thing."""
    return unit(_SPELLINGS[word]) if word in _MEANT_AT_THE_BENCH else unit(word)


def of_kind(kind: Kind) -> str:
    """The shop's units of one kind, for a sentence: 'mm, um, in'. Empty where only joined units have it."""
    return ", ".join(symbol for symbol in SYMBOLS if (listed := _listed(symbol)) and listed.kind == kind)


def usual(kind: Kind) -> str:
    """The unit most used here for a kind, to show how a value of it is written."""
    return next((symbol for symbol in _USUAL if (found := unit(symbol)) and found.kind == kind), "mm")


_USUAL = (
    "mm",
    "degC",
    "K",
    "min",
    "cc",
    "N*m",
    "MPa",
    "um/m/K",
    "deg",
    "g",
    "N",
    "rpm",
    "mm/min",
    "mm*mm",
    "g/cc",
    "J/kg/K",
    "W/m/K",
    "W/m/m/K",
    "W/K",
    "percent",
)
