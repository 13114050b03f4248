"""A first procedure from a few answers: small, right, and full of notes to whoever will write on. Keys stand in one order."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation

from runner.procedure.grammar import items
from runner.procedure.scalars import as_name, why_no_name
from runner.quantities.units import unit
from runner.text.foreign import one_line
from runner.text.yaml_text import as_scalar

Answers = Mapping[str, str]
_Value = str | Sequence[str]


def offered(key: str, answers: Answers, file: str) -> str:
    """What is offered as the answer to a question, from those before it and the name of the file."""
    measured = unit(answers.get("unit", ""))
    symbol = measured.symbol if measured else "mm"
    step = "K" if measured and measured.kind.point else symbol
    match key:
        case "title":
            words = file.replace("-", " ").strip()
            return words[:1].upper() + words[1:]
        case "reads to":
            return f"0.01 {step}"
        case "uncertainty":
            return f"0.03 {step}"
        case "limit":
            return f"9.8 {symbol} to 10.2 {symbol}"
        case "plausible":
            return _plausible(answers.get("limit", ""), symbol)
        case _:
            return _OFFERED.get(key, "")


_OFFERED = {
    "scope": "not tried yet; for one part of ours",
    "part": "part",
    "tag": "number stamped on it",
    "measured": "width",
    "unit": "mm",
    "instrument": "caliper",
    "places": "2",
    "source": "shop's own, not looked at yet",
    "if not": "concession, scrap",
    "released by": "inspector",
}
KEYS = ("title", "scope", "part", "tag", "named", "measured", "unit", "instrument", "reads to", "uncertainty",
        "places", "limit", "plausible", "source", "if not", "released by")  # fmt: skip
"""What is asked, in this order; `named` may be left out."""


def first_draft(file: str, answers: Answers) -> str:
    """The text of the procedure; what isn't among the answers is as it would be offered. `file` is its name, and its id."""
    said: dict[str, str] = {}
    for key in KEYS:
        answer = " ".join(one_line(answers.get(key, "")).split())
        said[key] = answer or offered(key, said, file)
    part = _name(said["part"], "part", ())
    reading = _name(said["measured"], "measured", (part,))
    return "\n".join([*_head(file, said, part), *_stage(said, part, reading)]) + "\n"


def _head(file: str, said: Answers, part: str) -> list[str]:
    others = "inspector" if said["released by"] == "machinist" else said["released by"]
    roles = ["machinist", others]
    head = {
        "procedure": said["title"],
        "id": file,
        "revision": "1",
        "changed": "first issue",
        "status": "draft",
        "written by": "the shop",
        "scope": said["scope"],
        "decision": "simple",
        "roles": roles,
        "released by": said["released by"],
        "concessions by": said["released by"],
    }
    named = {"named": _words(said["named"])} if said["named"] else {}
    instrument = {key: said[key] for key in ("instrument", "reads to", "uncertainty")}
    return [
        "# A line like this one is a note to whoever writes; nobody at the bench sees it.",
        "# What is wrong with this file:      benchhand check FILE",
        "# How it reads at the bench:         benchhand show FILE",
        "# Every key there is:                benchhand schema --reference",
        "",
        *_keys("procedure", head),
        "",
        "# What the work is done on. Its name is typed at the bench before the first entry, so that no part is mixed up.",
        "# Without named: the names are asked when a job is opened.",
        "parts:",
        *_item("part", {"part": part, "tag": said["tag"], **named}),
        "",
        "# What it is measured with: its smallest step, and what it may be out by, nineteen times in twenty.",
        "instruments:",
        *_item("instrument", instrument),
        "",
    ]


def _stage(said: Answers, part: str, reading: str) -> list[str]:
    several = said["places"].isdecimal() and int(said["places"]) > 1
    limit, value = _limit(said["limit"])
    checked = _name(f"{reading}_mean", "mean", (part, reading)) if several else reading
    read: dict[str, _Value] = {
        "read": reading,
        "ask": f"Measure the {said['measured']}",
        "unit": said["unit"],
        "plausible": said["plausible"],
        "with": said["instrument"],
    }
    mean = {"work out": checked, "as": f"mean({reading})", "to the nearest": _shown_to(said)}
    check = {"check": checked, limit: value, "source": said["source"], "if not": _words(said["if not"])}
    hold = {
        "hold point": f"{said['part']} released",
        "by": said["released by"],
        "must see": [f"The {said['part']} carries its own name"],
        "show": [checked],
    }
    if several or said["places"] not in ("1", ""):
        read["points"] = said["places"]
    lines = [
        "# The work, stage by stage, once for each part. A stage comes after the one above it, unless it says otherwise.",
        "stages:",
        "  - stage: Measure",
        f"    for each: {part}",
        "    steps:",
        "      # An act: one to a step, verb first. It is confirmed by whoever did it.",
        *_item("do", {"do": f"Clean the {said['part']}"}, 3),
        "      # A reading. A value outside plausible is asked twice; it is no verdict, so make it wider than the limit.",
        *_item("read", read, 3),
    ]
    if several:
        lines += ["      # Worked out by itself, from the reading above; the bench can look at the working."]
        lines += _item("work out", mean, 3)
    return [
        *lines,
        "      # The limit, where it comes from, and what may be decided where it isn't met.",
        *_item("check", check, 3),
        "      # Nothing goes on until somebody who made no entry here has looked, and released it.",
        *_item("hold point", hold, 3),
    ]


def _shown_to(said: Answers) -> str:
    """What a mean is shown to: the instrument's smallest step, for a temperature in the reading's own unit."""
    measured = unit(said["unit"])
    number = said["reads to"].rpartition(" ")[0]
    return f"{number} {said['unit']}" if measured and measured.kind.point and number else said["reads to"]


def _item(word: str, keys: Mapping[str, _Value], depth: int = 1) -> list[str]:
    """An item of a list, its keys in the order of the grammar."""
    order = items()[word].keys
    lines = _keys(word, dict(sorted(keys.items(), key=lambda one: order.index(one[0]))))
    margin = "  " * depth
    return [f"{margin}{'  ' if at else '- '}{line}" for at, line in enumerate(lines)]


def _keys(word: str, keys: Mapping[str, _Value]) -> list[str]:
    lines: list[str] = []
    for key, value in keys.items():
        if isinstance(value, str):
            lines.append(f"{key}: {as_scalar(value)}")
        elif key == "must see":
            lines += [f"{key}:", *(f"  - {as_scalar(one)}" for one in value)]
        else:
            lines.append(f"{key}: [{', '.join(as_scalar(one, within='[]') for one in value)}]")
    return lines


def _words(answer: str) -> list[str]:
    return [one.strip() for one in answer.split(",") if one.strip()]


def _name(text: str, otherwise: str, taken: Sequence[str]) -> str:
    """A name for formulas as near to the words as can be, and none of those that are taken."""
    name = as_name(text)
    if why_no_name(name) or name in taken:
        name = f"{name[: 39 - len(otherwise)]}_{otherwise}" if name else otherwise
    while name in taken:
        name = f"{name[:38]}_2" if f"{name[:38]}_2" not in taken else f"{name[:37]}_3"
    return name


def _limit(text: str) -> tuple[str, str]:
    """'at most' and what, 'at least' and what, or a range."""
    for key in ("at most", "at least"):
        if text.startswith(key + " "):
            return key, text[len(key) :].strip()
    return "within", text


_NUMBER = re.compile(r"(-?\d*\.?\d+) (\S+)")


def _plausible(limit: str, symbol: str) -> str:
    """A band ten limits wider to either side, none below nil where the limit isn't; the author narrows it."""
    try:
        ends = [Decimal(number) for number, its in _NUMBER.findall(limit) if its == symbol]
    except InvalidOperation:
        ends = []
    if not ends:
        return f"0 {symbol} to 1000 {symbol}"
    low, high = min(ends), max(ends)
    width = 10 * ((high - low) or abs(high) or Decimal(1))
    least = low - width
    return f"{max(least, Decimal(0)) if low >= 0 else least} {symbol} to {high + width} {symbol}"
