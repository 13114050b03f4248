"""An entries file: what people typed and did on a whole job, in order, for a dry run. Read like a procedure, item by item.

It may come from anywhere, so it is data like a procedure is; its problems are told the same way.
"""

from __future__ import annotations

from collections.abc import Mapping as Dict
from dataclasses import dataclass
from datetime import datetime, timedelta

from runner.procedure.items import Item
from runner.session.clock import is_zone
from runner.session.told import Act, moment_of, read_act, span_of
from runner.text.problem import Place, Problem, in_order
from runner.text.yaml_nodes import Mapping, read_yaml

_MAY_SAY = ("invented", "alone", "rehearsal", "parts", "zone", "shop")


@dataclass(frozen=True, slots=True)
class Entries:
    """A whole entries file. `shop` is the name of a shop file beside it, or empty."""

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
    shop: str = ""
    rehearsal: bool = False


def read_entries(text: str, file: str) -> tuple[Entries | None, list[Problem]]:
    """The entries in a text and its problems by place; None where there is any."""
    root, problems = read_yaml(text, file)
    if root is None:
        return None, problems
    if not isinstance(root, Mapping):
        what = "this file is a list or a text, not an entries file"
        return None, [
            Problem("not-entries", root.place, what, "begin it with entries: and the procedure's id")
        ]
    if root.entries and root.entries[0].key.text == "procedure":
        what = "this is a procedure, not an entries file"
        fix = "name the entries file; in benchhand dry-run it stands behind the procedure"
        return None, [Problem("not-entries", root.entries[0].key.place, what, fix)]
    must = ["entries", "revision", "job", "opened", "pace", "work"]
    head = Item(root, "file of entries", must, [*_MAY_SAY], problems)
    opened, pace = moment_of(head, "opened"), span_of(head, "pace")
    _see_zone(head)
    named = {}
    for node in head.items("parts"):
        part = Item(node, "part", ["part", "named"], [], problems)
        named[part.text("part")] = tuple(word.text for word in part.words("named"))
    acts = tuple(act for node in head.items("work") if (act := read_act(node, problems)))
    _nothing_to_refuse(acts, problems)
    shop = _shop(head)
    if problems or opened is None or pace is None:
        return None, in_order(problems)
    entries = Entries(
        procedure_id=head.text("entries"),
        revision=head.text("revision"),
        job=head.text("job"),
        invented=_is_so(head, "invented"),
        alone=_is_so(head, "alone"),
        opened=opened,
        zone=head.text("zone") or _offset(opened),
        pace=pace,
        named=named,
        acts=acts,
        place=head.place,
        shop=shop,
        rehearsal=_is_so(head, "rehearsal"),
    )
    return (None if problems else entries), in_order(problems)


def _is_so(head: Item, key: str) -> bool:
    return head.has(key) and head.one_of(key, ["yes", "no"]) == "yes"


def _see_zone(head: Item) -> None:
    if head.has("zone") and not is_zone(head.text("zone")):
        what = f"no zone is called '{head.text('zone')}'"
        fix = "write one like Europe/Vienna or UTC+01:00, or leave it out"
        head.wrong("unknown-zone", head.place_of("zone"), what, fix)


def _shop(head: Item) -> str:
    """The name of a file beside this one: an entries file says nothing of other folders."""
    shop = head.text("shop")
    if "/" in shop or "\\" in shop or shop in (".", ".."):
        what, fix = (
            f"'{shop}' is not a file beside this one",
            "put the shop file beside it, and write its name",
        )
        head.wrong("shop-file", head.place_of("shop"), what, fix)
    return shop


def _nothing_to_refuse(acts: tuple[Act, ...], problems: list[Problem]) -> None:
    """An `expect: refused` is about the item behind it."""
    for at, act in enumerate(acts):
        behind = acts[at + 1].what if at + 1 < len(acts) else ""
        if (act.what, act.said) == ("expect", "refused") and behind in ("", "expect"):
            what = "nothing follows that could be refused"
            problems.append(Problem("nothing-refused", act.place, what, "write the item behind it"))


def _offset(opened: datetime) -> str:
    offset = opened.strftime("%z")
    return f"UTC{offset[:3]}:{offset[3:5]}"
