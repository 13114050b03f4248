"""Uncertainty through a formula, by the GUM (JCGM 100:2008 section 5) and its Monte Carlo supplement (JCGM 101:2008).

A value carries its uncertainty as signed parts, one for each independent source, in SI: one gauge's error, one probe's,
one coefficient, one reading's last digit. What two values share is the same source in both, so a difference of two
readings with one gauge doesn't carry the gauge's error. Where a formula is smooth its derivatives are taken exactly,
operator by operator; a calculation's own partial derivatives are taken by central differences to about nine digits.
Where it has a corner (min, max, spread, abs, ovality, if, a table by steps) the sources are drawn and the formula worked
many times, always with the same draws for the same inputs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from random import Random

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from runner.formula.check import arrange
from runner.formula.evaluate import compiled, work, worked
from runner.formula.tree import (
    Binary,
    Call,
    Comparison,
    Conditional,
    FormulaProblem,
    Logic,
    Name,
    Negative,
    Number,
    Tree,
)
from runner.formula.values import CannotBeWorked, Group, Value

Parts = Mapping[str, float]
COVERAGE = 2.0
"""The coverage factor of every expanded uncertainty U here: about 95 % for a normal distribution (JCGM 100, 6.3.3)."""
TRIALS = 1000
"""Draws for a formula with a corner: the standard uncertainty found so is itself good to about two percent."""
DERIVATIVES, DRAWS = "derivatives", "Monte Carlo"
_CORNERS = ("min", "max", "spread", "abs", "ovality")


@dataclass(frozen=True, slots=True)
class Uncertain:
    """One value in SI with the parts of its standard uncertainty by source."""

    value: float
    parts: Parts = field(default_factory=dict)

    @property
    def standard(self) -> float:
        return math.sqrt(math.fsum(part * part for part in self.parts.values()))


@dataclass(frozen=True, slots=True)
class UncertainGroup:
    """The readings of a group, level by level, each with its parts."""

    levels: tuple[tuple[Uncertain, ...], ...]


Measured = Uncertain | UncertainGroup


@dataclass(frozen=True, slots=True)
class Propagated:
    """A formula's result with its parts; `expanded` is U at about 95 %, `method` says how it was found."""

    value: float
    parts: Parts
    expanded: float
    method: str

    @property
    def standard(self) -> float:
        return math.sqrt(math.fsum(part * part for part in self.parts.values()))


def propagate(
    tree: Tree, inputs: Mapping[str, Measured], name: str = "this value", trials: int = TRIALS
) -> Propagated:
    """
    The result of a checked formula and its uncertainty. `name` is what the rest of a Monte Carlo result that no single
    source explains is called among the parts. Raises CannotBeWorked where the values have no answer.
    """
    value = work(tree, {key: plain(one) for key, one in inputs.items()})
    sources = sorted({source for one in inputs.values() for leaf in _leaves(one) for source in leaf.parts})
    if not sources:
        return Propagated(value, {}, 0.0, "")
    tree = _without_far_corners(tree, inputs)
    if has_corner(tree):
        return _drawn(tree, inputs, value, sources, name, trials)
    parts = _gradient(tree, inputs)[1]
    standard = math.sqrt(math.fsum(part * part for part in parts.values()))
    return Propagated(
        value, {source: part for source, part in parts.items() if part}, COVERAGE * standard, DERIVATIVES
    )


def has_corner(tree: Tree) -> bool:
    """Whether a formula has a place without a derivative."""
    match tree:
        case Number() | Name():
            return False
        case Negative(value):
            return has_corner(value)
        case Binary(left=left, right=right):
            return has_corner(left) or has_corner(right)
        case Call(function, arguments):
            bent = function in CALCULATIONS and not CALCULATIONS[function].smooth
            return bent or function in _CORNERS or any(has_corner(one) for _, one in arguments)
        case _:
            return True


FAR = 6.0
"""Standard uncertainties from which on a corner is never reached: one draw in five hundred million would."""


def _without_far_corners(tree: Tree, inputs: Mapping[str, Measured]) -> Tree:
    """The formula with each `if` and `abs` that its values decide beyond doubt replaced by the way it goes."""
    match tree:
        case Conditional(value, Comparison(sign, left, right), other):
            apart = _apart(left, right, inputs)
            if apart is None:
                return tree
            holds = apart > 0 if sign in (">", ">=") else apart < 0
            return _without_far_corners(value if holds else other, inputs)
        case Call("abs", ((_, inner),)):
            apart = _apart(inner, None, inputs)
            if apart is None:
                return tree
            return inner if apart > 0 else Negative(inner, tree.offset, tree.length)
        case Binary(left=left, right=right):
            return replace(
                tree, left=_without_far_corners(left, inputs), right=_without_far_corners(right, inputs)
            )
        case Negative(inner):
            return replace(tree, value=_without_far_corners(inner, inputs))
        case _:
            return tree


def _apart(left: Tree, right: Tree | None, inputs: Mapping[str, Measured]) -> float | None:
    """By how much one side is more than the other (or than nil), or None where it is not beyond doubt."""
    if has_corner(left) or (right is not None and has_corner(right)):
        return None
    one, parts = _gradient(left, inputs)
    two, others = _gradient(right, inputs) if right is not None else (0.0, {})
    spread = _sum((1.0, parts), (-1.0, others))
    standard = math.sqrt(math.fsum(part * part for part in spread.values()))
    return one - two if abs(one - two) > FAR * standard else None


# derivatives

Grown = tuple[float, dict[str, float]]
"""A value and how it changes by one standard deviation of each source."""


def _gradient(tree: Tree, inputs: Mapping[str, Measured]) -> Grown:
    match tree:
        case Number() | Negative(Number()):
            number = compiled(tree)({})
            assert isinstance(number, float)
            return number, {}
        case Name(name):
            one = inputs[name]
            assert isinstance(one, Uncertain)
            return one.value, dict(one.parts)
        case Negative(inner):
            value, parts = _gradient(inner, inputs)
            return -value, {source: -part for source, part in parts.items()}
        case Binary():
            return _of_two(tree, inputs)
        case Call(function) if function in CALCULATIONS:
            return _of_calculation(tree, inputs)
        case Call():
            return _of_function(tree, inputs)
        case Comparison() | Logic() | Conditional():
            raise AssertionError("a formula with a corner has no gradient")


def _of_two(tree: Binary, inputs: Mapping[str, Measured]) -> Grown:
    (a, da), (b, db) = _gradient(tree.left, inputs), _gradient(tree.right, inputs)
    match tree.sign:
        case "+":
            return a + b, _sum((1.0, da), (1.0, db))
        case "-":
            return a - b, _sum((1.0, da), (-1.0, db))
        case "*":
            return a * b, _sum((b, da), (a, db))
        case "/":
            return a / b, _sum((1.0 / b, da), (-a / b / b, db))
        case _:
            power = int(b)
            return a**power, _sum((power * a ** (power - 1) if power else 0.0, da))


def _of_function(tree: Call, inputs: Mapping[str, Measured]) -> Grown:
    grown = [one for _, argument in tree.arguments for one in _several(argument, inputs)]
    values = [value for value, _ in grown]
    match tree.function:
        case "mean":
            share = 1.0 / len(grown)
            return math.fsum(values) * share, _sum(*((share, parts) for _, parts in grown))
        case "taper":
            name = tree.arguments[0][1]
            assert isinstance(name, Name)
            group = inputs[name.name]
            assert isinstance(group, UncertainGroup)
            first, last = group.levels[0], group.levels[-1]
            terms = [(1.0 / len(first), dict(one.parts)) for one in first]
            terms += [(-1.0 / len(last), dict(one.parts)) for one in last]
            means = [math.fsum(one.value for one in level) / len(level) for level in (first, last)]
            return means[0] - means[1], _sum(*terms)
        case function:
            slope = _SLOPES[function](values[0])
            return _WORTH[function](values[0]), _sum((slope, grown[0][1]))


_WORTH: Mapping[str, Callable[[float], float]] = {
    "sqrt": math.sqrt,
    "ln": math.log,
    "exp": math.exp,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
}
_SLOPES: Mapping[str, Callable[[float], float]] = {
    "sqrt": lambda x: 0.5 / math.sqrt(x),
    "ln": lambda x: 1.0 / x,
    "exp": math.exp,
    "sin": math.cos,
    "cos": lambda x: -math.sin(x),
    "tan": lambda x: 1.0 + math.tan(x) ** 2,
}


def _several(tree: Tree, inputs: Mapping[str, Measured]) -> list[Grown]:
    if isinstance(tree, Name):
        one = inputs[tree.name]
        if isinstance(one, UncertainGroup):
            return [(leaf.value, dict(leaf.parts)) for leaf in _leaves(one)]
    return [_gradient(tree, inputs)]


def _of_calculation(tree: Call, inputs: Mapping[str, Measured]) -> Grown:
    signature = CALCULATIONS[tree.function]
    ordered = arrange(tree, signature)
    assert not isinstance(ordered, FormulaProblem)
    grown = [_gradient(one, inputs) for one in ordered]
    values = [value for value, _ in grown]
    terms = []
    for at, (value, parts) in enumerate(grown):
        if parts:
            spread = max(abs(part) for part in parts.values()) or abs(value)
            terms.append((_slope(signature.work, values, at, spread), parts))
    return signature.work(*values), _sum(*terms)


def _slope(function: Callable[..., float], values: list[float], at: int, spread: float) -> float:
    """
    The partial derivative by central differences over steps of the input's own spread, extrapolated (Richardson); at the
    edge of a domain by one side.
    """

    def moved(by: float) -> float:
        return function(*values[:at], values[at] + by, *values[at + 1 :])

    step = max(spread, abs(values[at]) * 1e-6) * 0.05
    try:
        wide, narrow = (moved(step) - moved(-step)) / (2 * step), (moved(step / 2) - moved(-step / 2)) / step
        return (4 * narrow - wide) / 3
    except OutOfDomain:
        for side in (step / 100, -step / 100):
            try:
                return (moved(side) - function(*values)) / side
            except OutOfDomain:
                continue
        raise


def _sum(*terms: tuple[float, Mapping[str, float]]) -> dict[str, float]:
    total: dict[str, float] = {}
    for factor, parts in terms:
        for source, part in parts.items():
            total[source] = total.get(source, 0.0) + factor * part
    return total


# draws


def _drawn(
    tree: Tree, inputs: Mapping[str, Measured], value: float, sources: list[str], name: str, trials: int
) -> Propagated:
    """
    Mean-free draws of every source, normal, and the formula worked on each. The share of each source is what the result
    moves with it; what is left over is a part of its own.
    """
    dice = Random(f"{name} {value!r} {sources!r}")
    formula = compiled(tree)
    draws = [[dice.gauss(0.0, 1.0) for _ in sources] for _ in range(trials)]
    at = {source: number for number, source in enumerate(sources)}
    moved = {key: _mover(one, at) for key, one in inputs.items()}
    try:
        results = [worked(formula, {key: move(drawn) for key, move in moved.items()}) for drawn in draws]
    except CannotBeWorked as why:
        raise CannotBeWorked(f"within its uncertainty it has no answer: {why}") from why
    middle = math.fsum(results) / trials
    variance = math.fsum((one - middle) ** 2 for one in results) / (trials - 1)
    parts = {
        source: sum((one - middle) * drawn[number] for one, drawn in zip(results, draws, strict=True))
        / trials
        for source, number in at.items()
    }
    # A share smaller than what chance alone gives between unrelated draws says nothing.
    noise = 3.0 * math.sqrt(variance / trials)
    parts = {source: part for source, part in parts.items() if abs(part) > noise}
    rest = variance - math.fsum(part * part for part in parts.values())
    if rest > 0:
        parts[f"the rest of {name}"] = math.sqrt(rest)
    results.sort()
    low, high = results[round(0.025 * trials)], results[round(0.975 * trials) - 1]
    return Propagated(value, parts, max(high - value, value - low, 0.0), DRAWS)


def _mover(one: Measured, at: Mapping[str, int]) -> Callable[[Sequence[float]], Value]:
    """A value as a function of one draw of every source, in the order `at` says."""
    if isinstance(one, Uncertain):
        return _number(one, at)
    levels = [[_number(leaf, at) for leaf in level] for level in one.levels]
    return lambda drawn: Group(tuple(tuple(move(drawn) for move in level) for level in levels))


def _number(leaf: Uncertain, at: Mapping[str, int]) -> Callable[[Sequence[float]], float]:
    value, parts = leaf.value, [(part, at[source]) for source, part in leaf.parts.items()]
    if len(parts) == 2:  # a gauge and a last digit: nearly every reading there is
        (first, one), (second, two) = parts
        return lambda drawn: value + first * drawn[one] + second * drawn[two]
    return lambda drawn: value + sum(part * drawn[number] for part, number in parts)


def _leaves(one: Measured) -> list[Uncertain]:
    return [one] if isinstance(one, Uncertain) else [leaf for level in one.levels for leaf in level]


def plain(one: Measured) -> Value:
    """A value without its uncertainty, for working it plainly."""
    if isinstance(one, Uncertain):
        return one.value
    return Group(tuple(tuple(leaf.value for leaf in level) for level in one.levels))
