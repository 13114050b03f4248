"""One item of a procedure file read key by key. What is missing, unknown or of the wrong form becomes a problem."""

from __future__ import annotations

from collections.abc import Callable, Collection
from collections.abc import Sequence as Several
from dataclasses import replace
from itertools import pairwise

from runner.procedure.model import Formula, Range
from runner.procedure.other_words import meant_for
from runner.procedure.scalars import as_name, formula_of, pieces, quantity_of, range_of, why_no_name
from runner.quantities.kinds import NUMBER, TIME, Kind
from runner.quantities.quantity import Quantity
from runner.quantities.units import Unit, meant_by, of_kind, unit
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Place, Problem
from runner.text.yaml_nodes import Entry, Mapping, Node, Scalar, Sequence

LONGEST_TEXT = 300
"""Characters in one sentence: four lines of the small screen."""
LONGEST_TIME = 366 * 24 * 3600
"""Seconds; more is a slip of the pen."""
MOST_PROBLEMS = 100
"""More at once help nobody, and looking for them takes time that a hostile file would like to have."""
MOST_ITEMS = 1_000
"""Of one list of the head, stages among them; what looks through one for each step takes its time."""
Keys = tuple[tuple[str, ...], tuple[str, ...]]
"""What an item must say and may say, beside the key that says what it is."""
SOURCES = ("common practice", "shop's own", "maker's sheet", "published", "calculated", "from memory")

_SOURCE_SAYS = {
    "shop's own": "why",
    "maker's sheet": "which",
    "published": "where",
    "calculated": "how",
    "from memory": "what",
}


class Item:
    """A mapping node with the keys it may and must have. Getters give the value, or None or an empty one beside a problem."""

    def __init__(
        self, node: Mapping, what: str, must: Several[str], may: Several[str], problems: list[Problem]
    ) -> None:
        self.what, self.problems = what, problems
        self.place = node.entries[0].key.place if node.entries else node.place
        self.node = Mapping(tuple(self._as_meant(entry, [*must, *may]) for entry in node.entries), node.place)
        missing = [key for key in must if self.node.get(key) is None]
        if missing and not self._enough():
            said = _joined([f"'{key}'" for key in missing])
            fix = f"add {_joined([f'{key}: …' for key in missing])}"
            self.wrong("missing-key", self.place, f"this {what} does not say {said}", fix)

    def _enough(self) -> bool:
        """Whether so much is wrong already that looking for what was meant only takes time."""
        return len(self.problems) >= MOST_PROBLEMS

    def _as_meant(self, entry: Entry, known: Several[str]) -> Entry:
        """The entry, under the key that was meant where it is misspelt, so that the slip is told once and no more."""
        key = entry.key.text
        if key in known or self._enough():
            return entry
        near = meant_for(key, known)
        fix = f"did you mean '{near}'?" if near else f"a {self.what} has: {', '.join(known)}"
        self.wrong("unknown-key", entry.key.place, f"'{key}' is not a key of a {self.what}", fix)
        return Entry(replace(entry.key, text=near or key), entry.value)

    def wrong(self, kind: str, place: Place, what: str, fix: str) -> None:
        self.problems.append(Problem(kind, place, what, fix))

    def has(self, key: str) -> bool:
        return self.node.get(key) is not None

    def place_of(self, key: str) -> Place:
        node = self.node.get(key)
        return node.place if node else self.place

    def scalar(self, key: str) -> Scalar | None:
        node = self.node.get(key)
        if node is None:
            return None
        if not isinstance(node, Scalar):
            self.wrong(
                "wrong-form",
                node.place,
                f"'{key}' takes one text, and here is a list or a group",
                f"write {key}: and the text on one line",
            )
            return None
        if not node.text.strip():
            self.wrong(
                "empty", self.place_of_key(key), f"'{key}' says nothing", "write it, or leave the key out"
            )
            return None
        return node

    def text(self, key: str) -> str:
        scalar = self.scalar(key)
        if scalar is None:
            return ""
        if len(scalar.text) > LONGEST_TEXT:
            self.wrong(
                "too-long",
                scalar.place,
                f"a text of {len(scalar.text)} characters",
                f"shorten it; {LONGEST_TEXT} is the most that can be read at the bench",
            )
        return scalar.text.strip()

    def name(self, key: str) -> str:
        """
        A name for formulas: letters, digits and underscores, and no word that means something already; beside a problem
        the nearest text that could be one.
        """
        scalar = self.scalar(key)
        if scalar is None:
            return ""
        why = why_no_name(scalar.text)
        if why:
            self.wrong("bad-name", scalar.place, why[0], why[1])
            return as_name(scalar.text)
        return scalar.text

    def one_of(self, key: str, options: Several[str]) -> str:
        """One of the options; beside a problem the one that was likely meant, or nothing."""
        scalar = self.scalar(key)
        if scalar is None:
            return ""
        if scalar.text not in options:
            self.wrong(
                "not-an-option",
                scalar.place,
                f"'{scalar.text}' is none of: {', '.join(options)}",
                suggestion(scalar.text, options),
            )
            return nearest(scalar.text, options) or ""
        return scalar.text

    def quantity(self, key: str, kind: Kind | None = None) -> Quantity | None:
        scalar = self.scalar(key)
        if scalar is None:
            return None
        quantity = quantity_of(scalar, self.problems)
        if quantity and kind and quantity.kind != kind:
            self.wrong(
                "kinds",
                scalar.place,
                f"{quantity.typed} is {quantity.kind.words}, and '{key}' takes {kind.words}",
                f"write it in one of {of_kind(kind)}" if of_kind(kind) else "look at which was meant",
            )
            return None
        return quantity

    def unit(self, key: str) -> Unit | None:
        scalar = self.scalar(key)
        if scalar is None:
            return None
        found = unit(scalar.text)
        if found is None:
            meant = meant_by(scalar.text)
            self.wrong(
                "unknown-unit",
                scalar.place,
                f"'{scalar.text}' is not one of the shop's units",
                f"write {meant}"
                if meant
                else "units are mm, um, in, thou, degC, K, min, N*m and others; the README lists them",
            )
        return found

    def source(self, key: str = "source") -> str:
        scalar = self.scalar(key)
        if scalar is None:
            return ""
        kind = next(
            (kind for kind in SOURCES if scalar.text == kind or scalar.text.startswith(kind + ",")), ""
        )
        if not kind:
            self.wrong(
                "source-kind",
                scalar.place,
                "a source begins with what sort it is",
                f"begin with one of: {', '.join(SOURCES)}",
            )
        elif kind != "common practice" and not scalar.text[len(kind) + 1 :].strip():
            self.wrong(
                "source-kind",
                scalar.place,
                f"'{kind}' says nothing without {_SOURCE_SAYS[kind]}",
                f"write a comma behind it and then {_SOURCE_SAYS[kind]}: {kind}, …",
            )
        return scalar.text

    def words(self, key: str, titles: Collection[str] = ()) -> tuple[Scalar, ...]:
        """
        A list of names, titles or options, in brackets or one a line; one alone may stand without either. With a comma
        in it, and none of the `titles` that may have one, it was meant as a list, and is read as that beside a problem.
        """
        node = self.node.get(key)
        if node is None:
            return ()
        if not isinstance(node, Scalar):
            return self._scalars(node, key)
        scalar = self.scalar(key)
        if scalar is None:
            return ()
        if "," not in scalar.text or scalar.text in titles:
            return (scalar,)
        what = f"without brackets this is one text with a comma in it, and '{key}' is a list"
        self.wrong("brackets", scalar.place, what, f"put brackets round it: [{scalar.text}]")
        return tuple(pieces(scalar))

    def count(self, key: str, least: int, most: int) -> int | None:
        """How many times, as a whole number: `3 times`."""
        scalar = self.scalar(key)
        if scalar and scalar.text.isdecimal():
            what, fix = (
                f"{scalar.text} of what?",
                f"write {scalar.text} {'time' if scalar.text == '1' else 'times'}",
            )
            self.wrong("unit-missing", scalar.place, what, fix)
            return None
        fix = f"write a whole number from {least} to {most}, such as 3 times"
        if scalar and not any(sign.isdecimal() for sign in scalar.text):
            self.wrong("bad-number", scalar.place, f"'{scalar.text}' is not a number of times", fix)
            return None
        quantity = self.quantity(key, NUMBER)
        if quantity is None:
            return None
        number, symbol = quantity.number, quantity.unit.symbol
        if symbol not in ("time", "times") or number.denominator != 1 or not least <= number <= most:
            self.wrong("bad-number", self.place_of(key), f"'{key}' of {quantity.typed}", fix)
            return None
        return int(number)

    def duration(self, key: str) -> Quantity | None:
        """More than no time, and at most a year."""
        quantity = self.quantity(key, TIME)
        if quantity and not 0 < quantity.si <= LONGEST_TIME:
            what = "no time at all" if quantity.si <= 0 else "more than a year"
            fix = "write how long, such as 20 min"
            self.wrong("bad-number", self.place_of(key), f"'{key}' says {what}", fix)
            return None
        return quantity

    def sentences(self, key: str) -> tuple[str, ...]:
        """A list of sentences, one a line. In brackets a comma would cut them."""
        node = self.node.get(key)
        if node is None:
            return ()
        if isinstance(node, Sequence) and node.brackets:
            self.wrong(
                "brackets",
                node.place,
                "brackets cut a sentence at each comma",
                "one a line, each after a dash",
            )
            return ()
        if isinstance(node, Scalar):
            if self.scalar(key):
                what, fix = f"'{key}' is a list of sentences", "put each on its own line after a dash"
                self.wrong("wrong-form", node.place, what, fix)
            return ()
        return tuple(scalar.text.strip() for scalar in self._scalars(node, key))

    def items(self, key: str) -> tuple[Mapping, ...]:
        """A list whose every item is a group of keys."""
        node = self.node.get(key)
        if node is None:
            return ()
        if isinstance(node, Scalar) and not self.scalar(key):
            return ()
        if not isinstance(node, Sequence):
            self.wrong("wrong-form", node.place, f"'{key}' is a list", "begin each of its items with a dash")
            return ()
        found: list[Mapping] = []
        for item in node.items:
            if len(found) >= MOST_ITEMS and key != "steps":
                what = f"more than {MOST_ITEMS:,} items in '{key}'"
                self.wrong("too-large", item.place, what, "check that this is the file you mean")
                break
            if isinstance(item, Mapping) and item.entries:
                found += cut_at(item, item.entries[0].key.text.__eq__)
            else:
                self.wrong(
                    "wrong-form",
                    item.place,
                    f"an item of '{key}' begins with a key and a colon",
                    "write it like the items around it",
                )
        return tuple(found)

    def formula(self, key: str) -> Formula | None:
        scalar = self.scalar(key)
        return formula_of(scalar, scalar.text, 0, self.problems) if scalar else None

    def range(self, key: str) -> Range | None:
        scalar = self.scalar(key)
        return range_of(scalar, key, self.problems) if scalar else None

    def _scalars(self, node: Node, key: str) -> tuple[Scalar, ...]:
        if not isinstance(node, Sequence):
            self.wrong(
                "wrong-form", node.place, f"'{key}' is a list", "write [one, two], or one a line after a dash"
            )
            return ()
        if not node.items:
            self.wrong(
                "empty", self.place_of_key(key), f"'{key}' says nothing", "write it, or leave the key out"
            )
        found = []
        for item in node.items:
            if isinstance(item, Scalar) and item.text.strip():
                found.append(item)
            else:
                self.wrong(
                    "wrong-form",
                    item.place,
                    f"an item of '{key}' is a text",
                    "write a word or a sentence, without a colon after it",
                )
        return tuple(found)

    def place_of_key(self, key: str) -> Place:
        return next(entry.key.place for entry in self.node.entries if entry.key.text == key)


def _joined(words: Several[str]) -> str:
    """'one, two and three'."""
    return " and ".join([*([", ".join(words[:-1])] if len(words) > 1 else []), words[-1]])


def item_of(node: Mapping, first: str, keys: Keys, problems: list[Problem]) -> Item:
    """An item that begins with the key `first`, which says what it is."""
    must, may = keys
    return Item(node, first, (first, *must), may, problems)


def cut_at(node: Mapping, begins: Callable[[str], bool]) -> list[Mapping]:
    """The items in one mapping: more than one where a key that begins an item stands in its middle, its dash forgotten."""
    starts = [0, *(at for at, entry in enumerate(node.entries) if at and begins(entry.key.text))]
    pieces = (node.entries[one:two] for one, two in pairwise([*starts, len(node.entries)]))
    return [Mapping(piece, piece[0].key.place) for piece in pieces]
