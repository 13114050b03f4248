"""Lines of a page as pieces of text with a named style, wrapped to a width. Pure; nothing here knows the framework."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from rich.cells import cell_len

from runner.text.foreign import one_line

Piece = tuple[str, str]
"""A text and the name of its style; '' is plain."""
Row = list[Piece]
EMPTY: Row = [("", "")]


def row(*pieces: Piece | str) -> Row:
    return [(piece, "") if isinstance(piece, str) else piece for piece in pieces]


def wrapped(text: str, width: int, style: str = "", *, first: str = "", then: str | None = None) -> list[Row]:
    """A text on as many lines as it takes, each led by `first` or `then`; the lead is not styled."""
    then = " " * cell_len(first) if then is None else then
    room = max(10, width - max(cell_len(first), cell_len(then)))
    lines = textwrap.wrap(one_line(text), room, break_long_words=True) or [""]
    return [[(first if at == 0 else then, ""), (line, style)] for at, line in enumerate(lines)]


def width_of(line: Row) -> int:
    return sum(cell_len(text) for text, _ in line)


def cut(text: str, width: int) -> str:
    """A text on one line, at most this wide; what is cut off shows as a mark."""
    text = one_line(text)
    if cell_len(text) <= width:
        return text
    while text and cell_len(text) > width - 1:
        text = text[:-1]
    return text + "…"


def spread(left: Row, right: Row, width: int) -> Row:
    """Two ends of one line."""
    gap = width - width_of(left) - width_of(right)
    return [*left, (" " * max(1, gap), ""), *right]


def beside(left: list[Row], right: list[Row], width: int, gap: int = 2) -> list[Row]:
    """Two blocks side by side, the left one `width` wide."""
    lines = []
    for at in range(max(len(left), len(right))):
        mine: Row = list(left[at]) if at < len(left) else []
        theirs = right[at] if at < len(right) else []
        lines.append([*mine, (" " * max(0, width + gap - width_of(mine)), ""), *theirs])
    return lines


def fit(lines: Iterable[Row], height: int) -> list[Row]:
    """At most this many lines; where some are cut, the last one says how many."""
    all_lines = list(lines)
    if len(all_lines) <= height:
        return all_lines
    left = len(all_lines) - height + 1
    return [
        *all_lines[: max(0, height - 1)],
        row((f"… {left} more lines: a larger window shows them", "dim")),
    ]


def window(lines: list[Row], height: int, scrolled: int = 0) -> tuple[list[Row], int]:
    """
    As many of the lines as there is room for, and how far they are really scrolled. Unscrolled, the marked line (its
    first sign is '>') is in view, because keys act on it; what is out of view is counted at either end.
    """
    most = len(lines) - height
    if most <= 0 or height < 3:
        return lines[: max(0, height)], 0
    marked = next((at for at, line in enumerate(lines) if line and line[0][0].lstrip().startswith(">")), 0)
    resting = min(max(0, marked - height + 3), most)
    top = min(max(0, resting + scrolled), most)
    shown = lines[top : top + height]
    if top:
        shown[0] = row((f"… {top + 1} more lines above: ↑", "dim"))
    if top < most:
        shown[-1] = row((f"… {most - top + 1} more lines below: ↓", "dim"))
    return shown, top - resting


def plain(lines: Iterable[Row]) -> str:
    """The lines without their styles, for tests."""
    return "\n".join("".join(text for text, _ in line).rstrip() for line in lines)
