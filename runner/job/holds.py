"""Hold points, witness points, sign-offs, and the release of the job: what only a named person of a role lets pass."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from typing import Any

from runner.job.events import (
    Event,
    HoldReleased,
    JobReleased,
    SecondReadingDisagrees,
    SignedOff,
    WitnessCalled,
    WitnessPassed,
)
from runner.job.instruments import instrument_for
from runner.job.intents import Attend, Release, ReleaseJob, Sign
from runner.job.job import Job, Refusal
from runner.job.moments import Moment, clock_words, span_words
from runner.job.passes import is_complete, not_done
from runner.job.people import has_entries, refuse_own, refuse_role
from runner.job.state import PassKey, State, Timed
from runner.job.values import known_outward
from runner.job.waits import since
from runner.procedure.model import HoldPoint, Read, SignOff, WitnessPoint
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import fine_step, last_digit, show
from runner.shop.people import is_name, same_person

Answer = list[Event] | Refusal
Stamp = dict[str, Any]


def release(job: Job, state: State, key: PassKey, step: HoldPoint, asked: Release, stamp: Stamp) -> Answer:
    """
    A hold point released by somebody with no entry in this pass; in a job declared alone, by the same, and it says so.
    Where it is measured again, by whoever releases, the two means must agree; else the pass stands.
    """
    by = asked.by.strip()
    refusal = refuse_releaser(job, state, key, step, by)
    if refusal:
        return refusal
    seen = tuple(line.strip() for line in asked.saw if is_name(line))
    if len(seen) < len(step.must_see):
        return Refusal(
            f"{len(step.must_see)} things must be seen, and {len(seen)} were said to be",
            "look at each line and say so",
        )
    second: tuple[str, ...] = ()
    apart = ""
    if step.measures_again:
        compared = _second_reading(job, state, key, step, by, asked.second, stamp)
        if not isinstance(compared, tuple):
            return compared
        second, apart = compared
    return [
        HoldReleased(
            **stamp,
            title=step.title,
            by=by,
            role=step.by,
            identified=asked.identified,
            saw=seen,
            second=second,
            apart=apart,
            solo=has_entries(state, by, key),
            timed_as=step.about.timed_as,
        )
    ]


def refuse_releaser(job: Job, state: State, key: PassKey, step: HoldPoint, by: str) -> Refusal | None:
    """Why this person can't release a hold point, or nothing."""
    return refuse_role(job, by, step.by, "a hold point is released") or refuse_own(
        job, state, key, by, f"'{step.title}' is released", step.by
    )


def reads_again(job: Job, key: PassKey, step: HoldPoint) -> Read | None:
    """The reading of this pass that whoever releases takes too."""
    steps = job.stage_of(key).steps
    return next((one for one in steps if isinstance(one, Read) and one.name == step.measures_again), None)


def _second_reading(
    job: Job, state: State, key: PassKey, step: HoldPoint, by: str, text: str, stamp: Stamp
) -> tuple[tuple[str, ...], str] | Answer:
    """What was typed and how far the means lie apart where they agree; else the event that they don't, or a refusal."""
    reading = reads_again(job, key, step)
    known = known_outward(job, state, job.part_of(key), step.measures_again)
    assert reading and step.agree_within
    if known is None:
        return Refusal(
            f"'{reading.name}' was left unread, so there is nothing to compare", "measure it first"
        )
    with_ = instrument_for(job, state, reading.instrument, stamp["at"])
    if isinstance(with_, Refusal):
        return with_
    words = split_entries(text)
    if len(words) != len(reading.points):
        return Refusal(
            f"{len(reading.points)} readings of {reading.name} are wanted, and {len(words)} were typed",
            "a blank separates two readings",
        )
    quantities = []
    for word in words:
        quantity = parse_entry(word, reading.unit, job.mark)
        if isinstance(quantity, Refused):
            return Refusal(quantity.sentence)
        quantities.append(quantity)
    first = sum((point.si for point in known.points), Fraction(0)) / len(known.points)
    apart = abs(sum((one.si for one in quantities), Fraction(0)) / len(quantities) - first)
    typed = tuple(one.typed for one in quantities)
    unit = step.agree_within.unit
    shown = show(apart, unit, min(fine_step(unit), last_digit(step.agree_within.typed) / 10))
    if apart <= step.agree_within.si:
        return typed, shown
    sentence = (
        f"{key[1]}: the second reading of {reading.name} lies {shown} from the first, "
        f"and the two may lie {step.agree_within.typed} apart"
    )
    return [
        SecondReadingDisagrees(
            **stamp, title=step.title, name=reading.name, by=by, second=typed, sentence=sentence
        )
    ]


def call(state: State, key: PassKey, step: WitnessPoint, stamp: Stamp) -> Answer:
    """The one who may witness was told; from now the time runs."""
    if step.about.number in state.at(key).called:
        return Refusal(f"the {step.by} was called already")
    return [WitnessCalled(**stamp, title=step.title, role=step.by)]


def attend(
    job: Job, state: State, key: PassKey, step: WitnessPoint, asked: Attend, now: Moment, stamp: Stamp
) -> Answer:
    """The witness came, and was told before."""
    timed = state.at(key).called.get(step.about.number)
    if timed is None:
        return Refusal(f"the {step.by} has not been called yet", "call first, so that it is on the record")
    refusal = refuse_role(job, asked.by, step.by, "a witness point is attended") or refuse_own(
        job, state, key, asked.by, f"'{step.title}' is witnessed", step.by
    )
    if refusal:
        return refusal
    return [_witnessed(state, key, step, now, stamp, asked.by.strip(), asked.identified)]


def go_on(job: Job, state: State, key: PassKey, step: WitnessPoint, now: Moment, stamp: Stamp) -> Answer:
    """Nobody came in the time that the procedure gives: the work goes on, and the record says so."""
    timed = state.at(key).called.get(step.about.number)
    if timed is None:
        return Refusal(f"the {step.by} has not been called yet", "call first, so that it is on the record")
    left = witness_left(state, timed, step, now)
    if left.total_seconds() > 0:
        due = clock_words(now.utc + left, job.zone, now.utc)
        return Refusal(
            f"the {step.by} has {span_words(left)} left to come; the work may go on at {due}",
            "other parts may be worked on meanwhile",
        )
    return [_witnessed(state, key, step, now, stamp, "", "")]


def witness_left(state: State, timed: Timed, step: WitnessPoint, now: Moment) -> timedelta:
    """How long a witness who was called has left to come; nil or less when the work may go on."""
    return timedelta(seconds=float(step.goes_on_after.si)) - since(state, timed, now).lasted


def _witnessed(
    state: State, key: PassKey, step: WitnessPoint, now: Moment, stamp: Stamp, by: str, identified: str
) -> Event:
    timed = state.at(key).called[step.about.number]
    spent = since(state, timed, now)
    return WitnessPassed(
        **stamp,
        title=step.title,
        by=by,
        role=step.by,
        identified=identified,
        called=timed.at,
        lasted_s=round(spent.lasted.total_seconds(), 3),
        note=spent.note,
    )


def sign(state: State, step: SignOff, asked: Sign, stamp: Stamp) -> Answer:
    """A sign-off by the person at the bench, who types the name as a signature."""
    name = asked.name
    if not name.strip():
        return Refusal("a sign-off is a typed name", "type yours")
    if not same_person(name, state.person):
        return Refusal(
            f"{state.person} is at the bench, and '{name.strip()}' was typed",
            "change the person first, or type your own name",
        )
    return [
        SignedOff(
            **stamp,
            text=step.text,
            name=name.strip(),
            identified=asked.identified,
            timed_as=step.about.timed_as,
        )
    ]


def release_job(job: Job, state: State, asked: ReleaseJob, stamp: Stamp) -> Answer:
    """The finished job released by a named person, who in a shop of two has not done the work. Never a rehearsal."""
    if state.is_rehearsal:
        return Refusal(
            "this is a rehearsal, and no rehearsal is released", "leave it; its record says what it was"
        )
    if left := not_done(job, state):
        return Refusal(f"{len(left)} passes are not done, the first is '{left[0][0]}' on {left[0][1]}")
    if not is_complete(job, state):
        return Refusal("a part that must go into a load is in none", "make the load")
    by = asked.by.strip()
    if not is_name(by) or not asked.statement.strip():
        return Refusal(
            f"a job is released by a named {job.procedure.released_by}, who says what is released",
            "type both",
        )
    refusal = refuse_job_releaser(job, state, by)
    if refusal:
        return refusal
    return [
        JobReleased(
            **stamp,
            by=by,
            role=job.procedure.released_by,
            identified=asked.identified,
            statement=asked.statement.strip(),
            solo=has_entries(state, by),
        )
    ]


def refuse_job_releaser(job: Job, state: State, by: str) -> Refusal | None:
    """Why this person can't release the job, or nothing."""
    role = job.procedure.released_by
    refusal = refuse_role(job, by, role, "a job is released")
    if refusal or job.alone or not has_entries(state, by):
        return refusal
    return Refusal(
        f"{by} has entries in this job; it is released by somebody who hasn't", f"fetch another {role}"
    )
