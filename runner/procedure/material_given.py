"""A given whose value the table of materials gives: which material, which property, and over or at which temperatures."""

from __future__ import annotations

import re
from collections.abc import Sequence as Several
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from runner.engineering.materials import WHAT, LookedUp, Materials, Property, property_at, rows_used
from runner.engineering.signature import REFERENCE_TEMPERATURE, OutOfDomain
from runner.procedure.items import SOURCES, Item, Keys
from runner.procedure.model import Given
from runner.procedure.scalars import quantity_of
from runner.quantities.kinds import TEMPERATURE
from runner.quantities.quantity import Quantity, parse_quantity
from runner.quantities.units import Unit, unit
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Problem
from runner.text.yaml_nodes import Mapping

KEYS: Keys = (("material", "property"), ("over", "at"))
"""What such a given must say and may say."""
WRITTEN = ("value", "uncertainty", "source")
LOOKED_UP = (*KEYS[0], *KEYS[1])
_SAID_WITH = {"A": "published", "B": "published", "C": "from memory", "D": "calculated"}
"""The sort of source that a row's grade stands for."""
_NEAR_REFERENCE = Fraction(1, 100)
"""kelvin; a 20 degC written in degF may be rounded."""


def names_a_material(node: Mapping) -> bool:
    """Whether a given takes its value from the table: it has one of the keys for that, if misspelt."""
    keys = ["given", *WRITTEN, *LOOKED_UP]
    return any(nearest(entry.key.text, keys) in LOOKED_UP for entry in node.entries)


def given_of_material(node: Mapping, problems: list[Problem], materials: Materials) -> Given | None:
    """The given with value, U and source from the table, or None beside a problem."""
    item = Item(node, "given", ("given", *KEYS[0]), (*KEYS[1], *WRITTEN), problems)
    name, material, what = item.name("given"), item.text("material"), item.text("property").replace(" ", "_")
    twice = next((key for key in WRITTEN if item.has(key)), "")
    if twice:
        said = f"the table of materials gives this value, and '{twice}' is written too"
        item.wrong(
            "value-twice", item.place_of_key(twice), said, f"leave out {twice}:, or write the value whole"
        )
    known = _is_known(item, material, what, materials)
    temperature = _temperature(item, what)
    if not (name and known and temperature) or twice:
        return None
    try:
        found = property_at(materials, material, what, float(temperature.si))
    except OutOfDomain as why:
        key = "over" if item.has("over") else "at"
        fix = "plan for a temperature no further out than 50 K, or write value:, uncertainty: and source:"
        item.wrong("outside-range", item.place_of(key), str(why), fix)
        return None
    measured = _unit_of(what)
    value, doubt = _rounded(found, measured)
    where = item.text("over") or f"at {item.text('at')}"
    return Given(
        name, value, doubt, _source(found, where), item.place.line, rows_used(materials, [(material, what)])
    )


def _is_known(item: Item, material: str, what: str, materials: Materials) -> bool:
    """Whether the table has that property of that material; else that it hasn't has been told."""
    words = [_words(one) for one in WHAT]
    if what and what not in WHAT:
        said = f"'{_words(what)}' is not a property in the table of materials"
        item.wrong("unknown-property", item.place_of("property"), said, suggestion(_words(what), words))
    if material and material not in materials.names:
        said = f"no material in the table is called '{material}'"
        item.wrong("unknown-material", item.place_of("material"), said, suggestion(material, materials.names))
        return False
    if not material or what not in WHAT:
        return False
    if (material, what) not in materials.rows:
        has = ", ".join(_words(key) for name, key in materials.rows if name == material)
        said = f"the table has no {_words(what)} of {material}"
        item.wrong(
            "unknown-property", item.place_of("property"), said, f"it has: {has}; else write the value"
        )
        return False
    return True


def _temperature(item: Item, what: str) -> Quantity | None:
    """The temperature to look up at: for an expansion the end of its range that isn't 20 degC."""
    if what == "expansion":
        return _far_end(item)
    if what not in WHAT:
        return None
    if item.has("over"):
        said = "only an expansion is a mean over a range"
        item.wrong("property-form", item.place_of_key("over"), said, "write at: and one temperature")
        return None
    if not item.has("at"):
        item.wrong("missing-key", item.place, "this given does not say 'at'", "add at: and a temperature")
        return None
    return item.quantity("at", TEMPERATURE)


def _far_end(item: Item) -> Quantity | None:
    form = "write over: 20 degC to the temperature that the part will have"
    if not item.has("over"):
        place = item.place_of_key("at") if item.has("at") else item.place
        said = "an expansion is the mean between two temperatures, and this given does not say 'over'"
        item.wrong("missing-key", place, said, form)
        return None
    scalar = item.scalar("over")
    if scalar is None:
        return None
    cut = re.fullmatch(r"(.+?)( to )(.+)", scalar.text)
    if not cut:
        item.wrong("range-form", scalar.place, "'over' takes two temperatures", form)
        return None
    ends = []
    for text, at in ((cut[1], 0), (cut[3], cut.start(3))):
        place = scalar.place.right(at, len(text)) if scalar.plain_to_file else scalar.place
        ends.append(quantity_of(replace(scalar, text=text, place=place), item.problems))
    return _but_20(item, [end for end in ends if end], form)


def _but_20(item: Item, ends: Several[Quantity], form: str) -> Quantity | None:
    if len(ends) < 2:
        return None
    if any(end.kind != TEMPERATURE for end in ends):
        item.wrong("kinds", item.place_of("over"), "'over' takes two temperatures", form)
        return None
    far = [end for end in ends if abs(end.si - Fraction(REFERENCE_TEMPERATURE)) > _NEAR_REFERENCE]
    if len(far) != 1:
        said = "every calculation takes the mean from 20 degC on, and this range has no other end"
        if len(far) > 1:
            said = "every calculation takes the mean from 20 degC on, and this range has no end there"
        item.wrong("property-form", item.place_of("over"), said, form)
        return None
    return far[0]


def _unit_of(what: str) -> Unit:
    found = unit({"1": "times", "kg/m3": "g/cc"}.get(WHAT[what].unit, WHAT[what].unit))
    assert found is not None
    return found


def _rounded(found: LookedUp, measured: Unit) -> tuple[Quantity, Quantity]:
    """Value and U as they are written: U to two digits, and the value to the same place."""
    factor = Decimal(measured.factor.numerator) / Decimal(measured.factor.denominator)
    value, doubt = (Decimal(repr(one)) / factor for one in (found.value, found.uncertainty))
    place = Decimal(1).scaleb(doubt.adjusted() - 1)
    quantities = []
    for one in (value.quantize(place), doubt.quantize(place)):
        quantity = parse_quantity(f"{_plain(one)} {measured.symbol}")
        assert isinstance(quantity, Quantity)
        quantities.append(quantity)
    return quantities[0], quantities[1]


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _source(found: LookedUp, where: str) -> str:
    """Where the value is from: the rows it stands on, the worst of them first, and what has to be said of it."""
    rows = sorted(found.rows, key=lambda row: row.grade, reverse=True)
    first = rows[0]
    said = "; ".join(dict.fromkeys(f"{row.source}, grade {row.grade}" for row in rows))
    head = f"{_sort_of(first)}, {_words(first.what)} of {first.material} {where}: {said}"
    return f"{head}; {found.note}" if found.note else head


def _sort_of(row: Property) -> str:
    begun = next((sort for sort in SOURCES if row.source.startswith(sort)), "")
    return begun or _SAID_WITH[row.grade]


def _words(what: str) -> str:
    return what.replace("_", " ")
