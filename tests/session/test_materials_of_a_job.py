"""A job keeps the rows of materials it was opened with; what the table says later changes nothing in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from runner.job.events import JobOpened, ValueWorked
from runner.job.intents import StartPass, Type
from runner.job.opening import Opening
from runner.journal import Journal, Row, read_rows
from runner.session.at_work import AtWork, Kept, read_job
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.session.library import procedure_at
from tests.procedure.texts import HEAD, reading, stage
from tests.session.a_bench_hand import BenchClock

GIVEN = "  - given: head_expansion\n    material: A356-T6\n    property: expansion\n    over: 20 degC to 200 degC\nstages:\n"
TEXT = HEAD.replace("stages:\n", GIVEN) + stage(
    "Measure",
    "job",
    reading("size"),
    "work out: hot\nas: expanded(size, head_expansion, 200 degC)\nto the nearest: 0.001 mm",
    "do: Wipe it",
)
OWN = '[A356-T6]\nexpansion = [{{ to = 300, value = {}, U = 0.4, grade = "A", source = "the shop\'s own bars" }}]\n'


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A shop with a procedure and a table of its own beside it."""
    folder = tmp_path / "procedures"
    folder.mkdir()
    (folder / "small.yaml").write_text(TEXT, encoding="utf-8")
    (folder / "materials.toml").write_text(OWN.format(20.0), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    yield folder


def _opened(path: Path) -> AtWork:
    asked = Opening("41", "Tam Oakley", {"head": ["H1"]}, True, invented=True, zone="UTC")
    return AtWork.open(path, procedure_at("small"), asked, BenchClock())


def _measured(at_work: AtWork) -> ValueWorked:
    """80 mm measured, and what that is at 200 degC."""
    if at_work.state.in_hand is None:
        assert isinstance(at_work.act(StartPass(("Measure", "job"))), Kept)
    outcome = at_work.act(Type("80.000"))
    assert isinstance(outcome, Kept), outcome
    return next(event for event in outcome.events if isinstance(event, ValueWorked))


def test_a_shops_own_row_beside_its_procedures_is_the_one_that_is_worked_with(shop: Path) -> None:
    with _opened(shop.parent / "41.db") as at_work:
        worked = _measured(at_work)
    # by hand: 80 mm * 20e-6 * 180 = 0.288 mm; U = 80 mm * 0.4e-6 * 180 = 0.0058 mm, and the last digit's
    assert (worked.shown, worked.uncertainty) == ("80.288 mm", "0.006 mm")
    assert any("the shop's own bars, grade A" in one.origin for one in worked.inputs)


def test_a_table_changed_later_changes_nothing_in_a_running_job(shop: Path) -> None:
    path = shop.parent / "41.db"
    _opened(path).close()
    kept = read_job(path).job.procedure.givens
    (shop / "materials.toml").write_text(OWN.format(24.0), encoding="utf-8")
    assert procedure_at("small").givens != kept
    assert read_job(path).job.procedure.givens == kept
    with AtWork.resume(path, BenchClock()) as at_work:
        assert _measured(at_work).shown == "80.288 mm"
    (shop / "materials.toml").unlink()
    assert read_job(path).job.procedure.givens == kept


def test_a_job_keeps_the_rows_it_uses_and_no_others(shop: Path) -> None:
    path = shop.parent / "41.db"
    with _opened(path) as at_work:
        opened = at_work.events[0]
    assert isinstance(opened, JobOpened)
    assert opened.materials.count("grade") == 1
    assert "value = 20, U = 0.4" in opened.materials


def test_a_table_with_a_slip_is_told_with_its_file_and_every_slip(shop: Path) -> None:
    (shop / "materials.toml").write_text(OWN.format(-20.0) + "[x]\nyeild = []\n", encoding="utf-8")
    with pytest.raises(RunnerError) as told:
        procedure_at("small")
    assert told.value.code == PROBLEMS
    lines = told.value.what.split("\n")
    assert len(lines) == 2 and all(line.startswith("procedures/materials.toml: ") for line in lines)


def test_a_job_file_whose_rows_are_no_table_is_refused_with_a_sentence(shop: Path, tmp_path: Path) -> None:
    path = shop.parent / "41.db"
    _opened(path).close()
    rows = read_rows(path)
    with Journal.create(tmp_path / "bad.db", now=rows[0].at) as journal:
        journal.append(0, [Row(rows[0].at, rows[0].kind, {**rows[0].body, "materials": "[A356-T6"})])
    with pytest.raises(RunnerError) as told:
        read_job(tmp_path / "bad.db")
    assert told.value.code == NO_JOURNAL
    assert "the rows of materials inside job file bad.db can't be read" in told.value.what


def test_two_givens_of_one_row_are_out_by_the_same(shop: Path) -> None:
    twice = GIVEN.replace("stages:\n", "") + GIVEN.replace("head_expansion", "same_again")
    text = TEXT.replace(GIVEN, twice).replace(
        "as: expanded(size, head_expansion, 200 degC)",
        "as: expanded(size, head_expansion, 200 degC) - expanded(size, same_again, 200 degC)",
    )
    (shop / "small.yaml").write_text(text, encoding="utf-8")
    with _opened(shop.parent / "41.db") as at_work:
        worked = _measured(at_work)
    assert all(abs(share.part) < 1e-15 for share in worked.shares if share.source == "expansion of A356-T6")
    assert worked.uncertainty in ("", "0.000 mm")
