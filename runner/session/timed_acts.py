"""What the items of an entries file that time rules do: waits that go on by themselves, soaks, acts against the clock."""

from __future__ import annotations

from datetime import timedelta

from runner.formula.values import CannotBeWorked
from runner.job.intents import Arm, ClockKey, Confirm, Estimate, OpenDoor, StandDown, Tick
from runner.job.state import Clock, PassKey
from runner.job.values import find_all, is_so
from runner.job.waits import longest_since, since, time_left, time_of_day
from runner.procedure.model import AgainstTheClock, Formula, NotBefore, Soak, Wait
from runner.session.hand import Hand, called
from runner.session.told import MISSED, Act


def waited(hand: Hand, key: PassKey, step: Wait | NotBefore) -> bool:
    """A wait or a time of day, over which the clock runs on by itself; False where a condition is not so yet."""
    job, state, now = hand.at_work.job, hand.at_work.state, hand.at_work.now
    if isinstance(step, NotBefore) and step.condition and not _is_so(hand, key, step.condition):
        return False
    hand.acknowledge(key, step)
    if isinstance(step, Wait):
        left = time_left(job, state, key, step, now)
        hand.run(left[1] if left else timedelta(0))
    elif not step.condition:
        hand.run(time_of_day(job, state, key, step, now)[1])
    hand.do(Confirm())
    return True


def _is_so(hand: Hand, key: PassKey, condition: Formula) -> bool:
    job, state = hand.at_work.job, hand.at_work.state
    try:
        return is_so(condition.tree, find_all(job, state, job.part_of(key), [condition.tree]))
    except CannotBeWorked:
        return False


def soak(hand: Hand, act: Act) -> None:
    """Each line is typed so long after the first round, which is the one at 0 min."""
    key = hand.key_at(act)
    for one in act.rounds:
        hand.line = one.place.line
        step = hand.come_to(key, act.said)
        if not isinstance(step, Soak):
            raise hand.halt(f"'{called(step)}' is no soak")
        this = key, step.about.number
        if one.after:
            if this not in hand.soaks:
                what = f"the first round of '{step.name}' was not read yet"
                raise hand.wrong(what, "begin its rounds at 0 min")
            left = hand.soaks[this] + one.after - hand.entries.pace - hand.gone
            if left < timedelta(0):
                raise hand.past(one.said)
            hand.run(left)
        hand.type_text(one.said, one.text, act)
        if not one.after:
            hand.soaks[this] = hand.gone


def open_door(hand: Hand, act: Act) -> None:
    hand.come_to(hand.key_at(act), act.said)
    hand.do(OpenDoor(act.keys["because"]))


def arm(hand: Hand, act: Act) -> None:
    key, step = _clock_at(hand, act)
    _arm(hand, key, step)


def stand_down(hand: Hand, act: Act) -> None:
    _clock_at(hand, act)
    hand.do(StandDown(act.keys["because"]))


def against_the_clock(hand: Hand, act: Act) -> None:
    """
    The first key, and the second one where it is said when, or that it was missed: then the last limit goes by. Made ready
    before, and held down behind, by itself.
    """
    key, step = _clock_at(hand, act)
    if _clock(hand, key, step).armed is None:
        _arm(hand, key, step)
    if _clock(hand, key, step).started is None:
        hand.do(ClockKey())
    second = act.keys.get("second key", "")
    clock, state, now = _clock(hand, key, step), hand.at_work.state, hand.at_work.now
    if not second or clock.started is None or clock.armed is None:
        return
    if second == MISSED:
        gone = longest_since(state, clock.started, now)
        hand.run(timedelta(seconds=clock.armed.last_s) - gone + hand.entries.pace)
        return
    left = act.lasted - since(state, clock.started, now).lasted
    if left < timedelta(0):
        raise hand.past(second)
    hand.clock.run(left)
    hand.ask(ClockKey())
    held_down(hand, key, step)


def estimate(hand: Hand, act: Act) -> None:
    key, step = _clock_at(hand, act)
    hand.do(Estimate(act.keys["reads"], act.keys["because"]))
    held_down(hand, key, step)


def held_down(hand: Hand, key: PassKey, step: AgainstTheClock) -> bool:
    """Whether what was driven in time is held down to its end, over which the clock runs on by itself."""
    clock, found = _clock(hand, key, step), hand.at_work.state.at(key)
    if clock.stopped_at is None or found.failed or found.stop:
        return False
    held = since(hand.at_work.state, clock.stopped_at, hand.at_work.now).lasted
    hand.run(timedelta(seconds=float(step.hold_down.si) if step.hold_down else 0.0) - held)
    return step.about.number in hand.at_work.state.at(key).done_steps


def _arm(hand: Hand, key: PassKey, step: AgainstTheClock) -> None:
    made = hand.at_work.state.at(key).ticks.get(step.about.number, frozenset())
    for number in range(1, len(step.ready) + 1):
        if number not in made:
            hand.do(Tick(number))
    hand.do(Arm())


def _clock_at(hand: Hand, act: Act) -> tuple[PassKey, AgainstTheClock]:
    key = hand.key_at(act)
    step = hand.come_to(key, act.said)
    if not isinstance(step, AgainstTheClock):
        raise hand.halt(f"'{called(step)}' is not against the clock")
    return key, step


def _clock(hand: Hand, key: PassKey, step: AgainstTheClock) -> Clock:
    return hand.at_work.state.at(key).clocks.get(step.about.number, Clock())
