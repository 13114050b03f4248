"""Waits: how long one has lasted, and whether it is over. A key, a restart or a set clock never makes one shorter."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from runner.job.events import Event, WaitPassed
from runner.job.job import Job, Refusal
from runner.job.moments import Elapsed, Moment, clock_words, elapsed, span_words
from runner.job.state import PassKey, State, Timed
from runner.procedure.model import Wait


def pass_wait(
    job: Job, state: State, key: PassKey, step: Wait, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """A wait that is over. Before that no key passes it."""
    timed = _started(job, state, key, step)
    if timed is None:
        return Refusal(f"'{step.name}' runs from '{step.starts}', which has not been done")
    spent = since(state, timed, now)
    rest = timedelta(seconds=float(step.least.si)) - spent.lasted
    if rest.total_seconds() > 0:
        due = clock_words(now.utc + rest, job.zone, now.utc)
        doubt = f" ({spent.note})" if spent.note else ""
        return Refusal(
            f"'{step.name}' has {span_words(rest)} of {step.least.typed} left; it is done at {due}{doubt}",
            "other parts may be worked on meanwhile",
        )
    return [
        WaitPassed(
            **stamp,
            name=step.name,
            started=timed.at,
            lasted_s=round(spent.lasted.total_seconds(), 3),
            least=step.least.typed,
            note=spent.note,
        )
    ]


def time_left(
    job: Job, state: State, key: PassKey, step: Wait, now: Moment
) -> tuple[timedelta, timedelta, str] | None:
    """How long a wait has lasted, how long it still has (nil or less when over), and what is to be said of its clock."""
    timed = _started(job, state, key, step)
    if timed is None:
        return None
    spent = since(state, timed, now)
    return spent.lasted, timedelta(seconds=float(step.least.si)) - spent.lasted, spent.note


def since(state: State, timed: Timed, now: Moment) -> Elapsed:
    """The time proved since something was done, over every restart seen since and the one that may be now."""
    marks = list(state.marks[timed.marks :])
    if state.last_at is not None and state.last_at.boot_id != now.boot_id:
        marks.append(state.last_at)
    return elapsed(timed.at, now, marks)


def _started(job: Job, state: State, key: PassKey, step: Wait) -> Timed | None:
    for outer in job.parts.outward(job.part_of(key)):
        if (outer.path, step.starts) in state.times:
            return state.times[(outer.path, step.starts)]
    return None
