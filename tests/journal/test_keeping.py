"""What is handed over is kept, once, whole, in order, and comes back the same."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.journal import (
    NO_HEAD,
    AlreadyThere,
    CannotRead,
    Journal,
    NotKept,
    OutOfStep,
    Row,
    read_rows,
    verify,
)

AT = "2025-03-04T13:58:02.000000Z"


def reading(text: str) -> Row:
    return Row(AT, "ReadingTaken", {"name": "bore", "typed": text})


def outsider(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None)


def test_a_new_job_file_is_empty_and_its_folder_is_made(tmp_path: Path) -> None:
    with Journal.create(tmp_path / "jobs" / "2025" / "41.db") as journal:
        assert (journal.count, journal.head, journal.read()) == (0, NO_HEAD, [])
        assert journal.path == tmp_path / "jobs" / "2025" / "41.db"
    assert sorted(p.name for p in (tmp_path / "jobs" / "2025").iterdir()) == ["41.db", "41.lock"]


def test_a_new_job_never_takes_the_place_of_an_old_one(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [reading("42.36")])
    with pytest.raises(AlreadyThere, match=r"there is a job file at .*41\.db already"):
        Journal.create(path)
    assert [row.body["typed"] for row in read_rows(path)] == ["42.36"]


def test_readings_come_back_in_order_with_their_places(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        first = journal.append(0, [reading("42.36"), reading("0.050")])
        second = journal.append(2, [reading("6 thou")])
        assert journal.read() == first + second
        assert journal.read(after=2) == second
        assert journal.read(after=3) == []
        assert (journal.count, journal.head) == (3, second[0].hash)
    assert [row.seq for row in read_rows(path)] == [1, 2, 3]
    assert read_rows(path, after=1, upto=2) == first[1:]


def test_a_job_goes_on_after_it_was_closed(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [reading("42.36")])
    with Journal.open(path) as journal:
        assert journal.count == 1
        journal.append(1, [reading("42.37")])
    assert verify(path).ok
    assert [row.body["typed"] for row in read_rows(path)] == ["42.36", "42.37"]


@pytest.mark.parametrize("expected", [0, 2])
def test_an_act_decided_on_an_old_state_is_refused_whole(tmp_path: Path, expected: int) -> None:
    with Journal.create(tmp_path / "41.db") as journal:
        journal.append(0, [reading("42.36")])
        with pytest.raises(
            OutOfStep, match=rf"holds 1 entries and this program knows {expected}: somebody"
        ) as told:
            journal.append(expected, [reading("42.37"), reading("42.38")])
        assert told.value.found == 1
        assert journal.count == 1 == len(journal.read())


def test_an_entry_written_behind_the_writers_back_is_noticed(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        db = outsider(path)
        db.execute("insert into entry values (1, ?, 'Note', '{}', ?)", (AT, "a" * 64))
        db.close()
        for expected in (0, 1):
            with pytest.raises(OutOfStep, match="somebody else wrote to it, so nothing of this act is kept"):
                journal.append(expected, [reading("42.36")])


def test_an_act_the_disk_took_without_saying_so_is_kept_once_when_tried_again(tmp_path: Path) -> None:
    with Journal.create(tmp_path / "twin.db") as twin:
        kept = twin.append(0, [reading("42.36"), reading("42.37")])
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        db = outsider(path)
        for row in kept:
            body = json.dumps(row.body, sort_keys=True, separators=(",", ":"))
            db.execute(
                "insert into entry values (?, ?, ?, ?, ?)", (row.seq, row.at, row.kind, body, row.hash)
            )
        db.close()
        assert journal.append(0, [reading("42.36"), reading("42.37")]) == kept
        assert journal.append(2, [reading("42.38")])[0].seq == 3
    assert verify(path).count == 3


@pytest.mark.parametrize(
    "statement",
    [
        "update entry set body = '{}' where seq = 1",
        "update or replace entry set seq = 2 where seq = 1",
        "delete from entry where seq = 2",
        "delete from entry",
        f"insert or replace into entry values (1, '{AT}', 'Note', '{{}}', '{'0' * 64}')",
        f"insert or ignore into entry values (2, '{AT}', 'Note', '{{}}', '{'0' * 64}')",
        f"insert into entry values (4, '{AT}', 'Note', '{{}}', '{'0' * 64}')",
        f"insert into entry values (3, '{AT}', 'Note', 'not json', '{'0' * 64}')",
        f"insert into entry values (3, 'yesterday', 'Note', '{{}}', '{'0' * 64}')",
        f"insert into entry values (3, '{AT}', 'Note', '{{}}', 'short')",
        f"insert into entry values ('three', '{AT}', 'Note', '{{}}', '{'0' * 64}')",
        "update about set text = 'trust me'",
        "delete from about",
        "insert into about values (99, 'trust me')",
    ],
)
def test_the_file_itself_refuses_to_change_what_was_kept(tmp_path: Path, statement: str) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        kept = journal.append(0, [reading("42.36"), reading("42.37")])
    db = outsider(path)
    notes = db.execute("select * from about").fetchall()
    with pytest.raises(sqlite3.IntegrityError):
        db.execute(statement)
    assert db.execute("select * from about").fetchall() == notes
    db.close()
    assert read_rows(path) == kept


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ({"note": "half \ud83d"}, r"half a character \(U\+D83D\)"),
        ({"\udfff": 1}, r"half a character \(U\+DFFF\)"),
        ({"value": float("nan")}, "can't be written down"),
        ({"value": float("-inf")}, "can't be written down"),
        ({"value": {1, 2}}, "can't be written down"),
        ({"value": 10**5000}, "can't be written down"),
        ({"value": {1: "one"}}, "name isn't text"),
        ({"value": b"x"}, "can't be written down"),
    ],
)
def test_what_would_not_come_back_the_same_is_not_kept_and_said_so(
    tmp_path: Path, body: Any, why: str
) -> None:
    with Journal.create(tmp_path / "41.db") as journal:
        with pytest.raises(NotKept, match=f"NOT kept, no part of it: .*{why}"):
            journal.append(0, [reading("42.36"), Row(AT, "Note", body)])
        assert journal.read() == []
        assert journal.append(0, [reading("42.36")])[0].seq == 1


def test_a_body_deeper_than_any_form_is_not_kept(tmp_path: Path) -> None:
    deep: dict[str, Any] = {}
    for _ in range(5000):
        deep = {"in": deep}
    with Journal.create(tmp_path / "41.db") as journal:
        with pytest.raises(NotKept, match="levels deep"):
            journal.append(0, [Row(AT, "Note", deep)])


@pytest.mark.parametrize(
    ("at", "kind"),
    [
        ("2025-03-04 13:58", "Note"),
        ("2025-03-04T13:58:02.000000+01:00", "Note"),
        (AT + "\n", "Note"),
        (AT, ""),
        (AT, 'No"te'),
        (AT, "Notiz mit °"),
    ],
)
def test_a_time_or_kind_in_another_shape_is_not_kept(tmp_path: Path, at: str, kind: str) -> None:
    with Journal.create(tmp_path / "41.db") as journal:
        with pytest.raises(NotKept, match="its time or its kind"):
            journal.append(0, [Row(at, kind, {})])
        assert journal.count == 0


TEXT = st.text(alphabet=st.characters(exclude_categories=["Cs"]))
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)


@settings(max_examples=80, deadline=None)
@given(bodies=st.lists(st.dictionaries(TEXT, JSON, max_size=4), min_size=1, max_size=4))
def test_whatever_was_typed_comes_back_the_same(
    tmp_path_factory: pytest.TempPathFactory, bodies: list[dict[str, Any]]
) -> None:
    path = tmp_path_factory.mktemp("any") / "41.db"
    with Journal.create(path) as journal:
        kept = journal.append(0, [Row(AT, "Note", body) for body in bodies])
    again = read_rows(path)
    assert again == kept
    assert [json.dumps(row.body, sort_keys=True) for row in again] == [
        json.dumps(b, sort_keys=True) for b in bodies
    ]
    assert verify(path, count=len(bodies), head=kept[-1].hash).ok


def test_a_stranger_can_check_the_hashes_with_the_query_that_stands_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [reading("42,36 °C ≥ ½"), Row(AT, "Note", {"say": 'a "quoted" \\ \n\x00 word'})])
    db = outsider(path)
    note = [text for (text,) in db.execute("select text from about order by line")]
    query = next(line.split(": ", 1)[1] for line in note if "hashed_text from entry" in line)
    rows = db.execute(query).fetchall()
    db.close()
    assert [seq for seq, _, _ in rows] == [1, 2]
    assert all(hashlib.sha256(text.encode()).hexdigest() == kept for _, kept, text in rows)
    assert rows[0][2].startswith("0" * 64 + '[1,"' + AT + '","ReadingTaken",{"name":"bore","typed":"42,36 °C')


def test_a_closed_job_takes_no_more_entries(tmp_path: Path) -> None:
    journal = Journal.create(tmp_path / "41.db")
    journal.close()
    journal.close()
    with pytest.raises(NotKept, match="it was closed"):
        journal.append(0, [reading("42.36")])


def test_a_job_file_is_named_db_so_that_its_lock_is_another_file(tmp_path: Path) -> None:
    with pytest.raises(CannotRead, match="not a job file's name"):
        Journal.create(tmp_path / "41.lock")
    assert list(tmp_path.iterdir()) == []


def test_a_job_file_moved_away_while_open_takes_nothing_more(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with Journal.create(path) as journal:
        journal.append(0, [reading("42.36")])
        path.rename(tmp_path / "moved.db")
        with pytest.raises(NotKept, match="moved, renamed or replaced while it was open"):
            journal.append(1, [reading("42.37")])
        (tmp_path / "moved.db").rename(path)
        assert journal.append(1, [reading("42.37")])[0].seq == 2


def test_what_is_left_of_a_lost_file_is_not_mixed_into_a_new_one(tmp_path: Path) -> None:
    (tmp_path / "41.db-journal").write_bytes(b"\xd9\xd5\x05\xf9 left over")
    with pytest.raises(NotKept, match=r"41\.db-journal lies there from another file") as told:
        Journal.create(tmp_path / "41.db")
    assert told.value.fix.startswith("move ")
    assert not (tmp_path / "41.db").exists()
