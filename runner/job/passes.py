"""Which passes may begin, which step is next in one, and in what state each stands. Order locks are kept here."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from runner.job.branches import is_applicable
from runner.job.events import ZeroRead
from runner.job.job import Job, Refusal
from runner.job.parts import WHOLE_JOB, Part
from runner.job.state import Pass, PassKey, State
from runner.procedure.model import Hazard, Stage, Step


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


def to_acknowledge(stage: Stage, found: Pass, step: Step) -> tuple[Hazard, ...]:
    """The dangers and warnings to be read before a step: its own, and before the first act of a pass its stage's too."""
    if step.about.number in found.acknowledged:
        return ()
    of_stage = () if found.acknowledged else stage.beware
    return tuple(dict.fromkeys(one for one in (*of_stage, *step.about.beware) if one.asks))


def is_live(job: Job, state: State, part: Part) -> bool:
    """Whether a part is still in the job: neither it nor one it lies in was scrapped or returned; a load while any in it is."""
    if not state.gone:
        return True
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


def refusal_to_begin(
    job: Job, state: State, key: PassKey, clear: set[PassKey] | None = None
) -> Refusal | None:
    """
    Why a pass may not begin or go on, or None where it may. `clear` are passes known to wait for nothing, where many are
    asked about at once.
    """
    stage, part = job.stage_of(key), job.part_of(key)
    if state.at(key).done:
        return Refusal(f"'{stage.title}' is done on {part.path}")
    if locked := refuse_part(job, state, key):
        return locked
    if stage.number == 0:
        begun = key in open_reworks(state)
        return None if begun else Refusal(f"'{stage.title}' was not begun on {part.path}")
    missing = _missing(job, state, stage, part, set() if clear is None else clear)
    if missing:
        title, others, why = missing
        behind = "comes after" if title in (*stage.after, *stage.after_all) else "waits for"
        return Refusal(f"'{stage.title}' on {part.path} {behind} '{title}', which is {why} on {others}")
    return None


def refuse_part(job: Job, state: State, key: PassKey) -> Refusal | None:
    """Why nothing is done now on the part of a pass: it is gone, or nonconforming, or a rework's own steps come first."""
    part = job.part_of(key)
    if not is_live(job, state, part):
        return Refusal(f"{part.path} is no longer in this job")
    lock = nonconforming_part(job, state, part)
    if lock:
        return Refusal(
            f"{lock.path} is nonconforming: {state.nonconforming[lock.path]}",
            "decide what becomes of it first",
        )
    reworking = next((one for one in open_reworks(state) if _lies_in(job, part, one[1])), key)
    if reworking != key:
        return Refusal(f"'{reworking[0]}' on {reworking[1]} comes first", "finish the rework's own steps")
    return None


def open_reworks(state: State) -> list[PassKey]:
    """The reworks whose own steps are not done, or no longer stand: they come before all else on their part."""
    keys = [(title, path) for path, title in state.reworks]
    return [key for key in keys if state.at(key).started and not state.at(key).done]


def _lies_in(job: Job, part: Part, path: str) -> bool:
    return any(outer.path == path for outer in job.parts.outward(part))


def _missing(
    job: Job, state: State, stage: Stage, part: Part, clear: set[PassKey]
) -> tuple[str, str, str] | None:
    """
    A stage that must come first, directly or through others, and is not done or out of date, on which parts, and which
    of the two. `clear` collects the passes that wait for nothing.
    """
    if (stage.title, part.path) in clear:
        return None
    through: list[tuple[Stage, Part]] = []
    for title in (*stage.after, *stage.after_all):
        before = job.procedure.stage(title)
        parts = (
            job.parts.at(before.for_each)
            if title in stage.after_all
            else job.parts.around(part, before.for_each)
        )
        through += [(before, one) for one in parts if is_live(job, state, one)]
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
    for before, one in through:
        missing = _missing(job, state, before, one, clear)
        if missing:
            return missing
    clear.add((stage.title, part.path))
    return None


def is_out_of_date(state: State, key: PassKey) -> bool:
    """Whether something done in a pass no longer stands."""
    return bool(state.at(key).out_of_date)


def may_begin(job: Job, state: State) -> list[PassKey]:
    """Every pass that may begin or go on now, stage by stage."""
    clear: set[PassKey] = set()
    keys = [*open_reworks(state), *job.keys()]
    return [key for key in keys if refusal_to_begin(job, state, key, clear) is None]


def is_complete(job: Job, state: State) -> bool:
    """Whether every pass on every live part is done and none of those parts waits for a decision."""
    for level in job.procedure.parts:
        if level.of and any(
            is_live(job, state, one) for one in job.parts.without_load(WHOLE_JOB, level.name)
        ):
            return False
    return next(_not_done(job, state), None) is None


def not_done(job: Job, state: State) -> list[PassKey]:
    """Every pass that a live part still lacks, the own steps of reworks among them."""
    return list(_not_done(job, state))


def _not_done(job: Job, state: State) -> Iterator[PassKey]:
    for key in (*open_reworks(state), *job.keys()):
        if not state.at(key).done and is_live(job, state, job.part_of(key)):
            yield key
