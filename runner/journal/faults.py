"""
What can go wrong with a job file, in the reader's words.

A library's own text never gets into a sentence; it stays behind as `__cause__`.
"""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path


class JournalError(Exception):
    """One sentence on what is wrong, without a full stop; `fix` is one thing to do."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(what)
        self.what = what
        self.fix = fix


class JournalLocked(JournalError):
    """Another program writes this job file; `pid`, `host` and `since` are as its lock file tells."""

    def __init__(self, what: str, fix: str, *, pid: int | None, host: str, since: str) -> None:
        super().__init__(what, fix)
        self.pid = pid
        self.host = host
        self.since = since


class NotKept(JournalError):
    """The act was not kept, no part of it; the same rows may be handed over again."""


class OutOfStep(JournalError):
    """The file holds another number of entries than the writer knows; `found` of them, nothing was added."""

    def __init__(self, what: str, fix: str, *, found: int) -> None:
        super().__init__(what, fix)
        self.found = found


class CannotRead(JournalError):
    """There is no job file there, or it can't be trusted; `first_bad` is the entry where it breaks, if one does."""

    def __init__(self, what: str, fix: str, *, first_bad: int | None = None) -> None:
        super().__init__(what, fix)
        self.first_bad = first_bad


class AlreadyThere(JournalError):
    """A new job file was asked for where one stands; it was not touched."""


TRY_AGAIN = "try again in a moment; if it stays so, close other programs that have the file open"
_FULL = ("the disk is full", "make room on the disk that holds the job file, then try again")
_NOT_TAKEN = (
    "the disk did not take it",
    "look at the disk (room, cable, card, limits for this user), then try again",
)
_NO_RIGHTS = (
    "the disk is read-only, or this user may not write there",
    "let this user write to the job file and its folder, then try again",
)


def cause_of(error: sqlite3.Error) -> str:
    """SQLite's own short name for what happened, such as SQLITE_FULL; empty where it gave none."""
    return getattr(error, "sqlite_errorname", None) or ""


def not_kept(path: Path, error: sqlite3.Error | OSError) -> NotKept:
    """What to say when an act could not be written."""
    why, fix = _reason(error)
    if _is_damage(error):
        return NotKept(f"this act is NOT kept, no part of it: job file {path.name} {why}", fix)
    what = f"this act is NOT kept, no part of it: {why}; all that job file {path.name} held before is safe"
    return NotKept(what, fix)


def cannot_write(path: Path, why: str, fix: str) -> NotKept:
    """What to say when a job file can't be opened for writing at all."""
    return NotKept(f"nothing can be kept in job file {path.name}: {why}", fix)


def cannot_begin(path: Path, error: sqlite3.Error | OSError) -> JournalError:
    """What to say when a job file could not be made or opened for writing, because of `error`."""
    if isinstance(error, sqlite3.Error) and _is_damage(error):
        return cannot_read(path, error)
    return cannot_write(path, *_reason(error))


def _is_damage(error: sqlite3.Error | OSError) -> bool:
    return isinstance(error, sqlite3.Error) and cause_of(error).startswith(
        ("SQLITE_CORRUPT", "SQLITE_NOTADB")
    )


def _reason(error: sqlite3.Error | OSError) -> tuple[str, str]:
    """Why a write failed, and what to do."""
    if isinstance(error, OSError):
        if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
            return _NO_RIGHTS
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            return _FULL
        return _NOT_TAKEN
    name = cause_of(error)
    if _is_damage(error):
        return "is damaged on the disk", "close the job and verify its file"
    if name == "SQLITE_READONLY_DBMOVED":
        return (
            "the file was moved, renamed or replaced while it was open",
            "put the file back, then open the job again",
        )
    if name.startswith("SQLITE_FULL"):
        return _FULL
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return "another program holds the file and doesn't let go", TRY_AGAIN
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")):
        return _NO_RIGHTS
    if name.startswith("SQLITE_IOERR"):
        return _NOT_TAKEN
    return "the file did not take it", "try again; if it stays so, close the job and verify its file"


def cannot_read(path: Path, error: sqlite3.Error) -> CannotRead:
    """What to say when SQLite would not read the file."""
    name = cause_of(error)
    file = f"job file {path.name}"
    if name.startswith("SQLITE_NOTADB"):
        return CannotRead(f"{path} is not a job file", "name a job's own .db file")
    if name.startswith("SQLITE_CORRUPT"):
        return CannotRead(f"{file} is damaged: parts of it can't be read", "fetch the last good copy of it")
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return CannotRead(f"{file} is held by another program just now", TRY_AGAIN)
    if name.startswith(("SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH", "SQLITE_READONLY")):
        return CannotRead(
            f"{file} can't be opened here", "copy it to a folder on this computer and read it there"
        )
    if name.startswith("SQLITE_IOERR"):
        return CannotRead(
            f"the disk does not give {file} back", "look at the disk, or fetch the last good copy of it"
        )
    return CannotRead(f"{file} can't be read", "fetch the last good copy of it")


def broken_at(path: Path, seq: int, why: str) -> CannotRead:
    """What to say when the chain of entries breaks at `seq`."""
    fix = f"verify the file; fetch the last good copy of it, or read it as it stood at entry {seq - 1}"
    return CannotRead(f"job file {path.name} can't be trusted from entry {seq} on: {why}", fix, first_bad=seq)
