"""Names given once, titles given once, and tables that have the rows they are looked up by."""

from __future__ import annotations

from collections.abc import Iterable

from runner.formula.values import Shape
from runner.procedure.findings import Findings
from runner.procedure.model import PartLevel, Procedure, Table
from runner.procedure.places import NAMING, TITLES
from runner.procedure.scalars import once
from runner.procedure.scope import Scope
from runner.text.lookalikes import as_seen
from runner.text.nearest import suggestion
from runner.text.yaml_nodes import Scalar


def each_once(findings: Findings) -> None:
    """Every name is given once in the whole procedure, every title once among its kind."""
    once(
        findings.places.said(*NAMING),
        "name",
        "a name is given once in the whole procedure; take another",
        findings.problems,
    )
    named = {scalar.text for scalar in findings.places.said("named")}
    for scalar in findings.places.said(*NAMING):
        if scalar.text in named:
            what = f"a part is called '{scalar.text}', and before a dot the two would look alike"
            findings.wrong_at("said-twice", scalar.place, what, "take another name")
    for what, keys in TITLES.items():
        once(findings.places.said(*keys), what, f"give each {what} its own title", findings.problems)
        _told_apart(findings.places.said(*keys), what, findings)
    once(findings.places.said("roles"), "role", "keep one of the two", findings.problems)
    _told_apart(findings.places.said("roles"), "role", findings)


def _told_apart(said: Iterable[Scalar], what: str, findings: Findings) -> None:
    """Two titles that are not the same don't look the same either."""
    first: dict[str, Scalar] = {}
    for scalar in said:
        before = first.setdefault(as_seen(scalar.text), scalar)
        if before.text != scalar.text:
            told = f"the {what} '{scalar.text}' looks like the one on line {before.place.line}, and is written in other letters"
            findings.wrong_at("look-alike", scalar.place, told, "type both anew, or give each its own words")


def tables(procedure: Procedure, scope: Scope, findings: Findings) -> None:
    """A table looked up by a part has a row for each fixed name; one looked up by a value has rows of its kind."""
    for table in procedure.tables:
        level = procedure.level(table.looked_up_by)
        if level:
            _looked_up_by_part(procedure, table, level, findings)
        else:
            _looked_up_by_value(procedure, table, scope, findings)


def _looked_up_by_part(procedure: Procedure, table: Table, level: PartLevel, findings: Findings) -> None:
    for row in table.rows:
        if not row.is_:
            what = f"'{table.name}' is looked up by {level.name}, and this row is for sizes"
            findings.wrong("table-rows", row.line, what, f"write is: and the name of a {level.name}")
        elif level.named and row.is_ not in level.named:
            what = f"no {level.name} is called '{row.is_}'"
            findings.wrong("table-rows", row.line, what, suggestion(row.is_, level.named), row.is_, "is")
            return
    ends = [
        said.place.line for said in findings.places.said("table", "check") if said.place.line > table.line
    ]
    said = [scalar for scalar in findings.places.said("is") if scalar.place.line > table.line]
    rows = [scalar.text for scalar in said if scalar.place.line < min(ends, default=scalar.place.line + 1)]
    missing = [name for name in level.named if name not in rows]
    if missing and all(row.is_ for row in table.rows):
        what = f"'{table.name}' has no row for {', '.join(missing)}"
        findings.wrong("table-cover", table.line, what, "add it", table.name, "table")


def _looked_up_by_value(procedure: Procedure, table: Table, scope: Scope, findings: Findings) -> None:
    by, first = table.looked_up_by, table.rows[0]
    known, typed = scope.typed(by)
    if not known:
        options = [*(part.name for part in procedure.parts), *scope.made, *scope.givens]
        what = f"'{table.name}' is looked up by '{by}', and nothing is called that"
        findings.wrong("unknown-name", table.line, what, suggestion(by, options), by, "looked up by")
    elif first.is_:
        what = f"'{table.name}' is looked up by a value, and this row is for a part"
        findings.wrong("table-rows", first.line, what, "write over: and up to: with sizes")
    elif by in scope.made and scope.made[by].what in ("text", "time"):
        what = f"'{by}' is a {scope.made[by].what}, and a table is looked up by a value"
        findings.wrong("group", table.line, what, "look it up by a size", by, "looked up by")
    elif typed and typed.shape is not Shape.ONE:
        what = f"'{by}' is {typed.shape.value}, and a table is looked up by one value"
        findings.wrong("group", table.line, what, "work out one first, such as its mean", by, "looked up by")
    elif typed and first.up_to and typed.kind != first.up_to.kind:
        what = f"'{by}' is {typed.kind.words}, and {first.up_to.typed} is {first.up_to.kind.words}"
        findings.wrong(
            "kinds", first.line, what, "write the rows in units of its sort", first.up_to.typed, "up to"
        )
