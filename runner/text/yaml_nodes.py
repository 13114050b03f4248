"""YAML as nodes with line and column. The only door to PyYAML.

Every scalar stays the text that was typed: `12:30`, `no` and `0.050` are what they look like. Anchors, aliases,
tags, merge keys, block texts and keys said twice are problems; so is a file too large or nested too deep. Nothing in
a file is ever run.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import yaml

from runner.text.complaints import QUOTE_IT, block_text, complaint, escape
from runner.text.foreign import has_unprintable, one_line
from runner.text.problem import Place, Problem

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

LARGEST_FILE = 2_000_000
"""Characters; with `_MOST_EVENTS` about 1,800 steps, a dozen times the longest procedure there is."""
_MOST_EVENTS = 40_000
_MOST_SAID_AGAIN = 1_000
"""Keys said again in one item, after which it is not read on: more than a stage holds whose dashes were all forgotten."""
_DEEPEST = 24
_LONGEST_LINE = 2_000


@dataclass(frozen=True, slots=True)
class Scalar:
    """A text as typed, one line that can be shown. `place` is where its first character stands, inside any quotes."""

    text: str
    place: Place
    quoted: bool
    plain_to_file: bool
    """Whether file column = scalar column + offset holds all through (one line, no escapes)."""


@dataclass(frozen=True, slots=True)
class Sequence:
    items: tuple[Node, ...]
    place: Place
    brackets: bool


@dataclass(frozen=True, slots=True)
class Entry:
    key: Scalar
    value: Node


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys and values in the order of the file. A key said twice stands twice; `get` gives the first."""

    entries: tuple[Entry, ...]
    place: Place

    def get(self, key: str) -> Node | None:
        return next((entry.value for entry in self.entries if entry.key.text == key), None)


Node = Scalar | Sequence | Mapping


def read_yaml(text: str, file: str, loader: Any = _Loader) -> tuple[Node | None, list[Problem]]:
    """
    The tree of a YAML text, or None with the problems that kept it from being read; what can be read past (a key said
    twice, a block text) comes beside a tree. `loader` is one of PyYAML's that leave every scalar a text.
    """
    problems = _unreadable(text, file)
    if problems:
        return None, problems
    lines = text.split("\n")
    try:
        problems = _forbidden(text, file, loader, lines)
        if problems:
            return None, problems
        root = yaml.compose(text, Loader=loader)
    except yaml.MarkedYAMLError as wrong:
        return None, [_syntax_problem(wrong, file, lines)]
    except (yaml.YAMLError, RecursionError):
        return None, [
            Problem(
                "not-yaml",
                Place(file, 1, 1),
                "this is not a YAML file",
                "open it in a text editor and compare it with a shipped procedure",
            )
        ]
    if root is None:
        return None, [
            Problem(
                "empty-file", Place(file, 1, 1), "the file is empty", "write into it, or fetch a good copy"
            )
        ]
    found: list[Problem] = []
    return _Reader(file, lines, found).node(root), found


def decode(data: bytes, file: str) -> tuple[str | None, list[Problem]]:
    """The text of a file's bytes (UTF-8, with or without a byte order mark), or the problem that it is none."""
    start = Place(file, 1, 1)
    if len(data) > 4 * LARGEST_FILE:
        return None, [
            Problem(
                "too-large",
                start,
                f"the file has {len(data):,} bytes; a procedure has at most {LARGEST_FILE:,} characters",
                "check that this is the file you mean",
            )
        ]
    if b"\0" in data and _is_utf_16(data[:128]):
        what = "this file is UTF-16 text, and a procedure is UTF-8"
        return None, [Problem("not-text", start, what, "save the file as UTF-8 in your editor")]
    if b"\0" in data:
        return None, [
            Problem(
                "not-text", start, "this is a binary file, not a text", "check that this is the file you mean"
            )
        ]
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError as wrong:
        before = data[: wrong.start].decode("utf-8-sig", errors="replace")
        line = before.count("\n") + 1
        column = len(before) - (before.rfind("\n") + 1) + 1
        return None, [
            Problem(
                "not-utf8",
                Place(file, line, column),
                "a byte here is not UTF-8 text",
                "save the file as UTF-8 in your editor",
            )
        ]


def _is_utf_16(beginning: bytes) -> bool:
    """Whether a file's first bytes are Latin letters of two bytes each, in either order, with a mark or without."""
    for code in ("utf-16", "utf-16-be"):
        try:
            text = beginning.decode(code)
        except UnicodeDecodeError:
            continue
        if 2 * sum(sign.isascii() and (sign.isprintable() or sign in "\r\n\t") for sign in text) > len(text):
            return True
    return False


def _unreadable(text: str, file: str) -> list[Problem]:
    if len(text) > LARGEST_FILE:
        return [
            Problem(
                "too-large",
                Place(file, 1, 1),
                f"the file has {len(text):,} characters; a procedure has at most {LARGEST_FILE:,}",
                "check that this is the file you mean",
            )
        ]
    problems = []
    for number, line in enumerate(text.split("\n"), 1):
        line = line.removesuffix("\r")
        if len(line) > _LONGEST_LINE:
            problems.append(
                Problem(
                    "line-too-long",
                    Place(file, number, _LONGEST_LINE),
                    f"a line of {len(line):,} characters",
                    "break it up; a line has at most 2,000",
                )
            )
        tab = line.find("\t")
        if line.startswith("%"):
            place = Place(file, number, 1)
            problems.append(Problem("odd-start", place, "a line can't begin with '%'", QUOTE_IT))
        if tab >= 0:
            problems.append(Problem("tab", Place(file, number, tab + 1), "a tab", "use spaces"))
        odd = _ODD.search(line)
        if odd:
            what = f"a character that does not show (U+{ord(odd[0]):04X})"
            problems.append(Problem("unprintable", Place(file, number, odd.start() + 1), what, "take it out"))
    return problems[:20]


_ODD = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff\ud800-\udfff]"
)


_HASH = re.compile(r" +(#\S+)")
_HALF = re.compile("[\ud800-\udfff]")
"""Halves of a character, which an escape can write and no file can keep."""


def _escaped(node: Any, file: str, lines: list[str]) -> Problem:
    """A text in double quotes whose escapes make what does not show, at the first of them."""
    place = _place(node.start_mark, file)
    line = lines[place.line - 1]
    found = re.compile(r'\\[^"\\/]').search(line, place.column)
    return escape(Place(file, place.line, found.start() + 1) if found else place, line if found else "")


def _forbidden(text: str, file: str, loader: Any, lines: list[str]) -> list[Problem]:
    """What stands in the file that procedures do without, found before any tree is built."""
    problems: list[Problem] = []
    depth = count = 0
    for event in yaml.parse(text, Loader=loader):
        count += 1
        place = _place(event.start_mark, file)
        if count > _MOST_EVENTS:
            return [
                Problem(
                    "too-large",
                    place,
                    "the file has too many parts to be a procedure",
                    "check that this is the file you mean",
                )
            ]
        if isinstance(event, yaml.ScalarEvent) and _HALF.search(event.value):
            return [_escaped(event, file, lines)]  # one of the two loaders stops here, so neither goes on
        if isinstance(event, yaml.AliasEvent):
            problems.append(
                Problem(
                    "alias",
                    place,
                    f"'*{getattr(event, 'anchor', '')}' points at another place in the file",
                    "write the text out here",
                )
            )
        elif getattr(event, "anchor", None):
            problems.append(
                Problem(
                    "anchor",
                    place,
                    f"'&{getattr(event, 'anchor', '')}' names a place in the file",
                    "leave it out, or put the text in quotes",
                )
            )
        elif getattr(event, "tag", None) is not None:
            problems.append(
                Problem(
                    "tag",
                    place,
                    "what begins with '!' is a tag in YAML, and would not be shown",
                    "leave it out, or put the text in quotes",
                )
            )
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
            if depth > _DEEPEST:
                return [
                    Problem(
                        "too-deep",
                        place,
                        f"nested more than {_DEEPEST} deep",
                        "a procedure needs at most eight levels",
                    )
                ]
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif isinstance(event, yaml.DocumentStartEvent) and count > 2 and event.explicit:
            problems.append(
                Problem("second-document", place, "a second document begins here", "keep one in this file")
            )
            return problems
        if len(problems) >= 20:
            return problems
    return problems


class _Reader:
    """Turns PyYAML's nodes into ours and notes what stands twice."""

    def __init__(self, file: str, lines: list[str], problems: list[Problem]) -> None:
        self.file, self.lines, self.problems = file, lines, problems

    def node(self, node: Any) -> Node:
        if isinstance(node, yaml.ScalarNode):
            return self.scalar(node)
        place = _place(node.start_mark, self.file)
        if isinstance(node, yaml.SequenceNode):
            return Sequence(tuple(self.node(item) for item in node.value), place, bool(node.flow_style))
        return Mapping(self.entries(node), place)

    def scalar(self, node: Any) -> Scalar:
        mark, end = node.start_mark, node.end_mark
        style = node.style or ""
        quoted = style in ("'", '"')
        line = self.lines[mark.line] if mark.line < len(self.lines) else ""
        start = mark.column + quoted
        as_written = mark.line == end.line and line[start : start + len(node.value)] == node.value
        place = Place(self.file, mark.line + 1, start + 1, max(1, len(node.value) if as_written else 1))
        if not node.value:
            place = self._behind(mark)
        if style in ("|", ">"):
            self.problems.append(block_text(place))
        elif style == '"' and has_unprintable(node.value):
            self.problems.append(_escaped(node, self.file, self.lines))
        elif mark.line != end.line and "\n" in node.value:
            self.problems.append(block_text(place))
        elif not quoted and as_written and node.value:
            self._cut_by_hash(node.value, line, place)
        return Scalar(one_line(node.value), place, quoted, as_written)

    def _behind(self, mark: Any) -> Place:
        """Where nothing stands: the last letter before it, for the loaders differ in how far on they put it."""
        line = min(mark.line, len(self.lines) - 1)
        before = self.lines[line][: mark.column].rstrip()
        while not before and line:
            line -= 1
            before = self.lines[line].rstrip()
        return Place(self.file, line + 1, max(1, len(before)))

    def _cut_by_hash(self, value: str, line: str, place: Place) -> None:
        end = place.column - 1 + len(value)
        if mark := _HASH.match(line, end):
            place = Place(self.file, place.line, mark.start(1) + 1, len(mark[1]))
            self.problems.append(
                Problem(
                    "cut-by-hash",
                    place,
                    f"the text ends here, at ' #': only '{value}' would be shown",
                    "write 'No.' for '#', or put the whole text in double quotes",
                )
            )

    def entries(self, node: Any) -> tuple[Entry, ...]:
        entries: list[Entry] = []
        first: dict[str, Scalar] = {}
        said_again: set[str] = set()
        again = 0
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                place = _place(key_node.start_mark, self.file)
                self.problems.append(
                    Problem(
                        "odd-key",
                        place,
                        "a key that is itself a list or a group",
                        "a key is one word or a few, then a colon",
                    )
                )
                continue
            key = self.scalar(key_node)
            if key.text == "<<":
                self.problems.append(
                    Problem(
                        "merge-key",
                        key.place,
                        "'<<' takes in another place of the file",
                        "write the keys out here",
                    )
                )
                continue
            if key.text in first and entries[0].key.text in said_again:
                again += 1  # all that follows a forgotten dash is said again; one message is enough
                if again > _MOST_SAID_AGAIN:
                    break
            elif key.text in first:
                said_again.add(key.text)
                before = first[key.text].place.line
                begins = node.start_mark.line + 1
                what = f"'{key.text}' is said twice in the item that begins on line {begins}"
                what += f"; the first is on line {before}" if before != begins else ""
                fix = (
                    f"a new step begins with a dash: - {key.text}: …"
                    if len(entries) and entries[0].key.text == key.text
                    else "keep one of the two"
                )
                self.problems.append(Problem("duplicate-key", key.place, what, fix))
            first.setdefault(key.text, key)
            entries.append(Entry(key, self.node(value_node)))
        return tuple(entries)


def _place(mark: Any, file: str) -> Place:
    return Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1)


def _syntax_problem(wrong: yaml.MarkedYAMLError, file: str, lines: list[str]) -> Problem:
    met = _place(wrong.problem_mark or wrong.context_mark, file)
    began = _place(wrong.context_mark, file) if wrong.context_mark else met
    return complaint(f"{wrong.problem or ''} {wrong.context or ''}", met, began, lines)
