"""Calling somebody to the screen: the bell, the terminal's title, the desktop's notification, each of them to be turned off.

It makes the signs that a terminal obeys, out of texts that are cleaned first, and knows nothing of who shows them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping
from dataclasses import dataclass

from runner.session.faults import WRONG_COMMAND, RunnerError
from runner.text.foreign import one_line

AGAIN_S = 30.0
"""Seconds from one bell to the next while nobody answers: once is easily missed, and without a pause nobody can think."""
PROGRAM = "benchhand"
_BELL = "\a"
_LONGEST = 120
"""Characters of a title or a notification."""
_OFF = ("off", "no", "0", "false", "never")
_NOTIFY = {"osc9": "osc9", "9": "osc9", "osc777": "osc777", "777": "osc777"}


@dataclass(frozen=True, slots=True)
class Signals:
    """Which ways of calling are used; `notify` is 'osc9', 'osc777' or nothing, for terminals differ in what they pass on."""

    bell: bool = True
    title: bool = True
    notify: str = ""


EVERY = Signals()


def signals(
    environ: Mapping[str, str], *, no_bell: bool = False, no_title: bool = False, notify: str | None = None
) -> Signals:
    """What is asked for by options and, where they say nothing, by BENCHHAND_BELL, _TITLE and _NOTIFY. Raises RunnerError."""
    word = (environ.get("BENCHHAND_NOTIFY", "") if notify is None else notify).strip().lower()
    if word and word not in _OFF and word not in _NOTIFY:
        said = "BENCHHAND_NOTIFY" if notify is None else "--notify"
        raise RunnerError(f"'{word}' is no notification", f"{said} is osc9, osc777 or off", WRONG_COMMAND)
    return Signals(
        bell=not no_bell and environ.get("BENCHHAND_BELL", "").strip().lower() not in _OFF,
        title=not no_title and environ.get("BENCHHAND_TITLE", "").strip().lower() not in _OFF,
        notify=_NOTIFY.get(word, ""),
    )


class Caller:
    """
    Calls once for what is new, and again each half minute until it is answered. `write` takes what the terminal is told,
    as the program's own writer does, so that it never falls into the middle of a picture.
    """

    def __init__(self, used: Signals, write: Callable[[str], object]) -> None:
        self._used, self._write = used, write
        self._known: set[Hashable] = set()
        self._rung = float("-inf")
        self._title = ""

    def call(self, ringing: Collection[Hashable], text: str, at_s: float, *, hush: bool = False) -> None:
        """
        What rings now, in words, at so many seconds of a clock that nobody can set. With `hush` nothing sounds, and what is
        new is called when that is over.
        """
        self._show(f"▲ {text}" if ringing else PROGRAM)
        if hush:
            return
        new = set(ringing) - self._known
        self._known = set(ringing)
        if new and self._used.notify:
            self._write(_notification(self._used.notify, text))
        if new or (ringing and at_s - self._rung >= AGAIN_S):
            self._ring(at_s)

    def once(self, at_s: float) -> None:
        """A single sound, for what is good to know."""
        self._ring(at_s)

    def leave(self) -> None:
        """The title names nothing any more."""
        self._show(PROGRAM)

    def _ring(self, at_s: float) -> None:
        self._rung = at_s
        if self._used.bell:
            self._write(_BELL)

    def _show(self, text: str) -> None:
        if self._used.title and text != self._title and (self._title or text != PROGRAM):
            self._title = text
            self._write(f"\x1b]2;{_plain(text)}\a")


def _notification(kind: str, text: str) -> str:
    body = _plain(text)
    return f"\x1b]9;{body}\a" if kind == "osc9" else f"\x1b]777;notify;{PROGRAM};{body.replace(';', ',')}\a"


def _plain(text: str) -> str:
    """A text with no sign in it that a terminal would obey, of a length that every terminal takes."""
    return one_line(text)[:_LONGEST]
