"""Soaks and totals: time inside a temperature band, counted only as far as readings on the part prove it.

Two rounds of readings count when both are inside and no further apart than the interval and its grace. A gap proves nothing
for the soak, and counts in full, at the hotter neighbour, towards the total of heat. In a load the coldest reading governs
the soak, the hottest the deviation, and each part keeps its own total.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from runner.formula.uncertain import work_measured
from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.instruments import instrument_for
from runner.job.job import Job, Refusal
from runner.job.moments import Moment, span_words
from runner.job.parts import Part
from runner.job.readings import plausible_or_not
from runner.job.state import PassKey, Soaking, State
from runner.job.values import find_all, minutes
from runner.job.waits import longest_since, since
from runner.job.working import limits_for
from runner.procedure.model import Soak, Total
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import fine_step, show

Stamp = dict[str, Any]


def places(job: Job, key: PassKey, step: Soak) -> list[tuple[str, str]]:
    """What one round reads, in order: the path of each part that is soaked, with each of the points."""
    part = job.part_of(key)
    members = [one.path for one in job.parts.members(part)] or [part.path]
    return [(member, point) for member in members for point in step.points]


def take(
    job: Job, state: State, key: PassKey, step: Soak, text: str, now: Moment, stamp: Stamp
) -> list[Event] | Refusal:
    """One line typed at a soak; where it completes a round, what the round proves, and what it adds to the totals."""
    with_ = instrument_for(job, state, step.instrument, now)
    if isinstance(with_, Refusal):
        return with_
    soaking = state.at(key).soaks.get(step.about.number, Soaking())
    wanted = _live(job, state, places(job, key, step))[len(soaking.points) :]
    words = split_entries(text)
    if len(words) > len(wanted):
        return Refusal(
            f"{len(words)} readings were typed, and {len(wanted)} are wanted in this round",
            "a blank separates two readings",
        )
    try:
        plausible = limits_for(job, state, job.part_of(key), step.plausible)
    except CannotBeWorked as why:
        return Refusal(f"the plausible band of '{step.name}' can't be worked out: {why}")
    asked, events = state.at(key).questioned, list[Event]()
    for at, (word, (member, point)) in enumerate(zip(words or [text], wanted, strict=False)):
        quantity = parse_entry(word, step.unit, job.mark)
        if isinstance(quantity, Refused):
            return Refusal(quantity.sentence)
        label = f"{member} {point}".strip()
        doubt = plausible_or_not(quantity, step.unit, plausible)
        if doubt and not (at == 0 and asked and asked.point == label and asked.typed == quantity.typed):
            if at == 0:
                return [e.EntryQuestioned(**stamp, point=label, typed=quantity.typed, why=doubt)]
            return Refusal(f"{doubt}; type the readings before it first", "then type this one by itself")
        events.append(
            e.SoakPoint(
                **stamp,
                name=step.name,
                member=member,
                point=point,
                typed=quantity.typed,
                number=quantity.number,
                unit=quantity.unit.symbol,
                si=quantity.si,
                instrument=step.instrument,
                gauge=with_.gauge if with_ else "",
                calibrated_until=with_.calibrated_until if with_ else "",
                instrument_uncertainty=with_.uncertainty.typed if with_ else "",
                questioned=doubt,
                last=at + 1 == len(wanted),
            )
        )
    if len(words or [text]) == len(wanted):
        points = (*soaking.points, *(one for one in events if isinstance(one, e.SoakPoint)))
        return [*events, *_round(job, state, key, step, soaking, points, now, stamp)]
    return events


def _live(job: Job, state: State, wanted: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    return [(member, point) for member, point in wanted if member not in state.gone]


def _round(
    job: Job,
    state: State,
    key: PassKey,
    step: Soak,
    soaking: Soaking,
    points: tuple[e.SoakPoint, ...],
    now: Moment,
    stamp: Stamp,
) -> list[Event]:
    """What a whole round proves."""
    part = job.part_of(key)
    within = limits_for(job, state, part, step.within)
    inside = all(within.meets(float(one.si), one.si) for one in points)
    counted, note = _counted(state, step, soaking, inside, now)
    total = soaking.total_s + counted
    coldest, hottest = min(one.si for one in points), max(one.si for one in points)
    done = e.SoakRound(
        **stamp,
        name=step.name,
        round=len(soaking.rounds) + 1,
        coldest=show(coldest, step.unit, fine_step(step.unit)),
        hottest=show(hottest, step.unit, fine_step(step.unit)),
        limits=step.within.text,
        inside=inside,
        counted_s=round(counted, 3),
        total_s=round(total, 3),
        left_s=round(max(0.0, float(step.least.si) - total), 3),
        note=note,
    )
    events: list[Event] = [done, *_heat(job, state, key, step, soaking, points, now, stamp)]
    over = _over(job, state, part, step, points) or _too_long(step, total, part)
    if over:
        return [*events, e.SoakStopped(**stamp, name=step.name, sentence=over, routes=step.routes)]
    if total >= float(step.least.si):
        least, source = step.least.typed, step.source
        events.append(
            e.SoakDone(**stamp, name=step.name, total_s=round(total, 3), least=least, source=source)
        )
    return events


def _counted(state: State, step: Soak, soaking: Soaking, inside: bool, now: Moment) -> tuple[float, str]:
    """The seconds since the round before that count, and why they don't where they don't."""
    if soaking.last is None or soaking.last_at is None:
        return 0.0, "" if inside else "not inside yet; the soak has not begun"
    spent = since(state, soaking.last_at, now)
    if not soaking.last.inside:
        return 0.0, "the reading before was not inside"
    if not inside:
        return 0.0, "not inside; the time since the reading before does not count"
    allowed = float(step.every.si) + (float(step.grace.si) if step.grace else 0.0)
    longest = longest_since(state, soaking.last_at, now).total_seconds()
    if longest > allowed:
        return 0.0, f"a gap of {span_words(timedelta(seconds=longest))} proves nothing, and does not count"
    return spent.lasted.total_seconds(), spent.note


def _over(job: Job, state: State, part: Part, step: Soak, points: tuple[e.SoakPoint, ...]) -> str:
    found = find_all(job, state, part, [step.never_over.tree])
    limit = work_measured(step.never_over.tree, {name: one.uncertain for name, one in found.items()})
    hottest = max(points, key=lambda one: one.si)
    if float(hottest.si) <= limit:
        return ""
    where = f"{hottest.member} {hottest.point}".strip()
    return f"{where} was at {hottest.typed} {hottest.unit}, over {step.never_over.text} ({step.source})"


def _too_long(step: Soak, total: float, part: Part) -> str:
    if step.most is None or total <= float(step.most.si):
        return ""
    lasted = span_words(timedelta(seconds=total))
    return f"{part.path}: {step.name} has lasted {lasted}, over {step.most.typed} ({step.source})"


def _heat(
    job: Job,
    state: State,
    key: PassKey,
    step: Soak,
    soaking: Soaking,
    points: tuple[e.SoakPoint, ...],
    now: Moment,
    stamp: Stamp,
) -> list[Event]:
    """What the time since the round before adds to each part's total, at the hotter of the two readings."""
    total = job.procedure.total(step.adds_to)
    if total is None or total.over is None or soaking.last_at is None:
        return []
    lasted = longest_since(state, soaking.last_at, now).total_seconds()
    events = []
    for member in dict.fromkeys(one.member for one in points):
        both = [one for one in (*points, *soaking.rounds[-1]) if one.member == member]
        if max(one.si for one in both) > total.over.si:
            path = _bearer(job, key, total, member)
            why = f"{step.name}, {span_words(timedelta(seconds=lasted))} by the hotter of two readings"
            events += grown(state, total, path, lasted, why, stamp)
    return events


def _bearer(job: Job, key: PassKey, total: Total, member: str) -> str:
    """The part whose total it is: the one read, or one that it lies in."""
    part = job.part_of(key)
    found = next((one for one in job.parts.members(part) if one.path == member), part)
    return next(one.path for one in job.parts.outward(found) if one.level == total.for_each)


def grown(state: State, total: Total, path: str, by: float, because: str, stamp: Stamp) -> list[Event]:
    """A total of a part grown by so much."""
    sum_ = state.totals.get((path, total.name), 0.0) + by
    shown_in = minutes() if total.over else total.most.unit
    return [
        e.TotalGrew(
            at=stamp["at"],
            who=stamp["who"],
            total=total.name,
            part=path,
            by_si=by,
            sum_si=sum_,
            shown=show(sum_, shown_in, fine_step(shown_in)),
            most=total.most.typed,
            because=because,
        )
    ]


def used_up(job: Job, state: State, key: PassKey) -> str:
    """Why the heat or stock of a part is used up, in a sentence; empty while it isn't."""
    part = job.part_of(key)
    for one in (part, *job.parts.members(part)):
        for total in job.procedure.totals:
            bearer = next((outer for outer in job.parts.outward(one) if outer.level == total.for_each), None)
            if bearer and state.totals.get((bearer.path, total.name), 0.0) > float(total.most.si):
                return f"{bearer.path}: {total.name} is over {total.most.typed} ({total.source})"
    return ""


def door(step: Soak, soaking: Soaking, because: str, stamp: Stamp) -> list[Event] | Refusal:
    """The oven opened, and why: noted, and the soak counts on only by what the next readings show."""
    if soaking.last is None:
        return Refusal("the soak has not begun; nothing was read yet")
    if not because.strip():
        return Refusal("opening the oven needs its reason", "one line is enough")
    return [e.DoorOpened(**stamp, because=because.strip())]
