"""Full, read-only and shared disks: nothing is half kept, and the sentence says why."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from runner.journal import Journal, NotKept, Row, read_rows, verify

ROOT = Path(__file__).resolve().parents[2]
AT = "2025-03-04T13:58:02.000000Z"

FULL = """
import pathlib, resource, sys
from runner.journal import Journal, NotKept, Row
path, at = pathlib.Path(sys.argv[1]), "2025-03-04T13:58:02.000000Z"
act = [Row(at, "Note", {"filling": "x" * 1500}) for _ in range(3)]
journal = Journal.open(path)
_, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (120_000, hard))
kept = 0
try:
    while True:
        kept = journal.append(kept, act)[-1].seq
except NotKept as told:
    print(kept, len(journal.read()), journal.count)
    print(told)
    print(told.fix)
    print(str(told.__cause__) in str(told) + told.fix)
try:
    journal.append(kept, act)
except NotKept:
    print("still full")
resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
print(journal.append(kept, act)[-1].seq)
journal.close()
"""

GUEST = """
import os, pathlib, sys
from runner.journal import Journal, JournalError, Row, read_rows, verify
path = pathlib.Path(sys.argv[1])
if os.getuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
for ask in (read_rows, verify, Journal.open, lambda p: Journal.create(p.with_name("42.db"))):
    try:
        found = ask(path)
        print("fine", len(found) if isinstance(found, list) else found.count)
    except JournalError as told:
        print(type(told).__name__, str(told))
"""


def said(script: str, path: Path) -> list[str]:
    child = subprocess.run(
        [sys.executable, "-c", script, str(path)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
        timeout=60,
        check=True,
    )
    return child.stdout.splitlines()


@pytest.fixture
def shared_folder() -> Iterator[Path]:
    """A folder that another user may reach; pytest's own are closed to others."""
    folder = Path(tempfile.mkdtemp(prefix="jobs-"))
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


def new_job(folder: Path, entries: int = 3) -> Path:
    path = folder / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [Row(AT, "Note", {"number": number}) for number in range(entries)])
    return path


def test_a_full_disk_keeps_nothing_of_the_act_says_so_and_takes_it_once_there_is_room(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    Journal.create(path).close()
    counts, told, fix, leaked, again, after = said(FULL, path)
    kept = int(counts.split()[0])
    assert counts == f"{kept} {kept} {kept}" and kept > 3 and kept % 3 == 0
    assert told == (
        "this act is NOT kept, no part of it: the disk did not take it; all that job file 41.db held before is safe"
    )
    assert "disk" in fix
    assert leaked == "False"
    assert again == "still full"
    assert after == str(kept + 3)
    assert verify(path, count=kept + 3).ok


def test_a_guest_reads_a_job_in_a_folder_they_may_not_write_and_is_told_why_no_more(
    shared_folder: Path,
) -> None:
    path = new_job(shared_folder)
    (shared_folder / "41.lock").unlink()
    shared_folder.chmod(0o555)
    read, verified, opened, created = said(GUEST, path)
    assert (read, verified) == ("fine 3", "fine 3")
    assert opened.startswith(
        "NotKept nothing can be kept in job file 41.db: this user may not write 41.lock in "
    )
    assert created.startswith(
        "NotKept nothing can be kept in job file 42.db: this user may not write 42.lock in "
    )
    assert sorted(p.name for p in shared_folder.iterdir()) == ["41.db"]


def test_a_guest_who_may_not_write_the_file_itself_is_told_so(shared_folder: Path) -> None:
    path = new_job(shared_folder)
    (shared_folder / "41.lock").chmod(0o666)
    shared_folder.chmod(0o777)
    path.chmod(0o444)
    _, _, opened, created = said(GUEST, path)
    assert opened.startswith("NotKept nothing can be kept in job file 41.db: this user may not write to it")
    assert created == "fine 0"


def test_a_guest_who_may_not_read_is_told_so(shared_folder: Path) -> None:
    path = new_job(shared_folder)
    path.chmod(0o600)
    assert said(GUEST, path)[0] == "CannotRead this user may not read job file 41.db"
    shared_folder.chmod(0o700)
    assert said(GUEST, path)[0] == f"CannotRead {path} can't be reached"


def test_reading_and_verifying_change_nothing_on_disk(tmp_path: Path) -> None:
    path = new_job(tmp_path)

    def seen() -> list[tuple[str, int, int]]:
        return [(p.name, p.stat().st_mtime_ns, p.stat().st_size) for p in sorted(tmp_path.iterdir())]

    before = seen()
    read_rows(path)
    verify(path)
    assert seen() == before


def test_the_writer_writes_on_while_others_read(tmp_path: Path) -> None:
    path = new_job(tmp_path)
    enough = threading.Event()
    seen: list[int] = []

    def look() -> None:
        while not enough.is_set():
            seen.append(len(read_rows(path)))

    readers = [threading.Thread(target=look) for _ in range(2)]
    with Journal.open(path) as journal:
        for reader in readers:
            reader.start()
        try:
            for _ in range(40):
                journal.append(journal.count, [Row(AT, "Note", {}), Row(AT, "Note", {})])
        finally:
            enough.set()
            for reader in readers:
                reader.join()
        assert journal.count == 83
    assert seen and all(count % 2 for count in seen)
    assert verify(path, count=83).ok


def test_a_disk_that_stays_busy_leaves_the_act_unkept_and_the_job_usable(tmp_path: Path) -> None:
    path = new_job(tmp_path)
    with Journal.open(path) as journal:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("begin exclusive")
        with pytest.raises(NotKept, match="another program holds the file") as told:
            journal.append(3, [Row(AT, "Note", {})])
        other.execute("rollback")
        other.close()
        assert "database is locked" not in str(told.value) + told.value.fix
        assert journal.append(3, [Row(AT, "Note", {})])[0].seq == 4
