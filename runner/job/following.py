"""What follows an act by itself, in the same transaction: values worked, checks and branches decided, passes and the job
done. After a correction that includes every value and check anywhere that stood on it, worked anew at once.
"""

from __future__ import annotations

from typing import Any

from runner.job import events as e
from runner.job.branches import decide_branch, is_applicable, turned, undecided
from runner.job.corrections import begun_anew
from runner.job.events import Event
from runner.job.fold import fold
from runner.job.job import Job, Refusal
from runner.job.passes import is_complete, is_live, next_step
from runner.job.rounds import decide_round
from runner.job.soaks import done_by_now
from runner.job.state import PassKey, State
from runner.job.totals import added, over
from runner.job.values import NotKnownYet
from runner.job.verdicts import decide_check
from runner.job.waits import decide_window
from runner.job.working import take_rung, work_out
from runner.procedure.model import Check, Repeat, Rung, Soak, Step, Window, WorkOut

Answer = list[Event] | Refusal


def follow(job: Job, state: State, answer: Answer, stamp: dict[str, Any]) -> Answer:
    """The answer with all that follows from it by itself. `stamp` says who and when."""
    if isinstance(answer, Refusal):
        return answer
    events: list[Event] = []
    for event in answer:
        grew = added(job, state, event)
        made = [event, *([grew] if grew else []), *begun_anew(job, state, event, stamp)]
        events, state = [*events, *made], fold(made, state)
    stopped = over(job, state, events)
    events, state = [*events, *stopped], fold(stopped, state)
    while further := _next(job, state, stamp):
        made = [further, *begun_anew(job, state, further, stamp)]
        events, state = [*events, *made], fold(made, state)
    return events


def _next(job: Job, state: State, stamp: dict[str, Any]) -> Event | None:
    return _anew(job, state, stamp) or _onward(job, state, stamp) or _done(job, state, stamp)


def _anew(job: Job, state: State, stamp: dict[str, Any]) -> Event | None:
    """The first value, verdict or branch out of date that can be worked anew now."""
    dated = any(found.out_of_date for found in state.passes.values())
    for stage in job.procedure.every_stage if dated else ():
        for part in job.parts.at(stage.for_each):
            found = state.at((stage.title, part.path))
            if not found.out_of_date or not is_live(job, state, part):
                continue
            for number in sorted(found.out_of_date):
                step = stage.steps[number - 1]
                if is_applicable(stage, found, step):
                    made = _worked(job, state, (stage.title, part.path), step, stamp)
                    if made:
                        return made
    branched = [key for key, found in state.passes.items() if found.branches]
    live = [key for key in branched if is_live(job, state, job.part_of(key))]
    return turned(job, state, live, stamp)


def _onward(job: Job, state: State, stamp: dict[str, Any]) -> Event | None:
    """The next thing in the pass in hand that needs no person."""
    key = state.in_hand
    if key is None or state.at(key).stop:
        return None
    step, failed = next_step(job, state, key), state.at(key).failed
    if step is None or (failed and failed.step <= step.about.number):
        return None
    block = undecided(job.stage_of(key), state.at(key), step)
    if block:
        try:
            return decide_branch(job, state, key, block, stamp)
        except NotKnownYet:
            return None
    return _worked(job, state, key, step, stamp)


def _worked(job: Job, state: State, key: PassKey, step: Step, stamp: dict[str, Any]) -> Event | None:
    """A value, a verdict or a rung, or nothing where a person is wanted or an input isn't there."""
    try:
        return _work(job, state, key, step, stamp)
    except NotKnownYet:
        return None


def _work(job: Job, state: State, key: PassKey, step: Step, stamp: dict[str, Any]) -> Event | None:
    here = {**stamp, "stage": key[0], "part": key[1], "step": step.about.number}
    part = job.part_of(key)
    match step:
        case WorkOut():
            return work_out(job, state, part, step, here)
        case Check():
            return decide_check(job, state, part, step, here)
        case Rung():
            return take_rung(job, state, part, step, here)
        case Repeat():
            return decide_round(job, state, key, step, here)
        case Window():
            return decide_window(job, state, part, step, here)
        case Soak():
            return done_by_now(state, key, step, here)
        case _:
            return None


def _done(job: Job, state: State, stamp: dict[str, Any]) -> Event | None:
    """A pass that is done by now, or the job."""
    for key, found in state.passes.items():
        if (
            found.started
            and not (found.done or found.stop or found.failed)
            and next_step(job, state, key) is None
        ):
            return e.PassDone(**stamp, stage=key[0], part=key[1])
    if not state.completed and is_complete(job, state):
        return e.JobCompleted(**stamp)
    return None


def waits_for(job: Job, state: State, key: PassKey) -> str:
    """Why a pass stands at something that would work itself out, in a sentence; empty where it doesn't."""
    step = next_step(job, state, key)
    if step is None or state.last_at is None:
        return ""
    stamp = {"at": state.last_at, "who": ""}
    block = undecided(job.stage_of(key), state.at(key), step)
    try:
        if block:
            decide_branch(job, state, key, block, stamp)
        else:
            _work(job, state, key, step, stamp)
    except NotKnownYet as why:
        return str(why)
    return ""
