"""Everything that can have happened to a job, in the past tense. The state of a job is the fold of these.

Each event carries who, and the moment; `who` is empty where the bench noticed it by itself, or nobody knows who it was. An
event that stood on something (an instrument, a limit, a source) carries it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from runner.job.moments import Moment

CANNOT_MEASURE, CANNOT_DO, NONCONFORMING = "cannot measure", "cannot do as written", "nonconforming"
"""The exits that stop a pass; suspending stops the job. None of them counts as a pass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    at: Moment
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """A file of shared steps as it was when the job opened: as the procedure's `from` calls it, whole."""

    path: str
    text: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobOpened(Event):
    """
    `named` holds the names of parts given at opening, by level. The procedure is inside, whole, with every file it takes
    steps in from, and `materials` has the rows of the table of materials that it stands on, as a table; '' for none.
    """

    job: str
    procedure_id: str
    revision: str
    procedure_text: str
    procedure_sha256: str
    taken_in: tuple[TakenIn, ...]
    materials: str
    grammar: int
    program: str
    named: tuple[tuple[str, tuple[str, ...]], ...]
    alone: bool
    invented: bool
    rehearsal: bool
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
class AlarmRef:
    """One alarm: its sort, the step that it is about, the part, and since when its time runs. Run anew it is another."""

    sort: str
    stage: str
    part: str
    step: int
    since: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmRaised(Event):
    """What somebody must do in time, all that came due together; `text` as it was told then."""

    alarms: tuple[AlarmRef, ...]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmAnswered(Event):
    """Somebody heard: the sound stops. What is to be done stays to be done."""

    alarms: tuple[AlarmRef, ...]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockHurried(Event):
    """In a rehearsal the job's clocks go on by so many seconds at once; a job with real parts has no such event."""

    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonChanged(Event):
    """`who` is the person at the bench from here on, with the roles the shop file gives; how it is known that it is they."""

    before: str
    roles: tuple[str, ...]
    identified: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopSeen(Event):
    """The shop file as it is from here on; `before` is the hash of the one seen last, empty for the first."""

    sha256: str
    before: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeTaken(Event):
    """One of the shop's instruments is used for its kind from here on; what the shop file says of it."""

    kind: str
    gauge: str
    reads_to: str
    uncertainty: str
    calibrated_until: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrerequisiteConfirmed(Event):
    number: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ref:
    """One step of one pass."""

    stage: str
    part: str
    step: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadMade(Event):
    """Parts put together for an oven or a freezer; a part's newest load of a kind is the one meant."""

    kind: str
    name: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLeft(Event):
    """A part is no longer in a load: taken out, or sent back by a rework."""

    name: str
    part: str
    because: str


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
    """
    One point, as typed; `last` of its reading. `si` is exact; `questioned` where it was typed twice, and why; `late`
    where it was not taken here and now, but moved, and from where.
    """

    name: str
    point: str
    typed: str
    number: Fraction
    unit: str
    si: Fraction
    instrument: str
    gauge: str
    """Which one of the shop's, by what is engraved on it; empty where the shop file has none."""
    calibrated_until: str
    instrument_uncertainty: str
    shares: tuple[Share, ...]
    questioned: str
    last: bool
    timed_as: str
    late: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSuperseded(StepEvent):
    """A reading that no longer counts and is taken anew; the old one stays on the record. `counts` against its maximum."""

    name: str
    because: str
    counts: bool
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCorrected(StepEvent):
    """One point that was typed wrong, and what it should have been; `was` stays on the record."""

    name: str
    point: str
    was: str
    typed: str
    number: Fraction
    unit: str
    si: Fraction
    because: str
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerGiven(StepEvent):
    """An option picked, or a text written."""

    name: str
    answer: str
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerCorrected(StepEvent):
    name: str
    was: str
    answer: str
    because: str
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StillStands(StepEvent):
    """Something out of date was looked at again by a named person, and holds for the reason given."""

    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WentOutOfDate(StepEvent):
    """A step that stands only so long, and stood longer when the pass went on."""

    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSkipped(StepEvent):
    by: str
    role: str
    identified: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroRead(StepEvent):
    instrument: str
    gauge: str
    typed: str
    si: Fraction
    unit: str
    limits: str
    good: bool
    sentence: str
    timed_as: str
    out_of_date: tuple[Ref, ...]
    """Where it isn't good: what was read with this instrument since its last good one, and all that stood on it."""


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
class BranchDecided(StepEvent):
    """
    Whether the block that begins at this step, `depth` blocks deep, is done here, and by which values. `out_of_date` are
    steps of it that were done when it was open before.
    """

    depth: int
    steps: tuple[int, ...]
    condition: str
    inputs: tuple[Input, ...]
    with_values: str
    taken: bool
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundBegun(StepEvent):
    """A block is gone through once more, as its condition isn't so: which round begins, what is done again, what stood on it."""

    name: str
    round: int
    at_most: int
    until: str
    with_values: str
    inputs: tuple[Input, ...]
    done_again: tuple[Ref, ...]
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RungTaken(StepEvent):
    """
    The rung of a ladder that a part is on from here, counted from 1; `least` is what it must not be below. `out_of_date`
    stood on the rung it was on before.
    """

    ladder: str
    rung: int
    size: str
    least: str
    inputs: tuple[Input, ...]
    program: str
    out_of_date: tuple[Ref, ...]


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
class TimeCame(StepEvent):
    """Not before a time of day, or a condition: `due` is when, as the shop's clock shows it, or what was so."""

    name: str
    due: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SoakPoint(StepEvent):
    """One temperature of a soak, as typed, on one part; `last` of its round."""

    name: str
    member: str
    point: str
    typed: str
    number: Fraction
    unit: str
    si: Fraction
    instrument: str
    gauge: str
    calibrated_until: str
    instrument_uncertainty: str
    shares: tuple[Share, ...]
    questioned: str
    last: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SoakRound(StepEvent):
    """
    What a whole round of readings proved: the coldest governs, the hottest is held against what it may never be over.
    `counted_s` of the time since the round before, `total_s` in all, both up to `upto`; `longest_s` is how long it may have
    been inside, gaps and doubts counted in full. `note` says why time didn't count.
    """

    name: str
    round: int
    upto: Moment
    coldest: str
    hottest: str
    limits: str
    inside: bool
    counted_s: float
    total_s: float
    left_s: float
    longest_s: float
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerTaken(StepEvent):
    """From here on a logger's file stands for one place of a soak, as a reading with this instrument."""

    name: str
    file: str
    member: str
    point: str
    instrument: str
    gauge: str
    calibrated_until: str
    instrument_uncertainty: str
    shares: tuple[Share, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedRow:
    """One row of a logger's file: its own moment, and the temperature as it stands there and exactly."""

    utc: datetime
    typed: str
    si: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerRead(StepEvent):
    """
    What was read of a logger's file since the last time, in several of these where there is much: the `rows` that count as
    readings at their own moments, and those set `aside`, which are kept and add nothing. `said` tells why, and what could
    not be read. So far `read_bytes` and `read_lines` were read, with this hash.
    """

    name: str
    file: str
    member: str
    point: str
    unit: str
    read_bytes: int
    read_lines: int
    sha256: str
    rows: tuple[LoggedRow, ...]
    aside: tuple[LoggedRow, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoakDone(StepEvent):
    name: str
    total_s: float
    least: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SoakStopped(StepEvent):
    """A part over its temperature, or too long in it: a deviation, and somebody decides before the soak goes on."""

    name: str
    sentence: str
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorOpened(StepEvent):
    """The oven was opened while a soak ran, and why; the next reading inside shows its recovery."""

    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalGrew(Event):
    """
    What a total grew by on a part; below nil only where a reading was corrected or is measured again. `over` what it may
    add up to.
    """

    total: str
    part: str
    by_si: float
    sum_si: float
    shown: str
    most: str
    over: bool
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalOver(StepEvent):
    """
    A total that this step made grow is over what it may add up to, on the parts of `bearers`: somebody decides before the
    pass goes on. `completed` where the step itself was done.
    """

    name: str
    bearers: tuple[str, ...]
    sentence: str
    completed: bool
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockArmed(StepEvent):
    """The limits on disk before hands are busy: the low estimates, with what they were worked from."""

    name: str
    useful_s: float
    last_s: float
    useful: str
    last: str
    inputs: tuple[Input, ...]
    program: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockStoodDown(StepEvent):
    name: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockStarted(StepEvent):
    """The first key: the door is open."""

    name: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockStopped(StepEvent):
    """
    The second key, after `taken_s`; or the last limit gone by without one (`act` is empty); `estimated` where it was put
    in later by somebody, and why.
    """

    name: str
    act: str
    taken_s: float
    useful_s: float
    last_s: float
    met: bool
    sentence: str
    estimated: str
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldDown(StepEvent):
    """Held down as long as it must be after the second key; the step is done."""

    name: str
    taken_s: float
    held_s: float
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldReleased(StepEvent):
    """
    `solo`: released by somebody with entries in this pass, in a job declared alone. `second` is what was read again
    without a sight of the first, and `apart` how far the two means lie apart.
    """

    title: str
    by: str
    role: str
    identified: str
    saw: tuple[str, ...]
    second: tuple[str, ...]
    apart: str
    solo: bool
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondReadingDisagrees(StepEvent):
    """A blind second reading further from the first than two readings of one thing may be: the pass stands."""

    title: str
    name: str
    by: str
    second: tuple[str, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WitnessCalled(StepEvent):
    title: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WitnessPassed(StepEvent):
    """Attended by somebody, or `by` nobody after the time had run out."""

    title: str
    by: str
    role: str
    identified: str
    called: Moment
    lasted_s: float
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedOff(StepEvent):
    text: str
    name: str
    identified: str
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
class PermitGiven(StepEvent):
    """A deviation permit: this step on this part may be left or done otherwise, as `because` says, and nothing else."""

    by: str
    role: str
    identified: str
    because: str
    solo: bool
    timed_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Disposed(StepEvent):
    """
    What was decided on a nonconforming part: concession (opens one check), scrap or return. `out_of_date` stood on values
    of a part that is gone by it.
    """

    way: str
    by: str
    role: str
    identified: str
    because: str
    solo: bool
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReworkBegun(StepEvent):
    """
    A rework or repair after a check that wasn't met, for the `count`-th time on this part: a rung up where one is
    climbed, what is `done_again`, and what else stood on it. `by` is empty where it began by itself.
    """

    title: str
    kind: str
    by: str
    role: str
    identified: str
    because: str
    solo: bool
    count: int
    at_most: int
    ladder: str
    rung: int
    rung_part: str
    size: str
    done_again: tuple[Ref, ...]
    out_of_date: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReworkStepsBegun(PassEvent):
    """
    The rework's own steps come before anything else on this part; `stage` is the rework's title. `origin` is the stage
    whose check led there, through other reworks or not.
    """

    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSuspended(Event):
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobResumed(Event):
    """The last completed step was read and confirmed."""

    last: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverGiven(Event):
    """The job passed on with a note of what isn't ordinary; work waits until somebody accepts it."""

    note: str
    last: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverAccepted(Event):
    given_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCompleted(Event):
    pass


@dataclass(frozen=True, slots=True, kw_only=True)
class JobReleased(Event):
    by: str
    role: str
    identified: str
    statement: str
    solo: bool
