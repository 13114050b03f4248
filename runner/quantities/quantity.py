"""A number with its unit, exact, as it was typed; how files write one, and how it is shown."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from runner.quantities.kinds import TEMPERATURE_DIFFERENCE, TIME, Kind
from runner.quantities.units import Unit, meant_by, unit


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact number in a unit. `typed` is the text it came from, kept for the record."""

    number: Fraction
    unit: Unit
    typed: str
    si: Fraction = field(init=False, repr=False, compare=False)
    """The exact value in SI base units; a temperature is kelvin on the absolute scale."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "si", self.number * self.unit.factor + self.unit.offset)

    @property
    def kind(self) -> Kind:
        return self.unit.kind


@dataclass(frozen=True, slots=True)
class NotAQuantity:
    """Why a text in a file is no quantity: what is wrong, from which character of the text, how many, and the fix."""

    kind: str
    what: str
    fix: str
    offset: int = 0
    length: int = 1


_NUMBER = re.compile(r"[+-]?(?:(?:[0-9]+-)?[0-9]+/[1-9][0-9]*|[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")
_ONE = re.compile(rf"({_NUMBER.pattern}) +(\S+)")
_BOTH = re.compile(r"(.*?\S) +\((.+)\)")
_DURATION = re.compile(r"([0-9]+) h ([0-9]+) min|([0-9]+) min ([0-9]+) s")
MOST_DIGITS = 15


def parse_quantity(text: str) -> Quantity | NotAQuantity:
    """
    The quantity that a file writes: `0.05 mm`, `-18 degC`, `1 h 30 min`, or with the other unit as the source prints
    it, `0.05 mm (0.002 in)`; the two must agree to the last printed digit.
    """
    both = _BOTH.fullmatch(text)
    if not both:
        return _one(text)
    main, other = _one(both[1]), _one(both[2])
    if isinstance(main, NotAQuantity):
        return main
    start = both.start(2)
    if isinstance(other, NotAQuantity):
        return NotAQuantity(other.kind, other.what, other.fix, other.offset + start, other.length)
    if main.kind != other.kind:
        return NotAQuantity(
            "units-disagree",
            f"{both[1]} is {main.kind.words}, {both[2]} is {other.kind.words}",
            "write the same value in both units",
            start,
            len(both[2]),
        )
    apart = abs(main.si - other.si)
    allowed = max(last_digit(both[1]) * main.unit.factor, last_digit(both[2]) * other.unit.factor) / 2
    if apart > allowed:
        in_other = show(main.si, other.unit, last_digit(both[2]))
        return NotAQuantity(
            "units-disagree",
            f"{both[1]} and {both[2]} are not the same: {both[1]} is {in_other}",
            "correct one, or write the unit that the source measured in alone",
            start,
            len(both[2]),
        )
    return Quantity(main.number, main.unit, text)


def _one(text: str) -> Quantity | NotAQuantity:
    duration = _DURATION.fullmatch(text)
    if duration:
        big, small, name = (
            (duration[1], duration[2], "min") if duration[1] else (duration[3], duration[4], "s")
        )
        found = unit(name)
        assert found is not None
        return Quantity(Fraction(int(big) * 60 + int(small)), found, text)
    match = _ONE.fullmatch(text)
    if not match:
        return _why_not(text)
    if sum(sign.isdigit() for sign in match[1]) > MOST_DIGITS:
        return NotAQuantity(
            "bad-number",
            f"a number with more than {MOST_DIGITS} digits",
            "write the digits that were measured",
            0,
            len(match[1]),
        )
    fraction = re.search(r"([0-9]+)/([0-9]+)", match[1])
    if fraction and int(fraction[1]) >= int(fraction[2]):
        what, fix = "a fraction of one or more", "write it as a mixed number, such as 1-3/8 in"
        return NotAQuantity("bad-number", what, fix, 0, len(match[1]))
    found = unit(match[2])
    if found is None:
        return _unknown_unit(match[1], match[2], match.start(2))
    return Quantity(_exact(match[1]), found, text)


def _why_not(text: str) -> NotAQuantity:
    if re.match(r"[+-]?[0-9]+,[0-9]", text):
        return NotAQuantity(
            "decimal-comma",
            "a comma in a number",
            f"write {text.replace(',', '.', 1)}; procedures use the point, whatever the bench types",
            text.index(","),
            1,
        )
    number = _NUMBER.match(text)
    if number and number.end() == len(text):
        return NotAQuantity(
            "unit-missing", f"{text} of what?", f"add the unit, such as {text} mm", 0, len(text)
        )
    if number and (word := text[number.end() :].strip()):
        symbol = unit(word) or unit(meant_by(word) or "")
        if symbol:
            return NotAQuantity(
                "bad-number",
                "a number and its unit stand apart by one blank",
                f"write {number[0]} {symbol.symbol}",
                0,
                len(text),
            )
        if re.fullmatch(r"\S+", word):
            return _unknown_unit(number[0], word, text.index(word, number.end()))
    return NotAQuantity(
        "bad-number", f"'{text}' is not a number with its unit", "write it like 0.05 mm", 0, max(1, len(text))
    )


def _unknown_unit(number: str, word: str, offset: int) -> NotAQuantity:
    meant = meant_by(word)
    fix = (
        f"write {number} {meant}"
        if meant
        else "units are mm, um, in, thou, degC, K, min, N*m and others; the README lists them"
    )
    return NotAQuantity("unknown-unit", f"'{word}' is not one of the shop's units", fix, offset, len(word))


def last_digit(text: str) -> Fraction:
    """What one step of the last digit of a written number is worth: 0.050 gives 1/1000, 12 gives 1, 1/64 gives 1/64."""
    number = _NUMBER.match(text.strip())
    if number and "/" in number[0]:
        return Fraction(1, int(number[0].partition("/")[2]))
    digits = number[0].partition(".")[2] if number else ""
    return Fraction(1, 10 ** len(digits))


def _exact(number: str) -> Fraction:
    """The value of a number as files write it: 0.050, -18, 1/64, 1-3/8."""
    whole, dash, part = number.rpartition("-") if "/" in number else ("", "", number)
    if dash and whole:
        return Fraction(whole) + (-1 if whole.startswith("-") else 1) * Fraction(part)
    return Fraction(dash + part)


def decimals_of(step: Fraction) -> int:
    """How many digits after the point a step needs to be written: 0.005 needs 3."""
    for digits in range(12):
        if (step * 10**digits).denominator == 1:
            return digits
    return 12


def show_number(si: Fraction | float, unit: Unit, step: Fraction) -> str:
    """A value in a unit, to the nearest `step` (in that unit), without the unit. Half a step rounds to the even one."""
    if isinstance(si, float):
        si = Fraction(si)
    steps = round((si - unit.offset) / unit.factor / step)
    return f"{_decimal(steps * step):.{decimals_of(step)}f}"


def show(si: Fraction | float, unit: Unit, step: Fraction) -> str:
    """A value with its unit, to the nearest `step`: '0.140 mm'."""
    return f"{show_number(si, unit, step)} {unit.symbol}"


def show_apart(si: Fraction | float, other: Fraction | float, unit: Unit, step: Fraction) -> tuple[str, str]:
    """Two values with as many digits as it takes to tell them apart, so that '0.0381 is over 0.0381' is never said."""
    for _ in range(9):
        one, two = show(si, unit, step), show(other, unit, step)
        if one != two:
            break
        step /= 10
    return one, two


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def fine_step(unit: Unit) -> Fraction:
    """A step to show a value of this unit with when nothing says how fine: about a micrometre, a tenth of a kelvin."""
    return {
        "m": Fraction(1, 10**6),
        "mm": Fraction(1, 1000),
        "um": Fraction(1, 10),
        "in": Fraction(1, 10**5),
        "thou": Fraction(1, 100),
    }.get(
        unit.symbol,
        Fraction(1, 1000)
        if unit.kind not in (TIME, TEMPERATURE_DIFFERENCE) and not unit.kind.point
        else Fraction(1, 10),
    )
