"""A changed record is told at the entry where it changed; what isn't a job file is refused in a sentence."""

from __future__ import annotations

import hashlib
import os
import re
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from runner.journal import NO_HEAD, CannotRead, Journal, KeptRow, Row, read_rows, verify

AT = "2025-03-04T13:58:02.000000Z"

DIES_HALF_WAY = """
import os, signal, sqlite3, sys
db = sqlite3.connect(sys.argv[1], isolation_level=None)
db.execute("pragma cache_size=1")
db.execute("begin immediate")
last = db.execute("select max(seq) from entry").fetchone()[0]
for seq in range(last + 1, last + 60):
    body = '{"x":"' + "x" * 3000 + '"}'
    db.execute("insert into entry values (?, ?, 'Note', ?, ?)", (seq, sys.argv[2], body, "f" * 64))
os.kill(os.getpid(), signal.SIGKILL)
"""


def new_job(path: Path, entries: int = 9) -> list[KeptRow]:
    with Journal.create(path) as journal:
        return journal.append(
            0, [Row(AT, "ReadingTaken", {"typed": f"42.3{number}"}) for number in range(1, entries + 1)]
        )


def tamper(path: Path, *statements: str) -> None:
    """Changes rows as somebody would who knows SQLite: guards off, change, the same guards on again."""
    db = sqlite3.connect(path, isolation_level=None)
    guards = db.execute("select name, sql from sqlite_master where type = 'trigger'").fetchall()
    for name, _ in guards:
        db.execute(f"drop trigger {name}")
    for statement in statements:
        db.execute(statement)
    for _, sql in guards:
        db.execute(sql)
    db.close()


SWAP = (
    "update entry set seq = 99 where seq = 4",
    "update entry set seq = 4 where seq = 6",
    "update entry set seq = 6 where seq = 99",
)
MAKE_ROOM = "update entry set seq = seq + 100 where seq >= 4"
CLOSE_UP = "update entry set seq = seq - 99 where seq >= 104"
PUT_IN = f"insert into entry values (4, '{AT}', 'ReadingTaken', '{{\"typed\":\"42.30\"}}', '{'a' * 64}')"


@pytest.mark.parametrize(
    ("statements", "seq"),
    [
        pytest.param(
            ["update entry set body = replace(body, '42.35', '42.55') where seq = 5"], 5, id="changed reading"
        ),
        pytest.param(
            [f"update entry set at = '{AT.replace('58', '59')}' where seq = 7"], 7, id="changed time"
        ),
        pytest.param(["update entry set kind = 'Note' where seq = 1"], 1, id="changed kind"),
        pytest.param(["update entry set hash = replace(hash, '0', '1') where seq = 3"], 3, id="changed hash"),
        pytest.param(["delete from entry where seq = 6"], 6, id="dropped"),
        pytest.param(["delete from entry where seq = 1"], 1, id="dropped first"),
        pytest.param(
            ["delete from entry where seq = 6", "update entry set seq = seq - 1 where seq > 6"],
            6,
            id="dropped and closed up",
        ),
        pytest.param(SWAP, 4, id="swapped"),
        pytest.param([MAKE_ROOM, PUT_IN, CLOSE_UP], 4, id="put in"),
        pytest.param([PUT_IN.replace("(4,", "(10,")], 10, id="added at the end"),
        pytest.param(
            ['update entry set body = \'{ "typed":"42.38"}\' where seq = 8'], 8, id="written otherwise"
        ),
    ],
)
def test_a_changed_record_is_told_at_the_entry_where_it_changed(
    tmp_path: Path, statements: list[str], seq: int
) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    tamper(path, *statements)
    verdict = verify(path)
    assert (verdict.ok, verdict.first_bad, verdict.count) == (False, seq, seq - 1)
    assert verdict.sentence.startswith(f"job file 41.db can't be trusted from entry {seq} on: ")
    with pytest.raises(CannotRead, match=f"from entry {seq} on") as told:
        read_rows(path)
    assert told.value.first_bad == seq
    with pytest.raises(CannotRead, match=f"from entry {seq} on"):
        Journal.open(path)
    assert read_rows(path, upto=seq - 1) == kept[: seq - 1]


def test_one_flipped_bit_in_a_reading_is_told_at_that_entry(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    new_job(path)
    whole = path.read_bytes()
    for number in range(1, 10):
        place = whole.index(f'"42.3{number}"'.encode())
        for bit in (0x01, 0x80):
            path.write_bytes(whole[: place + 4] + bytes([whole[place + 4] ^ bit]) + whole[place + 5 :])
            assert verify(path).first_bad == number


def test_no_flipped_byte_anywhere_lets_a_changed_entry_pass_or_ends_in_a_crash(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    whole = path.read_bytes()
    told = 0
    for place in range(0, len(whole), 61):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        try:
            verdict = verify(path)
            if verdict.ok:
                assert read_rows(path) == kept
            else:
                told += 1
        except CannotRead as refused:
            assert refused.fix
            told += 1
    assert told > 10


def test_a_file_cut_off_by_a_broken_copy_is_told(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    new_job(path, 60)
    whole = path.read_bytes()
    for size in (50, 100, 3000, 4096, 9000, len(whole) - 4096):
        path.write_bytes(whole[:size])
        try:
            assert not verify(path).ok
        except CannotRead as refused:
            assert "41.db" in str(refused)


def test_a_cut_end_is_told_only_against_a_print(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    tamper(path, "delete from entry where seq > 7")
    alone = verify(path)
    assert alone.ok and "can't be told without a printed count and hash" in alone.sentence
    against = verify(path, count=9, head=kept[8].hash)
    assert (against.ok, against.first_bad) == (False, 8)
    assert "holds 7 entries and the print says 9" in against.sentence
    assert not verify(path, count=9).ok
    assert not verify(path, head=kept[8].hash).ok
    assert verify(path, count=7, head=kept[6].hash).ok


def test_a_record_made_up_from_the_start_is_told_only_against_a_printed_hash(tmp_path: Path) -> None:
    kept = new_job(tmp_path / "41.db")
    (tmp_path / "again").mkdir()
    path = tmp_path / "again" / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [Row(AT, "ReadingTaken", {"typed": "42.30"}) for _ in kept])
    assert verify(path).ok
    by_count = verify(path, count=9)
    assert by_count.ok and "can't be told without the printed hash" in by_count.sentence
    verdict = verify(path, count=9, head=kept[-1].hash)
    assert not verdict.ok and "made again" in verdict.sentence
    assert not verify(path, head=kept[-1].hash).ok


def test_an_older_print_still_fits_a_job_that_went_on(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    spaced = " ".join(re.findall("........", kept[4].hash.upper()))
    for head in (kept[4].hash, kept[4].hash[:16], spaced):
        verdict = verify(path, count=5, head=head)
        assert (
            verdict.ok and "after entry 5 its hash is the printed one, 4 were added since" in verdict.sentence
        )
    assert verify(path, head=kept[4].hash).ok
    assert verify(path, count=0, head=NO_HEAD).ok
    assert not verify(path, count=6, head=kept[4].hash).ok
    for too_little in (kept[4].hash[:15], "", "g" * 16):
        assert "first 16 digits" in verify(path, count=5, head=too_little).sentence
        assert not verify(path, count=5, head=too_little).ok


def test_every_beginning_of_a_job_can_be_read(tmp_path: Path) -> None:
    kept = new_job(tmp_path / "41.db")
    for length in range(len(kept) + 1):
        assert read_rows(tmp_path / "41.db", upto=length) == kept[:length]
        path = tmp_path / f"cut{length}.db"
        path.write_bytes((tmp_path / "41.db").read_bytes())
        tamper(path, f"delete from entry where seq > {length}")
        assert read_rows(path) == kept[:length]
        assert verify(path).count == length


def _foreign(path: Path) -> None:
    db = sqlite3.connect(path)
    db.execute("create table parts (name text)")
    db.close()


STRANGERS: dict[str, tuple[Callable[[Path], object], str]] = {
    "nothing": (lambda path: None, "there is no job file at"),
    "folder": (lambda path: path.mkdir(), "is a folder, not a job file"),
    "pipe": (lambda path: os.mkfifo(path), "is not a job file"),
    "empty": (lambda path: path.touch(), "is empty, it is not a job file"),
    "text": (lambda path: path.write_text("bore 42.36\n" * 500), "is not a job file"),
    "few letters": (lambda path: path.write_text("bore"), "is not a job file"),
    "rubbish": (lambda path: path.write_bytes(bytes(range(256)) * 64), "is not a job file"),
    "half a header": (lambda path: path.write_bytes(b"SQLite format 3\x00" + b"\xff" * 4080), "41.db"),
    "other database": (_foreign, "is a database, but not a job file"),
}


@pytest.mark.parametrize("stranger", STRANGERS)
def test_what_is_not_a_job_file_is_refused_in_a_sentence(tmp_path: Path, stranger: str) -> None:
    path = tmp_path / "41.db"
    make, sentence = STRANGERS[stranger]
    make(path)
    before = sorted(tmp_path.iterdir())
    for ask in (read_rows, verify, Journal.open):
        with pytest.raises(CannotRead) as told:
            ask(path)
        assert sentence in str(told.value) and told.value.fix
        assert not re.search(
            r"(?i)error|sqlite|invalid|malformed|database disk", str(told.value) + told.value.fix
        )
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize(
    ("statement", "named"),
    [
        ("create trigger sly after insert on entry begin delete from about; end", "trigger 'sly'"),
        ("create view entries as select * from entry", "view 'entries'"),
        ("create table extra (x)", "table 'extra'"),
        ("create index fast on entry (kind)", "index 'fast'"),
        ("drop trigger entry_stays", "trigger 'entry_stays'"),
        ('create table "\x1b[2Jboo" (x)', r"table '\?\[2Jboo'"),
        ("pragma user_version = 0", "layout 0"),
    ],
)
def test_a_file_with_more_or_less_in_it_than_a_job_is_refused(
    tmp_path: Path, statement: str, named: str
) -> None:
    path = tmp_path / "41.db"
    new_job(path)
    db = sqlite3.connect(path)
    db.execute(statement)
    db.commit()
    db.close()
    for ask in (read_rows, verify, Journal.open):
        with pytest.raises(CannotRead, match=f"was altered: its {named} is not as this program makes it"):
            ask(path)


def test_a_file_of_a_newer_program_is_left_to_that_program(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    new_job(path)
    db = sqlite3.connect(path)
    db.execute("pragma user_version = 2")
    db.close()
    for ask in (read_rows, verify, Journal.open):
        with pytest.raises(CannotRead, match=r"newer program \(layout 2, this one knows 1\)"):
            ask(path)


def test_a_file_switched_to_another_way_of_writing_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    new_job(path)
    db = sqlite3.connect(path)
    db.execute("pragma journal_mode = wal")
    db.close()
    with pytest.raises(CannotRead, match="switched to another way of writing"):
        read_rows(path)


def test_a_job_whose_writer_died_in_mid_act_is_read_without_touching_it_and_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    child = subprocess.run([sys.executable, "-c", DIES_HALF_WAY, str(path), AT], check=False)
    assert child.returncode == -signal.SIGKILL
    torn = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert torn["41.db-journal"] and len(torn["41.db"]) > 100_000
    assert read_rows(path) == kept
    assert verify(path, count=9, head=kept[-1].hash).ok
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == torn
    with Journal.open(path) as journal:
        assert journal.read() == kept
        assert journal.append(9, [Row(AT, "Note", {})])[0].seq == 10
    assert not (tmp_path / "41.db-journal").exists()


def test_a_job_whose_first_page_was_half_way_through_is_read_too(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    subprocess.run([sys.executable, "-c", DIES_HALF_WAY, str(path), AT], check=False)
    page = bytearray(path.read_bytes())
    # Database file format, SQLite documentation, section 1.3 (from memory): bytes 28-31 count the pages and are
    # believed while bytes 92-95 equal the change counter in bytes 24-27.
    page[28:32] = (len(page) // 4096 + 7).to_bytes(4, "big")
    page[92:96] = page[24:28]
    path.write_bytes(page)
    assert read_rows(path) == kept
    assert verify(path).ok
    with Journal.open(path) as journal:
        assert journal.read() == kept


def test_damage_around_the_entries_is_told_though_each_entry_stands(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    db = sqlite3.connect(path)
    root = db.execute("select rootpage from sqlite_master where name = 'about'").fetchone()[0]
    db.close()
    whole = path.read_bytes()
    path.write_bytes(whole[: (root - 1) * 4096] + b"\xff" * 200 + whole[(root - 1) * 4096 + 200 :])
    assert read_rows(path) == kept
    verdict = verify(path)
    assert (verdict.ok, verdict.first_bad, verdict.count) == (False, None, 9)
    assert "the file around them is damaged" in verdict.sentence


@pytest.mark.parametrize(
    "body", ['{"a":1,"a":2}', '{"a": 1}', '{"b":1,"a":2}', '{"a":NaN}', '{"a":"\\ud800"}', "{" * 5000 + "}"]
)
def test_a_rightly_hashed_entry_that_could_be_read_in_two_ways_is_not_trusted(
    tmp_path: Path, body: str
) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    text = f'{kept[-1].hash}[10,"{AT}","Note",{body}]'
    db = sqlite3.connect(path)
    db.execute(
        "insert into entry values (10, ?, 'Note', ?, ?)",
        (AT, body, hashlib.sha256(text.encode()).hexdigest()),
    )
    db.commit()
    db.close()
    assert verify(path).first_bad == 10
    with pytest.raises(CannotRead, match="from entry 10 on"):
        read_rows(path)


def test_an_entry_seen_from_the_middle_is_still_tied_to_the_one_before(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    kept = new_job(path)
    assert read_rows(path, after=6) == kept[6:]
    tamper(path, "update entry set body = replace(body, '42.37', '42.57') where seq = 7")
    with pytest.raises(CannotRead, match="from entry 7 on"):
        read_rows(path, after=6)
    tamper(path, "delete from entry where seq = 5")
    with pytest.raises(CannotRead, match="from entry 5 on: it is missing"):
        read_rows(path, after=5)
