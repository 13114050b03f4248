"""What a job's state holds: the fold of its events, made in `fold.py`. Nothing here is worked out or decided."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from runner.job import events as e
from runner.job.moments import Moment
from runner.job.parts import Load

PassKey = tuple[str, str]
"""A stage's title and a part's path."""


@dataclass(frozen=True, slots=True)
class Known:
    """
    What a name stands for: the points of a reading as they were taken or corrected, a worked value (one float), or an
    answer (an option or a text). `position` counts the events up to when it was made, `gauge` is what it was read with.
    """

    name: str
    stage: str
    part: str
    step: int
    points: tuple[e.ReadingTaken, ...] = ()
    worked: float | None = None
    shown: str = ""
    shares: tuple[e.Share, ...] = ()
    uncertainty: str = ""
    answer: str | None = None
    position: int = 0
    gauge: str = ""


@dataclass(frozen=True, slots=True)
class Timed:
    """When something was done, and how many restarts had been seen by then."""

    at: Moment
    marks: int


Failure = e.CheckDecided | e.NotWorked | e.ZeroRead | e.SecondReadingDisagrees
"""What stops a pass by itself."""


@dataclass(frozen=True, slots=True)
class Stop:
    """Why a pass stands: an honest exit taken on a step."""

    exit: str
    step: int
    because: str
    who: str


@dataclass(frozen=True, slots=True)
class Pass:
    """
    One stage on one part. `done_steps` are complete and stand; `out_of_date` were complete, with why they no longer
    stand; `failed` holds the verdict or the sentence that stopped it; `branches` which blocks are done here, by their
    first step and depth; `again` how often each reading was measured again.
    """

    started: bool = False
    done: bool = False
    done_steps: frozenset[int] = frozenset()
    out_of_date: Mapping[int, str] = field(default_factory=dict)
    skipped: frozenset[int] = frozenset()
    acknowledged: frozenset[int] = frozenset()
    ticks: Mapping[int, frozenset[int]] = field(default_factory=dict)
    done_at: Mapping[int, Timed] = field(default_factory=dict)
    again: Mapping[int, int] = field(default_factory=dict)
    branches: Mapping[tuple[int, int], e.BranchDecided] = field(default_factory=dict)
    called: Mapping[int, Timed] = field(default_factory=dict)
    questioned: e.EntryQuestioned | None = None
    checked: Mapping[int, e.CheckDecided] = field(default_factory=dict)
    failed: Failure | None = None
    stop: Stop | None = None
    people: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class State:
    """Where a job stands. `positions` is how many events made it so."""

    positions: int = 0
    opened: e.JobOpened | None = None
    person: str = ""
    roles: tuple[str, ...] = ()
    shop: str = ""
    """The hash of the shop file as it was last seen."""
    gauges: Mapping[str, e.GaugeTaken] = field(default_factory=dict)
    """The shop's instrument in use, by its kind."""
    zeroed: Mapping[str, int] = field(default_factory=dict)
    """The position of the last good zero of each instrument: of the shop's own by its mark, else by its kind."""
    loads: Mapping[str, Load] = field(default_factory=dict)
    """Every load made, by its name, oldest first."""
    prerequisites: int = 0
    suspended: e.JobSuspended | None = None
    handed_over: e.HandoverGiven | None = None
    completed: bool = False
    released: e.JobReleased | None = None
    in_hand: PassKey | None = None
    passes: Mapping[PassKey, Pass] = field(default_factory=dict)
    known: Mapping[tuple[str, str], Known] = field(default_factory=dict)
    times: Mapping[tuple[str, str], Timed] = field(default_factory=dict)
    rungs: Mapping[tuple[str, str], int] = field(default_factory=dict)
    """The rung each part is on, by its path and the ladder, counted from 1."""
    reworks: Mapping[tuple[str, str], int] = field(default_factory=dict)
    """How often each rework was begun, by the part's path and its title."""
    reworking: Mapping[str, PassKey] = field(default_factory=dict)
    """The rework whose own steps a part must go through before anything else is done on it."""
    origins: Mapping[PassKey, str] = field(default_factory=dict)
    """The stage whose check led to a rework's own steps."""
    nonconforming: Mapping[str, str] = field(default_factory=dict)
    gone: Mapping[str, str] = field(default_factory=dict)
    allowed: tuple[e.Disposed | e.PermitGiven, ...] = ()
    """Concessions and permits, each for one step on one part, in the order they were given."""
    last_done: str = ""
    last_at: Moment | None = None
    acted_at: Moment | None = None
    """When somebody last did something in this sitting."""
    marks: tuple[Moment, ...] = ()

    def at(self, key: PassKey) -> Pass:
        return self.passes.get(key, Pass())
