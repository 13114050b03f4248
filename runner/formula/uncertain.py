"""Uncertainty through a formula, by the GUM (JCGM 100:2008 section 5) and its Monte Carlo supplement (JCGM 101:2008).

A value carries its uncertainty as signed parts, one for each independent source, in SI: one gauge's error, one probe's,
one coefficient, one reading's last digit. What two values share is the same source in both, so a difference of two
readings with one gauge doesn't carry the gauge's error. Where a formula is smooth its derivatives are taken exactly,
operator by operator; a calculation's own partial derivatives are taken by central differences to about nine digits.
Where it has a corner (min, max, spread, abs, ovality, if, a table by steps) the sources are drawn and the formula worked
many times, always with the same draws for the same inputs. A condition has no uncertainty, and neither has what counts
readings or is taken to the safe side of its own (`alike`, `low`, `high`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from random import Random

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.conformity import expanded_uncertainty, welch_satterthwaite
from runner.engineering.signature import OutOfDomain
from runner.formula.check import arrange
from runner.formula.evaluate import compiled, work, work_condition, worked
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
    names_in,
    parts_of,
    rebuilt,
)
from runner.formula.values import CannotBeWorked, Group, Named, Value

Parts = Mapping[str, float]
COVERAGE = 2.0
"""The coverage factor of every expanded uncertainty U here: about 95 % for a normal distribution (JCGM 100, 6.3.3)."""
TRIALS = 1000
"""Draws for a formula with a corner: the standard uncertainty found so is itself good to about two percent."""
FEW = 30.0
"""Effective degrees of freedom from which k = 2 holds 95 % closely enough; t is 2.04 there (JCGM 100, table G.2)."""
CONFIDENCE = 0.95
SETTLED = ("low", "high", "alike")
_ENDLESS: Parts = {}
DERIVATIVES, DRAWS = "derivatives", "Monte Carlo"
_CORNERS = ("min", "max", "spread", "abs", "ovality")


@dataclass(frozen=True, slots=True)
class Uncertain:
    """One value in SI with the parts of its standard uncertainty by source."""

    value: float
    parts: Parts = field(default_factory=dict)

    @property
    def standard(self) -> float:
        return math.hypot(*self.parts.values())


@dataclass(frozen=True, slots=True)
class UncertainGroup:
    """The readings of a group, level by level, each with its parts."""

    levels: tuple[tuple[Uncertain, ...], ...]


Measured = Uncertain | UncertainGroup
Inputs = Mapping[str, Measured | str]
"""What the names of a formula stand for; a choice is the option chosen, and nothing is doubtful about it."""


@dataclass(frozen=True, slots=True)
class Propagated:
    """A formula's result with its parts; `expanded` is U at about 95 %, `method` says how it was found."""

    value: float
    parts: Parts
    expanded: float
    method: str
    degrees: float = math.inf
    """Effective degrees of freedom."""
    coverage: float = COVERAGE
    """What U is in standard uncertainties."""

    @property
    def standard(self) -> float:
        return math.hypot(*self.parts.values())

    def expanded_to(self, share: float) -> float:
        """The U that holds this share of what the value may be, by Student's t (JCGM 100, G.4.1)."""
        return expanded_uncertainty(self.standard, share, self.degrees)


def propagate(
    tree: Tree, inputs: Inputs, name: str = "this value", trials: int = TRIALS, degrees: Parts = _ENDLESS
) -> Propagated:
    """
    The result of a checked formula and its uncertainty; a condition gives 1 or 0, and has none.

    `name` is what the rest of a Monte Carlo result that no single source explains is called among the parts. `degrees`
    are the degrees of freedom behind a source, 1 or more, endless where it isn't in it: with fewer than `FEW` in effect
    (Welch and Satterthwaite, JCGM 100 G.4) U is wider than k = 2, by Student's t for 95 %. Raises CannotBeWorked where
    the values have no answer.
    """
    tree = _bounded(tree, lambda inner: propagate(inner, inputs, name, trials, degrees), inputs)
    value = work(tree, _plain(inputs))
    used = {one.name for one in names_in(tree)}
    inputs = {key: one for key, one in inputs.items() if key in used}
    sources = sorted({source for one in inputs.values() for leaf in _leaves(one) for source in leaf.parts})
    if not sources or isinstance(tree, Comparison | Is | Logic):
        return Propagated(value, {}, 0.0, "")
    try:
        if has_corner(tree):
            tree = _without_far_corners(tree, inputs)
        if has_corner(tree):
            found = _drawn(tree, _Inputs(inputs), value, tuple(sources), name, trials)
        else:
            parts = {source: part for source, part in _gradient(tree, inputs)[1].items() if part}
            found = Propagated(value, parts, COVERAGE * math.hypot(*parts.values()), DERIVATIVES)
    except OutOfDomain as refused:
        raise CannotBeWorked(f"within its uncertainty it has no answer: {refused}") from refused
    except (ZeroDivisionError, OverflowError, ValueError) as refused:
        raise CannotBeWorked("its uncertainty has no answer at these values") from refused
    if not math.isfinite(found.expanded):
        raise CannotBeWorked("its uncertainty is too large to be anything real")
    return _with_few_degrees(found, degrees) if degrees else found


def work_measured(tree: Tree, inputs: Inputs) -> float:
    """The result alone, with `low` and `high` taken at the uncertainty of the inputs; a condition gives 1 or 0."""
    return work(_bounded(tree, lambda inner: propagate(inner, inputs), inputs), _plain(inputs))


def _with_few_degrees(found: Propagated, degrees: Parts) -> Propagated:
    """The result with its effective degrees of freedom, and the wider U of Student's t where they are few."""
    if not found.parts:
        return found
    behind = [(part, degrees.get(source, math.inf)) for source, part in found.parts.items()]
    effective = welch_satterthwaite(behind)
    if effective >= FEW:
        return replace(found, degrees=effective)
    normal = COVERAGE if found.method == DERIVATIVES else expanded_uncertainty(1.0, CONFIDENCE, math.inf)
    coverage = expanded_uncertainty(1.0, CONFIDENCE, effective)
    whole = math.floor(effective + 1e-9)
    method = f"{found.method}, Student's t for 95 % with {whole} degrees of freedom"
    return replace(
        found,
        expanded=found.expanded * coverage / normal,
        method=method,
        degrees=effective,
        coverage=coverage,
    )


# what is settled before its uncertainty goes any further


@lru_cache(maxsize=4096)
def _has_settled(tree: Tree) -> bool:
    return (isinstance(tree, Call) and tree.function in SETTLED) or any(map(_has_settled, parts_of(tree)))


def _bounded(tree: Tree, propagated: Callable[[Tree], Propagated], inputs: Inputs) -> Tree:
    return _settled(tree, propagated, inputs) if _has_settled(tree) else tree


def _settled(tree: Tree, propagated: Callable[[Tree], Propagated], inputs: Inputs) -> Tree:
    """
    The formula with each `low`, `high` and `alike` as the plain number it comes to. A value less its U is a bound that
    was chosen for safety: were it still to carry that U, whoever guards the result would count it twice. And a count of
    readings that are the same is of what was read, not of what else might have been.
    """
    match tree:
        case Call("low" | "high" as function, ((_, inner),)):
            try:
                work(inner, _plain(inputs))
            except CannotBeWorked:
                return inner  # which says so itself, if the formula goes that way
            found = propagated(inner)
            bound = found.value - found.expanded if function == "low" else found.value + found.expanded
            return Number(None, repr(bound), tree.offset, tree.length)
        case Call("alike"):
            return Number(None, repr(work(tree, _plain(inputs))), tree.offset, tree.length)
        case _:
            return rebuilt(tree, lambda part: _settled(part, propagated, inputs))


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


def _without_far_corners(tree: Tree, inputs: Inputs) -> Tree:
    """The formula with each `if` and `abs` that its values decide beyond doubt replaced by the way it goes."""
    match tree:
        case Conditional(value, condition, other):
            holds = _decided(condition, inputs)
            return tree if holds is None else _without_far_corners(value if holds else other, inputs)
        case Call("abs", ((_, inner),)):
            apart = _apart(inner, None, inputs)
            if apart is None:
                return tree
            return inner if apart > 0 else Negative(inner, tree.offset, tree.length)
        case _:
            return rebuilt(tree, lambda part: _without_far_corners(part, inputs))


def _decided(condition: Tree, inputs: Inputs) -> bool | None:
    """Which way a condition goes beyond doubt, or None."""
    if not any(leaf.parts for name in names_in(condition) for leaf in _leaves(inputs[name.name])):
        return work_condition(condition, _plain(inputs))
    match condition:
        case Comparison(sign, left, right):
            apart = _apart(left, right, inputs)
            return None if apart is None else (apart > 0) == (sign in (">", ">="))
        case Logic("not", (inner,)):
            holds = _decided(inner, inputs)
            return None if holds is None else not holds
        case Logic(word, conditions):
            ways = [_decided(one, inputs) for one in conditions]
            if (word == "or") in ways:
                return word == "or"
            return None if None in ways else word == "and"
        case _:
            return None


def _apart(left: Tree, right: Tree | None, inputs: Inputs) -> float | None:
    """By how much one side is more than the other (or than nil), or None where it is not beyond doubt."""
    if has_corner(left) or (right is not None and has_corner(right)):
        return None
    one, parts = _gradient(left, inputs)
    two, others = _gradient(right, inputs) if right is not None else (0.0, {})
    standard = math.hypot(*_sum((1.0, parts), (-1.0, others)).values())
    return one - two if abs(one - two) > FAR * standard else None


# derivatives

Grown = tuple[float, dict[str, float]]
"""A value and how it changes by one standard deviation of each source."""


def _gradient(tree: Tree, inputs: Inputs) -> Grown:
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
        case Comparison() | Is() | Logic() | Conditional():
            raise AssertionError("a formula with a corner has no gradient")


def _of_two(tree: Binary, inputs: Inputs) -> Grown:
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


def _of_function(tree: Call, inputs: Inputs) -> Grown:
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


def _several(tree: Tree, inputs: Inputs) -> list[Grown]:
    if isinstance(tree, Name):
        one = inputs[tree.name]
        if isinstance(one, UncertainGroup):
            return [(leaf.value, dict(leaf.parts)) for leaf in _leaves(one)]
    return [_gradient(tree, inputs)]


def _of_calculation(tree: Call, inputs: Inputs) -> Grown:
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


class _Inputs:
    """Inputs that know whether they are the same as others: what they are made of, in one tuple."""

    __slots__ = ("by_name", "key")

    def __init__(self, inputs: Inputs) -> None:
        self.by_name = inputs
        self.key = tuple(
            (
                name,
                one
                if isinstance(one, str)
                else tuple((leaf.value, *leaf.parts.items()) for leaf in _leaves(one)),
            )
            for name, one in inputs.items()
        )

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Inputs) and self.key == other.key


@lru_cache(maxsize=512)  # a correction has many values worked anew that come out as they were
def _drawn(
    tree: Tree, inputs: _Inputs, value: float, sources: tuple[str, ...], name: str, trials: int
) -> Propagated:
    """
    Mean-free draws of every source, normal, and the formula worked on each. The share of each source is what the result
    moves with it; what is left over is a part of its own.
    """
    dice = Random(f"{name} {value!r} {list(sources)!r}")
    formula = compiled(tree)
    draws = [[dice.gauss(0.0, 1.0) for _ in sources] for _ in range(trials)]
    at = {source: number for number, source in enumerate(sources)}
    moved = {key: _mover(one, at) for key, one in inputs.by_name.items()}
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


def _mover(one: Measured | str, at: Mapping[str, int]) -> Callable[[Sequence[float]], Named]:
    """A value as a function of one draw of every source, in the order `at` says."""
    if isinstance(one, str):
        return lambda drawn: one
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


def _leaves(one: Measured | str) -> list[Uncertain]:
    if isinstance(one, str):
        return []
    return [one] if isinstance(one, Uncertain) else [leaf for level in one.levels for leaf in level]


def _plain(inputs: Inputs) -> dict[str, Named]:
    return {key: one if isinstance(one, str) else plain(one) for key, one in inputs.items()}


def plain(one: Measured) -> Value:
    """A value without its uncertainty, for working it plainly."""
    if isinstance(one, Uncertain):
        return one.value
    return Group(tuple(tuple(leaf.value for leaf in level) for level in one.levels))
