"""Files looked at again and again, and told of anew once one was saved. It knows no clock but the sleep it is given."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NoReturn

EVERY_S = 0.4
"""Seconds between two looks: soon enough for whoever just saved, and no work for the machine."""
Stamp = tuple[int, int, int] | None
"""When a file was written, how long it is and which one it is; None where there is none."""


def stamp_of(path: Path) -> Stamp:
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def watch(
    words: Sequence[str],
    stands_on: Callable[[str], Iterable[Path]],
    tell: Callable[[Sequence[str]], object],
    look: Callable[[Path], Stamp] = stamp_of,
    sleep: Callable[[float], object] = time.sleep,
) -> NoReturn:
    """
    `tell` of all words at once, and then of those whose files were saved. `stands_on` gives the files of a word, asked anew each
    time it is told of. A file that is still being written is told of when two looks see the same. Ends by KeyboardInterrupt.
    """
    told: dict[str, dict[Path, Stamp]] = {}

    def seen(word: str, paths: Iterable[Path]) -> dict[Path, Stamp]:
        return {path: look(path) for path in paths}

    def tell_of(those: Sequence[str]) -> None:
        # Looked at before they are read: what is saved in between is told of next time.
        told.update({word: seen(word, stands_on(word)) for word in those})
        tell(those)
        sys.stdout.flush()

    tell_of(words)
    before = told
    while True:
        sleep(EVERY_S)
        now = {word: seen(word, told[word]) for word in words}
        changed = [word for word in words if now[word] != told[word] and now[word] == before[word]]
        before = now
        if changed:
            tell_of(changed)
