"""Waits, windows and times of day: how long one has lasted, and whether it is over. A key, a restart or a set clock never
makes a wait shorter or a window longer.
"""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta, tzinfo
from typing import Any

from runner.formula.explain import with_values
from runner.formula.values import CannotBeWorked
from runner.job.events import CheckDecided, Event, Input, TimeCame, WaitPassed
from runner.job.job import Job, Refusal
from runner.job.moments import SLACK_S, Elapsed, Moment, clock_words, elapsed, longest, same_boot, span_words
from runner.job.parts import Part
from runner.job.state import PassKey, State, Timed
from runner.job.values import NotKnownYet, find_all, is_so, recorded
from runner.procedure.model import NotBefore, Wait, Window


def pass_wait(
    job: Job, state: State, key: PassKey, step: Wait, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """A wait that is over. Before that no key passes it."""
    timed = time_of(job, state, job.part_of(key), step.starts)
    if timed is None:
        return Refusal(f"'{step.name}' runs from '{step.starts}', which has not been done")
    spent = since(state, timed, now)
    rest = timedelta(seconds=float(step.least.si)) - spent.lasted
    if rest.total_seconds() > 0:
        due = clock_words(now.utc + rest, job.zone, now.utc)
        doubt = f" ({spent.note})" if spent.note else ""
        return Refusal(
            f"'{step.name}' has {span_words(rest)} of {step.least.typed} left; it is done at {due}{doubt}",
            "other parts may be worked on meanwhile",
        )
    return [
        WaitPassed(
            **stamp,
            name=step.name,
            started=timed.at,
            lasted_s=round(spent.lasted.total_seconds(), 3),
            least=step.least.typed,
            note=spent.note,
        )
    ]


def time_left(
    job: Job, state: State, key: PassKey, step: Wait, now: Moment
) -> tuple[timedelta, timedelta, str] | None:
    """How long a wait has lasted, how long it still has (nil or less when over), and what is to be said of its clock."""
    timed = time_of(job, state, job.part_of(key), step.starts)
    if timed is None:
        return None
    spent = since(state, timed, now)
    return spent.lasted, timedelta(seconds=float(step.least.si)) - spent.lasted, spent.note


def since(state: State, timed: Timed, now: Moment) -> Elapsed:
    """The time proved since something was done, over every restart seen since and the one that may be now."""
    return elapsed(timed.at, now, _marks(state, timed, now))


def longest_since(state: State, timed: Timed, now: Moment) -> timedelta:
    """The longest that can have gone by since something was done: for what must not last too long a doubt counts in full."""
    return longest(timed.at, now, _marks(state, timed, now))


def _marks(state: State, timed: Timed, now: Moment) -> list[Moment]:
    marks = list(state.marks[timed.marks :])
    if state.last_at is not None and not same_boot(state.last_at, now):
        marks.append(state.last_at)
    return marks


def decide_window(job: Job, state: State, part: Part, step: Window, stamp: dict[str, Any]) -> CheckDecided:
    """
    Whether one act came soon enough after the other, once both are done. What can't be proved to have been soon enough was
    not: a doubt of the clock counts in full. Raises NotKnownYet where one of the two isn't done.
    """
    times = [recorded(job, state, part, name) for name in (step.starts, step.ends)]
    start, end = times
    if start.at != end.at and same_boot(end.at, start.at):
        raise NotKnownYet(f"'{step.ends}' was done before '{step.starts}' on {part.path}")
    marks = state.marks[start.marks : end.marks]
    lasted, proved = longest(start.at, end.at, marks), elapsed(start.at, end.at, marks)
    note, is_short = proved.note, lasted.total_seconds() <= float(step.most.si)
    met = is_short and not proved.unknown
    shown, beyond = span_words(lasted), "in" if met else "not proven to be in" if is_short else "over"
    doubt = f" ({note})" if note else ""
    return CheckDecided(
        **stamp,
        name=step.name,
        shown=shown,
        low="",
        high=step.most.typed,
        nominal="",
        limits=f"at most {step.most.typed}",
        inputs=tuple(
            Input(name=name, shown=clock_words(one.at.utc, job.zone, end.at.utc), origin="recorded")
            for name, one in zip((step.starts, step.ends), times, strict=True)
        ),
        source=step.source,
        decision="simple",
        met=met,
        proven=True,
        uncertainty="",
        risk="",
        margin="",
        sentence=f"{part.path}: {step.name} took {shown}, {beyond} the {step.most.typed} allowed ({step.source}){doubt}",
        routes=step.routes,
        program=job.program,
    )


def time_of(job: Job, state: State, part: Part, name: str) -> Timed | None:
    """When something was done, on the part or the nearest part or load that it lies in."""
    found = (state.times.get((outer.path, name)) for outer in job.parts.outward(part))
    return next((one for one in found if one), None)


def pass_not_before(
    job: Job, state: State, key: PassKey, step: NotBefore, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """A time of day that has come, or a condition that is so. Before that no key passes it."""
    if step.condition:
        return _when(job, state, key, step, stamp)
    due, left, note = time_of_day(job, state, key, step, now)
    if due is None:
        return Refusal(f"'{step.name}' runs from '{step.starts}', which has not been done")
    shown = clock_words(due, job.zone, now.utc)
    if left.total_seconds() > 0:
        doubt = f" ({note})" if note else ""
        return Refusal(
            f"'{step.name}' is not before {shown}, in {span_words(left)}{doubt}",
            "other parts may be worked on meanwhile",
        )
    return [TimeCame(**stamp, name=step.name, due=shown, note=note)]


def time_of_day(
    job: Job, state: State, key: PassKey, step: NotBefore, now: Moment
) -> tuple[datetime | None, timedelta, str]:
    """
    When the hour comes, how long it still is (nil or less once it is past), and what is to be said of the clock. It is
    past when the wall clock says so and so much time is proved since the start: a clock set forward brings no morning.
    """
    timed = time_of(job, state, job.part_of(key), step.starts)
    if timed is None:
        return None, timedelta(0), ""
    due = first_at(step.clock, timed.at.utc, job.zone)
    spent = since(state, timed, now)
    left = max(due - now.utc, (due - timed.at.utc) - spent.lasted - timedelta(seconds=SLACK_S))
    return due, left, spent.note


def first_at(clock: str, after: datetime, zone: tzinfo) -> datetime:
    """
    The first time after a moment that the shop's clock shows this hour, in UTC. An hour that a change skips comes when it
    would have come without the change, and one that it shows twice comes both times.
    """
    hour, minute = (int(one) for one in clock.split(":"))
    day = after.astimezone(zone).date()
    for ahead in range(3):
        local = datetime.combine(day + timedelta(days=ahead), time(hour, minute), zone)
        # The second of the two is earlier where the hour is skipped, and no time that the clock shows.
        both = [local.replace(fold=fold).astimezone(UTC) for fold in (0, 1)]
        for at in both if both[0] <= both[1] else both[:1]:
            if at > after:
                return at
    raise AssertionError(f"no {clock} within two days")


def _when(
    job: Job, state: State, key: PassKey, step: NotBefore, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    assert step.condition
    tree, text = step.condition.tree, step.condition.text
    try:
        found = find_all(job, state, job.part_of(key), [tree])
        so = is_so(tree, found)
    except CannotBeWorked as why:
        return Refusal(f"'{step.name}' waits for {text}, and that can't be worked out: {why}")
    shown = with_values(text, tree, {name: one.shown for name, one in found.items()})
    if not so:
        return Refusal(
            f"'{step.name}' waits for {text}, and here it is {shown}",
            "read again later; it counts against nothing",
        )
    return [TimeCame(**stamp, name=step.name, due=shown, note="")]
