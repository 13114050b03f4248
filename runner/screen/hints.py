"""The keys that do something now, in one or two lines at the foot. What isn't named there does nothing."""

from __future__ import annotations

from runner.job import events as e
from runner.job.job import Job
from runner.job.passes import next_step
from runner.job.state import State
from runner.procedure.model import Do, HoldPoint, Read, SignOff, Wait, Zero
from runner.screen.asking import Question
from runner.screen.rows import Row, width_of

Hint = tuple[str, str]
_ALWAYS: list[Hint] = [
    ("p", "parts"),
    ("k", "working"),
    ("l", "steps"),
    ("u", "person"),
    ("s", "suspend"),
    ("q", "leave"),
]
_EXITS: list[Hint] = [
    ("m", "measure again"),
    ("n", "nonconforming"),
    ("c", "can't measure"),
    ("w", "can't do as written"),
]


def hints(
    job: Job, state: State, shows: str, question: Question | None, waiting: bool, width: int
) -> list[Row]:
    return _lines(_which(job, state, shows, question, waiting), width)


def _which(job: Job, state: State, shows: str, question: Question | None, waiting: bool) -> list[Hint]:
    if waiting:
        return [("r", "try again to keep it"), ("q x", "leave without it")]
    if question:
        keys = list(question.keys.items()) or [("Enter", "answers")]
        return [*keys, ("Esc", "leave it as it was")]
    match shows:
        case "working":
            return [("↑ ↓", "scroll"), ("Esc", "back to the step")]
        case "steps":
            return [("↑ ↓", "scroll"), ("Esc", "back to the step")]
        case "released":
            return [("k", "working"), ("q", "leave")]
        case "suspended":
            return [("t", "take it up again"), ("k", "working"), ("q", "leave")]
        case "prerequisites":
            return [("space", "is so"), ("u", "person"), ("s", "suspend"), ("q", "leave")]
        case "board":
            back = [("Esc", "back to the step")] if state.in_hand else []
            ways = [("F2", "person"), ("F4", "suspend"), ("F9", "leave")]
            return [("type the tag, Enter", "takes it in hand"), ("↑ ↓", "which stage"), *back, *ways]
        case "completed":
            return [("r", "release the job"), ("u", "person"), ("q", "leave")]
        case _:
            return [*_of_step(job, state), *_ALWAYS]


def _of_step(job: Job, state: State) -> list[Hint]:
    assert state.in_hand
    found, step = state.at(state.in_hand), next_step(job, state, state.in_hand)
    if found.stop:
        return [("d", "decide")] if found.stop.exit == e.NONCONFORMING else [("t", "take it up again")]
    if step is None or isinstance(found.failed, e.CheckDecided | e.NotWorked):
        return _EXITS
    warned = any(one.asks for one in step.about.beware) and step.about.number not in found.acknowledged
    if warned:
        return [("a", "warning read"), *_EXITS[1:]]
    match step:
        case Read() | Zero():
            first = [("type it, Enter", "enters")]
        case Do(ticks=ticks):
            first = [("space", "ticks the marked line" if ticks else "done")]
        case Wait():
            first = [("space", "goes on when it is over")]
        case HoldPoint():
            first = [("r", "release")]
        case SignOff():
            first = [("g", "sign")]
        case _:
            first = []
    return [*first, *_EXITS]


def _lines(found: list[Hint], width: int) -> list[Row]:
    """The hints on as few lines as they need, never cut in the middle."""
    lines: list[Row] = [[]]
    for key, words in found:
        pieces: Row = [(f" {key} ", "mark"), (f" {words}  ", "")]
        if lines[-1] and width_of(lines[-1]) + width_of(pieces) > width:
            lines.append([])
        lines[-1] += pieces
    return lines
