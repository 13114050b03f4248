"""What has added up on each part over the whole job, against its limit, and how hot the part was where heat is what adds up."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from runner.job import events as e
from runner.job.parts import Part
from runner.job.totals import bearer
from runner.procedure.model import Soak, Total
from runner.session.at_work import ReadJob


def totals(read: ReadJob) -> list[dict[str, Any]]:
    """
    Each total on each part whose it is: what it came to and the entry that made it so (none where nothing was added), what
    it may be, whether it is over; and of heat the hottest reading that was taken for it.
    """
    grew: dict[tuple[str, str], tuple[int, e.TotalGrew]] = {}
    hottest: dict[tuple[str, str], tuple[Fraction, str]] = {}
    for row, event in zip(read.rows, read.events, strict=True):
        if isinstance(event, e.TotalGrew):
            grew[event.total, event.part] = row.seq, event
        elif isinstance(event, e.SoakPoint | e.LoggerRead):
            for place in _adds_to(read, event):
                for si, typed in _temperatures(event):
                    if place not in hottest or hottest[place][0] < si:
                        hottest[place] = si, f"{typed} ({_where(event)}, entry {row.seq})"
    return [
        _told(total, part, grew.get((total.name, part.path)))
        | {"hottest": hottest.get((total.name, part.path), (0, ""))[1]}
        for total in read.job.procedure.totals
        for part in read.job.parts.at(total.for_each)
    ]


def _told(total: Total, part: Part, grew: tuple[int, e.TotalGrew] | None) -> dict[str, Any]:
    return {
        "total": total.name,
        "part": part.path,
        "counts": _counts(total),
        "came to": grew[1].shown if grew else "nothing",
        "at most": total.most.typed,
        "source": total.source,
        "over": grew is not None and grew[1].over,
        "entry": grew[0] if grew else 0,
    }


def _counts(total: Total) -> str:
    if total.ageing:
        return f"time that ages as at {total.ageing.at.typed}, by {total.ageing.energy.typed}"
    return f"time over {total.over.typed}" if total.over else "what was added"


def _temperatures(event: e.SoakPoint | e.LoggerRead) -> list[tuple[Fraction, str]]:
    """Every temperature that an event brought, with how it was written."""
    if isinstance(event, e.LoggerRead):
        return [(row.si, f"{row.typed} {event.unit}") for row in event.rows]
    return [(event.si, event.typed if event.typed.endswith(event.unit) else f"{event.typed} {event.unit}")]


def _where(event: e.SoakPoint | e.LoggerRead) -> str:
    return f"{event.name}, {event.member} {event.point}".strip()


def _adds_to(read: ReadJob, event: e.SoakPoint | e.LoggerRead) -> list[tuple[str, str]]:
    """The totals that the soak of an event adds to, each with the path of the part whose it is."""
    step = read.job.step((event.stage, event.part), event.step)
    if not isinstance(step, Soak):
        return []
    part = _member(read, event)
    totals = filter(None, map(read.job.procedure.total, step.adds_to))
    return [(total.name, bearer(read.job, part, total)) for total in totals]


def _member(read: ReadJob, event: e.SoakPoint | e.LoggerRead) -> Part:
    """The part that was read: the one of the pass, or one of those that were put into its load."""
    parts, part = read.job.parts, read.job.part_of((event.stage, event.part))
    if not parts.is_load(part.level):
        return part
    return parts.find(parts.put_in(part.level), event.member) or part
