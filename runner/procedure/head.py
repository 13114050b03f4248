"""The head of a procedure and its lists: parts, instruments, hazards, givens, tables."""

from __future__ import annotations

from dataclasses import dataclass

from runner.procedure.items import Item, quantity_of
from runner.procedure.model import (
    HAZARD_WORDS,
    JOB,
    Given,
    Hazard,
    Instrument,
    PartLevel,
    Table,
    TableRow,
)
from runner.quantities.quantity import Quantity
from runner.text.nearest import suggestion
from runner.text.problem import Problem
from runner.text.yaml_nodes import Mapping, Scalar, Sequence

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
)
STATUSES = ("draft", "in review", "approved", "withdrawn")


@dataclass(frozen=True, slots=True)
class Lists:
    """The lists of a head that steps refer to."""

    parts: tuple[PartLevel, ...]
    instruments: tuple[Instrument, ...]
    hazards: tuple[Hazard, ...]
    givens: tuple[Given, ...]
    tables: tuple[Table, ...]


def read_lists(head: Item) -> Lists:
    problems = head.problems
    return Lists(
        _parts(head),
        tuple(filter(None, (_instrument(node, problems) for node in head.items("instruments")))),
        tuple(filter(None, (_hazard(node, problems) for node in head.items("hazards")))),
        tuple(filter(None, (_given(node, problems) for node in head.items("givens")))),
        tuple(filter(None, (_table(node, problems) for node in head.items("tables")))),
    )


def _parts(head: Item) -> tuple[PartLevel, ...]:
    levels: list[PartLevel] = []
    for node in head.items("parts"):
        item = Item(node, "part", ["part", "tag"], ["in", "named"], head.problems)
        name, inside = item.name("part"), item.text("in") or JOB
        known = [JOB, *(level.name for level in levels)]
        if inside not in known:
            item.wrong(
                "unknown-part",
                item.place_of("in"),
                f"no part above this one is called '{inside}'",
                suggestion(inside, known),
            )
            inside = JOB
        named: list[str] = []
        for word in item.words("named"):
            if not word.text.isascii() or "/" in word.text or " " in word.text or len(word.text) > 12:
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


def _instrument(node: Mapping, problems: list[Problem]) -> Instrument | None:
    item = Item(node, "instrument", ["instrument", "reads to", "uncertainty"], [], problems)
    title, reads_to, uncertainty = (
        item.text("instrument"),
        item.quantity("reads to"),
        item.quantity("uncertainty"),
    )
    if reads_to and uncertainty and reads_to.kind != uncertainty.kind:
        item.wrong(
            "kinds",
            item.place_of("uncertainty"),
            f"it reads {reads_to.kind.words}, and its uncertainty is {uncertainty.kind.words}",
            "write both in units of one sort",
        )
        return None
    return Instrument(title, reads_to, uncertainty) if title and reads_to and uncertainty else None


def _hazard(node: Mapping, problems: list[Problem]) -> Hazard | None:
    word = node.entries[0].key.text
    if word not in HAZARD_WORDS:
        what = f"a hazard begins with its signal word, and '{word}' is none"
        problems.append(
            Problem("hazard-word", node.entries[0].key.place, what, f"begin with {', '.join(HAZARD_WORDS)}")
        )
        return None
    item = Item(node, word, [word, "hazard", "consequence", "avoid"], [], problems)
    return Hazard(word, item.text(word), item.text("hazard"), item.text("consequence"), item.text("avoid"))


def _given(node: Mapping, problems: list[Problem]) -> Given | None:
    item = Item(node, "given", ["given", "value", "source"], ["uncertainty"], problems)
    name, value = item.name("given"), item.quantity("value")
    uncertainty = item.quantity("uncertainty")
    if value and uncertainty and uncertainty.kind.exponents != value.kind.exponents:
        item.wrong(
            "kinds",
            item.place_of("uncertainty"),
            f"the value is {value.kind.words}, and its uncertainty is {uncertainty.kind.words}",
            "write both in units of one sort",
        )
    return Given(name, value, uncertainty, item.source(), item.place.line) if name and value else None


def _table(node: Mapping, problems: list[Problem]) -> Table | None:
    item = Item(node, "table", ["table", "looked up by", "columns", "rows"], [], problems)
    name, looked_up_by = item.name("table"), item.text("looked up by")
    columns = tuple(word.text for word in item.words("columns"))
    rows = tuple(row for node in item.items("rows") if (row := _row(node, columns, problems)))
    if item.has("rows") and not rows:
        item.wrong(
            "empty",
            item.place_of("rows"),
            f"the table '{name}' has no row that can be used",
            "write at least one",
        )
    by_name = bool(rows) and bool(rows[0].is_)
    before: Quantity | None = None
    for row in rows:
        place = node.place
        place = type(place)(place.file, row.line, 9)
        if bool(row.is_) != by_name:
            item.wrong(
                "table-rows",
                place,
                "some rows are for a part's name and some for a size",
                "write all rows one way",
            )
        elif row.over and before and row.over.si != before.si:
            gap = "leaves a gap to" if row.over.si > before.si else "overlaps"
            item.wrong(
                "table-rows",
                place,
                f"this row begins over {row.over.typed} and {gap} the one above, which ends at {before.typed}",
                "begin each row where the one above ends",
            )
        before = row.up_to
    for at, column in enumerate(columns):
        kinds = {row.values[at].kind for row in rows if len(row.values) == len(columns)}
        if len(kinds) > 1:
            item.wrong(
                "kinds",
                item.place_of("columns"),
                f"the column '{column}' holds values of different sorts",
                "write them in units of one sort",
            )
    return Table(name, looked_up_by, columns, rows, item.place.line) if name and rows else None


def _row(node: Mapping, columns: tuple[str, ...], problems: list[Problem]) -> TableRow | None:
    item = Item(node, "row", ["values", "source"], ["is", "over", "up to"], problems)
    over, up_to, is_ = item.quantity("over"), item.quantity("up to"), item.text("is")
    if bool(is_) == bool(item.has("over") or item.has("up to")) or item.has("over") != item.has("up to"):
        item.wrong(
            "table-rows",
            item.place,
            "a row says what it is for",
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
        values = [
            value
            for one in list_node.items
            if isinstance(one, Scalar) and (value := quantity_of(one, problems))
        ]
        if len(list_node.items) != len(columns):
            item.wrong(
                "table-rows",
                list_node.place,
                f"{len(list_node.items)} values for {len(columns)} columns",
                f"write one for each of {', '.join(columns)}",
            )
            return None
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
