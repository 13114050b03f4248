"""Which sizes a reading may be drawn at: whole steps of its instrument inside its plausible band."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from runner.job.limits import limits_for
from runner.job.parts import Part
from runner.procedure.model import Procedure, Read
from runner.quantities.quantity import show_number
from runner.trial.foreseen import Foreseen

Points = tuple[Fraction, ...]
"""A reading's points in SI, exact."""
_FINE = 1000
"""Into how many steps a band is divided where no instrument says how fine it reads."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """What one reading may say here and now: `lowest` to `highest` whole steps of `digit`, in its own unit."""

    step: Read
    digit: Fraction
    lowest: int
    highest: int

    def si(self, steps: Sequence[int]) -> Points:
        unit = self.step.unit
        return tuple(self.digit * one * unit.factor + unit.offset for one in steps)

    def at(self, share: float) -> int:
        """The size at this share of the band."""
        return self.lowest + round(share * (self.highest - self.lowest))

    def share(self, size: int) -> float:
        return (size - self.lowest) / max(1, self.highest - self.lowest)

    def holds(self, steps: Sequence[int]) -> bool:
        return self.lowest <= min(steps) and max(steps) <= self.highest


def sizes_of(procedure: Procedure, seen: Foreseen, part: Part, step: Read) -> Sizes:
    """The sizes of a reading on a part. Raises CannotBeWorked where its plausible band has no answer."""
    limits = limits_for(seen.job, seen.state, part, step.plausible)
    assert limits.low and limits.high
    unit = step.unit
    low, high = ((end.value - float(unit.offset)) / float(unit.factor) for end in (limits.low, limits.high))
    digit = digit_of(procedure, step, high - low)
    lowest, highest = math.ceil(low / digit - 1e-6), math.floor(high / digit + 1e-6)
    return Sizes(step, digit, lowest, max(lowest, highest))


def digit_of(procedure: Procedure, step: Read, width: float) -> Fraction:
    """What one step of a reading is in its own unit: what its instrument reads to, else a round part of its band."""
    described = procedure.instrument(step.instrument)
    if described:
        return described.reads_to.number * described.reads_to.unit.factor / step.unit.factor
    return Fraction(10) ** math.floor(math.log10(max(width, 1e-9) / _FINE) + 1e-9)


def typed(step: Read, si: Fraction, digit: Fraction) -> str:
    """A size as it would be typed, in the unit shown."""
    return show_number(si, step.unit, digit)


def near(sizes: Sizes, share: float, *, coarsely: bool = False) -> Iterator[tuple[int, ...]]:
    """
    Every way to read, nearest to a share of the band first: all points further up or down, or only one of them, or one
    level, by more and more; then anywhere in the band.
    """
    count, middle = len(sizes.step.points), sizes.at(share)
    yield (middle,) * count
    moved = [range(count)]
    if count > 1:
        moved += [range(1), range(len(sizes.step.axes) or 1)]
    size = 1
    while size <= sizes.highest - sizes.lowest:
        for which in dict.fromkeys(moved):
            for by in (size, -size):
                steps = tuple(middle + by * (at in which) for at in range(count))
                if sizes.holds(steps):
                    yield steps
        size = size * 4 if coarsely else size + max(1, size // 2)
    parts = 4 if coarsely else 16
    for at in range(parts + 1):
        yield (sizes.at(at / parts),) * count
