"""How the screens look on this terminal: with colour or without, and whether it is large enough."""

from __future__ import annotations

from dataclasses import dataclass

from textual.geometry import Size
from textual.theme import Theme

from runner.screen.door import STYLES, WITHOUT_COLOUR
from runner.screen.terminal import is_too_small

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
    colour: bool

    @property
    def styles(self) -> dict[str, str]:
        return STYLES if self.colour else WITHOUT_COLOUR

    @property
    def theme(self) -> str:
        return THEME.name if self.colour else "ansi-dark"

    def is_too_small(self, size: Size) -> bool:
        return is_too_small(size.width, size.height)
