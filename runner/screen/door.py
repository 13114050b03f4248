"""The one door for text on its way to the screen: cleaned of control characters and shown as plain text, never as markup."""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content

from runner.screen.rows import Row
from runner.text.foreign import one_line

STYLES = {
    "": "",
    "strong": "bold",
    "dim": "dim",
    "mark": "bold reverse",
    "part": "bold #ffd75f",
    "good": "bold #5fd787",
    "bad": "bold #ff8787",
    "ask": "bold #87d7ff",
    "bar": "bold #ffffff on #3a4654",
    "danger": "bold #ffffff on #c00000",
    "warning": "bold #000000 on #ff8f1f",
    "caution": "bold #000000 on #ffd75f",
    "notice": "bold #ffffff on #1f4fa0",
}
WITHOUT_COLOUR = {
    name: "reverse bold" if " on " in style or "reverse" in style else "bold" if "bold" in style else style
    for name, style in STYLES.items()
}


def content(lines: Iterable[Row], styles: dict[str, str]) -> Content:
    """Lines as the framework shows them. Every piece is cleaned here, whatever it came through before."""
    pieces: list[tuple[str, str] | str] = []
    for at, line in enumerate(lines):
        if at:
            pieces.append("\n")
        for text, style in line:
            shown = one_line(text)
            pieces.append((shown, styles[style]) if styles[style] else shown)
    return Content.assemble(*pieces)
