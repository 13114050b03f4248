"""The runs of a soak as traces: what was read on each place, minute by minute, from the entries of its step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.limits import Bound, limits_for
from runner.job.moments import Moment, elapsed, same_boot
from runner.job.state import PassKey
from runner.paper.trace import Counted, Sample, Trace
from runner.procedure.model import Soak
from runner.quantities.units import Unit
from runner.session.at_work import ReadJob

_SLACK_S = 2.0
"""Seconds that a round may leave uncounted and still be drawn as counted whole: less than a column."""


@dataclass(frozen=True, slots=True)
class _Read:
    """One temperature as it came in: in the event at this moment, and read so many seconds before it."""

    at: Moment
    before_s: float
    place: str
    si: Fraction


@dataclass(slots=True)
class _Run:
    """One run while it is gathered, in minutes from its first event, over every restart that was seen in it."""

    first: Moment
    last: Moment
    restarts: list[Moment] = field(default_factory=list)
    samples: list[Sample] = field(default_factory=list)
    counted: list[Counted] = field(default_factory=list)
    doors: list[float] = field(default_factory=list)
    upto: float | None = None
    """Up to when the round before looked."""

    def minutes(self, at: Moment) -> float:
        if not same_boot(self.last, at):
            self.restarts += [self.last, at]
        self.last = at
        return elapsed(self.first, at, self.restarts).lasted.total_seconds() / 60

    def take(self, read: Sequence[_Read], unit: Unit) -> None:
        for one in read:
            self.samples.append(
                Sample(self.minutes(one.at) - one.before_s / 60, one.place, _in(unit, one.si))
            )

    def count(self, done: e.SoakRound) -> None:
        """The time since the round before, where a round found that it counts, or that a part of it does."""
        end = self.minutes(done.at) - (done.at.utc - done.upto.utc).total_seconds() / 60
        first = min((one.minutes for one in self.samples), default=end)
        start, self.upto = (first if self.upto is None else self.upto), end
        if done.counted_s > 0:
            self.counted.append(Counted(start, end, (end - start) * 60 - done.counted_s < _SLACK_S))


def traces(read: ReadJob, key: PassKey, step: Soak, happened: Sequence[tuple[int, Event]]) -> list[Trace]:
    """Each run of a soak, in order: one more wherever its first round was read anew."""
    runs: list[_Run] = []
    waiting: list[_Read] = []
    for _, event in happened:
        match event:
            case e.SoakPoint() | e.LoggerRead():
                waiting += _temperatures(event)
            case e.SoakRound():
                if event.round == 1 or not runs:
                    first = waiting[0].at if waiting else event.at
                    runs.append(_Run(first, first))
                runs[-1].take(waiting, step.unit)
                runs[-1].count(event)
                waiting = []
            case e.DoorOpened() if runs:
                runs[-1].doors.append(runs[-1].minutes(event.at))
    if waiting:
        runs = runs or [_Run(waiting[0].at, waiting[0].at)]
        runs[-1].take(waiting, step.unit)
    low, high = _band(read, key, step)
    return [_trace(run, step, low, high) for run in runs]


def _temperatures(event: e.SoakPoint | e.LoggerRead) -> list[_Read]:
    place = f"{event.member} {event.point}".strip()
    if isinstance(event, e.SoakPoint):
        return [_Read(event.at, 0.0, place, event.si)]
    return [_Read(event.at, (event.at.utc - row.utc).total_seconds(), place, row.si) for row in event.rows]


def _trace(run: _Run, step: Soak, low: float | None, high: float | None) -> Trace:
    """The run from its first reading on."""
    start = min((one.minutes for one in run.samples), default=0.0)
    return Trace(
        tuple(replace(one, minutes=one.minutes - start) for one in run.samples),
        step.unit.symbol,
        low,
        high,
        tuple(replace(one, start=one.start - start, end=one.end - start) for one in run.counted),
        tuple(one - start for one in run.doors),
    )


def _in(unit: Unit, si: Fraction | float) -> float:
    return float((Fraction(si) - unit.offset) / unit.factor)


def _band(read: ReadJob, key: PassKey, step: Soak) -> tuple[float | None, float | None]:
    """The band as it stands at the end of the record; open where it can't be worked out any more."""
    try:
        limits = limits_for(read.job, read.state, read.job.part_of(key), step.within)
    except CannotBeWorked:
        return None, None
    return _end(limits.low, step.unit), _end(limits.high, step.unit)


def _end(bound: Bound | None, unit: Unit) -> float | None:
    if bound is None:
        return None
    return round(_in(unit, bound.value if bound.exact is None else bound.exact), 6)
