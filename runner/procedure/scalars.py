"""What one text of a procedure file may be: a quantity, a formula, a range, a name; each beside a problem, or right."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from runner.formula.functions import FUNCTIONS
from runner.formula.parse import parse
from runner.formula.scan import RESERVED
from runner.formula.tree import Binary, FormulaProblem
from runner.procedure.model import Formula, Range
from runner.quantities.quantity import NotAQuantity, Quantity, parse_quantity
from runner.quantities.units import unit
from runner.text.problem import Place, Problem
from runner.text.yaml_nodes import Scalar

NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,39}")


def quantity_of(scalar: Scalar, problems: list[Problem]) -> Quantity | None:
    quantity = parse_quantity(scalar.text)
    if isinstance(quantity, NotAQuantity):
        problems.append(
            Problem(
                quantity.kind, _marked(scalar, quantity.offset, quantity.length), quantity.what, quantity.fix
            )
        )
        return None
    return quantity


def formula_of(scalar: Scalar, text: str, start: int, problems: list[Problem]) -> Formula | None:
    """The formula in part of a scalar, from `start` on."""
    if not scalar.plain_to_file:
        problems.append(
            Problem(
                "formula-form",
                scalar.place,
                "a formula broken over lines or with escapes in it",
                "write it on one line",
            )
        )
        return None
    stripped = text.strip()
    lead = start + len(text) - len(text.lstrip())
    tree = parse(stripped)
    if isinstance(tree, FormulaProblem):
        problems.append(
            Problem(tree.kind, _marked(scalar, lead + tree.offset, tree.length), tree.what, tree.fix)
        )
        return None
    return Formula(stripped, tree, _marked(scalar, lead, len(stripped)))


_WITH_A_DASH = re.compile(
    r"(?P<low>-?\d+(?:\.\d+)?) ?(?P<its>[^\d\s–—-]\S*?)? ?(?:-|–|—|\.\.+) ?(?P<high>-?\d+(?:\.\d+)?) ?(?P<unit>\S+)"
)


def range_of(scalar: Scalar, key: str, problems: list[Problem]) -> Range | None:
    """`A to B` or `TOLERANCE of NOMINAL`."""
    text = scalar.text
    cut = re.search(r" (to|of) ", text)
    if not cut:
        dash = _WITH_A_DASH.fullmatch(text.strip())
        what = f"'{key}' takes two values" + (", with 'to' between them, not a dash" if dash else "")
        fix = "write A to B, or a tolerance of a nominal: 0.010 mm of bore_wanted"
        if dash:
            smaller = f"{dash['low']} {dash['its'] or dash['unit']}"
            fix = f"write {smaller} to {dash['high']} {dash['unit']}"
        problems.append(Problem("range-form", scalar.place, what, fix))
        return None
    one = formula_of(scalar, text[: cut.start()], 0, problems)
    two = formula_of(scalar, text[cut.end() :], cut.end(), problems)
    if one is None or two is None:
        return None
    if cut[1] == "to":
        return Range(text, one, two)
    low = Formula(f"{two.text} - {one.text}", Binary("-", two.tree, one.tree, 0, 0, len(text)), one.place)
    high = Formula(f"{two.text} + {one.text}", Binary("+", two.tree, one.tree, 0, 0, len(text)), one.place)
    return Range(text, low, high, tolerance=one, nominal=two)


def _marked(scalar: Scalar, offset: int, length: int) -> Place:
    return scalar.place.right(offset, length) if scalar.plain_to_file else scalar.place


def pieces(scalar: Scalar) -> Iterator[Scalar]:
    """The texts between the commas of one text."""
    for found in re.finditer(r"[^,\s](?:[^,]*[^,\s])?", scalar.text):
        yield replace(scalar, text=found[0], place=_marked(scalar, found.start(), len(found[0])))


def once(said: Iterable[Scalar], what: str, fix: str, problems: list[Problem]) -> None:
    """Each of these texts is given once; a second one is a problem that tells of the first."""
    first: dict[str, Scalar] = {}
    for scalar in said:
        before = first.setdefault(scalar.text, scalar)
        if before is not scalar:
            again = f"the {what} '{scalar.text}' is given twice; the first is on line {before.place.line}"
            problems.append(Problem("said-twice", scalar.place, again, fix))


def as_name(text: str) -> str:
    """The name that somebody meant who wrote it with blanks or dashes, or nothing."""
    name = re.sub(r"[^A-Za-z0-9]+", "_", text).strip("_")[:40]
    return name if NAME.fullmatch(name) else ""


def why_no_name(text: str) -> tuple[str, str] | None:
    if not NAME.fullmatch(text):
        better = as_name(text)
        fix = f"write {better}" if better else "begin with a letter"
        return (
            f"'{text}' can't stand in a formula: a name has letters, digits and _, and begins with a letter",
            fix,
        )
    if text in RESERVED or text == "job":
        return f"'{text}' is a word of the language", "take another name"
    if text in FUNCTIONS:
        # Not the engineering calculations: a new one must not make a procedure, or a job that runs on it, unreadable.
        return f"'{text}' is a function of formulas", "take another name"
    if unit(text):
        return f"'{text}' is a unit", "take a longer name"
    return None
