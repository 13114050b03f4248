"""A shop as the text of its file. What is written here reads back as the same shop.

Between the two stands the sheet: the keys and texts of the file, before anybody has judged them. A change is made on
the sheet and judged by the reader, so that the rules of a shop file stand in one place.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from runner.shop.model import Gauge, Master, Person, Shop, plain
from runner.shop.people import person_key
from runner.shop.reader import MARKS
from runner.text.yaml_text import as_scalar

Keys = Mapping[str, str | tuple[str, ...]]
"""One item of the file: its keys in order, each with a text or a list of words. One that says nothing isn't written."""
PERSON, INSTRUMENT, MASTER = "person", "instrument", "master"
_HEAD = "# Written by `benchhand shop`, which writes it whole: a note of your own here is lost at the next change.\n"
_LISTS = {PERSON: "people", INSTRUMENT: "instruments", MASTER: "masters"}


@dataclass(frozen=True, slots=True)
class Sheet:
    """The head and the items of a shop file, by what they are: PERSON, INSTRUMENT, MASTER."""

    head: Keys
    items: Mapping[str, tuple[Keys, ...]]

    def item(self, what: str, name: str) -> Keys | None:
        """The item of that name or id."""
        return next((one for one in self.items[what] if _same(what, one, name)), None)

    def put(self, what: str, keys: Keys) -> Sheet:
        """With this item in the place of the one called the same, or behind the others."""
        name, old = str(keys[what]), self.items[what]
        if self.item(what, name) is None:
            return self._with(what, (*old, keys))
        return self._with(what, tuple(keys if _same(what, one, name) else one for one in old))

    def without(self, what: str, name: str) -> Sheet:
        return self._with(what, tuple(one for one in self.items[what] if not _same(what, one, name)))

    def _with(self, what: str, items: tuple[Keys, ...]) -> Sheet:
        return replace(self, items={**self.items, what: items})


def _same(what: str, keys: Keys, name: str) -> bool:
    key = person_key if what == PERSON else plain
    return key(str(keys[what])) == key(name)


def sheet_of(shop: Shop) -> Sheet:
    """A shop's keys and texts as its file says them."""
    mark = next(word for word, mark in MARKS.items() if mark == shop.decimal_mark)
    idle = shop.idle.typed if shop.idle else ""
    return Sheet(
        {"shop": shop.title, "zone": shop.zone, "decimal mark": mark, "idle": idle},
        {
            PERSON: tuple(_person(one) for one in shop.people),
            INSTRUMENT: tuple(_gauge(one) for one in shop.gauges),
            MASTER: tuple(_master(one) for one in shop.masters),
        },
    )


def shop_text(shop: Shop) -> str:
    """The text of a shop's file."""
    return sheet_text(sheet_of(shop))


def sheet_text(sheet: Sheet) -> str:
    """The text of a file that says what is on the sheet, right or not."""
    lines = [_HEAD.rstrip("\n"), *_lines(sheet.head)]
    for what, items in sheet.items.items():
        if items:
            lines += ["", f"{_LISTS[what]}:"]
        for keys in items:
            first, *others = _lines(keys)
            lines += [f"  - {first}", *(f"    {line}" for line in others)]
    return "\n".join(lines) + "\n"


def _lines(keys: Keys) -> Iterator[str]:
    for key, said in keys.items():
        if isinstance(said, tuple) and said:
            yield f"{key}: [{', '.join(as_scalar(word, within='[]') for word in said)}]"
        elif isinstance(said, str) and said:
            yield f"{key}: {as_scalar(said)}"


def _person(person: Person) -> Keys:
    return {"person": person.name, "roles": person.roles, "pin": person.pin}


def _gauge(gauge: Gauge) -> Keys:
    return {
        "instrument": gauge.id,
        "kind": gauge.kind,
        "reads to": gauge.reads_to.typed,
        "uncertainty": gauge.uncertainty.typed,
        "calibrated until": gauge.calibrated_until.isoformat(),
        "expansion": gauge.expansion.typed if gauge.expansion else "",
    }


def _master(master: Master) -> Keys:
    return {
        "master": master.id,
        "size": master.size.typed,
        "uncertainty": master.uncertainty.typed,
        "calibrated until": master.calibrated_until.isoformat(),
    }
