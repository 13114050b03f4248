"""The act against the clock: what is readied before, the seconds while it runs, and the hold after. Read from across the room.

Time left to act is rounded down and time still to hold is rounded up, so that no figure promises more than there is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import floor

from runner.job.against_the_clock import left_for_estimate, limits_now
from runner.job.events import Input, ValueWorked
from runner.job.job import Refusal
from runner.job.state import Clock, PassKey
from runner.job.waits import longest_since, since
from runner.procedure.model import AgainstTheClock
from runner.screen.big import big, huge, huge_scale
from runner.screen.hazards import in_one_line
from runner.screen.rows import EMPTY, Row, cut, row, width_of, wrapped
from runner.screen.view import View

ACROSS_THE_ROOM = 36
"""Lines from which the act and what to tell stand in letters too."""
HOLD_DOWN_LINES = 10
"""Lines of the figures of the hold, which stands among other keys."""


def race(view: View, width: int, height: int) -> list[Row]:
    """Armed or running: which act is next, the seconds left in figures as large as fit, the bar of both limits."""
    step, clock = view.clock
    assert clock.armed
    useful, last = clock.armed.useful_s, clock.armed.last_s
    taken = longest_since(view.state, clock.started, view.now).total_seconds() if clock.started else 0.0
    if clock.started is None:
        word, style, left, act = "ARMED", "mark", useful, step.first_key
    elif taken <= useful:
        word, style, left, act = "RUNNING", "good", useful - taken, step.second_key
    else:
        word, style, left, act = "LATE", "warning", max(0.0, last - taken), step.second_key
    digits = f"{floor(left * 10 + 1e-6) / 10:.1f}"
    across = height >= ACROSS_THE_ROOM
    top = [
        row(
            (f" {word} ", style),
            "  ",
            (cut(f"{act.upper()}: press space, Enter or the pedal", width - 12), "strong"),
        )
    ]
    top += big(act) if across else []
    below = [*_bar(useful, last, taken, width), *_told(view, step, width, across)]
    below += _stood_on(view, clock.armed.inputs, width) if across else []
    scale = huge_scale(digits, width, height - len(top) - len(below))
    return [*top, *huge(digits, scale, "bad" if word == "LATE" else "part"), *below]


def _told(view: View, step: AgainstTheClock, width: int, across: bool) -> list[Row]:
    """What must be read at a glance: which way round, what is hot, what to do if it isn't true."""
    stage = view.job.stage_of(view.state.in_hand) if view.state.in_hand else None
    hazards = dict.fromkeys((*step.about.beware, *(stage.beware if stage else ())))
    tell = [line for one in step.tell for line in big(one, "strong")] if across else []
    if not across or any(width_of(line) > width for line in tell):
        tell = wrapped(" · ".join(step.tell), width, "strong") if step.tell else []
    return [
        *tell,
        *in_one_line([one for one in hazards if one.word != "notice"], width),
        *wrapped(step.if_stuck, width, "ask", first="stuck: "),
    ]


def _stood_on(view: View, inputs: Sequence[Input], width: int) -> list[Row]:
    """The readings of this pass that the two limits were worked out from, in one line: how hot, how cold."""
    found = dict.fromkeys(_readings(view, inputs))
    told = ", ".join(f"{one.name} {one.shown}" for one in found)
    return [row((cut(f"limits by  {told}", width), "dim"))] if told else []


def _readings(view: View, inputs: Sequence[Input]) -> Iterator[Input]:
    """What was read in this pass, behind whatever was worked out of it here."""
    key = view.key
    mine = (one for one in view.events if isinstance(one, ValueWorked) and (one.stage, one.part) == key)
    worked = {one.name: one for one in mine}
    for one in inputs:
        known = view.state.known.get((key[1], one.name)) if key else None
        if one.name in worked:
            yield from _readings(view, worked[one.name].inputs)
        elif known and (known.stage, known.part) == key:
            yield one


def _bar(useful: float, last: float, taken: float, width: int) -> list[Row]:
    """The seconds gone by on the way to both limits, each limit named below its mark."""
    room = min(width - 2, 100)
    at = round(useful / last * (room - 1)) if last > 0 else 0
    gone = min(room, round(taken / last * room)) if last > 0 else room
    marks = ["█" if place < gone else "·" for place in range(room)]
    marks[min(at, room - 1)] = "┃"
    figures = f"taken {taken:.1f} s   ┃ useful {useful:.1f} s   ┤ last {last:.1f} s"
    return [row(f"├{''.join(marks)}┤"), row((cut(figures, width), "strong"))]


def preparing(view: View, key: PassKey, step: AgainstTheClock, width: int) -> list[Row]:
    """Before it is armed: the two limits as they stand, the list that must be ready, and what is done if it goes wrong."""
    lines = wrapped(f"Against the clock: {step.first_key}, then {step.second_key}", width, "strong")
    limits = limits_now(view.job, view.state, key, step)
    if isinstance(limits, Refusal):
        lines += wrapped(limits.sentence, width, "bad")
    else:
        for word, seconds, formula in (
            ("useful", limits[0], step.useful.text),
            ("last", limits[1], step.last.text),
        ):
            lines.append(row(f"{word:<7}", (f"{seconds:.1f} s", "part"), (f"  {formula}", "dim")))
    made = view.state.at(key).ticks.get(step.about.number, frozenset())
    first_open = next((number for number in range(1, len(step.ready) + 1) if number not in made), 0)
    for number, text in enumerate(step.ready, 1):
        lines.append(
            row(
                (f" {'>' if number == first_open else ' '} {'[x]' if number in made else '[ ]'} ", "ask"),
                (cut(text, width - 7), "dim" if number in made else "strong"),
            )
        )
    hold = f", then held down {step.hold_down.typed}" if step.hold_down else ""
    route = f"; missed: {step.routes[0]} by itself" if step.routes else ""
    lines += wrapped(f"not before {step.least.typed} between the two{hold}{route}", width, "dim")
    return [*lines, *wrapped(step.if_stuck, width, "ask", first="stuck: ")]


def holding(view: View, step: AgainstTheClock, clock: Clock, width: int) -> list[Row]:
    """After the second act: how long it is still held down."""
    assert clock.stopped and clock.stopped_at
    held = since(view.state, clock.stopped_at, view.now).lasted.total_seconds()
    left = max(0.0, (float(step.hold_down.si) if step.hold_down else 0.0) - held)
    digits = f"{-floor(-left * 10 + 1e-6) / 10:.1f}"
    within = "inside the useful" if clock.stopped.taken_s <= clock.stopped.useful_s else "over the useful"
    took = f"took {clock.stopped.taken_s:.1f} s, {within} {clock.stopped.useful_s:.1f} s"
    scale = huge_scale(digits, width, HOLD_DOWN_LINES)
    top = row((" HOLD DOWN ", "mark"), "  ", (cut(took, width - 14), "strong"))
    return [top, EMPTY, *huge(digits, scale, "part")]


def missed(view: View, clock: Clock, routes: tuple[str, ...], width: int) -> list[Row]:
    """After a missed second key: until when it may be put in, and what begins by itself then."""
    left = left_for_estimate(view.state, clock, view.now)
    rework = view.job.procedure.rework(routes[0]) if routes else None
    if left <= 0 or rework is None:
        return []
    return wrapped(f"In {-floor(-left):.0f} s '{rework.title}' begins by itself.", width, "strong")
