"""The board: the passes that may be worked on now, and below it every part by its stages, each state a sign and a word."""

from __future__ import annotations

from runner.job.job import Job
from runner.job.parts import Part
from runner.job.passes import (
    Standing,
    is_out_of_date,
    may_begin,
    nonconforming_part,
    open_reworks,
    refusal_to_begin,
    standing,
)
from runner.job.state import PassKey, State
from runner.procedure.model import Stage
from runner.screen.rows import EMPTY, Piece, Row, cut, row, window
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
_LISTED = 3
"""Passes listed round the marked one where the grid needs the room."""


def board(view: View, width: int, height: int, scrolled: int) -> tuple[list[Row], int]:
    """
    The board in so many lines. Where not all parts by stages fit, those beside the marked one, or so many blocks on; and
    how many blocks on that really is.
    """
    job, state = view.job, view.state
    keys = open_passes(job, state)
    marked = keys[view.marked] if view.marked < len(keys) else None
    listed = [_line(job, state, key, key == marked) for key in keys]
    blocks = _blocks(job, state, width, marked[0] if marked else "")
    whole = [line for _, lines in blocks for line in lines]
    top = [row(("Which part is in your hand? Type what is on its tag.", "strong"))]
    loads = ", ".join(level.name for level in job.procedure.parts if level.of)
    if loads:
        top.append(row((f"To put parts together, type the load's word: {loads}", "dim")))
    if len(listed) + len(whole) + len(top) + 1 <= height:
        return [*top, *(listed or [_NOTHING]), EMPTY, *whole], 0
    some, _ = window(listed, min(len(listed), max(_LISTED, height - len(top) - 1 - len(whole))))
    top += some or [_NOTHING]
    if not blocks:
        return top, 0
    own = next((at for at, (parts, _) in enumerate(blocks) if marked and marked[1] in parts), 0)
    at = (own + scrolled) % len(blocks)
    head, *rows = blocks[at][1]
    shown, _ = window(rows, height - len(top) - 1)
    return [*top, head, *shown], at - own


_NOTHING: Row = row(("Nothing may be begun now.", "bad"))


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


def why_not(job: Job, state: State, tag: str) -> str:
    """Why nothing can be taken in hand on the part of this tag: what is waited for, else which parts are open."""
    for key in job.keys():
        if key[1].lower() == tag.lower() and not state.at(key).done:
            refusal = refusal_to_begin(job, state, key)
            if refusal:
                return f"{refusal.sentence}; {refusal.fix}" if refusal.fix else refusal.sentence
    there = ", ".join(sorted({key[1] for key in open_passes(job, state)})[:8]) or "none"
    return f"no part with work open now is tagged '{tag}'; open are {there}"


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


def _blocks(job: Job, state: State, width: int, marked: str) -> list[tuple[set[str], list[Row]]]:
    """Parts by stages, as many parts side by side as there is room for: which they are, and a head with a line a stage."""
    worked = {stage.for_each for stage in job.procedure.stages}
    levels = [level.name for level in job.procedure.parts if level.name in worked]
    parts = [part for level in levels for part in job.parts.at(level)]
    columns = max(1, (width - _TITLE) // _SPAN)
    blocks = []
    for start in range(0, len(parts), columns):
        some = parts[start : start + columns]
        names = "".join(f"{cut(part.path, _SPAN - 1):<{_SPAN}}" for part in some)
        lines = [row((" " * _TITLE + names, "dim"))]
        for stage in job.procedure.stages:
            if all(part.level != stage.for_each for part in some):
                continue
            title = f"{'>' if stage.title == marked else ' '}{cut(stage.title, _TITLE - 2)}"
            lines.append([(f"{title:<{_TITLE}}", ""), *(_cell(job, state, stage, part) for part in some)])
        blocks.append(({part.path for part in some}, lines))
    return blocks


def _cell(job: Job, state: State, stage: Stage, part: Part) -> Piece:
    if part.level != stage.for_each:
        return " " * _SPAN, ""
    sign, word, style = pass_word(job, state, (stage.title, part.path))
    return f"{f'{sign} {word}':<{_SPAN}}", style
