"""The keys that do something now, in as few lines at the foot as they need. What isn't told there or on the page does nothing."""

from __future__ import annotations

from collections.abc import Sequence

from runner.job.intents import Type
from runner.procedure.model import Choose, HoldPoint, Read, SignOff, Soak, Step, Zero
from runner.screen.asking import Question
from runner.screen.keys import Act
from runner.screen.rows import Row, cut, row, width_of, wrapped
from runner.screen.view import OVER, View

Hint = tuple[str, str]
IN_THE_HINTS = 4
"""Answers that fit into the hints; more stand in lines of their own."""


def foot(view: View, acts: Sequence[Act], question: Question | None, width: int) -> list[Row]:
    """The hints of a page, or of the question that stands over it."""
    if question:
        return laid([*_answers(question), ("Esc", "leave it as it was")], width)
    return laid([*_before(view, acts), *((_name(one.key), one.words) for one in acts if not one.line)], width)


def choices(question: Question, width: int) -> list[Row]:
    """Each key that answers in a line of its own, where there are many or their words are long."""
    if not _are_many(question):
        return []
    return [row((f" {key} ", "mark"), f" {cut(words, width - 5)}") for key, words in question.keys.items()]


def told(acts: Sequence[Act], width: int) -> list[Row]:
    """The keys that a page tells itself."""
    lines: list[Row] = []
    for one in acts:
        for at, line in enumerate(wrapped(one.line, width - 5) if one.line else []):
            lead: Row = [("     ", "")] if at else [(f" {one.key} ", "mark"), (" ", "")]
            lines.append([*lead, *line])
    return lines


def _are_many(question: Question) -> bool:
    return len(question.keys) > IN_THE_HINTS or any(len(words) > 24 for words in question.keys.values())


def _answers(question: Question) -> list[Hint]:
    if not question.keys:
        return [("Enter", "answers")]
    if _are_many(question):
        keys = list(question.keys)
        return [(f"{keys[0]} to {keys[-1]}" if len(keys) > 1 else keys[0], "answers")]
    return list(question.keys.items())


def _before(view: View, acts: Sequence[Act]) -> list[Hint]:
    """What is typed, picked or scrolled, which no key by itself does."""
    if view.shows in OVER:
        return [("↑ ↓", "scroll"), ("Esc", "back to the step")]
    if view.shows == "board":
        back = [("Esc", "back to the step")] if view.key else []
        return [
            ("type the tag, Enter", "takes it in hand"),
            ("↑ ↓", "which stage"),
            ("← →", "other parts"),
            *back,
        ]
    if view.shows != "step" or view.is_stopped or view.must_read:
        return []
    if (
        view.takes_text
        or isinstance(view.step, Zero | Soak)
        or (isinstance(view.step, Read) and not view.out_of_date)
    ):
        return [("type it, Enter", "enters")]
    options = [one.key for one in acts if isinstance(one.does, Type)]
    return [(" ".join(options), "one of these is wanted")] if options else []


def wanted(step: Step | None) -> str:
    """What a step wants, where a key was pressed that does nothing."""
    match step:
        case Read(ask=ask):
            return f"A reading is wanted: {ask}"
        case Zero(instrument=instrument):
            return f"What the {instrument} reads is wanted."
        case Soak(ask=ask):
            return f"Readings of the soak are wanted: {ask}"
        case Choose(ask=ask):
            return f"One of the options is wanted: {ask}"
        case HoldPoint():
            return "r releases the hold point."
        case SignOff():
            return "g signs."
        case _:
            return ""


def _name(key: str) -> str:
    return key.upper() if len(key) > 1 and key[0] == "f" else key


def laid(found: Sequence[Hint], width: int) -> list[Row]:
    """The hints on as few lines as they need, never cut in the middle."""
    lines: list[Row] = [[]]
    for key, words in found:
        pieces: Row = [(f" {key} ", "mark"), (f" {words}  ", "")]
        if lines[-1] and width_of(lines[-1]) + width_of(pieces) > width:
            lines.append([])
        lines[-1] += pieces
    return lines
