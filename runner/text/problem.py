"""What is wrong with a file, where, and one thing to do about it. The only place that draws a caret."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from runner.text.foreign import one_line, shown


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a piece of text stands: line and column count from 1, in characters; `length` is what the caret marks."""

    file: str
    line: int
    column: int
    length: int = 1

    def right(self, offset: int, length: int) -> Place:
        """The place `offset` characters further along the same line."""
        return Place(self.file, self.line, self.column + offset, length)


@dataclass(frozen=True, slots=True)
class Problem:
    """
    One thing wrong with a file. `kind` is a stable slug for tests, `what` one line without a full stop,
    `fix` one thing to do. A warning is something that most likely is wrong; it stops nothing.
    """

    kind: str
    place: Place
    what: str
    fix: str
    warning: bool = False


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """The problems by place, each said once: one fault on one spot gives one message of its kind."""
    seen: dict[tuple[Place, str], Problem] = {}
    for problem in problems:
        seen.setdefault((problem.place, problem.kind), problem)
    return sorted(seen.values(), key=lambda problem: problem.place)


def render(problem: Problem, lines: Sequence[str]) -> str:
    """The problem with its source line, a caret under the spot and the fix, as plain text without control characters."""
    place = problem.place
    word = "warning: " if problem.warning else ""
    head = f"{shown(place.file)}:{place.line}:{place.column}: {word}{one_line(problem.what)}"
    number = f"{place.line:>5}"
    if not 1 <= place.line <= len(lines):
        return f"{head}\n  fix: {one_line(problem.fix)}"
    source, start = _cut(lines[place.line - 1], place.column)
    length = max(1, min(place.length, len(source) - start + 1))
    caret = " " * (start - 1) + "^" * length
    return f"{head}\n{number} | {source}\n{' ' * 5} | {caret}\n  fix: {one_line(problem.fix)}"


def render_all(problems: Iterable[Problem], sources: Mapping[str, Sequence[str]]) -> str:
    """All problems in order, a blank line between them; `sources` gives the lines of each file by its name."""
    return "\n\n".join(render(problem, sources.get(problem.place.file, ())) for problem in in_order(problems))


def _cut(line: str, column: int) -> tuple[str, int]:
    """A line short enough to read, and where the column then stands in it."""
    plain = one_line(line)
    if len(plain) <= 160:
        return plain, column
    start = max(0, column - 60)
    return "…" + plain[start : start + 120] + "…", column - start + 1
