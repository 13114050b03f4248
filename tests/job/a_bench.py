"""A bench for telling stories about a job: what is asked becomes events in its state, or a refusal that changes nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from runner.job.decide import decide
from runner.job.events import EntryQuestioned, Event
from runner.job.fold import fold
from runner.job.intents import (
    Acknowledge,
    BeginSitting,
    Confirm,
    ConfirmPrerequisite,
    Intent,
    MeasureAgain,
    Release,
    Sign,
    StartPass,
    Stop,
    Tick,
    Type,
)
from runner.job.job import Refusal
from runner.job.moments import Moment
from runner.job.opening import Opening, job_of, open_job
from runner.job.passes import next_step
from runner.job.rows import from_row, kind_of, to_body
from runner.job.state import Pass, PassKey
from runner.procedure.model import Procedure
from tests.job.a_small_procedure import procedure

FITTER, INSPECTOR = "Ada Fitch", "Ben Stone"
MORNING = Moment(datetime(2031, 3, 3, 7, 30, tzinfo=UTC), 500.0, "boot-1")
A, B = ("Measure", "F1/A"), ("Measure", "F1/B")
GOOD = {
    "ring_size": "10.000",
    "bore gauge": "10.000",
    "bore": "10.009 10.010 10.011",
    "play": "0.01",
    "wall": "4.01 4.02 4.03 4.04",
}
"""What is typed at hole A of a frame when all is well, by reading or instrument."""

E = TypeVar("E", bound=Event)


class Bench:
    """One job, the moment it is there, and every event so far. `ask` answers as a job does."""

    def __init__(
        self,
        of: Procedure | None = None,
        named: Mapping[str, Sequence[str]] | None = None,
        *,
        alone: bool = False,
        rehearsal: bool = False,
        ready: bool = True,
    ) -> None:
        made = of or procedure()
        parts = {"frame": ["F1", "F2"]} if named is None else named
        asked = Opening("41", FITTER, parts, alone, rehearsal=rehearsal, zone="UTC")
        opened = open_job(made, asked, MORNING, "program 1")
        assert not isinstance(opened, Refusal), opened
        self.job = job_of(opened, made, UTC, "program 1")
        self.now, self.state = MORNING, fold([opened])
        self.events: list[Event] = [opened]
        self.do(BeginSitting("bench"))
        if ready:
            self.do(*(ConfirmPrerequisite(at) for at in range(1, len(made.prerequisites) + 1)))

    def later(self, **span: float) -> Bench:
        """Time goes by on a machine that runs on, on both its clocks."""
        lasted = timedelta(**span)
        self.now = Moment(self.now.utc + lasted, self.now.boot + lasted.total_seconds(), self.now.boot_id)
        return self

    def clock_set(self, **span: float) -> Bench:
        """Somebody sets the wall clock; the boot clock knows nothing of it."""
        self.now = replace(self.now, utc=self.now.utc + timedelta(**span))
        return self

    def restart(self, **wall_since: float) -> Bench:
        """The machine is started again; its wall clock shows so much more (or less) than at the last moment."""
        number = int(self.now.boot_id.partition("-")[2]) + 1
        self.now = Moment(self.now.utc + timedelta(**wall_since), 5.0, f"boot-{number}")
        return self

    def ask(self, intent: Intent) -> list[Event] | Refusal:
        """What a job answers; events are kept, and come back from their rows as they were."""
        before = self.state
        answer = decide(self.job, self.state, intent, self.now)
        assert self.state == before
        if not isinstance(answer, Refusal):
            assert [from_row(kind_of(one), to_body(one)) for one in answer] == answer
            self.events += answer
            self.state = fold(answer, self.state)
            self.job = self.job.as_loaded(self.state.loads)
        return answer

    def do(self, *intents: Intent) -> list[Event]:
        """The events of acts that are all taken."""
        made: list[Event] = []
        for intent in intents:
            answer = self.ask(intent)
            assert not isinstance(answer, Refusal), (intent, answer)
            made += answer
        return made

    def refused(self, intent: Intent) -> str:
        """The sentence of an act that is not taken."""
        answer = self.ask(intent)
        assert isinstance(answer, Refusal), (intent, answer)
        return answer.sentence

    def at(self, key: PassKey) -> Pass:
        return self.state.at(key)

    @property
    def step(self) -> int:
        """The number of the step in hand."""
        assert self.state.in_hand
        found = next_step(self.job, self.state, self.state.in_hand)
        assert found
        return found.about.number

    def only(self, kind: type[E], since: int = 0) -> E:
        found = [one for one in self.events[since:] if isinstance(one, kind)]
        assert len(found) == 1, found
        return found[0]

    def type(self, text: str) -> list[Event]:
        """A text typed, and typed again where it is asked for again."""
        made = self.do(Type(text))
        return made + self.do(Type(text)) if isinstance(made[-1], EntryQuestioned) else made

    def measure(self, key: PassKey = A, *, upto: str = "", **typed: str) -> Bench:
        """A hole measured, with other readings where given, up to before a reading or instrument (or all of it)."""
        said = {**GOOD, **(_FOR_B if key[1].endswith("/B") else {}), **typed}
        self.do(StartPass(key), Acknowledge(), Tick(1), Tick(2))
        for name, text in said.items():
            if name == upto:
                return self
            self.type(text)
            if self.at(key).failed:
                return self
        return self if upto == "shim" else self.finish(key, upto)

    def finish(self, key: PassKey, upto: str = "") -> Bench:
        """The shim laid, the bench wiped, the hole released and marked."""
        self.do(Confirm(), Confirm())
        if upto == "hold":
            return self
        self.do(Release(INSPECTOR, ("no burr", "shim there")))
        if upto == "sign":
            return self
        self.do(Sign(FITTER))
        return self

    def frame_glued(self, frame: str = "F1") -> Bench:
        for hole in ("A", "B"):
            self.measure(("Measure", f"{frame}/{hole}"))
        for foot in ("L", "R"):
            self.do(StartPass(("Face", f"{frame}/{foot}")), Confirm())
        self.do(StartPass(("Glue", frame)), Confirm())
        return self

    def again(self, name: str, because: str = "the gauge was tilted") -> list[Event]:
        return self.do(MeasureAgain(name, because))

    def stop(self, exit_: str, because: str = "a crack shows") -> list[Event]:
        return self.do(Stop(exit_, because))


_FOR_B = {"bore": "12.009 12.010 12.011"}


def named(events: Iterable[Event]) -> list[str]:
    """The events as the kinds they are, for a look at their order."""
    return [kind_of(one) for one in events]


def said(event: Event, *names: str) -> tuple[Any, ...]:
    return tuple(getattr(event, name) for name in names)
