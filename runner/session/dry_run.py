"""A whole job worked from an entries file on a simulated clock, by the same road as at the bench."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from runner.job.events import EntryQuestioned, Event
from runner.job.intents import (
    Acknowledge,
    ChangePerson,
    Confirm,
    ConfirmPrerequisite,
    Dispose,
    Intent,
    MeasureAgain,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    StartPass,
    Stop,
    Suspend,
    TakeUp,
    Tick,
    Type,
)
from runner.job.job import Refusal
from runner.job.opening import Opening
from runner.job.passes import Standing, is_live, next_step, standing, to_acknowledge
from runner.job.state import PassKey
from runner.job.waits import time_left
from runner.procedure.model import Do, HoldPoint, Procedure, Read, SignOff, Step, Wait, Zero
from runner.session.at_work import AtWork, Kept
from runner.session.clock import SimulatedClock
from runner.session.entries import Act, Entries
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.text.nearest import suggestion


@dataclass(frozen=True, slots=True)
class Stopped:
    """Where and why a dry run came to a stand: the line of the entries file, and the sentence the bench would show."""

    line: int
    sentence: str
    fix: str = ""


class _Halt(Exception):
    def __init__(self, stopped: Stopped) -> None:
        self.stopped = stopped


def run(
    procedure: Procedure, entries: Entries, path: Path, tell: Callable[[Event], None] | None = None
) -> tuple[AtWork, Stopped | None]:
    """
    The job as the entries leave it, still open, and where it stopped if it did not come to its release. `path` is
    where its file is kept; `tell` hears of every event once it is on disk.
    """
    if entries.procedure_id != procedure.id or entries.revision != procedure.revision:
        mine = f"{procedure.id} revision {procedure.revision}"
        raise RunnerError(
            f"the entries are for {entries.procedure_id} revision {entries.revision}, and this is {mine}",
            "take the entries that belong to it",
            PROBLEMS,
        )
    person = next((act.said for act in entries.acts if act.what == "person"), "")
    clock = SimulatedClock(entries.opened)
    asked = Opening(
        entries.job, person, entries.named, entries.alone, invented=entries.invented, zone=entries.zone
    )
    at_work = AtWork.open(path, procedure, asked, clock)
    try:
        _Run(at_work, clock, entries, tell).all()
    except _Halt as halt:
        return at_work, halt.stopped
    except BaseException:
        at_work.close()
        raise
    if at_work.state.released:
        return at_work, None
    end = entries.acts[-1].place if entries.acts else entries.place
    return at_work, Stopped(
        end.line, f"the entries end here, and job {entries.job} is not released: {_open(at_work)}"
    )


def _open(at_work: AtWork) -> str:
    job, state = at_work.job, at_work.state
    left = [key for key in job.keys() if not state.at(key).done and is_live(job, state, job.part_of(key))]
    if not left:
        return (
            "every pass is done" if not state.nonconforming else "a nonconforming part waits for a decision"
        )
    return f"{len(left)} passes are not done, the first is '{left[0][0]}' on {left[0][1]}"


class _Run:
    """
    One item of the entries after another, each turned into the intents that a person's keys would have been. `line` is
    where the entries stand: at the item, or at what was typed last in it.
    """

    def __init__(
        self, at_work: AtWork, clock: SimulatedClock, entries: Entries, tell: Callable[[Event], None] | None
    ) -> None:
        self.at_work, self.clock, self.entries, self.tell = at_work, clock, entries, tell
        self.line = 1

    def all(self) -> None:
        for number in range(1, len(self.at_work.job.procedure.prerequisites) + 1):
            self.do(ConfirmPrerequisite(number))
        for act in self.entries.acts:
            self.line = act.place.line
            _ACTS[act.what](self, act)

    def do(self, intent: Intent) -> tuple[Event, ...]:
        """The events of an intent; a refusal halts the run where the entries stand."""
        self.clock.run(self.entries.pace)
        outcome = self.at_work.act(intent)
        if isinstance(outcome, Refusal):
            raise self.halt(outcome.sentence, outcome.fix)
        if not isinstance(outcome, Kept):
            raise RunnerError(outcome.sentence, outcome.fix, NO_JOURNAL)
        for event in outcome.events if self.tell else ():
            self.tell(event)  # type: ignore[misc]
        return outcome.events

    def halt(self, sentence: str, fix: str = "") -> _Halt:
        return _Halt(Stopped(self.line, sentence, fix))

    def key(self, stage: str, part: str) -> PassKey:
        stages = {one.title: one for one in self.at_work.job.procedure.stages}
        if stage not in stages:
            raise self.wrong(f"no stage is called '{stage}'", suggestion(stage, stages))
        found = self.at_work.job.parts.find(stages[stage].for_each, part)
        if found is None:
            there = [one.path for one in self.at_work.job.parts.at(stages[stage].for_each)]
            raise self.wrong(
                f"'{stage}' is for each {stages[stage].for_each}, and none is called '{part}'",
                suggestion(part, there),
            )
        return stage, found.path

    def wrong(self, what: str, fix: str) -> RunnerError:
        return RunnerError(f"{self.entries.place.file}:{self.line}: {what}", fix, PROBLEMS)

    def take_in_hand(self, key: PassKey) -> None:
        if self.at_work.state.in_hand != key:
            self.do(StartPass(key))

    def person(self, act: Act) -> None:
        if act.said != self.at_work.state.person:
            self.do(ChangePerson(act.said))

    def pass_(self, act: Act) -> None:
        key = self.key(act.said, act.keys["for"])
        if not self.at_work.state.at(key).done:
            self.take_in_hand(key)
        used: set[str] = set()
        while not self.at_work.state.at(key).done and self.step(key, act, used):
            pass
        left = [name for name in act.typed if name not in used]
        failed = self.at_work.state.at(key).failed
        if left and failed:
            raise self.halt(failed.sentence)
        if left:
            self.line = act.places[left[0]].line
            raise self.wrong(
                f"nothing asked for '{left[0]}' on {key[1]} in '{key[0]}' then",
                "look at the order of the work and at the name",
            )

    def step(self, key: PassKey, act: Act, used: set[str]) -> bool:
        """One step of a pass, if the item tells what was done at it; False where it doesn't."""
        state, job = self.at_work.state, self.at_work.job
        step = next_step(job, state, key)
        if step is None or state.at(key).stop or (state.at(key).failed and not isinstance(step, Zero)):
            return False
        if to_acknowledge(job.stage_of(key), state.at(key), step):
            if isinstance(step, Read | Zero | SignOff) and _typed_name(step) not in act.typed:
                return False
            self.do(Acknowledge())
        match step:
            case Read() | Zero():
                return self.type(step, act, used)
            case Do(ticks=ticks):
                for number in range(1, len(ticks) + 1):
                    self.do(Tick(number))
                if not ticks:
                    self.do(Confirm())
                return True
            case Wait():
                self.wait(key, step)
                return True
            case SignOff(text=text) if text in act.typed:
                used.add(text)
                self.line = act.places[text].line
                said = act.typed[text]
                self.do(Sign(self.at_work.state.person if said == "signed" else said))
                return True
            case _:
                return False

    def type(self, step: Step, act: Act, used: set[str]) -> bool:
        name = _typed_name(step)
        if name not in act.typed or name in used:
            return False
        used.add(name)
        self.line = act.places[name].line
        self.type_text(name, act.typed[name], act)
        return True

    def type_text(self, name: str, text: str, act: Act) -> None:
        events = self.do(Type(text))
        asked = next((event for event in events if isinstance(event, EntryQuestioned)), None)
        if asked:
            if name not in act.twice:
                raise self.halt(
                    f"{asked.why}; it is asked for again", f"add twice: [{name}] where it was typed twice"
                )
            self.do(Type(text))

    def wait(self, key: PassKey, step: Wait) -> None:
        left = time_left(self.at_work.job, self.at_work.state, key, step, self.at_work.now)
        if left:
            self.clock.run(left[1])
        self.do(Confirm())

    def release(self, act: Act) -> None:
        for key in self.at_work.job.keys():
            step = next_step(self.at_work.job, self.at_work.state, key)
            if (
                key[1].lower() == act.keys["for"].lower()
                and isinstance(step, HoldPoint)
                and step.title == act.said
            ):
                self.take_in_hand(key)
                saw = step.must_see if act.saw == ("each line",) else act.saw
                self.do(Release(act.keys["by"], saw))
                return
        raise self.halt(f"no pass on {act.keys['for']} stands at the hold point '{act.said}'")

    def again(self, act: Act) -> None:
        self.holding(act)
        self.do(MeasureAgain(act.said, act.keys["because"]))
        self.type_text(act.said, act.keys["reads"], act)

    def holding(self, act: Act) -> PassKey:
        """The pass in progress or held on a part."""
        part = act.keys["for"].lower()
        for key in self.at_work.job.keys():
            found = self.at_work.state.at(key)
            if key[1].lower() == part and found.started and not found.done:
                self.take_in_hand(key)
                return key
        raise self.halt(f"no pass is in progress on {act.keys['for']}")

    def exit(self, act: Act) -> None:
        self.holding(act)
        self.do(Stop(act.said, act.keys["because"]))

    def take_up(self, act: Act) -> None:
        self.take_in_hand(self.key(act.said, act.keys["for"]))
        self.do(TakeUp(act.keys["because"]))

    def route(self, act: Act) -> None:
        self.holding(act)
        self.do(Dispose(act.said, act.keys["by"], act.keys["because"]))

    def later(self, act: Act) -> None:
        self.clock.run(act.lasted)

    def at(self, act: Act) -> None:
        assert act.at is not None
        if act.at < self.clock.now().utc:
            raise self.wrong(
                f"{act.said} is past already", "put the items in the order in which they happened"
            )
        self.clock.run_to(act.at)

    def suspend(self, act: Act) -> None:
        self.do(Suspend(act.said))

    def resume(self, act: Act) -> None:
        self.do(Resume())

    def expect(self, act: Act) -> None:
        job, state = self.at_work.job, self.at_work.state
        keys = [key for key in job.keys() if key[1].lower() == act.keys["for"].lower()]
        if act.said == "done":
            met = bool(keys) and all(state.at(key).done for key in keys)
        else:
            met = any(
                standing(job, state, key) is Standing.HELD and self.stands_at(key, act.keys.get("at", ""))
                for key in keys
            )
        if not met:
            at = f" at {act.keys['at']}" if "at" in act.keys else ""
            raise self.halt(f"{act.keys['for']} was expected to be {act.said}{at}, and is not")

    def stands_at(self, key: PassKey, name: str) -> bool:
        failed = self.at_work.state.at(key).failed
        return not name or getattr(failed, "name", "") == name

    def release_job(self, act: Act) -> None:
        self.do(ReleaseJob(act.keys["by"], act.said))


def _typed_name(step: Step) -> str:
    match step:
        case Read(name=name):
            return name
        case Zero(instrument=instrument):
            return instrument
        case SignOff(text=text):
            return text
        case _:
            return ""


_ACTS: dict[str, Callable[[_Run, Act], None]] = {
    "person": _Run.person,
    "pass": _Run.pass_,
    "release": _Run.release,
    "again": _Run.again,
    "exit": _Run.exit,
    "take up": _Run.take_up,
    "route": _Run.route,
    "at": _Run.at,
    "later": _Run.later,
    "suspend": _Run.suspend,
    "resume": _Run.resume,
    "expect": _Run.expect,
    "release job": _Run.release_job,
}
