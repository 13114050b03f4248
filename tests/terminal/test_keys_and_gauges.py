"""What reaches the program through a real terminal: gauges, bad bytes, pastes, keys held down, windows of any size."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

from runner.session.clock import MachineClock
from tests.job.a_small_procedure import TEXT, procedure
from tests.screen.a_screen import FITTER, a_job, measured
from tests.terminal.a_terminal import Terminal, kinds, typed

THREE = ["10.009", "10.010", "10.011"]
MOUSE = b"\x1b[M" + bytes([32, 33 + 120, 33 + 5])
"""A report of an old mouse protocol: a press at column 121, whose byte is no UTF-8."""


@pytest.fixture
def at_the_bore(tmp_path: Path) -> Iterator[tuple[Terminal, Path]]:
    """A job in a terminal, three readings of a bore wanted."""
    path = tmp_path / "41.db"
    often = procedure(
        TEXT.replace("        points: 3\n", "        points: 3\n        again at most: 20 times\n")
    )
    a_job(path, MachineClock(), *measured("bore"), of=often).close()
    with Terminal("resume", "41", "--who", FITTER, jobs=tmp_path) as terminal:
        terminal.wait_for("Bore, three places round")
        yield terminal, path


def test_readings_sent_in_one_burst_are_entered_one_by_one(at_the_bore: tuple[Terminal, Path]) -> None:
    terminal, path = at_the_bore
    for ends, slowly, busy in (
        ("\r", False, False),
        ("\r\n", False, False),
        ("\t", False, False),
        ("\r", True, False),
        ("\r", False, True),
        ("\r", True, True),
    ):
        before = len(typed(path))
        if busy:
            terminal.signal(signal.SIGSTOP)
        if slowly:
            terminal.send_slowly("".join(one + ends for one in THREE), 0.008)
        else:
            terminal.send("".join(one + ends for one in THREE))
        if busy:
            terminal.hear_for(0.3)
            terminal.signal(signal.SIGCONT)
        terminal.wait_for("Play of the pin")
        assert typed(path)[before:] == THREE, (ends, slowly, busy)
        measure_again(terminal)
    assert kinds(path).count("reading-taken") == 1 + 6 * 3


def measure_again(terminal: Terminal) -> None:
    terminal.send("m")
    terminal.wait_for("Which reading is taken again?")
    terminal.send("a")
    terminal.wait_for("Why is bore measured again?")
    terminal.send("the gauge was tilted\r")
    terminal.wait_for("Bore, three places round")


def test_after_a_stop_of_any_kind_readings_lose_no_figures(at_the_bore: tuple[Terminal, Path]) -> None:
    terminal, path = at_the_bore
    for how in (signal.SIGCONT, signal.SIGSTOP, signal.SIGTSTP):
        before = len(typed(path))
        for _ in range(2):
            terminal.signal(how)
            if how != signal.SIGCONT:
                # As a shell does: it goes on only what has stopped.
                terminal.wait(terminal.is_stopped, "the stop")
            terminal.signal(signal.SIGCONT)
            terminal.hear_for(0.15)
        terminal.send_slowly("".join(f"{one}\r" for one in THREE), 0.004)
        terminal.wait_for("Play of the pin")
        assert typed(path)[before:] == THREE, how
        measure_again(terminal)


def test_bad_bytes_enter_nothing_and_end_nothing(at_the_bore: tuple[Terminal, Path]) -> None:
    terminal, path = at_the_bore
    before = kinds(path)
    for bad in (b"\xff", "10,5é".encode("latin-1")[-1:], b"\x9b31m", b"\x85\x90", MOUSE, b"\x00", b"\xc3"):
        terminal.send(bad + b"\r")
        terminal.hear_for(0.15)
        assert terminal.is_alive()
    # What a terminal answers by itself has figures in it.
    terminal.send("\x1b[?62;4;22c\x1b]11;rgb:0000/0000/0000\x1b\\\r")
    terminal.hear_for(0.3)
    assert kinds(path) == before
    # Whatever such bytes left on the line is no number, and Escape takes it off.
    terminal.send("\x1b")
    terminal.hear_for(0.3)
    terminal.send("10.009\r")
    terminal.wait(lambda: len(typed(path)) == 2)
    assert typed(path)[-1] == "10.009"


def test_a_paste_of_three_lines_is_refused_aloud_and_one_of_one_line_is_taken(
    at_the_bore: tuple[Terminal, Path],
) -> None:
    terminal, path = at_the_bore
    before = kinds(path)
    terminal.send("\x1b[200~10.009\n10.010\n10.011\n\x1b[201~")
    terminal.wait_for("3 lines were pasted, and one is taken at a time")
    terminal.send("\r")
    terminal.send("\x1b[200~10\u202e.009\x1b[201~")
    terminal.wait_for("no plain text of one line")
    terminal.send("\r")
    terminal.send("\x1b[200~\x1b]0;10.009\x07\x1b[201~\r")
    terminal.hear_for(0.2)
    assert kinds(path) == before
    terminal.send("\x1b[200~10.009\n\x1b[201~")
    terminal.hear_for(0.2)
    assert kinds(path) == before
    terminal.send("\r")
    terminal.wait(lambda: typed(path)[-1] == "10.009")


def test_enter_held_down_for_three_seconds_enters_nothing_and_passes_nothing(
    at_the_bore: tuple[Terminal, Path],
) -> None:
    terminal, path = at_the_bore
    before = kinds(path)
    for _ in range(90):
        terminal.send("\r")
        terminal.hear_for(0.02)
    assert kinds(path) == before
    terminal.send("10.0o" + "\r" * 30)
    terminal.wait_for("10.0o")
    assert kinds(path) == before


def test_space_held_down_does_one_step_of_two(tmp_path: Path) -> None:
    path = tmp_path / "41.db"
    a_job(path, MachineClock(), *measured()).close()
    with Terminal("resume", "41", "--who", FITTER, jobs=tmp_path) as terminal:
        terminal.wait_for("Lay the shim beside its hole")
        for _ in range(45):
            terminal.send(" ")
            terminal.hear_for(0.033)
        terminal.wait_for("Wipe the bench")
        # The same while the program is busy, so that the repeats pile up before it.
        terminal.signal(signal.SIGSTOP)
        terminal.send(" " * 20)
        terminal.hear_for(0.6)
        terminal.signal(signal.SIGCONT)
        terminal.hear_for(0.5)
        assert kinds(path).count("step-done") <= 3
        assert kinds(path).count("hold-released") == 0
    assert kinds(path).count("step-done") == 2 + 1


def test_a_window_made_too_small_says_so_and_takes_nothing_until_it_is_larger(
    at_the_bore: tuple[Terminal, Path],
) -> None:
    terminal, path = at_the_bore
    before = kinds(path)
    terminal.resize(40, 10)
    terminal.wait(lambda: "40 columns by 10 rows" in " ".join(terminal.screen.text.split()))
    terminal.send("10.009\r n")
    terminal.hear_for(0.3)
    assert kinds(path) == before
    for columns in range(30, 130, 9):
        terminal.resize(columns, columns // 3)
        terminal.hear_for(0.02)
    terminal.resize(120, 40)
    terminal.wait_for("Bore, three places round")
    terminal.send("10.010\r")
    terminal.wait(lambda: typed(path)[1:] == ["10.010"])
