"""The job screen as rows: the page in view between the head and the hints. Pure; what is shown is a function of the view."""

from __future__ import annotations

from collections.abc import Sequence

from runner.job import events as e
from runner.job.due import running
from runner.job.state import PassKey
from runner.procedure.model import Read, Soak, Zero
from runner.screen import handover, pages, steps, timers
from runner.screen.against_the_clock import race
from runner.screen.asking import Question
from runner.screen.board import board
from runner.screen.keys import Act
from runner.screen.rows import EMPTY, Row, beside, row, window
from runner.screen.step_list import steps_list
from runner.screen.verdicts import just_worked
from runner.screen.view import View, in_sight, out_of_sight
from runner.session.shelf import due_words

SIDE_FROM = 110
"""Columns from which the list of steps stands beside the step."""


def head(view: View, width: int) -> list[Row]:
    return pages.head(view.job, view.state, _next_due(view), view.is_nobody_there, width)


def _next_due(view: View) -> Row:
    """What time runs for soonest; while an act runs against the clock that one is all that counts."""
    due = None if view.is_racing else next(iter(running(view.job, view.state, view.now)), None)
    if due is None:
        return [] if view.is_racing else row(("no wait is running", "dim"))
    words = due_words(due, view.job.zone, view.now)
    return row((words, "bad")) if due.is_over else row(("next due ", "dim"), (words, "strong"))


def body(
    view: View, acts: Sequence[Act], chain: tuple[int, str], size: tuple[int, int], scrolled: int
) -> tuple[list[Row], int]:
    """The page in view in `size` columns and lines, and how far it is really scrolled."""
    width, height = size
    job, state = view.job, view.state
    key = state.in_hand or _last_key(view)
    match view.shows:
        case "race":
            return race(view, width, height), 0
        case "step":
            return _pass(view, acts, width, height, scrolled)
        case "board":
            return board(view, width, height, scrolled)
        case "working":
            seen = in_sight(view.events, out_of_sight(job, state))
            lines = [*_traces(view, key, width), *pages.working(job, seen, key, width)] if key else []
        case "steps":
            count = len(job.stage_of(key).steps) if key else 0
            lines = steps_list(job, state, key, width, count) if key else [row("No pass is in hand.")]
        case "released":
            lines = pages.released(job, state, chain, width)
        case "handed over":
            lines = handover.handed_over(view, width)
        case "suspended":
            lines = handover.suspended(view, width)
        case "prerequisites":
            lines = pages.prerequisites(job, state, width)
        case _:
            lines = pages.completed(job, state, width)
    return window(lines, height, scrolled)


def _pass(view: View, acts: Sequence[Act], width: int, height: int, scrolled: int) -> tuple[list[Row], int]:
    assert view.key is not None
    room = width if width < SIDE_FROM else width * 3 // 5
    lines = steps.page(view, acts, room)
    drawn = timers.traces(view, view.key, view.step, room) if isinstance(view.step, Soak) else []
    if drawn and len(lines) + len(drawn) + 1 <= height:
        lines += [EMPTY, *drawn]
    worked = just_worked(in_sight(view.last_events, out_of_sight(view.job, view.state)), room)
    if worked and len(lines) + len(worked) + 2 <= height:
        lines += [EMPTY, row(("worked out from what was just entered (k shows how)", "dim")), *worked]
    lines, scrolled = window(lines, height, scrolled)
    if width < SIDE_FROM:
        return lines, scrolled
    side = steps_list(view.job, view.state, view.key, width - room - 3, height)
    return beside(lines, side, room, 3), scrolled


def _traces(view: View, key: PassKey, width: int) -> list[Row]:
    """Every soak of a pass as it was read."""
    soaks = [step for step in view.job.stage_of(key).steps if isinstance(step, Soak)]
    return [line for step in soaks for line in timers.traces(view, key, step, width)]


def _last_key(view: View) -> PassKey | None:
    for event in reversed(view.events):
        if isinstance(event, e.PassEvent):
            return event.stage, event.part
    return None


def placeholder(view: View, question: Question | None) -> str:
    """What the empty entry line is for now; nothing where it takes no text."""
    if question:
        return "" if question.keys else "type the PIN" if question.is_secret else "type the answer"
    if view.shows == "board":
        return "type the tag"
    if view.shows != "step" or view.is_stopped:
        return ""
    if view.takes_text:
        return "type the text"
    step = view.step
    if not isinstance(step, Read | Zero | Soak) or (view.out_of_date and isinstance(step, Read)):
        return ""
    return f"type the reading in {step.unit.symbol}"
