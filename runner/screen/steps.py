"""The step in hand as a page: what to do, what must be seen or read first, and what speaks against going on."""

from __future__ import annotations

from collections.abc import Sequence

from runner.formula.values import CannotBeWorked
from runner.job.events import Ref
from runner.job.following import waits_for
from runner.job.holds import witness_left
from runner.job.job import Job
from runner.job.moments import clock_words, span_words
from runner.job.passes import refusal_to_begin, to_acknowledge
from runner.job.rounds import round_words
from runner.job.state import PassKey, State
from runner.job.values import find, known_outward
from runner.paper.record import kind_words, says
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
from runner.screen import against_the_clock, timers
from runner.screen.hazards import boxes, in_one_line
from runner.screen.hints import told
from runner.screen.keys import Act
from runner.screen.reading import read, zero
from runner.screen.rows import EMPTY, Row, row, wrapped
from runner.screen.verdicts import stopped
from runner.screen.view import View, out_of_sight, unless_out_of_sight


def page(view: View, acts: Sequence[Act], width: int) -> list[Row]:
    """The step with its hazards before it. What stopped the pass, if anything did, stands instead."""
    key, step = view.key, view.step
    assert key is not None and step is not None
    if view.is_stopped:
        return stopped(view, acts, width)
    lines = [*timers.strip(view, key, step, width), *_hazards(view, key, step, width)]
    lines += _out_of_date(view, key, step, width)
    stage = view.job.stage_of(key)
    if not view.state.at(key).done_steps and stage.reason:
        lines += wrapped(stage.reason, width, "dim", first="why  ")
    if said := round_words(stage, view.state.at(key), step):
        lines += wrapped(said, width, "dim")
    lines += _step(view, key, step, acts, width)
    if step.about.key_point:
        lines += wrapped(step.about.key_point, width, "strong", first="key point  ")
    if step.about.reason and step.about.key_point:
        lines += wrapped(step.about.reason, width, "dim", first="   because  ")
    return lines


def _hazards(view: View, key: PassKey, step: Step, width: int) -> list[Row]:
    stage, found = view.job.stage_of(key), view.state.at(key)
    asked = to_acknowledge(stage, found, step)
    is_first = not found.done_steps or any(one in asked for one in stage.beware)
    whole = dict.fromkeys((*(stage.beware if is_first else ()), *step.about.beware))
    lines = boxes(tuple(whole), width) + in_one_line([one for one in stage.beware if one not in whole], width)
    if lines:
        lines.append(EMPTY)
    if asked:
        read_it = [
            ("Read the warning above, then press ", "strong"),
            ("a", "mark"),
            (" to say that you have.", "strong"),
        ]
        lines += [read_it, EMPTY]
    return lines


def _out_of_date(view: View, key: PassKey, step: Step, width: int) -> list[Row]:
    """Why a step no longer stands or can't be worked yet, and what closes it."""
    locked = refusal_to_begin(view.job, view.state, key)
    waiting = locked.sentence if locked else waits_for(view.job, view.state, key)
    if waiting:
        lines = [row((" ~ WAITS ", "mark"), "  this pass can't go on yet")]
        lines += wrapped(unless_out_of_sight(view.job, view.state, waiting), width, "bad", first="  ")
        return [*lines, row("See to that first: ", ("p", "mark"), " shows the parts."), EMPTY]
    if not view.out_of_date:
        return []
    mark = " ~ OUT OF DATE "
    first, *others = wrapped(f"{view.out_of_date}. {_closes(step)}", width, "bad", first=f"{mark} ")
    return [[(mark, "mark"), (" ", ""), *first[1:]], *others, EMPTY]


def _closes(step: Step) -> str:
    match step:
        case Read():
            return "It is measured again, or somebody says why it still stands."
        case Do() | Choose() | Write():
            return "It is done again, or somebody says why it still stands."
        case SignOff():
            return "It is signed again, or somebody says why it still stands."
        case HoldPoint():
            return "Only a new release closes it."
        case _:
            return "It is done again; nothing else closes it."


def _step(view: View, key: PassKey, step: Step, acts: Sequence[Act], width: int) -> list[Row]:
    job, state = view.job, view.state
    match step:
        case Read():
            lines = read(job, state, key, step, width)
        case Zero():
            lines = zero(job, state, key, step, width)
        case Do():
            lines = _do(state, key, step, width)
        case Wait():
            lines = timers.wait(view, key, step, width)
        case NotBefore():
            lines = timers.not_before(view, key, step, width)
        case Soak():
            lines = timers.soak(view, key, step, width)
        case AgainstTheClock():
            _, clock = view.clock
            if clock.stopped:
                return against_the_clock.holding(view, step, clock, width)
            lines = against_the_clock.preparing(view, key, step, width)
        case Choose(ask=ask):
            lines = wrapped(ask, width, "strong")
        case Write(ask=ask):
            lines = [*wrapped(ask, width, "strong"), row(("type it in words", "dim"))]
        case HoldPoint():
            return _hold(view, key, step, width)
        case WitnessPoint():
            lines = _witness(view, key, step, width)
        case SignOff(text=text):
            lines = wrapped(f"Sign off: {text}", width, "strong")
        case _:
            lines = wrapped(f"{kind_words(step)}: {says(step)}", width, "strong")
    return [*lines, *_shown(job, state, key, step), *told(acts, width)]


def _hold(view: View, key: PassKey, step: HoldPoint, width: int) -> list[Row]:
    job = view.job
    lines = [row((" HOLD POINT ", "mark"), (f" {step.title}", "strong"))]
    who = f"you, as {step.by}, alone" if job.alone else f"{_a(step.by)} with no entry in this pass"
    blind = (
        f", who measures {step.measures_again} again and must not see the first reading; "
        f"the two may lie {step.agree_within.typed} apart"
        if step.agree_within
        else ""
    )
    lines += wrapped(f"Stop. To be released by {who}{blind}.", width)
    seen = [line for one in step.must_see for line in wrapped(one, width, "strong", first="  · ")]
    return [*lines, *_shown(job, view.state, key, step), EMPTY, row("must be seen"), *seen]


def _witness(view: View, key: PassKey, step: WitnessPoint, width: int) -> list[Row]:
    lines = [row((" WITNESS POINT ", "mark"), (f" {step.title}", "strong"))]
    timed = view.state.at(key).called.get(step.about.number)
    if timed is None:
        text = f"Call the {step.by}, then press e. From then they have {step.goes_on_after.typed} to come."
        return [*lines, *wrapped(text, width)]
    called = clock_words(timed.at.utc, view.job.zone, view.now.utc)
    left = witness_left(view.state, timed, step, view.now)
    over = clock_words(view.now.utc + left, view.job.zone, view.now.utc)
    if left.total_seconds() > 0:
        text = f"The {step.by} was called at {called}. Without them the work goes on at {over}, in {span_words(left)}."
        return [*lines, *wrapped(text, width)]
    text = f"The {step.by} was called at {called} and had until {over}. Nobody came? Space goes on, and the record says so."
    return [*lines, *wrapped(text, width, first="✓ over  ")]


def _do(state: State, key: PassKey, step: Do, width: int) -> list[Row]:
    lines = wrapped(step.text, width, "strong")
    made = state.at(key).ticks.get(step.about.number, frozenset())
    first_open = next((number for number in range(1, len(step.ticks) + 1) if number not in made), 0)
    for number, text in enumerate(step.ticks, 1):
        sign = "[x]" if number in made else "[ ]"
        mark = ">" if number == first_open else " "
        lines.append(
            row(
                (f" {mark} {sign} ", "ask" if mark == ">" else ""),
                (text, "dim" if number in made else "strong"),
            )
        )
    return lines


def _shown(job: Job, state: State, key: PassKey, step: Step) -> list[Row]:
    """The values that the procedure wants in view beside the step, but for what must not be seen."""
    hidden = out_of_sight(job, state)
    lines: list[Row] = []
    for name in step.about.show:
        known = known_outward(job, state, job.part_of(key), name)
        if known and Ref(stage=known.stage, part=known.part, step=known.step) in hidden:
            continue
        try:
            value = find(job, state, job.part_of(key), name)
            lines.append(row((f"  {name:<22} ", ""), (value.whole, "part")))
        except CannotBeWorked as why:
            lines.append(row((f"  {name:<22} ", ""), (str(why), "bad")))
    return [EMPTY, *lines] if lines else []


def _a(word: str) -> str:
    return f"{'an' if word[:1].lower() in 'aeiou' else 'a'} {word}"
