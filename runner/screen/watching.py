"""The watch as rows: the first timers with what is left in large figures, all others in a line each. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from runner.job.moments import Moment, clock_words
from runner.screen.alarms import time_words
from runner.screen.big import big, big_width
from runner.screen.rows import EMPTY, Piece, Row, beside, cut, row, spread, width_of, window, wrapped
from runner.session.watched import NotRead, Timer

_BLOCK = 4
"""Lines of a timer in large figures, and the gap below it."""
_LARGE_OF = 2
"""One line in so many is for timers in large figures, where there are that many timers."""
_COLUMN = 92
"""Columns from which two stand side by side."""
_DIGITS = 36


def bar(folder: Path, now: Moment, shape: str, width: int) -> Row:
    """What this is, the jobs it watches, the time, and the pulse."""
    left = cut(f" benchhand watch · jobs in {folder}", width - 16)
    line = spread([(left, "bar")], [(f"{now.utc.astimezone():%H:%M:%S} {shape}", "bar")], width)
    return [(text, "bar") for text, _ in line]


def page(
    timers: Sequence[Timer],
    not_read: Sequence[NotRead],
    size: tuple[int, int],
    scrolled: int,
    has_jobs: bool,
) -> tuple[list[Row], int]:
    """The timers in `size` columns and lines, and how far the list is really scrolled."""
    width, height = size
    bad = [row((cut(f"! {one.number} can't be read: {one.why}", width), "bad")) for one in not_read]
    bad = [
        *bad[:3],
        *([row((f"! and {len(bad) - 3} more that can't be read", "bad"))] if len(bad) > 3 else []),
    ]
    if not timers:
        nothing = "nothing runs in any open job" if has_jobs else "there is no open job here"
        return [*bad, *wrapped(nothing, width, "strong")], 0
    room = height - len(bad)
    columns = max(1, width // _COLUMN)
    across = (width - 3 * (columns - 1)) // columns
    lines_of_blocks = (
        max(1, room // _LARGE_OF // _BLOCK) if len(timers) * _BLOCK > room * columns else room // _BLOCK
    )
    first = min(len(timers), columns * lines_of_blocks)
    large: list[Row] = []
    for start in range(0, first, columns):
        blocks = [_block(one, across) for one in timers[start : min(first, start + columns)]]
        together = blocks[0]
        for count, block in enumerate(blocks[1:], 1):
            together = beside(together, block, count * across + (count - 1) * 3, 3)
        large += [*together, EMPTY]
    rest = [_line(one, width) for one in timers[first:]]
    shown, scrolled = window(rest, max(0, room - len(large)), scrolled)
    return [*bad, *large, *shown], scrolled


def _block(one: Timer, width: int) -> list[Row]:
    """One timer in three lines: the time in figures, then whose it is, when, and what is done."""
    digits = time_words(one.left_s)
    mark = _mark(one)
    style = mark[1] if mark[1] in ("warning", "bad") else "part"
    indent = max(0, _DIGITS - big_width(digits))
    room = max(10, width - _DIGITS - 1)
    whose = row(mark, (cut(f"{one.number} {one.due.part}", room - width_of([mark])), "strong"))
    lines = [whose, row(cut(f"{one.due.what} {_when(one)}", room)), row((cut(one.do, room), "ask"))]
    return [
        [(" " * indent, ""), *figures, (" ", ""), *told]
        for figures, told in zip(big(digits, style), lines, strict=True)
    ]


def _line(one: Timer, width: int) -> Row:
    mark = _mark(one)
    front = row(
        (f"{time_words(one.left_s):>9} ", "part"), mark, (f"{cut(one.number, 12)} {one.due.part} ", "strong")
    )
    return [*front, (cut(f"{one.due.what} {_when(one)}: {one.do}", max(10, width - width_of(front))), "")]


def _mark(one: Timer) -> Piece:
    """How it stands, as a sign and a word."""
    if one.alarm and not one.is_answered:
        return " ▲ ALARM ", "warning"
    if one.alarm:
        return "△ answered ", "bad"
    if one.due.is_over and one.left_s < 0:
        return ("! overdue ", "bad") if one.due.latest else ("○ over ", "good")
    return "· ", "dim"


def _when(one: Timer) -> str:
    """Both clock times, with the day where it isn't today."""
    zone, today = one.read.job.zone, one.now.utc
    ends = [(word, at) for word, at in (("from", one.due.earliest), ("until", one.due.latest)) if at]
    return " ".join(f"{word} {clock_words(at, zone, today)}" for word, at in ends)
