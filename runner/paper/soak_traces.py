"""The runs of a soak as traces: what was read on each place, minute by minute, from the entries of its step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.limits import Bound, limits_for
from runner.job.moments import Moment, elapsed
from runner.job.state import PassKey
from runner.paper.trace import Sample, Trace
from runner.procedure.model import Soak
from runner.quantities.units import Unit
from runner.session.at_work import ReadJob


@dataclass(slots=True)
class _Run:
    """One run while it is gathered: minutes from its first reading, over every restart that was seen in it."""

    moments: list[Moment]
    samples: list[Sample] = field(default_factory=list)
    counted: list[tuple[float, float]] = field(default_factory=list)
    doors: list[float] = field(default_factory=list)

    def minutes(self, at: Moment) -> float:
        self.moments.append(at)
        return elapsed(self.moments[0], at, self.moments[1:-1]).lasted.total_seconds() / 60


def traces(read: ReadJob, key: PassKey, step: Soak, happened: Sequence[tuple[int, Event]]) -> list[Trace]:
    """Each run of a soak, in order: one more wherever its first round was read anew."""
    runs: list[_Run] = []
    waiting: list[e.SoakPoint] = []
    for _, event in happened:
        match event:
            case e.SoakPoint():
                waiting.append(event)
            case e.SoakRound():
                if event.round == 1 or not runs:
                    runs.append(_Run([(waiting[0] if waiting else event).at]))
                _take(runs[-1], waiting, step.unit)
                waiting = []
                if event.counted_s > 0:
                    until = runs[-1].minutes(event.at)
                    runs[-1].counted.append((until - event.counted_s / 60, until))
            case e.DoorOpened() if runs:
                runs[-1].doors.append(runs[-1].minutes(event.at))
    if waiting:
        runs = runs or [_Run([waiting[0].at])]
        _take(runs[-1], waiting, step.unit)
    low, high = _band(read, key, step)
    return [
        Trace(tuple(run.samples), step.unit.symbol, low, high, tuple(run.counted), tuple(run.doors))
        for run in runs
    ]


def _take(run: _Run, points: Sequence[e.SoakPoint], unit: Unit) -> None:
    for one in points:
        place = f"{one.member} {one.point}".strip()
        run.samples.append(Sample(run.minutes(one.at), place, _in(unit, one.si)))


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
