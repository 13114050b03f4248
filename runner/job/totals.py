"""Totals: what adds up on a part over the whole job. A correction corrects it, measuring again replaces what was added, and
a rework adds again. Over its limit the pass that made it grow stops, and somebody decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from runner.engineering.heat_history import equivalent_time
from runner.job import events as e
from runner.job.events import Event
from runner.job.job import Job
from runner.job.parts import Part
from runner.job.state import State
from runner.job.values import NEAR, minutes
from runner.procedure.model import Read, Total
from runner.quantities.quantity import fine_step, show

Stamp = dict[str, Any]


def bearer(job: Job, part: Part, total: Total) -> str:
    """The path of the part whose total it is: this one, or one that it lies in."""
    return next(one.path for one in job.parts.outward(part) if one.level == total.for_each)


def heat_of(total: Total, lasted_s: float, hottest: Fraction | None) -> float:
    """The seconds that so long a time, at so many kelvin at its hottest, counts for in a total of heat."""
    if hottest is None or hottest <= 0:
        return 0.0
    if total.ageing:
        at, energy = float(total.ageing.at.si), float(total.ageing.energy.si)
        return equivalent_time(lasted_s, float(hottest), at, energy)
    return lasted_s if total.over and hottest > total.over.si else 0.0


def grown(state: State, total: Total, path: str, by: float, because: str, stamp: Stamp) -> e.TotalGrew:
    """A total of a part grown by so much."""
    sum_ = state.totals.get((path, total.name), 0.0) + by
    most = float(total.most.si)
    return e.TotalGrew(
        at=stamp["at"],
        who=stamp["who"],
        total=total.name,
        part=path,
        by_si=by,
        sum_si=sum_,
        shown=amount(total, sum_),
        most=total.most.typed,
        over=sum_ - most > NEAR * most,
        because=because,
    )


def amount(total: Total, si: float) -> str:
    """So much of a total as it is shown: time in minutes, all else in the unit of its limit."""
    shown_in = minutes() if total.heat else total.most.unit
    return show(si, shown_in, fine_step(shown_in))


def added(job: Job, state: State, event: Event) -> e.TotalGrew | None:
    """What a reading taken, corrected or superseded adds to its total, in the state before it."""
    if not isinstance(event, e.ReadingTaken | e.ReadingCorrected | e.ReadingSuperseded):
        return None
    step = job.step((event.stage, event.part), event.step)
    total = job.procedure.total(step.adds_to) if isinstance(step, Read) else None
    if total is None:
        return None
    known = state.known.get((event.part, event.name))
    before = float(known.points[0].si) if known and known.points else 0.0
    now = 0.0 if isinstance(event, e.ReadingSuperseded) else float(event.si)
    why = {
        e.ReadingTaken: f"{event.name} on {event.part}",
        e.ReadingCorrected: f"{event.name} on {event.part} was corrected",
        e.ReadingSuperseded: f"{event.name} on {event.part} no longer counts",
    }[type(event)]
    path = bearer(job, job.part_of((event.stage, event.part)), total)
    return grown(state, total, path, now - before, why, {"at": event.at, "who": event.who})


def over(job: Job, state: State, events: Sequence[Event]) -> list[Event]:
    """The stop where an act made a total grow over what it may add up to, at the step that did; with what else it stopped."""
    stopped: list[Event] = []
    by = next(
        (one for one in events if isinstance(one, e.ReadingTaken | e.ReadingCorrected | e.SoakRound)), None
    )
    too_much = [one for one in events if isinstance(one, e.TotalGrew) and one.over and one.by_si > 0]
    for name in dict.fromkeys(one.total for one in too_much) if by else ():
        assert by
        total = job.procedure.total(name)
        assert total
        mine = {one.part: one for one in too_much if one.total == name}
        sentence = "; ".join(
            f"{path}: {name} is {one.shown}, over {one.most} ({total.source})" for path, one in mine.items()
        )
        sentence += "".join(f"; {one.sentence}" for one in events if isinstance(one, e.SoakStopped))
        found = state.at((by.stage, by.part))
        stopped.append(
            e.TotalOver(
                at=by.at,
                who=by.who,
                stage=by.stage,
                part=by.part,
                step=by.step,
                name=name,
                bearers=tuple(mine),
                sentence=sentence,
                completed=by.step in found.done_steps,
                routes=total.routes,
            )
        )
    return stopped
