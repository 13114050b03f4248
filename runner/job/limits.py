"""Limits worked for one part: their two ends, and whether a value lies inside. Exact against exact is exact."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from runner.formula.evaluate import exact
from runner.formula.tree import Name, Number, Tree, names_in
from runner.formula.uncertain import propagate, work_measured
from runner.job.job import Job
from runner.job.parts import Part
from runner.job.state import State
from runner.job.values import NEAR, Found, find_all
from runner.procedure.model import Formula, Range
from runner.quantities.quantity import fine_step, show_number
from runner.quantities.units import Unit


@dataclass(frozen=True, slots=True)
class Bound:
    """One end of a limit, worked: as a float, and exactly where it is exact."""

    value: float
    exact: Fraction | None
    other: str = ""
    """The same in the other unit, where its source prints both."""
    parts: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Limits:
    """
    A limit worked for one part: its two ends, either of which may be open, and what it stood on. `least` is the
    smallest size (SI) by which nearness is measured, so that a worked nil can stand on a limit of nil.
    """

    low: Bound | None
    high: Bound | None
    nominal: Bound | None
    found: dict[str, Found]
    least: float = 0.0

    def meets(self, value: float, precise: Fraction | None) -> bool:
        return not self.is_under(value, precise) and not self.is_over(value, precise)

    def drawn_in(self, by: float) -> Limits:
        """The limits with each end moved inward by a guard."""
        low = Bound(self.low.value + by, None) if self.low else None
        high = Bound(self.high.value - by, None) if self.high else None
        return replace(self, low=low, high=high)

    def outside(self, value: float, standard: float) -> float:
        """The probability that the true value lies outside, for a normal distribution round the value."""
        below = _normal((self.low.value - value) / standard) if self.low else 0.0
        above = _normal((value - self.high.value) / standard) if self.high else 0.0
        return below + above

    def is_under(self, value: float, precise: Fraction | None) -> bool:
        return self.low is not None and beyond(self.low, value, precise, -1, self.least)

    def is_over(self, value: float, precise: Fraction | None) -> bool:
        return self.high is not None and beyond(self.high, value, precise, 1, self.least)


def limits_for(job: Job, state: State, part: Part, limits: Range, *, with_doubt: bool = False) -> Limits:
    """A range worked on a part, its ends' uncertainty too if wanted. Raises CannotBeWorked where a value has no answer."""
    formulas = [one for one in (limits.low, limits.high, limits.nominal) if one]
    found = find_all(job, state, part, [one.tree for one in formulas])
    low, high, nominal = (_bound(one, found, with_doubt) for one in (limits.low, limits.high, limits.nominal))
    return Limits(low, high, nominal, found)


def band_words(limits: Limits, shown_unit: Unit) -> str:
    """A band that has both ends, as short as it can be said: '42.4 to 42.65 mm'."""
    assert limits.low and limits.high
    ends = [show_number(one.value, shown_unit, fine_step(shown_unit)) for one in (limits.low, limits.high)]
    short = [end.rstrip("0").rstrip(".") if "." in end else end for end in ends]
    return f"{short[0]} to {short[1]} {shown_unit.symbol}"


def _bound(formula: Formula | None, found: dict[str, Found], with_doubt: bool) -> Bound | None:
    if formula is None:
        return None
    exacts = {name: one.exact for name, one in found.items() if one.exact is not None}
    precise = exact(formula.tree, exacts) if _only(formula.tree, exacts) else None
    value = (
        float(precise)
        if precise is not None
        else work_measured(formula.tree, {n: one.uncertain for n, one in found.items()})
    )
    if not with_doubt:
        return Bound(value, precise, _other_unit(formula.tree, found))
    parts = propagate(formula.tree, {n: one.uncertain for n, one in found.items()}, formula.text).parts
    return Bound(value, precise, _other_unit(formula.tree, found), parts)


def _other_unit(tree: Tree, found: dict[str, Found]) -> str:
    """What stands in brackets behind a limit that is a quantity, or the name of one, such as a table's column."""
    written = found[tree.name].shown if isinstance(tree, Name) else ""
    if isinstance(tree, Number) and tree.quantity:
        written = tree.quantity.typed
    return written.partition(" (")[2].removesuffix(")")


def _only(tree: Tree, exacts: dict[str, Fraction]) -> bool:
    return all(name.name in exacts for name in names_in(tree))


def beyond(bound: Bound, value: float, precise: Fraction | None, side: int, least: float) -> bool:
    """Whether a value lies outside a bound. Exact against exact is exact; a worked value within 1e-9 stands on it."""
    if precise is not None and bound.exact is not None:
        return (precise - bound.exact) * side > 0
    return (value - bound.value) * side > NEAR * max(abs(bound.value), least)


def _normal(x: float) -> float:
    """The share of a normal distribution below x standard deviations."""
    return 0.5 * math.erfc(-x / math.sqrt(2.0))
