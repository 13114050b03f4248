"""What is done at steps that time rules: waits sat out, soaks read, clocks run, windows kept or missed."""

from __future__ import annotations

from fractions import Fraction

from runner.formula.uncertain import work_measured
from runner.formula.values import CannotBeWorked
from runner.job.dependence import names_used
from runner.job.events import EntryQuestioned
from runner.job.holds import witness_left
from runner.job.intents import (
    Arm,
    Attend,
    CallWitness,
    ClockKey,
    Confirm,
    MeasureAgain,
    Notice,
    OpenDoor,
    StandDown,
    Tick,
    Type,
)
from runner.job.limits import limits_for
from runner.job.parts import Part
from runner.job.soaks import wanted_now
from runner.job.state import Clock, PassKey, Soaking
from runner.job.values import find_all
from runner.job.waits import time_left, time_of, time_of_day
from runner.procedure.model import AgainstTheClock, NotBefore, Soak, Step, Wait, Window, WitnessPoint
from runner.quantities.quantity import show_number
from runner.trial.sheet import OVER, UNDER, Spot
from runner.trial.walk import DECIDER, Walk

LATE_S = 60.0
"""How long after a limit something comes that is to be late."""
UNTIL_ROUTED_S = 130.0
"""Longer than a second key that was missed may be put in later."""


def _done(key: PassKey, step: Step) -> Spot:
    return key[0], step.about.number, "done", ""


def left_s(walk: Walk, key: PassKey, step: Step) -> float:
    """How many seconds a step still has to be waited for; nil where it has none."""
    match step:
        case Wait():
            left = time_left(walk.job, walk.state, key, step, walk.now)
            return left[1].total_seconds() if left else 0.0
        case NotBefore(condition=None):
            return time_of_day(walk.job, walk.state, key, step, walk.now)[1].total_seconds()
        case WitnessPoint():
            called = walk.state.at(key).called.get(step.about.number)
            return witness_left(walk.state, called, step, walk.now).total_seconds() if called else 0.0
    return 0.0


def witness(walk: Walk, key: PassKey, step: WitnessPoint) -> bool:
    """The witness is called, and comes or doesn't."""
    if step.about.number not in walk.state.at(key).called:
        return walk.act(CallWitness())
    if walk.wishes.dice.random() < 0.5:
        by = walk.state.person if walk.wishes.alone else DECIDER
        return walk.act(Attend(by))
    walk.pause(left_s(walk, key, step))
    return walk.act(Confirm())


def awaited(walk: Walk, key: PassKey, step: NotBefore) -> bool:
    """A condition that is waited for: so by now, or read again a while later."""
    if walk.act(Confirm()):
        return True
    for name in walk.trial.sheet.roots(names_used(step)):
        known = walk.state.known.get((key[1], name))
        if known and known.stage == key[0] and walk.act(MeasureAgain(name, "it may be so by now"), 1800.0):
            return True
    return False


def window_kept_or_missed(walk: Walk, key: PassKey, step: Step) -> None:
    """Time lost before an act that ends a window, where the window is to be missed."""
    for stage in walk.trial.procedure.every_stage:
        for window in stage.steps:
            if not isinstance(window, Window) or window.ends not in (
                step.about.timed_as,
                getattr(step, "name", ""),
            ):
                continue
            part = walk.job.part_of(key)
            started = time_of(walk.job, walk.state, part, window.starts)
            if (
                started
                and walk.wishes.of((stage.title, window.about.number, "done", ""), key[1], (OVER,)) == OVER
            ):
                gone = walk.now.boot - started.at.boot
                walk.pause(float(window.most.si) - gone + LATE_S)


def soak(walk: Walk, key: PassKey, step: Soak) -> bool:
    """One round of readings, or the oven opened."""
    dice, soaking = walk.wishes.dice, walk.state.at(key).soaks.get(step.about.number, Soaking())
    wished = walk.wishes.of(_done(key, step), key[1], (OVER, UNDER))
    begun = bool(soaking.rounds)
    if begun and not soaking.points and dice.random() < 0.03:
        walk.act(OpenDoor("looked in"))
    if begun and not soaking.points:
        every, grace = float(step.every.si), float(step.grace.si) if step.grace else 0.0
        late = dice.random() < 0.05 or (wished == UNDER and step.most is not None)
        long_s = float(step.most.si) if wished == UNDER and step.most else every + grace + LATE_S
        walk.pause(long_s if late else every * dice.choice((0.7, 0.9, 1.0)))
    hot = wished == OVER and (begun or dice.random() < 0.3)
    cold = not hot and dice.random() < (0.05 if begun else 0.3)
    try:
        texts = [
            _soaked(walk, walk.job.part_of(key), step, hot, cold)
            for _ in wanted_now(walk.job, walk.state, key, step)
        ]
    except CannotBeWorked:
        texts = ["0"]
    if dice.random() < 0.7 and not hot:
        return walk.act(Type(" ".join(texts)))
    return all([_typed_twice(walk, text) for text in texts if not walk.state.at(key).failed])


def _soaked(walk: Walk, part: Part, step: Soak, hot: bool, cold: bool) -> str:
    limits = limits_for(walk.job, walk.state, part, step.within)
    found = find_all(walk.job, walk.state, part, [step.never_over.tree])
    over = work_measured(step.never_over.tree, {name: one.uncertain for name, one in found.items()})
    assert limits.low and limits.high
    low, high = limits.low.value, limits.high.value
    size = (
        over + 5.0 if hot else low - 5.0 if cold else low + (high - low) * walk.wishes.dice.uniform(0.3, 0.7)
    )
    return show_number(size, step.unit, Fraction(1, 10))


def _typed_twice(walk: Walk, text: str) -> bool:
    if not walk.act(Type(text)):
        return False
    if any(isinstance(one, EntryQuestioned) for one in walk.answer):
        return walk.act(Type(text))
    return True


def against_the_clock(walk: Walk, key: PassKey, step: AgainstTheClock) -> bool:
    """What comes next at a clock: made ready, armed, its two keys, held down."""
    dice, found = walk.wishes.dice, walk.state.at(key)
    clock, ticked = (
        found.clocks.get(step.about.number, Clock()),
        found.ticks.get(step.about.number, frozenset()),
    )
    left = [number for number in range(1, len(step.ready) + 1) if number not in ticked]
    if clock.armed is None:
        return walk.act(Tick(left[0])) if left else walk.act(Arm())
    if clock.started is None:
        return walk.act(StandDown("not yet")) if dice.random() < 0.05 else walk.act(ClockKey())
    useful, last = clock.armed.useful_s, clock.armed.last_s
    if clock.stopped is None:
        return _second_key(walk, key, step, useful, last)
    return walk.act(Notice(), (float(step.hold_down.si) if step.hold_down else 0.0) + 1.0)


def _second_key(walk: Walk, key: PassKey, step: AgainstTheClock, useful: float, last: float) -> bool:
    dice, least = walk.wishes.dice, float(step.least.si)
    wished = walk.wishes.of(_done(key, step), key[1], (OVER, UNDER))
    if wished == UNDER:
        return walk.act(Notice(), last + 1.0)
    if wished == OVER:
        return walk.act(ClockKey(), last + 1.0)
    within = useful if dice.random() < 0.8 or last <= useful else last
    return walk.act(ClockKey(), max(least, within * dice.uniform(0.5, 1.0)))
