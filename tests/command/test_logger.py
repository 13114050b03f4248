"""`benchhand logger`: a logger's file read into the soak of a job, and how that ends."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from runner.command.line import main
from runner.job.intents import MakeLoad, StartPass
from runner.job.opening import Opening
from runner.session.at_work import AtWork, Kept, read_job
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN

KEY = ("Bake", "tray 1")
Said = tuple[int, str, str]
Run = Callable[..., Said]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """The command line in a folder of its own: exit code, what was printed, what was complained of."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BENCHHAND_JOBS", raising=False)

    def said(*words: str) -> Said:
        code = main(["logger", *words])
        told = capsys.readouterr()
        return code, told.out, told.err

    return said


def baking(*frames: str, begun: bool = True) -> datetime:
    """Job 7 with frames in the oven for two hours now; since when."""
    since = datetime.now(UTC) - timedelta(hours=2)
    asked = Opening("7", "Ada Fitch", {"frame": list(frames)}, False, invented=True, zone="UTC")
    Path("jobs").mkdir()
    with AtWork.open(Path("jobs/7.db"), procedure(OVEN), asked, SimulatedClock(since)) as at_work:
        for intent in (MakeLoad("batch", "tray 1", frames), StartPass(KEY)) if begun else ():
            assert isinstance(at_work.act(intent), Kept)
    return since


def written(since: datetime, *typed: str) -> None:
    """A row every ten minutes."""
    rows = [
        f"{since + timedelta(minutes=10 * at):%Y-%m-%dT%H:%M:%S.%fZ},{one}\n" for at, one in enumerate(typed)
    ]
    Path("oven.csv").write_text("time,degC\n" + "".join(rows), encoding="utf-8")


def test_a_file_is_read_into_the_only_soak_that_runs_and_its_end_is_told(run: Run) -> None:
    written(baking("F1"), *["200.1"] * 7)
    code, out, err = run("7", "oven.csv")
    assert (code, err) == (0, "")
    assert "oven.csv stands for F1 in bake" in out and "bake soaked 1 h 0 min of at least 60 min" in out
    assert read_job(Path("jobs/7.db")).state.at(KEY).done
    code, _, err = run("7", "oven.csv")
    assert code == 4 and "no soak of job 7 waits for readings" in err


def test_read_again_after_it_grew_a_file_counts_once(run: Run) -> None:
    since = baking("F1")
    for number in (3, 3, 5):
        written(since, *["200"] * number)
        assert run("7", "oven.csv")[0] in (0, 1)
    assert read_job(Path("jobs/7.db")).state.at(KEY).soaks[1].total_s == 2400


def test_over_its_temperature_in_the_file_the_soak_stops_with_code_4(run: Run) -> None:
    written(baking("F1"), "200", "230", "200")
    code, _, err = run("7", "oven.csv")
    assert code == 4 and "the soak stopped: F1 was at 230 degC" in err


def test_of_two_parts_the_one_is_named_and_nothing_counts_until_the_other_was_read(run: Run) -> None:
    written(baking("F1", "F2"), "200", "200")
    code, _, err = run("7", "oven.csv")
    assert code == 4 and "which place does oven.csv stand for?" in err and "F1, F2" in err
    code, out, _ = run("7", "oven.csv", "--part", "f2")
    assert code == 0 and "it counts once every place of the soak has been read" in out
    code, _, err = run("7", "oven.csv", "--part", "F9")
    assert code == 2 and "'Bake' with F1, F2" in err


def test_a_file_without_a_row_that_counts_is_told_with_code_1(run: Run) -> None:
    written(baking("F1") - timedelta(days=3), "200", "200")
    code, _, err = run("7", "oven.csv")
    assert code == 1 and "no row of this file counts" in err and "2 rows add nothing, of before bake" in err
    code, _, err = run("7", "none.csv")
    assert code == 4 and "none.csv can't be read: it is not there" in err


def test_a_job_without_a_soak_that_runs_and_a_job_that_is_none_are_told(run: Run) -> None:
    written(baking("F1", begun=False), "200")
    assert run("7", "oven.csv")[0] == 4
    assert run("8", "oven.csv")[0] == 3
    assert run("7")[0] == 2


def test_in_a_shop_that_names_its_people_somebody_says_who_it_is(run: Run) -> None:
    written(baking("F1"), "200", "200")
    Path("jobs/shop.yaml").write_text(
        "shop: Frames that don't exist\nzone: UTC\npeople:\n  - person: Ada Fitch\n    roles: [fitter]\n",
        encoding="utf-8",
    )
    code, _, err = run("7", "oven.csv")
    assert code == 2 and "add --who NAME" in err
    code, _, err = run("7", "oven.csv", "--who", "Zed Unknown")
    assert code == 4 and "nobody called 'Zed Unknown'" in err
    code, out, err = run("7", "oven.csv", "--who", "ada fitch")
    assert (code, err) == (0, "") and "oven.csv on F1: 2 rows" in out
