"""Soaks: time inside a temperature band, counted only as far as readings on the part prove it.

Each place of a soak (a point on a part in it) has a trace: what was typed there, and what a logger wrote. A moment counts
when at every place the readings before and after it are both inside and no further apart than the interval and its grace;
so it is counted up to the newest moment by which every place has been read, and the coldest reading governs. A gap proves
nothing for the soak, and counts in full, at the hotter neighbour, towards the total of heat, which each part has by itself.
A round is what one act brought: a reading typed at each place that no logger stands for, or rows that took the count on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from typing import Any

from runner.formula.uncertain import work_measured
from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.instruments import InUse, instrument_for
from runner.job.intents import LoggerRow
from runner.job.job import Job, Refusal
from runner.job.limits import limits_for
from runner.job.moments import Moment, clock_words, hurried, span_words
from runner.job.parts import Part
from runner.job.passes import is_live
from runner.job.readings import plausible_or_not, shares_of
from runner.job.soak_counts import Count, count
from runner.job.state import PassKey, Place, Sample, Soaking, State, Timed
from runner.job.totals import bearer, grown
from runner.job.traces import Dot, IsIn, Trace, dots, laps, longest, proved
from runner.job.values import NEAR, find_all
from runner.job.waits import longest_since, since
from runner.procedure.model import Soak
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import Quantity, fine_step, show

Stamp = dict[str, Any]
SAME_S = 1e-3
"""Two moments on the axis nearer than this are one: they were worked out on different ways."""


def _not_asked(si: Fraction) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Fresh:
    """A reading new in this act: where, as it stands there, exactly in SI, and when it was so; the row that it is, if any."""

    place: Place
    typed: str
    unit: str
    si: Fraction
    at: Moment
    row: LoggerRow | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """What new readings prove, as events; and where they are enough, up to when they were wanted."""

    events: list[Event]
    enough_at: Moment | None = None


def places(job: Job, state: State, key: PassKey, step: Soak) -> list[Place]:
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
    wanted = wanted_now(job, state, key, step, now)
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
    newest = {(one.member, one.point): one for one in (*_soaking(state, key, step).points, *points)}
    fresh = [Fresh(place, one.typed, one.unit, one.si, now) for place, one in newest.items()]
    try:
        return [*points, *judge(job, state, key, step, fresh, now, stamp).events]
    except CannotBeWorked as why:
        return Refusal(f"the limits of '{step.name}' can't be worked out: {why}")


def wanted_now(job: Job, state: State, key: PassKey, step: Soak, now: Moment | None = None) -> list[Place]:
    """
    What is still to be read by hand in this round (as of the last event where no moment is given): every place, but for
    those that a logger wrote of within the interval. All of it anew where nothing would be left.
    """
    soaking, every = _soaking(state, key, step), places(job, state, key, step)
    read = {(one.member, one.point) for one in soaking.points}
    now = now or state.last_at
    by_hand = [one for one in every if not (now and _is_logged(state, soaking, one, step, now))] or every
    return [one for one in by_hand if one not in read] or by_hand


def _is_logged(state: State, soaking: Soaking, place: Place, step: Soak, now: Moment) -> bool:
    """Whether a logger stands for a place: the newest that is known of it is a row, and no older than the interval."""
    newest = dots(state, soaking.traces.get(place, ())[-1:], _not_asked, now)
    return bool(newest) and newest[-1].logged and -newest[-1].longest <= float(step.every.si)


def _soaking(state: State, key: PassKey, step: Soak) -> Soaking:
    return state.at(key).soaks.get(step.about.number, Soaking())


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


def judge(
    job: Job,
    state: State,
    key: PassKey,
    step: Soak,
    fresh: Sequence[Fresh],
    now: Moment,
    stamp: Stamp,
    aside: Sequence[Fresh] = (),
) -> Judged:
    """
    What readings new in this act prove: a round, what it adds to the totals, and whether the soak is done or stops. Rows
    that take the count no further make no round. `aside` are readings that prove nothing, and stop it where they are too
    hot. Raises CannotBeWorked.
    """
    part, soaking = job.part_of(key), _soaking(state, key, step)
    within = limits_for(job, state, part, step.within)

    def is_in(si: Fraction) -> bool:
        return within.meets(float(si), si)

    trace = _trace(job, state, key, step, soaking, fresh, is_in, now)
    begun, reached = _begun(state, soaking, trace, now), _reached(trace)
    on = reached is not None and (begun is None or reached.proved > begun.proved)
    if reached is None or not (on or any(one.row is None for one in fresh)):
        over = _over(job, state, part, step, [*fresh, *aside])
        return Judged(_stopped(step, over, stamp))
    start = begun or min((dot for one in trace.values() for dot in one), key=proved)
    done = count(step, trace, start, max(reached, start, key=proved), soaking.total_s)
    wanted = [one for one in fresh if not done.enough or one.at.boot - now.boot <= done.end.proved + SAME_S]
    seen = [dot for dot in _since(trace, begun) if not done.enough or dot.proved <= done.end.proved]
    sis = [*(dot.si for dot in seen), *(one.si for one in wanted)]
    inside = is_in(min(sis)) and is_in(max(sis))
    round_ = _round(state, step, soaking, done, sis, inside, now, stamp)
    heat = _heat(job, state, key, step, trace, begun, done.end.longest, stamp)
    over = _over(job, state, part, step, [*wanted, *aside])
    over = over or _too_long(step, round_.longest_s - done.may_have_been_s, round_.longest_s, part)
    if over:
        return Judged([round_, *heat, *_stopped(step, over, stamp)])
    if not done.enough:
        return Judged([round_, *heat])
    ended = _done(step, round_.total_s, stamp)
    return Judged([round_, *heat, ended], round_.upto)


def _trace(
    job: Job,
    state: State,
    key: PassKey,
    step: Soak,
    soaking: Soaking,
    fresh: Sequence[Fresh],
    is_in: IsIn,
    now: Moment,
) -> Trace:
    """What was read at each place that is in the soak now, the new with the old."""
    samples = {place: list(soaking.traces.get(place, ())) for place in places(job, state, key, step)}
    for one in fresh:
        if one.place in samples:
            samples[one.place].append(Sample(Timed(one.at, len(state.marks)), one.si, one.row is not None))
    return {place: dots(state, read, is_in, now) for place, read in samples.items()}


def _begun(state: State, soaking: Soaking, trace: Trace, now: Moment) -> Dot | None:
    """The moment up to which time is counted, as the reading that it stands on where there is one."""
    if soaking.last_at is None:
        return None
    spent, far = since(state, soaking.last_at, now), longest_since(state, soaking.last_at, now)
    upto = Dot(-spent.lasted.total_seconds(), -far.total_seconds(), spent.unknown, Fraction(0), False, False)
    every = (dot for one in trace.values() for dot in one)
    near = (dot for dot in every if abs(dot.proved - upto.proved) < SAME_S and dot.unsure == upto.unsure)
    return next(near, upto)


def _reached(trace: Trace) -> Dot | None:
    """The newest moment by which every place has been read; none where one has never been."""
    if not all(trace.values()):
        return None
    return min((one[-1] for one in trace.values()), key=proved)


def _since(trace: Trace, begun: Dot | None) -> list[Dot]:
    every = (dot for one in trace.values() for dot in one)
    return [dot for dot in every if begun is None or dot.proved > begun.proved + SAME_S]


def _round(
    state: State,
    step: Soak,
    soaking: Soaking,
    done: Count,
    sis: Sequence[Fraction],
    inside: bool,
    now: Moment,
    stamp: Stamp,
) -> e.SoakRound:
    coldest, hottest = min(sis), max(sis)
    total = soaking.total_s + done.counted_s
    before = soaking.last.longest_s if soaking.last else 0.0
    clocks = since(state, soaking.last_at, now).note if soaking.last_at else ""
    note = done.note(clocks)
    if soaking.last is None and not (inside or done.counted_s or note):
        note = "not inside yet; the soak has not begun"
    return e.SoakRound(
        **stamp,
        name=step.name,
        round=(soaking.last.round if soaking.last else 0) + 1,
        upto=hurried(now, done.end.proved),
        coldest=show(coldest, step.unit, fine_step(step.unit)),
        hottest=show(hottest, step.unit, fine_step(step.unit)),
        limits=step.within.text,
        inside=inside,
        counted_s=round(done.counted_s, 3),
        total_s=round(total, 3),
        left_s=round(max(0.0, float(step.least.si) - total), 3),
        longest_s=round(before + done.may_have_been_s, 3),
        note=note,
    )


def _stopped(step: Soak, over: str, stamp: Stamp) -> list[Event]:
    return [e.SoakStopped(**stamp, name=step.name, sentence=over, routes=step.routes)] if over else []


def _done(step: Soak, total_s: float, stamp: Stamp) -> e.SoakDone:
    return e.SoakDone(**stamp, name=step.name, total_s=total_s, least=step.least.typed, source=step.source)


def done_by_now(state: State, key: PassKey, step: Soak, stamp: Stamp) -> e.SoakDone | None:
    """The end of a soak that was stopped when enough was counted already, once it may go on."""
    total_s = _soaking(state, key, step).total_s
    return _done(step, total_s, stamp) if total_s >= float(step.least.si) else None


def _over(job: Job, state: State, part: Part, step: Soak, fresh: Sequence[Fresh]) -> str:
    if not fresh:
        return ""
    found = find_all(job, state, part, [step.never_over.tree])
    limit = work_measured(step.never_over.tree, {name: one.uncertain for name, one in found.items()})
    hottest = max(fresh, key=lambda one: one.si)
    if float(hottest.si) - limit <= NEAR * abs(limit):
        return ""
    where, when = " ".join(hottest.place).strip(), ""
    if hottest.row:
        when = f" at {clock_words(hottest.row.utc, job.zone, hottest.row.utc)}"
    return f"{where} was at {hottest.typed} {hottest.unit}{when}, over {step.never_over.text} ({step.source})"


def _too_long(step: Soak, before: float, longest_s: float, part: Part) -> str:
    """Told once, in the round that first finds it: what was allowed then is not asked again."""
    if step.most is None or not before <= float(step.most.si) < longest_s:
        return ""
    lasted = span_words(timedelta(seconds=longest_s))
    return f"{part.path}: {step.name} may have lasted {lasted}, over {step.most.typed} ({step.source})"


def _heat(
    job: Job,
    state: State,
    key: PassKey,
    step: Soak,
    trace: Trace,
    begun: Dot | None,
    end: float,
    stamp: Stamp,
) -> list[Event]:
    """What the time up to `end` adds to the total of each part in the trace, at the hotter of the readings round it."""
    total = job.procedure.total(step.adds_to)
    if total is None or total.over is None:
        return []
    borne: dict[str, dict[Place, Sequence[Dot]]] = {}
    for place, read in trace.items():
        path = bearer(job, _member(job, key, place[0]), total)
        borne.setdefault(path, {})[place] = read
    events: list[Event] = []
    for path, own in borne.items():
        first = min((dot.longest for read in own.values() for dot in read), default=end)
        hot_s = sum(
            lap.lasted_s
            for lap in laps(own, begun.longest if begun else first, end, longest)
            if any(_is_hot(before, after, total.over.si) for before, after in lap.ends)
        )
        if hot_s > 0:
            why = f"{step.name}, {span_words(timedelta(seconds=hot_s))} by the hotter of two readings"
            events.append(grown(state, total, path, hot_s, why, stamp))
    return events


def _is_hot(before: Dot | None, after: Dot | None, over: Fraction) -> bool:
    """Whether either reading round a time at a place is over what counts; nothing is known of it before it was first read."""
    return before is not None and (before.si > over or (after is not None and after.si > over))


def _member(job: Job, key: PassKey, path: str) -> Part:
    part = job.part_of(key)
    return next((one for one in job.parts.members(part) if one.path == path), part)


def taken_out(job: Job, state: State, load: str, path: str, now: Moment, stamp: Stamp) -> list[Event]:
    """What a part that leaves a load takes with it: the heat since it was read last, by that reading, for none comes after."""
    events: list[Event] = []
    for key, found in state.passes.items():
        for number, soaking in found.soaks.items() if key[1] == load else ():
            step = job.step(key, number)
            if isinstance(step, Soak) and number not in found.done_steps:
                typed = [
                    Fresh((one.member, one.point), one.typed, one.unit, one.si, now) for one in soaking.points
                ]
                trace = _trace(job, state, key, step, soaking, typed, _not_asked, now)
                own = {place: read for place, read in trace.items() if place[0] == path and read}
                begun = _begun(state, soaking, own, now)
                events += _heat(job, state, key, step, own, begun, 0.0, stamp)
    return events


def door(step: Soak, soaking: Soaking, because: str, stamp: Stamp) -> list[Event] | Refusal:
    """The oven opened, and why: noted, and the soak counts on only by what the next readings show."""
    if soaking.last is None:
        return Refusal("the soak has not begun; nothing was read yet")
    if not because.strip():
        return Refusal("opening the oven needs its reason", "one line is enough")
    return [e.DoorOpened(**stamp, because=because.strip())]
