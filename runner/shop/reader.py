"""A shop file's text to a shop, or to every problem it has, in one reading. It is never trusted.

What only the machine knows, which zones there are, is asked of whoever calls.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

from runner.procedure.head import is_difference, uncertainty_of, what_it_reads
from runner.procedure.items import MOST_PROBLEMS, Item
from runner.quantities.kinds import EXPANSION, TIME
from runner.quantities.quantity import Quantity
from runner.shop.model import Gauge, Master, Person, Shop, plain
from runner.shop.people import LONGEST_NAME, is_name, is_shared, person_key
from runner.shop.pins import is_kept
from runner.text.problem import Place, Problem, in_order
from runner.text.yaml_nodes import Mapping, Scalar, read_yaml

MARKS = {"point": ".", "comma": ","}
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,11}")
_ROLE = re.compile(r"[^\W\d_]+([ -][^\W\d_]+)?")
_LONGEST_ROLE = 24
_LEAST_IDLE_S, _MOST_IDLE_S = 60, 12 * 3600


def any_zone(name: str) -> bool:
    """Takes every zone as known, where no machine is there to be asked."""
    return True


def read_shop(
    text: str, file: str, is_zone: Callable[[str], bool] = any_zone
) -> tuple[Shop | None, list[Problem]]:
    """The shop in a text, and its problems by place; it is None where there is any. `is_zone` says which zones exist."""
    root, problems = read_yaml(text, file)
    if root is None:
        return None, in_order(problems)
    if not isinstance(root, Mapping):
        what = "this file is a list or a text, not a shop file"
        return None, [Problem("not-a-shop", root.place, what, "begin it with shop: and the shop's name")]
    may = ["zone", "decimal mark", "idle", "people", "instruments", "masters"]
    head = Item(root, "shop file", ["shop"], may, problems)
    shop = Shop(
        title=head.text("shop"),
        zone=_zone(head, is_zone),
        decimal_mark=MARKS.get(head.one_of("decimal mark", list(MARKS)), "."),
        idle=_idle(head),
        people=_people(head),
        gauges=tuple(filter(None, (_gauge(node, problems) for node in head.items("instruments")))),
        masters=tuple(filter(None, (_master(node, problems) for node in head.items("masters")))),
        text=text,
    )
    if len(problems) < MOST_PROBLEMS:
        _each_id_once(head)
    return (None if problems else shop), in_order(problems)[:MOST_PROBLEMS]


def _zone(head: Item, is_zone: Callable[[str], bool]) -> str:
    zone = head.text("zone")
    if zone and not is_zone(zone):
        fix = "write one like Europe/Vienna or UTC+01:00, or leave it out"
        head.wrong("unknown-zone", head.place_of("zone"), f"no zone is called '{zone}'", fix)
    return zone


def _idle(head: Item) -> Quantity | None:
    idle = head.quantity("idle", TIME)
    if idle and not _LEAST_IDLE_S <= idle.si <= _MOST_IDLE_S:
        what = f"{idle.typed} is too {'short' if idle.si < _LEAST_IDLE_S else 'long'} for a bench to be called idle"
        head.wrong("bad-time", head.place_of("idle"), what, "write a time from 1 min to 12 h")
    return idle


def _people(head: Item) -> tuple[Person, ...]:
    """The people, each with a name of their own: no two look the same, none is a role or goes for many."""
    found: list[tuple[Person, Item]] = []
    for node in head.items("people"):
        item = Item(node, "person", ["person", "roles"], ["pin"], head.problems)
        found.append((Person(_name(item), _roles(item), _pin(item)), item))
    roles = {person_key(role) for person, _ in found for role in person.roles}
    first: dict[str, Place] = {}
    for person, item in found:
        key, place = person_key(person.name), item.place_of("person")
        if not key:
            continue
        if key in roles:
            what = f"'{person.name}' is a role, and a role signs nothing"
            item.wrong("shared-name", place, what, "give each person a name of their own")
        before = first.setdefault(key, place)
        if before is not place:
            what = f"'{person.name}' is here twice; the first is on line {before.line}"
            item.wrong("said-twice", place, what, "keep one, or write their names out so that they differ")
    return tuple(person for person, _ in found)


def _name(item: Item) -> str:
    name = " ".join(item.text("person").split())
    if name and not is_name(name):
        item.wrong("bad-name", item.place_of("person"), f"'{name}' is no name", "write a name in letters")
    elif len(name) > LONGEST_NAME:
        what = f"a name of {len(name)} characters"
        item.wrong("too-long", item.place_of("person"), what, f"shorten it; {LONGEST_NAME} is the most")
    elif is_shared(name):
        what = f"'{name}' would sign for many, and nobody could tell who it was"
        item.wrong("shared-name", item.place_of("person"), what, "give each person a name of their own")
    return name


def _roles(item: Item) -> tuple[str, ...]:
    roles: list[str] = []
    for word in item.words("roles"):
        role = " ".join(word.text.split())
        if not _ROLE.fullmatch(role) or role != role.lower() or len(role) > _LONGEST_ROLE:
            fix = "write a word or two in small letters, such as inspector"
            item.wrong("bad-name", word.place, f"'{word.text}' can't be a role", fix)
        elif role in roles:
            item.wrong("said-twice", word.place, f"the role '{role}' is given twice", "give it once")
        roles.append(role)
    return tuple(roles)


def _pin(item: Item) -> str:
    """What is kept of a PIN. A problem with it never repeats what stands there: it may be the PIN itself."""
    kept = item.scalar("pin")
    if kept and not is_kept(kept.text):
        what = "what stands here is not what is kept of a PIN, and a PIN itself never stands in a file"
        item.wrong("bad-pin", kept.place, what, "take the line out; `benchhand shop person` asks for the PIN")
    return kept.text if kept else ""


def _id(item: Item, key: str) -> str:
    id_ = item.text(key)
    if id_ and not _ID.fullmatch(id_):
        fix = "write what is engraved: at most 12 letters, digits, points and dashes"
        item.wrong("bad-name", item.place_of(key), f"'{id_}' can't be an id", fix)
    return id_


def _until(item: Item) -> date | None:
    text = item.text("calibrated until")
    if not text:
        return None
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            pass  # a day that its month doesn't have
    place = item.place_of("calibrated until")
    item.wrong("bad-date", place, f"'{text}' is not a day", "write year, month, day, like 2031-06-30")
    return None


def _gauge(node: Mapping, problems: list[Problem]) -> Gauge | None:
    must = ["instrument", "kind", "reads to", "uncertainty", "calibrated until"]
    item = Item(node, "instrument", must, ["expansion"], problems)
    id_, kind, reads, until = _id(item, "instrument"), item.text("kind"), what_it_reads(item), _until(item)
    expansion = item.quantity("expansion", EXPANSION)
    is_difference(item, "expansion", above_nil=True, like="11.5 um/m/K")
    return Gauge(id_, kind, *reads, until, expansion) if id_ and kind and reads and until else None


def _master(node: Mapping, problems: list[Problem]) -> Master | None:
    item = Item(node, "master", ["master", "size", "uncertainty", "calibrated until"], [], problems)
    id_, size, until = _id(item, "master"), item.quantity("size"), _until(item)
    uncertainty = uncertainty_of(item, size)
    if size and not size.kind.point and size.number <= 0:
        item.wrong("bad-number", item.place_of("size"), "a size of nil or less", "write it like 45.000 mm")
    return Master(id_, size, uncertainty, until) if id_ and size and uncertainty and until else None


def _each_id_once(head: Item) -> None:
    """No two things of the shop have one id: what is read off a gauge or a ring means one thing."""
    first: dict[str, Place] = {}
    for key, named in (("instruments", "instrument"), ("masters", "master")):
        for node in head.items(key):
            scalar = node.get(named)
            if not isinstance(scalar, Scalar):
                continue
            before = first.setdefault(plain(scalar.text), scalar.place)
            if before is not scalar.place:
                what = f"two things are called '{scalar.text}'; the first is on line {before.line}"
                head.wrong("said-twice", scalar.place, what, "write each id as it is engraved")
