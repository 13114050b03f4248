"""Which instrument a reading is taken with: one of the shop's, in date, or as the procedure describes it where the shop
file names none at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from runner.job.dependence import made_by, standing_on
from runner.job.events import Event, GaugeTaken, Ref, WentOutOfDate
from runner.job.job import Job, Refusal
from runner.job.moments import Moment
from runner.job.passes import is_live
from runner.job.state import State
from runner.procedure.model import Zero
from runner.quantities.quantity import Quantity
from runner.shop.gauges import is_overdue
from runner.shop.model import Gauge


@dataclass(frozen=True, slots=True)
class InUse:
    """An instrument as it is used: `called` names it as a source of error, `gauge` is the shop's mark for it, if any."""

    called: str
    gauge: str
    reads_to: Quantity
    uncertainty: Quantity
    calibrated_until: str


def instrument_for(job: Job, state: State, kind: str, now: Moment) -> InUse | Refusal | None:
    """The instrument of a kind that is in use, None for a figure that nothing was read with, or why none may be used."""
    described = job.procedure.instrument(kind)
    if described is None:
        return None
    if not job.shop.gauges:
        return InUse(kind, "", described.reads_to, described.uncertainty, "")
    gauge = in_use(job, state, kind)
    if isinstance(gauge, Refusal):
        return gauge
    if gauge.reads_to.kind != described.reads_to.kind:
        return Refusal(
            f"{gauge.id} reads {gauge.reads_to.kind.words}, and the {kind} here reads {described.reads_to.kind.words}",
            "look at the shop file",
        )
    if is_overdue(gauge, now.utc.astimezone(job.zone).date()):
        return Refusal(
            f"{gauge.id} was calibrated until {gauge.calibrated_until.isoformat()}, which is past",
            "take another one, or have it calibrated and say so in the shop file",
        )
    return InUse(gauge.id, gauge.id, gauge.reads_to, gauge.uncertainty, gauge.calibrated_until.isoformat())


def in_use(job: Job, state: State, kind: str) -> Gauge | Refusal:
    """The one that was taken, or the only one there is; else what must be said or entered first."""
    there = job.shop.of_kind(kind)
    taken = state.gauges.get(kind)
    chosen = next((one for one in there if taken and one.id == taken.gauge), None)
    if chosen:
        return chosen
    if len(there) == 1:
        return there[0]
    if not there:
        return Refusal(
            f"the shop file has no {kind}", "`benchhand shop instrument` enters one; or say 'cannot measure'"
        )
    return Refusal(
        f"which {kind} is it? The shop has {', '.join(one.id for one in there)}", "say which one you use"
    )


def take(
    job: Job, state: State, kind: str, mark: str, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """One of the shop's instruments taken for its kind."""
    there = job.shop.of_kind(kind)
    gauge = next((one for one in there if one.id.casefold() == mark.strip().casefold()), None)
    if gauge is None:
        return Refusal(
            f"no {kind} of the shop is marked '{mark.strip()}'",
            f"the shop has {', '.join(one.id for one in there)}" if there else "enter it in the shop file",
        )
    if is_overdue(gauge, now.utc.astimezone(job.zone).date()):
        return Refusal(f"{gauge.id} was calibrated until {gauge.calibrated_until.isoformat()}, which is past")
    before = state.gauges.get(kind)
    if before and before.gauge == gauge.id:
        return Refusal(f"{gauge.id} is in use already")
    return [
        *zeros_of_another(job, state, kind, gauge, stamp),
        GaugeTaken(
            **stamp,
            kind=kind,
            gauge=gauge.id,
            reads_to=gauge.reads_to.typed,
            uncertainty=gauge.uncertainty.typed,
            calibrated_until=gauge.calibrated_until.isoformat(),
        ),
    ]


def zeros_of_another(job: Job, state: State, kind: str, gauge: Gauge, stamp: dict[str, Any]) -> list[Event]:
    """The zeros of this kind in passes that go on, where they were set on another instrument."""
    why = f"it was not {gauge.id} that was zeroed"
    return [
        WentOutOfDate(**stamp, stage=ref.stage, part=ref.part, step=ref.step, because=why)
        for ref, zeroed in _zeros(job, state, kind)
        if zeroed != gauge.id and not state.at((ref.stage, ref.part)).done
    ]


def zeros_of_others(job: Job, state: State, stamp: dict[str, Any]) -> list[Event]:
    """Likewise of every kind, where the shop file now names another instrument as the one in use."""
    kinds = [one.title for one in job.procedure.instruments]
    in_hand = [(kind, gauge) for kind in kinds if isinstance(gauge := in_use(job, state, kind), Gauge)]
    return [event for kind, gauge in in_hand for event in zeros_of_another(job, state, kind, gauge, stamp)]


def _zeros(job: Job, state: State, kind: str) -> list[tuple[Ref, str]]:
    """The zeros of a kind that stand, and with which instrument each was read."""
    return [
        (Ref(stage=key[0], part=key[1], step=step.about.number), found.zeroed.get(step.about.number, ""))
        for key, found in state.passes.items()
        if is_live(job, state, job.part_of(key))
        for step in job.stage_of(key).steps
        if isinstance(step, Zero) and step.instrument == kind and step.about.number in found.done_steps
    ]


def since_last_zero(job: Job, state: State, gauge: str, kind: str) -> tuple[Ref, ...]:
    """
    Every reading that counts, taken with an instrument since its last good zero, all that stood on it, and the zeros that
    such readings and passes under way would be read on. In the order of the work.
    """
    mark = gauge or kind
    last = state.zeroed.get(mark, -1)
    doubtful = {
        Ref(stage=known.stage, part=known.part, step=known.step)
        for known in state.known.values()
        if known.position > last and any((one.gauge or one.instrument) == mark for one in known.points)
    }
    doubtful = {ref for ref in doubtful if ref.step not in state.at((ref.stage, ref.part)).out_of_date}
    moved = {place for ref in doubtful for place in _made_at(job, ref)}
    passes = {(ref.stage, ref.part) for ref in doubtful}
    zeros = {
        ref
        for ref, zeroed in _zeros(job, state, kind)
        if zeroed == mark and ((ref.stage, ref.part) in passes or not state.at((ref.stage, ref.part)).done)
    }
    return tuple(_in_order(job, {*doubtful, *zeros, *standing_on(job, state, moved, doubtful)}))


def _made_at(job: Job, ref: Ref) -> set[tuple[str, str]]:
    key = (ref.stage, ref.part)
    return made_by(job.part_of(key), job.step(key, ref.step))


def _in_order(job: Job, refs: set[Ref]) -> list[Ref]:
    """Steps in the order of the work: stage by stage, part by part."""
    stages = {stage.title: at for at, stage in enumerate(job.procedure.every_stage)}
    return sorted(refs, key=lambda ref: (stages[ref.stage], ref.part, ref.step))
