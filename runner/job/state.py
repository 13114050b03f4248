"""What a job's state holds: the fold of its events, made in `fold.py`. Nothing here is worked out or decided."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from runner.job import events as e
from runner.job.moments import Moment
from runner.job.parts import Load

PassKey = tuple[str, str]
"""A stage's title and a part's path."""


@dataclass(frozen=True, slots=True)
class Known:
    """
    What a name stands for: the points of a reading as they were taken or corrected, a worked value (one float), or an
    answer (an option or a text). `position` counts the events up to when it was made.
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


@dataclass(frozen=True, slots=True)
class Timed:
    """When something was done, and how many restarts had been seen by then."""

    at: Moment
    marks: int


Place = tuple[str, str]
"""Where one temperature of a soak is read: the path of a part in it, and a point, '' where there is only one."""


@dataclass(frozen=True, slots=True)
class Sample:
    """One temperature of a soak: when it was so, by the bench's clocks, in SI, whether a logger wrote it, what it may be out by."""

    at: Timed
    si: Fraction
    logged: bool
    shares: tuple[e.Share, ...] = ()


@dataclass(frozen=True, slots=True)
class Logger:
    """A logger's file that stands for one place: how far it was read, the hash of that, and what was said of it last."""

    place: Place
    read_bytes: int = 0
    read_lines: int = 0
    sha256: str = ""
    said: tuple[str, ...] = ()
    shares: tuple[e.Share, ...] = ()


@dataclass(frozen=True, slots=True)
class Soaking:
    """
    A soak so far: the points of the round being typed, the rounds typed, the last round of either sort, up to when time is
    counted (`last_at`), and how much. `traces` holds what was read at each place, but for what is behind the count;
    `loggers` the files that stand for places, by name.
    """

    points: tuple[e.SoakPoint, ...] = ()
    rounds: tuple[tuple[e.SoakPoint, ...], ...] = ()
    last: e.SoakRound | None = None
    last_at: Timed | None = None
    total_s: float = 0.0
    traces: Mapping[Place, tuple[Sample, ...]] = field(default_factory=dict)
    loggers: Mapping[str, Logger] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Clock:
    """An act against the clock: armed, begun, and stopped, as far as it has come."""

    armed: e.ClockArmed | None = None
    started: Timed | None = None
    stopped: e.ClockStopped | None = None
    stopped_at: Timed | None = None


Failure = (
    e.CheckDecided
    | e.NotWorked
    | e.ZeroRead
    | e.SecondReadingDisagrees
    | e.SoakStopped
    | e.ClockStopped
    | e.TotalOver
)
"""What stops a pass by itself."""


@dataclass(frozen=True, slots=True)
class Stop:
    """Why a pass stands: an honest exit taken on a step; `on_verdict` where one stood against it by then."""

    exit: str
    step: int
    because: str
    who: str
    on_verdict: bool


@dataclass(frozen=True, slots=True)
class Pass:
    """
    One stage on one part. `done_steps` are complete and stand; `out_of_date` were complete, with why they no longer
    stand; `failed` holds the verdict or the sentence that stopped it; `branches` which blocks are done here, by their
    first step and depth; `again` how often each reading was measured again; `zeroed` with what each zero was read;
    `open_from` when it was begun, or something in it was last undone: what a logger wrote before that counts for nothing.
    """

    started: bool = False
    open_from: Timed | None = None
    done: bool = False
    done_steps: frozenset[int] = frozenset()
    out_of_date: Mapping[int, str] = field(default_factory=dict)
    skipped: frozenset[int] = frozenset()
    acknowledged: frozenset[int] = frozenset()
    ticks: Mapping[int, frozenset[int]] = field(default_factory=dict)
    done_at: Mapping[int, Timed] = field(default_factory=dict)
    again: Mapping[int, int] = field(default_factory=dict)
    branches: Mapping[tuple[int, int], e.BranchDecided] = field(default_factory=dict)
    rounds: Mapping[int, int] = field(default_factory=dict)
    """Which round each block that is gone through more than once is in, by its last step; nothing for the first."""
    called: Mapping[int, Timed] = field(default_factory=dict)
    soaks: Mapping[int, Soaking] = field(default_factory=dict)
    clocks: Mapping[int, Clock] = field(default_factory=dict)
    zeroed: Mapping[int, str] = field(default_factory=dict)
    questioned: e.EntryQuestioned | None = None
    checked: Mapping[int, e.CheckDecided] = field(default_factory=dict)
    failed: Failure | None = None
    stop: Stop | None = None
    people: frozenset[str] = frozenset()


_NOT_BEGUN = Pass()


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
    hurried_s: float = 0.0
    """How far a rehearsal's clocks were hurried in all."""
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
    totals: Mapping[tuple[str, str], float] = field(default_factory=dict)
    """What has added up on each part, in SI, by its path and the total."""
    reworks: Mapping[tuple[str, str], int] = field(default_factory=dict)
    """How often each rework was begun, by the part's path and its title."""
    origins: Mapping[PassKey, str] = field(default_factory=dict)
    """The stage whose check led to a rework's own steps."""
    nonconforming: Mapping[str, str] = field(default_factory=dict)
    gone: Mapping[str, str] = field(default_factory=dict)
    allowed: tuple[e.Disposed | e.PermitGiven, ...] = ()
    """Concessions and permits, each for one step on one part, in the order they were given."""
    alarms: Mapping[e.AlarmRef, bool] = field(default_factory=dict)
    """Every alarm raised so far, and whether somebody answered it. Whether it still stands is worked out."""
    last_done: str = ""
    last_at: Moment | None = None
    acted_at: Moment | None = None
    """When somebody last did something in this sitting."""
    marks: tuple[Moment, ...] = ()

    @property
    def is_rehearsal(self) -> bool:
        return self.opened is not None and self.opened.rehearsal

    def at(self, key: PassKey) -> Pass:
        return self.passes.get(key, _NOT_BEGUN)
