"""What metals do: expansion, modulus, conductivity and the rest, each value with range, uncertainty, source and grade.

The rows are in materials.toml beside this module. A shop's table has the same form (`read`) and goes over it (`merged`).
No formula looks a material up: formulas hold no texts. Whoever opens a job looks up what its givens name, puts value and
uncertainty where the number would stand, and keeps `as_text(rows_used(...))` with the job; read back, that copy answers
as the whole table did, whatever the table says by then.
"""

from __future__ import annotations

import difflib
import itertools
import math
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal, DecimalException
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from runner.engineering.convection import CONDUCTIVITY, DENSITY, HEAT_CAPACITY
from runner.engineering.signature import REFERENCE_TEMPERATURE, OutOfDomain, shown
from runner.quantities import kinds
from runner.quantities.kinds import Kind

OUTSIDE = 50.0
# kelvin; how far outside its range a value is still worked. The shop's rule, no source.


@dataclass(frozen=True, slots=True)
class What:
    """A property: its kind, its unit in the file with the factor to SI, what is believable in it, and its drift."""

    kind: Kind
    unit: str
    factor: Decimal
    least: Decimal
    most: Decimal
    drift: float
    """The share of the value that `OUTSIDE` kelvin beyond its range add to U. Common practice, no source."""


WHAT: Mapping[str, What] = MappingProxyType(
    {
        "expansion": What(
            kinds.EXPANSION, "um/m/K", Decimal("1e-6"), Decimal("0.1"), Decimal(200), drift=0.05
        ),
        "modulus": What(kinds.PRESSURE, "GPa", Decimal("1e9"), Decimal(1), Decimal(1000), drift=0.05),
        "poisson": What(kinds.NUMBER, "1", Decimal(1), Decimal("0.05"), Decimal("0.49"), drift=0.05),
        "conductivity": What(
            CONDUCTIVITY, "W/m/K", Decimal(1), Decimal("0.1"), Decimal(500), drift=0.1
        ),
        "heat_capacity": What(HEAT_CAPACITY, "J/kg/K", Decimal(1), Decimal(50), Decimal(5000), drift=0.05),
        "density": What(DENSITY, "kg/m3", Decimal(1), Decimal(500), Decimal(23000), drift=0.01),
        "yield": What(kinds.PRESSURE, "MPa", Decimal("1e6"), Decimal(1), Decimal(5000), drift=0.2),
    }
)  # fmt: skip


class NotATable(ValueError):
    """A text that is no table of materials. `problems` are sentences, one a slip, each saying where."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True)
class Property:
    """
    One row: a value in SI that holds from `lowest` to `highest` [K]; an expansion is the mean between 20 degC and there.

    `uncertainty` is U (k = 2), in SI too.
    """

    material: str
    what: str
    value: float
    uncertainty: float
    lowest: float
    highest: float
    source: str
    grade: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class LookedUp:
    """A property at a temperature: value and U (k = 2) in SI, the rows it stands on, and what has to be said of it."""

    value: float
    uncertainty: float
    rows: tuple[Property, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Materials:
    """A table of materials: rows by material and property, coldest first, and what each material is."""

    rows: Mapping[tuple[str, str], tuple[Property, ...]]
    described: Mapping[str, str]

    @property
    def names(self) -> tuple[str, ...]:
        """The materials, in the order of the file."""
        return tuple(dict.fromkeys([*self.described, *(material for material, _ in self.rows)]))


@cache
def shipped() -> Materials:
    """The table that comes with the program."""
    return read(Path(__file__).with_name("materials.toml").read_text(encoding="utf-8"))


def property_at(materials: Materials, material: str, what: str, temperature: float) -> LookedUp:
    """
    A property of a material at a temperature [K]; an expansion is the mean between 20 degC and that temperature.

    Inside the stated range as it is, on a straight line between rows. Up to 50 K outside it goes on as the last two rows
    went (in proportion, so that it stays above zero), U is widened by what that adds and by a drift, and `note` says so.
    Refuses (OutOfDomain) what lies further out, a temperature that is none, and a material or property not in the table.

    >>> steel = property_at(shipped(), "410", "expansion", 473.15)
    >>> f"{steel.value:.3g} {steel.uncertainty:.1g} {steel.rows[0].grade}"
    '1.1e-05 4e-07 A'
    """
    rows = _rows_of(materials, material, what)
    if not math.isfinite(temperature) or temperature <= 0:
        raise OutOfDomain(f"a temperature of {shown(temperature, kinds.TEMPERATURE)} is none for {material}")
    lowest, highest = min(row.lowest for row in rows), max(row.highest for row in rows)
    beyond = max(lowest - temperature, temperature - highest, 0.0)
    stated = (
        f"the {_words(what)} of {material} is stated from {shown(lowest, kinds.TEMPERATURE)} to "
        f"{shown(highest, kinds.TEMPERATURE)}"
        if highest > lowest
        else f"the {_words(what)} of {material} is stated at {shown(lowest, kinds.TEMPERATURE)} only"
    )
    at = shown(temperature, kinds.TEMPERATURE)
    if beyond > OUTSIDE + 1e-9:
        raise OutOfDomain(f"{stated}; of {at} the table says nothing")
    if beyond:
        value, uncertainty, used = _outside(rows, temperature, beyond)
        unit = WHAT[what]
        wide = f"{uncertainty / float(unit.factor):.2g} {unit.unit}".removesuffix(" 1")
        return LookedUp(value, uncertainty, used, f"{stated}; {at} lies outside, so U is widened to {wide}")
    value, uncertainty, used = _inside(_knots(rows), temperature)
    return LookedUp(value, uncertainty, used, "; ".join(dict.fromkeys(row.note for row in used if row.note)))


def rows_used(materials: Materials, wanted: Iterable[tuple[str, str]]) -> tuple[Property, ...]:
    """
    Every row of the (material, property) pairs wanted, once each: what a job has to keep to answer at any temperature.

    A value between two rows stands on both, and a job's temperature is measured later; so a pair's rows go together.
    Refuses (OutOfDomain) a pair that is not in the table.
    """
    pairs = dict.fromkeys(wanted)
    return tuple(row for material, what in pairs for row in _rows_of(materials, material, what))


def merged(materials: Materials, shop: Materials | str) -> Materials:
    """
    The table with a shop's own over it. The shop's rows of one property of one material replace all of ours of that
    pair: two sources are never mixed on one line. Raises NotATable for a text that is none.
    """
    own = read(shop) if isinstance(shop, str) else shop
    return Materials(
        MappingProxyType({**materials.rows, **own.rows}),
        MappingProxyType({**materials.described, **own.described}),
    )


def as_text(rows: Iterable[Property]) -> str:
    """Rows as a table of the same form, in the file's units; `read` gives the same rows back, to the last digit."""
    lines: list[str] = []
    pairs: dict[str, dict[str, list[Property]]] = {}
    for row in rows:
        pairs.setdefault(row.material, {}).setdefault(row.what, []).append(row)
    for material, properties in pairs.items():
        lines += ["", f"[{_quoted(material)}]"]
        for what, several in properties.items():
            lines += [f"{what} = [", *(f"    {_line(row)}," for row in several), "]"]
    return "\n".join(lines[1:]) + "\n"


def read(text: str) -> Materials:
    """A table of materials from its text. Raises NotATable with every slip in it."""
    try:
        tables = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, DecimalException, RecursionError, ValueError) as failure:
        raise NotATable([f"the table of materials can't be read: {failure}"]) from failure
    sources = tables.pop("sources", {})
    problems: list[str] = []
    rows: dict[tuple[str, str], tuple[Property, ...]] = {}
    described: dict[str, str] = {}
    if not isinstance(sources, dict) or not all(isinstance(one, str) for one in sources.values()):
        problems.append('sources: write each as name = "title, edition, section"')
        sources = {}
    for material, table in tables.items():
        if not isinstance(table, dict):
            problems.append(f"{material}: a material is a table: [{material}], then its properties")
            continue
        for what, listed in table.items():
            if what == "is" and isinstance(listed, str):
                described[material] = listed
            elif what in WHAT and isinstance(listed, list):
                rows[material, what] = _rows(material, what, listed, sources, problems)
            else:
                problems.append(
                    f"{material}: '{what}' is not one of: is, {', '.join(WHAT)}, each but 'is' a list"
                )
    if problems:
        raise NotATable(problems)
    return Materials(MappingProxyType(rows), MappingProxyType(described))


# lookup


def _rows_of(materials: Materials, material: str, what: str) -> tuple[Property, ...]:
    rows = materials.rows.get((material, what))
    if rows:
        return rows
    if material not in materials.names:
        near = difflib.get_close_matches(material, materials.names, n=3, cutoff=0.4)
        offer = f"; near it are {', '.join(near)}" if near else ""
        raise OutOfDomain(f"no material in the table is called '{material[:40]}'{offer}")
    known = ", ".join(_words(key) for name, key in materials.rows if name == material)
    raise OutOfDomain(f"the table has no {_words(what)} of {material}, only: {known}")


def _words(what: str) -> str:
    return what.replace("_", " ")[:40]


Knot = tuple[float, Property]
"""A temperature at which a row's value stands as stated."""


def _knots(rows: tuple[Property, ...]) -> list[Knot]:
    """Where the rows' values stand. A mean from 20 degC stands at its far end, and holds from 20 degC to the first of them."""
    if rows[0].what != "expansion":
        return [(end, row) for row in rows for end in dict.fromkeys((row.lowest, row.highest))]
    return [
        (end, row)
        for row in rows
        for end in (row.lowest, row.highest)
        if abs(end - REFERENCE_TEMPERATURE) > 1e-6
    ]


def _inside(knots: list[Knot], temperature: float) -> tuple[float, float, tuple[Property, ...]]:
    if temperature <= knots[0][0] or temperature >= knots[-1][0]:
        row = knots[0][1] if temperature <= knots[0][0] else knots[-1][1]
        return row.value, row.uncertainty, (row,)
    upper = next(place for place, (at, _) in enumerate(knots) if at >= temperature)
    (cold, below), (warm, above) = knots[upper - 1], knots[upper]
    if below is above or temperature == warm:
        return above.value, above.uncertainty, (above,)
    share = (temperature - cold) / (warm - cold)
    return (
        below.value + share * (above.value - below.value),
        below.uncertainty + share * (above.uncertainty - below.uncertainty),
        (below, above),
    )


def _outside(
    rows: tuple[Property, ...], temperature: float, beyond: float
) -> tuple[float, float, tuple[Property, ...]]:
    ends = _knots(rows) if temperature > max(row.highest for row in rows) else _knots(rows)[::-1]
    at, last = ends[-1]
    before = next(((there, row) for there, row in reversed(ends) if row is not last), None)
    drift = WHAT[last.what].drift * beyond / OUTSIDE * last.value
    if before is None:
        return last.value, min(last.uncertainty + drift, last.value), (last,)
    there, previous = before
    # From the range's edge, which for a mean from 20 degC may be 20 degC itself: there the value was held.
    value = last.value * (last.value / previous.value) ** (beyond / abs(at - there))
    return value, min(last.uncertainty + drift + abs(value - last.value), value), (previous, last)


# reading and writing


def _rows(
    material: str, what: str, listed: list[Any], sources: Mapping[str, str], problems: list[str]
) -> tuple[Property, ...]:
    made = []
    for number, entry in enumerate(listed, 1):
        place = f"{material}, {_words(what)}, line {number}"
        row = _row(material, what, entry, sources, place, problems)
        if row:
            made.append(row)
    made.sort(key=lambda row: (row.lowest, row.highest))
    if not listed:
        problems.append(f"{material}, {_words(what)}: the list is empty; leave it out or give it a line")
    if what == "expansion":
        ends = sorted(end for end, _ in _knots(tuple(made))) if made else []
        clash = len(set(ends)) < len(ends)
    else:
        clash = any(
            cold.highest > warm.lowest or cold.lowest == warm.lowest
            for cold, warm in itertools.pairwise(made)
        )
    if clash:
        problems.append(
            f"{material}, {_words(what)}: two lines are for the same temperature; keep one source"
        )
    return tuple(made)


_KEYS = {"from", "to", "at", "value", "U", "grade", "source", "note"}


def _row(
    material: str, what: str, entry: Any, sources: Mapping[str, str], place: str, problems: list[str]
) -> Property | None:
    if not isinstance(entry, dict):
        problems.append(
            f'{place}: write it as {{ to = 100, value = 21.4, U = 0.6, grade = "A", source = "..." }}'
        )
        return None
    slips = [f"{place}: '{key}' is not one of {', '.join(sorted(_KEYS))}" for key in entry.keys() - _KEYS]
    unit = WHAT[what]
    value, doubt = _number(entry.get("value")), _number(entry.get("U"))
    lowest, highest = _span(what, entry)
    if value is None or not unit.least <= value <= unit.most:
        slips.append(f"{place}: the value has to be between {unit.least} and {unit.most} {unit.unit}")
    elif doubt is None or not 0 < doubt <= value:
        slips.append(f"{place}: U is what the value may be out by, above 0 and not more than the value")
    if lowest is None or highest is None or not -270 < lowest <= highest < 1700:
        slips.append(
            f"{place}: say at which temperature (at), or from which to which, in degC, cold end first"
        )
    elif what == "expansion" and not lowest <= 20 <= highest:
        slips.append(f"{place}: a mean expansion starts or ends at 20 degC")
    elif what == "expansion" and lowest == highest:
        slips.append(f"{place}: a mean expansion is between two temperatures")
    if entry.get("grade") not in ("A", "B", "C", "D"):
        slips.append(f"{place}: the grade is A, B, C or D")
    source, note = entry.get("source"), entry.get("note", "")
    if not isinstance(source, str) or not source.strip():
        slips.append(f"{place}: say where the value is from (source)")
    if not isinstance(note, str):
        slips.append(f"{place}: the note is a text")
    problems += slips
    if slips or value is None or doubt is None or lowest is None or highest is None:
        return None
    return Property(
        material,
        what,
        float(value * unit.factor),
        float(doubt * unit.factor),
        float(lowest + _ZERO),
        float(highest + _ZERO),
        sources.get(str(source), str(source)),
        entry["grade"],
        str(note),
    )


_ZERO = Decimal("273.15")
# kelvin at 0 degC; exact by definition, SI Brochure 9th edition, 2.3.1. From memory.


def _number(written: Any) -> Decimal | None:
    if isinstance(written, bool) or not isinstance(written, int | Decimal):
        return None
    number = Decimal(written)
    return number if number.is_finite() and abs(number) < Decimal("1e12") else None


def _span(what: str, entry: Mapping[str, Any]) -> tuple[Decimal | None, Decimal | None]:
    if "at" in entry:
        at = _number(entry["at"]) if not {"from", "to"} & entry.keys() else None
        return at, at
    start = entry.get("from", 20 if what == "expansion" else None)
    return _number(start), _number(entry.get("to"))


def _line(row: Property) -> str:
    unit = WHAT[row.what]

    def written(value: float, factor: Decimal) -> str:
        return f"{(Decimal(repr(value)) / factor).normalize():f}"

    lowest, highest = (f"{(Decimal(repr(end)) - _ZERO).normalize():f}" for end in (row.lowest, row.highest))
    span = f"from = {lowest}, to = {highest}" if lowest != highest else f"at = {lowest}"
    note = f", note = {_quoted(row.note)}" if row.note else ""
    return (
        f"{{ {span}, value = {written(row.value, unit.factor)}, U = {written(row.uncertainty, unit.factor)}, "
        f'grade = "{row.grade}", source = {_quoted(row.source)}{note} }}'
    )


def _quoted(text: str) -> str:
    safe = "".join(
        {'"': '\\"', "\\": "\\\\"}.get(sign, sign if sign.isprintable() else f"\\U{ord(sign):08x}")
        for sign in text
    )
    return f'"{safe}"'
