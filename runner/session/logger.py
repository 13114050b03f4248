"""A temperature logger's file as rows of UTC moment and temperature, read while it grows. What it says is never trusted:
its size is bounded, each line that can't be read is told in a sentence, and a last line half written is left for later.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import BinaryIO

from runner.job.intents import LoggerRow

MOST_BYTES = 400_000
"""Of one reading: some four hours of a row a second. What comes after it is for the next."""
LONGEST_FILE = 100_000_000
"""Bytes; what was read of a file is looked at again each time, so that nobody changes it unseen."""
LONGEST_LINE = 200
"""Characters; a row of a logger has some forty."""
MOST_SAID = 20
"""Sentences about one reading; the rest is counted."""

_DATE = r"(?:(?P<y>\d{4})-(?P<m>\d\d)-(?P<d>\d\d)|(?P<d2>\d{1,2})[./-](?P<m2>\d{1,2})[./-](?P<y2>\d{4}))"
_TIME = r"(?P<h>\d{1,2}):(?P<min>\d\d)(?::(?P<s>\d\d)(?:[.,](?P<f>\d{1,6}))?)?"
_ZONE = r"(?P<zone>Z|[+-]\d\d:?\d\d)?"
_MOMENT = rf"{_DATE}(?:T|[ ;,\t]\s*){_TIME}\s*{_ZONE}"
_ROW = re.compile(
    rf"\s*\"?{_MOMENT}\"?\s*[;,\t]\s*\"?(?P<number>[+-]?\d{{1,5}}(?:[.,]\d{{1,6}})?)\"?\s*(?:[;,\t].*)?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class LoggerReading:
    """The rows of a text in the order of time, each moment once, and what could not be read."""

    rows: tuple[LoggerRow, ...]
    said: tuple[str, ...]


def parse_rows(text: str, zone: tzinfo, first_line: int = 1) -> LoggerReading:
    """
    The rows of whole lines. A moment without a zone is the shop's; a day comes before its month unless the year is first.
    The first line of a file may be a header. Of two rows for one moment that differ neither counts.
    """
    said: list[str] = []
    found: dict[datetime, LoggerRow] = {}
    doubled: set[datetime] = set()
    for at, line in enumerate(text.splitlines(), first_line):
        if not line.strip():
            continue
        row = _row(line, at, zone)
        if isinstance(row, str):
            if at > 1 or re.match(r"[\s\"]*\d", line):
                said.append(f"line {at}: {row}")
        elif row.utc not in found:
            found[row.utc] = row
        elif found[row.utc].number != row.number:
            doubled.add(row.utc)
            said.append(f"line {at}: another temperature for the moment of line {found[row.utc].line}")
    rows = sorted((row for row in found.values() if row.utc not in doubled), key=lambda row: row.utc)
    if len(said) > MOST_SAID:
        said = [*said[:MOST_SAID], f"and {len(said) - MOST_SAID} more lines that could not be read"]
    return LoggerReading(tuple(rows), tuple(said))


def _row(line: str, at: int, zone: tzinfo) -> LoggerRow | str:
    if len(line) > LONGEST_LINE:
        return f"it has {len(line)} characters, and a row has at most {LONGEST_LINE}"
    found = _ROW.fullmatch(line)
    if found is None:
        return "no date, time and temperature could be read in it"
    one = found.groupdict()
    try:
        local = datetime(
            int(one["y"] or one["y2"]),
            int(one["m"] or one["m2"]),
            int(one["d"] or one["d2"]),
            int(one["h"]),
            int(one["min"]),
            int(one["s"] or 0),
            int((one["f"] or "0").ljust(6, "0")),
        )
        utc = _utc(local, one["zone"] or "", zone)
    except (ValueError, OverflowError):
        return "its date or time is none that there is"
    if isinstance(utc, str):
        return utc
    return LoggerRow(at, utc, one["number"], Fraction(one["number"].replace(",", ".")))


def _utc(local: datetime, written: str, zone: tzinfo) -> datetime | str:
    """The moment in UTC; a time that the shop's clock shows twice or never is not guessed at."""
    if written:
        if written == "Z":
            return local.replace(tzinfo=UTC)
        sign = -1 if written[0] == "-" else 1
        ahead = timedelta(hours=int(written[1:3]), minutes=int(written[-2:])) * sign
        return (local - ahead).replace(tzinfo=UTC)
    one, two = (local.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    if one != two:
        return "the shop's clock was changed at that hour, and the row doesn't say which of the two it is"
    return one


@dataclass(frozen=True, slots=True)
class SoFar:
    """How far a file has been read: in bytes and lines, and the hash of all that."""

    read_bytes: int = 0
    read_lines: int = 0
    sha256: str = ""


class LoggerFile:
    """A logger's file and how far it has been read; `read` gives what came since, as whole lines only."""

    def __init__(self, path: Path, zone: tzinfo, so_far: SoFar | None = None) -> None:
        self.path, self.zone, self.so_far = path, zone, so_far or SoFar()

    @property
    def sha256(self) -> str:
        """The hash of all that has been read so far."""
        return self.so_far.sha256

    def read(self) -> LoggerReading:
        """
        The rows written since the last reading, and what could not be read. A file that is gone, shorter, or no longer
        what it was as far as it has been read, is said, and nothing is read of it.
        """
        try:
            if not self.path.is_file():
                return self._said("can't be read: it is not there, or is no file")
            with self.path.open("rb") as file:
                size = file.seek(0, 2)
                if size > LONGEST_FILE:
                    return self._said("can't be read: it has over a hundred million characters")
                if size < self.so_far.read_bytes:
                    return self._said("is shorter than it was; it is another file now")
                before = _hash_of(file, self.so_far.read_bytes)
                more = file.read(MOST_BYTES)
        except OSError as why:
            return self._said(f"can't be read: {why.strerror or 'the disk said no'}")
        if self.so_far.read_bytes and before.hexdigest() != self.sha256:
            return self._said("is not what it was when it was read last; it is another file now")
        whole = more[: more.rfind(b"\n") + 1]
        if not whole and len(more) == MOST_BYTES:
            return self._said("has no end of line in four hundred thousand characters")
        before.update(whole)
        reading = parse_rows(self._text(whole), self.zone, self.so_far.read_lines + 1)
        self.so_far = SoFar(
            self.so_far.read_bytes + len(whole),
            self.so_far.read_lines + whole.count(b"\n"),
            before.hexdigest(),
        )
        return reading

    def _text(self, whole: bytes) -> str:
        """Lines that end in one way only, so that they are counted as they were in the file."""
        first = self.so_far.read_bytes == 0
        text = whole.decode("utf-8-sig" if first else "utf-8", errors="replace").replace("\r\n", "\n")
        return re.sub("[\x0b\x0c\x1c-\x1e\x85\u2028\u2029\r]", "?", text)

    def _said(self, what: str) -> LoggerReading:
        return LoggerReading((), (f"{self.path.name} {what}",))


def _hash_of(file: BinaryIO, length: int) -> hashlib._Hash:
    """The hash of the first bytes of a file, which is left behind them."""
    found = hashlib.sha256()
    file.seek(0)
    while length > 0 and (part := file.read(min(length, MOST_BYTES))):
        found.update(part)
        length -= len(part)
    return found


def gaps(rows: Sequence[LoggerRow], most: timedelta) -> list[tuple[LoggerRow, LoggerRow]]:
    """Each two rows next to one another in time that lie further apart than so long."""
    return [(one, two) for one, two in pairwise(rows) if two.utc - one.utc > most]
