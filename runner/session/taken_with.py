"""Every reading taken with one instrument, over all jobs of a folder: for the day that a gauge turns out to be wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path

from runner.job.events import Event, ReadingSuperseded, ReadingTaken, ReworkBegun
from runner.session.at_work import read_job
from runner.session.faults import RunnerError
from runner.session.shelf import job_files
from runner.shop.model import plain


@dataclass(frozen=True, slots=True)
class Taken:
    """The points of one reading that were taken with it, each with its unit; who typed them, and when the last was."""

    job: str
    part: str
    stage: str
    name: str
    points: tuple[str, ...]
    who: tuple[str, ...]
    at: datetime
    zone: tzinfo
    superseded: bool


@dataclass(frozen=True, slots=True)
class NotRead:
    """A job whose file can't be read, and so may hold more readings."""

    job: str
    why: str


def taken_with(folder: Path, instrument: str) -> list[Taken | NotRead]:
    """Every reading with the instrument of that id, or of that title where the readings tell no id; by job, in order."""
    found: list[Taken | NotRead] = []
    for path in job_files(folder):
        try:
            read = read_job(path)
        except RunnerError as why:
            found.append(NotRead(path.stem, why.what))
            continue
        found += _in_job(path.stem, read.events, instrument, read.job.zone)
    return found


def _is_with(event: ReadingTaken, instrument: str) -> bool:
    """Whether a point was taken with the instrument of that id or title."""
    names = (event.gauge, event.instrument)
    return plain(instrument) in [plain(name) for name in names if name]


def _readings(events: Sequence[Event]) -> list[tuple[list[ReadingTaken], bool]]:
    """The points of each reading in the order they were begun, and whether it was superseded."""
    found: list[list[ReadingTaken]] = []
    standing: dict[tuple[str, str, int], int] = {}
    superseded: set[int] = set()
    for event in events:
        if isinstance(event, ReadingTaken):
            number = standing.setdefault((event.stage, event.part, event.step), len(found))
            if number == len(found):
                found.append([])
            found[number].append(event)
        elif isinstance(event, ReadingSuperseded):
            gone = standing.pop((event.stage, event.part, event.step), None)
            superseded |= {gone} if gone is not None else set()
        elif isinstance(event, ReworkBegun):
            for ref in event.done_again:
                gone = standing.pop((ref.stage, ref.part, ref.step), None)
                superseded |= {gone} if gone is not None else set()
    return [(points, number in superseded) for number, points in enumerate(found)]


def _in_job(job: str, events: Sequence[Event], instrument: str, zone: tzinfo) -> Iterator[Taken]:
    for points, superseded in _readings(events):
        mine = [point for point in points if _is_with(point, instrument)]
        if mine:
            people = tuple(dict.fromkeys(point.who for point in mine))
            last, typed = mine[-1], tuple(_with_unit(point) for point in mine)
            yield Taken(job, last.part, last.stage, last.name, typed, people, last.at.utc, zone, superseded)


def _with_unit(point: ReadingTaken) -> str:
    return point.typed if point.typed.endswith(point.unit) else f"{point.typed} {point.unit}"
