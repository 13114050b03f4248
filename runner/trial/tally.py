"""What virtual jobs reached and did, counted; tallies of many jobs add up to one."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, fields

from runner.job import events as e
from runner.job.events import Event

Spot = tuple[str, int]
"""A stage's title, or a rework's, and a step's number."""
_PASSED = (
    e.ZeroRead,
    e.HoldReleased,
    e.WitnessPassed,
    e.SignedOff,
    e.WaitPassed,
    e.TimeCame,
    e.SoakDone,
    e.HeldDown,
)


@dataclass(frozen=True, slots=True)
class Course:
    """How long one job took on paper: acts, seconds waited for timers, and seconds from its opening to its end."""

    acts: int
    waited_s: float
    lasted_s: float


@dataclass(frozen=True, slots=True)
class Seen:
    """Something found in so many jobs, the first of them by its number, and what it said there."""

    jobs: int
    first: int
    sentence: str = ""

    def with_another(self, other: Seen) -> Seen:
        first = min(self, other, key=lambda one: one.first)
        return Seen(self.jobs + other.jobs, first.first, first.sentence)


@dataclass(slots=True)
class Tally:
    """
    Counts over jobs. `open_ways` and `taken` are by step and way out; `circles` by the steps that a job that didn't end
    went round through, `dead_ends` by where it stood.
    """

    reached: Counter[Spot] = field(default_factory=Counter)
    passed: Counter[Spot] = field(default_factory=Counter)
    met: Counter[Spot] = field(default_factory=Counter)
    failed: Counter[Spot] = field(default_factory=Counter)
    open_ways: Counter[tuple[str, int, str]] = field(default_factory=Counter)
    taken: Counter[tuple[str, int, str]] = field(default_factory=Counter)
    drawn: Counter[tuple[str, int, str]] = field(default_factory=Counter)
    ends: Counter[str] = field(default_factory=Counter)
    only_conceded: dict[Spot, Seen] = field(default_factory=dict)
    circles: dict[tuple[Spot, ...], Seen] = field(default_factory=dict)
    dead_ends: dict[Spot, Seen] = field(default_factory=dict)
    courses: list[Course] = field(default_factory=list)
    """Of the jobs that came to their release."""

    def note(self, event: Event) -> None:
        """One event of a job."""
        if isinstance(event, e.AnswerGiven):
            self.drawn[event.stage, event.step, event.answer] += 1
        if not isinstance(event, e.StepEvent) or isinstance(event, e.BranchDecided):
            return
        spot = event.stage, event.step
        if not (isinstance(event, e.NotWorked) and not event.name):
            self.reached[spot] += 1
        if isinstance(event, _PASSED) and getattr(event, "good", True):
            self.passed[spot] += 1
        match event:
            case e.CheckDecided(met=met) | e.ClockStopped(met=met):
                (self.met if met else self.failed)[spot] += 1
            case e.RungTaken() | e.SoakDone():
                self.met[spot] += 1
            case e.SoakStopped():
                self.failed[spot] += 1
            case e.ReworkBegun(title=way) | e.Disposed(way=way):
                self.taken[event.stage, event.step, way] += 1

    def add(self, other: Tally) -> None:
        """Another job's tally, or those of several that came after."""
        for one in fields(self):
            mine, its = getattr(self, one.name), getattr(other, one.name)
            if isinstance(mine, Counter):
                mine.update(its)
            elif isinstance(mine, list):
                mine.extend(its)
            else:
                for place, seen in its.items():
                    mine[place] = mine[place].with_another(seen) if place in mine else seen
