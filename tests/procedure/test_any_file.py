"""Procedures cut about at random: never an exception, and every problem lies inside its file. BENCHHAND_FUZZ=10000 does more of them."""

from __future__ import annotations

import os
import random
import time
import unicodedata
from pathlib import Path

from runner.procedure.reader import read_bytes
from runner.text.problem import render

FILES = [
    path.read_text(encoding="utf-8", errors="surrogateescape").split("\n")
    for path in sorted((Path(__file__).parents[1] / "bad").glob("*.yaml"))
]
SHIPPED = (
    (Path(__file__).parents[2] / "procedures" / "head-seats.yaml").read_text(encoding="utf-8").split("\n")
)
HOW_MANY = int(os.environ.get("BENCHHAND_FUZZ", "300"))
TOKENS = [
    *"[]{}:,#&*!|>'\"%@`-?\\~<=()^+./0aé",
    "\u00a0",
    "\u202e",
    "\u0430",
    "\U0001f527",
    "\x00",
    "\x1b[2J",
    "\r",
    "\t",
    "mm",
    "degC",
    "20",
    "9" * 400,
    "1e999",
    "1 mm ^ 9999",
    "((((((((",
    "x" * 3000,
    "job",
    "every seat.bore",
    "- do: Look",
    "only if:",
    "steps:",
    "[]",
    "{}",
    "null",
    "&a",
    "*a",
    "<<: *a",
    "!!python/object",
    "not",
    "A to B",
]


def _cut_about(lines: list[str], dice: random.Random) -> list[str]:
    lines = list(lines) or [""]
    at, other = dice.randrange(len(lines)), dice.randrange(len(lines))
    line = lines[at]
    column = dice.randrange(len(line) + 1)
    match dice.randrange(9):
        case 0:
            del lines[at : at + dice.choice([1, 1, 1, 5, 30])]
        case 1:
            lines[at:at] = lines[at : at + dice.choice([1, 1, 5, 30])]
        case 2:
            lines[at], lines[other] = lines[other], line
        case 3:
            lines[at] = line[:column] + dice.choice(TOKENS) + line[column:]
        case 4:
            lines[at] = line[:column] + line[column + dice.choice([1, 1, 4]) :]
        case 5:
            lines[at] = " " * dice.choice([1, 2, 4, 8]) + line
        case 6:
            lines[at] = line[dice.choice([1, 2, 4]) :]
        case 7:
            words = line.split(" ")
            words[dice.randrange(len(words))] = dice.choice(TOKENS)
            lines[at] = " ".join(words)
        case _:
            lines[at:] = dice.choice(FILES)[other:] if dice.random() < 0.3 else lines[at:]
    return lines


def _nonsense(dice: random.Random) -> list[str]:
    return [
        "".join(dice.choice(TOKENS) + dice.choice(["", " "]) for _ in range(dice.randrange(8)))
        for _ in range(9)
    ]


def test_a_file_cut_about_at_random_is_read_or_told_inside_the_file_and_never_raises() -> None:
    dice = random.Random(7)
    longest = 0.0
    for number in range(HOW_MANY):
        lines = SHIPPED if number % 40 == 0 else _nonsense(dice) if number % 10 == 1 else dice.choice(FILES)
        for _ in range(dice.choice([1, 1, 2, 3, 8])):
            lines = _cut_about(lines, dice)
        data = "\n".join(lines).encode("utf-8", "surrogateescape")
        began = time.process_time()
        procedure, problems, text = read_bytes(data, "x.yaml")
        longest = max(longest, time.process_time() - began)
        assert procedure or problems
        shown = text.split("\n")
        for one in problems:
            place = one.place
            assert 1 <= place.line <= len(shown), (number, one)
            assert place.length >= 1
            assert 1 <= place.column <= len(shown[place.line - 1]) + 1, (number, one, shown[place.line - 1])
            signs = set(render(one, shown)) - {"\n"}
            assert not {unicodedata.category(sign) for sign in signs} & {"Cc", "Cf", "Cs"}, (number, one)
    assert longest < 5
