"""
Whether a job file is what was kept: its chain, its structure, and what was printed of it on paper.

A chain shows every change inside. It can't show a cut end, an older copy or a file made up from the start;
only the count and head hash on a print can, and a verdict without them says so.
"""

from __future__ import annotations

import re
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from runner.journal import layout
from runner.journal.rows import NO_HEAD, KeptRow, walk

_SHORTEST = 16
# Leading digits of a head hash that are enough to copy from paper: 64 bits, far past chance.


@dataclass(frozen=True, slots=True)
class Verdict:
    """`count` and `head` are of the entries that stand; `first_bad` is the first that doesn't, where one can be named."""

    ok: bool
    count: int
    head: str
    first_bad: int | None
    sentence: str


def verify(path: Path, *, count: int | None = None, head: str | None = None) -> Verdict:
    """
    Whether the file stands, and against a print's `count` and `head` too, where given.

    `head` may be cut to its first 16 digits and hold spaces. Refuses (CannotRead) what isn't a job file at all.
    """
    with layout.reading(path) as db:
        raw, stopped = layout.raw_rows(db)
        sound = _is_sound(db)
    kept, broken = walk(raw)
    name = f"job file {path.name}"
    if broken or stopped:
        seq = broken.seq if broken else len(kept) + 1
        why = broken.why if broken else "the file is damaged there"
        return _verdict(kept, seq, f"{name} can't be trusted from entry {seq} on: {why}")
    if not sound:
        return _verdict(
            kept, None, f"the entries of {name} follow from one another, but the file around them is damaged"
        )
    if count is None and head is None:
        return Verdict(True, len(kept), _head_of(kept), None, _whole(name, kept))
    return _against_print(kept, name, count, None if head is None else "".join(head.split()).lower())


def _against_print(kept: list[KeptRow], name: str, count: int | None, head: str | None) -> Verdict:
    heads = [NO_HEAD, *(row.hash for row in kept)]
    if head is not None and not re.fullmatch(f"[0-9a-f]{{{_SHORTEST},64}}", head):
        return _verdict(
            kept,
            None,
            f"the printed hash can't be compared: at least its first {_SHORTEST} digits (0-9, a-f) are needed",
        )
    if count is not None and count < 0:
        return _verdict(kept, None, "the printed count can't be compared: it is a number from 0 up")
    if count is not None and len(kept) < count:
        return _verdict(
            kept,
            len(kept) + 1,
            f"{name} holds {len(kept)} entries and the print says {count}: its end was cut off, or it is an older copy",
        )
    places = range(len(heads)) if count is None else (count,)
    place = next((place for place in places if head is None or heads[place].startswith(head)), None)
    if place is not None:
        return Verdict(True, len(kept), heads[-1], None, _as_printed(name, kept, place, head))
    if count is None:
        why = f"the printed hash is in none of the {len(kept)} entries of {name}: its end was cut off, it is an older copy"
        return _verdict(kept, None, f"{why}, or it was made again from the start")
    why = f"entry {count} of {name} has another hash than the print: the file was made again up to there"
    return _verdict(kept, None, f"{why}, or the print is of another job")


def _as_printed(name: str, kept: list[KeptRow], place: int, head: str | None) -> str:
    since = f"{len(kept) - place} were added since"
    if head is None:
        return (
            f"{name} holds the {place} entries of the print, each follows from the one before, {since};"
            " whether it was made again from the start can't be told without the printed hash"
        )
    return f"{name} is the one that was printed: after entry {place} its hash is the printed one, {since}"


def _whole(name: str, kept: list[KeptRow]) -> str:
    return (
        f"all {len(kept)} entries of {name} follow from one another as they were kept; whether its end was cut off,"
        " it is an older copy, or it was made again from the start can't be told without a printed count and hash"
    )


def _verdict(kept: list[KeptRow], first_bad: int | None, sentence: str) -> Verdict:
    return Verdict(False, len(kept), _head_of(kept), first_bad, sentence)


def _head_of(kept: list[KeptRow]) -> str:
    return kept[-1].hash if kept else NO_HEAD


def _is_sound(db: sqlite3.Connection) -> bool:
    try:
        return bool(db.execute("pragma integrity_check(1)").fetchone() == ("ok",))
    except sqlite3.DatabaseError:
        return False
