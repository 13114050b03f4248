"""What a person or the bench can ask of a job. An intent is answered with events or with a refusal, never silently."""

from __future__ import annotations

from dataclasses import dataclass

from runner.job.state import PassKey


@dataclass(frozen=True, slots=True)
class BeginSitting:
    """The job is opened on a machine; the first thing every program asks."""

    machine: str


@dataclass(frozen=True, slots=True)
class ChangePerson:
    name: str


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
class Sign:
    name: str


@dataclass(frozen=True, slots=True)
class Release:
    """A hold point is released by somebody who saw each line that must be seen."""

    by: str
    saw: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeasureAgain:
    """A reading of the pass in hand is taken again; the old one stays on the record."""

    name: str
    because: str


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
    """What becomes of the nonconforming part in hand: concession, scrap or return."""

    way: str
    by: str
    because: str


@dataclass(frozen=True, slots=True)
class Suspend:
    because: str


@dataclass(frozen=True, slots=True)
class Resume:
    """Go on after a stop, having read the last completed step."""


@dataclass(frozen=True, slots=True)
class ReleaseJob:
    by: str
    statement: str


Intent = (
    BeginSitting
    | ChangePerson
    | ConfirmPrerequisite
    | StartPass
    | Acknowledge
    | Confirm
    | Tick
    | Type
    | Sign
    | Release
    | MeasureAgain
    | Stop
    | TakeUp
    | Dispose
    | Suspend
    | Resume
    | ReleaseJob
)
