"""`benchhand watch` without a terminal: the list once, as text, and nothing written."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

from runner.command.line import main, parser
from runner.job.intents import Confirm, StartPass
from runner.session.clock import MachineClock
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.screen.a_screen import a_job
from tests.session.a_past_clock import PastClock


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BENCHHAND_JOBS", raising=False)
    monkeypatch.setenv("TZ", "UTC")
    return tmp_path / "jobs"


def test_every_timer_is_listed_soonest_first_with_what_is_to_be_done(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clock = PastClock(MachineClock(), timedelta(minutes=70))
    at_work = a_job(folder / "41.db", clock, of=procedure(OVEN), named=["F1", "F2", "F3"], ready=False)
    for frame, minutes in (("F1", 70), ("F2", 55), ("F3", 10)):
        clock.ago = timedelta(minutes=minutes)
        at_work.act(StartPass(("Coat", frame)))
        at_work.act(Confirm())
    at_work.close()
    (folder / "45.db").write_bytes(b"no job at all")
    before = (folder / "41.db").read_bytes()
    assert main(["watch"]) == 0
    said = capsys.readouterr().out
    assert re.sub(r"\d\d:\d\d", "hh:mm", re.sub(r"(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d+ \w{3} ", "", said)) == (
        "45           can't be read: jobs/45.db is not a job file\n"
        "41           ALARM: overdue since hh:mm still_clean on F1: still_clean was missed, decide: clean again, concession\n"
        "41           ALARM: by hh:mm still_clean on F2: Coat it\n"
        "41           by hh:mm still_clean on F3: coated by then\n"
    )
    assert (folder / "41.db").read_bytes() == before


def test_where_nothing_runs_the_list_says_so(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["watch", "--no-bell"]) == 0
    assert capsys.readouterr().out == f"nothing runs in any open job in {folder}\n"


@pytest.mark.parametrize("verb", [[], ["resume", "41"], ["watch"], ["open", "head-seats"]])
def test_signals_are_turned_off_before_the_verb_and_after_it(verb: list[str]) -> None:
    options = ["--no-bell", "--no-title", "--notify", "osc9"]
    for words in ([*options, *verb], [*verb, *options]):
        asked = parser().parse_args(words)
        assert (asked.no_bell, asked.no_title, asked.notify) == (True, True, "osc9")
    assert not hasattr(parser().parse_args(verb), "no_bell")
