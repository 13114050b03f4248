"""The one entry line, the only thing that takes focus. It handles Enter itself, at once, so that a gauge's burst of
readings reaches one act after another and never runs together."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, cast

from textual import events
from textual.widgets import Input

from runner.text.foreign import has_unprintable

LONGEST = 300
BAD = "\ufffd"
"""Stands on the line for a byte or a control character that came among the keys."""


_EDITING: dict[str, Callable[[Input], object]] = {
    "backspace": Input.action_delete_left,
    "ctrl+h": Input.action_delete_left,
    "delete": Input.action_delete_right,
    "left": Input.action_cursor_left,
    "right": Input.action_cursor_right,
    "home": Input.action_home,
    "end": Input.action_end,
}


class Bench(Protocol):
    """What the entry line tells, and whom it asks: the screen it stands on."""

    def wants(self, key: str) -> bool:
        """Whether a key pressed on the empty line is an act and not the beginning of a text; Enter is asked about as well."""

    def press(self, key: str) -> None: ...

    def submit(self, text: str) -> bool:
        """A whole text; whether it was taken. One that wasn't stays on the line for correction."""

    def escape(self) -> None: ...

    def complain(self, sentence: str) -> None: ...

    @property
    def is_secret(self) -> bool:
        """Whether what is typed now is for nobody's eyes."""


class Entry(Input):
    """A line of text. Keys on the empty line are acts where the screen wants them; Enter on an empty line is nothing."""

    def __init__(self) -> None:
        super().__init__(id="entry", select_on_focus=False, max_length=LONGEST)
        self._refused = False

    @property
    def bench(self) -> Bench:
        return cast(Bench, self.screen)

    async def _on_key(self, event: events.Key) -> None:
        if event.key in ("enter", "ctrl+j", "ctrl+m", "tab"):
            event.stop()
            event.prevent_default()
            key = "tab" if event.key == "tab" else "enter"
            if not self.value and self.bench.wants(key):
                self.bench.press(key)
            else:
                self._hand_over()
            return
        if event.key == "escape":
            event.stop()
            event.prevent_default()
            self._stands(refused=False)
            self.bench.escape()
            return
        if (not self.value or self._refused) and self.bench.wants(event.key):
            event.stop()
            event.prevent_default()
            self._stands(refused=False)
            self.bench.press(event.key)
            return
        self._correct(instead=event.is_printable)
        if event.key in _EDITING:
            # Done here and at once: as a binding it would come after the keys that were sent behind it.
            event.stop()
            event.prevent_default()
            _EDITING[event.key](self)
        elif event.character and (event.character == BAD or has_unprintable(event.character)):
            event.stop()
            event.prevent_default()
            if self.value or event.character >= " ":
                self.insert_text_at_cursor(BAD)
        else:
            await super()._on_key(event)

    def _hand_over(self) -> None:
        """A text with a sign in it that nobody typed is handed to nobody: a figure may be missing there."""
        typed, at = self.value, self.cursor_position
        if BAD in typed:
            what = "what was typed" if self.bench.is_secret else f"'{typed}'"
            self.bench.complain(
                f"{what} came with a sign that is no letter; nothing was entered, type it again"
            )
            self._stands(refused=not self.bench.is_secret)
        elif typed.strip():
            # Off the line before it is handed over: what is put back meanwhile is not taken off with it.
            self._stands(refused=False)
            if not self.bench.submit(typed.strip()):
                self.put_back(typed, at)

    def put_back(self, text: str, at: int | None = None) -> None:
        """A text that was not taken stands on the line again, to be seen, mended or handed over once more."""
        self.value = text
        self.cursor_position = len(text) if at is None else at
        self._stands(refused=True)

    def _stands(self, *, refused: bool) -> None:
        """A refused text stays to be seen; anything else that was handed over, or left, is gone from the line."""
        self._refused = refused
        self.set_class(refused, "refused")
        if not refused:
            self.value = ""

    def _correct(self, *, instead: bool) -> None:
        """A refused text is edited from here on, or makes way for what is typed instead: two readings never run together."""
        if self._refused and instead:
            self._stands(refused=False)
        elif self._refused:
            self._refused = False
            self.set_class(False, "refused")

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        lines = [line for line in event.text.replace("\r", "\n").split("\n") if line.strip()]
        if len(lines) != 1:
            what = (
                f"{len(lines)} lines were pasted, and one is taken at a time"
                if lines
                else "nothing was pasted"
            )
            self.bench.complain(f"{what}; nothing of it was entered")
            return
        line = lines[0].strip()
        self._correct(instead=True)
        if has_unprintable(line) or BAD in line or len(self.value) + len(line) > LONGEST:
            self.bench.complain("what was pasted is no plain text of one line; nothing of it was entered")
            return
        self.insert_text_at_cursor(line)
