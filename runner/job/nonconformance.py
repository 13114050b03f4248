"""The honest exits, and what is decided on a part that doesn't conform. None of them counts as a pass by itself."""

from __future__ import annotations

from typing import Any

from runner.job import events as e
from runner.job.corrections import left_unread
from runner.job.dependence import standing_on
from runner.job.events import Event, Ref
from runner.job.intents import Dispose, Permit, Stop, TakeUp
from runner.job.job import Job, Refusal
from runner.job.parts import Part
from runner.job.passes import nonconforming_part, refusal_to_begin
from runner.job.people import has_entries, refuse_own, refuse_role
from runner.job.reworks import begin, refuse_rework
from runner.job.state import PassKey, State
from runner.procedure.model import (
    Choose,
    Do,
    NotBefore,
    Read,
    Routed,
    Step,
    Wait,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)
from runner.shop.people import is_name

Answer = list[Event] | Refusal
_MAY_BE_CONCEDED = (e.CheckDecided, e.SoakStopped, e.ClockStopped, e.TotalOver)
Stamp = dict[str, Any]


def stop(job: Job, state: State, key: PassKey, asked: Stop, stamp: Stamp) -> Answer:
    """An honest exit, with its reason. The pass stands from here on; the entry in progress stays as it was."""
    if asked.exit not in (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING):
        return Refusal(
            f"'{asked.exit}' is no way out", f"{e.CANNOT_MEASURE}, {e.CANNOT_DO}, {e.NONCONFORMING}"
        )
    if not asked.because.strip():
        return Refusal(f"'{asked.exit}' needs its reason", "one line is enough")
    part = job.part_of(key)
    if asked.exit == e.NONCONFORMING and not part.names:
        return Refusal(
            "this stage is for the whole job; a part is nonconforming, not the job",
            "say 'cannot do as written'",
        )
    return [e.PassStopped(**stamp, exit=asked.exit, because=asked.because.strip())]


def take_up(job: Job, state: State, key: PassKey, asked: TakeUp, stamp: Stamp) -> Answer:
    """
    A stopped pass goes on, and why it can. A nonconforming part only where a correction has taken away the verdict that
    it stood on; else somebody decides.
    """
    found = state.at(key)
    if found.stop is None:
        return Refusal("this pass is not stopped")
    if found.stop.exit == e.NONCONFORMING and not is_cleared(state, key):
        return Refusal(f"{key[1]} is nonconforming ({found.stop.because})", way_on(found.stop.exit))
    lock = nonconforming_part(job, state, job.part_of(key))
    if lock and lock.path != key[1]:
        return Refusal(
            f"{lock.path} is nonconforming: {state.nonconforming[lock.path]}",
            "decide what becomes of it first",
        )
    if found.stop.exit != e.NONCONFORMING and (locked := refusal_to_begin(job, state, key)):
        return locked
    if not asked.because.strip():
        return Refusal("what has changed, so that it can go on?", "one line is enough")
    return [e.PassTakenUp(**stamp, because=asked.because.strip())]


def is_cleared(state: State, key: PassKey) -> bool:
    """Whether a nonconformance was said of a verdict that no longer stands, for its value was corrected or moved."""
    found = state.at(key)
    return found.stop is not None and found.stop.on_verdict and found.failed is None


def ways_out(job: Job, state: State, key: PassKey) -> tuple[str, ...]:
    """
    What may be decided here: at a check that isn't met the procedure's routes that are still open, and for a part that
    doesn't conform always scrap and return, so that no denied concession leaves it without an end.
    """
    found = state.at(key)
    number = found.stop.step if found.stop else found.failed.step if found.failed else 0
    if not number:
        return ()
    routes = _routes(job, state, key, number)
    open_routes = [
        one
        for one in routes
        if one not in ("scrap", "return")
        and (one == "concession" or not refuse_rework(job, state, key, number, one))
    ]
    if not (found.stop and found.stop.exit == e.NONCONFORMING):
        reworks = (job.procedure.rework(one) for one in open_routes)
        return tuple(one.title for one in reworks if one and one.kind == "rework")
    ends = [one for one in routes if one in ("scrap", "return")]
    ends += [one for one in ("scrap", "return") if one not in ends]
    return (*open_routes, *ends)


def _routes(job: Job, state: State, key: PassKey, number: int) -> tuple[str, ...]:
    """What the procedure names at what stopped this step, as far as it names anything."""
    failed, step = state.at(key).failed, job.step(key, number)
    if failed is None:
        return ()
    told: tuple[str, ...] = getattr(failed, "routes", ())
    return told or (step.routes if isinstance(step, Routed) else ())


def dispose(job: Job, state: State, key: PassKey, asked: Dispose, stamp: Stamp) -> Answer:
    """
    What becomes of a part. A rework may be begun at a check that isn't met by whoever is at the bench; all else is decided
    on a nonconforming part, by a named person without entries in its pass. A concession opens one check on one part.
    """
    found, part = state.at(key), job.part_of(key)
    rework = job.procedure.rework(asked.way)
    at_once = rework is not None and rework.kind == "rework" and found.failed is not None and not found.stop
    if not at_once and not (found.stop and found.stop.exit == e.NONCONFORMING):
        return Refusal(f"{part.path} is not nonconforming", "say so first, with the reason")
    outer = part if at_once else job.parts.outward(part)[-1 if not part.names else 1]
    lock = nonconforming_part(job, state, outer)
    if lock and (asked.way == "concession" or rework):
        return Refusal(
            f"{lock.path} is nonconforming: {state.nonconforming[lock.path]}",
            "decide what becomes of it first",
        )
    number = found.stop.step if found.stop else found.failed.step if found.failed else 0
    if asked.way not in ways_out(job, state, key):
        return _not_offered(job, state, key, number, asked.way)
    if not asked.because.strip() or not is_name(asked.by):
        return Refusal(f"'{asked.way}' is decided by a named person for a reason", "type both")
    if not at_once and (refusal := refuse_decider(job, state, key, asked.way, asked.by)):
        return refusal
    if asked.way == "concession" and not (
        isinstance(found.failed, _MAY_BE_CONCEDED) and found.failed.step == number
    ):
        return Refusal("a concession opens a check that was not met, and none stands here")
    stamp = {**stamp, "step": number}
    if rework:
        return begin(job, state, key, rework, asked, stamp)
    return [
        e.Disposed(
            **stamp,
            way=asked.way,
            by=asked.by.strip(),
            role=role_for(job, asked.way),
            identified=asked.identified,
            because=asked.because.strip(),
            solo=has_entries(state, asked.by, key),
            out_of_date=() if asked.way == "concession" else _without_part(job, state, part),
        )
    ]


def _without_part(job: Job, state: State, gone: Part) -> tuple[Ref, ...]:
    """What stands on values of a part that goes, on the parts that stay."""
    going = {part.path for level in job.procedure.parts for part in job.parts.inside(gone, level.name)}
    moved = {place for place in state.known if place[0] in going}
    return tuple(ref for ref in standing_on(job, state, moved) if ref.part not in going)


def _not_offered(job: Job, state: State, key: PassKey, number: int, way: str) -> Refusal:
    offered = ways_out(job, state, key)
    if way in _routes(job, state, key, number) and job.procedure.rework(way):
        refusal = refuse_rework(job, state, key, number, way)
        if refusal:
            return refusal
    what = f"the ways out are {', '.join(offered)}" if offered else "say 'nonconforming' first"
    return Refusal(f"'{way}' is not offered here", what)


def role_for(job: Job, way: str) -> str:
    """The role that decides so: the one that grants concessions for those, repairs and permits, else the one that releases."""
    rework = job.procedure.rework(way)
    grants = way in ("concession", PERMIT) or (rework is not None and rework.kind == "repair")
    return (job.procedure.concessions_by if grants else "") or job.procedure.released_by


PERMIT = "deviation permit"


def refuse_decider(job: Job, state: State, key: PassKey, way: str, by: str) -> Refusal | None:
    """Why this person can't decide so on this pass, or nothing."""
    role = role_for(job, way)
    return refuse_role(job, by, role, f"'{way}' is decided") or refuse_own(
        job, state, key, by, f"'{way}' is decided", role
    )


def may_permit(job: Job, state: State, key: PassKey) -> bool:
    """Whether the step that a pass stands at may be left or done otherwise by a permit: never a check, a hold or a signature."""
    stop_ = state.at(key).stop
    if stop_ is None or stop_.exit == e.NONCONFORMING:
        return False
    step: Step = job.step(key, stop_.step)
    return isinstance(step, Do | Zero | Read | Choose | Write | Wait | NotBefore | WitnessPoint | WorkOut)


def permit(job: Job, state: State, key: PassKey, asked: Permit, stamp: Stamp) -> Answer:
    """A deviation permit: given before, for one step on one part, which is then left or done as the permit says."""
    found = state.at(key)
    if found.stop is None or not may_permit(job, state, key):
        return Refusal(
            "no permit can be given here",
            "say 'cannot do as written' at the step first; a check is opened by a concession, a hold by nobody",
        )
    if locked := refusal_to_begin(job, state, key):
        return locked
    if not is_name(asked.by) or not is_name(asked.because):
        return Refusal("a permit is given by a named person, who says what is done instead", "type both")
    if refusal := refuse_decider(job, state, key, PERMIT, asked.by):
        return refusal
    step = job.step(key, found.stop.step)
    return [
        *left_unread(state, key, step, stamp),
        e.PermitGiven(
            **{**stamp, "step": found.stop.step},
            by=asked.by.strip(),
            role=role_for(job, PERMIT),
            identified=asked.identified,
            because=asked.because.strip(),
            solo=has_entries(state, asked.by, key),
            timed_as=step.about.timed_as,
        ),
    ]


def way_on(exit_: str) -> str:
    """What to do at a pass that an exit stopped."""
    if exit_ == e.NONCONFORMING:
        return "somebody else decides: rework, repair, concession, scrap or return"
    return "take it up again when it can be done, saying what has changed"
