"""Soaks: time inside a temperature band, counted only as far as readings on the part prove it.

Two rounds of readings count when both are inside and no further apart than the interval and its grace. A gap proves nothing
for the soak, and counts in full, at the hotter neighbour, towards the total of heat. In a load the coldest reading governs
the soak, the hottest the deviation, and each part keeps its own total.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from fractions import Fraction
from typing import Any

from runner.formula.uncertain import work_measured
from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.instruments import InUse, instrument_for
from runner.job.job import Job, Refusal
from runner.job.limits import limits_for
from runner.job.moments import Moment, span_words
from runner.job.parts import Part
from runner.job.passes import is_live
from runner.job.readings import plausible_or_not, shares_of
from runner.job.state import PassKey, Soaking, State
from runner.job.totals import bearer, grown
from runner.job.values import NEAR, find_all
from runner.job.waits import longest_since, since
from runner.procedure.model import Soak
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import Quantity, fine_step, show

Stamp = dict[str, Any]


def places(job: Job, state: State, key: PassKey, step: Soak) -> list[tuple[str, str]]:
    """What one round reads, in order: the path of each part that is soaked, with each of the points."""
    part = job.part_of(key)
    members = job.parts.members(part) or (part,)
    live = [one.path for one in members if is_live(job, state, one)]
    return [(member, point) for member in live for point in step.points]


def take(
    job: Job, state: State, key: PassKey, step: Soak, text: str, now: Moment, stamp: Stamp
) -> list[Event] | Refusal:
    """One line typed at a soak; where it completes a round, what the round proves, and what it adds to the totals."""
    with_ = instrument_for(job, state, step.instrument, now)
    if isinstance(with_, Refusal):
        return with_
    soaking = state.at(key).soaks.get(step.about.number, Soaking())
    wanted = wanted_now(job, state, key, step)
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
    asked, points = state.at(key).questioned, list[e.SoakPoint]()
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
        last = at + 1 == len(wanted)
        points.append(_point(step, with_, (member, point), quantity, doubt, last, stamp))
    if len(points) < len(wanted):
        return list(points)
    newest = {(one.member, one.point): one for one in (*soaking.points, *points)}
    whole = tuple(newest[place] for place in places(job, state, key, step))
    try:
        return [*points, *_round(job, state, key, step, soaking, whole, now, stamp)]
    except CannotBeWorked as why:
        return Refusal(f"the limits of '{step.name}' can't be worked out: {why}")


def wanted_now(job: Job, state: State, key: PassKey, step: Soak) -> list[tuple[str, str]]:
    """What is still to be read in this round; all of it anew where the last part wanted was taken out of the load."""
    soaking = state.at(key).soaks.get(step.about.number, Soaking())
    read = {(one.member, one.point) for one in soaking.points}
    every = places(job, state, key, step)
    return [one for one in every if one not in read] or every


def _point(
    step: Soak,
    with_: InUse | None,
    place: tuple[str, str],
    quantity: Quantity,
    doubt: str,
    last: bool,
    stamp: Stamp,
) -> e.SoakPoint:
    return e.SoakPoint(
        **stamp,
        name=step.name,
        member=place[0],
        point=place[1],
        typed=quantity.typed,
        number=quantity.number,
        unit=quantity.unit.symbol,
        si=quantity.si,
        instrument=step.instrument,
        gauge=with_.gauge if with_ else "",
        calibrated_until=with_.calibrated_until if with_ else "",
        instrument_uncertainty=with_.uncertainty.typed if with_ else "",
        shares=shares_of(with_, f"{step.name} of {place[0]} {place[1]}".strip()),
        questioned=doubt,
        last=last,
    )


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
    before = soaking.last.longest_s if soaking.last else 0.0
    longest = before + _may_have_been(state, soaking, inside, now)
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
        longest_s=round(longest, 3),
        note=note,
    )
    events: list[Event] = [done, *_heat(job, state, key, step, soaking, points, now, stamp)]
    over = _over(job, state, part, step, points) or _too_long(step, before, longest, part)
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
    if spent.unknown:
        return 0.0, f"{spent.note}; the time since the reading before proves nothing"
    if longest > allowed:
        return 0.0, f"a gap of {span_words(timedelta(seconds=longest))} proves nothing, and does not count"
    return spent.lasted.total_seconds(), spent.note


def _may_have_been(state: State, soaking: Soaking, inside: bool, now: Moment) -> float:
    """The longest that a part may have been inside since the round before: all of the time, where either reading was."""
    if soaking.last is None or soaking.last_at is None or not (soaking.last.inside or inside):
        return 0.0
    return longest_since(state, soaking.last_at, now).total_seconds()


def _over(job: Job, state: State, part: Part, step: Soak, points: tuple[e.SoakPoint, ...]) -> str:
    found = find_all(job, state, part, [step.never_over.tree])
    limit = work_measured(step.never_over.tree, {name: one.uncertain for name, one in found.items()})
    hottest = max(points, key=lambda one: one.si)
    if float(hottest.si) - limit <= NEAR * abs(limit):
        return ""
    where = f"{hottest.member} {hottest.point}".strip()
    return f"{where} was at {hottest.typed} {hottest.unit}, over {step.never_over.text} ({step.source})"


def _too_long(step: Soak, before: float, longest: float, part: Part) -> str:
    """Told once, in the round that first finds it: what was allowed then is not asked again."""
    if step.most is None or not before <= float(step.most.si) < longest:
        return ""
    lasted = span_words(timedelta(seconds=longest))
    return f"{part.path}: {step.name} may have lasted {lasted}, over {step.most.typed} ({step.source})"


def _heat(
    job: Job,
    state: State,
    key: PassKey,
    step: Soak,
    soaking: Soaking,
    points: Sequence[e.SoakPoint],
    now: Moment,
    stamp: Stamp,
) -> list[Event]:
    """What the time since the round before adds to the total of each part read now, at the hotter of the two readings."""
    total = job.procedure.total(step.adds_to)
    if total is None or total.over is None or soaking.last_at is None:
        return []
    lasted = longest_since(state, soaking.last_at, now).total_seconds()
    hottest: dict[str, Fraction] = {}
    for member in dict.fromkeys(one.member for one in points):
        path = bearer(job, _member(job, key, member), total)
        mine = max(one.si for one in (*points, *soaking.rounds[-1]) if one.member == member)
        hottest[path] = max(mine, hottest.get(path, mine))
    why = f"{step.name}, {span_words(timedelta(seconds=lasted))} by the hotter of two readings"
    return [
        grown(state, total, path, lasted, why, stamp) for path, si in hottest.items() if si > total.over.si
    ]


def _member(job: Job, key: PassKey, path: str) -> Part:
    part = job.part_of(key)
    return next((one for one in job.parts.members(part) if one.path == path), part)


def taken_out(job: Job, state: State, load: str, path: str, now: Moment, stamp: Stamp) -> list[Event]:
    """What a part that leaves a load takes with it: the heat since it was read last, by that reading, for none comes after."""
    events: list[Event] = []
    for key, found in state.passes.items():
        for number, soaking in found.soaks.items() if key[1] == load else ():
            step = job.step(key, number)
            if isinstance(step, Soak) and soaking.rounds and number not in found.done_steps:
                last = [one for one in (*soaking.rounds[-1], *soaking.points) if one.member == path]
                if last:
                    events += _heat(job, state, key, step, soaking, last, now, stamp)
    return events


def door(step: Soak, soaking: Soaking, because: str, stamp: Stamp) -> list[Event] | Refusal:
    """The oven opened, and why: noted, and the soak counts on only by what the next readings show."""
    if soaking.last is None:
        return Refusal("the soak has not begun; nothing was read yet")
    if not because.strip():
        return Refusal("opening the oven needs its reason", "one line is enough")
    return [e.DoorOpened(**stamp, because=because.strip())]
