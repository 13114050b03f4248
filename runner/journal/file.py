"""
One job's file: rows are appended at a known position, all of an act or none of it, and stay.

When `append` returns, the rows have reached the disk. When it raises, none of them counts, and the same rows
may be handed over again. Readers hold no transaction and may read beside the writer.
"""

from __future__ import annotations

import errno
import os
import sqlite3
import threading
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

from runner.journal import layout
from runner.journal.faults import (
    AlreadyThere,
    CannotRead,
    OutOfStep,
    broken_at,
    cannot_begin,
    cannot_read,
    cannot_write,
    not_kept,
)
from runner.journal.lock import WriterLock
from runner.journal.rows import NO_HEAD, KeptRow, RawRow, Row, link, text_of, walk


class Journal:
    """
    The one writer of a job file; a context manager. One act at a time, from any thread.

    `now` (UTC) is what the lock file tells others as "since".
    """

    def __init__(self, path: Path, lock: WriterLock) -> None:
        """For `create` and `open` only."""
        self.path = path
        self._lock = lock
        self._one_at_a_time = threading.Lock()
        self._db: sqlite3.Connection | None = None
        self._closed = False
        self._count = 0
        self._head = NO_HEAD

    @classmethod
    def create(cls, path: Path, *, now: str = "") -> Self:
        """A new job file without rows. Refuses (AlreadyThere) to touch one that exists."""
        place = _named_db(path).resolve()
        lock = None
        try:
            if os.path.lexists(path):
                raise _already_there(path)
            _make_folder(place.parent)
            lock = WriterLock.take(place, now)
            _build(place)
            return cls._opened(place, lock)
        except BaseException as error:
            if lock:
                lock.release()
            if isinstance(error, (sqlite3.Error, OSError)):
                raise cannot_begin(path, error) from error
            raise

    @classmethod
    def open(cls, path: Path, *, now: str = "") -> Self:
        """An existing job file, for writing. Refuses a locked one, one that may not be written, and a broken one."""
        with layout.reading(_named_db(path)):
            pass  # a file that isn't ours gets no lock file beside it and no connection that may write
        place = path.resolve()
        lock = WriterLock.take(place, now)
        try:
            if not os.access(place, os.W_OK) or not os.access(place.parent, os.W_OK):
                why = "this user may not write to it and its folder, or the disk there is read-only"
                raise cannot_write(
                    path, why, "let this user write there, or copy the file to a folder where they may"
                )
            return cls._opened(place, lock)
        except BaseException:
            lock.release()
            raise

    @classmethod
    def _opened(cls, path: Path, lock: WriterLock) -> Self:
        journal = cls(path, lock)
        try:
            db = journal._connection()
            layout.recognise(db, path)
            # It also takes back what a killed writer left half done, before anything is read.
            db.execute("begin immediate")
            db.execute("rollback")
            rows = _believed(path, *layout.raw_rows(db))
        except sqlite3.Error as error:
            journal._disconnect()
            raise cannot_begin(path, error) from error
        except BaseException:
            journal._disconnect()
            raise
        if rows:
            journal._count, journal._head = rows[-1].seq, rows[-1].hash
        return journal

    @property
    def count(self) -> int:
        """How many rows are kept, which is also the position of the last one."""
        return self._count

    @property
    def head(self) -> str:
        """The hash of the last row; 64 zeros before the first."""
        return self._head

    def append(self, expected: int, rows: Sequence[Row]) -> list[KeptRow]:
        """
        The rows as they are now kept, durably, after row `expected`, the last one the caller knows.

        Raises OutOfStep where the file has moved on, NotKept where the disk or a value stands in the way; in both
        cases no row of the act counts. Handing over the same rows again after NotKept is safe, even where the
        disk had taken them and only failed to say so: they are kept once.
        """
        written = [(row, text_of(row)) for row in rows]
        with self._one_at_a_time:
            try:
                kept = self._add(expected, written)
            except (sqlite3.Error, OSError) as error:
                raise not_kept(self.path, error) from error
            if kept:
                self._count, self._head = kept[-1].seq, kept[-1].hash
            return kept

    def read(self, after: int = 0) -> list[KeptRow]:
        """The rows after position `after`. Refuses (CannotRead) rows that aren't what was kept."""
        with self._one_at_a_time:
            try:
                raw, stopped = layout.raw_rows(self._connection(), after)
            except sqlite3.Error as error:
                raise cannot_read(self.path, error) from error
        return _after(self.path, after, raw, stopped)

    def close(self) -> None:
        """Lets the next writer in. A second call does nothing."""
        with self._one_at_a_time:
            self._closed = True
            self._disconnect()
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None
    ) -> None:
        self.close()

    def _add(self, expected: int, written: list[tuple[Row, str]]) -> list[KeptRow]:
        db = self._connection()
        try:
            db.execute("begin immediate")
            position, head = _last(db)
            if position == expected and head == self._head:
                kept, stored = link(head, expected, written)
                db.executemany("insert into entry values (?, ?, ?, ?, ?)", stored)
                db.execute("commit")
                return kept
            kept, _ = link(self._head, expected, written)
            db.execute("rollback")
        except BaseException:
            self._undo(db)
            raise
        if expected == self._count and kept and (position, head) == (kept[-1].seq, kept[-1].hash):
            sync_folder(self.path.parent)
            return kept
        now = f"holds {position} entries and this program knows {expected}"
        raise OutOfStep(
            f"job file {self.path.name} {now if position != expected else 'holds other entries than this program knows'}:"
            " somebody else wrote to it, so nothing of this act is kept",
            "close the job and open it again; it then shows all that is kept",
            found=position,
        )

    def _connection(self) -> sqlite3.Connection:
        if self._closed:
            raise cannot_write(self.path, "it was closed", "open the job again")
        if self._db is None:
            self._db = layout.connect_for_writing(self.path)
        return self._db

    def _undo(self, db: sqlite3.Connection) -> None:
        try:
            if db.in_transaction:
                db.execute("rollback")
        except sqlite3.Error:
            # The next connection takes back what this one could not.
            self._disconnect()

    def _disconnect(self) -> None:
        if self._db is not None:
            self._db.close()
            self._db = None


def read_rows(path: Path, after: int = 0, upto: int | None = None) -> list[KeptRow]:
    """
    The rows after position `after` (and up to `upto`), without a lock, without changing anything on disk.

    Works beside a writer, on read-only media, and after a writer was killed. Refuses (CannotRead) what isn't a
    job file, and rows that aren't what was kept; `upto` reads what stands before a broken place.
    """
    with layout.reading(path) as db:
        raw, stopped = layout.raw_rows(db, after, upto)
    return _after(path, after, raw, stopped)


def _after(path: Path, after: int, raw: list[RawRow], stopped: sqlite3.Error | None) -> list[KeptRow]:
    """What was read from row `after` on, believed; that row itself is only what the next one is tied to."""
    if after <= 0 or not raw:
        return _believed(path, raw, stopped)
    anchor, *rest = raw
    if anchor[0] != after or not isinstance(anchor[4], bytes):
        raise broken_at(path, after, "it is missing")
    return _believed(path, rest, stopped, after, anchor[4].decode("utf-8", "replace"))


def _believed(
    path: Path, raw: list[RawRow], stopped: sqlite3.Error | None, after: int = 0, previous: str = NO_HEAD
) -> list[KeptRow]:
    kept, broken = walk(raw, after, previous)
    if broken:
        raise broken_at(path, broken.seq, broken.why)
    if stopped:
        raise broken_at(path, after + len(kept) + 1, "the file is damaged there") from stopped
    return kept


def _last(db: sqlite3.Connection) -> tuple[int, str]:
    row = db.execute("select seq, hash from entry order by seq desc limit 1").fetchone()
    return (row[0], row[1]) if row else (0, NO_HEAD)


def _named_db(path: Path) -> Path:
    # The lock file takes the place of the suffix; without one, name and lock could be the same file.
    if path.suffix != ".db":
        raise CannotRead(f"{path} is not a job file's name", "name a file that ends in .db")
    return path


def _already_there(path: Path) -> AlreadyThere:
    return AlreadyThere(f"there is a job file at {path} already", "give the new job another number")


def _build(path: Path) -> None:
    """Makes the file under another name first, so that a job file is there whole or not at all."""
    if os.path.lexists(path):
        raise _already_there(path)
    left_over = path.with_name(path.name + "-journal")
    if os.path.lexists(left_over):
        why = f"{left_over.name} lies there from another file of that name and would be mixed into it"
        raise cannot_write(path, why, f"move {left_over} away")
    draft = path.with_name(path.name + ".new")
    for stale in (draft, draft.with_name(draft.name + "-journal")):
        stale.unlink(missing_ok=True)
    try:
        db = layout.connect_for_writing(draft, "rwc")
        try:
            layout.lay_out(db)
        finally:
            db.close()
        draft.rename(path)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def _make_folder(folder: Path) -> None:
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for place in missing:
        sync_folder(place.parent)


def sync_folder(folder: Path) -> None:
    """The folder's own list of names forced to the disk, where its file system can."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        # Some file systems have no sync for folders; they say so in this way.
        if error.errno != errno.EINVAL:
            raise
    finally:
        os.close(handle)
