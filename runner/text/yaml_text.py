"""A text as it is written into a YAML file, so that it reads back as what it was."""

from __future__ import annotations

import re

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .,;/_$*+()'-]*")


def as_scalar(text: str, within: str = "") -> str:
    """
    A text as it stands in the file: in single quotes, which have no escapes, wherever YAML could misread it. `within` is the
    pair of brackets that it stands in, if any.
    """
    if _PLAIN.fullmatch(text) and not text.endswith(" ") and not (within and "," in text):
        return text
    return "'" + text.replace("'", "''") + "'"
