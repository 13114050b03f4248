"""
How a job file is laid out, and how SQLite is opened on one.

A file is believed only after its whole schema has been held against ours: it may come from anywhere.
The file is never opened by other means than SQLite: closing such a handle would drop SQLite's own locks.
"""

from __future__ import annotations

import os
import sqlite3
import stat
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from runner.journal.faults import TRY_AGAIN, CannotRead, cannot_read, cause_of
from runner.journal.rows import RawRow

FORMAT = 1
# Counts up when a file is laid out in another way; kept as SQLite's user_version.

_OURS = 0x42484A31
# SQLite's application_id, "BHJ1" in ASCII.

_OLDEST_SQLITE = (3, 37)
# The first SQLite with strict tables; an older one can't even read the file.

_PATIENCE_S = 2.0
# How long one side waits for the other's lock: a commit takes milliseconds, reading a long job some tenths.

# Capitals are how SQLite gives the first two words back.
# The checks use no JSON functions: some SQLite releases refuse those in a schema that isn't trusted.
_TABLES = (
    """CREATE TABLE entry (
  seq integer primary key check (seq > 0),
  at text not null check (at glob '????-??-??T??:??:??.??????Z'),
  kind text not null check (length(kind) > 0),
  body text not null check (body glob '{*}'),
  hash text not null check (length(hash) = 64)
) strict""",
    "CREATE TABLE about (line integer primary key, text text not null) strict",
)

_GUARDS = (
    """CREATE TRIGGER entry_stays before update on entry
begin select raise(abort, 'an entry is never changed'); end""",
    """CREATE TRIGGER entry_remains before delete on entry
begin select raise(abort, 'an entry is never taken out'); end""",
    # It also stops "insert or replace", which would go past the trigger against deleting.
    """CREATE TRIGGER entry_follows before insert on entry
when new.seq is not (select coalesce(max(seq), 0) + 1 from entry)
begin select raise(abort, 'entries follow one another without a gap'); end""",
    """CREATE TRIGGER about_stays before update on about
begin select raise(abort, 'this note is never changed'); end""",
    """CREATE TRIGGER about_remains before delete on about
begin select raise(abort, 'this note is never taken out'); end""",
    """CREATE TRIGGER about_is_whole before insert on about
begin select raise(abort, 'this note is never added to'); end""",
)

HASHED_TEXT = (
    "select seq, hash, coalesce((select hash from entry as e where e.seq = entry.seq - 1), printf('%064d', 0))"
    " || '[' || seq || ',\"' || at || '\",\"' || kind || '\",' || body || ']' as hashed_text from entry order by seq"
)
# The text under each entry's hash, for whoever checks a file without this program. It stands in `about`.

_ABOUT = (
    "This is the record of one job, kept by benchhand: every act in order, none changed, none taken out.",
    "Read it with any SQLite program (3.37 or newer): select seq, at, kind, body from entry order by seq",
    "seq counts from 1 without a gap. at is UTC. kind says what the entry is. body is JSON: names sorted, no spaces.",
    "hash is SHA-256 in 64 small hexadecimal digits over this text in UTF-8: the hash of the entry before (64 zeros"
    ' before entry 1), then at once, without a space, [seq,"at","kind",body] exactly as the columns stand.',
    "These texts come out of: " + HASHED_TEXT,
    "Save one hashed_text without a line end and run any SHA-256 program on it: the answer must be that entry's hash.",
    "An entry that was changed, moved, put in or taken out breaks the hashes from there on.",
    "A cut end, an older copy or a record made up from the start does not: hold the count and the last hash against"
    " those printed on paper: select seq, hash from entry order by seq desc limit 1",
    "Never write to this file by hand. Copy it while no program writes it, with the -journal file beside it if there is one.",
)


def connect(path: Path, mode: str) -> sqlite3.Connection:
    """A connection to an existing file, 'ro' or 'rw' (or 'rwc': made if missing), in autocommit, trusting no schema."""
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        oldest = ".".join(str(part) for part in _OLDEST_SQLITE)
        raise CannotRead(
            f"this computer's SQLite is {sqlite3.sqlite_version}, job files need {oldest} or newer",
            "install a newer Python, which brings a newer SQLite",
        )
    address = f"{path.absolute().as_uri()}?mode={mode}"
    db = sqlite3.connect(
        address, uri=True, isolation_level=None, timeout=_PATIENCE_S, check_same_thread=False
    )
    db.execute("pragma trusted_schema=off")
    return db


def connect_for_writing(path: Path, mode: str = "rw") -> sqlite3.Connection:
    """
    A connection whose commits have reached the disk when they return.

    No write-ahead log: a file copied without it would lose entries, and could not be read from read-only media.
    EXTRA also syncs the folder after the commit; fullfsync makes macOS empty the drive's own cache.
    """
    db = connect(path, mode)
    try:
        db.execute("pragma journal_mode=delete").fetchall()
        db.execute("pragma synchronous=extra")
        db.execute("pragma fullfsync=on").fetchall()
    except sqlite3.Error:
        db.close()
        raise
    return db


def lay_out(db: sqlite3.Connection) -> None:
    """Makes an empty file a job file without entries, in one transaction."""
    db.execute("begin immediate")
    for statement in _TABLES:
        db.execute(statement)
    db.executemany("insert into about values (?, ?)", enumerate(_ABOUT, start=1))
    for statement in _GUARDS:
        db.execute(statement)
    db.execute(f"pragma application_id={_OURS}")
    db.execute(f"pragma user_version={FORMAT}")
    db.execute("commit")


def recognise(db: sqlite3.Connection, path: Path) -> None:
    """Refuses (CannotRead) a file that isn't laid out exactly as this program lays one out."""
    application = _number(db, "application_id")
    found_format = _number(db, "user_version")
    found = {
        (str(row[0]), str(row[1])): row[2] for row in db.execute("select type, name, sql from sqlite_master")
    }
    if not found and application == 0:
        raise CannotRead(f"{path} is empty, it is not a job file", "name a job's own .db file")
    if application != _OURS:
        raise CannotRead(f"{path} is a database, but not a job file", "name a job's own .db file")
    if found_format > FORMAT:
        raise CannotRead(
            f"job file {path.name} was written by a newer program (layout {found_format}, this one knows {FORMAT})",
            "open it with the newer program",
        )
    wanted = {_kind_and_name(statement): statement for statement in (*_TABLES, *_GUARDS)}
    if found_format == FORMAT and found == wanted:
        return
    strange = sorted(set(found.items()) ^ set(wanted.items()))
    what = f"{strange[0][0][0]} '{strange[0][0][1]}'" if strange else f"layout {found_format}"
    raise CannotRead(
        f"job file {path.name} was altered: its {_shown(what)} is not as this program makes it",
        "fetch the last good copy of it",
    )


def raw_rows(
    db: sqlite3.Connection, first: int = 0, upto: int | None = None
) -> tuple[list[RawRow], sqlite3.Error | None]:
    """The rows from `first` up to `upto` as bytes, and what stopped SQLite before the last of them."""
    query = (
        "select seq, cast(at as blob), cast(kind as blob), cast(body as blob), cast(hash as blob) from entry"
        " where seq >= ? and seq <= ? order by seq"
    )
    found: list[RawRow] = []
    cursor = db.cursor()
    try:
        for row in cursor.execute(query, (first, 2**63 - 1 if upto is None else upto)):
            found.append(row)
    except sqlite3.DatabaseError as error:
        # A busy file or a disk that doesn't answer says nothing about the row.
        if not cause_of(error).startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_TOOBIG")):
            raise
        return found, error
    finally:
        cursor.close()
    return found, None


def found_at(path: Path) -> Path:
    """The file's real place, so that a link to it shares its lock. Refuses (CannotRead) what isn't a file to read."""
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError) as error:
        raise CannotRead(
            f"there is no job file at {path}", "look for the job's number among the jobs"
        ) from error
    except (OSError, ValueError) as error:
        raise CannotRead(
            f"{path} can't be reached", "let this user read the folder, or name another file"
        ) from error
    if stat.S_ISDIR(mode):
        raise CannotRead(f"{path} is a folder, not a job file", "name the job's own .db file in it")
    if not stat.S_ISREG(mode):
        raise CannotRead(f"{path} is not a job file", "name a job's own .db file")
    if not os.access(path, os.R_OK):
        raise CannotRead(f"this user may not read job file {path.name}", "let this user read the file")
    return path.resolve()


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """
    A recognised connection that changes nothing on disk. Refuses (CannotRead) everything that isn't a job file.

    A writer killed in the middle of a commit leaves a file that must be rolled back before it is read. Only a
    writer may do that in place; here it is done on a copy.
    """
    place = found_at(path)
    with ExitStack() as opened:
        try:
            try:
                db = _one_view(place, "ro", opened)
            except sqlite3.Error as error:
                if cause_of(error) != "SQLITE_READONLY_ROLLBACK":
                    raise
                db = _one_view(_copy_to_roll_back(place, opened), "rw", opened)
            recognise(db, path)
            yield db
        except sqlite3.Error as error:
            raise cannot_read(path, error) from error


def _one_view(path: Path, mode: str, opened: ExitStack) -> sqlite3.Connection:
    """A connection that sees one state of the file until it is closed, which must be soon: writers wait for it."""
    db = connect(path, mode)
    opened.callback(db.close)
    db.execute("begin")
    if _number(db, "journal_mode") == "wal":
        raise CannotRead(
            f"job file {path.name} was switched to another way of writing by some other program",
            "fetch the last good copy of it",
        )
    return db


def _copy_to_roll_back(path: Path, opened: ExitStack) -> Path:
    beside = path.with_name(path.name + "-journal")
    try:
        folder = Path(opened.enter_context(tempfile.TemporaryDirectory(prefix="job-")))
        copy = folder / path.name
        before = beside.stat()
        copy.with_name(beside.name).write_bytes(beside.read_bytes())
        # Read through SQLite, though without its locks and without the rollback: see the top of this module.
        source = sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)
        try:
            # The torn first page may count pages that were never written; without this SQLite gives up there.
            source.execute("pragma writable_schema=on")
            copy.write_bytes(source.serialize())
        finally:
            source.close()
        after = beside.stat()
    except OSError as error:
        raise CannotRead(
            f"job file {path.name} is being put in order by another program", TRY_AGAIN
        ) from error
    if (before.st_ino, before.st_mtime_ns, before.st_size) != (
        after.st_ino,
        after.st_mtime_ns,
        after.st_size,
    ):
        raise CannotRead(f"job file {path.name} is being put in order by another program", TRY_AGAIN)
    return copy


def _number(db: sqlite3.Connection, name: str) -> Any:
    return db.execute(f"pragma {name}").fetchone()[0]


def _kind_and_name(statement: str) -> tuple[str, str]:
    _, kind, name, *_ = statement.split()
    return kind.lower(), name


def _shown(name: str) -> str:
    """Foreign text made fit for one line of a terminal."""
    return "".join(sign if sign.isascii() and sign.isprintable() else "?" for sign in name[:60])
