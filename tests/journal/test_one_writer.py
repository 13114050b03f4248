"""Only one program writes a job; a killed one loses nothing that it had told as kept."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from runner.journal import Journal, JournalLocked, NotKept, Row, read_rows, verify

ROOT = Path(__file__).resolve().parents[2]
AT = "2025-03-04T13:58:02.000000Z"

HOLDER = """
import sys, pathlib
from runner.journal import Journal
journal = Journal.open(pathlib.Path(sys.argv[1]), now="2025-03-04T13:58:02.000000Z")
print("holding", flush=True)
sys.stdin.read()
"""

KILLED = """
import json, os, pathlib, random, signal, sys, time
from runner.journal import Journal, Row, read_rows, verify

path, at = pathlib.Path(sys.argv[1]), "2025-03-04T13:58:02.000000Z"
chance = random.Random(41)

def write(acknowledge):
    with Journal.open(path) as journal:
        os.write(acknowledge, b"begun\\n")
        while True:
            act = journal.count
            filling = "x" * (3000 if act % 2 else 10)
            rows = [Row(at, "Part", {"act": act, "filling": filling}) for _ in range(3)]
            kept = journal.append(journal.count, rows)
            os.write(acknowledge, f"{kept[-1].seq}\\n".encode())

for _ in range(30):
    end, start = os.pipe()
    before = len(read_rows(path))
    child = os.fork()
    if not child:
        write(start)
    os.close(start)
    told = os.read(end, 6)
    time.sleep(chance.uniform(0, 0.03))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with open(end, "rb") as rest:
        told += rest.read()
    acknowledged = max([before, *(int(line) for line in told.split()[1:])])
    half_done = path.with_name(path.name + "-journal").exists()
    rows, verdict = read_rows(path), verify(path)
    acts = [row.body["act"] for row in rows]
    whole = all(acts.count(act) == 3 for act in set(acts))
    print(json.dumps([acknowledged, len(rows), whole, verdict.ok, half_done]), flush=True)
"""

NO_FLOCK = """
import sys, pathlib
sys.modules["fcntl"] = None
from runner.journal import Journal, NotKept, read_rows
path = pathlib.Path(sys.argv[1])
print(len(read_rows(path)))
try:
    Journal.open(path)
except NotKept as told:
    print(told)
"""

OLD_SQLITE = """
import sys, pathlib, sqlite3
sqlite3.sqlite_version_info, sqlite3.sqlite_version = (3, 36, 0), "3.36.0"
from runner.journal import CannotRead, read_rows
try:
    read_rows(pathlib.Path(sys.argv[1]))
except CannotRead as told:
    print(told)
"""


def started(script: str, path: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", script, str(path)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def said(script: str, path: Path) -> list[str]:
    with started(script, path) as child:
        out, _ = child.communicate(timeout=60)
    assert child.returncode == 0
    return out.splitlines()


def new_job(folder: Path, entries: int = 1) -> Path:
    path = folder / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [Row(AT, "Note", {"number": number}) for number in range(entries)])
    return path


def test_a_second_program_is_told_who_writes_and_gets_in_when_that_one_is_killed(tmp_path: Path) -> None:
    path = new_job(tmp_path)
    with started(HOLDER, path) as holder:
        assert holder.stdout and holder.stdout.readline() == "holding\n"
        with pytest.raises(JournalLocked) as told:
            Journal.open(path, now=AT)
        assert len(read_rows(path)) == 1
        holder.kill()
    assert told.value.pid == holder.pid
    assert told.value.since == AT
    host = told.value.host
    assert str(told.value) == (
        f"job file 41.db is being written by another program (process {holder.pid} on {host}, since 2025-03-04 13:58 UTC)"
    )
    with Journal.open(path) as journal:
        assert journal.append(1, [Row(AT, "Note", {})])[0].seq == 2


def test_the_same_job_can_not_be_opened_twice_even_in_one_program_or_through_a_link(tmp_path: Path) -> None:
    path = new_job(tmp_path)
    (tmp_path / "other.db").symlink_to(path)
    with Journal.open(path):
        for way in (path, tmp_path / "other.db"):
            with pytest.raises(JournalLocked, match=f"process {os.getpid()} on"):
                Journal.open(way)
    Journal.open(tmp_path / "other.db").close()


def test_a_lock_file_with_foreign_text_is_quoted_only_where_it_is_understood(tmp_path: Path) -> None:
    path = new_job(tmp_path)
    with Journal.open(path):
        (tmp_path / "41.lock").write_bytes(b"process \x1b[31m12\xff\n")
        with pytest.raises(JournalLocked, match=r"another program \(it does not say which\)") as told:
            Journal.open(path)
    assert told.value.pid is None


def test_a_lock_file_that_is_a_link_is_not_written_through(tmp_path: Path) -> None:
    path = new_job(tmp_path)
    precious = tmp_path / "precious.txt"
    precious.write_text("the shop's own notes")
    lock = tmp_path / "41.lock"
    for link in (lock.symlink_to, lock.hardlink_to):
        lock.unlink()
        link(precious)
        with pytest.raises(NotKept, match="nothing can be kept in job file 41"):
            Journal.open(path)
    assert precious.read_text() == "the shop's own notes"


def test_no_acknowledged_act_is_lost_and_none_is_half_there_when_the_program_is_killed(
    tmp_path: Path,
) -> None:
    path = tmp_path / "41.db"
    Journal.create(path).close()
    rounds = [json.loads(line) for line in said(KILLED, path)]
    assert len(rounds) == 30
    for acknowledged, found, whole, stands, _ in rounds:
        assert acknowledged <= found <= acknowledged + 3
        assert found % 3 == 0
        assert whole and stands
    assert rounds[-1][1] > 30
    with Journal.open(path) as journal:
        assert journal.count == rounds[-1][1]
    assert verify(path).ok


def test_a_system_without_file_locks_still_reads_and_says_why_it_does_not_write(tmp_path: Path) -> None:
    count, told = said(NO_FLOCK, new_job(tmp_path, 3))
    assert count == "3"
    assert told.startswith("nothing can be kept in job file 41.db: this system has no file locks")


def test_a_computer_with_an_old_sqlite_is_told_which_one_is_needed(tmp_path: Path) -> None:
    assert said(OLD_SQLITE, new_job(tmp_path)) == [
        "this computer's SQLite is 3.36.0, job files need 3.37 or newer"
    ]
