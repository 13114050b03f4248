"""How the program begins and ends: without a terminal, by signals, with the window closed, killed, in two windows."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from runner.session.at_work import AtWork
from runner.session.clock import MachineClock
from tests.screen.a_screen import FITTER, a_job, measured
from tests.terminal.a_terminal import ROOT, Terminal, kinds, typed


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A job put down where three readings of a bore are wanted."""
    path = tmp_path / "41.db"
    a_job(path, MachineClock(), *measured("bore")).close()
    return path


def without_a_terminal(folder: Path, *, stdin: int, term: str = "xterm") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "runner", "resume", "41"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), "BENCHHAND_JOBS": str(folder), "TERM": term},
        stdin=stdin,
        capture_output=True,
        text=True,
        timeout=10,
    )


def _worked_s() -> float:
    """Processor seconds of every program started and ended so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def test_without_a_terminal_it_says_so_at_once_and_shows_the_help(path: Path) -> None:
    ours, theirs = os.pipe()  # a pipe on which nothing ever comes
    before = kinds(path)
    try:
        for stdin in (subprocess.DEVNULL, ours):
            worked = _worked_s()
            ended = without_a_terminal(path.parent, stdin=stdin)
            assert _worked_s() - worked < 3  # processor time: a spin shows, other work on the machine doesn't
            assert ended.returncode == 2
            assert "the bench needs a terminal" in ended.stderr
            assert "usage: benchhand" in ended.stderr and not ended.stdout
    finally:
        os.close(ours)
        os.close(theirs)
    assert kinds(path) == before


def test_a_dumb_terminal_gets_the_help_and_no_full_screen(path: Path) -> None:
    with Terminal("resume", "41", jobs=path.parent, env={"TERM": "dumb"}) as terminal:
        assert terminal.ends_within(5) == 2
        assert b"\x1b" not in terminal.drawn
        assert b"can't show a full screen" in terminal.drawn


@pytest.mark.parametrize("how", ["SIGHUP", "SIGTERM", "window closed"])
def test_a_program_that_is_told_to_end_ends_and_lets_the_job_go(path: Path, how: str) -> None:
    with Terminal("resume", "41", "--who", FITTER, jobs=path.parent) as terminal:
        terminal.wait_for("Bore, three places round")
        terminal.send("10.009\r")
        terminal.wait_for("kept  bore 1 10.009 mm")
        terminal.send("10.01")
        if how == "window closed":
            terminal.hang_up()
        else:
            terminal.signal(getattr(signal, how))
        terminal.ends_within(2)
    assert typed(path)[-1] == "10.009"
    AtWork.resume(path, MachineClock()).close()


def test_a_killed_program_lets_the_job_go_and_loses_nothing_that_was_shown_as_kept(path: Path) -> None:
    with Terminal("resume", "41", "--who", FITTER, jobs=path.parent) as terminal:
        terminal.wait_for("Bore, three places round")
        terminal.send("10.009\r")
        terminal.wait_for("kept  bore 1 10.009 mm")
        terminal.kill()
        with AtWork.resume(path, MachineClock()) as at_work:
            known = at_work.state.known[("F1/A", "bore")]
    assert [point.typed for point in known.points] == ["10.009"]


def test_a_second_window_on_a_job_names_the_process_that_has_it(path: Path) -> None:
    with Terminal("resume", "41", "--who", FITTER, jobs=path.parent) as first:
        first.wait_for("Bore, three places round")
        with Terminal("resume", "41", "--who", FITTER, jobs=path.parent) as second:
            second.wait_for("is being written by another program")
            said = " ".join(second.screen.text.split())
            assert f"process {first.process.pid} on " in said
            # The bench is there for other work, and this job once the other window is closed.
            first.send("q")
            first.wait_for("Procedures to start")
            second.send(" ")
            second.wait_for("Job 41: who is at the bench?")
            second.send(f"{FITTER}\r")
            second.wait_for("Bore, three places round")
            second.send("q")
            second.wait_for("Procedures to start")
            second.hear_for(0.5)
            second.send("q")
            assert second.ends_within(3) == 0


def test_settings_of_the_framework_in_the_environment_press_no_keys(path: Path) -> None:
    env = {"TEXTUAL_PRESS": "n,x,enter", "TEXTUAL_THEME": "nonsense", "TEXTUAL_DEBUG": "1"}
    before = kinds(path)
    with Terminal("resume", "41", "--who", FITTER, jobs=path.parent, env=env) as terminal:
        terminal.wait_for("Bore, three places round")
        terminal.hear_for(0.3)
        assert "why?" not in terminal.screen.text
    assert kinds(path) == [*before, "sitting-begun"]


def test_without_colour_nothing_that_is_drawn_carries_a_colour(path: Path) -> None:
    with Terminal("resume", "41", "--who", FITTER, jobs=path.parent, env={"NO_COLOR": "1"}) as terminal:
        terminal.wait_for("Bore, three places round")
        drawn = terminal.drawn.decode("utf-8", "replace")
    numbers = {
        number
        for told in drawn.split("\x1b[")[1:]
        if (sequence := told.partition("m")[0]).replace(";", "").isdigit()
        for number in sequence.split(";")
    }
    assert not numbers & {str(number) for number in (*range(30, 38), *range(40, 48), 38, 48)}, numbers
