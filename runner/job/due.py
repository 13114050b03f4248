"""What time runs for in a job: every wait, window, soak, time of day, witness and clock, with when and what then. Worked out
from the state and the moment; never an event.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from runner.job.branches import is_applicable
from runner.job.job import Job
from runner.job.moments import Moment, clock_words
from runner.job.passes import is_live, open_reworks
from runner.job.state import Clock, PassKey, Soaking, State
from runner.job.waits import longest_since, since, time_left, time_of, time_of_day
from runner.procedure.model import AgainstTheClock, NotBefore, Soak, Step, Wait, Window, WitnessPoint

TIMED = AgainstTheClock | NotBefore | Soak | Wait | Window | WitnessPoint
"""The steps that time can run for."""


@dataclass(frozen=True, slots=True)
class Due:
    """
    One thing that time runs for, in UTC: `earliest` is when it may go on, `latest` until when it must have; one of them is
    there. `then` says what is to be done, in a line; `is_over` where its moment is past.
    """

    sort: str
    what: str
    part: str
    earliest: datetime | None
    latest: datetime | None
    then: str
    is_over: bool = False

    @property
    def at(self) -> datetime:
        """The moment that it is sorted by and shown with."""
        found = self.earliest or self.latest
        assert found
        return found


def running(job: Job, state: State, now: Moment) -> list[Due]:
    """Everything that time runs for now, soonest first; what is due or overdue stays in it until somebody sees to it."""
    found = []
    for key, step in timed_steps(job, state):
        due = due_at(job, state, key, step, now)
        found += [replace(due, is_over=due.at <= now.utc)] if due else []
    return sorted(found, key=lambda due: due.at)


def timed_steps(job: Job, state: State) -> Iterator[tuple[PassKey, Step]]:
    """Every step that time can run for and that is still to be done on a part in the job, begun or not."""
    for stage in job.procedure.every_stage:
        timed = [step for step in stage.steps if isinstance(step, TIMED)]
        for part in job.parts.at(stage.for_each) if timed else ():
            key = (stage.title, part.path)
            here = state.at(key)
            if here.done or not is_live(job, state, part):
                continue
            if stage.number == 0 and key not in open_reworks(state):
                continue
            for step in timed:
                if step.about.number not in here.done_steps and is_applicable(stage, here, step):
                    yield key, step


def due_at(job: Job, state: State, key: PassKey, step: Step, now: Moment) -> Due | None:
    """What time runs for at one step, if it does."""
    match step:
        case Wait(name=name):
            left = time_left(job, state, key, step, now)
            return Due("wait", name, key[1], now.utc + left[1], None, "go on") if left else None
        case NotBefore(name=name, condition=None):
            due, rest, _ = time_of_day(job, state, key, step, now)
            return Due("not before", name, key[1], now.utc + rest, None, "go on") if due else None
        case Window():
            return _window(job, state, key, step, now)
        case Soak():
            return _soak(job, state, key, step, now)
        case WitnessPoint(title=title, goes_on_after=after):
            called = state.at(key).called.get(step.about.number)
            if called is None:
                return None
            left_s = float(after.si) - since(state, called, now).lasted.total_seconds()
            return Due(
                "witness",
                title,
                key[1],
                _in(now, left_s),
                None,
                f"go on without the {step.by} if nobody came",
            )
        case AgainstTheClock():
            return _clock(state, key, step, now)
        case _:
            return None


def _in(now: Moment, seconds: float) -> datetime:
    return now.utc + timedelta(seconds=seconds)


def _window(job: Job, state: State, key: PassKey, step: Window, now: Moment) -> Due | None:
    found = window_left(job, state, key, step, now)
    return (
        Due("window", step.name, key[1], None, _in(now, found[1]), f"{step.ends} by then") if found else None
    )


def window_left(
    job: Job, state: State, key: PassKey, step: Window, now: Moment
) -> tuple[datetime, float] | None:
    """Since when a window runs, and how many seconds it still has; nothing where it doesn't run."""
    part = job.part_of(key)
    start, end = (time_of(job, state, part, name) for name in (step.starts, step.ends))
    if start is None or (end is not None and step.about.number not in state.at(key).out_of_date):
        return None
    return start.at.utc, float(step.most.si) - longest_since(state, start, now).total_seconds()


def _soak(job: Job, state: State, key: PassKey, step: Soak, now: Moment) -> Due | None:
    """The next reading: when, until when it still counts, and when the soak can be over if every one is inside."""
    times = soak_left(state, key, step, now)
    if times is None:
        return None
    next_s, late_s, left_s = times
    over = clock_words(_in(now, left_s), job.zone, now.utc)
    return Due(
        "soak",
        step.name,
        key[1],
        _in(now, min(next_s, left_s)),
        _in(now, late_s),
        f"read again; over at {over} at the soonest",
    )


def soak_left(state: State, key: PassKey, step: Soak, now: Moment) -> tuple[float, float, float] | None:
    """Seconds until a soak's next reading, until it comes too late to count, and until it can be over at the soonest."""
    soaking = state.at(key).soaks.get(step.about.number, Soaking())
    if soaking.last_at is None:
        return None
    next_s = float(step.every.si) - longest_since(state, soaking.last_at, now).total_seconds()
    grace_s = float(step.grace.si) if step.grace else 0.0
    left_s = float(step.least.si) - soaking.total_s
    if soaking.last and soaking.last.inside and next_s + grace_s >= 0:
        left_s -= since(state, soaking.last_at, now).lasted.total_seconds()
    return next_s, next_s + grace_s, max(0.0, left_s)


def _clock(state: State, key: PassKey, step: AgainstTheClock, now: Moment) -> Due | None:
    clock = state.at(key).clocks.get(step.about.number, Clock())
    if clock.started is None or clock.armed is None or state.at(key).failed:
        return None
    if clock.stopped_at is None:
        left_s = clock.armed.last_s - longest_since(state, clock.started, now).total_seconds()
        return Due("clock", step.name, key[1], None, _in(now, left_s), step.second_key)
    held_s = float(step.hold_down.si) if step.hold_down else 0.0
    left_s = held_s - since(state, clock.stopped_at, now).lasted.total_seconds()
    return Due("clock", step.name, key[1], _in(now, left_s), None, "let go")
