"""Where each word of a procedure's text stands: under which key, on which line. For pointing at it, never for its meaning."""

from __future__ import annotations

from collections.abc import Iterator

from runner.procedure.model import HAZARD_WORDS
from runner.procedure.scalars import as_name
from runner.text.problem import Place
from runner.text.yaml_nodes import Mapping, Node, Scalar, Sequence

NAMING = (
    "part",
    "load",
    "given",
    "table",
    "ladder",
    "total",
    "read",
    "choose",
    "write",
    "work out",
    "wait",
    "window",
    "not before",
    "soak",
    "against the clock",
    "repeat",
    "timed as",
    "called",
)
"""The keys that give a name to something."""
TITLES = {
    "stage or rework": ("stage", "rework", "repair"),
    "hazard": HAZARD_WORDS,
    "instrument": ("instrument",),
}
"""The keys that give a title to something, by what it is; stages, reworks and repairs share theirs."""


class Places:
    """Every text under every key of a procedure, in the order of the file, whether or not the item round it is right."""

    def __init__(self, root: Mapping) -> None:
        self._said: dict[str, list[Scalar]] = {}
        self._keys: dict[str, list[Place]] = {}
        self._walk(root)

    def said(self, *keys: str) -> list[Scalar]:
        """Every text that stands under one of these keys, or in a list under it."""
        found = [scalar for key in keys for scalar in self._said.get(key, ())]
        return sorted(found, key=lambda scalar: scalar.place)

    def has(self, word: str, *keys: str) -> bool:
        return any(scalar.text.strip() == word for scalar in self.said(*keys))

    def of(self, word: str, line: int, *keys: str) -> Place | None:
        """Where a word stands under a key, from a line on."""
        said = (scalar for scalar in self.said(*keys) if scalar.text.strip() == word)
        return next((scalar.place for scalar in said if scalar.place.line >= line), None)

    def of_key(self, line: int) -> Place | None:
        """Where the first key on a line stands."""
        return next((place for places in self._keys.values() for place in places if place.line == line), None)

    def tried(self) -> frozenset[str]:
        """Every name the file means to give. One that no step made has had its problem where it should be made."""
        said = [scalar.text for scalar in self.said(*NAMING)]
        return frozenset([*said, *(as_name(text) for text in said)])

    def _walk(self, node: Node) -> None:
        if isinstance(node, Sequence):
            for item in node.items:
                self._walk(item)
        elif isinstance(node, Mapping):
            for entry in node.entries:
                key = entry.key.text
                self._keys.setdefault(key, []).append(entry.key.place)
                self._said.setdefault(key, []).extend(_scalars(entry.value))
                self._walk(entry.value)


def _scalars(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Sequence):
        yield from (item for item in node.items if isinstance(item, Scalar))
