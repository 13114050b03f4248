"""What was read at the places of a soak, on one axis of time: the bench's own, with now at nil and all before it below.

A row of a logger has only its UTC. It is set on the bench's clock when the bench reads it (`moments.set_back`), and carried
on from there like everything else that was done. So between two rows never lies more than the bench's clocks prove between
its own looks at the file, however a wall clock was set; and over a restart the wall clock is believed forward, not back.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from runner.job.moments import SLACK_S, Moment
from runner.job.state import Place, Sample, State
from runner.job.waits import longest_since, since


@dataclass(frozen=True, slots=True)
class Dot:
    """
    One temperature on the axis, in seconds: where it lies as far as time is proved (`proved`), where by the longest that
    can have gone by since (`longest`), and whether nobody knows how much longer that was. `inside` the band or not.
    """

    proved: float
    longest: float
    unsure: bool
    si: Fraction
    inside: bool
    logged: bool


Axis = Callable[[Dot], float]
IsIn = Callable[[Fraction], bool]
"""Whether a temperature in SI is inside the band of its soak."""
Trace = Mapping[Place, Sequence[Dot]]


@dataclass(frozen=True, slots=True)
class Lap:
    """The time between two moments at which anything was read, and at each place what was read before it and after."""

    end: float
    lasted_s: float
    ends: tuple[tuple[Dot | None, Dot | None], ...]


def proved(dot: Dot) -> float:
    return dot.proved


def longest(dot: Dot) -> float:
    return dot.longest


def dots(state: State, samples: Iterable[Sample], is_in: IsIn, now: Moment) -> list[Dot]:
    """What was read at one place, set on the axis, oldest first."""
    found = []
    for one in samples:
        spent = since(state, one.at, now)
        far = longest_since(state, one.at, now)
        found.append(
            Dot(
                -spent.lasted.total_seconds(),
                -far.total_seconds(),
                spent.unknown,
                one.si,
                is_in(one.si),
                one.logged,
            )
        )
    return sorted(found, key=proved)


def laps(trace: Trace, start: float, end: float, axis: Axis) -> Iterator[Lap]:
    """The time from `start` to `end`, cut wherever anything was read at any place; in order."""
    ordered = [sorted(one, key=axis) for one in trace.values()]
    lie_at = [[axis(dot) for dot in one] for one in ordered]
    cuts = {start, end} | {at for one in lie_at for at in one if start < at < end}
    for before, after in pairwise(sorted(cuts) if start < end else ()):
        ends = []
        for place, at in zip(ordered, lie_at, strict=True):
            last, first = bisect_right(at, before) - 1, bisect_left(at, after)
            ends.append((place[last] if last >= 0 else None, place[first] if first < len(place) else None))
        yield Lap(after, after - before, tuple(ends))


def apart(before: Dot, after: Dot) -> float:
    """The longest that can lie between two readings at one place, in seconds."""
    return max(after.proved - before.proved, after.longest - before.longest)


def is_gap(before: Dot, after: Dot, allowed_s: float) -> bool:
    """Whether two readings lie too far apart for anything to be proved between them. A row's clock is not told from ours by 2 s."""
    slack = SLACK_S if before.logged or after.logged else 0.0
    return round(apart(before, after), 6) > allowed_s + slack
