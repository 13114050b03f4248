"""The watch as rows: the first timers with what is left in large figures, all others in a line each. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from runner.job.moments import clock_words
from runner.screen.alarms import time_words
from runner.screen.big import big, big_width, huge, huge_scale
from runner.screen.rows import EMPTY, Piece, Row, beside, cut, row, spread, width_of, window, wrapped
from runner.session.watched import NotRead, Timer

_BLOCK = 4
"""Lines of a timer in large figures, and the gap below it."""
_LARGE_OF = 2
"""Where not every timer can be large, one line in so many is for those that are."""
_COLUMN = 92
"""Columns from which two stand side by side."""
_GAP = 3
_LARGEST = 3
"""How large the figures of the first timer get where there is room: so many lines a dot."""


def bar(folder: Path, at: str, shape: str, width: int) -> Row:
    """What this is, the jobs it watches, the time, and the pulse."""
    left = cut(f" benchhand watch · jobs in {folder}", width - 16)
    line = spread([(left, "bar")], [(f"{at} {shape}", "bar")], width)
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
    bad = _not_read(not_read, width)
    if not timers:
        nothing = "nothing runs in any open job" if has_jobs else "there is no open job here"
        return [*bad, *wrapped(nothing, width, "strong")], 0
    room = height - len(bad)
    columns = max(1, width // _COLUMN)
    deep = _deep(len(timers), columns, room)
    first = min(len(timers), columns * deep)
    rest = [_line(one, width) for one in timers[first:]]
    spare = room - -(-first // columns) * _BLOCK - len(rest)
    large = _largest(timers[0], width, spare)
    large += _blocks(timers[1 if large else 0 : first], columns, width)
    shown, scrolled = window(rest, max(0, room - len(large)), scrolled)
    return [*bad, *large, *shown], scrolled


def _deep(count: int, columns: int, room: int) -> int:
    """How many timers can be large one below the other: as many as leave a line for each other one, or half of the lines."""
    for deep in range(room // _BLOCK, 1, -1):
        if deep * _BLOCK + max(0, count - columns * deep) <= room:
            return deep
    return max(1, room // _LARGE_OF // _BLOCK)


def _not_read(not_read: Sequence[NotRead], width: int) -> list[Row]:
    bad = [row((cut(f"! {one.number} can't be read: {one.why}", width), "bad")) for one in not_read]
    if len(bad) > _GAP:
        bad = [*bad[:_GAP], row((f"! and {len(bad) - _GAP} more that can't be read", "bad"))]
    return [*bad, EMPTY] if bad else []


def _largest(one: Timer, width: int, spare: int) -> list[Row]:
    """The first timer across the screen, as large as the lines that are to spare allow; nothing where they allow no more."""
    digits = time_words(one.left_s)
    scale = min(huge_scale(digits, width, spare), _LARGEST) if spare >= 5 else 0
    if not scale or huge_scale(digits, width, 5 * scale) < scale or 8 * len(digits) * scale > width:
        return []
    return [*huge(digits, scale, _figures_style(one)), *_told(one, width), EMPTY]


def _blocks(timers: Sequence[Timer], columns: int, width: int) -> list[Row]:
    """Timers in large figures, side by side where the columns allow it."""
    across = (width - _GAP * (columns - 1)) // columns
    figures = max((big_width(time_words(one.left_s)) for one in timers), default=0)
    lines: list[Row] = []
    for start in range(0, len(timers), columns):
        together, *others = [_block(one, figures, across) for one in timers[start : start + columns]]
        for count, block in enumerate(others, 1):
            together = beside(together, block, count * across + (count - 1) * _GAP, _GAP)
        lines += [*together, EMPTY]
    return lines


def _block(one: Timer, figures: int, width: int) -> list[Row]:
    """One timer in three lines: the time in figures, then whose it is, when, and what is done."""
    digits = time_words(one.left_s)
    indent = " " * (figures - big_width(digits))
    told = _told(one, max(10, width - figures - 1))
    return [
        [(indent, ""), *drawn, (" ", ""), *line]
        for drawn, line in zip(big(digits, _figures_style(one)), told, strict=True)
    ]


def _told(one: Timer, room: int) -> list[Row]:
    """Whose it is and how it stands, when, and what is done."""
    mark = _mark(one)
    return [
        row(mark, (cut(f" {one.job_words}  {one.due.part}", room - width_of([mark])), "strong")),
        row(cut(f"{one.due.what} {_when(one)}", room)),
        row((cut(one.do, room), "ask")),
    ]


def _figures_style(one: Timer) -> str:
    style = _mark(one)[1]
    return style if style in ("warning", "bad") else "part"


def _line(one: Timer, width: int) -> Row:
    mark = _mark(one)
    front = row(
        (f"{time_words(one.left_s):>9} ", "part"),
        mark,
        (f" {cut(one.job_words, 26)}  {one.due.part}  ", "strong"),
    )
    return [*front, (cut(f"{one.due.what} {_when(one)}: {one.do}", max(10, width - width_of(front))), "")]


def _mark(one: Timer) -> Piece:
    """How it stands, as a sign and a word."""
    if one.alarm and not one.is_answered:
        return " ▲ ALARM ", "warning"
    if one.alarm:
        return "△ answered", "bad"
    if one.due.is_over and one.left_s < 0:
        return ("! overdue", "bad") if one.due.latest else ("○ over", "good")
    return "·", "dim"


def _when(one: Timer) -> str:
    """Both clock times, with the day where it isn't today."""
    zone, today = one.read.job.zone, one.now.utc
    ends = [(word, at) for word, at in (("from", one.due.earliest), ("until", one.due.latest)) if at]
    return " ".join(f"{word} {clock_words(at, zone, today)}" for word, at in ends)
