"""The head of a procedure and its lists: parts, instruments, hazards, givens, tables, ladders."""

from __future__ import annotations

import re
from collections.abc import Sequence as Several
from dataclasses import dataclass
from itertools import pairwise

from runner.engineering.materials import Materials, shipped
from runner.procedure.items import Item, Keys, item_of
from runner.procedure.material_given import given_of_material, names_a_material
from runner.procedure.model import (
    APPROVED,
    HAZARD_WORDS,
    JOB,
    Given,
    Hazard,
    Instrument,
    Ladder,
    PartLevel,
    Table,
    TableRow,
)
from runner.procedure.scalars import NAME, once, quantity_of
from runner.quantities.quantity import Quantity
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Place, Problem
from runner.text.yaml_nodes import Mapping, Node, Scalar, Sequence

HEAD_MUST = (
    "procedure",
    "id",
    "revision",
    "changed",
    "status",
    "written by",
    "scope",
    "decision",
    "roles",
    "released by",
    "parts",
    "stages",
)
HEAD_MAY = (
    "approved by",
    "approved on",
    "not for",
    "concessions by",
    "prerequisites",
    "instruments",
    "hazards",
    "givens",
    "tables",
    "ladders",
    "totals",
    "reworks",
)
LISTED: dict[str, Keys] = {
    "part": (("tag",), ("in", "named")),
    "load": (("of",), ("tag",)),
    "instrument": (("reads to", "uncertainty"), ()),
    **dict.fromkeys(HAZARD_WORDS, (("hazard", "consequence", "avoid"), ())),
    "given": (("value", "source"), ("uncertainty",)),
    "table": (("looked up by", "columns", "rows"), ()),
    "ladder": (("for each", "rungs", "source"), ()),
}
"""What each item of a head's lists must say and may say; a given may say it another way (`material_given`)."""
ROW: Keys = (("values", "source"), ("is", "over", "up to"))
"""What a row of a table must say and may say; it has no first key of its own."""
STATUSES = ("draft", "in review", APPROVED, "withdrawn")


@dataclass(frozen=True, slots=True)
class Lists:
    """
    The lists of a head that steps refer to. `tried` has the title of every instrument and hazard there, right or
    not: what is wrong with one is told once, where it stands.
    """

    parts: tuple[PartLevel, ...]
    instruments: tuple[Instrument, ...]
    hazards: tuple[Hazard, ...]
    givens: tuple[Given, ...]
    tables: tuple[Table, ...]
    ladders: tuple[Ladder, ...] = ()
    tried: frozenset[str] = frozenset()


def read_lists(head: Item, materials: Materials | None = None) -> Lists:
    problems = head.problems
    parts = _parts(head)
    titled = [node.entries[0].value for key in ("instruments", "hazards") for node in head.items(key)]
    return Lists(
        parts,
        tuple(filter(None, (_instrument(node, problems) for node in head.items("instruments")))),
        tuple(filter(None, (_hazard(node, problems) for node in head.items("hazards")))),
        tuple(filter(None, (_given(node, problems, materials) for node in head.items("givens")))),
        tuple(filter(None, (_table(node, problems) for node in head.items("tables")))),
        tuple(filter(None, (_ladder(node, parts, problems) for node in head.items("ladders")))),
        frozenset(title.text.strip() for title in titled if isinstance(title, Scalar)),
    )


def _parts(head: Item) -> tuple[PartLevel, ...]:
    levels: list[PartLevel] = []
    for node in head.items("parts"):
        if node.entries[0].key.text == "load":
            load = _load(node, levels, head.problems)
            levels += [load] if load else []
            continue
        item = item_of(node, "part", LISTED["part"], head.problems)
        name = item.name("part") or item.text("part")
        inside = item.text("in") or JOB
        known = [JOB, *(level.name for level in levels if not level.of)]
        if inside not in known:
            item.wrong(
                "unknown-part",
                item.place_of("in"),
                f"no part above this one is called '{inside}'",
                suggestion(inside, known),
            )
            inside = nearest(inside, known) or known[-1]
        named: list[str] = []
        for word in item.words("named"):
            if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,11}", word.text) or word.text.lower() == JOB:
                item.wrong(
                    "bad-name",
                    word.place,
                    f"'{word.text}' can't be the name of a part",
                    "write at most 12 letters and digits, as they fit on a tag",
                )
            elif word.text.lower() in (one.lower() for one in named):
                item.wrong(
                    "said-twice", word.place, f"two parts are called '{word.text}'", "give each its own name"
                )
            named.append(word.text)
        if name:
            levels.append(PartLevel(name, inside, tuple(named), item.text("tag")))
    return tuple(levels)


def _load(node: Mapping, levels: Several[PartLevel], problems: list[Problem]) -> PartLevel | None:
    """Parts of one level that are put together at the bench."""
    item = item_of(node, "load", LISTED["load"], problems)
    name, of = item.name("load") or item.text("load"), item.text("of")
    known = [level.name for level in levels if not level.of]
    if of and of not in known:
        what = f"no part above this load is called '{of}'"
        item.wrong("unknown-part", item.place_of("of"), what, suggestion(of, known))
        of = nearest(of, known) or (known[-1] if known else "")
    return PartLevel(name, JOB, (), item.text("tag"), of) if name and of else None


def _instrument(node: Mapping, problems: list[Problem]) -> Instrument | None:
    item = item_of(node, "instrument", LISTED["instrument"], problems)
    title, reads = item.text("instrument"), what_it_reads(item)
    return Instrument(title, *reads) if title and reads else None


def what_it_reads(item: Item) -> tuple[Quantity, Quantity] | None:
    """What an instrument reads to, and its uncertainty, where both are right and of one sort."""
    reads_to, uncertainty = item.quantity("reads to"), item.quantity("uncertainty")
    if reads_to and uncertainty and reads_to.kind != uncertainty.kind:
        item.wrong(
            "kinds",
            item.place_of("uncertainty"),
            f"it reads {reads_to.kind.words}, and its uncertainty is {uncertainty.kind.words}",
            "write both in units of one sort",
        )
        return None
    right = [is_difference(item, key, above_nil=key == "reads to") for key in ("reads to", "uncertainty")]
    return (reads_to, uncertainty) if reads_to and uncertainty and all(right) else None


def uncertainty_of(item: Item, value: Quantity | None) -> Quantity | None:
    """The uncertainty that an item says its value has, where it is right."""
    uncertainty = item.quantity("uncertainty")
    if not is_difference(item, "uncertainty", above_nil=False):
        uncertainty = None
    if value and uncertainty and uncertainty.kind.exponents != value.kind.exponents:
        item.wrong(
            "kinds",
            item.place_of("uncertainty"),
            f"the value is {value.kind.words}, and its uncertainty is {uncertainty.kind.words}",
            "write both in units of one sort",
        )
    return uncertainty


def is_difference(item: Item, key: str, *, above_nil: bool, like: str = "0.001 mm") -> bool:
    """Whether a step or an uncertainty is one: a difference, not a point on a scale, and of a size that can be."""
    quantity = item.quantity(key)
    if quantity and quantity.kind.point:
        number = quantity.typed.split()[0]
        what = f"{quantity.typed} is {quantity.kind.words}, and '{key}' takes a difference of two"
        item.wrong("kinds", item.place_of(key), what, f"write {number} K")
        return False
    if quantity and (quantity.number < 0 or (above_nil and not quantity.number)):
        item.wrong("bad-number", item.place_of(key), f"'{key}' of nil or less", f"write it like {like}")
        return False
    return True


def _hazard(node: Mapping, problems: list[Problem]) -> Hazard | None:
    word = node.entries[0].key.text
    if word not in HAZARD_WORDS:
        what = f"a hazard begins with its signal word, and '{word}' is none"
        problems.append(
            Problem("hazard-word", node.entries[0].key.place, what, f"begin with {', '.join(HAZARD_WORDS)}")
        )
        return None
    item = item_of(node, word, LISTED[word], problems)
    return Hazard(word, item.text(word), item.text("hazard"), item.text("consequence"), item.text("avoid"))


def _given(node: Mapping, problems: list[Problem], materials: Materials | None) -> Given | None:
    if names_a_material(node):
        return given_of_material(node, problems, materials or shipped())
    item = item_of(node, "given", LISTED["given"], problems)
    name, value = item.name("given"), item.quantity("value")
    uncertainty = uncertainty_of(item, value)
    return Given(name, value, uncertainty, item.source(), item.place.line) if name and value else None


def _table(node: Mapping, problems: list[Problem]) -> Table | None:
    item = item_of(node, "table", LISTED["table"], problems)
    name, looked_up_by = item.name("table"), item.text("looked up by")
    columns = tuple(word.text for word in item.words("columns"))
    for word in item.words("columns"):
        if not NAME.fullmatch(word.text):
            what = f"'{word.text}' can't stand in a formula as a column"
            item.wrong("bad-name", word.place, what, "write letters, digits and _")
    once(item.words("columns"), "column", "give each its own name", problems)
    nodes = item.items("rows")
    rows = tuple(row for one in nodes if (row := _row(one, columns, problems)))
    if item.has("rows") and not nodes:
        what = f"the table '{name}' has no row"
        item.wrong("empty", item.place_of_key("rows"), what, "write at least one")
    if len(rows) == len(nodes):
        _rows_follow(item, rows, [one.entries[0].key.place for one in nodes])
        _one_kind_each(item, columns, rows)
    return Table(name, looked_up_by, columns, rows, item.place.line) if name and rows else None


def _rows_follow(item: Item, rows: Several[TableRow], places: Several[Place]) -> None:
    """Rows for sizes leave no gap and don't overlap; rows for sizes and for names don't mix; no name has two rows."""
    for (above, row), place in zip(pairwise(rows), places[1:], strict=True):
        if bool(row.is_) != bool(rows[0].is_):
            what = "some rows are for a part's name and some for a size"
            item.wrong("table-rows", place, what, "write all rows one way")
            return
        if row.over and above.up_to and row.over.si != above.up_to.si:
            gap = "leaves a gap to" if row.over.si > above.up_to.si else "overlaps"
            what = f"this row begins over {row.over.typed} and {gap} the one above, which ends at {above.up_to.typed}"
            item.wrong("table-rows", place, what, "begin each row where the one above ends")
    named: dict[str, Place] = {}
    for row, place in zip(rows, places, strict=True):
        if row.is_ and row.is_ in named:
            what = f"'{row.is_}' has two rows; the first is on line {named[row.is_].line}"
            item.wrong("table-rows", place, what, "keep one of the two")
        named.setdefault(row.is_, place)


def _one_kind_each(item: Item, columns: Several[str], rows: Several[TableRow]) -> None:
    for at, column in enumerate(columns):
        if len({row.values[at].kind for row in rows}) > 1:
            what = f"the column '{column}' holds values of different sorts"
            item.wrong("kinds", item.place_of("columns"), what, "write them in units of one sort")


def _row(node: Mapping, columns: tuple[str, ...], problems: list[Problem]) -> TableRow | None:
    item = Item(node, "row", *ROW, problems)
    over, up_to, is_ = item.quantity("over"), item.quantity("up to"), item.text("is")
    if bool(is_) == bool(item.has("over") or item.has("up to")) or item.has("over") != item.has("up to"):
        item.wrong(
            "table-rows",
            item.place,
            "a row is for a part's name or for a range of sizes, and this one doesn't say which",
            "write is: and a part's name, or over: and up to: with sizes",
        )
        return None
    if over and up_to and (over.kind != up_to.kind or over.si >= up_to.si):
        item.wrong(
            "table-rows",
            item.place_of("up to"),
            f"this row goes from {over.typed} up to {up_to.typed}",
            "write the smaller size first",
        )
        return None
    list_node = node.get("values")
    values = []
    if isinstance(list_node, Sequence):
        if len(list_node.items) != len(columns):
            _wrong_count(item, list_node, columns)
            return None
        values = [
            value
            for one in list_node.items
            if isinstance(one, Scalar) and (value := quantity_of(one, problems))
        ]
    elif list_node is not None:
        item.wrong(
            "wrong-form",
            list_node.place,
            "'values' is a list",
            f"write [..., ...], one for each of {', '.join(columns)}",
        )
    if len(values) != len(columns):
        return None
    return TableRow(is_, over, up_to, tuple(values), item.source(), item.place.line)


def _ladder(node: Mapping, parts: Several[PartLevel], problems: list[Problem]) -> Ladder | None:
    item = item_of(node, "ladder", LISTED["ladder"], problems)
    name, words = item.name("ladder"), item.words("rungs")
    for_each = level_of(item, parts)
    source = item.source()
    if not name or not words or _decimal_comma(words, problems):
        return None
    rungs = [rung for word in words if (rung := quantity_of(word, problems))]
    if len(rungs) < len(words):
        return None
    if len(rungs) < 2:
        item.wrong("rungs", words[0].place, "a ladder of one rung", "write at least two: [0 mm, 0.25 mm]")
        return None
    for (below, rung), word in zip(pairwise(rungs), words[1:], strict=True):
        if rung.kind != below.kind:
            what = f"{rung.typed} is {rung.kind.words}, and {below.typed} is {below.kind.words}"
            item.wrong("kinds", word.place, what, "write all rungs in units of one sort")
            return None
        if rung.si <= below.si:
            what = f"{rung.typed} is not above {below.typed}"
            item.wrong("rungs", word.place, what, "write the rungs from the lowest up, each once")
            return None
    return Ladder(name, for_each, tuple(rungs), source, item.place.line)


def level_of(item: Item, parts: Several[PartLevel]) -> str:
    """The level something is for; beside a problem the one that leaves the least else to complain of."""
    levels = [JOB, *(part.name for part in parts)]
    if len(levels) == 1:
        return item.text("for each") or JOB
    return item.one_of("for each", levels) or levels[-1]


def _decimal_comma(values: Several[Node], problems: list[Problem]) -> bool:
    """Whether a number was written with a comma, which a list takes for its own; it is told."""
    for one, two in pairwise(values):
        if isinstance(one, Scalar) and isinstance(two, Scalar) and re.fullmatch("-?[0-9]+", one.text):
            end = one.place.column + len(one.text)
            if (two.place.line, two.place.column) == (one.place.line, end + 1):
                fix = f"write {one.text}.{two.text}; procedures use the point, whatever the bench types"
                at = Place(one.place.file, one.place.line, end)
                problems.append(Problem("decimal-comma", at, "a comma in a number", fix))
                return True
    return False


def _wrong_count(item: Item, values: Sequence, columns: tuple[str, ...]) -> None:
    """More or fewer values than columns; most likely a decimal comma, which a list takes for its own."""
    if _decimal_comma(values.items, item.problems):
        return
    what = f"{len(values.items)} values for {len(columns)} columns"
    item.wrong("table-rows", values.place, what, f"write one for each of {', '.join(columns)}")
