"""What the screen begins with when it doesn't begin at the bench."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from runner.procedure.model import Procedure


@dataclass(frozen=True, slots=True)
class OpenNew:
    """A new job; what is empty or None is asked."""

    procedure: Procedure
    number: str
    who: str
    alone: bool | None
    named: Mapping[str, tuple[str, ...]]
    rehearsal: bool | None = False


@dataclass(frozen=True, slots=True)
class TakeUp:
    """A job from its file; who is at the bench is asked if it isn't said."""

    path: Path
    who: str


@dataclass(frozen=True, slots=True)
class Watch:
    """Not the bench but the watch over every open job in the folder, which is only read."""


Start = OpenNew | TakeUp | Watch
