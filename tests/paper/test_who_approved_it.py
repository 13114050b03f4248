"""A procedure approved by whoever wrote it is the first deviation of every job under it."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.job.opening import Opening
from runner.paper.deviations import SOLO
from runner.paper.record import record
from runner.procedure.reader import read_procedure
from runner.session.at_work import AtWork, read_job
from tests.job.a_bench import FITTER
from tests.procedure.texts import HEAD, stage
from tests.session.a_bench_hand import BenchClock

TEXT = HEAD.replace("written by: the shop", "written by: Ada  Fitch") + stage("Wash", "head", "do: Wash it")


def told(tmp_path: Path, text: str, *, invented: bool = False) -> list[str]:
    procedure, problems = read_procedure(text, "small.yaml")
    assert procedure is not None, problems
    asked = Opening("41", FITTER, {"head": ["H1"]}, False, invented=invented)
    with AtWork.open(tmp_path / "41.db", procedure, asked, BenchClock()) as at_work:
        at_work.close()
    made = record(read_job(tmp_path / "41.db"))
    first = [f"{one['sort']}: {one['what']}" for one in made["deviations"][:1]]
    return [*first, *made["honesty"]]


@pytest.mark.parametrize("approver", ["Ada Fitch", "ADA FITCH"])
def test_one_who_approves_his_own_procedure_stands_first_among_the_deviations(
    tmp_path: Path, approver: str
) -> None:
    first = told(tmp_path, TEXT.replace("approved by: an invented approver", f"approved by: {approver}"))[0]
    assert first == f"{SOLO}: the procedure was approved by whoever wrote it, on 2031-01-15"


def test_one_approved_by_somebody_else_says_nothing_of_it(tmp_path: Path) -> None:
    assert not any("approved" in line or "a draft" in line for line in told(tmp_path, TEXT))


def test_a_draft_says_so(tmp_path: Path) -> None:
    draft = TEXT.replace("status: approved", "status: draft")
    assert "procedure small revision 1 is a draft" in told(tmp_path, draft, invented=True)
