"""Checks decided once, each verdict kept with its limits, their source, its margin and its sentence."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from typing import Any

from runner.formula.uncertain import COVERAGE, Uncertain
from runner.formula.values import CannotBeWorked
from runner.job.events import CheckDecided, NotWorked
from runner.job.job import Job
from runner.job.limits import Bound, Limits, limits_for
from runner.job.parts import Part
from runner.job.state import State
from runner.job.values import Found, NotKnownYet, find, inputs_of, known_outward
from runner.job.working import difference_of, how_shown, width_words
from runner.procedure.model import Check
from runner.quantities.quantity import show, show_apart
from runner.quantities.units import Unit

FINEST = Fraction(1, 10**6)
"""Of the unit shown: a limit is never shown finer than this, however it was worked."""


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


def _shown(bound: Bound | None, shown_unit: Unit, nearest: Fraction) -> str:
    if bound is None:
        return ""
    step = _fine_enough(bound, shown_unit, nearest)
    said = show(bound.exact if bound.exact is not None else bound.value, shown_unit, step)
    return f"{said} ({bound.other})" if bound.other else said


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
