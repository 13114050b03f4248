"""The application: it owns the terminal, its signals and its exit code, and shows the bench or one job."""

from __future__ import annotations

import asyncio
import signal
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType

from runner.screen.bench import BenchScreen
from runner.screen.look import THEME, Look
from runner.screen.start import Start
from runner.screen.terminal import prepare, read_by_one, wants_no_colour
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
        self, folder: Path, clock: Clock, start: Start | None = None, *, colour: bool = True
    ) -> None:
        super().__init__()
        self.animation_level = "none"
        self.look = Look(colour)
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
        self.push_screen(BenchScreen(self.folder, self.clock, self.look, self.start))

    def action_leave_by_key(self) -> None:
        """The program's own way out is q; a slip of the hand on Control must not end a job's screen."""
        complain = getattr(self.screen, "complain", None)
        if complain:
            complain(
                "q leaves where letters are keys, F9 everywhere in a job, Esc a question; everything entered is kept"
            )


def open_bench(folder: Path, start: Start | None) -> int:
    """Run the screen until it is left; the exit code."""
    colour = not wants_no_colour()
    prepare()
    app = BenchApp(folder, MachineClock(), start, colour=colour)
    app.run()
    return app.return_code or 0
