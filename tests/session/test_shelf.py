"""The folder of all jobs, read without touching any; and zones, clocks and procedures by their names."""

from __future__ import annotations

import shutil
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from runner.job.intents import Confirm, Hurry, MakeLoad, StartPass, Suspend, Type
from runner.job.opening import Opening
from runner.session.at_work import AtWork, Kept, read_job
from runner.session.clock import MachineClock, SimulatedClock, is_zone, zone_here, zone_of
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.session.library import find, procedure_at
from runner.session.shelf import due_words, find_job, job_files, job_path, jobs_folder, lines
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.session.a_bench_hand import BenchClock, demo_sheet, opened, work_on


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory, released_job: Path) -> Path:
    """A new job, one suspended, one that waits, one released, one taken up now, and files that are no jobs."""
    folder = tmp_path_factory.mktemp("jobs")
    sheet = demo_sheet()
    opened(folder / "new.db", number="new").close()
    with opened(folder / "night.db", number="night") as at_work:
        at_work.act(Suspend("lights out"))
    clock = BenchClock()
    with opened(folder / "freezer.db", clock, number="freezer") as at_work:
        while not at_work.state.times:
            work_on(at_work, clock, sheet)
    shutil.copy(released_job, folder / "done.db")
    (folder / "empty.db").write_bytes(b"")
    (folder / "words.db").write_text("not a job")
    (folder / "cut.db").write_bytes((folder / "done.db").read_bytes()[:9000])
    (folder / "folder.db").mkdir()
    (folder / "gone.db").symlink_to(folder / "nowhere.db")
    (folder / "notes.txt").write_text("no job at all")
    return folder


def test_broken_files_are_listed_beside_good_ones_with_what_is_wrong(shelf: Path) -> None:
    found = {line.number: line for line in lines(shelf, BenchClock().now())}
    bad = {number for number, line in found.items() if line.problem}
    assert bad == {"empty", "words", "cut", "folder", "gone"}
    assert set(found) - bad == {"new", "night", "freezer", "done"}
    assert all(
        line.problem and "Error" not in line.problem for number, line in found.items() if number in bad
    )


def test_a_job_is_told_in_a_line_with_its_standing_and_how_far_it_is(shelf: Path) -> None:
    found = {line.number: line for line in lines(shelf, BenchClock().now())}
    assert (found["new"].standing, found["new"].progress) == ("running", "0 of 85 passes")
    assert (found["night"].standing, found["done"].standing) == ("suspended", "released")
    assert found["done"].progress == "88 of 88 passes"
    assert all(found[number].invented for number in ("new", "night", "freezer", "done"))


def test_what_is_due_soonest_stands_first_and_released_jobs_last(shelf: Path) -> None:
    found = [line.number for line in lines(shelf, BenchClock().now()) if not line.problem]
    assert found[0] == "freezer" and found[-1] == "done"


def test_a_running_wait_is_told_with_its_part_and_the_time_on_the_shops_clock(shelf: Path) -> None:
    last = read_job(shelf / "freezer.db").state.last_at
    assert last
    for later, words in ((timedelta(minutes=1), ""), (timedelta(hours=3), "over since ")):
        now = BenchClock(last.utc + later).now()
        job = next(line for line in lines(shelf, now) if line.number == "freezer")
        assert job.due and (job.due.what, job.due.part) == ("time_in_freezer", "H1/EX")
        assert job.due.at == last.utc + timedelta(hours=2) and job.due.is_over is bool(words)
        at = f"{job.due.at.astimezone(job.zone):%H:%M}"
        assert due_words(job.due, job.zone, now) == f"{words}{at} time_in_freezer on H1/EX"


def test_what_a_rehearsal_waits_for_is_told_by_its_own_hurried_clock(tmp_path: Path) -> None:
    clock = BenchClock()
    asked = Opening("9", "Ada Fitch", {"frame": ["F1"]}, False, rehearsal=True, zone="UTC")
    with AtWork.open(tmp_path / "9.db", procedure(OVEN), asked, clock) as at_work:
        for intent in (StartPass(("Coat", "F1")), Confirm(), Hurry(7200)):
            assert isinstance(at_work.act(intent), Kept)
    (line,) = lines(tmp_path, clock.now())
    assert line.due and line.due.is_over and line.due_in_s == -3600
    assert line.due_words == "overdue since 07:30 still_clean on F1"


def test_a_reading_of_a_soak_is_due_within_its_grace_and_overdue_after_it(tmp_path: Path) -> None:
    clock = BenchClock()
    asked = Opening("9", "Ada Fitch", {"frame": ["F1"]}, False, zone="UTC")
    with AtWork.open(tmp_path / "9.db", procedure(OVEN), asked, clock) as at_work:
        for intent in (MakeLoad("batch", "tray", ("F1",)), StartPass(("Bake", "tray")), Type("200")):
            assert isinstance(at_work.act(intent), Kept)
    for minutes, words in (
        (0, "06:50 bake on tray"),
        (20, "due since 06:50 bake on tray"),
        (25, "due since 06:50 bake on tray"),
        (26, "overdue since 06:55 bake on tray"),
    ):
        (line,) = lines(tmp_path, BenchClock(clock.at + timedelta(minutes=minutes)).now())
        assert line.due_words == words


def test_looking_at_the_shelf_touches_nothing_and_asks_no_lock(shelf: Path, tmp_path: Path) -> None:
    path = tmp_path / "night.db"
    shutil.copy(shelf / "night.db", path)
    with AtWork.resume(path, BenchClock()):
        before = path.read_bytes()
        assert [line.standing for line in lines(tmp_path, BenchClock().now())] == ["suspended"]
        assert path.read_bytes() == before


def test_a_folder_that_is_not_there_holds_no_jobs(tmp_path: Path) -> None:
    assert lines(tmp_path / "nowhere", BenchClock().now()) == [] and job_files(tmp_path / "nowhere") == []


def test_a_job_is_found_by_its_number_or_its_file_and_a_near_number_is_offered(shelf: Path) -> None:
    assert (
        find_job(shelf, "night")
        == find_job(Path("elsewhere"), str(shelf / "night.db"))
        == job_path(shelf, "night")
    )
    with pytest.raises(RunnerError) as told:
        find_job(shelf, "nigth")
    assert told.value.code == NO_JOURNAL and told.value.fix.startswith("did you mean night?")


def test_the_folder_of_jobs_is_the_one_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCHHAND_JOBS", "/shop/jobs")
    assert (jobs_folder("here"), jobs_folder()) == (Path("here"), Path("/shop/jobs"))
    monkeypatch.setenv("BENCHHAND_JOBS", "")
    assert jobs_folder() == Path("jobs")


@pytest.mark.parametrize(
    ("name", "summer_noon"),
    [
        ("UTC", "12:00"),
        ("Europe/Vienna", "14:00"),
        ("UTC+01:00", "13:00"),
        ("UTC-03:30", "08:30"),
        ("UTC+14:00", "02:00"),
        ("UTC+99:00", "12:00"),
        ("UTC+01:99", "12:00"),
        ("Mars/Base", "12:00"),
        ("../../etc/passwd", "12:00"),
        ("/etc/localtime", "12:00"),
        ("", "12:00"),
        ("a\x00b", "12:00"),
    ],
)
def test_a_zone_is_what_its_name_says_and_utc_where_nobody_knows_it(name: str, summer_noon: str) -> None:
    noon = datetime(2031, 7, 1, 12, tzinfo=UTC)
    assert f"{noon.astimezone(zone_of(name)):%H:%M}" == summer_noon


def test_only_names_that_mean_a_zone_are_zones() -> None:
    assert all(is_zone(name) for name in ("UTC", "Europe/Vienna", "UTC-11:30", "UTC+00:00"))
    assert not any(is_zone(name) for name in ("", "Mars/Base", "UTC+24:00", "UTC+1", "UTC+٠١:٠٠", ".."))


@pytest.mark.parametrize("name", ["Europe/Vienna", ":America/New_York"])
def test_the_zone_of_this_machine_is_one_that_a_job_can_keep(
    monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setenv("TZ", name)
    assert zone_here() == name.lstrip(":")
    monkeypatch.setenv("TZ", "no such zone")
    assert is_zone(zone_here())


def test_the_machines_clock_runs_on_and_names_its_start() -> None:
    clock = MachineClock()
    one, two = clock.now(), clock.now()
    assert one.boot_id == two.boot_id and two.boot >= one.boot and one.utc.tzinfo is UTC
    assert abs(one.utc.timestamp() - time.time()) < 60


def test_a_simulated_clock_runs_only_when_told_to_and_never_back() -> None:
    clock = SimulatedClock(datetime(2031, 3, 3, 7, 30, tzinfo=UTC))
    first = clock.now()
    assert clock.now() == first
    clock.run(timedelta(hours=-1))
    clock.run_to(first.utc - timedelta(days=1))
    assert clock.now() == first
    clock.run_to(first.utc + timedelta(hours=2))
    assert clock.now().boot - first.boot == 7200


def test_a_procedure_is_found_by_name_or_file_and_a_near_name_is_offered(tmp_path: Path) -> None:
    assert procedure_at("head-seats").id == "head-seats"
    with pytest.raises(RunnerError) as told:
        find("head-seat")
    assert told.value.code == PROBLEMS and told.value.fix.startswith("did you mean head-seats?")
    with pytest.raises(RunnerError, match="is a folder, not a procedure"):
        find(str(tmp_path))
    bad = tmp_path / "bad.yaml"
    bad.write_text("procedure: half of one\n")
    with pytest.raises(RunnerError) as told:
        procedure_at(str(bad))
    assert f"{bad}:1:1: this procedure does not say 'id'" in told.value.what
