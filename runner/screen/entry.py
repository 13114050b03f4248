"""The one entry line, the only thing that takes focus. It handles Enter itself, at once, so that a gauge's burst of
readings reaches one act after another and never runs together."""

from __future__ import annotations

from typing import Protocol, cast

from textual import events
from textual.widgets import Input

from runner.text.foreign import has_unprintable

LONGEST = 300


class Bench(Protocol):
    """What the entry line tells, and whom it asks: the screen it stands on."""

    def wants(self, key: str) -> bool:
        """Whether a key pressed on the empty line is an act and not the beginning of a text."""

    def press(self, key: str) -> None: ...

    def submit(self, text: str) -> bool:
        """A whole text; whether it was taken. One that wasn't stays on the line for correction."""

    def escape(self) -> None: ...

    def complain(self, sentence: str) -> None: ...


class Entry(Input):
    """A line of text. Keys on the empty line are acts where the screen wants them; Enter on an empty line is nothing."""

    def __init__(self) -> None:
        super().__init__(id="entry", select_on_focus=False, max_length=LONGEST)

    @property
    def bench(self) -> Bench:
        return cast(Bench, self.screen)

    async def _on_key(self, event: events.Key) -> None:
        if event.key in ("enter", "ctrl+j", "ctrl+m", "tab"):
            event.stop()
            event.prevent_default()
            if self.value.strip() and self.bench.submit(self.value.strip()):
                self.value = ""
            return
        if event.key == "escape":
            event.stop()
            event.prevent_default()
            self.bench.escape()
            return
        if not self.value and self.bench.wants(event.key):
            event.stop()
            event.prevent_default()
            self.bench.press(event.key)
            return
        if event.character and (
            event.key == "replacement_character"
            or has_unprintable(event.character)
            or event.character == "\ufffd"
        ):
            event.stop()
            event.prevent_default()
            if event.is_printable:
                self.bench.complain("something that is no letter came from the keyboard; it was left out")
            return
        await super()._on_key(event)

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        lines = [line for line in event.text.replace("\r", "\n").split("\n") if line.strip()]
        if len(lines) != 1:
            self.bench.complain(
                f"{len(lines)} lines were pasted, and one is taken at a time; nothing of it was entered"
            )
            return
        line = lines[0].strip()
        if has_unprintable(line) or len(self.value) + len(line) > LONGEST:
            self.bench.complain("what was pasted is no plain text of one line; nothing of it was entered")
            return
        self.insert_text_at_cursor(line)
