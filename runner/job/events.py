"""Everything that can have happened to a job, in the past tense. The state of a job is the fold of these.

Each event carries who, and the moment. An event that stood on something (an instrument, a limit, a source) carries it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from runner.job.moments import Moment

CANNOT_MEASURE, CANNOT_DO, NONCONFORMING = "cannot measure", "cannot do as written", "nonconforming"
"""The exits that stop a pass; suspending stops the job. None of them counts as a pass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    at: Moment
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobOpened(Event):
    """
    `named` holds the names of parts given at opening, by level. The procedure is inside, whole, and `materials` has the
    rows of the table of materials that it stands on, as a table; '' for none.
    """

    job: str
    procedure_id: str
    revision: str
    procedure_text: str
    procedure_sha256: str
    materials: str
    grammar: int
    program: str
    named: tuple[tuple[str, tuple[str, ...]], ...]
    alone: bool
    invented: bool
    zone: str
    decimal_mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SittingBegun(Event):
    """The job was opened or taken up on a machine."""

    program: str
    machine: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockNoticed(Event):
    """The wall clock did not run on from the last event: by how many seconds, and what that means."""

    seconds: float
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonChanged(Event):
    """`who` is the person at the bench from here on."""

    before: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrerequisiteConfirmed(Event):
    number: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PassEvent(Event):
    """Something that happened in one pass: a stage on a part."""

    stage: str
    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PassStarted(PassEvent):
    """Begun, or taken in hand again after another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PassDone(PassEvent):
    pass


@dataclass(frozen=True, slots=True, kw_only=True)
class StepEvent(PassEvent):
    step: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardsAcknowledged(StepEvent):
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TickMade(StepEvent):
    number: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone(StepEvent):
    text: str
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryQuestioned(StepEvent):
    """A typed text that does not count until it is typed again, and why."""

    point: str
    typed: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One source's part of a standard uncertainty, signed, in SI. What two values share is one source in both."""

    source: str
    part: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken(StepEvent):
    """One point, as typed; `last` of its reading. `si` is exact; `questioned` where it was typed twice, and why."""

    name: str
    point: str
    typed: str
    number: Fraction
    unit: str
    si: Fraction
    instrument: str
    instrument_uncertainty: str
    shares: tuple[Share, ...]
    questioned: str
    last: bool
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSuperseded(StepEvent):
    """A reading is taken again: what stood on it in this pass is undone; the old readings stay on the record."""

    name: str
    because: str
    undone: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroRead(StepEvent):
    instrument: str
    typed: str
    si: Fraction
    unit: str
    limits: str
    good: bool
    sentence: str
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One value that a worked value was worked from: its name, what it was, and where it came from."""

    name: str
    shown: str
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueWorked(StepEvent):
    name: str
    formula: str
    inputs: tuple[Input, ...]
    with_values: str
    si: float
    shown: str
    unit: str
    shares: tuple[Share, ...]
    uncertainty: str
    method: str
    program: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotWorked(StepEvent):
    """A value that these inputs leave without an answer; the pass stops."""

    name: str
    formula: str
    inputs: tuple[Input, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDecided(StepEvent):
    """
    A verdict, decided once. Limits as they were, with their source; `margin` is signed, below nil outside. `proven` is
    false where a guarded check lies inside its limits by less than its uncertainty. `uncertainty` is U, `risk` the
    probability that the true value lies outside.
    """

    name: str
    shown: str
    low: str
    high: str
    nominal: str
    limits: str
    inputs: tuple[Input, ...]
    source: str
    decision: str
    met: bool
    proven: bool
    uncertainty: str
    risk: str
    margin: str
    sentence: str
    routes: tuple[str, ...]
    program: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitPassed(StepEvent):
    name: str
    started: Moment
    lasted_s: float
    least: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldReleased(StepEvent):
    """`solo`: released by somebody with entries in this pass, in a job declared alone."""

    title: str
    by: str
    role: str
    saw: tuple[str, ...]
    solo: bool
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedOff(StepEvent):
    text: str
    name: str
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PassStopped(StepEvent):
    """An honest exit: `exit` is cannot measure, cannot do as written, or nonconforming. None of them is a pass."""

    exit: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PassTakenUp(StepEvent):
    """A pass stopped by cannot measure or cannot do as written goes on, and why it can."""

    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Disposed(StepEvent):
    """What was decided on a nonconforming part: concession (opens one check), scrap or return."""

    way: str
    by: str
    role: str
    because: str
    solo: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSuspended(Event):
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobResumed(Event):
    """The last completed step was read and confirmed."""

    last: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCompleted(Event):
    pass


@dataclass(frozen=True, slots=True, kw_only=True)
class JobReleased(Event):
    by: str
    role: str
    statement: str
    solo: bool
