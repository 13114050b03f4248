"""The nearest known word to one that nobody knows."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_MOST_WORDS = 200
"""Looked at for one word; a file may hold thousands, and be meant to take time."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """
    The known word most like this one, or None where none is near. The first word of only one counts as nearest, such as
    hold of 'hold point', and so do the same letters in another order.
    """
    known = list(known)
    swapped = sorted(word)
    for one in known:
        if len(one) == len(word) and sorted(one) == swapped:
            return one
    begun = [one for one in known if one.startswith(f"{word} ")]
    if len(begun) == 1:
        return begun[0]
    alike = [one for one in known if abs(len(one) - len(word)) <= max(3, len(word) // 2)]
    found = difflib.get_close_matches(word, alike[:_MOST_WORDS], n=1, cutoff=0.6)
    return found[0] if found else None


def suggestion(word: str, known: Iterable[str]) -> str:
    """What to offer instead of a word that nobody knows: the nearest, else up to four that exist."""
    words = sorted(set(known))
    near = nearest(word, words)
    if near:
        return f"did you mean '{near}'?"
    if not words:
        return "there is none yet"
    if len(words) <= 4:
        return "there is " + ", ".join(words)
    return "there is " + ", ".join(words[:4]) + " and others"
