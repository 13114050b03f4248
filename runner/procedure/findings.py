"""The problems that rules find in a procedure, each at the words in the file that it is about."""

from __future__ import annotations

from runner.procedure.places import Places
from runner.text.problem import Place, Problem


class Findings:
    """Problems as they are found, in any order."""

    def __init__(self, places: Places) -> None:
        self.places = places
        self.problems: list[Problem] = []

    def wrong(self, kind: str, line: int, what: str, fix: str, word: str = "", *keys: str) -> None:
        """A problem at a word that stands under one of these keys from a line on, or else at the key on that line."""
        self.problems.append(Problem(kind, self._place(line, word, keys), what, fix))

    def wrong_at(self, kind: str, place: Place, what: str, fix: str) -> None:
        self.problems.append(Problem(kind, place, what, fix))

    def doubt(self, kind: str, line: int, what: str, fix: str, word: str, *keys: str) -> None:
        """As `wrong`, for what most likely is wrong: a warning, which stops nothing."""
        self.problems.append(Problem(kind, self._place(line, word, keys), what, fix, warning=True))

    def doubt_at(self, kind: str, place: Place, what: str, fix: str) -> None:
        self.problems.append(Problem(kind, place, what, fix, warning=True))

    def _place(self, line: int, word: str, keys: tuple[str, ...]) -> Place:
        place = (self.places.of(word, line, *keys) if word else None) or self.places.of_key(line)
        assert place
        return place
