"""How the screens look on this terminal, with colour or without, whether it is large enough, and how they call from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from textual.geometry import Size
from textual.theme import Theme

from runner.screen.door import STYLES, WITHOUT_COLOUR
from runner.screen.signals import EVERY, Signals
from runner.screen.terminal import is_too_small
from runner.session.clock import Clock, MachineClock

THEME = Theme(
    name="benchhand",
    primary="#87d7ff",
    background="#0e1216",
    surface="#0e1216",
    panel="#1b222a",
    foreground="#e4e8ec",
    dark=True,
)


@dataclass(frozen=True, slots=True)
class Look:
    """
    `write` is the program's own writer, for what the terminal is told beside its picture; `clock` tells whether a screen's
    tick is alive, apart from the jobs' clock, which a rehearsal may hurry.
    """

    colour: bool
    signals: Signals = EVERY
    write: Callable[[str], object] = field(default=lambda text: None)
    clock: Clock = field(default_factory=MachineClock)

    @property
    def styles(self) -> dict[str, str]:
        return STYLES if self.colour else WITHOUT_COLOUR

    @property
    def theme(self) -> str:
        return THEME.name if self.colour else "ansi-dark"

    def is_too_small(self, size: Size) -> bool:
        return is_too_small(size.width, size.height)
