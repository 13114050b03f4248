"""The application: it owns the terminal, its signals and its exit code, and shows the bench or one job."""

from __future__ import annotations

import asyncio
import signal
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.screen import Screen

from runner.screen.bench import BenchScreen
from runner.screen.look import THEME, Look
from runner.screen.signals import EVERY, Signals
from runner.screen.start import Start, Watch
from runner.screen.terminal import prepare, read_by_one, wants_no_colour
from runner.screen.watch import WatchScreen
from runner.session.clock import Clock, MachineClock


class BenchApp(App[None]):
    """The bench on one terminal. Jobs come and go on top of it."""

    ENABLE_COMMAND_PALETTE = False
    CSS_PATH = "bench.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "leave_by_key", show=False, priority=True),
        Binding("ctrl+c", "leave_by_key", show=False, priority=True),
    ]

    def __init__(
        self,
        folder: Path,
        clock: Clock,
        start: Start | None = None,
        *,
        colour: bool = True,
        signals: Signals = EVERY,
        pulse: Clock | None = None,
    ) -> None:
        super().__init__()
        self.animation_level = "none"
        self.look = Look(colour, signals, self.write_out, pulse or MachineClock())
        self.folder, self.clock, self.start = folder, clock, start

    def on_mount(self) -> None:
        self.register_theme(THEME)
        self.theme = self.look.theme
        loop = asyncio.get_running_loop()
        for sign in (signal.SIGHUP, signal.SIGTERM):
            try:
                loop.add_signal_handler(sign, self.exit)
            except (NotImplementedError, ValueError, RuntimeError):
                break
        read_by_one(loop, self.refresh)
        self.push_screen(self.first())

    def first(self) -> Screen[None]:
        """What is shown first, and what everything else lies on."""
        if isinstance(self.start, Watch):
            return WatchScreen(self.folder, self.clock, self.look)
        return BenchScreen(self.folder, self.clock, self.look, self.start)

    def write_out(self, text: str) -> None:
        """What the terminal is told beside its picture, by the same writer, so that it never falls into the middle of one."""
        if self._driver:
            self._driver.write(text)

    def action_leave_by_key(self) -> None:
        """The program's own way out is q; a slip of the hand on Control must not end a job's screen."""
        complain = getattr(self.screen, "complain", None)
        if complain:
            complain(
                "q leaves where letters are keys, F9 everywhere in a job, Esc a question; everything entered is kept"
            )


def open_bench(folder: Path, start: Start | None, signals: Signals) -> int:
    """Run the screen until it is left; the exit code."""
    colour = not wants_no_colour()
    prepare()
    app = BenchApp(folder, MachineClock(), start, colour=colour, signals=signals)
    app.run()
    return app.return_code or 0
