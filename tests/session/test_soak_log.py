"""A logger's file at a real job: read as it grows, imported afterwards, and never twice, whatever happens to the program."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job.events import Event, LoggerRead, LoggerTaken, SoakDone, SoakRound
from runner.job.intents import MakeLoad, StartPass, Suspend, Type
from runner.job.job import Refusal
from runner.job.opening import Opening
from runner.journal import verify
from runner.paper.record import as_json
from runner.paper.text import as_text
from runner.session.at_work import AtWork, Kept, read_job
from runner.session.soak_log import look, soaks_now
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.session.a_bench_hand import OPENED, BenchClock

ROOT = Path(__file__).resolve().parents[2]
KEY = ("Bake", "tray 1")
KILLED = """
import os, signal, sys
from datetime import timedelta
from pathlib import Path
from runner.session.at_work import AtWork
from runner.session.soak_log import look
from tests.session.a_bench_hand import OPENED, BenchClock

job, file, minutes = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
at_work = AtWork.resume(job, BenchClock(OPENED + timedelta(minutes=minutes)))
look(at_work, ("Bake", "tray 1"), file)
os.kill(os.getpid(), signal.SIGKILL)
"""


def baking(folder: Path, clock: BenchClock, *frames: str, zone: str = "UTC") -> AtWork:
    """A job with frames in the oven from now on."""
    frames = frames or ("F1",)
    asked = Opening("7", "Ada Fitch", {"frame": list(frames)}, False, invented=True, zone=zone)
    at_work = AtWork.open(folder / "7.db", procedure(OVEN), asked, clock)
    for intent in (MakeLoad("batch", "tray 1", frames), StartPass(KEY)):
        assert isinstance(at_work.act(intent), Kept)
    return at_work


def written(path: Path, first: int, last: int, typed: str = "200,5", end: str = "\n") -> None:
    """A row a minute, in the time of the zone UTC, behind what is there."""
    with path.open("a", encoding="utf-8") as file:
        for minute in range(first, last + 1):
            at = OPENED + timedelta(minutes=minute)
            file.write(f"{at:%d.%m.%Y %H:%M:%S};{typed}{end if minute == last else chr(10)}")


def told(outcome: object) -> tuple[Event, ...]:
    assert isinstance(outcome, Kept), outcome
    return outcome.events


def minutes(at_work: AtWork) -> float:
    return at_work.state.at(KEY).soaks[1].total_s / 60


def test_a_file_is_read_while_it_grows_and_half_a_line_is_left_for_the_next_look(tmp_path: Path) -> None:
    clock, file = BenchClock(), tmp_path / "oven.csv"
    file.write_text("Datum;Zeit;C\n", encoding="utf-8")
    with baking(tmp_path, clock) as at_work:
        clock.run(timedelta(minutes=10))
        written(file, 0, 10, end="")
        assert isinstance(told(look(at_work, KEY, file))[0], LoggerTaken)
        assert minutes(at_work) == 9
        with file.open("a", encoding="utf-8") as more:
            more.write("\n")
        look(at_work, KEY, file)
        assert minutes(at_work) == 10
        assert told(look(at_work, KEY, file)) == ()
        clock.run(timedelta(minutes=50))
        written(file, 11, 60)
        assert any(isinstance(one, SoakDone) for one in told(look(at_work, KEY, file)))
        assert soaks_now(at_work.job, at_work.state) == {}
        assert isinstance(look(at_work, KEY, file), Refusal)
    assert verify(tmp_path / "7.db").ok


def test_a_file_of_a_whole_day_is_imported_afterwards_in_one_go(tmp_path: Path) -> None:
    clock, file = BenchClock(), tmp_path / "day.csv"
    written(file, -300, -1, "240,0")
    written(file, 0, 70)
    written(file, 71, 500, "22,0")
    with baking(tmp_path, clock) as at_work:
        clock.run(timedelta(minutes=600))
        events = told(look(at_work, KEY, file, "F1"))
        assert [one.total_s for one in events if isinstance(one, SoakDone)] == [3600]
        (read,) = (one for one in events if isinstance(one, LoggerRead))
        assert len(read.rows) == 61 and read.read_lines == 801
        assert read.said == (
            "300 rows add nothing, of before bake could begin",
            "440 rows add nothing, of after bake was done",
        )


def test_a_file_longer_than_is_read_at_once_is_read_to_its_end(tmp_path: Path) -> None:
    clock, file = BenchClock(), tmp_path / "long.csv"
    written(file, -20_000, 59)
    assert file.stat().st_size > 400_000
    with baking(tmp_path, clock) as at_work:
        clock.run(timedelta(minutes=59))
        look(at_work, KEY, file)
        assert minutes(at_work) == 59
        assert at_work.state.at(KEY).soaks[1].loggers["long.csv"].read_bytes == file.stat().st_size


def test_a_program_that_is_killed_reads_on_where_it_was_and_nothing_twice(tmp_path: Path) -> None:
    clock, file, job = BenchClock(), tmp_path / "oven.csv", tmp_path / "7.db"
    written(file, 0, 20)
    baking(tmp_path, clock).close()
    for minute in (20, 21):
        child = subprocess.run(
            [sys.executable, "-c", KILLED, str(job), str(file), str(minute)],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            timeout=60,
            check=False,
        )
        assert child.returncode == -9
    written(file, 21, 30)
    clock.run(timedelta(minutes=30))
    with AtWork.resume(job, clock) as at_work:
        look(at_work, KEY, file)
        assert minutes(at_work) == 30
        reads = [one for one in at_work.events if isinstance(one, LoggerRead)]
        assert [len(one.rows) for one in reads] == [21, 10] and not any(one.aside for one in reads)
    assert verify(job).ok and read_job(job).state.at(KEY).soaks[1].total_s == 1800


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda text: text[:60], "oven.csv is shorter than it was; it is another file now"),
        (
            lambda text: text.replace("200,5", "199,5"),
            "oven.csv is not what it was when it was read last; it is another file now",
        ),
    ],
)
def test_a_file_that_shrank_or_was_changed_is_told_once_and_read_no_further(
    tmp_path: Path, change: object, said: str
) -> None:
    clock, file = BenchClock(), tmp_path / "oven.csv"
    written(file, 0, 10)
    with baking(tmp_path, clock) as at_work:
        clock.run(timedelta(minutes=10))
        look(at_work, KEY, file)
        file.write_text(change(file.read_text()))  # type: ignore[operator]
        clock.run(timedelta(minutes=10))
        (event,) = told(look(at_work, KEY, file))
        assert isinstance(event, LoggerRead) and event.said == (said,) and event.rows == ()
        assert told(look(at_work, KEY, file)) == () and minutes(at_work) == 10


def test_a_file_that_is_not_there_is_taken_for_nothing(tmp_path: Path) -> None:
    with baking(tmp_path, BenchClock()) as at_work:
        before = at_work.chain
        (tmp_path / "folder").mkdir()
        os.mkfifo(tmp_path / "pipe")  # opened, it would be waited on for ever
        for name in ("none.csv", "folder", "pipe"):
            outcome = look(at_work, KEY, tmp_path / name)
            assert isinstance(outcome, Refusal) and "it is not there, or is no file" in outcome.sentence
        assert at_work.chain == before


def test_the_hour_that_the_shops_clock_shows_twice_proves_nothing(tmp_path: Path) -> None:
    """The clock goes back at 01:00 UTC on that day (EU: Directive 2000/84/EC, last Sunday in October; from memory)."""
    file, begun = tmp_path / "night.csv", OPENED.replace(month=10, day=25, hour=23, minute=30)
    clock = BenchClock(begun)
    with baking(tmp_path, clock, zone="Europe/Berlin") as at_work:
        lines = [begun + timedelta(minutes=10 * at) for at in range(19)]
        local = [at.astimezone(at_work.job.zone) for at in lines]
        file.write_text("".join(f"{at:%Y-%m-%d %H:%M:%S},200\n" for at in local), encoding="utf-8")
        clock.run(timedelta(hours=3))
        look(at_work, KEY, file)
        assert minutes(at_work) == 50
        (read,) = (one for one in at_work.events if isinstance(one, LoggerRead))
        assert len(read.rows) == 7 and len(read.said) == 12 and "which of the two it is" in read.said[0]
        (round_,) = (one for one in at_work.events if isinstance(one, SoakRound))
        assert round_.note == "a gap of 2 h 10 min proves nothing, and does not count"


def test_rows_wait_while_the_job_is_suspended(tmp_path: Path) -> None:
    clock, file = BenchClock(), tmp_path / "oven.csv"
    written(file, 0, 10)
    with baking(tmp_path, clock) as at_work:
        clock.run(timedelta(minutes=10))
        look(at_work, KEY, file)
        at_work.act(Suspend("for the night"))
        written(file, 11, 20)
        clock.run(timedelta(minutes=10))
        assert isinstance(look(at_work, KEY, file), Refusal) and minutes(at_work) == 10


def test_a_load_of_two_has_one_logger_and_one_pair_of_eyes(tmp_path: Path) -> None:
    clock, file = BenchClock(), tmp_path / "oven.csv"
    with baking(tmp_path, clock, "F1", "F2") as at_work:
        written(file, 0, 0)
        outcome = look(at_work, KEY, file)
        assert isinstance(outcome, Refusal) and "which place" in outcome.sentence
        look(at_work, KEY, file, "f1")
        at_work.act(Type("200"))
        for quarter in range(4):
            clock.run(timedelta(minutes=15))
            written(file, 15 * quarter + 1, 15 * quarter + 15)
            look(at_work, KEY, file)
            at_work.act(Type("201"))
        assert at_work.state.at(KEY).done
        other = look(at_work, KEY, file, "F2")
        assert isinstance(other, Refusal)


def test_a_record_tells_what_was_read_of_the_file_and_what_was_not(tmp_path: Path) -> None:
    clock, file = BenchClock(), tmp_path / "oven.csv"
    written(file, 0, 10)
    file.write_text(file.read_text() + "battery low\n", encoding="utf-8")
    with baking(tmp_path, clock) as at_work:
        clock.run(timedelta(minutes=10))
        look(at_work, KEY, file)
    text, json = as_text(read_job(tmp_path / "7.db")), as_json(read_job(tmp_path / "7.db"))
    said = " ".join(text.split())
    assert "oven.csv stands for F1 in bake" in said
    assert (
        "oven.csv on F1: 11 rows, 2031-03-03 06:30:00 to 06:40:00 UTC, 200,5 to 200,5 degC; line 12:" in said
    )
    assert '"typed": "200,5"' in json
