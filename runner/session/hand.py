"""Whoever does what an entries file tells, at a job on a simulated clock: one intent after another, as keys would give them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta

from runner.job.against_the_clock import ESTIMATE_S
from runner.job.decide import has_lapsed, wanted
from runner.job.due import running
from runner.job.events import ClockNoticed, EntryQuestioned, Event, WentOutOfDate
from runner.job.intents import Acknowledge, ChangePerson, Intent, Notice, StartPass, Type
from runner.job.job import Refusal
from runner.job.passes import next_step, not_done, to_acknowledge
from runner.job.state import Clock, PassKey
from runner.job.waits import since
from runner.procedure.model import Choose, Do, HoldPoint, Read, Rung, SignOff, Step, WitnessPoint, Write, Zero
from runner.session.at_work import AtWork, Kept
from runner.session.clock import SimulatedClock
from runner.session.entries import Entries
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.session.told import Act
from runner.text.nearest import suggestion

_A_MOMENT = timedelta(milliseconds=1)
"""A limit is gone by when it is over, not when it is reached."""


@dataclass(frozen=True, slots=True)
class Stopped:
    """Where and why a dry run came to a stand: the line of the entries file, and the sentence the bench would show."""

    line: int
    sentence: str
    fix: str = ""


class Halt(Exception):
    """The run comes to a stand; `refused` where the job refused what was asked."""

    def __init__(self, stopped: Stopped, *, refused: bool = False) -> None:
        self.stopped, self.refused = stopped, refused


class Hand:
    """
    One job at work and the item that is being done. `line` is where the entries stand: at the item, or at what was typed
    last in it.
    """

    def __init__(
        self, at_work: AtWork, clock: SimulatedClock, entries: Entries, tell: Callable[[Event], None] | None
    ) -> None:
        self.at_work, self.clock, self.entries = at_work, clock, entries
        self._tell = tell
        self.line, self._pin = entries.place.line, ""
        self._person: tuple[str, str] | None = None
        self.soaks: dict[tuple[PassKey, int], timedelta] = {}
        """When the first round of each soak was read, on the job's clock."""

    def turn_to(self, act: Act) -> None:
        """This item is done from here on."""
        self.line, self._pin = act.place.line, act.pin

    def do(self, intent: Intent) -> tuple[Event, ...]:
        """The events of an intent; a refusal halts the run where the entries stand."""
        self.run(self.entries.pace)
        self._still_there(intent)
        return self.ask(intent)

    def be(self, name: str) -> None:
        """Somebody is at the bench from here on."""
        self._person = name, self._pin
        self.do(ChangePerson(name))

    def _still_there(self, intent: Intent) -> None:
        """Whoever is at the bench says so again, where the bench has forgotten it over a long time or a restart."""
        job, state = self.at_work.job, self.at_work.state
        if self._person and not isinstance(intent, ChangePerson) and has_lapsed(job, state, self.at_work.now):
            pin, self._pin = self._pin, self._person[1]
            self.ask(ChangePerson(self._person[0]))
            self._pin = pin

    def ask(self, intent: Intent) -> tuple[Event, ...]:
        """The events of an intent at this very moment, as `do` gives them after the time that an act takes."""
        asked = self.at_work.asks_pin(intent)
        if asked and not self._pin:
            raise self.halt(f"the PIN of {asked} is asked for", "add pin: to this item")
        outcome = self.at_work.act(intent, self._pin)
        if isinstance(outcome, Refusal):
            raise self.halt(outcome.sentence, outcome.fix, refused=True)
        if not isinstance(outcome, Kept):
            raise RunnerError(outcome.sentence, outcome.fix, NO_JOURNAL)
        self._told(outcome.events)
        self._not_instead(intent, outcome.events)
        return outcome.events

    @property
    def gone(self) -> timedelta:
        """How much time has gone by for the job, hurried or not, however its clock was set."""
        return self.clock.lasted + timedelta(seconds=self.at_work.state.hurried_s)

    def run(self, lasted: timedelta) -> None:
        """So much time goes by. What it brings to an act against the clock is noted when it comes, as at the bench."""
        end = self.clock.lasted + max(lasted, timedelta(0))
        while (wait := self._brings()) and self.clock.lasted + wait < end:
            self.clock.run(wait)
            self._notice()
        self.clock.run(end - self.clock.lasted)
        self._notice()

    def _notice(self) -> None:
        """The bench looks at its clock, where an act against it has begun."""
        outcome = self.at_work.act(Notice()) if self._clocks() else None
        if isinstance(outcome, Kept):
            self._told(outcome.events)

    def _clocks(self) -> list[Clock]:
        """Every act against the clock that has begun."""
        passes = self.at_work.state.passes.values()
        return [clock for found in passes for clock in found.clocks.values() if clock.started]

    def _brings(self) -> timedelta | None:
        """How long until time brings something to an act against the clock: a limit, a hold down, a way out."""
        job, state, now = self.at_work.job, self.at_work.state, self.at_work.now
        clocks = self._clocks()
        if not clocks:
            return None
        due = [one.at - now.utc for one in running(job, state, now) if one.sort == "clock"]
        due += [
            timedelta(seconds=ESTIMATE_S) - since(state, clock.stopped_at, now).lasted
            for clock in clocks
            if clock.stopped_at
        ]
        return min((one + _A_MOMENT for one in due if one + _A_MOMENT > timedelta(0)), default=None)

    def _told(self, events: Iterable[Event]) -> None:
        for event in events if self._tell else ():
            self._tell(event)  # type: ignore[misc]

    def _not_instead(self, intent: Intent, events: tuple[Event, ...]) -> None:
        """Halts where something went out of date and the act was not taken for it."""
        old = [event for event in events if isinstance(event, WentOutOfDate)]
        if old and all(isinstance(event, WentOutOfDate | ClockNoticed) for event in events):
            first = old[0]
            step = self.at_work.job.step((first.stage, first.part), first.step)
            what = f"'{called(step)}' on {first.part} is out of date: {first.because}"
            raise self.halt(what, "do that again first; what came behind it is not taken", refused=True)

    def halt(self, sentence: str, fix: str = "", *, refused: bool = False) -> Halt:
        return Halt(Stopped(self.line, sentence, fix), refused=refused)

    def wrong(self, what: str, fix: str) -> RunnerError:
        """The entries don't fit the job: told with file and line."""
        return RunnerError(f"{self.entries.place.file}:{self.line}: {what}", fix, PROBLEMS)

    def past(self, said: str) -> RunnerError:
        return self.wrong(f"{said} is past already", "put the items in the order in which they happened")

    def restart(self, lasted: timedelta) -> None:
        """The machine goes off and on again, and the job is taken up where it was left."""
        path, before = self.at_work.path, len(self.at_work.events)
        self.at_work.close()
        self.clock.restart(lasted)
        self.at_work = AtWork.resume(path, self.clock)
        self._told(self.at_work.events[before:])

    def key(self, stage: str, part: str) -> PassKey:
        """The pass of a stage, or of a rework's steps, on a part."""
        job = self.at_work.job
        stages = {one.title: one for one in job.procedure.every_stage}
        if stage not in stages:
            raise self.wrong(f"no stage is called '{stage}'", suggestion(stage, stages))
        level = stages[stage].for_each
        found = job.parts.find(level, part)
        if found is None:
            there = [one.path for one in job.parts.at(level)]
            what = f"'{stage}' is for each {level}, and none is called '{part}'"
            raise self.wrong(what, suggestion(part, there))
        return stage, found.path

    def key_of(self, name: str, part: str) -> PassKey:
        """The pass in which a name is entered on a part: a name is given once in a procedure."""
        entered: dict[str, str] = {}
        for stage in self.at_work.job.procedure.every_stage:
            for step in stage.steps:
                if isinstance(step, Read | Choose | Write):
                    entered[step.name] = stage.title
        if name not in entered:
            raise self.wrong(f"nothing that is entered is called '{name}'", suggestion(name, entered))
        return self.key(entered[name], part)

    def key_at(self, act: Act) -> PassKey:
        """
        The pass that an item is about: what it says is a stage, or a step by its name, title or text, and then the
        stage that has it; the item names the stage where several have.
        """
        stages, part = self.at_work.job.procedure.every_stage, act.keys["for"]
        if act.said in (stage.title for stage in stages):
            return self.key(act.said, part)
        if "stage" in act.keys:
            return self.key(act.keys["stage"], part)
        having = [one.title for one in stages if act.said in map(called, one.steps)]
        if not having:
            steps = [called(step) for stage in stages for step in stage.steps]
            raise self.wrong(f"no step is called '{act.said}'", suggestion(act.said, steps))
        return self._one_of(having, f"a step '{act.said}'", part)

    def open_pass(self, act: Act) -> PassKey:
        """The pass that an item without a stage is about: the one in hand on its part, else the only one begun there."""
        part, state = act.keys["for"], self.at_work.state
        if "stage" in act.keys:
            return self.key(act.keys["stage"], part)
        if state.in_hand and state.in_hand[1].lower() == part.lower():
            return state.in_hand
        begun = [
            stage.title
            for stage in self.at_work.job.procedure.every_stage
            if (found := self.at_work.job.parts.find(stage.for_each, part))
            and state.at((stage.title, found.path)).started
            and not state.at((stage.title, found.path)).done
        ]
        if not begun:
            raise self.halt(f"no pass is in progress on {part}")
        return self._one_of(begun, "a pass in progress", part)

    def _one_of(self, titles: list[str], what: str, part: str) -> PassKey:
        if len(titles) > 1:
            named = " and ".join(f"'{title}'" for title in titles)
            raise self.wrong(f"{named} each have {what} on {part}", "add stage: and the one that is meant")
        return self.key(titles[0], part)

    def take_in_hand(self, key: PassKey) -> None:
        if self.at_work.state.in_hand != key:
            self.do(StartPass(key))

    def come_to(self, key: PassKey, said: str) -> Step:
        """The step that a pass stands at, taken in hand, which must be the one that is said."""
        self.take_in_hand(key)
        step = next_step(self.at_work.job, self.at_work.state, key)
        if step is None or said not in (called(step), key[0]):
            where = self.stands_at(key) or "every step of it is done"
            raise self.halt(f"'{key[0]}' on {key[1]} does not stand at '{said}': {where}")
        self.acknowledge(key, step)
        return step

    def acknowledge(self, key: PassKey, step: Step) -> None:
        """The dangers and warnings of a step are read, where they weren't."""
        if to_acknowledge(self.at_work.job.stage_of(key), self.at_work.state.at(key), step):
            self.do(Acknowledge())

    def type_text(self, name: str, text: str, act: Act) -> None:
        """A text typed, and once more where it is asked again and the item says that it was typed twice."""
        events = self.do(Type(text))
        asked = next((event for event in events if isinstance(event, EntryQuestioned)), None)
        if asked and name not in act.twice:
            fix = f"add twice: [{name}] where it was typed twice"
            raise self.halt(f"{asked.why}; it is asked for again", fix)
        if asked:
            self.do(Type(text))

    def stands_at(self, key: PassKey) -> str:
        """What the bench says of a pass that doesn't go on by itself, in a sentence; empty where it is done."""
        found = self.at_work.state.at(key)
        step = next_step(self.at_work.job, self.at_work.state, key)
        if found.stop:
            return f"{key[1]}: {found.stop.exit} ({found.stop.because})"
        if found.failed:
            return found.failed.sentence
        if step is None:
            return ""
        why = found.out_of_date.get(step.about.number)
        return f"'{called(step)}' is out of date: {why}" if why else wanted(step)

    def left_open(self) -> str:
        """What a job waits for that isn't released."""
        job, state = self.at_work.job, self.at_work.state
        if state.in_hand and (said := self.stands_at(state.in_hand)):
            return f"'{state.in_hand[0]}' on {state.in_hand[1]} is in hand, and {said}"
        left = not_done(job, state)
        if left:
            return f"{len(left)} passes are not done, the first is '{left[0][0]}' on {left[0][1]}"
        return "a nonconforming part waits for a decision" if state.nonconforming else "every pass is done"


def called(step: Step) -> str:
    """What entries call a step by: its name, its title, its text, or its instrument."""
    match step:
        case Zero(instrument=instrument):
            return instrument
        case HoldPoint(title=title) | WitnessPoint(title=title):
            return title
        case Do(text=text) | SignOff(text=text):
            return text
        case Rung(ladder=ladder):
            return ladder
        case _:
            return step.name
