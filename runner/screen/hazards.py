"""Hazards as they stand before a step: signal word, sign, and the three parts (ANSI Z535 words; no sign with NOTICE)."""

from __future__ import annotations

from collections.abc import Sequence

from runner.procedure.model import Hazard
from runner.screen.rows import Row, wrapped

SIGN = "⚠"


def boxes(hazards: Sequence[Hazard], width: int) -> list[Row]:
    """Each hazard with a bar down its side: what it is, what happens, how to avoid it."""
    lines: list[Row] = []
    for hazard in hazards:
        word = hazard.word.upper() if hazard.word == "notice" else f"{SIGN} {hazard.word.upper()}"
        said = f"{hazard.hazard}: {hazard.consequence}. {hazard.avoid}."
        side = "║ " if hazard.word in ("danger", "warning") else "│ "
        text = wrapped(said, width - 2 - len(word) - 3)
        lines.append(
            [
                (side, hazard.word if hazard.word in ("danger",) else ""),
                (f" {word} ", hazard.word),
                (" ", ""),
                text[0][1],
            ]
        )
        lines += [[(side + " " * (len(word) + 3), ""), line[1]] for line in text[1:]]
    return lines


def in_one_line(hazards: Sequence[Hazard], width: int) -> list[Row]:
    """The hazards of a stage, named: they are told in full at its first step and at the steps that name them."""
    if not hazards:
        return []
    line: Row = []
    for hazard in hazards:
        word = hazard.word.upper() if hazard.word == "notice" else f"{SIGN} {hazard.word.upper()}"
        line += [(f" {word} ", hazard.word), (f" {hazard.title}   ", "")]
    return [line]
