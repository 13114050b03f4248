"""What a terminal is told of an alarm: its bell, its title, and nothing where both are turned off."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job.intents import Confirm, StartPass
from runner.session.clock import MachineClock
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.screen.a_screen import FITTER, a_job, do
from tests.session.a_past_clock import PastClock
from tests.terminal.a_terminal import Terminal, kinds

TITLE = "\x1b]2;▲ Coat it on F1 · job 41\a".encode()


def bells(seen: Terminal) -> int:
    """How often the bell rang; the sign that ends a title or its like is none."""
    return re.sub(rb"\x1b\][^\x07\x1b]*\x07", b"", bytes(seen.drawn)).count(b"\a")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A job whose window runs out in five minutes."""
    path = tmp_path / "41.db"
    clock = PastClock(MachineClock(), timedelta(minutes=55))
    with a_job(path, clock, of=procedure(OVEN), named=["F1"], ready=False) as at_work:
        do(at_work, StartPass(("Coat", "F1")), Confirm())
    return path


def test_an_alarm_rings_and_stands_in_the_title_until_it_is_answered(path: Path) -> None:
    with Terminal("resume", "41", "--who", FITTER, jobs=path.parent) as seen:
        seen.wait_for("▲ ALARM")
        seen.wait(lambda: TITLE in seen.drawn, "the title")
        seen.wait(lambda: bells(seen) == 1, "the bell")
        seen.send("\t")
        seen.wait_for("△ answered")
        seen.wait(lambda: b"\x1b]2;benchhand\a" in seen.drawn, "the title as it was")
    assert kinds(path)[-2:] == ["alarm-raised", "alarm-answered"]


def test_turned_off_it_tells_the_terminal_nothing_beside_the_picture(path: Path) -> None:
    env = {"BENCHHAND_BELL": "off", "BENCHHAND_TITLE": "off"}
    with Terminal("watch", jobs=path.parent, env=env) as seen:
        seen.wait_for("▲ ALARM")
        seen.send("q")
        assert seen.ends_within(10) == 0
        assert bells(seen) == 0 and b"\x1b]2;" not in seen.drawn
    assert kinds(path)[-1] == "step-done"
