"""The board: the passes that may be worked on now, and below it every part by its stages, each state a sign and a word."""

from __future__ import annotations

from runner.job.job import Job
from runner.job.passes import Standing, is_out_of_date, may_begin, nonconforming_part, open_reworks, standing
from runner.job.state import PassKey, State
from runner.screen.rows import EMPTY, Row, cut, row, window
from runner.screen.view import View

GLYPHS = {
    Standing.NOT_STARTED: "·",
    Standing.IN_PROGRESS: ">",
    Standing.HELD: "!",
    Standing.DONE: "✓",
    Standing.NOT_APPLICABLE: "–",
}
GONE = {"scrap": "scrapped", "return": "returned"}
_SPAN, _TITLE = 16, 20
"""Columns of one part, and of a stage's title."""
_LISTED = 6
"""Passes listed round the marked one where the grid needs the room."""


def board(view: View, width: int, height: int, scrolled: int) -> tuple[list[Row], int]:
    """The board in so many lines, and how far its grid is really scrolled."""
    job, state = view.job, view.state
    keys = open_passes(job, state)
    top = [row(("Which part is in your hand? Type what is on its tag.", "strong"))]
    listed = [_line(job, state, key, at == view.marked) for at, key in enumerate(keys)]
    grid = _grid(job, state, width)
    room = height - len(top) - 1
    count = len(listed) if len(listed) + len(grid) <= room else max(_LISTED, room - len(grid))
    some, _ = window(listed, min(count, len(listed)))
    top += some or [row(("Nothing may be begun now.", "bad"))]
    shown, scrolled = window(grid, max(0, height - len(top) - 1), scrolled)
    return [*top, EMPTY, *shown], scrolled


def _line(job: Job, state: State, key: PassKey, is_marked: bool) -> Row:
    sign, word, style = pass_word(job, state, key)
    return row(
        (" > " if is_marked else "   ", "ask"),
        (f"{key[1]:<12}", "part" if is_marked else "strong"),
        f" {cut(key[0], 40)}",
        ("" if word == Standing.NOT_STARTED.value else f"  {sign} {word}", style),
    )


def open_passes(job: Job, state: State) -> list[PassKey]:
    """What can be taken in hand: passes that may begin or go on, and held ones, for somebody must decide there."""
    every = [*open_reworks(state), *job.keys()]
    free = set(may_begin(job, state))
    return [key for key in every if key in free or standing(job, state, key) is Standing.HELD]


def pass_word(job: Job, state: State, key: PassKey) -> tuple[str, str, str]:
    """The state of a pass as a sign, a word and a style: what became of its part, and what is out of date, too."""
    part = job.part_of(key)
    found = standing(job, state, key)
    gone = next((state.gone[one.path] for one in job.parts.outward(part) if one.path in state.gone), "")
    if found is Standing.DONE:
        return "✓", found.value, "good"
    if gone:
        return "×", GONE[gone], "dim"
    if nonconforming_part(job, state, part):
        return "!", "nonconforming", "bad"
    if is_out_of_date(state, key):
        return "~", "out of date", "bad"
    return GLYPHS[found], found.value, "bad" if found is Standing.HELD else "dim"


def _grid(job: Job, state: State, width: int) -> list[Row]:
    parts = [part for level in job.procedure.parts for part in job.parts.at(level.name)]
    columns = max(1, (width - _TITLE) // _SPAN)
    lines: list[Row] = []
    for start in range(0, len(parts), columns):
        some = parts[start : start + columns]
        names = "".join(f"{cut(part.path, _SPAN - 1):<{_SPAN}}" for part in some)
        lines.append(row((" " * _TITLE + names, "dim")))
        for stage in job.procedure.stages:
            if all(part.level != stage.for_each for part in some):
                continue
            cells = []
            for part in some:
                cell = ("", "", "")
                if part.level == stage.for_each:
                    cell = pass_word(job, state, (stage.title, part.path))
                cells.append((f"{f'{cell[0]} {cell[1]}':<{_SPAN}}", cell[2]))
            lines.append([(f"{cut(stage.title, _TITLE - 1):<{_TITLE}}", ""), *cells])
    return lines
