"""Words that people write for a key of the language before they know it. Common practice, no source; English."""

from __future__ import annotations

from collections.abc import Collection

from runner.text.nearest import nearest

_OTHER_WORDS = {
    "measure": "read", "measurement": "read", "reading": "read", "calculate": "work out", "calculation": "work out",
    "compute": "work out", "act": "do", "step": "do", "pick": "choose", "select": "choose", "inspection": "hold point",
    "formula": "as", "equals": "as", "rounded": "to the nearest", "question": "ask", "units": "unit",
    "instrument": "with", "gauge": "with", "places": "points", "range": "plausible", "expected": "plausible",
    "between": "within", "limit": "within", "limits": "within", "tolerance": "within",
    "max": "at most", "maximum": "at most", "min": "at least", "minimum": "at least",
    "else": "if not", "otherwise": "if not", "on fail": "if not", "hazard": "beware", "hazards": "beware",
    "danger": "beware", "warning": "beware", "caution": "beware", "notice": "beware", "why": "reason", "note": "key point",
    "accuracy": "uncertainty", "resolution": "reads to", "author": "written by", "name": "tag",
}  # fmt: skip


def meant_for(word: str, known: Collection[str]) -> str | None:
    """The known key that somebody most likely meant by this word: what it stands for, else the nearest; None for neither."""
    other = _OTHER_WORDS.get(word.lower(), "")
    return other if other in known else nearest(word, known)
