"""Which keys do something now, in what words, and what they do: one list, from which the hints are written too."""

from __future__ import annotations

from dataclasses import dataclass
from string import ascii_lowercase

from runner.job import events as e
from runner.job.intents import (
    Acknowledge,
    Arm,
    CallWitness,
    ClockKey,
    Confirm,
    ConfirmPrerequisite,
    Intent,
    Resume,
    Tick,
    Type,
)
from runner.job.nonconformance import is_cleared, may_permit, ways_out
from runner.job.soaks import places
from runner.job.state import PassKey, Soaking
from runner.procedure.model import (
    AgainstTheClock,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    SignOff,
    Soak,
    Step,
    Wait,
    WitnessPoint,
    Write,
    Zero,
)
from runner.screen import asking, gates, going_back, timed
from runner.screen.asking import Question
from runner.screen.view import OVER, View

FUNCTION_KEYS = {
    "u": "f2", "b": "f3", "s": "f4", "h": "f5", "c": "f6", "w": "f7", "n": "f8", "q": "f9", "p": "f10", "f": "f11", "x": "f12",
}  # fmt: skip
"""Where letters are a text, the same acts by these."""


@dataclass(frozen=True, slots=True)
class Show:
    """Another page laid over the step, or the step again where it lies there already."""

    page: str


@dataclass(frozen=True, slots=True)
class Leave:
    """The job is closed; everything entered is kept."""


@dataclass(frozen=True, slots=True)
class TryAgain:
    """What the disk refused is handed to it once more."""


@dataclass(frozen=True, slots=True)
class LeaveUnkept:
    """The job is left without what is not kept; it takes another key than the first one."""

    is_sure: bool


Does = Intent | Question | Show | Leave | TryAgain | LeaveUnkept


@dataclass(frozen=True, slots=True)
class Act:
    """A key, its words at the foot, and what it does; with `line` it is told on the page instead, in a line of its own."""

    key: str
    words: str
    does: Does
    line: str = ""


def acts(view: View) -> list[Act]:
    """Every key that does something now, in the order in which they are told; on function keys where letters are a text."""
    found = _of_race(view) if view.is_racing else [*_acts(view), *_of_rehearsal(view)]
    if not view.takes_text:
        return found
    return [Act(FUNCTION_KEYS[one.key], one.words, one.does) for one in found if one.key in FUNCTION_KEYS]


def unkept(is_leaving: bool) -> list[Act]:
    """The keys while something is not on disk."""
    leave = (
        Act("x", "leave without it", LeaveUnkept(True))
        if is_leaving
        else Act("q", "leave", LeaveUnkept(False))
    )
    return [Act("r", "try again to keep it", TryAgain()), leave]


def by_key(view: View, key: str) -> Act | None:
    """What a key does; a letter's act is on its function key everywhere."""
    letters = {function: letter for letter, function in FUNCTION_KEYS.items()}
    there = {one.key: one for one in acts(view)}
    return there.get(key) or there.get(letters.get(key, ""))


def _acts(view: View) -> list[Act]:
    leave, person = Act("q", "leave", Leave()), Act("u", "person", asking.person())
    suspend = Act("s", "suspend", asking.suspend())
    working, steps = Act("k", "working", Show("working")), Act("l", "steps", Show("steps"))
    back = Act("b", "go back", going_back.go_back(view))
    over = Act("h", "hand over", asking.hand_over())
    match view.shows:
        case page if page in OVER:
            return [working, steps, leave]
        case "released":
            return [working, leave]
        case "handed over":
            take_on = gates.take_on(view.state, view.is_nobody_there)
            return [Act("t", "take it on", take_on), suspend, leave]
        case "suspended":
            return [Act("t", "so it is: go on", Resume()), person, working, leave]
        case "prerequisites":
            number = view.state.prerequisites
            is_so = Act("space", "is so", ConfirmPrerequisite(number + 1))
            not_so = Act("n", "not so", asking.not_so(view.job.procedure.prerequisites[number]))
            return [is_so, not_so, person, over, suspend, leave]
        case "board":
            return [person, back, suspend, over, leave]
        case "completed":
            release = Act("r", "release the job", gates.release_job(view.job, view.state))
            return [release, back, working, person, over, suspend, leave]
    parts = Act("p", "parts", Show("board"))
    return _with_options(view, [*_of_step(view), back, parts, working, steps, person, over, suspend, leave])


def _of_race(view: View) -> list[Act]:
    """While hands are busy there is one key, and before that one more which stands the clock down."""
    step, clock = view.clock
    if clock.started:
        return [Act("space", step.second_key, ClockKey())]
    return [Act("space", step.first_key, ClockKey()), Act("x", "stand it down", timed.stand_down())]


def _of_rehearsal(view: View) -> list[Act]:
    state = view.state
    goes_on = not (state.released or state.handed_over or view.over in OVER)
    return [Act("f", "hurry", timed.hurry())] if state.is_rehearsal and goes_on else []


def _with_options(view: View, others: list[Act]) -> list[Act]:
    """The options of a choice before the other acts, by letters that are free; none of them is picked beforehand."""
    step = view.step
    if not isinstance(step, Choose) or view.is_stopped or view.must_read:
        return others
    free = [letter for letter in ascii_lowercase if letter not in {one.key for one in others}]
    if len(step.options) > len(free):
        choices = [(option, option) for option in step.options]
        return [Act("o", "choose", asking.pick(step.ask, choices, Type)), *others]
    options = zip(free, step.options, strict=False)
    return [*(Act(letter, "", Type(option), option) for letter, option in options), *others]


def _of_step(view: View) -> list[Act]:
    key, step = view.key, view.step
    assert key is not None
    if step is None:
        return []
    found = view.state.at(key)
    if found.stop:
        return _of_stop(view, key)
    if view.is_stopped:
        return _of_failure(view, key, step)
    exits = _exits(view, key)
    if view.must_read:
        return [Act("a", "warning read", Acknowledge()), *exits]
    first = _of_kind(view, key, step)
    if view.out_of_date and isinstance(step, Do | Read | Choose | Write | SignOff):
        why = gates.still_stands(view.out_of_date)
        first.append(Act("v", "", why, "it was looked at again and still stands, with a reason"))
    if step.about.may_skip:
        first.append(Act("x", "skip", gates.skip(view.job, step)))
    return [*first, *_again(view), *exits]


def _of_stop(view: View, key: PassKey) -> list[Act]:
    job, state = view.job, view.state
    stop = state.at(key).stop
    assert stop
    take_up = asking.take_up()
    if stop.exit != e.NONCONFORMING:
        found = [Act("t", "", take_up, "take it up again when it can be done, saying what has changed")]
        if may_permit(job, state, key):
            permit = gates.permit(job, state, key)
            found.append(Act("o", "", permit, "somebody permits it to be left or done otherwise, this once"))
        return found
    ways = ", ".join(ways_out(job, state, key))
    who = "" if job.alone else " by somebody with no entry in this pass"
    found = [Act("d", "", gates.decide(job, state, key), f"what becomes of it is decided{who}: {ways}")]
    if is_cleared(state, key):
        found.insert(0, Act("t", "", take_up, "take it up again: what was put right has made the check met"))
    return found


def _of_failure(view: View, key: PassKey, step: Step) -> list[Act]:
    """At a verdict the exits are told on the page, each once."""
    job, state = view.job, view.state
    found = []
    ways = ways_out(job, state, key)
    if ways:
        found.append(Act("d", "", gates.decide(job, state, key), f"do it over: {', '.join(ways)}"))
    question = going_back.again(view)
    if question:
        line = "measure again, with a reason; the first reading stays on the record"
        found.append(Act("m", "", question, line))
    routes = ", ".join(getattr(step, "routes", ()))
    if isinstance(step, AgainstTheClock) and isinstance(state.at(key).failed, e.ClockStopped):
        _, clock = view.clock
        if clock.stopped and not clock.stopped.act:
            line = f"it was done in time and only the key was missed: put in the seconds of '{step.name}'"
            found.append(Act("e", "", timed.estimate(step.name), line))
    lines = {
        "n": f"nonconforming, which locks this part{f'; then it is decided: {routes}' if routes else ''}",
        "c": "cannot measure",
        "w": "cannot do as written",
    }
    return [*found, *(Act(one.key, "", one.does, lines[one.key]) for one in _exits(view, key))]


def _exits(view: View, key: PassKey) -> list[Act]:
    found = [Act("n", "nonconforming", asking.stop(e.NONCONFORMING, key[1]))]
    return [
        *(found if view.job.part_of(key).names else []),
        Act("c", "can't measure", asking.stop(e.CANNOT_MEASURE, key[1])),
        Act("w", "can't do as written", asking.stop(e.CANNOT_DO, key[1])),
    ]


def _again(view: View) -> list[Act]:
    question = going_back.again(view)
    if question is None:
        return []
    if view.out_of_date and isinstance(view.step, Read):
        return [Act("m", "", question, "measure it again, with a reason")]
    return [Act("m", "measure again", question)]


def _of_kind(view: View, key: PassKey, step: Step) -> list[Act]:
    """What does the step in hand."""
    job, state = view.job, view.state
    match step:
        case Do(ticks=()):
            return [Act("space", "done", Confirm())]
        case Do(ticks=ticks):
            made = state.at(key).ticks.get(step.about.number, frozenset())
            number = next((one for one in range(1, len(ticks) + 1) if one not in made), len(ticks))
            return [Act("space", "ticks the marked line", Tick(number))]
        case AgainstTheClock():
            return _of_clock(view, key, step)
        case Soak(instrument=kind):
            gauge = asking.which_gauge(job, kind, view.now) if len(job.shop.of_kind(kind)) > 1 else None
            found = [Act("i", f"which {kind}", gauge)] if gauge else []
            if state.at(key).soaks.get(step.about.number, Soaking()).last:
                found.append(Act("d", "oven opened", timed.open_door()))
            found.append(Act("g", "logger's file", timed.logger(places(job, state, key, step))))
            if job.parts.members(job.part_of(key)):
                found.append(Act("o", "take a part out", timed.take_out(job, job.part_of(key))))
            return found
        case Wait() | NotBefore():
            return [Act("space", "goes on when it is over", Confirm())]
        case Read(instrument=kind) | Zero(instrument=kind):
            gauge = asking.which_gauge(job, kind, view.now) if len(job.shop.of_kind(kind)) > 1 else None
            return [Act("i", f"which {kind}", gauge)] if gauge else []
        case Write() if view.out_of_date:
            question = Question(step.ask, Type)
            return [Act("e", "", question, "write it anew")]
        case HoldPoint():
            return [Act("r", "release", gates.release(job, state, key, step))]
        case WitnessPoint():
            return _of_witness(view, key, step)
        case SignOff():
            return [Act("g", "sign", gates.sign(step))]
        case _:
            return []


def _of_clock(view: View, key: PassKey, step: AgainstTheClock) -> list[Act]:
    """Before it is armed each line of the list, then the key that arms; while it is held down none."""
    _, clock = view.clock
    if clock.stopped:
        return []
    made = view.state.at(key).ticks.get(step.about.number, frozenset())
    number = next((one for one in range(1, len(step.ready) + 1) if one not in made), None)
    if number:
        return [Act("space", "ticks the marked line", Tick(number))]
    return [
        Act(
            "y", "arm the clock", Arm(), f"arms it; from then only the key for {step.first_key} does anything"
        )
    ]


def _of_witness(view: View, key: PassKey, step: WitnessPoint) -> list[Act]:
    if step.about.number not in view.state.at(key).called:
        return [Act("e", f"the {step.by} is called", CallWitness())]
    came = gates.attend(view.job, view.state, key, step)
    return [
        Act("g", f"the {step.by} is here", came),
        Act("space", "goes on when the time is over", Confirm()),
    ]
