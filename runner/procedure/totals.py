"""Totals: what adds up on a part over the whole job, read from the head's list."""

from __future__ import annotations

from runner.procedure.head import level_of
from runner.procedure.items import Item, Keys, item_of
from runner.procedure.model import Total
from runner.procedure.said import Context, routes_of
from runner.quantities.kinds import TIME
from runner.text.yaml_nodes import Mapping

KEYS: Keys = (("for each", "at most", "source"), ("over", "if not"))
"""What a total must say and may say."""


def read_totals(head: Item, context: Context) -> tuple[Total, ...]:
    return tuple(filter(None, (_total(node, context) for node in head.items("totals"))))


def _total(node: Mapping, context: Context) -> Total | None:
    item = item_of(node, "total", KEYS, context.problems)
    name, over, most = item.name("total"), item.quantity("over"), item.quantity("at most")
    for_each, source = level_of(item, context.lists.parts), item.source()
    routes = routes_of(item, f"more '{name}' than this", context)
    if over and most and most.kind != TIME:
        what = f"'{name}' counts the time over {over.typed}, and {most.typed} is {most.kind.words}"
        item.wrong("kinds", item.place_of("at most"), what, "write a time, such as 8 h")
        return None
    if most and most.number <= 0:
        item.wrong(
            "bad-number", item.place_of("at most"), "a total of nothing", "write what it may add up to"
        )
        return None
    return Total(name, for_each, over, most, source, routes, item.place.line) if name and most else None
