"""The problems that rules find in a procedure, each at the words in the file that it is about."""

from __future__ import annotations

from collections.abc import Mapping

from runner.procedure.places import Places
from runner.text.problem import Place, Problem

Near = Place | int
"""Where to look for a word from: a place, or a line of the procedure's own file."""


class Findings:
    """Problems as they are found, in any order. `shared` are the places of each file that steps were taken in from."""

    def __init__(self, places: Places, shared: Mapping[str, Places]) -> None:
        self.places, self.shared = places, shared
        self.problems: list[Problem] = []

    def wrong(self, kind: str, near: Near, what: str, fix: str, word: str = "", *keys: str) -> None:
        """A problem at a word that stands under one of these keys from a line on, or else at the key on that line."""
        self.problems.append(Problem(kind, self._place(near, word, keys), what, fix))

    def wrong_at(self, kind: str, place: Place, what: str, fix: str) -> None:
        self.problems.append(Problem(kind, place, what, fix))

    def doubt(self, kind: str, near: Near, what: str, fix: str, word: str, *keys: str) -> None:
        """As `wrong`, for what most likely is wrong: a warning, which stops nothing."""
        self.problems.append(Problem(kind, self._place(near, word, keys), what, fix, warning=True))

    def said_at(self, near: Near, word: str, *keys: str) -> Place | None:
        """Where a word stands under one of these keys, from there on in its file."""
        places, line = self._from(near)
        return places.of(word, line, *keys)

    def _place(self, near: Near, word: str, keys: tuple[str, ...]) -> Place:
        places, line = self._from(near)
        # What was taken in bears its name behind that of the taking, and stands in its file without.
        place = (
            places.of(word, line, *keys) or places.of(word.rpartition(".")[2], line, *keys) if word else None
        )
        place = place or places.of_key(line)
        assert place
        return place

    def _from(self, near: Near) -> tuple[Places, int]:
        if isinstance(near, int):
            return self.places, near
        return self.shared.get(near.file, self.places), near.line
