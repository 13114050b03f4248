"""An entries file: what people typed and did on a whole job, in order, for a dry run. Read like a procedure, item by item.

It may come from anywhere, so it is data like a procedure is; its problems are told the same way.
"""

from __future__ import annotations

import re
from collections.abc import Mapping as Dict
from dataclasses import dataclass
from datetime import datetime, timedelta

from runner.procedure.items import Item
from runner.procedure.model import WAYS_OUT
from runner.quantities.kinds import TIME
from runner.session.clock import is_zone
from runner.text.problem import Place, Problem, in_order
from runner.text.yaml_nodes import Mapping, Scalar, read_yaml

EXITS = ("cannot measure", "cannot do as written", "nonconforming")
_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "person": ((), ()),
    "pass": (("for",), ("typed", "twice")),
    "release": (("for", "by", "saw"), ()),
    "again": (("for", "because", "reads"), ("twice",)),
    "exit": (("for", "because"), ()),
    "take up": (("for", "because"), ()),
    "route": (("for", "by", "because"), ()),
    "at": ((), ()),
    "later": ((), ()),
    "suspend": ((), ()),
    "resume": ((), ()),
    "expect": (("for",), ("at",)),
    "release job": (("by",), ()),
}
"""What each item of an entries file must say and may say, beside its first key."""
EXPECTED = ("held", "done")
LONGEST = timedelta(days=366)
"""No one span in an entries file is longer."""
FIRST_YEAR, LAST_YEAR = 1970, 2999


@dataclass(frozen=True, slots=True)
class Act:
    """One item: its first key and what that says, the other keys as text, and what was typed, by name."""

    what: str
    said: str
    keys: Dict[str, str]
    typed: Dict[str, str]
    twice: tuple[str, ...]
    saw: tuple[str, ...]
    place: Place
    places: Dict[str, Place]
    lasted: timedelta = timedelta(0)
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Entries:
    """A whole entries file."""

    procedure_id: str
    revision: str
    job: str
    invented: bool
    alone: bool
    opened: datetime
    zone: str
    pace: timedelta
    named: Dict[str, tuple[str, ...]]
    acts: tuple[Act, ...]
    place: Place


def read_entries(text: str, file: str) -> tuple[Entries | None, list[Problem]]:
    """The entries in a text and its problems by place; None where there is any."""
    root, problems = read_yaml(text, file)
    if root is None:
        return None, problems
    if not isinstance(root, Mapping):
        return None, [
            Problem(
                "not-entries",
                root.place,
                "this file is a list or a text, not an entries file",
                "begin it with entries: and the procedure's id",
            )
        ]
    if root.entries and root.entries[0].key.text == "procedure":
        what = "this is a procedure, not an entries file"
        fix = "name the entries file; in benchhand dry-run it stands behind the procedure"
        return None, [Problem("not-entries", root.entries[0].key.place, what, fix)]
    must = ["entries", "revision", "job", "opened", "pace", "work"]
    head = Item(root, "file of entries", must, ["invented", "alone", "parts", "zone"], problems)
    opened, pace = _moment(head, "opened"), _span(head, "pace")
    if head.has("zone") and not is_zone(head.text("zone")):
        head.wrong(
            "unknown-zone",
            head.place_of("zone"),
            f"no zone is called '{head.text('zone')}'",
            "write one like Europe/Vienna or UTC+01:00, or leave it out",
        )
    named = {}
    for node in head.items("parts"):
        part = Item(node, "part", ["part", "named"], [], problems)
        named[part.text("part")] = tuple(word.text for word in part.words("named"))
    acts = tuple(act for node in head.items("work") if (act := _act(node, problems)))
    if problems or opened is None or pace is None:
        return None, in_order(problems)
    entries = Entries(
        procedure_id=head.text("entries"),
        revision=head.text("revision"),
        job=head.text("job"),
        invented=head.has("invented") and head.one_of("invented", ["yes", "no"]) == "yes",
        alone=head.has("alone") and head.one_of("alone", ["yes", "no"]) == "yes",
        opened=opened,
        zone=head.text("zone") or _offset(opened),
        pace=pace,
        named=named,
        acts=acts,
        place=head.place,
    )
    return (None if problems else entries), in_order(problems)


def _act(node: Mapping, problems: list[Problem]) -> Act | None:
    key = node.entries[0].key
    if key.text not in _KEYS:
        problems.append(
            Problem(
                "unknown-act",
                key.place,
                f"'{key.text}' is nothing that an entries file tells",
                f"items begin with {', '.join(_KEYS)}",
            )
        )
        return None
    must, may = _KEYS[key.text]
    item = Item(node, key.text, [key.text, *must], list(may), problems)
    said = _said(item, key.text)
    lasted, at = timedelta(0), None
    if key.text == "later":
        lasted = _span(item, "later") or lasted
    elif key.text == "at":
        at = _moment(item, "at")
    elif key.text == "exit":
        item.one_of("exit", EXITS)
    elif key.text == "route":
        item.one_of("route", WAYS_OUT)
    elif key.text == "expect":
        item.one_of("expect", EXPECTED)
    keys = {
        one: item.text(one) for one in (*must, *may) if one not in ("typed", "saw", "twice") and item.has(one)
    }
    typed, places = _typed(item)
    return Act(
        key.text,
        said,
        keys,
        typed,
        tuple(word.text for word in item.words("twice")),
        _saw(item),
        key.place,
        places,
        lasted,
        at,
    )


def _said(item: Item, key: str) -> str:
    node = item.node.get(key)
    return node.text.strip() if isinstance(node, Scalar) else ""


def _typed(item: Item) -> tuple[dict[str, str], dict[str, Place]]:
    node = item.node.get("typed")
    if node is None:
        return {}, {}
    if not isinstance(node, Mapping):
        item.wrong(
            "wrong-form",
            node.place,
            "'typed' is a list of names, each with what was typed",
            "write a name, a colon and the text on each line",
        )
        return {}, {}
    typed, places = {}, {}
    for entry in node.entries:
        if isinstance(entry.value, Scalar):
            typed[entry.key.text], places[entry.key.text] = entry.value.text, entry.value.place
        else:
            item.wrong(
                "wrong-form",
                entry.value.place,
                "one text is typed at a time",
                "write the readings on one line, blanks between",
            )
    return typed, places


def _saw(item: Item) -> tuple[str, ...]:
    """`each line`, or a list of what was seen in words."""
    node = item.node.get("saw")
    if isinstance(node, Scalar):
        return (node.text.strip(),)
    return item.sentences("saw")


def _span(item: Item, key: str) -> timedelta | None:
    """How long something takes: nothing or more, and no longer than a job could."""
    quantity = item.quantity(key, TIME)
    if quantity is None:
        return None
    if not 0 <= quantity.si <= LONGEST.total_seconds():
        item.wrong(
            "bad-time",
            item.place_of(key),
            f"{quantity.typed} is less than no time" if quantity.si < 0 else f"{quantity.typed} is too long",
            f"write a time from 0 s to {LONGEST.days * 24} h",
        )
        return None
    return timedelta(seconds=float(quantity.si))


def _moment(item: Item, key: str) -> datetime | None:
    """`2031-03-03 07:30 +01:00`: a date, a time of day and the offset from UTC."""
    scalar = item.scalar(key)
    if scalar is None:
        return None
    if re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d(:\d\d)? [+-]\d\d:\d\d", scalar.text):
        shape = "%Y-%m-%d %H:%M:%S %z" if scalar.text.count(":") == 3 else "%Y-%m-%d %H:%M %z"
        try:
            at = datetime.strptime(scalar.text, shape)
            if FIRST_YEAR <= at.year <= LAST_YEAR:
                return at
        except ValueError:
            pass
    item.wrong(
        "bad-time", scalar.place, f"'{scalar.text}' is not a time", "write it like 2031-03-03 07:30 +01:00"
    )
    return None


def _offset(opened: datetime) -> str:
    offset = opened.strftime("%z")
    return f"UTC{offset[:3]}:{offset[3:5]}"
