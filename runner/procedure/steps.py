"""One step read from its item. The first key says what it is."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from runner.formula.values import Typed
from runner.procedure.head import Lists
from runner.procedure.items import Item
from runner.procedure.model import (
    AGAIN_AT_MOST,
    DECISIONS,
    HAZARD_WORDS,
    WAYS_OUT,
    About,
    Check,
    Choose,
    Do,
    Formula,
    Hazard,
    HoldPoint,
    Range,
    Read,
    Rung,
    SignOff,
    Step,
    Wait,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)
from runner.procedure.scalars import once
from runner.quantities.kinds import NUMBER
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Problem
from runner.text.yaml_nodes import Mapping, Scalar

MOST_POINTS = 64
MOST_AGAIN = 20
"""How often a reading may be measured again in one pass, and a rework be gone through."""
MOST_OPTIONS = 20
LONGEST_OPTION = 60
"""Characters: one line of the small screen, with its number before it."""
_ANY = ("key point", "reason", "beware", "show")
KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "do": ((), ("tick", "timed as", "may skip", "good for")),
    "zero": (("on", "within"), ("timed as", "may skip", "good for")),
    "read": (
        ("ask", "unit", "plausible"),
        ("points", "levels", "axes", "with", "again at most", "timed as", "may skip", "good for"),
    ),
    "choose": (("ask", "options"), ("timed as", "may skip")),
    "write": (("ask",), ("timed as", "may skip")),
    "work out": (("as", "to the nearest"), ()),
    "rung": (("at least",), ("if not", "may skip")),
    "check": ((), ("within", "at least", "at most", "is", "source", "if not", "decision")),
    "wait": (("starts", "at least", "source"), ()),
    "hold point": (
        ("by", "must see"),
        ("measures again", "agree within", "timed as", "good for"),
    ),
    "witness point": (("by", "goes on after"), ()),
    "sign off": ((), ("timed as", "may skip")),
}
"""What each step must say and may say, beside what any step may."""


@dataclass(frozen=True, slots=True)
class Context:
    """What steps refer to, and where their problems go."""

    lists: Lists
    roles: tuple[str, ...]
    """Empty where the head's own list is missing or can't be read; then no role is unknown."""
    reworks: tuple[str, ...]
    """Their titles, whether or not what stands under them is right."""
    problems: list[Problem]


def read_step(node: Mapping, number: int, only_if: tuple[Formula, ...], context: Context) -> Step | None:
    """The step in an item that begins with what it is, or None beside a problem."""
    key = node.entries[0].key
    if key.text not in KEYS:
        return None
    must, may = KEYS[key.text]
    item = Item(node, key.text, [key.text, *must], [*may, *_ANY], context.problems)
    about = About(
        number=number,
        line=item.place.line,
        key_point=item.text("key point"),
        reason=item.text("reason"),
        beware=hazards_at(item, context),
        show=tuple(word.text for word in item.words("show")),
        timed_as=item.name("timed as"),
        only_if=only_if,
        may_skip=_role(item, "may skip", context),
        good_for=item.duration("good for"),
    )
    if item.has("reason") and not item.has("key point") and key.text not in ("check", "work out", "rung"):
        item.wrong(
            "reason-alone",
            item.place_of("reason"),
            "a reason without its key point",
            "say what makes or breaks the step in key point:",
        )
    return _READERS[key.text](item, about, context)


def _role(item: Item, key: str, context: Context) -> str:
    role = item.text(key)
    if role and context.roles and role not in context.roles:
        what, fix = f"no role is called '{role}'", suggestion(role, context.roles)
        item.wrong("unknown-role", item.place_of(key), what, fix)
    return role


def _do(item: Item, about: About, context: Context) -> Step | None:
    text = item.text("do")
    return Do(about, text, item.sentences("tick")) if text else None


def _zero(item: Item, about: About, context: Context) -> Step | None:
    title, within = _instrument(item, "zero", context), item.range("within")
    found = next((one for one in context.lists.instruments if one.title == title), None)
    if within and not within.nominal:
        item.wrong(
            "range-form",
            item.place_of("within"),
            "a zero is read back against one value",
            "write a tolerance of a nominal: 0.002 mm of 0 mm",
        )
        return None
    return Zero(about, title, found.reads_to.unit, item.text("on"), within) if found and within else None


def _read(item: Item, about: About, context: Context) -> Step | None:
    name, unit, plausible = item.name("read"), item.unit("unit"), item.range("plausible")
    instrument = _instrument(item, "with", context) if item.has("with") else ""
    found = next((one for one in context.lists.instruments if one.title == instrument), None)
    if found and unit and found.reads_to.kind.exponents != unit.kind.exponents:
        item.wrong(
            "kinds",
            item.place_of("unit"),
            f"the {found.title} reads {found.reads_to.kind.words}, and {unit.symbol} is {unit.kind.words}",
            "look at which was meant",
        )
        return None
    levels = tuple(word.text for word in item.words("levels"))
    axes = tuple(word.text for word in item.words("axes"))
    if bool(levels) != bool(axes) or (levels and item.has("points")):
        item.wrong(
            "points-form",
            item.place,
            "levels go with axes, and points stand alone",
            "write points: 3, or levels: […] and axes: […]",
        )
        return None
    points = tuple(f"{level} {axis}" for level in levels for axis in axes) if levels else _points(item)
    if len(set(points)) < len(points):
        key = "axes" if len(set(axes)) < len(axes) else "levels" if levels else "points"
        what = "two points of this reading are called the same"
        item.wrong("said-twice", item.place_of(key), what, "give each its own name")
    again = item.count("again at most", 0, MOST_AGAIN)
    again = AGAIN_AT_MOST if again is None else again
    if name and unit and plausible and points:
        return Read(about, name, item.text("ask"), unit, plausible, instrument, points, levels, axes, again)
    return None


def _points(item: Item) -> tuple[str, ...]:
    """The labels of a reading's points; one unnamed point for a single value."""
    words = item.words("points")
    if not item.has("points"):
        return ("",)
    if len(words) == 1 and re.fullmatch("-?[0-9]+", words[0].text):
        count = int(words[0].text[:6])
        if not 2 <= count <= MOST_POINTS:
            item.wrong(
                "points-form",
                words[0].place,
                f"{words[0].text[:6]} points",
                f"write a number from 2 to {MOST_POINTS}, or leave points: out for one value",
            )
            return ()
        return tuple(str(number) for number in range(1, count + 1))
    if len(words) > MOST_POINTS:
        item.wrong("points-form", words[0].place, f"{len(words)} points", f"{MOST_POINTS} is the most")
    return tuple(word.text for word in words)


def _choose(item: Item, about: About, context: Context) -> Step | None:
    name, words = item.name("choose"), item.words("options")
    once(words, "option", "give each its own words", context.problems)
    if words and not 2 <= len(words) <= MOST_OPTIONS:
        what = f"{len(words)} {'option' if len(words) == 1 else 'options'}"
        item.wrong("options", item.place_of("options"), what, f"write 2 to {MOST_OPTIONS}: [one, other]")
    for word in words:
        if '"' in word.text or len(word.text) > LONGEST_OPTION:
            what = f"an option of {len(word.text)} characters"
            what = "an option with a double quote in it" if '"' in word.text else what
            fix = f"write a few plain words, at most {LONGEST_OPTION} characters; formulas put them in quotes"
            item.wrong("options", word.place, what, fix)
    options = tuple(dict.fromkeys(word.text for word in words))
    right = len(words) == len(options) > 1
    return Choose(about, name, item.text("ask"), options) if name and right else None


def _write(item: Item, about: About, context: Context) -> Step | None:
    name = item.name("write")
    return Write(about, name, item.text("ask")) if name else None


def _rung(item: Item, about: About, context: Context) -> Step | None:
    ladder, least = item.text("rung"), item.formula("at least")
    routes = _routes(item, f"more than the highest rung of '{ladder}'", context)
    return Rung(about, ladder, least, routes) if ladder and least else None


def _work_out(item: Item, about: About, context: Context) -> Step | None:
    name, formula, nearest = item.name("work out"), item.formula("as"), item.quantity("to the nearest")
    if nearest and nearest.number <= 0:
        item.wrong(
            "bad-number",
            item.place_of("to the nearest"),
            "a step of nil or less",
            "write what is shown, such as 0.001 mm",
        )
        return None
    if not (name and formula and nearest):
        return None
    return WorkOut(about, name, formula, Typed(NUMBER), nearest.unit, nearest)


def _check(item: Item, about: About, context: Context) -> Step | None:
    name = item.text("check")
    said = [key for key in ("within", "at least", "at most", "is") if item.has(key)]
    if len(said) != 1:
        what = "a check with two limits" if said else "a check without a limit"
        fix = "write one of within: A to B, at least: A, at most: B, or is: an option"
        item.wrong("limit-form", item.place, what, fix)
        return None
    options = tuple(word.text for word in item.words("is"))
    limits = Range(f"is {' or '.join(options)}", None, None) if options else _limits(item, said[0])
    source = item.source() if item.has("source") else ""
    routes = _routes(item, f"a value of '{name}' outside this limit", context)
    if options and item.has("decision"):
        what = "a choice has no uncertainty to decide by"
        item.wrong("limit-form", item.place_of_key("decision"), what, "leave decision: out here")
    if name and limits:
        decision = item.one_of("decision", DECISIONS) if item.has("decision") else ""
        return Check(about, name, limits, source, routes, decision, options)
    return None


def _routes(item: Item, what_stops: str, context: Context) -> tuple[str, ...]:
    """What may be decided where a step isn't met; beside a problem what was likely meant."""
    if not item.has("if not"):
        fix = "say what the shop does then, such as if not: [concession, scrap]"
        item.wrong("no-way-out", item.place, f"{what_stops} would stop here for good", fix)
    known = (*WAYS_OUT, *context.reworks)
    routes = []
    for word in item.words("if not", known):
        near = nearest(word.text, known)
        if word.text not in known:
            what = f"'{word.text}' is no way out of a {item.what}"
            ways = f"ways out are {', '.join(WAYS_OUT)} and the titles under reworks:"
            always = "measuring again, nonconforming and suspending are always there"
            fix = f"did you mean '{near}'?" if near else f"{ways}; {always}"
            item.wrong("unknown-route", word.place, what, fix)
        if word.text in known or near:
            routes.append(word.text if word.text in known else str(near))
    once(item.words("if not", known), "way out", "keep one of the two", context.problems)
    return tuple(dict.fromkeys(routes))


def _limits(item: Item, key: str) -> Range | None:
    if key == "within":
        return item.range(key)
    formula: Formula | None = item.formula(key)
    if formula is None:
        return None
    low, high = (formula, None) if key == "at least" else (None, formula)
    return Range(f"{key} {formula.text}", low, high)


def _wait(item: Item, about: About, context: Context) -> Step | None:
    name, starts, least = item.name("wait"), item.text("starts"), item.duration("at least")
    return Wait(about, name, starts, least, item.source()) if name and starts and least else None


def _hold_point(item: Item, about: About, context: Context) -> Step | None:
    title, by = item.text("hold point"), _role(item, "by", context)
    again, agree = item.text("measures again"), item.quantity("agree within")
    if item.has("measures again") != item.has("agree within"):
        key, other = "measures again", "agree within"
        key, other = (key, other) if item.has(key) else (other, key)
        what = f"'{key}' without '{other}'"
        fix = "a second reading is held against the first: say both, or neither"
        item.wrong("measures-again", item.place_of_key(key), what, fix)
        again = ""
    sees = item.sentences("must see")
    return HoldPoint(about, title, by, sees, again, agree) if title and by else None


def _witness_point(item: Item, about: About, context: Context) -> Step | None:
    title, by = item.text("witness point"), _role(item, "by", context)
    after = item.duration("goes on after")
    return WitnessPoint(about, title, by, after) if title and by and after else None


def _sign_off(item: Item, about: About, context: Context) -> Step | None:
    text = item.text("sign off")
    return SignOff(about, text) if text else None


def _instrument(item: Item, key: str, context: Context) -> str:
    title = item.text(key)
    titles = [one.title for one in context.lists.instruments]
    if title in context.lists.tried and title not in titles:
        return ""
    if title and title not in titles:
        item.wrong(
            "unknown-instrument",
            item.place_of(key),
            f"no instrument is called '{title}'",
            suggestion(title, titles) if titles else "name it under instruments:",
        )
        return ""
    return title


def hazards_at(item: Item, context: Context) -> tuple[Hazard, ...]:
    """The hazards named at a stage or step, worst first."""
    by_title = {hazard.title: hazard for hazard in context.lists.hazards}
    found: list[Hazard] = []
    for word in item.words("beware", context.lists.tried):
        hazard = by_title.get(word.text)
        if hazard:
            found.append(hazard)
        elif word.text not in context.lists.tried:
            _unknown_hazard(item, word, list(by_title))
    return tuple(sorted(found, key=lambda hazard: HAZARD_WORDS.index(hazard.word)))


def _unknown_hazard(item: Item, word: Scalar, titles: list[str]) -> None:
    fix = (
        suggestion(word.text, titles)
        if titles
        else "describe it under hazards: with its hazard, consequence and avoid"
    )
    item.wrong("unknown-hazard", word.place, f"no hazard is called '{word.text}'", fix)


_READERS: dict[str, Callable[[Item, About, Context], Step | None]] = {
    "do": _do,
    "zero": _zero,
    "read": _read,
    "choose": _choose,
    "write": _write,
    "work out": _work_out,
    "rung": _rung,
    "check": _check,
    "wait": _wait,
    "hold point": _hold_point,
    "witness point": _witness_point,
    "sign off": _sign_off,
}
