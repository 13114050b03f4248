"""
A row as the caller gives it, as the file keeps it, and the chain that ties each row to the one before.

Laws: what is read back is what was given; a row's text is one and the same each time it is written
(JSON, keys sorted, no spaces, UTF-8 as it is read by eye: degree signs stay degree signs); each hash
covers the one before it.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, NoReturn

from runner.journal.faults import NotKept

NO_HEAD = "0" * 64
# What stands for "the hash before" at the first row.

_DEEPEST = 64
# Levels of lists and names inside a body. SQLite reads 1000; Python's own reader fails some way below that.

_AT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z", re.ASCII)
_KIND = re.compile(r"[A-Za-z][A-Za-z0-9_.-]{0,63}", re.ASCII)
_HALF = re.compile("[\ud800-\udfff]")

RawRow = tuple[Any, Any, Any, Any, Any]
# seq, then at, kind, body and hash as bytes: as the file holds them, not yet believed.


@dataclass(frozen=True, slots=True)
class Row:
    """One thing to keep. `at` is UTC as 2025-03-04T13:58:02.000000Z, `body` whatever JSON can say."""

    at: str
    kind: str
    body: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class KeptRow:
    """One row as the file holds it; `seq` counts from 1 without a gap, `hash` covers it and all before it."""

    seq: int
    at: str
    kind: str
    body: dict[str, Any]
    hash: str


@dataclass(frozen=True, slots=True)
class Break:
    """The first row that doesn't belong where it stands, and why."""

    seq: int
    why: str


def text_of(row: Row) -> str:
    """
    The row's body as the one text that is kept and hashed.

    Refuses (NotKept) what would come back as something else: names that aren't text, not-a-number and infinity,
    half characters, things JSON has no word for, a time or kind in another shape.
    """
    try:
        if not _AT.fullmatch(row.at) or not _KIND.fullmatch(row.kind):
            _refuse("its time or its kind isn't written the way a job file keeps them")
        if not isinstance(row.body, Mapping):
            _refuse("it has no named values")
        return canonical(_plain(row.body, 0))
    except (TypeError, ValueError) as error:
        raise _refusal("it holds a value that can't be written down and read back the same") from error


def canonical(value: Any) -> str:
    """JSON with sorted names, no spaces, no not-a-number, and letters as they are."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), allow_nan=False, ensure_ascii=False)


def chained(previous: str, seq: int, at: str, kind: str, body: str) -> str:
    """
    SHA-256 over the hash before, followed at once by [seq,"at","kind",body].

    `at` and `kind` hold no letter that JSON would write otherwise, so the text is put together as it is; the
    same text can be put together by a query, see the file's own `about`.
    """
    return hashlib.sha256(f'{previous}[{seq},"{at}","{kind}",{body}]'.encode()).hexdigest()


def link(
    previous: str, after: int, rows: Iterable[tuple[Row, str]]
) -> tuple[list[KeptRow], list[tuple[Any, ...]]]:
    """The rows with place and hash, as the caller gets them back and as they go into the file."""
    kept: list[KeptRow] = []
    stored: list[tuple[Any, ...]] = []
    for seq, (row, body) in enumerate(rows, start=after + 1):
        previous = chained(previous, seq, row.at, row.kind, body)
        kept.append(KeptRow(seq, row.at, row.kind, json.loads(body), previous))
        stored.append((seq, row.at, row.kind, body, previous))
    return kept, stored


def walk(
    raw_rows: Iterable[RawRow], after: int = 0, previous: str = NO_HEAD
) -> tuple[list[KeptRow], Break | None]:
    """The rows that stand, in order, up to the first that doesn't; that one, if there is one."""
    kept: list[KeptRow] = []
    for expected, raw in enumerate(raw_rows, start=after + 1):
        found = _believed(raw, expected, previous)
        if isinstance(found, Break):
            return kept, found
        kept.append(found)
        previous = found.hash
    return kept, None


def _believed(raw: RawRow, expected: int, previous: str) -> KeptRow | Break:
    seq = raw[0]
    if seq != expected:
        later = isinstance(seq, int) and seq > expected
        return Break(expected, "it is missing" if later else "the entries are out of order")
    try:
        at, kind, text, kept_hash = (part.decode() for part in raw[1:])
    except (AttributeError, UnicodeDecodeError):
        return Break(expected, "its letters are damaged")
    if chained(previous, seq, at, kind, text) != kept_hash:
        return Break(
            expected,
            "it doesn't follow from the ones before it, so it was changed, moved or put in, or one was taken out",
        )
    try:
        body = json.loads(text)
        faithful = isinstance(body, dict) and canonical(body) == text
    except (ValueError, RecursionError):
        faithful = False
    if not faithful or not _AT.fullmatch(at) or not _KIND.fullmatch(kind):
        return Break(expected, "it isn't written the way a job file is")
    return KeptRow(seq, at, kind, body, kept_hash)


def _plain(value: Any, depth: int) -> Any:
    if depth > _DEEPEST:
        _refuse(f"its values lie more than {_DEEPEST} levels deep")
    if isinstance(value, str):
        if half := _HALF.search(value):
            _refuse(f"it holds half a character (U+{ord(half[0]):04X}), which no file can hold")
        return value
    if isinstance(value, Mapping):
        if not all(isinstance(name, str) for name in value):
            _refuse("it holds a value whose name isn't text")
        return {_plain(name, depth): _plain(inner, depth + 1) for name, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(inner, depth + 1) for inner in value]
    return value


def _refuse(why: str) -> NoReturn:
    raise _refusal(why)


def _refusal(why: str) -> NotKept:
    return NotKept(f"this act is NOT kept, no part of it: {why}", "type the entry again without it")
