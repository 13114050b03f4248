"""What came of an act, in the lines above the entry line: kept, refused, or not on disk."""

from __future__ import annotations

from dataclasses import fields

from runner.job import events as e
from runner.job.events import Event
from runner.job.intents import Intent
from runner.job.job import Refusal
from runner.paper.words import line
from runner.screen.rows import Row, cut, row, wrapped


def kept_rows(events: tuple[Event, ...], width: int) -> list[Row]:
    """What is on disk now; an entry that is asked for again is none of it yet."""
    if any(isinstance(event, e.EntryQuestioned) for event in events):
        return []
    notices = [event for event in events if isinstance(event, e.ClockNoticed)]
    lines = [wrapped(line(event), width, first="! ")[0] for event in notices]
    shown = [event for event in events if not _is_shown_by_the_page(event)]
    if shown:
        lines.append(row(("kept  ", "good"), cut("; ".join(line(event) for event in shown[:6]), width - 8)))
    return lines


def went_rows(events: tuple[Event, ...], width: int) -> list[Row]:
    """What went out of date meanwhile, and stood in the way of an act, of which nothing was done."""
    went = "; ".join(line(event) for event in events if isinstance(event, e.WentOutOfDate))
    return wrapped(f"{went}; that comes first, and nothing else was entered", width, "bad", first="✗ ")


def _is_shown_by_the_page(event: Event) -> bool:
    if isinstance(event, e.ZeroRead):
        return not event.good
    of_the_step = e.ValueWorked | e.CheckDecided | e.PassStarted | e.NotWorked
    return isinstance(event, of_the_step | e.ClockNoticed | e.AlarmRaised | e.AlarmAnswered)


def refused_rows(refusal: Refusal, width: int) -> list[Row]:
    fix = wrapped(refusal.fix, width, first="  → ") if refusal.fix else []
    return [*wrapped(refusal.sentence, width, "bad", first="✗ "), *fix]


def not_kept_rows(entered: str, sentence: str, fix: str, leaving: bool, width: int) -> list[Row]:
    """What is not on disk, in view until it is: `entered` stands nowhere else now."""
    what = f"NOT KEPT: {entered} ({sentence})" if entered else f"NOT KEPT: {sentence}"
    then = (
        "write down what is not kept, then press x to leave without it"
        if leaving
        else f"{fix}; then press r. Nothing else is taken until then"
    )
    return [*wrapped(what, width, "bad", first="✗ "), *wrapped(then, width, first="  → ")]


def entered_in(intent: Intent) -> str:
    """What a person typed for an act."""
    values = [getattr(intent, one.name) for one in fields(intent)]
    return ", ".join(value for value in values if isinstance(value, str))
