"""Text from outside (a file, a keyboard, a paste, a job) made safe to show: no control characters reach a terminal.

What is replaced stays visible: a control character becomes its picture, other unprintables a replacement sign.
"""

from __future__ import annotations

import re

DOES_NOT_SHOW = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\u2800\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff9-\ufffb\ufffe\uffff\ud800-\udfff\ue000-\uf8ff\U000e0000-\U0010ffff]"
    "|[\u0300-\u036f]{3}"
)
"""Signs that don't show, turn a line round, or pile up on one letter."""
_CONTROL_PICTURES = 0x2400
"""Where Unicode keeps the pictures of control characters."""


def shown(text: str) -> str:
    """The text with tabs expanded and every unprintable character replaced by one that shows; lines are kept."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").expandtabs(4)
    return DOES_NOT_SHOW.sub(_picture, text)


def one_line(text: str) -> str:
    """As `shown`, on one line: a tab is one blank, a line end its picture, so columns stay what they were."""
    text = text.replace("\t", " ").replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\u240a")
    return DOES_NOT_SHOW.sub(_picture, text)


def has_unprintable(text: str) -> bool:
    """Whether the text holds anything that would not show as itself; line ends and tabs count too."""
    return bool(DOES_NOT_SHOW.search(text)) or any(mark in text for mark in "\n\r\t")


def _picture(match: re.Match[str]) -> str:
    code = ord(match[0][0])
    return chr(_CONTROL_PICTURES + code) if code < 32 else "\ufffd"
