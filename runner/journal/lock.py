"""
One writer per job file: an flock on a small file beside it, which the kernel lets go when its holder dies.

The lock file's text says who holds it. It is never deleted: two programs could then each hold one.
A child made by fork shares its parent's lock.
"""

from __future__ import annotations

import os
import platform
import re
import stat
from pathlib import Path

from runner.journal.faults import JournalLocked, NotKept, cannot_write

try:
    import fcntl
except ImportError:  # a system without flock; it can still read
    fcntl = None  # type: ignore[assignment]

_HOLDER = re.compile(r"process (?P<pid>\d{1,10})\non (?P<host>[^\n]*)\nsince (?P<since>[^\n]*)\n")
_UTC = re.compile(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::\d\d(?:\.\d+)?)?Z", re.ASCII)
_LONGEST = 60
# Letters of a name from the lock file that are shown.


class WriterLock:
    """The right to write one job file, held until `release` or the end of the process."""

    def __init__(self, handle: int) -> None:
        self._handle: int | None = handle

    @classmethod
    def take(cls, path: Path, now: str) -> WriterLock:
        """The lock for the job file at `path`. Refuses (JournalLocked) while another holds it, at once."""
        if fcntl is None:
            raise cannot_write(
                path,
                "this system has no file locks (flock), so two programs could write at once",
                "read it here, write it on Linux or macOS",
            )
        handle = _opened(path)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            os.ftruncate(handle, 0)
            os.pwrite(
                handle,
                f"process {os.getpid()}\non {_one_line(platform.node())}\nsince {_one_line(now)}\n".encode(),
                0,
            )
        except BlockingIOError as error:
            text = os.pread(handle, 1000, 0).decode("utf-8", "replace")
            os.close(handle)
            raise _locked(path, text) from error
        except OSError as error:
            os.close(handle)
            raise cannot_write(
                path,
                f"its lock file {lock_path(path).name} can't be used there",
                "keep job files on a local disk with room on it",
            ) from error
        return cls(handle)

    def release(self) -> None:
        """Lets the next writer in. A second call does nothing."""
        if self._handle is None:
            return
        handle, self._handle = self._handle, None
        try:
            os.ftruncate(handle, 0)
        finally:
            os.close(handle)


def lock_path(path: Path) -> Path:
    """41.lock for 41.db."""
    return path.with_suffix(".lock")


def _opened(path: Path) -> int:
    beside = lock_path(path)
    try:
        handle = os.open(beside, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW, 0o666)
    except OSError as error:
        raise _no_lock_file(path) from error
    found = os.fstat(handle)
    # A link would let the holder's name be written over some other file.
    if not stat.S_ISREG(found.st_mode) or found.st_nlink != 1:
        os.close(handle)
        raise cannot_write(
            path, f"its lock file {beside.name} is a link or not a file at all", f"move {beside} away"
        )
    return handle


def _no_lock_file(path: Path) -> NotKept:
    beside = lock_path(path)
    return cannot_write(
        path,
        f"this user may not write {beside.name} in {beside.parent}, or the disk there is read-only",
        f"let this user write to {beside.parent}, or copy the job file to a folder where they may",
    )


def _locked(path: Path, text: str) -> JournalLocked:
    told = _HOLDER.fullmatch(text)
    pid = int(told["pid"]) if told else None
    host, since = (_one_line(told["host"]), _one_line(told["since"])) if told else ("", "")
    when = _UTC.sub(r"\1 \2 UTC", since)
    holder = (
        f"process {pid} on {host}" + (f", since {when}" if when else "") if told else "it does not say which"
    )
    return JournalLocked(
        f"job file {path.name} is being written by another program ({holder})",
        "close the job there, then try again; all that is kept can be read meanwhile",
        pid=pid,
        host=host,
        since=since,
    )


def _one_line(text: str) -> str:
    return "".join(sign if sign.isprintable() else "?" for sign in text[:_LONGEST])
