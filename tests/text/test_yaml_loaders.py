"""Mutated texts: never an exception, every place inside the file, and the same answer with and without libyaml."""

from __future__ import annotations

import random

import yaml

from runner.text.problem import Problem
from runner.text.yaml_nodes import read_yaml

BASE = """procedure: A seat
roles: [machinist, "the inspector"]
stages:
  - stage: Measure
    steps:
      - read: bore
        ask: 'Bore, two places'   # why
        points: 2
      - do: Clean it
        tick:
          - Washed
          - Dried: no
"""
SIGNS = [*"[]{}:,#&*!|>'\"%@`-?\\ \n\t~<=", "- ", ": ", " #", "\n  ", "é", "\\x", "---\n", "..."]


def _mutated(text: str, dice: random.Random) -> str:
    for _ in range(dice.randint(1, 3)):
        at = dice.randrange(len(text))
        match dice.randrange(3):
            case 0:
                text = text[:at] + dice.choice(SIGNS) + text[at:]
            case 1:
                text = text[:at] + text[at + dice.randint(1, 4) :]
            case _:
                text = text[:at] + dice.choice(SIGNS) + text[at + 1 :]
    return text


def _inside(problems: list[Problem], lines: list[str]) -> bool:
    return all(
        one.place.column + one.place.length <= max(1, len(lines[one.place.line - 1])) + 1 for one in problems
    )


def test_a_text_with_slips_never_raises_and_is_told_inside_the_file_with_and_without_libyaml() -> None:
    """
    The two differ in a few signs of YAML that they take or refuse (a `?` behind a word in brackets), so a tree beside
    no tree is allowed. Where both read it they read the same; where both refuse it, they mostly name the same spot.
    """
    dice = random.Random(20)
    refused = alike = 0
    for _ in range(400):
        text = _mutated(BASE, dice)
        node, problems = read_yaml(text, "x", getattr(yaml, "CBaseLoader", yaml.BaseLoader))
        plain_node, plain_problems = read_yaml(text, "x", yaml.BaseLoader)
        lines = text.split("\n")
        assert _inside(problems, lines) and _inside(plain_problems, lines), (text, problems, plain_problems)
        assert (node or problems) and (plain_node or plain_problems), text
        if node and plain_node:
            assert (node, problems) == (plain_node, plain_problems), text
        elif not node and not plain_node:
            refused += 1
            alike += [(one.kind, one.place) for one in problems] == [
                (one.kind, one.place) for one in plain_problems
            ]
    assert refused > 50
    assert alike >= 0.95 * refused, (alike, refused)
