"""A program that is killed a second before time is over: whoever takes the job up again is given no second of it."""

from __future__ import annotations

import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job import events as e
from runner.job.intents import BeginSitting, Confirm, Notice, Type
from runner.job.job import Refusal
from runner.job.opening import Opening
from runner.session.at_work import AtWork, Kept
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.session.a_bench_hand import OPENED, BenchClock

ROOT = Path(__file__).resolve().parents[2]
WAIT = OVEN.replace(
    "      - do: Coat it\n",
    "      - wait: dry\n        starts: cleaned\n        at least: 60 min\n        source: shop's own, invented\n"
    "      - do: Coat it\n",
)
KILLED = """
import os, signal, sys
from datetime import timedelta
from pathlib import Path
from runner.job.intents import *
from runner.session.at_work import AtWork, Kept
from tests.session.a_bench_hand import OPENED, BenchClock

clock = BenchClock()
at_work = AtWork.resume(Path(sys.argv[1]), clock)
for seconds, intent in eval(sys.argv[2]):
    clock.at = OPENED + timedelta(seconds=seconds)
    assert isinstance(at_work.act(intent), Kept), intent
os.kill(os.getpid(), signal.SIGKILL)
"""


def killed(path: Path, acts: str, text: str = OVEN) -> BenchClock:
    """A job on two frames whose program did these acts, each at its second, and was killed behind the last of them."""
    asked = Opening("7", "Ada Fitch", {"frame": ["F1", "F2"]}, False, zone="UTC")
    AtWork.open(path, procedure(text), asked, BenchClock()).close()
    child = subprocess.run([sys.executable, "-c", KILLED, str(path), acts], cwd=ROOT, timeout=60, check=False)
    assert child.returncode == -9
    return BenchClock()


def taken_up(path: Path, clock: BenchClock, seconds: float) -> AtWork:
    clock.at = OPENED + timedelta(seconds=seconds)
    at_work = AtWork.resume(path, clock)
    assert isinstance(at_work.act(BeginSitting("bench")), Kept)
    return at_work


def test_a_wait_killed_a_second_before_its_end_has_that_second_left(tmp_path: Path) -> None:
    acts = "[(0, StartPass(('Coat', 'F1'))), (0, Confirm()), (3599, ChangePerson('Cora Lind'))]"
    clock = killed(tmp_path / "7.db", acts, WAIT)
    with taken_up(tmp_path / "7.db", clock, 3599) as at_work:
        refused = at_work.act(Confirm())
        assert isinstance(refused, Refusal) and "'dry' has 1 s of 60 min left" in refused.sentence
        clock.run(timedelta(seconds=1))
        assert isinstance(at_work.act(Confirm()), Kept)
        assert any(isinstance(one, e.WaitPassed) and one.lasted_s == 3600 for one in at_work.events)


@pytest.mark.parametrize(("half", "counted"), [("", 3600.0), (", (3599, Type('200'))", 3600.0)])
def test_a_soak_killed_a_second_before_its_end_ends_with_its_next_whole_round(
    tmp_path: Path, half: str, counted: float
) -> None:
    rounds = "".join(f", ({seconds}, Type('200 200'))" for seconds in (0, 1200, 2400))
    acts = f"[(0, MakeLoad('batch', 'tray', ('F1', 'F2'))), (0, StartPass(('Bake', 'tray'))){rounds}{half}]"
    clock = killed(tmp_path / "7.db", acts)
    with taken_up(tmp_path / "7.db", clock, 3599) as at_work:
        assert at_work.state.at(("Bake", "tray")).soaks[1].total_s == 2400
        assert not at_work.state.at(("Bake", "tray")).done
        clock.run(timedelta(seconds=1))
        for one in ("200",) if half else ("200", "200"):
            assert isinstance(at_work.act(Type(one)), Kept)
        [done] = [one for one in at_work.events if isinstance(one, e.SoakDone)]
        assert done.total_s == counted


@pytest.mark.parametrize(("seconds", "missed"), [(19, False), (20, False), (21, True), (9 * 3600, True)])
def test_killed_between_the_two_keys_the_clock_ran_on(tmp_path: Path, seconds: float, missed: bool) -> None:
    acts = "[(0, StartPass(('Fit', 'F1'))), (0, Type('10')), (0, Tick(1)), (0, Arm()), (0, ClockKey())]"
    clock = killed(tmp_path / "7.db", acts)
    with taken_up(tmp_path / "7.db", clock, seconds) as at_work:
        at_work.act(Notice())
        told = [one for one in at_work.events if isinstance(one, e.ClockStopped)]
        assert [(one.act, one.met) for one in told] == ([("", False)] if missed else [])
