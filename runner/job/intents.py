"""What a person or the bench can ask of a job. An intent is answered with events or with a refusal, never silently.

`identified` says how it is known that a named person is that person ('PIN'), and is empty where a name was only typed.
A PIN itself is never in an intent.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from runner.job.state import PassKey, State
from runner.shop.people import same_person


@dataclass(frozen=True, slots=True)
class BeginSitting:
    """The job is opened on a machine; the first thing every program asks."""

    machine: str


@dataclass(frozen=True, slots=True)
class ChangePerson:
    name: str
    identified: str = ""


@dataclass(frozen=True, slots=True)
class SeeShop:
    """The shop file as the bench has it now is noted, where it isn't the one seen last."""


@dataclass(frozen=True, slots=True)
class TakeGauge:
    """One of the shop's instruments is used for its kind from here on."""

    kind: str
    gauge: str


@dataclass(frozen=True, slots=True)
class MakeLoad:
    """Parts are put together: the kind of load, its name, the paths of the parts."""

    kind: str
    name: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeaveLoad:
    """A part is taken out of a load."""

    name: str
    part: str
    because: str


@dataclass(frozen=True, slots=True)
class ConfirmPrerequisite:
    number: int


@dataclass(frozen=True, slots=True)
class StartPass:
    """Begin a pass, or take one in hand again."""

    key: PassKey


@dataclass(frozen=True, slots=True)
class Acknowledge:
    """The dangers and warnings of the step in hand were read."""


@dataclass(frozen=True, slots=True)
class Confirm:
    """The act of the step in hand was done, or its wait is over."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One line of the step's list, counted from 1, was done."""

    number: int


@dataclass(frozen=True, slots=True)
class Type:
    """A text typed at a reading or a zero: one reading, or several with blanks between."""

    text: str


@dataclass(frozen=True, slots=True)
class OpenDoor:
    """The oven is opened while a soak runs."""

    because: str


@dataclass(frozen=True, slots=True)
class TakeLogger:
    """A logger's file, by its name, is to stand for one place of the soak that a pass stands at: a part in it, and a point."""

    key: PassKey
    file: str
    member: str
    point: str


@dataclass(frozen=True, slots=True)
class LoggerRow:
    """One row: its line in the file (from 1), its moment in UTC, and the temperature as it stands there and exactly."""

    line: int
    utc: datetime
    typed: str
    number: Fraction


@dataclass(frozen=True, slots=True)
class ReadLogger:
    """
    The bench has read on in a logger's file, from `begins` (in bytes) to `read_bytes`: the new rows, what could not be read,
    and the hash of all that was read so far. Nobody's act.
    """

    key: PassKey
    file: str
    begins: int
    read_bytes: int
    read_lines: int
    sha256: str
    rows: tuple[LoggerRow, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Arm:
    """The clock is made ready: from here only its keys do anything."""


@dataclass(frozen=True, slots=True)
class StandDown:
    """The clock is not run now after all."""

    because: str


@dataclass(frozen=True, slots=True)
class ClockKey:
    """The key against the clock: the first time the first act, the second time the second."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A second key that was missed, put in later as a number of seconds, and why it is believed."""

    text: str
    because: str


@dataclass(frozen=True, slots=True)
class Hurry:
    """In a rehearsal: as if so much time had gone by."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Notice:
    """
    The bench looks at its clock: what time alone has brought about is noted, alarms among it, whoever is there or not.
    Nothing else is done.
    """


@dataclass(frozen=True, slots=True)
class AnswerAlarm:
    """Somebody heard every alarm raised so far; its sound stops, and it stays in sight."""


@dataclass(frozen=True, slots=True)
class Skip:
    """The step in hand is left out, where the procedure lets somebody of a role say so."""

    by: str
    because: str
    identified: str = ""


@dataclass(frozen=True, slots=True)
class StillStand:
    """The step in hand is out of date, was looked at again, and holds."""

    because: str


@dataclass(frozen=True, slots=True)
class Correct:
    """Something entered wrong is put right: one point of a reading (empty where it has only one), an option, or a text."""

    key: PassKey
    name: str
    point: str
    text: str
    because: str


@dataclass(frozen=True, slots=True)
class MoveReadings:
    """Readings taken on the wrong part go to the right one, in one act."""

    key: PassKey
    names: tuple[str, ...]
    to: str
    because: str


@dataclass(frozen=True, slots=True)
class Sign:
    name: str
    identified: str = ""


@dataclass(frozen=True, slots=True)
class Release:
    """A hold point is released by somebody who saw each line that must be seen."""

    by: str
    saw: tuple[str, ...]
    second: str = ""
    """The blind second reading, its points with blanks between, where one is wanted."""
    identified: str = ""


@dataclass(frozen=True, slots=True)
class CallWitness:
    """The one who may witness is told."""


@dataclass(frozen=True, slots=True)
class Attend:
    """A witness came."""

    by: str
    identified: str = ""


@dataclass(frozen=True, slots=True)
class MeasureAgain:
    """A reading of a pass, the one in hand where none is named, is taken again; the old one stays on the record."""

    name: str
    because: str
    key: PassKey | None = None


@dataclass(frozen=True, slots=True)
class Stop:
    """An honest exit on the step in hand: cannot measure, cannot do as written, nonconforming."""

    exit: str
    because: str


@dataclass(frozen=True, slots=True)
class TakeUp:
    """A pass stopped by 'cannot measure' or 'cannot do as written' goes on."""

    because: str


@dataclass(frozen=True, slots=True)
class Dispose:
    """What becomes of the part in hand: a rework or a repair by its title, concession, scrap or return."""

    way: str
    by: str
    because: str
    identified: str = ""


@dataclass(frozen=True, slots=True)
class Permit:
    """The step in hand, stopped at, may be left or done otherwise, as the reason says."""

    by: str
    because: str
    identified: str = ""


@dataclass(frozen=True, slots=True)
class Suspend:
    because: str


@dataclass(frozen=True, slots=True)
class Resume:
    """Go on after a stop, having read the last completed step."""


@dataclass(frozen=True, slots=True)
class HandOver:
    """The job is passed on with a note of what isn't ordinary."""

    note: str


@dataclass(frozen=True, slots=True)
class AcceptHandover:
    """The person at the bench has read the handover page and takes the job on."""


@dataclass(frozen=True, slots=True)
class ReleaseJob:
    by: str
    statement: str
    identified: str = ""


Intent = (
    BeginSitting
    | SeeShop
    | ChangePerson
    | TakeGauge
    | MakeLoad
    | LeaveLoad
    | ConfirmPrerequisite
    | StartPass
    | Acknowledge
    | Confirm
    | Tick
    | Type
    | OpenDoor
    | TakeLogger
    | ReadLogger
    | Arm
    | StandDown
    | ClockKey
    | Estimate
    | Hurry
    | Notice
    | AnswerAlarm
    | Skip
    | StillStand
    | Correct
    | MoveReadings
    | Sign
    | Release
    | CallWitness
    | Attend
    | MeasureAgain
    | Stop
    | TakeUp
    | Dispose
    | Permit
    | Suspend
    | Resume
    | HandOver
    | AcceptHandover
    | ReleaseJob
)


ANYBODYS = ChangePerson | Suspend | ClockKey | Notice | ReadLogger | AnswerAlarm
"""What doesn't wait until it is known who is at the bench: who it is, a stop, and what physics doesn't wait with."""


def whose(intent: Intent, state: State) -> str:
    """The person by whose name an act is done, who must be that person; empty for the acts of whoever is at the bench."""
    match intent:
        case ChangePerson(name=name) | Sign(name=name):
            return name
        case Release(by=by) | Attend(by=by) | Permit(by=by) | Skip(by=by) | ReleaseJob(by=by):
            return by
        case Dispose(by=by):
            return "" if same_person(by, state.person) else by
        case _:
            return ""
