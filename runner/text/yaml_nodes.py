"""YAML as nodes with line and column. The only door to PyYAML.

Every scalar stays the text that was typed: `12:30`, `no` and `0.050` are what they look like. Anchors, aliases,
tags, merge keys, block texts and keys said twice are problems; so is a file too large or nested too deep. Nothing in
a file is ever run.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from runner.text.complaints import QUOTE_IT, block_text, complaint, escape
from runner.text.foreign import DOES_NOT_SHOW, has_unprintable, one_line
from runner.text.lookalikes import letters_told, mixed_word
from runner.text.problem import Place, Problem

_CONTENT = (yaml.ScalarEvent, yaml.CollectionStartEvent, yaml.AliasEvent)
_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

LARGEST_FILE = 10_000_000
"""Bytes, and characters; with `_MOST_EVENTS` far over ten thousand steps, the longest procedure there is has a few hundred."""
_MOST_LINES = 400_000
_MOST_EVENTS = 180_000
_MOST_INSIDE = 40_000
"""Keys and values in one item, or items in one list."""
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
        for entry in self.entries:
            if entry.key.text == key:
                return entry.value
        return None


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
    reader = _Reader(file, lines)
    try:
        root = reader.read(yaml.parse(text, Loader=loader))
    except _Refused as why:
        return None, [why.problem]
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
    if reader.forbidden:
        return None, reader.forbidden
    if root is None:
        return None, [
            Problem(
                "empty-file", Place(file, 1, 1), "the file is empty", "write into it, or fetch a good copy"
            )
        ]
    return root, reader.problems


def decode(data: bytes, file: str) -> tuple[str | None, list[Problem]]:
    """The text of a file's bytes (UTF-8, with or without a byte order mark), or the problem that it is none."""
    start = Place(file, 1, 1)
    if len(data) > LARGEST_FILE:
        return None, [
            Problem(
                "too-large",
                start,
                f"the file has {len(data):,} bytes; a procedure has at most {LARGEST_FILE:,}",
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
    """What stands in a text that YAML isn't asked about: too much of it, and signs that don't show or look like others."""
    lines = text.split("\n")
    much = f"{len(text):,} characters" if len(text) > LARGEST_FILE else ""
    much = f"{len(lines):,} lines" if len(lines) > _MOST_LINES else much
    if much:
        most = f"{LARGEST_FILE:,} characters and {_MOST_LINES:,} lines"
        what = f"the file has {much}; a procedure has at most {most}"
        return [Problem("too-large", Place(file, 1, 1), what, "check that this is the file you mean")]
    if max(map(len, lines)) <= _LONGEST_LINE and not _is_suspect(text):
        return []
    problems = []
    for number, line in enumerate(lines, 1):
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
        odd = DOES_NOT_SHOW.search(line)
        if odd:
            what = f"a character that does not show (U+{ord(odd[0][0]):04X})"
            problems.append(Problem("unprintable", Place(file, number, odd.start() + 1), what, "take it out"))
        if mixed := mixed_word(line):
            what = (
                f"'{mixed[0][:40]}' mixes alphabets: {letters_told(mixed[0])} only looks like a Latin letter"
            )
            at = Place(file, number, mixed.start() + 1, len(mixed[0]))
            problems.append(Problem("look-alike", at, what, "type the word anew"))
        if len(problems) >= 20:
            break
    return problems[:20]


_ODD_ASCII = re.compile("[\x00-\x08\t\x0b\x0c\x0e-\x1f\x7f]")


def _is_suspect(text: str) -> bool:
    """Whether any line has something to be told; a look at the whole, for a large file has many lines."""
    if _ODD_ASCII.search(text) or "\r" in text or text.startswith("%") or "\n%" in text:
        return True
    return not text.isascii() and bool(DOES_NOT_SHOW.search(text) or mixed_word(text))


_HASH = re.compile(r" +(#\S+)")
_HALF = re.compile("[\ud800-\udfff]")
"""Halves of a character, which an escape can write and no file can keep."""


def _escaped(node: Any, file: str, lines: list[str]) -> Problem:
    """A text in double quotes whose escapes make what does not show, at the first of them."""
    place = _place(node.start_mark, file)
    line = lines[place.line - 1]
    found = re.compile(r'\\[^"\\/]').search(line, place.column)
    return escape(Place(file, place.line, found.start() + 1) if found else place, line if found else "")


class _Refused(Exception):
    """A file that is not read on."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.what)
        self.problem = problem


class _Reader:
    """
    Turns PyYAML's events into our nodes in one go. `forbidden` gathers what procedures do without (then there is no tree),
    `problems` what can be read past.
    """

    def __init__(self, file: str, lines: list[str]) -> None:
        self.file, self.lines = file, lines
        self.problems: list[Problem] = []
        self.forbidden: list[Problem] = []
        self.count = self.depth = 0

    def read(self, events: Iterator[Any]) -> Node | None:
        root = None
        looked_at = self._looked_at(events)
        for event in looked_at:
            if isinstance(event, _CONTENT):
                root = self.node(event, looked_at)
            elif isinstance(event, yaml.DocumentStartEvent) and self.count > 2 and event.explicit:
                place, fix = _place(event.start_mark, self.file), "keep one in this file"
                self._forbid("second-document", place, "a second document begins here", fix)
                break
            if len(self.forbidden) >= 20:
                break
        return root

    def _looked_at(self, events: Iterator[Any]) -> Iterator[Any]:
        """The same events, held against what a file may not have."""
        for event in events:
            self.count += 1
            if self.count > _MOST_EVENTS:
                self._refuse("too-large", event, "the file has too many parts to be a procedure")
            if isinstance(event, yaml.NodeEvent) and len(self.forbidden) < 20:
                self._look(event)
            if isinstance(event, yaml.CollectionStartEvent):
                self.depth += 1
                if self.depth > _DEEPEST:
                    what, fix = f"nested more than {_DEEPEST} deep", "a procedure needs at most eight levels"
                    self._refuse("too-deep", event, what, fix)
            elif isinstance(event, yaml.CollectionEndEvent):
                self.depth -= 1
            yield event

    def _refuse(
        self, kind: str, event: Any, what: str, fix: str = "check that this is the file you mean"
    ) -> None:
        raise _Refused(Problem(kind, _place(event.start_mark, self.file), what, fix))

    def _forbid(self, kind: str, place: Place, what: str, fix: str) -> None:
        self.forbidden.append(Problem(kind, place, what, fix))

    def _look(self, event: Any) -> None:
        if (
            isinstance(event, yaml.ScalarEvent)
            and not event.value.isprintable()
            and _HALF.search(event.value)
        ):
            # one of the two loaders stops here, so neither goes on
            raise _Refused(_escaped(event, self.file, self.lines))
        if event.anchor is None and getattr(event, "tag", None) is None:
            return
        place = _place(event.start_mark, self.file)
        if isinstance(event, yaml.AliasEvent):
            what = f"'*{event.anchor}' points at another place in the file"
            self._forbid("alias", place, what, "write the text out here")
        elif event.anchor:
            what, fix = (
                f"'&{event.anchor}' names a place in the file",
                "leave it out, or put the text in quotes",
            )
            self._forbid("anchor", place, what, fix)
        elif event.tag is not None:
            what = "what begins with '!' is a tag in YAML, and would not be shown"
            self._forbid("tag", place, what, "leave it out, or put the text in quotes")

    def node(self, event: Any, events: Iterator[Any]) -> Node:
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event)
        place = _place(event.start_mark, self.file)
        if isinstance(event, yaml.AliasEvent):
            return Scalar("", place, False, False)
        inside = []
        for one in events:
            if isinstance(one, yaml.CollectionEndEvent):
                break
            inside.append(self.node(one, events))
            if len(inside) > _MOST_INSIDE:
                self._refuse("too-large", one, "one list or item has too many parts to be a procedure's")
        if isinstance(event, yaml.SequenceStartEvent):
            return Sequence(tuple(inside), place, bool(event.flow_style))
        return Mapping(self.entries(inside, event.start_mark.line + 1), place)

    def scalar(self, event: Any) -> Scalar:
        mark, end, value = event.start_mark, event.end_mark, event.value
        style = event.style or ""
        quoted = style in ("'", '"')
        line = self.lines[mark.line] if mark.line < len(self.lines) else ""
        start = mark.column + quoted
        as_written = mark.line == end.line and line.startswith(value, start)
        if value:
            place = Place(self.file, mark.line + 1, start + 1, len(value) if as_written else 1)
        else:
            place = self._behind(mark)
        if style in ("|", ">"):
            self.problems.append(block_text(place))
        elif style == '"' and has_unprintable(value):
            self.problems.append(_escaped(event, self.file, self.lines))
        elif mark.line != end.line and "\n" in value:
            self.problems.append(block_text(place))
        elif not quoted and as_written and value and "#" in line:
            self._cut_by_hash(value, line, place)
        return Scalar(value if value.isprintable() else one_line(value), place, quoted, as_written)

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

    def entries(self, inside: list[Node], begins: int) -> tuple[Entry, ...]:
        entries: list[Entry] = []
        first: dict[str, Scalar] = {}
        said_again: set[str] = set()
        again = 0
        for key, value in zip(inside[::2], inside[1::2], strict=True):
            if not isinstance(key, Scalar):
                what, fix = (
                    "a key that is itself a list or a group",
                    "a key is one word or a few, then a colon",
                )
                self.problems.append(Problem("odd-key", key.place, what, fix))
                continue
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
                what = f"'{key.text}' is said twice in the item that begins on line {begins}"
                what += f"; the first is on line {before}" if before != begins else ""
                fix = (
                    f"a new step begins with a dash: - {key.text}: …"
                    if len(entries) and entries[0].key.text == key.text
                    else "keep one of the two"
                )
                self.problems.append(Problem("duplicate-key", key.place, what, fix))
            first.setdefault(key.text, key)
            entries.append(Entry(key, value))
        return tuple(entries)


def _place(mark: Any, file: str) -> Place:
    return Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1)


def _syntax_problem(wrong: yaml.MarkedYAMLError, file: str, lines: list[str]) -> Problem:
    met = _place(wrong.problem_mark or wrong.context_mark, file)
    began = _place(wrong.context_mark, file) if wrong.context_mark else met
    return complaint(f"{wrong.problem or ''} {wrong.context or ''}", met, began, lines)
