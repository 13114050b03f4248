"""Worked values and rungs, decided once and kept with formula, inputs, result and program; and how a value is shown."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from runner.formula.explain import with_values
from runner.formula.uncertain import propagate, work_measured
from runner.formula.values import CannotBeWorked
from runner.job.dependence import standing_on
from runner.job.events import CheckDecided, Input, NotWorked, Ref, RungTaken, Share, ValueWorked
from runner.job.job import Job
from runner.job.limits import Bound, beyond
from runner.job.parts import Part
from runner.job.state import Known, State
from runner.job.values import Found, NotKnownYet, find_all, inputs_of
from runner.procedure.model import Ladder, Read, Rung, WorkOut
from runner.quantities.kinds import TEMPERATURE_DIFFERENCE
from runner.quantities.quantity import fine_step, last_digit, show
from runner.quantities.units import Unit

KELVIN = Unit("K", TEMPERATURE_DIFFERENCE, Fraction(1))


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
        if number >= lowest and not beyond(Bound(least, None), float(size.si), None, -1, 0.0):
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


def difference_of(shown_unit: Unit) -> Unit:
    """The unit for a difference of two values shown in a unit: K for temperatures, else the same."""
    return KELVIN if shown_unit.kind.point else shown_unit


def width_words(width: float, shown_unit: Unit, nearest: Fraction) -> str:
    """A width such as U, beside a value in a unit: '0.007 mm', for a temperature '3 K'. Never shown as nil if it isn't."""
    plain = difference_of(shown_unit)
    while width and width < float(nearest * plain.factor) / 2:
        nearest /= 10
    return show(width, plain, nearest)
