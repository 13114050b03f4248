"""A job at work: on disk before in the state that is shown, one program at a time, and read back as it was."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from runner.job.events import ClockNoticed, SittingBegun
from runner.job.intents import ChangePerson, ConfirmPrerequisite, ReleaseJob, Resume, StartPass, Suspend
from runner.job.job import Refusal
from runner.journal import Journal, Row, read_rows
from runner.session.at_work import AtWork, Kept, read_job
from runner.session.faults import NO_JOURNAL, STOPPED, RunnerError
from tests.session.a_bench_hand import (
    INSPECTOR,
    MACHINIST,
    BenchClock,
    demo_opening,
    demo_procedure,
    demo_sheet,
    opened,
    work_on,
)

ROOT = Path(__file__).resolve().parents[2]
FULL = """
import resource, sys
from pathlib import Path
from runner.job.intents import Suspend, ChangePerson, Resume
from runner.session.at_work import AtWork, NotKept, Kept, read_job
from tests.session.a_bench_hand import BenchClock

path = Path(sys.argv[1])
with AtWork.resume(path, BenchClock()) as at_work:
    kept, state = at_work.chain, at_work.state
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (path.stat().st_size, hard))
    asked = Suspend("x" * 200_000)
    told = at_work.act(asked)
    print(type(told).__name__, "|", told.sentence)
    print(at_work.state is state, at_work.chain == kept, at_work.is_waiting, len(read_job(path).rows) == kept[0])
    print(at_work.act(ChangePerson("Cora Lind")).sentence)
    print(type(at_work.try_again()).__name__, at_work.is_waiting)
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    print(type(at_work.try_again()).__name__, at_work.is_waiting, at_work.state.suspended.because == asked.because)
    print(at_work.try_again().sentence)
    print(type(at_work.act(Resume())).__name__, at_work.chain[0] - kept[0], len(read_job(path).rows) - kept[0])
"""


def said(script: str, *words: str) -> list[str]:
    child = subprocess.run(
        [sys.executable, "-c", script, *words],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
        timeout=60,
        check=True,
    )
    return child.stdout.splitlines()


def refused(ask: Callable[[], object]) -> RunnerError:
    with pytest.raises(RunnerError) as told:
        ask()
    return told.value


def forged(path: Path, change: Callable[[list[Row]], Sequence[Row]]) -> Path:
    """A copy of a job's file whose entries somebody rewrote, with a chain that holds together again."""
    rows = [Row(one.at, one.kind, one.body) for one in read_rows(path)]
    copy = path.with_name("forged.db")
    with Journal.create(copy) as journal:
        journal.append(0, change(json_copy(rows)))
    return copy


def json_copy(rows: list[Row]) -> list[Row]:
    return [replace(one, body=json.loads(json.dumps(one.body))) for one in rows]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The file of a job worked on a little, and closed."""
    found, clock = tmp_path / "41.db", BenchClock()
    with opened(found, clock) as at_work:
        for _ in range(20):
            assert work_on(at_work, clock, demo_sheet())
    return found


def test_what_is_kept_is_on_disk_before_it_is_in_the_state(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    with opened(path) as at_work:
        before = at_work.state
        assert isinstance(at_work.act(ConfirmPrerequisite(1)), Kept)
        assert before.prerequisites == 0 and at_work.state.prerequisites == 1
        assert read_job(path).state == at_work.state
        assert read_job(path).events == tuple(at_work.events)
        count, head = at_work.chain
        assert (count, head) == (len(read_rows(path)), read_rows(path)[-1].hash)


def test_a_refusal_leaves_the_file_as_it_was(path: Path) -> None:
    with AtWork.resume(path, BenchClock()) as at_work:
        before = at_work.chain
        assert isinstance(at_work.act(ReleaseJob(INSPECTOR, "all")), Refusal)
        assert at_work.chain == before and len(read_rows(path)) == before[0]


def test_a_job_is_taken_up_where_it_was_left_and_the_sitting_is_noted(path: Path) -> None:
    left = read_job(path)
    last = left.state.last_at
    assert last
    with AtWork.resume(path, BenchClock(last.utc + timedelta(hours=14))) as at_work:
        assert at_work.state.in_hand == left.state.in_hand
        assert at_work.state.known == left.state.known
        assert isinstance(at_work.events[-1], SittingBegun)
        assert tuple(at_work.events[:-1]) == left.events


def test_a_clock_that_stood_still_over_a_restart_is_noticed_when_the_job_is_taken_up(path: Path) -> None:
    with AtWork.resume(path, BenchClock()) as at_work:
        noticed = [one for one in at_work.events if isinstance(one, ClockNoticed)]
    assert noticed[0].what == "the machine was restarted since the last entry"


def test_a_second_program_is_refused_while_the_first_one_writes_and_may_read(path: Path) -> None:
    with AtWork.resume(path, BenchClock()):
        told = refused(lambda: AtWork.resume(path, BenchClock()))
        assert told.code == NO_JOURNAL and "41" in told.what
        assert read_job(path).job.number == "41"
    AtWork.resume(path, BenchClock()).close()


def test_a_job_that_can_not_be_taken_up_leaves_no_lock_behind(path: Path) -> None:
    copy = forged(path, lambda rows: [*rows, Row(rows[-1].at, "thing-guessed", {})])
    for _ in range(2):
        assert "thing-guessed" in refused(lambda: AtWork.resume(copy, BenchClock())).what


def test_a_full_disk_keeps_the_act_in_hand_takes_no_other_and_keeps_it_once_there_is_room(path: Path) -> None:
    first, shown, other, again, then, nothing, after = said(FULL, str(path))
    assert first.startswith("NotKept | this act is NOT kept, no part of it: ")
    assert shown == "True True True True"
    assert other == "the entry before this one is not kept yet"
    assert again == "NotKept True"
    assert then == "Kept False True"
    assert nothing == "everything is kept"
    assert after == "Kept 2 2"


def test_a_text_that_no_file_can_hold_is_refused_and_holds_up_nothing(path: Path) -> None:
    """Half a character comes in where a terminal hands over bytes that are no letters."""
    with AtWork.resume(path, BenchClock()) as at_work:
        told = at_work.act(Suspend("lights \udcff out"))
        assert isinstance(told, Refusal) and "half a character" in told.sentence
        assert not at_work.is_waiting
        assert isinstance(at_work.act(Suspend("lights out")), Kept)


def test_a_job_is_opened_once_under_its_number(path: Path) -> None:
    told = refused(lambda: opened(path))
    assert (told.code, told.fix) == (NO_JOURNAL, "give the new job another number")


def test_a_job_that_can_not_be_opened_so_leaves_no_file(tmp_path: Path) -> None:
    asked = replace(demo_opening(), named={"head": ["H1", "h1"]})
    told = refused(lambda: AtWork.open(tmp_path / "41.db", demo_procedure(), asked, BenchClock()))
    assert told.code == STOPPED and "can't both be called" in told.what
    assert list(tmp_path.iterdir()) == []


def test_a_released_job_is_opened_read_and_never_written_to_again(tmp_path: Path, released_job: Path) -> None:
    path = tmp_path / "done.db"
    shutil.copy(released_job, path)
    before = path.read_bytes()
    with AtWork.resume(path, BenchClock()) as at_work:
        for intent in (ChangePerson("Cora Lind"), Suspend("why"), Resume(), StartPass(("Fit card", "H1/EX"))):
            answer = at_work.act(intent)
            assert (
                isinstance(answer, Refusal) and answer.sentence == "job done is released and can only be read"
            )
    assert path.read_bytes() == before


def first_body(**changes: Any) -> Callable[[list[Row]], Sequence[Row]]:
    return lambda rows: [replace(rows[0], body={**rows[0].body, **changes}), *rows[1:]]


def entry(number: int, **changes: Any) -> Callable[[list[Row]], Sequence[Row]]:
    def change(rows: list[Row]) -> Sequence[Row]:
        at = next(n for n, one in enumerate(rows) if n >= number - 1 and set(changes) <= set(one.body))
        return [*rows[:at], replace(rows[at], body={**rows[at].body, **changes}), *rows[at + 1 :]]

    return change


def rewritten(rows: list[Row]) -> Sequence[Row]:
    """The limit in the procedure moved, as somebody would to make a bad bore good."""
    text = rows[0].body["procedure_text"]
    assert "within: 0.010 mm of bore_wanted" in text
    return first_body(
        procedure_text=text.replace("within: 0.010 mm of bore_wanted", "within: 0.100 mm of bore_wanted")
    )(rows)


def load(rows: list[Row], **said: object) -> Row:
    """A load that was put together, as it would stand in the file."""
    return Row(rows[-1].at, "load-made", {**at_and_who(rows), "name": "load 1", **said})


def left(rows: list[Row]) -> dict[str, object]:
    return {**at_and_who(rows), "name": "load 9", "part": "H1", "because": "it was never in it"}


def at_and_who(rows: list[Row]) -> dict[str, object]:
    return {name: rows[-1].body[name] for name in ("at", "who")}


NOT_THERE = "it tells of something that this job doesn't have"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (first_body(grammar=2), "job 41 is written in grammar 2, and this program reads 1"),
        (first_body(grammar=0), "job 41 is written in grammar 0, and this program reads 1"),
        (rewritten, "the procedure inside job file forged.db is not the one that the job was opened with"),
        (
            lambda rows: [*rows, Row(rows[-1].at, "reading-guessed", {})],
            "an entry of the kind 'reading-guessed', which this program doesn't know",
        ),
        (entry(4, step="one"), "lacks something or holds something else"),
        (lambda rows: rows[1:], "does not begin with the opening of a job"),
        (lambda rows: [*rows, rows[0]], NOT_THERE),
        (entry(5, stage="Nowhere"), NOT_THERE),
        (entry(5, part="H9/EX"), NOT_THERE),
        (entry(5, part="H1/EX"), NOT_THERE),
        (entry(5, step=99), NOT_THERE),
        (entry(5, step=0), NOT_THERE),
        (lambda rows: [*rows, load(rows, kind="head", parts=["H1"])], NOT_THERE),
        (lambda rows: [*rows, load(rows, kind="nothing", parts=[])], NOT_THERE),
        (lambda rows: [*rows, Row(rows[-1].at, "load-left", left(rows))], NOT_THERE),
    ],
)
def test_a_file_that_is_no_such_job_is_refused_with_a_sentence(
    path: Path, change: Callable[[list[Row]], Sequence[Row]], sentence: str
) -> None:
    copy = forged(path, change)
    for ask in (lambda: read_job(copy), lambda: AtWork.resume(copy, BenchClock())):
        told = refused(ask)
        assert sentence in told.what and told.code == NO_JOURNAL and told.fix


def test_a_procedure_inside_that_this_program_can_not_read_is_refused(path: Path) -> None:
    text = "procedure: of another kind\n"
    copy = forged(
        path, first_body(procedure_text=text, procedure_sha256=hashlib.sha256(text.encode()).hexdigest())
    )
    told = refused(lambda: read_job(copy))
    assert told.what == "the procedure inside job file forged.db can't be read by this program"


def test_the_job_keeps_its_own_procedure_whatever_becomes_of_the_shops_file(path: Path) -> None:
    assert read_job(path).job.procedure.text == demo_procedure().text


def test_one_letter_changed_behind_the_programs_back_is_told_with_its_entry(path: Path) -> None:
    db = sqlite3.connect(path)
    for (name,) in db.execute("select name from sqlite_master where type = 'trigger'").fetchall():
        db.execute(f'drop trigger "{name}"')
    db.execute(
        "update entry set body = replace(body, '22.5', '22.6') where seq = (select min(seq) from entry where body like '%\"typed\":\"22.5\"%')"
    )
    db.commit()
    db.close()
    told = refused(lambda: read_job(path))
    assert told.code == NO_JOURNAL and "41.db" in told.what


@pytest.mark.parametrize("bad", [b"", b"not a job", b"SQLite format 3\x00" + bytes(100)])
def test_what_is_no_job_file_is_told_to_be_none(tmp_path: Path, bad: bytes) -> None:
    path = tmp_path / "41.db"
    path.write_bytes(bad)
    assert refused(lambda: read_job(path)).code == NO_JOURNAL
    assert refused(lambda: AtWork.resume(path, BenchClock())).code == NO_JOURNAL


GUEST = """
import os, sys
from pathlib import Path
from runner.session.at_work import AtWork
from runner.session.faults import RunnerError
from tests.session.a_bench_hand import BenchClock, demo_opening, demo_procedure

path, procedure = Path(sys.argv[1]) / "42.db", demo_procedure()
if os.getuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
try:
    AtWork.open(path, procedure, demo_opening(), BenchClock())
except RunnerError as told:
    print(told.code, told.what)
"""


def test_a_folder_where_nobody_may_write_keeps_no_job_and_says_so() -> None:
    with tempfile.TemporaryDirectory(prefix="jobs-") as folder:
        os.chmod(folder, 0o555)
        (told,) = said(GUEST, folder)
        assert told.startswith("3 nothing can be kept in job file 42.db: ")
        assert os.listdir(folder) == []


def test_the_person_who_opened_the_job_is_at_the_bench_until_another_says_so(path: Path) -> None:
    with AtWork.resume(path, BenchClock()) as at_work:
        assert at_work.state.person == MACHINIST
        at_work.act(ChangePerson(INSPECTOR))
    assert read_job(path).state.person == INSPECTOR
