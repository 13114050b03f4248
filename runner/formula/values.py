"""What a name stands for while a formula is worked: one number, or the readings of a group. Floats in SI."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from runner.quantities.kinds import NUMBER, Kind


class Shape(Enum):
    """One value, several points, readings at levels round axes, or one of some options."""

    ONE = "one value"
    POINTS = "several readings"
    LEVELS = "readings at several levels"
    CHOICE = "a choice"


@dataclass(frozen=True, slots=True)
class Typed:
    """
    What the checker knows of a value before there is one: its kind and shape; a condition is its own thing. A choice
    (`CHOICE`) has options instead of a kind; without options it may be any text, as the name of a part is.
    """

    kind: Kind
    shape: Shape = Shape.ONE
    is_condition: bool = False
    options: tuple[str, ...] = ()


def choice(*options: str) -> Typed:
    """The type of a choice among these options, or of any text where there are none."""
    return Typed(NUMBER, Shape.CHOICE, options=options)


@dataclass(frozen=True, slots=True)
class Group:
    """The readings of one group, level by level; a group without levels is one level."""

    levels: tuple[tuple[float, ...], ...]

    @property
    def all(self) -> tuple[float, ...]:
        return tuple(value for level in self.levels for value in level)


Value = float | Group
"""What is worked with."""
Named = Value | str
"""What a name may stand for: a value, or the option chosen."""
CONDITION = Typed(NUMBER, is_condition=True)


class CannotBeWorked(ArithmeticError):
    """A formula whose values leave it without an answer. The message is one sentence, no full stop."""
