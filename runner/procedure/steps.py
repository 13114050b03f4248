"""One step read from its item. The first key says what it is."""

from __future__ import annotations

from collections.abc import Callable

from runner.formula.values import Typed
from runner.procedure.items import Item, Keys
from runner.procedure.model import (
    AGAIN_AT_MOST,
    DECISIONS,
    About,
    Check,
    Choose,
    Do,
    Formula,
    HoldPoint,
    Range,
    Read,
    Repeat,
    Rung,
    SignOff,
    Step,
    Wait,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)
from runner.procedure.said import (
    Context,
    hazards_at,
    instrument_of,
    limits_of,
    points_of,
    read_with,
    role_of,
    routes_of,
)
from runner.procedure.scalars import once
from runner.procedure.timers import against_the_clock, not_before, soak, window
from runner.quantities.kinds import NUMBER
from runner.text.yaml_nodes import Mapping

MOST_AGAIN = 20
"""How often a reading may be measured again in one pass, and a rework or a block be gone through."""
MOST_OPTIONS = 20
LONGEST_OPTION = 60
"""Characters: one line of the small screen, with its number before it."""
ANY_STEP = ("key point", "reason", "beware", "show")
"""What any step may say."""
KEYS: dict[str, Keys] = {
    "do": ((), ("tick", "timed as", "may skip", "good for", "explain")),
    "keep": (("ends",), ("timed as", "may skip", "good for", "explain")),
    "zero": (("on", "within"), ("timed as", "may skip", "good for", "explain")),
    "read": (
        ("ask", "unit", "plausible"),
        (
            "points",
            "levels",
            "axes",
            "with",
            "again at most",
            "adds to",
            "timed as",
            "may skip",
            "good for",
            "predict",
            "explain",
        ),
    ),
    "choose": (("ask", "options"), ("timed as", "may skip", "predict", "explain")),
    "write": (("ask",), ("timed as", "may skip", "explain")),
    "work out": (("as", "to the nearest"), ("predict", "explain")),
    "rung": (("at least",), ("if not", "may skip", "predict", "explain")),
    "check": ((), ("within", "at least", "at most", "is", "source", "if not", "decision")),
    "wait": (("starts", "at least", "source"), ()),
    "window": (("starts", "ends", "at most", "source"), ("if not",)),
    "not before": (("source",), ("clock", "starts", "when")),
    "soak": (
        ("ask", "unit", "plausible", "within", "at least", "reading every", "never over", "source"),
        ("points", "with", "grace", "at most", "adds to", "if not", "predict", "explain"),
    ),
    "against the clock": (
        ("first key", "second key", "useful limit", "last limit", "at least", "tell", "if stuck"),
        ("ready", "hold down", "timed as", "if not"),
    ),
    "repeat": (("until", "at most", "source", "steps"), ("if not",)),
    "hold point": (
        ("by", "must see"),
        ("measures again", "agree within", "timed as", "good for"),
    ),
    "witness point": (("by", "goes on after"), ()),
    "sign off": ((), ("timed as", "may skip")),
}
"""What each step must say and may say, beside what any step may."""


def read_step(node: Mapping, number: int, only_if: tuple[Formula, ...], context: Context) -> Step | None:
    """The step in an item that begins with what it is, or None beside a problem."""
    key = node.entries[0].key
    if key.text not in KEYS:
        return None
    must, may = KEYS[key.text]
    item = Item(node, key.text, [key.text, *must], [*may, *ANY_STEP], context.problems)
    about = About(
        number=number,
        place=item.place,
        key_point=item.text("key point"),
        reason=item.text("reason"),
        beware=hazards_at(item, context),
        show=tuple(word.text for word in item.words("show")),
        timed_as=item.name("timed as"),
        only_if=only_if,
        may_skip=role_of(item, "may skip", context),
        good_for=item.duration("good for"),
        predict=item.text("predict"),
        explain=item.text("explain"),
    )
    if item.has("reason") and not item.has("key point") and key.text not in ("check", "work out", "rung"):
        item.wrong(
            "reason-alone",
            item.place_of("reason"),
            "a reason without its key point",
            "say what makes or breaks the step in key point:",
        )
    return _READERS[key.text](item, about, context)


def _do(item: Item, about: About, context: Context) -> Step | None:
    text = item.text("do")
    return Do(about, text, item.sentences("tick")) if text else None


def _keep(item: Item, about: About, context: Context) -> Step | None:
    text, ends = item.text("keep"), item.text("ends")
    return Do(about, text, (), ends) if text and ends else None


def _zero(item: Item, about: About, context: Context) -> Step | None:
    title, within = instrument_of(item, "zero", context), item.range("within")
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
    instrument = read_with(item, unit, context)
    if instrument is None:
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
    points = tuple(f"{level} {axis}" for level in levels for axis in axes) if levels else points_of(item)
    if len(set(points)) < len(points):
        key = "axes" if len(set(axes)) < len(axes) else "levels" if levels else "points"
        what = "two points of this reading are called the same"
        item.wrong("said-twice", item.place_of(key), what, "give each its own name")
    again = item.count("again at most", 0, MOST_AGAIN)
    again = AGAIN_AT_MOST if again is None else again
    if name and unit and plausible and points:
        adds_to = item.text("adds to")
        return Read(
            about, name, item.text("ask"), unit, plausible, instrument, points, levels, axes, again, adds_to
        )
    return None


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
    routes = routes_of(item, f"more than the highest rung of '{ladder}'", context)
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
        if said == ["at least", "at most"]:
            fix = f"write within: {item.text('at least')} to {item.text('at most')}"
        item.wrong("limit-form", item.place, what, fix)
        return None
    options = tuple(word.text for word in item.words("is"))
    limits = Range(f"is {' or '.join(options)}", None, None) if options else limits_of(item, said[0])
    source = item.source() if item.has("source") else ""
    routes = routes_of(item, f"a value of '{name}' outside this limit", context)
    if options and item.has("decision"):
        what = "a choice has no uncertainty to decide by"
        item.wrong("limit-form", item.place_of_key("decision"), what, "leave decision: out here")
    if name and limits:
        decision = item.one_of("decision", DECISIONS) if item.has("decision") else ""
        return Check(about, name, limits, source, routes, decision, options)
    return None


def _wait(item: Item, about: About, context: Context) -> Step | None:
    name, starts, least = item.name("wait"), item.text("starts"), item.duration("at least")
    return Wait(about, name, starts, least, item.source()) if name and starts and least else None


def _repeat(item: Item, about: About, context: Context) -> Step | None:
    name, until, source = item.name("repeat"), item.formula("until"), item.source()
    routes = routes_of(item, f"a '{name}' gone through so often", context)
    most = item.count("at most", 2, MOST_AGAIN)
    return Repeat(about, name, until, most, source, routes) if name and until and most else None


def _hold_point(item: Item, about: About, context: Context) -> Step | None:
    title, by = item.text("hold point"), role_of(item, "by", context)
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
    title, by = item.text("witness point"), role_of(item, "by", context)
    after = item.duration("goes on after")
    return WitnessPoint(about, title, by, after) if title and by and after else None


def _sign_off(item: Item, about: About, context: Context) -> Step | None:
    text = item.text("sign off")
    return SignOff(about, text) if text else None


_READERS: dict[str, Callable[[Item, About, Context], Step | None]] = {
    "do": _do,
    "keep": _keep,
    "zero": _zero,
    "read": _read,
    "choose": _choose,
    "write": _write,
    "work out": _work_out,
    "rung": _rung,
    "check": _check,
    "wait": _wait,
    "window": window,
    "not before": not_before,
    "soak": soak,
    "against the clock": against_the_clock,
    "repeat": _repeat,
    "hold point": _hold_point,
    "witness point": _witness_point,
    "sign off": _sign_off,
}
