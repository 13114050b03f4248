"""What each item of an entries file does at the job, in the intents that a person's keys would have been."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from runner.job.decide import has_lapsed
from runner.job.holds import witness_left
from runner.job.intents import (
    AcceptHandover,
    Attend,
    CallWitness,
    Confirm,
    Correct,
    Dispose,
    HandOver,
    Hurry,
    Intent,
    LeaveLoad,
    MakeLoad,
    MeasureAgain,
    MoveReadings,
    Permit,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    Skip,
    StillStand,
    Stop,
    Suspend,
    TakeGauge,
    TakeUp,
    Tick,
)
from runner.job.passes import Standing, next_step, standing
from runner.job.state import PassKey
from runner.procedure.model import (
    WAYS_OUT,
    AgainstTheClock,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    SignOff,
    Step,
    Wait,
    WitnessPoint,
    Write,
    Zero,
)
from runner.session import timed_acts
from runner.session.hand import Hand, called
from runner.session.timed_acts import held_down, waited
from runner.session.told import Act
from runner.text.nearest import suggestion


def _person(hand: Hand, act: Act) -> None:
    at_work = hand.at_work
    if act.said != at_work.state.person or has_lapsed(at_work.job, at_work.state, at_work.now):
        hand.be(act.said)


def _pass(hand: Hand, act: Act) -> None:
    key = hand.key(act.said, act.keys["for"])
    if not hand.at_work.state.at(key).done:
        hand.take_in_hand(key)
    used: set[str] = set()
    while not hand.at_work.state.at(key).done and _step(hand, key, act, used):
        pass
    left = [name for name in act.typed if name not in used]
    if not left:
        return
    found = hand.at_work.state.at(key)
    if found.failed or found.stop:
        raise hand.halt(hand.stands_at(key))
    hand.line = act.places[left[0]].line
    stands = hand.stands_at(key)
    raise hand.wrong(
        f"nothing asked for '{left[0]}' on {key[1]} in '{key[0]}' then",
        f"look at the order of the work and at the name{f'; {stands}' if stands else ''}",
    )


def _step(hand: Hand, key: PassKey, act: Act, used: set[str]) -> bool:
    """One step of a pass, if the item tells what was done at it; False where it doesn't."""
    state, job = hand.at_work.state, hand.at_work.job
    step = next_step(job, state, key)
    if step is None or state.at(key).stop or (state.at(key).failed and not isinstance(step, Zero)):
        return False
    if isinstance(step, Read | Zero | Choose | Write | SignOff):
        return _entered(hand, key, step, act, used)
    if isinstance(step, Do):
        hand.acknowledge(key, step)
        made = state.at(key).ticks.get(step.about.number, frozenset())
        for number in range(1, len(step.ticks) + 1):
            if number not in made:
                hand.do(Tick(number))
        if len(made) == len(step.ticks):
            hand.do(Confirm())
        return True
    if isinstance(step, Wait | NotBefore):
        return waited(hand, key, step)
    return isinstance(step, AgainstTheClock) and held_down(hand, key, step)


def _entered(hand: Hand, key: PassKey, step: Step, act: Act, used: set[str]) -> bool:
    """A step at which something is typed, if the item says what, and did not yet."""
    name = called(step)
    if name not in act.typed or name in used:
        return False
    used.add(name)
    hand.line = act.places[name].line
    hand.acknowledge(key, step)
    if isinstance(step, SignOff):
        said = act.typed[name]
        hand.do(Sign(hand.at_work.state.person if said == "signed" else said))
    else:
        hand.type_text(name, act.typed[name], act)
    return True


def _again(hand: Hand, act: Act) -> None:
    key = hand.key_of(act.said, act.keys["for"])
    hand.do(MeasureAgain(act.said, act.keys["because"], key))
    step = next_step(hand.at_work.job, hand.at_work.state, key)
    if step is None or called(step) != act.said:
        raise hand.halt(f"'{act.said}' can't be typed yet: {hand.stands_at(key)}")
    hand.acknowledge(key, step)
    hand.type_text(act.said, act.keys["reads"], act)


def _correct(hand: Hand, act: Act) -> None:
    key, point = hand.key_of(act.said, act.keys["for"]), act.keys.get("point", "")
    hand.do(Correct(key, act.said, point, act.keys["reads"], act.keys["because"]))


def _move(hand: Hand, act: Act) -> None:
    key = hand.key_of(act.names[0], act.keys["for"]) if act.names else hand.open_pass(act)
    to = hand.key(key[0], act.keys["to"])[1]
    hand.do(MoveReadings(key, act.names, to, act.keys["because"]))


def _still_stands(hand: Hand, act: Act) -> None:
    hand.come_to(hand.key_at(act), act.said)
    hand.do(StillStand(act.keys["because"]))


def _skip(hand: Hand, act: Act) -> None:
    hand.come_to(hand.key_at(act), act.said)
    hand.do(Skip(act.keys["by"], act.keys["because"]))


def _release(hand: Hand, act: Act) -> None:
    step = hand.come_to(hand.key_at(act), act.said)
    if not isinstance(step, HoldPoint):
        raise hand.halt(f"'{called(step)}' is no hold point")
    saw = step.must_see if act.saw == ("each line",) else act.saw
    hand.do(Release(act.keys["by"], saw, act.keys.get("reads", "")))


def _call_witness(hand: Hand, act: Act) -> None:
    hand.come_to(hand.key_at(act), act.said)
    hand.do(CallWitness())


def _witness(hand: Hand, act: Act) -> None:
    hand.come_to(hand.key_at(act), act.said)
    hand.do(Attend(act.keys["by"]))


def _not_attended(hand: Hand, act: Act) -> None:
    """The time that a witness has runs out by itself, as that of a wait does."""
    key = hand.key_at(act)
    step = hand.come_to(key, act.said)
    timed = hand.at_work.state.at(key).called.get(step.about.number)
    if isinstance(step, WitnessPoint) and timed:
        hand.run(witness_left(hand.at_work.state, timed, step, hand.at_work.now))
    hand.do(Confirm())


def _exit(hand: Hand, act: Act) -> None:
    hand.take_in_hand(hand.open_pass(act))
    hand.do(Stop(act.said, act.keys["because"]))


def _take_up(hand: Hand, act: Act) -> None:
    hand.take_in_hand(hand.key(act.said, act.keys["for"]))
    hand.do(TakeUp(act.keys["because"]))


def _route(hand: Hand, act: Act) -> None:
    ways = [*WAYS_OUT, *(one.title for one in hand.at_work.job.procedure.reworks)]
    if act.said not in ways:
        raise hand.wrong(f"no way out is called '{act.said}'", suggestion(act.said, ways))
    hand.take_in_hand(hand.open_pass(act))
    by = act.keys.get("by", hand.at_work.state.person)
    hand.do(Dispose(act.said, by, act.keys["because"]))


def _permit(hand: Hand, act: Act) -> None:
    hand.take_in_hand(hand.key_at(act))
    hand.do(Permit(act.keys["by"], act.keys["because"]))


def _gauge(hand: Hand, act: Act) -> None:
    hand.do(TakeGauge(act.said, act.keys["id"]))


def _at(hand: Hand, act: Act) -> None:
    assert act.at is not None
    left = act.at - hand.at_work.now.utc
    if left < timedelta(0):
        raise hand.past(act.said)
    hand.run(left)


def _expect(hand: Hand, act: Act) -> None:
    state = hand.at_work.state
    keys = _keys_on(hand, act)
    at, says = act.keys.get("at", ""), act.keys.get("says", "")
    if act.said == "done":
        met = bool(keys) and all(state.at(key).done for key in keys)
    elif act.said == "held":
        met = any(_is_held(hand, key, at) and says in hand.stands_at(key) for key in keys)
    else:
        met = any(
            (not at or at == called(hand.at_work.job.step(key, number))) and says in why
            for key in keys
            for number, why in state.at(key).out_of_date.items()
        )
    if not met:
        where = (f" at {at}" if at else "") + (f" with '{says}'" if says else "")
        raise hand.halt(f"{act.keys['for']} was expected to be {act.said}{where}, and is not")


def _keys_on(hand: Hand, act: Act) -> list[PassKey]:
    """Every pass on the part of an item, or the one of its stage."""
    if "stage" in act.keys:
        return [hand.key(act.keys["stage"], act.keys["for"])]
    job, part = hand.at_work.job, act.keys["for"].lower()
    reworks = [key for key in hand.at_work.state.passes if key not in job.keys()]
    return [key for key in [*job.keys(), *reworks] if key[1].lower() == part]


def _is_held(hand: Hand, key: PassKey, at: str) -> bool:
    """Whether a pass waits for a decision or a release, at the step that is said where one is."""
    job, state = hand.at_work.job, hand.at_work.state
    found, step = state.at(key), next_step(job, state, key)
    if standing(job, state, key) is not Standing.HELD and not (found.started and isinstance(step, HoldPoint)):
        return False
    if found.stop or found.failed:
        number = found.stop.step if found.stop else found.failed.step if found.failed else 0
        step = job.step(key, number)
    return not at or (step is not None and called(step) == at)


def _do(hand: Hand, intent: Intent) -> None:
    hand.do(intent)


ACTING: dict[str, Callable[[Hand, Act], None]] = {
    "person": _person,
    "pass": _pass,
    "again": _again,
    "correct": _correct,
    "move": _move,
    "still stands": _still_stands,
    "skip": _skip,
    "release": _release,
    "call witness": _call_witness,
    "witness": _witness,
    "not attended": _not_attended,
    "exit": _exit,
    "take up": _take_up,
    "route": _route,
    "permit": _permit,
    "gauge": _gauge,
    "soak": timed_acts.soak,
    "open door": timed_acts.open_door,
    "arm": timed_acts.arm,
    "stand down": timed_acts.stand_down,
    "against the clock": timed_acts.against_the_clock,
    "estimate": timed_acts.estimate,
    "load": lambda hand, act: _do(hand, MakeLoad(act.said, act.keys["called"], act.names)),
    "leave": lambda hand, act: _do(hand, LeaveLoad(act.said, act.keys["for"], act.keys["because"])),
    "hand over": lambda hand, act: _do(hand, HandOver(act.said)),
    "accept": lambda hand, act: _do(hand, AcceptHandover()),
    "suspend": lambda hand, act: _do(hand, Suspend(act.said)),
    "resume": lambda hand, act: _do(hand, Resume()),
    "at": _at,
    "later": lambda hand, act: hand.run(act.lasted),
    "hurry": lambda hand, act: _do(hand, Hurry(act.lasted.total_seconds())),
    "clock set": lambda hand, act: hand.clock.set(act.lasted),
    "restart": lambda hand, act: hand.restart(act.lasted),
    "expect": _expect,
    "release job": lambda hand, act: _do(hand, ReleaseJob(act.keys["by"], act.said)),
}
"""By the first key of an item; a test holds this against `told.ITEMS`."""
