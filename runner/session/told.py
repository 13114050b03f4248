"""One item of an entries file: its first key says what somebody did, the others how. `ITEMS` is all there is to tell."""

from __future__ import annotations

import re
from collections.abc import Mapping as Dict
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from runner.procedure.items import Item
from runner.procedure.model import WAYS_OUT
from runner.procedure.scalars import quantity_of
from runner.quantities.kinds import TIME
from runner.quantities.quantity import Quantity
from runner.text.nearest import nearest
from runner.text.problem import Place, Problem
from runner.text.yaml_nodes import Mapping, Scalar

EXITS = ("cannot measure", "cannot do as written", "nonconforming")
EXPECTED = ("held", "done", "out of date", "refused")
ITEMS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "person": ((), ("pin",)),
    "pass": (("for",), ("typed", "twice", "pin")),
    "again": (("for", "because", "reads"), ("twice",)),
    "correct": (("for", "because", "reads"), ("point",)),
    "move": (("for", "to", "because"), ()),
    "still stands": (("for", "because"), ("stage",)),
    "skip": (("for", "by", "because"), ("stage", "pin")),
    "release": (("for", "by", "saw"), ("reads", "stage", "pin")),
    "call witness": (("for",), ("stage",)),
    "witness": (("for", "by"), ("stage", "pin")),
    "not attended": (("for",), ("stage",)),
    "exit": (("for", "because"), ("stage",)),
    "take up": (("for", "because"), ()),
    "route": (("for", "because"), ("by", "stage", "pin")),
    "permit": (("for", "by", "because"), ("stage", "pin")),
    "gauge": (("id",), ()),
    "soak": (("for", "rounds"), ("stage", "twice")),
    "open door": (("for", "because"), ("stage",)),
    "arm": (("for",), ("stage",)),
    "stand down": (("for", "because"), ("stage",)),
    "against the clock": (("for",), ("second key", "stage")),
    "estimate": (("for", "reads", "because"), ("stage",)),
    "load": (("called", "of"), ()),
    "leave": (("for", "because"), ()),
    "hand over": ((), ()),
    "accept": ((), ()),
    "suspend": ((), ()),
    "resume": ((), ()),
    "at": ((), ()),
    "later": ((), ()),
    "hurry": ((), ()),
    "clock set": ((), ()),
    "restart": ((), ()),
    "expect": ((), ("for", "at", "stage", "says")),
    "release job": (("by",), ("pin",)),
}
"""What each item must say and may say, beside its first key."""
LONGEST = timedelta(days=366)
"""No one span in an entries file is longer."""
FIRST_YEAR, LAST_YEAR = 1970, 2999
MISSED = "missed"
"""What is said of a second key that nobody pressed."""
_NOT_TEXT = ("typed", "saw", "twice", "pin", "of", "rounds")


@dataclass(frozen=True, slots=True)
class Round:
    """One line typed at a soak: so long `after` its first round, as it is `said` in the file."""

    said: str
    after: timedelta
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Act:
    """
    One item: its first key and what that says, the other keys as text, and what was typed, by name. `names` are the
    readings that are moved, or the parts of a load; `lasted` what `later` and its like say, or the seconds to a second
    key. A PIN is shown nowhere.
    """

    what: str
    said: str
    keys: Dict[str, str]
    typed: Dict[str, str]
    twice: tuple[str, ...]
    saw: tuple[str, ...]
    place: Place
    places: Dict[str, Place]
    names: tuple[str, ...] = ()
    rounds: tuple[Round, ...] = ()
    lasted: timedelta = timedelta(0)
    at: datetime | None = None
    pin: str = field(default="", repr=False)


def read_act(node: Mapping, problems: list[Problem]) -> Act | None:
    """The item in a node, or None beside a problem where nobody knows what it tells."""
    key = node.entries[0].key
    if key.text not in ITEMS:
        near = nearest(key.text, ITEMS)
        fix = f"did you mean '{near}'?" if near else f"items begin with {', '.join(ITEMS)}"
        what = f"'{key.text}' is nothing that an entries file tells"
        problems.append(Problem("unknown-act", key.place, what, fix))
        return None
    must, may = ITEMS[key.text]
    item = Item(node, key.text, [key.text, *must], list(may), problems)
    typed, places = _typed(item)
    lasted, at = _timed(item, key.text)
    _said_right(item, key.text)
    return Act(
        what=key.text,
        said=_said(item, key.text),
        keys={one: item.text(one) for one in (*must, *may) if one not in _NOT_TEXT and item.has(one)},
        typed=typed,
        twice=tuple(word.text for word in item.words("twice")),
        saw=_saw(item),
        place=key.place,
        places=places,
        names=_names(item, key.text),
        rounds=_rounds(item),
        lasted=lasted,
        at=at,
        pin=item.text("pin"),
    )


def _said(item: Item, key: str) -> str:
    node = item.node.get(key)
    return node.text.strip() if isinstance(node, Scalar) else ""


def _names(item: Item, key: str) -> tuple[str, ...]:
    listed = {"move": "move", "load": "of"}.get(key)
    return tuple(word.text for word in item.words(listed)) if listed else ()


def _said_right(item: Item, key: str) -> None:
    """Whether what an item says is one of what it may say."""
    if key == "exit":
        item.one_of("exit", EXITS)
    elif key == "expect":
        said = item.one_of("expect", EXPECTED)
        if said and said != "refused" and not item.has("for"):
            item.wrong(
                "missing-key", item.place, f"this expect does not say 'for': {said} is a part", "add for: …"
            )
        if said == "done" and item.has("says"):
            what = "what is done says nothing that could be looked for"
            item.wrong("nothing-said", item.place_of_key("says"), what, "leave says: out")
    elif key == "route" and _said(item, key) in WAYS_OUT and not item.has("by"):
        what = f"this route does not say 'by': a {_said(item, key)} is decided by a named person"
        item.wrong("missing-key", item.place, what, "add by: …")
    elif key in ("hand over", "accept", "suspend", "gauge", "release job"):
        item.text(key)


def _timed(item: Item, key: str) -> tuple[timedelta, datetime | None]:
    """How long an item says that something lasted, or when it was."""
    match key:
        case "at":
            return timedelta(0), moment_of(item, key)
        case "later" | "hurry" | "restart":
            return span_of(item, key) or timedelta(0), None
        case "against the clock" if _said(item, "second key") not in ("", MISSED):
            return span_of(item, "second key") or timedelta(0), None
        case "clock set":
            return span_of(item, key, back=True) or timedelta(0), None
        case _:
            return timedelta(0), None


def _typed(item: Item) -> tuple[dict[str, str], dict[str, Place]]:
    node = item.node.get("typed")
    if node is None:
        return {}, {}
    if not isinstance(node, Mapping):
        what = "'typed' is a list of names, each with what was typed"
        item.wrong("wrong-form", node.place, what, "write a name, a colon and the text on each line")
        return {}, {}
    typed, places = {}, {}
    for entry in node.entries:
        if isinstance(entry.value, Scalar):
            typed[entry.key.text], places[entry.key.text] = entry.value.text, entry.value.place
        else:
            fix = "write the readings on one line, blanks between"
            item.wrong("wrong-form", entry.value.place, "one text is typed at a time", fix)
    return typed, places


def _rounds(item: Item) -> tuple[Round, ...]:
    """The lines typed at a soak, each under the time since its first round, in the order in which they were typed."""
    node = item.node.get("rounds")
    if node is None:
        return ()
    if not isinstance(node, Mapping):
        what = "'rounds' is a list of times, each with what was typed"
        fix = "write 0 min, a colon and the readings on one line, then 20 min and so on"
        item.wrong("wrong-form", node.place, what, fix)
        return ()
    rounds: list[Round] = []
    for entry in node.entries:
        one = Item(Mapping((entry,), entry.key.place), "soak", [], [entry.key.text], item.problems)
        after, typed = _time_since(one, entry.key), one.scalar(entry.key.text)
        if after is None or typed is None:
            continue
        if rounds and after <= rounds[-1].after:
            what = f"{entry.key.text} does not come after {rounds[-1].said}"
            item.wrong(
                "bad-time", entry.key.place, what, "put the rounds in the order in which they were read"
            )
        rounds.append(Round(entry.key.text, after, typed.text, typed.place))
    return tuple(rounds)


def _saw(item: Item) -> tuple[str, ...]:
    """`each line`, or a list of what was seen in words."""
    node = item.node.get("saw")
    if isinstance(node, Scalar):
        return (node.text.strip(),)
    return item.sentences("saw")


def span_of(item: Item, key: str, *, back: bool = False) -> timedelta | None:
    """How long something takes: nothing or more unless it may go `back`, and no longer than a job could."""
    quantity = item.quantity(key, TIME)
    return _span(item, quantity, item.place_of(key), back) if quantity else None


def _time_since(item: Item, key: Scalar) -> timedelta | None:
    """The time that a key itself says: `20 min`."""
    quantity = quantity_of(key, item.problems)
    if quantity and quantity.kind != TIME:
        what = f"{quantity.typed} is {quantity.kind.words}, and a round stands under a time"
        item.wrong("kinds", key.place, what, "write how long after the first round, such as 20 min")
        return None
    return _span(item, quantity, key.place) if quantity else None


def _span(item: Item, quantity: Quantity, place: Place, back: bool = False) -> timedelta | None:
    seconds = float(quantity.si)
    if (seconds < 0 and not back) or abs(seconds) > LONGEST.total_seconds():
        short = seconds < 0 and not back
        what = f"{quantity.typed} is {'less than no time' if short else 'too long'}"
        item.wrong("bad-time", place, what, f"write a time from 0 s to {LONGEST.days * 24} h")
        return None
    return timedelta(seconds=seconds)


def moment_of(item: Item, key: str) -> datetime | None:
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
    what = f"'{scalar.text}' is not a time"
    item.wrong("bad-time", scalar.place, what, "write it like 2031-03-03 07:30 +01:00")
    return None
