"""The functions that formulas know beside the engineering calculations: of one value, and of a group of readings."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from runner.formula.values import CannotBeWorked, Group, Shape, Typed, Value
from runner.quantities.kinds import ANGLE, NUMBER, Kind


@dataclass(frozen=True, slots=True)
class Function:
    """
    A function by name. `gives` answers with the result's type for the arguments' types, or a sentence why not;
    `work` takes floats and groups.
    """

    name: str
    gives: Callable[[list[Typed]], Typed | str]
    work: Callable[..., float]
    says: str


def _of_a_set(turn: Callable[[Kind], Kind]) -> Callable[[list[Typed]], Typed | str]:
    def gives(arguments: list[Typed]) -> Typed | str:
        if not arguments:
            return "it needs at least one value"
        kinds = {argument.kind for argument in arguments}
        if len(kinds) > 1:
            one, two = sorted(kind.words for kind in kinds)[:2]
            return f"{one} and {two} don't go together"
        return Typed(turn(kinds.pop()))

    return gives


def _difference(kind: Kind) -> Kind:
    return Kind(kind.exponents)


def _absolute(arguments: list[Typed]) -> Typed | str:
    if len(arguments) != 1 or arguments[0].shape is not Shape.ONE:
        return "it takes one value"
    if arguments[0].kind.point:
        return "a temperature has no size without its scale; take a difference of two"
    return arguments[0]


def _one(arguments: list[Typed]) -> Typed | str:
    if len(arguments) != 1 or arguments[0].shape is not Shape.ONE:
        return "it takes one value"
    return arguments[0]


def _of_a_number(kind: Kind) -> Callable[[list[Typed]], Typed | str]:
    def gives(arguments: list[Typed]) -> Typed | str:
        if len(arguments) != 1 or arguments[0].shape is not Shape.ONE:
            return "it takes one value"
        if arguments[0].kind != kind:
            return f"it takes {kind.words}, and this is {arguments[0].kind.words}"
        return Typed(NUMBER)

    return gives


def _root(arguments: list[Typed]) -> Typed | str:
    if len(arguments) != 1 or arguments[0].shape is not Shape.ONE:
        return "it takes one value"
    kind = arguments[0].kind
    if kind.point or any(power % 2 for power in kind.exponents):
        return f"{kind.words} has no square root in the shop's units"
    a, b, c, d, e = (power // 2 for power in kind.exponents)
    return Typed(Kind((a, b, c, d, e)))


def _of_levels(arguments: list[Typed]) -> Typed | str:
    if len(arguments) != 1 or arguments[0].shape is not Shape.LEVELS:
        return "it takes one reading that has levels and axes"
    return Typed(_difference(arguments[0].kind))


def _flat(values: tuple[Value, ...]) -> list[float]:
    """Every reading and value, one after another."""
    return [one for value in values for one in (value.all if isinstance(value, Group) else (value,))]


def _of_all(work: Callable[[Sequence[float]], float]) -> Callable[..., float]:
    """
    A function of a sequence, as one of groups and values. Values alone, the common case, are tried as they are: a group
    among them can be neither added nor compared, and one alone is known by its count.
    """

    def of_all(*values: Value) -> float:
        if len(values) > 1:
            try:
                return work(values)  # type: ignore[arg-type]
            except TypeError:
                pass
        return work(_flat(values))

    return of_all


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _spread(values: Sequence[float]) -> float:
    return max(values) - min(values)


def _itself(value: float) -> float:
    # Worked without uncertainty a value is its own bound; formula/uncertain.py takes U off or adds it.
    return value


def _alike(*values: Value) -> float:
    return float(max(Counter(_flat(values)).values()))


def _ovality(group: Group) -> float:
    return max(max(level) - min(level) for level in group.levels)


def _taper(group: Group) -> float:
    return fmean(group.levels[0]) - fmean(group.levels[-1])


def _square_root(value: float) -> float:
    if value < 0:
        raise CannotBeWorked("the square root of a value below nil")
    return math.sqrt(value)


def _logarithm(value: float) -> float:
    if value <= 0:
        raise CannotBeWorked("the logarithm of a value that is not above nil")
    return math.log(value)


def _same(kind: Kind) -> Kind:
    return kind


def _count(_: Kind) -> Kind:
    return NUMBER


FUNCTIONS: Mapping[str, Function] = {
    function.name: function
    for function in (
        Function("min", _of_a_set(_same), _of_all(min), "the smallest"),
        Function("max", _of_a_set(_same), _of_all(max), "the largest"),
        Function("mean", _of_a_set(_same), _of_all(_mean), "the mean"),
        Function("spread", _of_a_set(_difference), _of_all(_spread), "the largest less the smallest"),
        Function("alike", _of_a_set(_count), _alike, "how many of the readings are the same"),
        Function("low", _one, _itself, "a value less its U, taken as exact"),
        Function("high", _one, _itself, "a value plus its U, taken as exact"),
        Function("abs", _absolute, abs, "the size without its sign"),
        Function("sqrt", _root, _square_root, "the square root"),
        Function("ln", _of_a_number(NUMBER), _logarithm, "the natural logarithm"),
        Function("exp", _of_a_number(NUMBER), math.exp, "e to the power of it"),
        Function("sin", _of_a_number(ANGLE), math.sin, "the sine of an angle"),
        Function("cos", _of_a_number(ANGLE), math.cos, "the cosine of an angle"),
        Function("tan", _of_a_number(ANGLE), math.tan, "the tangent of an angle"),
        Function("ovality", _of_levels, _ovality, "the largest spread round one level"),
        Function("taper", _of_levels, _taper, "the mean of the first level less that of the last"),
    )
}
