"""Procedures with one fault each, which only a walk through them shows, and one without any."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from runner.command.line import main
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from runner.trial.findings import found_in
from runner.trial.jobs import tallied, walked
from runner.trial.report import as_text
from runner.trial.tally import Tally
from runner.trial.walk import Trial, prepared
from tests.job.a_ringed_plate import TEXT as RINGED_PLATE
from tests.job.an_oven import OVEN

HERE = Path(__file__).parent
JOBS = 30


def procedure_of(text: str) -> Procedure:
    procedure, problems = read_procedure(text, "trial.yaml")
    assert procedure is not None, problems
    return procedure


def trial_of(text: str, seed: int = 1) -> Trial:
    trial = prepared(procedure_of(text), {}, seed)
    assert isinstance(trial, Trial), trial
    return trial


def tally_of(text: str, jobs: int = JOBS, seed: int = 1) -> Tally:
    trial = trial_of(text, seed)
    return tallied(walked(trial, index) for index in range(jobs))


def planted(text: str) -> set[tuple[int, str]]:
    """The lines that a file marks, each with what is to be found there."""
    marks = ((at, re.search(r"# !! (.+)$", line)) for at, line in enumerate(text.split("\n"), 1))
    return {(at, sort) for at, mark in marks if mark for sort in mark[1].split()}


@pytest.mark.parametrize("path", sorted(HERE.glob("*.yaml")), ids=lambda path: path.stem)
def test_what_is_planted_in_a_procedure_is_found_on_its_line_and_nothing_else(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    found = found_in(procedure_of(text), tally_of(text))
    assert {(one.line, one.sort) for one in found} == planted(text), [one.sentence for one in found]


def test_loads_soaks_windows_totals_and_clocks_are_walked_to_the_end() -> None:
    tally = tally_of(OVEN, 110)
    assert found_in(procedure_of(OVEN), tally) == []
    assert tally.ends["released"] == 110


def test_blocks_ladders_reworks_witnesses_and_second_readings_are_walked_to_the_end() -> None:
    tally = tally_of(RINGED_PLATE, 48)
    assert tally.ends["released"] == 48
    assert tally.taken["Bore", 9, "cut again"] and tally.taken["Bore", 9, "next oversize"]
    assert tally.passed["Bore", 13] and tally.passed["Bore", 14]


def test_both_sides_of_a_limit_are_drawn_and_every_option() -> None:
    tally = tally_of((HERE / "sound.yaml").read_text(encoding="utf-8"))
    assert tally.met["Turn", 6] > tally.failed["Turn", 6] > 0
    assert {option for title, _, option in tally.drawn if title == "Turn"} == {"bright", "dull", "torn"}
    assert all(tally.taken["Turn", 6, way] for way in ("turn again", "concession"))


def test_a_job_is_the_same_whichever_jobs_were_walked_before_it() -> None:
    trial = trial_of((HERE / "sound.yaml").read_text(encoding="utf-8"))
    alone = walked(trial, 7)
    assert [walked(trial, index) for index in range(8)][7] == alone


def test_another_seed_walks_other_jobs() -> None:
    text = (HERE / "sound.yaml").read_text(encoding="utf-8")
    assert tally_of(text, 5, seed=2) != tally_of(text, 5, seed=1)


def test_a_report_is_the_same_on_one_process_and_on_two(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["trial", str(HERE / "a-dead-step.yaml"), "-n", "24"]
    said = []
    for processes in ("1", "2"):
        assert main([*words, "--jobs-at-once", processes]) == 1
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]
    assert "24 virtual jobs, seed 1" in said[0]


def test_a_procedure_in_which_nothing_is_found_ends_well(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(HERE / "sound.yaml")
    assert main(["trial", path, "-n", str(JOBS), "--jobs-at-once", "1", "--format", "json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["findings"] == [] and said["jobs"] == JOBS
    assert len(said["released"]["acts"]) == 3


def test_a_load_is_no_part_to_be_named_and_a_wrong_level_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(HERE / "sound.yaml")
    assert main(["trial", path, "-n", "1", "--parts", "bolt=1"]) == 2
    assert "'bolt' is not a part that is named at opening" in capsys.readouterr().err
    assert main(["trial", path, "-n", "1", "--parts", "pin"]) == 2
    assert "write them like head=H1,H2" in capsys.readouterr().err
    assert main(["trial", path, "-n", "0"]) == 2


def test_the_report_says_how_long_the_work_takes_on_paper() -> None:
    text = (HERE / "sound.yaml").read_text(encoding="utf-8")
    lines = as_text(procedure_of(text), tally_of(text, 8), 8, 1, "sound.yaml")
    assert any(line.startswith("  critical time") for line in lines)
    assert lines[-1] == "sound.yaml: nothing found" or lines[-1].endswith(("finding", "findings"))
