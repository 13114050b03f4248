"""Which passes may begin, which step is next in one, and in what state each stands. Order locks are kept here."""

from __future__ import annotations

from enum import Enum

from runner.job.branches import is_applicable
from runner.job.events import ZeroRead
from runner.job.job import Job, Refusal
from runner.job.parts import WHOLE_JOB, Part
from runner.job.state import Pass, PassKey, State
from runner.procedure.model import Stage, Step


class Standing(Enum):
    """The states of a pass, in the words the screen and the record use."""

    NOT_STARTED = "not started"
    IN_PROGRESS = "in progress"
    HELD = "held"
    DONE = "done"
    NOT_APPLICABLE = "not applicable"


def next_step(job: Job, state: State, key: PassKey) -> Step | None:
    """The first step of a pass that is applicable and not complete, or no longer stands; None where all do."""
    stage, found = job.stage_of(key), state.at(key)
    return next(
        (
            step
            for step in stage.steps
            if step.about.number not in found.done_steps and is_applicable(stage, found, step)
        ),
        None,
    )


def is_live(job: Job, state: State, part: Part) -> bool:
    """Whether a part is still in the job: neither it nor one it lies in was scrapped or returned; a load while any in it is."""
    members = job.parts.members(part)
    if members:
        return any(is_live(job, state, one) for one in members)
    return not any(outer.path in state.gone for outer in job.parts.outward(part))


def nonconforming_part(job: Job, state: State, part: Part) -> Part | None:
    """The nonconforming part that locks this one: itself, or one it lies in."""
    for outer in job.parts.outward(part):
        if outer.names and outer.path in state.nonconforming:
            return outer
    return None


def standing(job: Job, state: State, key: PassKey) -> Standing:
    found = state.at(key)
    part = job.part_of(key)
    if found.done:
        return Standing.DONE
    if not is_live(job, state, part):
        return Standing.NOT_APPLICABLE
    if is_stopped(found) or (found.started and nonconforming_part(job, state, part)):
        return Standing.HELD
    return Standing.IN_PROGRESS if found.started else Standing.NOT_STARTED


def is_stopped(found: Pass) -> bool:
    """Whether a pass waits for somebody's decision: an exit was taken, or a verdict stands against it."""
    return found.stop is not None or (found.failed is not None and not isinstance(found.failed, ZeroRead))


def refusal_to_begin(job: Job, state: State, key: PassKey) -> Refusal | None:
    """Why a pass may not begin or go on, or None where it may."""
    stage, part = job.stage_of(key), job.part_of(key)
    if state.at(key).done:
        return Refusal(f"'{stage.title}' is done on {part.path}")
    if not is_live(job, state, part):
        return Refusal(f"{part.path} is no longer in this job")
    lock = nonconforming_part(job, state, part)
    if lock:
        return Refusal(
            f"{lock.path} is nonconforming: {state.nonconforming[lock.path]}",
            "decide what becomes of it first",
        )
    reworking = next(
        (state.reworking[one.path] for one in job.parts.outward(part) if one.path in state.reworking), None
    )
    if reworking and reworking != key:
        return Refusal(f"'{reworking[0]}' on {reworking[1]} comes first", "finish the rework's own steps")
    if stage.number == 0:
        return None if reworking else Refusal(f"'{stage.title}' was not begun on {part.path}")
    missing = _missing(job, state, stage, part)
    if missing:
        title, others, why = missing
        return Refusal(f"'{stage.title}' on {part.path} comes after '{title}', which is {why} on {others}")
    return None


def _missing(job: Job, state: State, stage: Stage, part: Part) -> tuple[str, str, str] | None:
    """A stage that must come first and is not done or out of date, on which parts, and which of the two."""
    for title in (*stage.after, *stage.after_all):
        before = job.procedure.stage(title)
        parts = (
            job.parts.at(before.for_each)
            if title in stage.after_all
            else job.parts.around(part, before.for_each)
        )
        open_parts = [
            one.path for one in parts if is_live(job, state, one) and not state.at((title, one.path)).done
        ]
        if job.parts.is_load(before.for_each):
            without = [
                one for one in job.parts.without_load(part, before.for_each) if is_live(job, state, one)
            ]
            open_parts += [f"{one.path}, which is in no {before.for_each}" for one in without]
        if open_parts:
            dated = all(is_out_of_date(state, (title, path)) for path in open_parts)
            return title, ", ".join(open_parts), "out of date" if dated else "not done"
    return None


def is_out_of_date(state: State, key: PassKey) -> bool:
    """Whether something done in a pass no longer stands."""
    return bool(state.at(key).out_of_date)


def may_begin(job: Job, state: State) -> list[PassKey]:
    """Every pass that may begin or go on now, stage by stage."""
    keys = [*state.reworking.values(), *job.keys()]
    return [key for key in keys if refusal_to_begin(job, state, key) is None]


def is_complete(job: Job, state: State) -> bool:
    """Whether every pass on every live part is done and none of those parts waits for a decision."""
    for level in job.procedure.parts:
        if level.of and any(
            is_live(job, state, one) for one in job.parts.without_load(WHOLE_JOB, level.name)
        ):
            return False
    keys = [*state.reworking.values(), *job.keys()]
    return all(state.at(key).done or not is_live(job, state, job.part_of(key)) for key in keys)
