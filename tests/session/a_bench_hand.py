"""Somebody at the bench with a sheet of readings, who does what the state of a job asks for next and nothing else.

What is done next depends on the state alone, so the work can be broken off anywhere and taken up by another.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from runner.job.intents import (
    Acknowledge,
    Arm,
    Attend,
    CallWitness,
    ClockKey,
    Confirm,
    ConfirmPrerequisite,
    Intent,
    MakeLoad,
    Notice,
    Release,
    ReleaseJob,
    Sign,
    Skip,
    StartPass,
    Tick,
    Type,
)
from runner.job.job import Job
from runner.job.moments import Moment
from runner.job.opening import Opening
from runner.job.parts import WHOLE_JOB
from runner.job.passes import may_begin, next_step, to_acknowledge
from runner.job.soaks import wanted_now
from runner.job.state import Clock, PassKey, Soaking, State
from runner.job.waits import time_left, time_of_day
from runner.procedure.model import (
    AgainstTheClock,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Procedure,
    Read,
    SignOff,
    Soak,
    Wait,
    WitnessPoint,
    Write,
    Zero,
)
from runner.session.at_work import AtWork, Kept
from runner.session.entries import Entries, read_entries
from runner.session.library import procedure_at, shipped_folder

MACHINIST, INSPECTOR = "Tam Oakley", "Wren Hollis"
OPENED = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)
Sheet = Mapping[tuple[str, str, str], str]
"""What is typed, by stage, part and the name of the reading or instrument; at a hold point by its title and no stage."""


class BenchClock:
    """A clock that goes on from a moment by hand, on one machine that is never switched off."""

    def __init__(self, at: datetime = OPENED) -> None:
        self.at = at

    def now(self) -> Moment:
        return Moment(self.at, (self.at - OPENED).total_seconds() + 1000, "one long boot")

    def run(self, lasted: timedelta) -> None:
        self.at += lasted


def demo_text() -> str:
    return (shipped_folder() / "demo" / "head-seats.entries.yaml").read_text(encoding="utf-8")


@cache
def demo_entries(text: str | None = None) -> Entries:
    entries, problems = read_entries(text or demo_text(), "demo.yaml")
    assert entries is not None, problems
    return entries


@cache
def demo_procedure() -> Procedure:
    return procedure_at(str(shipped_folder() / "head-seats.yaml"))


def demo_sheet() -> Sheet:
    acts = demo_entries().acts
    typed = {
        (act.said, act.keys["for"], name): text
        for act in acts
        if act.what == "pass"
        for name, text in act.typed.items()
    }
    again = {("", act.keys["for"], act.said): act.keys["reads"] for act in acts if "reads" in act.keys}
    return typed | again


def demo_opening(number: str = "41", *, alone: bool = False) -> Opening:
    return Opening(number, MACHINIST, {"head": ["H1", "H2"]}, alone, invented=True, zone="UTC+01:00")


def opened(path: Path, clock: BenchClock | None = None, number: str = "41") -> AtWork:
    return AtWork.open(path, demo_procedure(), demo_opening(number), clock or BenchClock())


def next_act(job: Job, state: State, now: Moment, sheet: Sheet) -> tuple[Intent, timedelta] | None:
    """What is done next and how long it is waited for before; None once the job is released."""
    at_once = timedelta(0)
    if state.released:
        return None
    if state.prerequisites < len(job.procedure.prerequisites):
        return ConfirmPrerequisite(state.prerequisites + 1), at_once
    if state.completed:
        return ReleaseJob(INSPECTOR, "four seats ready to fit"), at_once
    key = state.in_hand
    if key is None:
        ready = may_begin(job, state)
        return (StartPass(ready[0]) if ready else _next_load(job)), at_once
    step = next_step(job, state, key)
    assert step is not None
    number = step.about.number
    if to_acknowledge(job.stage_of(key), state.at(key), step):
        return Acknowledge(), at_once
    match step:
        case Write(name=name) if (*key, name) not in sheet:
            return Skip(state.person, "nothing to tell"), at_once
        case Read(name=name) | Choose(name=name) | Write(name=name):
            return Type(sheet[(*key, name)]), at_once
        case Zero(instrument=instrument):
            return Type(sheet[(*key, instrument)]), at_once
        case Do(ticks=ticks):
            made = state.at(key).ticks.get(number, frozenset())
            left = [line for line in range(1, len(ticks) + 1) if line not in made]
            return (Tick(left[0]) if left else Confirm()), at_once
        case Wait():
            left_over = time_left(job, state, key, step, now)
            assert left_over
            return Confirm(), max(at_once, left_over[1])
        case NotBefore(clock=clock):
            left_till = time_of_day(job, state, key, step, now)[1] if clock else at_once
            return Confirm(), max(at_once, left_till)
        case Soak():
            began = state.at(key).soaks.get(number, Soaking()).last
            return Type(" ".join("200" for _ in wanted_now(job, state, key, step))), timedelta(
                seconds=float(step.every.si) - 20 if began else 0
            )
        case AgainstTheClock():
            return _race(state, key, step)
        case HoldPoint(title=title, must_see=must_see):
            return Release(INSPECTOR, must_see, sheet.get(("", key[1], title), "")), at_once
        case WitnessPoint():
            return (Attend(INSPECTOR) if number in state.at(key).called else CallWitness()), at_once
        case SignOff():
            return Sign(state.person), at_once
        case _:
            raise AssertionError(step)


def _next_load(job: Job) -> Intent:
    """All parts that belong into a load and are in none, put together: the freezer before the oven, the fit before the bake."""
    loads = (level for level in job.procedure.parts if level.of)
    kind = next(level.name for level in loads if job.parts.without_load(WHOLE_JOB, level.name))
    parts = [one.path for one in job.parts.without_load(WHOLE_JOB, kind)]
    return MakeLoad(kind, f"{kind} 1"[-16:], tuple(parts))


def _race(state: State, key: PassKey, step: AgainstTheClock) -> tuple[Intent, timedelta]:
    """Made ready, armed, and home a pace after the door; then it is held down."""
    clock = state.at(key).clocks.get(step.about.number, Clock())
    made = state.at(key).ticks.get(step.about.number, frozenset())
    left = [line for line in range(1, len(step.ready) + 1) if line not in made]
    if clock.stopped:
        return Notice(), timedelta(seconds=float(step.hold_down.si) if step.hold_down else 0)
    if clock.armed:
        return ClockKey(), timedelta(0)
    return (Tick(left[0]) if left else Arm()), timedelta(0)


def work_on(at_work: AtWork, clock: BenchClock, sheet: Sheet) -> bool:
    """One act more; False once the job is released."""
    asked = next_act(at_work.job, at_work.state, clock.now(), sheet)
    if asked is None:
        return False
    intent, wait = asked
    clock.run(wait + timedelta(seconds=20))
    outcome = at_work.act(intent)
    assert isinstance(outcome, Kept), (intent, outcome)
    return True
