"""Two acts that race physics, each told by one key: armed while hands are free, the limits on disk, and nothing asked between.

A missed second key is a missed window, and takes its route by itself; it may be put in later as an estimate, marked as one.
"""

from __future__ import annotations

from typing import Any

from runner.formula.uncertain import propagate
from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.intents import Dispose, Estimate
from runner.job.job import Job, Refusal
from runner.job.moments import Moment
from runner.job.reworks import begin, refuse_rework
from runner.job.state import Clock, PassKey, State
from runner.job.values import find_all, inputs_of
from runner.job.waits import longest_since, since
from runner.procedure.model import AgainstTheClock, Formula, Rework
from runner.quantities.entry import Refused, parse_entry
from runner.quantities.units import Unit, unit
from runner.shop.people import is_name

ESTIMATE_S = 120
"""Seconds for putting in a second key that was missed, before its route is taken: time to take gloves off and look."""
Answer = list[Event] | Refusal
Stamp = dict[str, Any]


def arm(job: Job, state: State, key: PassKey, step: AgainstTheClock, stamp: Stamp) -> Answer:
    """The limits worked out and kept; not where there is no useful time at all, and not before everything is ready."""
    ticked = state.at(key).ticks.get(step.about.number, frozenset())
    left = [text for number, text in enumerate(step.ready, 1) if number not in ticked]
    if left:
        return Refusal(f"not ready yet: {', '.join(left)}", "tick each line by itself")
    limits = limits_now(job, state, key, step)
    if isinstance(limits, Refusal):
        return limits
    useful, last = limits
    if useful <= 0:
        return Refusal(
            f"'{step.name}' has no useful time here: {useful:.1f} s ({step.useful.text})",
            "warm or chill again; nothing was begun",
        )
    found = find_all(job, state, job.part_of(key), [step.useful.tree, step.last.tree])
    return [
        e.ClockArmed(
            **stamp,
            name=step.name,
            useful_s=round(useful, 3),
            last_s=round(last, 3),
            useful=step.useful.text,
            last=step.last.text,
            inputs=inputs_of(found),
            program=job.program,
        )
    ]


def limits_now(job: Job, state: State, key: PassKey, step: AgainstTheClock) -> tuple[float, float] | Refusal:
    """The useful and the last limit in seconds, as they would be kept now; the last one is never the shorter."""
    limits = []
    for formula in (step.useful, step.last):
        worked = _seconds(job, state, key, formula)
        if isinstance(worked, Refusal):
            return worked
        limits.append(worked)
    return limits[0], max(limits)


def _seconds(job: Job, state: State, key: PassKey, formula: Formula) -> float | Refusal:
    try:
        found = find_all(job, state, job.part_of(key), [formula.tree])
        return propagate(formula.tree, {name: one.uncertain for name, one in found.items()}).value
    except CannotBeWorked as why:
        return Refusal(f"{formula.text} can't be worked out: {why}")


def stand_down(clock: Clock, step: AgainstTheClock, because: str, stamp: Stamp) -> Answer:
    """Not now after all: before the first key, with its reason."""
    if clock.started:
        return Refusal("the clock runs; it is stopped by its key alone")
    if not is_name(because):
        return Refusal("standing down needs its reason", "one line is enough")
    return [e.ClockStoodDown(**stamp, name=step.name, because=because.strip())]


def press(job: Job, state: State, key: PassKey, step: AgainstTheClock, now: Moment, stamp: Stamp) -> Answer:
    """The one key: the first act, then the second; nothing where it comes sooner after the first than it can."""
    clock = state.at(key).clocks.get(step.about.number, Clock())
    if clock.armed is None:
        return Refusal(f"'{step.name}' is not armed", "arm it first")
    if clock.started is None:
        return [e.ClockStarted(**stamp, name=step.name, act=step.first_key)]
    if clock.stopped is not None:
        return Refusal(f"'{step.name}' is over")
    if since(state, clock.started, now).unknown:
        return missed(state, key, step, now, stamp)
    taken = longest_since(state, clock.started, now).total_seconds()
    if taken < float(step.least.si):
        return Refusal(f"that was {taken:.1f} s after the first key, and counts for nothing")
    return _stopped(clock, step, step.second_key, taken, "", stamp)


def _stopped(
    clock: Clock, step: AgainstTheClock, act: str, taken: float, estimated: str, stamp: Stamp
) -> list[Event]:
    assert clock.armed
    useful, last = clock.armed.useful_s, clock.armed.last_s
    met = bool(act) and taken <= last
    where = f"{stamp['part']}: {step.name} took {taken:.1f} s"
    if not act:
        sentence = f"{stamp['part']}: {last:.1f} s went by, and '{step.second_key}' was not told"
    elif taken <= useful:
        sentence = f"{where}, inside the useful {useful:.1f} s"
    elif met:
        sentence = f"{where}, over the useful {useful:.1f} s and inside the last {last:.1f} s"
    else:
        sentence = f"{where}, over the last limit of {last:.1f} s"
    return [
        e.ClockStopped(
            **stamp,
            name=step.name,
            act=act,
            taken_s=round(taken, 3),
            useful_s=useful,
            last_s=last,
            met=met,
            sentence=sentence,
            estimated=estimated,
            routes=step.routes,
        )
    ]


def missed(state: State, key: PassKey, step: AgainstTheClock, now: Moment, stamp: Stamp) -> list[Event]:
    """The last limit gone by without the second key, as far as time has gone."""
    clock = state.at(key).clocks.get(step.about.number, Clock())
    if clock.started is None or clock.stopped is not None or clock.armed is None:
        return []
    gone = longest_since(state, clock.started, now).total_seconds()
    is_missed = gone > clock.armed.last_s or since(state, clock.started, now).unknown
    return _stopped(clock, step, "", gone, "", stamp) if is_missed else []


def held(
    job: Job, state: State, key: PassKey, step: AgainstTheClock, now: Moment, stamp: Stamp
) -> list[Event]:
    """The step done, once it was held down as long as it must be after the second key."""
    clock = state.at(key).clocks.get(step.about.number, Clock())
    if clock.stopped is None or clock.stopped_at is None or state.at(key).failed:
        return []
    lasted = since(state, clock.stopped_at, now).lasted.total_seconds()
    if lasted < float(step.hold_down.si if step.hold_down else 0):
        return []
    return [
        e.HeldDown(
            **stamp,
            name=step.name,
            taken_s=clock.stopped.taken_s,
            held_s=round(lasted, 3),
            timed_as=step.about.timed_as,
        )
    ]


def estimate(
    job: Job, state: State, key: PassKey, step: AgainstTheClock, asked: Estimate, stamp: Stamp
) -> Answer:
    """A second key that was missed, put in later as seconds; the record marks it, and it is judged like any other."""
    clock = state.at(key).clocks.get(step.about.number, Clock())
    if clock.stopped is None or clock.stopped.act:
        return Refusal("no key was missed here")
    if not is_name(asked.because):
        return Refusal("an estimate needs its reason: who saw or counted what", "one line is enough")
    seconds = unit("s")
    assert isinstance(seconds, Unit)
    quantity = parse_entry(asked.text, seconds, job.mark)
    if isinstance(quantity, Refused):
        return Refusal(quantity.sentence)
    if not float(step.least.si) <= quantity.si <= 3600:
        return Refusal(f"{quantity.typed} s can't be", f"at least {step.least.typed}")
    return _stopped(clock, step, step.second_key, float(quantity.si), asked.because.strip(), stamp)


def left_for_estimate(state: State, clock: Clock, now: Moment) -> float:
    """Seconds in which a missed second key can still be put in; nil or less after them, or where none was missed."""
    if clock.stopped is None or clock.stopped_at is None or clock.stopped.act:
        return 0.0
    return ESTIMATE_S - since(state, clock.stopped_at, now).lasted.total_seconds()


def route_by_itself(
    job: Job, state: State, key: PassKey, step: AgainstTheClock, now: Moment, stamp: Stamp
) -> list[Event]:
    """
    The first way out that the procedure names, begun where it is a rework that may be, for nobody has a hand free to
    choose: at once where the second key came too late, else once nobody has put it in later for a while.
    """
    clock = state.at(key).clocks.get(step.about.number, Clock())
    rework, stopped = own_route(job, state, key, step), clock.stopped
    if stopped is None or rework is None or left_for_estimate(state, clock, now) > 0:
        return []
    return begin(job, state, key, rework, Dispose(rework.title, "", stopped.sentence), stamp)


def own_route(job: Job, state: State, key: PassKey, step: AgainstTheClock) -> Rework | None:
    """The rework that is begun by itself where the second key came too late or not at all, and may be; else nothing."""
    rework = job.procedure.rework(step.routes[0]) if step.routes else None
    if rework is None or rework.kind != "rework" or state.at(key).failed is None:
        return None
    return None if refuse_rework(job, state, key, step.about.number, rework.title) else rework
