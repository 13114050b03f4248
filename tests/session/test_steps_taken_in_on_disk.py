"""Shared files on disk: only beside the procedure, and a job goes on whatever becomes of them."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from runner.job.opening import Opening
from runner.journal import Journal, Row, read_rows
from runner.paper.text import as_text
from runner.session.at_work import AtWork, read_job
from runner.session.faults import RunnerError
from runner.session.library import procedure_at, read
from tests.procedure.test_steps_taken_in import COLD, SHARED
from tests.procedure.texts import HEAD, stage
from tests.session.a_bench_hand import BenchClock

TEXT = HEAD + stage("Temper", "head", COLD)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a procedure and the shared file it takes steps in from."""
    (tmp_path / "book" / "shared").mkdir(parents=True)
    (tmp_path / "book" / "small.yaml").write_text(TEXT, encoding="utf-8")
    (tmp_path / "book" / "shared" / "steps.yaml").write_text(SHARED, encoding="utf-8")
    return tmp_path / "book"


def opened(folder: Path) -> Path:
    path = folder.parent / "41.db"
    asked = Opening("41", "Tam Oakley", {"head": ["H1"]}, True, invented=True, zone="UTC")
    with AtWork.open(path, procedure_at(str(folder / "small.yaml")), asked, BenchClock()):
        return path


def test_a_job_is_read_when_the_shared_file_is_changed_or_gone(folder: Path) -> None:
    path = opened(folder)
    (folder / "shared" / "steps.yaml").write_text(SHARED.replace("1 K", "9 K"), encoding="utf-8")
    before = read_job(path).job.procedure
    (folder / "shared" / "steps.yaml").unlink()
    assert read_job(path).job.procedure == before
    assert before.taken_in[0].text == SHARED
    with AtWork.resume(path, BenchClock()) as at_work:
        assert at_work.job.procedure == before


def test_a_shared_file_changed_inside_the_job_is_told(folder: Path) -> None:
    path = opened(folder)
    rows = [Row(row.at, row.kind, row.body) for row in read_rows(path)]
    taken = [{**one, "text": one["text"].replace("1 K", "9 K")} for one in rows[0].body["taken_in"]]
    copy = folder.parent / "forged.db"
    with Journal.create(copy, now="2031-03-03T07:30:00.000000Z") as journal:
        journal.append(0, [Row(rows[0].at, rows[0].kind, {**rows[0].body, "taken_in": taken}), *rows[1:]])
    with pytest.raises(RunnerError) as told:
        read_job(copy)
    assert "is not the one that the job was opened with" in told.value.what


def test_the_record_prints_the_shared_file_behind_the_procedure(folder: Path) -> None:
    job = read_job(opened(folder))
    text = as_text(job)
    assert "STEPS TAKEN IN FROM shared/steps.yaml" in text
    assert "    1 | instruments:" in text.partition("STEPS TAKEN IN")[2]


def test_what_is_wrong_in_a_shared_file_is_told_with_its_own_line(folder: Path) -> None:
    (folder / "shared" / "steps.yaml").write_text(
        SHARED.replace("unit: degC", "unit: grad", 1), encoding="utf-8"
    )
    report = read(folder / "small.yaml").report
    assert f"{folder}/shared/steps.yaml:15:15:" in report
    assert "        unit: grad" in report


def link(at: Path, to: Path) -> None:
    at.unlink()
    os.symlink(to, at)


def gone(at: Path) -> None:
    at.unlink()


@pytest.mark.parametrize(
    ("change", "kind", "words"),
    [
        (lambda at: gone(at), "no-shared-file", "there is no file at"),
        (lambda at: (gone(at), at.mkdir()), "no-shared-file", "there is no file at"),
        (lambda at: link(at, Path("/etc/hostname")), "leads-out", "is a link that leads out"),
        (lambda at: link(at, Path("steps.yaml")), "no-shared-file", "steps.yaml"),
    ],
    ids=["gone", "a folder", "a link out", "a link to itself"],
)
def test_a_file_that_is_not_there_or_leads_out_is_told_at_its_name(
    folder: Path, change: Callable[[Path], object], kind: str, words: str
) -> None:
    change(folder / "shared" / "steps.yaml")
    (problem,) = read(folder / "small.yaml").problems
    assert (problem.kind, problem.place.line) == (kind, TEXT[: TEXT.index("from:")].count("\n") + 1)
    assert words in problem.what


def test_a_name_nearly_right_is_offered(folder: Path) -> None:
    (folder / "small.yaml").write_text(TEXT.replace("steps.yaml", "step.yaml"), encoding="utf-8")
    assert read(folder / "small.yaml").problems[0].fix == "did you mean shared/steps.yaml?"
