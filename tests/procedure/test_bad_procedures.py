"""Wrong procedures, one mistake a file: the wrong line ends in `# !! kind`, and each problem stands on its line.

A mistake in a file of shared steps is marked there, in `bad/shared`.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
import yaml

from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from runner.procedure.taken_in import NotShared
from runner.text.problem import Problem, render, render_all
from runner.text.yaml_nodes import read_yaml

BAD = Path(__file__).parents[1] / "bad"
FILES = sorted(BAD.glob("*.yaml"))
SHIPPED = Path(__file__).parents[2] / "procedures" / "head-seats.yaml"
MARK = re.compile(r" *# !! ([a-z-]+(?:, [a-z-]+)*)$")

every_bad_file = pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])


Found = Counter[tuple[str, int, str]]
"""How often each kind of problem stands on which line of which file."""


def _unmarked(path: Path) -> tuple[str, Found]:
    """The text without its marks (one inside quotes would change it), and what is to be found on which line."""
    expected: Found = Counter()
    name = path.relative_to(BAD).as_posix()
    lines = path.read_bytes().decode().split("\n")
    for number, line in enumerate(lines, 1):
        if found := MARK.search(line):
            expected.update((name, number, kind) for kind in found[1].split(", "))
            lines[number - 1] = line[: found.start()]
    return "\n".join(lines), expected


@cache
def _read(path: Path) -> tuple[str, Procedure | None, list[Problem]]:
    text, _ = _unmarked(path)
    return (text, *read_procedure(text, path.name, None, _beside))


def _beside(name: str) -> bytes | NotShared:
    path = BAD / name
    if path.is_file():
        return _unmarked(path)[0].encode()
    return NotShared("no-shared-file", f"there is no file at {name}", "look at the name")


def _found(problems: list[Problem]) -> Found:
    return Counter((problem.place.file, problem.place.line, problem.kind) for problem in problems)


@every_bad_file
def test_each_mistake_is_told_once_on_its_line_and_nothing_else_is(path: Path) -> None:
    text, expected = _unmarked(path)
    sources = {path.name: text.split("\n")}
    for name in re.findall(r"^ *from: (shared/\S+)", text, re.MULTILINE):
        if (BAD / name).is_file():
            shared, more = _unmarked(BAD / name)
            sources[name] = shared.split("\n")
            expected |= more
    _, procedure, problems = _read(path)
    assert _found(problems) == expected, render_all(problems, sources)
    assert procedure is None
    for problem in problems:
        place = problem.place
        lines = sources[place.file]
        assert 1 <= place.column and place.column + place.length <= len(lines[place.line - 1]) + 1


def test_both_yaml_loaders_tell_the_same() -> None:
    fast = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    compared = 0
    for path in [SHIPPED, *FILES]:
        text = path.read_text(encoding="utf-8") if path == SHIPPED else _unmarked(path)[0]
        read = read_yaml(text, path.name, fast)
        if path == SHIPPED or read[1]:  # without a problem in the YAML one file is like another
            compared += 1
            assert read == read_yaml(text, path.name, yaml.BaseLoader), path.name
    assert compared > 30


def test_no_message_scolds_or_speaks_of_the_program() -> None:
    words = r"error|invalid|please|oops|nonetype|str|int|dict|mapping|scalar|sequence|token|node"
    for path in FILES:
        for problem in _read(path)[2]:
            assert not re.search(rf"\b({words})\b", f"{problem.what} / {problem.fix}".lower()), problem
            assert problem.what and problem.fix and not problem.what.endswith("."), problem


def test_no_message_lets_a_control_character_through() -> None:
    for path in FILES:
        text, _, problems = _read(path)
        for problem in problems:
            assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]", render(problem, text.split("\n")))


MISTAKES = {
    "1. a dash forgotten": "a-dash-forgotten-twice-the-same",
    "1b. a dash forgotten before another sort of step": "a-dash-forgotten",
    "2. a second colon in a text": "a-second-colon",
    "3. ' #' in a text": "a-text-cut-by-hash",
    "4. brackets round sentences": "brackets-round-sentences",
    "5. a number without a unit": "a-number-without-a-unit",
    "6. a decimal comma": "a-decimal-comma",
    "7. a degree sign": "a-degree-sign",
    "8. a difference written in degC": "a-difference-in-degrees",
    "9. a space in a name": "a-name-with-spaces-in-a-formula",
    "10. used before it is known": "a-value-made-later",
    "11. which seat?": "a-value-of-which-seat",
    "12. a check on a group": "a-check-on-a-group",
    "13. a limit from nowhere": "a-limit-from-nowhere",
    "14. no way out": "no-way-out",
    "15. a wait that nobody starts": "a-wait-nobody-starts",
    "a tab": "a-tab",
    "an indent that fits no list": "an-indent-that-fits-nothing",
    "a quote that never ends": "a-quote-that-never-ends",
    "many faults at once": "many-faults-at-once",
}


def test_the_first_mistakes_are_told_in_the_words_of_the_trade(golden: Callable[[str, str], None]) -> None:
    told = []
    for title, name in MISTAKES.items():
        path = FILES[0].with_name(f"{name}.yaml")
        text, _, problems = _read(path)
        told.append(f"== {title}\n" + render_all(problems, {path.name: text.split("\n")}))
    golden("messages.txt", "\n\n".join(told))
