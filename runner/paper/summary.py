"""The front of a record: each part with the values its hold points show and what was decided on it; the instruments used."""

from __future__ import annotations

from typing import Any

from runner.job import events as e
from runner.job.passes import is_live
from runner.job.state import Known
from runner.paper.words import rework_words
from runner.procedure.model import HoldPoint, Procedure
from runner.session.at_work import ReadJob


def parts_in_short(read: ReadJob) -> list[dict[str, Any]]:
    """
    Each part on which a hold point shows something, or on which something was decided: its standing, those values with
    their U, its place on each ladder, and the ways it went through.
    """
    found = []
    for level in read.job.procedure.parts:
        names = _shown_for(read.job.procedure, level.name)
        for part in read.job.parts.at(level.name):
            ways = _ways(read, part.path)
            rungs = [
                f"{ladder.name} {ladder.rungs[read.state.rungs[(part.path, ladder.name)] - 1].typed}"
                for ladder in read.job.procedure.ladders
                if (part.path, ladder.name) in read.state.rungs
            ]
            values = [_value(known) for name in names if (known := read.state.known.get((part.path, name)))]
            if values or ways:
                gone = "" if is_live(read.job, read.state, part) else _gone(read, part.path)
                told = {"part": part.path, "standing": gone, "values": [*rungs, *values], "ways": ways}
                found.append(told)
    return found


def _gone(read: ReadJob, path: str) -> str:
    part = next(
        one for level in read.job.procedure.parts for one in read.job.parts.at(level.name) if one.path == path
    )
    outer = next(one for one in read.job.parts.outward(part) if one.path in read.state.gone)
    return (
        read.state.gone[outer.path]
        if outer.path == path
        else f"{read.state.gone[outer.path]} with {outer.path}"
    )


def _shown_for(procedure: Procedure, level: str) -> list[str]:
    """The names that hold points of a level's stages show, each once."""
    names = (
        name
        for stage in procedure.stages
        if stage.for_each == level
        for step in stage.steps
        if isinstance(step, HoldPoint)
        for name in step.about.show
    )
    return list(dict.fromkeys(names))


def _value(known: Known) -> str:
    if known.answer is not None:
        return f"{known.name} {known.answer}"
    if known.worked is not None:
        return f"{known.name} {known.shown}{f' ± {known.uncertainty}' if known.uncertainty else ''}"
    unit = known.points[0].unit if known.points else ""
    return f"{known.name} {' '.join(point.typed for point in known.points)} {unit}"


def _ways(read: ReadJob, path: str) -> list[str]:
    """Reworks with how often, concessions, permits, scrap and return, in the order they were begun."""
    reworks: dict[str, e.ReworkBegun] = {}
    ways: list[str] = []
    for event in read.events:
        if not isinstance(event, e.StepEvent) or event.part != path:
            continue
        match event:
            case e.ReworkBegun():
                reworks[event.title] = event
            case e.Disposed():
                ways.append(f"{event.way} by {event.by}")
            case e.PermitGiven():
                ways.append(f"deviation permit by {event.by}")
    return [*(rework_words(one) for one in reworks.values()), *dict.fromkeys(ways)]


def instruments(read: ReadJob) -> list[str]:
    """
    Each instrument that something was read with: its id and the last day of its calibration, or that nobody knows
    which one it was.
    """
    lines: dict[tuple[str, str, str], str] = {}
    for event in read.events:
        if isinstance(event, e.ReadingTaken) and event.instrument:
            key = (event.instrument, event.gauge, event.calibrated_until)
            u = f"U {event.instrument_uncertainty}"
            known = f"{event.gauge}, {u}, calibrated until {event.calibrated_until}"
            lines[key] = (
                f"{event.instrument}: {known if event.gauge else f'{u} by the procedure; which one it was is not on record'}"
            )
    return sorted(lines.values())
