"""
Between which two values a formula must come out when all its names lie between two values: interval arithmetic.

The answer may be wider than the truth and is never narrower. What it can't bound is None, and then nothing is known.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from runner.formula.check import arrange
from runner.formula.tree import (
    Binary,
    Call,
    Comparison,
    Conditional,
    FormulaProblem,
    Is,
    Logic,
    Name,
    Negative,
    Number,
    Tree,
)

CLOSE = 1e-9
"""Parts of a value's size: nearer than this two values are one, as where a worked value meets its limit."""
_ROUNDING = 1e-13
"""Parts of its size by which a bound is pushed out, for what a float may lose in one working: 2e-16, with room."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """The lowest and the highest a value can be, in SI; either may be endless."""

    low: float
    high: float

    def is_below(self, other: Bounds) -> bool:
        """Whether it is certainly less than the other, whatever the two are."""
        return self.high < other.low - CLOSE * max(abs(self.high), abs(other.low))

    def is_not_above(self, other: Bounds) -> bool:
        """Whether it is certainly no more than the other; as near as makes no difference counts."""
        return self.high <= other.low + CLOSE * max(abs(self.high), abs(other.low))


Known = Callable[[Name], Bounds | None]
"""The bounds of a name; for a group those that hold every value in it."""

ANYTHING = Bounds(-math.inf, math.inf)
NOT_BELOW_NIL = Bounds(0.0, math.inf)


def bounds(tree: Tree, known: Known) -> Bounds | None:
    """The bounds of a checked formula in SI, or None where they can't be told."""
    try:
        found = _bounds(tree, known)
    except (OverflowError, ZeroDivisionError, ValueError):
        return None
    if found is None or math.isnan(found.low) or math.isnan(found.high):
        return None
    return found


def truth(tree: Tree, known: Known) -> bool | None:
    """Whether a condition always holds (True) or never does (False); None where it may or can't be told."""
    match tree:
        case Comparison(sign, left, right):
            return _compared(sign, bounds(left, known), bounds(right, known))
        case Logic("not", conditions):
            inner = truth(conditions[0], known)
            return None if inner is None else not inner
        case Logic(word, conditions):
            decides = word == "or"
            parts = [truth(one, known) for one in conditions]
            if decides in parts:
                return decides
            return None if None in parts else not decides
        case _:
            return None


def _compared(sign: str, left: Bounds | None, right: Bounds | None) -> bool | None:
    if left is None or right is None:
        return None
    if sign in (">", ">="):
        sign, left, right = {">": "<", ">=": "<="}[sign], right, left
    if left.is_below(right):
        return True
    if right.is_below(left):
        return False
    return None


def _bounds(tree: Tree, known: Known) -> Bounds | None:
    match tree:
        case Number(quantity, plain):
            value = float(quantity.si) if quantity else float(plain)
            return Bounds(value, value)
        case Name():
            return known(tree)
        case Negative(Number(quantity)) if quantity and quantity.kind.point:
            value = float(quantity.unit.offset * 2 - quantity.si)
            return Bounds(value, value)
        case Negative(value):
            inner = bounds(value, known)
            return Bounds(-inner.high, -inner.low) if inner else None
        case Binary(sign="^", left=left, right=right):
            return _power(bounds(left, known), right)
        case Binary(sign=sign, left=left, right=right):
            one, two = bounds(left, known), bounds(right, known)
            return _out(_OPERATORS[sign](one, two)) if one and two else None
        case Conditional(value, condition, other):
            holds = truth(condition, known)
            taken = [value] if holds else [other] if holds is False else [value, other]
            return _hull([bounds(one, known) for one in taken])
        case Call():
            return _call(tree, known)
        case Comparison() | Is() | Logic():
            return None


def _out(found: Bounds | None) -> Bounds | None:
    """A little wider, so that what floats lose never makes it too narrow."""
    if found is None:
        return None
    return Bounds(found.low - _ROUNDING * abs(found.low), found.high + _ROUNDING * abs(found.high))


def _hull(several: Sequence[Bounds | None]) -> Bounds | None:
    held = [one for one in several if one]
    if len(held) < len(several) or not held:
        return None
    return Bounds(min(one.low for one in held), max(one.high for one in held))


def _corners(work: Callable[[float, float], float], one: Bounds, two: Bounds) -> Bounds:
    found = [work(a, b) for a in (one.low, one.high) for b in (two.low, two.high)]
    return Bounds(min(found), max(found))


def _times(a: float, b: float) -> float:
    return (
        0.0 if not (a and b) else a * b
    )  # nothing times what has no end is nothing: the end itself is never reached


def _divided(one: Bounds, two: Bounds) -> Bounds | None:
    if two.low <= 0 <= two.high:
        return None
    return _corners(_times, one, Bounds(1 / two.high, 1 / two.low))


_OPERATORS: Mapping[str, Callable[[Bounds, Bounds], Bounds | None]] = {
    "+": lambda one, two: Bounds(one.low + two.low, one.high + two.high),
    "-": lambda one, two: Bounds(one.low - two.high, one.high - two.low),
    "*": lambda one, two: _corners(_times, one, two),
    "/": _divided,
}


def _power(base: Bounds | None, power: Tree) -> Bounds | None:
    inner = power.value if isinstance(power, Negative) else power
    if base is None or not isinstance(inner, Number):
        return None
    exponent = -int(inner.plain) if isinstance(power, Negative) else int(inner.plain)
    if exponent < 0 and base.low <= 0 <= base.high:
        return None
    ends = [base.low**exponent, base.high**exponent]
    if exponent > 0 and exponent % 2 == 0 and base.low < 0 < base.high:
        ends.append(0.0)
    return _out(Bounds(min(ends), max(ends)))


def _call(tree: Call, known: Known) -> Bounds | None:
    if tree.function in CALCULATIONS:
        return _calculation(tree, known)
    several = [bounds(argument, known) for _, argument in tree.arguments]
    if None in several or not several:
        return None
    held = [one for one in several if one]
    name = tree.function
    if name in ("low", "high"):  # the value and its U, which is not known here
        return Bounds(-math.inf, held[0].high) if name == "low" else Bounds(held[0].low, math.inf)
    if name in _OF_ONE:
        return _out(_OF_ONE[name](held[0]))
    return _out(_of_all(name, held))


def _of_all(name: str, held: Sequence[Bounds]) -> Bounds | None:
    """Of groups and values; a group's bounds hold every value in it."""
    whole = Bounds(min(one.low for one in held), max(one.high for one in held))
    match name:
        case "min":
            return Bounds(whole.low, min(one.high for one in held))
        case "max":
            return Bounds(max(one.low for one in held), whole.high)
        case "mean":
            return whole
        case "spread" | "ovality":
            return Bounds(0.0, whole.high - whole.low)
        case "taper":
            return Bounds(whole.low - whole.high, whole.high - whole.low)
        case "alike":
            return Bounds(1.0, math.inf)
        case _:
            return None


def _size(one: Bounds) -> Bounds:
    ends = (abs(one.low), abs(one.high))
    return Bounds(0.0 if one.low <= 0 <= one.high else min(ends), max(ends))


def _root(one: Bounds) -> Bounds | None:
    return Bounds(math.sqrt(max(0.0, one.low)), math.sqrt(one.high)) if one.high >= 0 else None


def _logarithm(one: Bounds) -> Bounds | None:
    if one.high <= 0:
        return None
    return Bounds(math.log(one.low) if one.low > 0 else -math.inf, math.log(one.high))


_OF_ONE: Mapping[str, Callable[[Bounds], Bounds | None]] = {
    "abs": _size,
    "sqrt": _root,
    "ln": _logarithm,
    "exp": lambda one: Bounds(math.exp(one.low), math.exp(one.high)),
    "sin": lambda one: Bounds(-1.0, 1.0),
    "cos": lambda one: Bounds(-1.0, 1.0),
}

BETWEEN_CORNERS = frozenset({"at_20C", "reading_at", "interference", "expanded", "joining_clearance"})
"""
Calculations that in each input alone only rise or only fall, whatever the others are: sums and products of `1 + expansion
* rise`, and quotients of them. Their smallest and largest value in a box lie in its corners.
"""


def _calculation(tree: Call, known: Known) -> Bounds | None:
    if tree.function not in BETWEEN_CORNERS:
        return None
    signature = CALCULATIONS[tree.function]
    inputs = arrange(tree, signature)
    if isinstance(inputs, FormulaProblem):
        return None
    several = [bounds(one, known) for one in inputs]
    ends = [tuple(dict.fromkeys((one.low, one.high))) for one in several if one]
    if len(ends) < len(several):
        return None
    try:
        found = [signature.work(*corner) for corner in product(*ends)]
    except OutOfDomain:
        return None
    return _out(Bounds(min(found), max(found)))
