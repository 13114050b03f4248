"""What a terminal must be for the full screen, and guards against what terminals and their users' settings do to it."""

from __future__ import annotations

import codecs
import functools
import os
import signal
import sys
from asyncio import AbstractEventLoop
from collections.abc import Callable
from typing import Any

SMALLEST = (80, 24)
"""Columns and rows that the screens are made for."""
_LEAST = (60, 18)
"""Below this nothing sensible can be shown, and entries are not taken."""


def why_not() -> str:
    """Why no full screen can be opened here, or nothing where it can."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return "the bench needs a terminal, and this is none"
    if os.environ.get("TERM", "dumb") in ("dumb", ""):
        return "this terminal can't show a full screen"
    return ""


def is_too_small(columns: int, rows: int) -> bool:
    return columns < _LEAST[0] or rows < _LEAST[1]


def drop_settings() -> None:
    """
    Settings of the framework's own that a user's environment may carry are dropped: one of them types keys. It reads
    them as it is loaded, so this comes before.
    """
    for name in [name for name in os.environ if name.startswith("TEXTUAL_")]:
        del os.environ[name]
    os.environ["TEXTUAL_ANIMATIONS"] = "none"


def prepare() -> None:
    """A bad byte from the keyboard becomes a sign that the entry line refuses, where it would end the program."""
    # The framework turns the terminal's own colours into greys of one black for it; our own look has no colour at all.
    os.environ.pop("NO_COLOR", None)
    try:
        import textual.drivers.linux_driver as driver
    except ImportError:
        return
    tolerant: Any = _tolerant
    driver.getincrementaldecoder = tolerant  # type: ignore[attr-defined]


def read_by_one(loop: AbstractEventLoop, repaint: Callable[[], object]) -> None:
    """
    A program that goes on after a stop is still the only reader of its keyboard.

    The framework begins to read anew at every SIGCONT, though it stopped reading only at a SIGTSTP: after a SIGSTOP, or
    the SIGCONT of a session that ends, two readers share the keys between them, and readings lose figures. Its handlers
    are called between two acts here, never in the middle of one. To be called once they are in place; where the
    framework has none, as in tests, nothing is done.
    """
    if not hasattr(signal, "SIGCONT"):
        return
    stop, go_on = signal.getsignal(signal.SIGTSTP), signal.getsignal(signal.SIGCONT)
    if not (callable(stop) and callable(go_on)):
        return
    has_stopped_reading = False

    def stopped() -> None:
        nonlocal has_stopped_reading
        has_stopped_reading = True
        stop(signal.SIGTSTP, None)

    def goes_on() -> None:
        nonlocal has_stopped_reading
        if has_stopped_reading:
            has_stopped_reading = False
            go_on(signal.SIGCONT, None)
        repaint()

    loop.add_signal_handler(signal.SIGTSTP, stopped)
    loop.add_signal_handler(signal.SIGCONT, goes_on)


def _tolerant(encoding: str) -> Any:
    return functools.partial(codecs.getincrementaldecoder(encoding), errors="replace")


def wants_no_colour() -> bool:
    return "NO_COLOR" in os.environ
