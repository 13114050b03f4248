"""Totals: what adds up on a part over the whole job, read from the head's list."""

from __future__ import annotations

from fractions import Fraction

from runner.engineering.heat_history import AGEING_ENERGY
from runner.procedure.head import level_of
from runner.procedure.items import Item, Keys, item_of
from runner.procedure.model import Ageing, Total
from runner.procedure.said import Context, routes_of
from runner.quantities.kinds import TEMPERATURE, TIME
from runner.text.yaml_nodes import Mapping

KEYS: Keys = (("for each", "at most", "source"), ("over", "ageing at", "energy", "if not"))
"""What a total must say and may say."""
COLDEST, HOTTEST = Fraction("273.15"), Fraction("1273.15")
"""Between these ageing is worked out against a temperature, in kelvin."""
MOST_ENERGY = 1_000_000
"""J/mol, as the calculation allows."""


def read_totals(head: Item, context: Context) -> tuple[Total, ...]:
    return tuple(filter(None, (_total(node, context) for node in head.items("totals"))))


def _total(node: Mapping, context: Context) -> Total | None:
    item = item_of(node, "total", KEYS, context.problems)
    name, over, most = item.name("total"), item.quantity("over"), item.quantity("at most")
    for_each, source = level_of(item, context.lists.parts), item.source()
    routes = routes_of(item, f"more '{name}' than this", context)
    ageing = _ageing(item)
    counts = over or (ageing.at if ageing else None)
    if counts and most and most.kind != TIME:
        how = "over" if over else "that ages as at"
        what = f"'{name}' counts the time {how} {counts.typed}, and {most.typed} is {most.kind.words}"
        item.wrong("kinds", item.place_of("at most"), what, "write a time, such as 8 h")
        return None
    if most and most.number <= 0:
        item.wrong(
            "bad-number", item.place_of("at most"), "a total of nothing", "write what it may add up to"
        )
        return None
    if not (name and most) or (ageing is None and (item.has("ageing at") or item.has("energy"))):
        return None
    return Total(name, for_each, over, most, source, routes, item.place.line, ageing)


def _ageing(item: Item) -> Ageing | None:
    """The temperature and the activation energy by which heat is counted as ageing; neither goes without the other."""
    if not (item.has("ageing at") or item.has("energy")):
        return None
    for one, other, example in (("ageing at", "energy", "128.7 kJ/mol"), ("energy", "ageing at", "200 degC")):
        if not item.has(other):
            what = f"a total with '{one}' does not say '{other}'"
            item.wrong("missing-key", item.place_of_key(one), what, f"add {other}: such as {example}")
            return None
    if item.has("over"):
        what = "a total counts the time over a temperature, or what it ages, and not both"
        item.wrong("turned-round", item.place_of_key("over"), what, "make a second total of it")
        return None
    at, energy = item.quantity("ageing at", TEMPERATURE), item.quantity("energy", AGEING_ENERGY)
    if at and not COLDEST <= at.si <= HOTTEST:
        what = f"no metal is held against its ageing at {at.typed}"
        item.wrong(
            "bad-number", item.place_of("ageing at"), what, "write a temperature from 0 degC to 1000 degC"
        )
    if energy and not 0 < energy.si <= MOST_ENERGY:
        what = f"no metal ages by {energy.typed}"
        item.wrong(
            "bad-number", item.place_of("energy"), what, "write it as its source does, such as 128.7 kJ/mol"
        )
    return Ageing(at, energy) if at and energy else None
