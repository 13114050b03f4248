"""Worked values and checks, decided once and kept with formula, inputs, result and program."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from runner.formula.evaluate import exact
from runner.formula.explain import with_values
from runner.formula.tree import Tree, names_in
from runner.formula.uncertain import COVERAGE, Uncertain, propagate, work_measured
from runner.formula.values import CannotBeWorked
from runner.job.dependence import standing_on
from runner.job.events import CheckDecided, Input, NotWorked, Ref, RungTaken, Share, ValueWorked
from runner.job.job import Job
from runner.job.parts import Part
from runner.job.state import Known, State
from runner.job.values import NEAR, Found, NotKnownYet, find, find_all, inputs_of, known_outward
from runner.procedure.model import Check, Formula, Ladder, Range, Read, Rung, WorkOut
from runner.quantities.kinds import TEMPERATURE_DIFFERENCE
from runner.quantities.quantity import fine_step, last_digit, show, show_apart, show_number
from runner.quantities.units import Unit


def work_out(
    job: Job, state: State, part: Part, step: WorkOut, stamp: dict[str, Any]
) -> ValueWorked | NotWorked:
    """
    A worked value as an event, or why these inputs have no answer. `stamp` says who, when and where. Raises NotKnownYet
    where an input isn't there or no longer stands.
    """
    found: dict[str, Found] = {}
    try:
        found = find_all(job, state, part, [step.formula.tree])
        inputs = {name: one.uncertain for name, one in found.items()}
        result = propagate(step.formula.tree, inputs, f"{step.name} on {part.path}")
    except NotKnownYet:
        raise
    except CannotBeWorked as why:
        sentence = f"{part.path}: '{step.name}' can't be worked out: {why}"
        return NotWorked(
            **stamp, name=step.name, formula=step.formula.text, inputs=inputs_of(found), sentence=sentence
        )
    shown = show(result.value, step.unit, step.nearest.number)
    written = with_values(
        step.formula.text, step.formula.tree, {name: one.shown for name, one in found.items()}
    )
    return ValueWorked(
        **stamp,
        name=step.name,
        formula=step.formula.text,
        inputs=inputs_of(found),
        with_values=written,
        si=result.value,
        shown=shown,
        unit=step.unit.symbol,
        shares=tuple(Share(source=source, part=size) for source, size in result.parts.items()),
        uncertainty=width_words(result.expanded, step.unit, step.nearest.number) if result.method else "",
        method=result.method,
        program=job.program,
    )


KELVIN = Unit("K", TEMPERATURE_DIFFERENCE, Fraction(1))
FINEST = Fraction(1, 10**6)
"""Of the unit shown: a limit is never shown finer than this, however it was worked."""


@dataclass(frozen=True, slots=True)
class Bound:
    """One end of a limit, worked: as a float, and exactly where it is exact."""

    value: float
    exact: Fraction | None
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
        return self.low is not None and _beyond(self.low, value, precise, -1, self.least)

    def is_over(self, value: float, precise: Fraction | None) -> bool:
        return self.high is not None and _beyond(self.high, value, precise, 1, self.least)


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


def decide_check(
    job: Job, state: State, part: Part, step: Check, stamp: dict[str, Any]
) -> CheckDecided | NotWorked:
    """
    The verdict on a value. Simple: met inside the limits and exactly on them. Guarded: met inside them by its uncertainty
    U or more (ISO 14253-1); nearer is not proven, which is not met, and it says so. Raises NotKnownYet where the value or
    a limit isn't there or no longer stands.
    """
    if step.options:
        return _decide_choice(job, state, part, step, stamp)
    known = known_outward(job, state, part, step.name)
    try:
        value = find(job, state, part, step.name)
        limits = limits_for(job, state, part, step.limits, with_doubt=True)
    except NotKnownYet:
        raise
    except CannotBeWorked as why:
        sentence = f"{part.path}: the check of '{step.name}' can't be decided: {why}"
        return NotWorked(**stamp, name=step.name, formula=step.limits.text, inputs=(), sentence=sentence)
    shown_unit, nearest = how_shown(job, known)
    limits = replace(limits, least=float(nearest * shown_unit.factor))
    doubt = _doubt(value, limits)
    inside = limits.meets(value.number, value.exact)
    decision = step.decision or job.procedure.decision
    proven = decision == "simple" or not doubt or limits.drawn_in(COVERAGE * doubt).meets(value.number, None)
    source = _source(job, step, limits)
    return CheckDecided(
        **stamp,
        name=step.name,
        shown=value.shown,
        low=_shown(limits.low, shown_unit, nearest),
        high=_shown(limits.high, shown_unit, nearest),
        nominal=_shown(limits.nominal, shown_unit, nearest),
        limits=step.limits.text,
        inputs=inputs_of(limits.found),
        source=source,
        decision=decision,
        met=inside and proven,
        proven=proven or not inside,
        uncertainty=width_words(COVERAGE * doubt, shown_unit, nearest) if doubt else "",
        risk=_risk_words(limits.outside(value.number, doubt)) if doubt else "",
        margin=_margin(limits, value.number, shown_unit, nearest),
        sentence=_sentence(part, step, value, limits, shown_unit, nearest, source)
        if proven or not inside
        else _not_proven(part, step, value, COVERAGE * doubt, shown_unit, nearest, source),
        routes=step.routes,
        program=job.program,
    )


def _decide_choice(job: Job, state: State, part: Part, step: Check, stamp: dict[str, Any]) -> CheckDecided:
    """The verdict on a choice: met where it is one of the options that are."""
    answer = find(job, state, part, step.name)
    met = answer.shown in step.options
    wanted = " or ".join(step.options)
    verdict = "as it should be" if met else f"and should be {wanted}"
    return CheckDecided(
        **stamp,
        name=step.name,
        shown=answer.shown,
        low="",
        high="",
        nominal="",
        limits=step.limits.text,
        inputs=(),
        source=step.source,
        decision="simple",
        met=met,
        proven=True,
        uncertainty="",
        risk="",
        margin="",
        sentence=f"{part.path}: {step.name} is {answer.shown}, {verdict} ({step.source})",
        routes=step.routes,
        program=job.program,
    )


def take_rung(
    job: Job, state: State, part: Part, step: Rung, stamp: dict[str, Any]
) -> RungTaken | CheckDecided | NotWorked:
    """
    The lowest rung of a ladder that is not below what is wanted, never below the one the part is on; where there is none
    the pass stops as at a check that isn't met.
    """
    ladder = job.procedure.ladder(step.ladder)
    assert ladder
    found: dict[str, Found] = {}
    try:
        found = find_all(job, state, part, [step.least.tree])
        least = work_measured(step.least.tree, {name: one.uncertain for name, one in found.items()})
    except NotKnownYet:
        raise
    except CannotBeWorked as why:
        sentence = f"{part.path}: the rung of '{step.ladder}' can't be worked out: {why}"
        inputs = inputs_of(found)
        return NotWorked(**stamp, name=step.ladder, formula=step.least.text, inputs=inputs, sentence=sentence)
    unit = ladder.rungs[0].unit
    shown = show(least, unit, fine_step(unit))
    lowest = state.rungs.get((part.path, ladder.name), 1)
    for number, size in enumerate(ladder.rungs, 1):
        if number >= lowest and not _beyond(Bound(least, None), float(size.si), None, -1, 0.0):
            return RungTaken(
                **stamp,
                ladder=ladder.name,
                rung=number,
                size=size.typed,
                least=f"{step.least.text} = {shown}",
                inputs=inputs_of(found),
                program=job.program,
                out_of_date=_on_another_rung(job, state, part, step, stamp) if number != lowest else (),
            )
    return _no_rung(job, part, step, ladder, shown, inputs_of(found), stamp)


def _on_another_rung(
    job: Job, state: State, part: Part, step: Rung, stamp: dict[str, Any]
) -> tuple[Ref, ...]:
    here = Ref(stage=stamp["stage"], part=stamp["part"], step=stamp["step"])
    return standing_on(job, state, {(part.path, step.ladder)}, {here})


def _no_rung(
    job: Job,
    part: Part,
    step: Rung,
    ladder: Ladder,
    shown: str,
    inputs: tuple[Input, ...],
    stamp: dict[str, Any],
) -> CheckDecided:
    last = ladder.rungs[-1].typed
    return CheckDecided(
        **stamp,
        name=ladder.name,
        shown=shown,
        low="",
        high=last,
        nominal="",
        limits=f"at most {last}",
        inputs=inputs,
        source=ladder.source,
        decision="simple",
        met=False,
        proven=True,
        uncertainty="",
        risk="",
        margin="",
        sentence=f"{part.path}: {shown} is wanted, and the last rung of {ladder.name} is {last} ({ladder.source})",
        routes=step.routes,
        program=job.program,
    )


def how_shown(job: Job, known: Known | None) -> tuple[Unit, Fraction]:
    """The unit and the step a value is shown to: a reading's as typed, a worked value's as the procedure says."""
    assert known is not None
    step = job.step((known.stage, known.part), known.step)
    if isinstance(step, WorkOut):
        return step.unit, step.nearest.number
    assert isinstance(step, Read)
    finest = min((last_digit(point.typed) for point in known.points), default=Fraction(1, 1000))
    if any(point.unit != step.unit.symbol for point in known.points):
        finest = min(finest, Fraction(1, 1000))
    return step.unit, min(finest, Fraction(1))


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
        return Bound(value, precise)
    parts = propagate(formula.tree, {n: one.uncertain for n, one in found.items()}, formula.text).parts
    return Bound(value, precise, parts)


def _only(tree: Tree, exacts: dict[str, Fraction]) -> bool:
    return all(name.name in exacts for name in names_in(tree))


def _beyond(bound: Bound, value: float, precise: Fraction | None, side: int, least: float) -> bool:
    """Whether a value lies outside a bound. Exact against exact is exact; a worked value within 1e-9 stands on it."""
    if precise is not None and bound.exact is not None:
        return (precise - bound.exact) * side > 0
    return (value - bound.value) * side > NEAR * max(abs(bound.value), least)


def _shown(bound: Bound | None, shown_unit: Unit, nearest: Fraction) -> str:
    if bound is None:
        return ""
    step = _fine_enough(bound, shown_unit, nearest)
    return show(bound.exact if bound.exact is not None else bound.value, shown_unit, step)


def _fine_enough(bound: Bound, shown_unit: Unit, nearest: Fraction) -> Fraction:
    """The step to show a bound with: finer than the value's where a limit would else be shown as another one."""
    step = nearest
    if bound.exact is not None:
        while not _is_whole(bound.exact, shown_unit, step) and step > FINEST:
            step /= 10
    return step


def _is_whole(exactly: Fraction, shown_unit: Unit, step: Fraction) -> bool:
    return ((exactly - shown_unit.offset) / shown_unit.factor / step).denominator == 1


def _doubt(value: Found, limits: Limits) -> float:
    """
    The standard uncertainty of how a value stands to its limits: what both share, such as one gauge's error in a bore and
    in the bore wanted, is counted once, by its difference.
    """
    assert isinstance(value.uncertain, Uncertain)
    return max((_apart(value.uncertain, bound) for bound in (limits.low, limits.high) if bound), default=0.0)


def _apart(value: Uncertain, bound: Bound) -> float:
    sources = {*value.parts, *bound.parts}
    return math.sqrt(
        math.fsum((value.parts.get(one, 0.0) - bound.parts.get(one, 0.0)) ** 2 for one in sources)
    )


def _risk_words(risk: float) -> str:
    return "under 1 percent" if risk < 0.01 else f"{risk * 100:.0f} percent"


def _normal(x: float) -> float:
    """The share of a normal distribution below x standard deviations."""
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


def difference_of(shown_unit: Unit) -> Unit:
    """The unit for a difference of two values shown in a unit: K for temperatures, else the same."""
    return KELVIN if shown_unit.kind.point else shown_unit


def width_words(width: float, shown_unit: Unit, nearest: Fraction) -> str:
    """A width such as U, beside a value in a unit: '0.007 mm', for a temperature '3 K'. Never shown as nil if it isn't."""
    plain = difference_of(shown_unit)
    while width and width < float(nearest * plain.factor) / 2:
        nearest /= 10
    return show(width, plain, nearest)


def _not_proven(
    part: Part, step: Check, value: Found, guard: float, shown_unit: Unit, nearest: Fraction, source: str
) -> str:
    doubt = width_words(guard, shown_unit, nearest)
    return (
        f"{part.path}: {step.name} is {value.shown}, inside {step.limits.text} by less than its uncertainty of {doubt}, "
        f"so it is not proven ({source}; guarded)"
    )


def _margin(limits: Limits, value: float, shown_unit: Unit, nearest: Fraction) -> str:
    """How far inside the nearer limit a value lies; below nil outside."""
    inside = [value - limits.low.value] if limits.low else []
    inside += [limits.high.value - value] if limits.high else []
    margin, width = min(inside), difference_of(shown_unit)
    if abs(margin) < float(nearest * width.factor) / 2:
        return f"under half of {float(nearest):g} {width.symbol}"
    return show(margin, width, nearest)


def _source(job: Job, step: Check, limits: Limits) -> str:
    """Where a limit comes from: what the check says, else what the names it consists of say."""
    if step.source:
        return step.source
    said = [one.source or f"calculated, {one.origin}" for one in limits.found.values()]
    return "; ".join(dict.fromkeys(said))


def _sentence(
    part: Part, step: Check, value: Found, limits: Limits, shown_unit: Unit, nearest: Fraction, source: str
) -> str:
    for bound, beyond, word in (
        (limits.low, limits.is_under, "under"),
        (limits.high, limits.is_over, "over"),
    ):
        if bound and beyond(value.number, value.exact):
            mine = value.exact if value.exact is not None else value.number
            theirs = bound.exact if bound.exact is not None else bound.value
            one, two = show_apart(mine, theirs, shown_unit, _fine_enough(bound, shown_unit, nearest))
            if value.exact is not None and _is_whole(value.exact, shown_unit, nearest):
                one = show(value.exact, shown_unit, nearest)
            return (
                f"{part.path}: {step.name} is {one}, {word} the limit of {two} ({step.limits.text}; {source})"
            )
    return f"{part.path}: {step.name} is {value.shown}, inside {step.limits.text} ({source})"
