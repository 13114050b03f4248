"""Stages and their steps. The first key of a step says what it is."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

from runner.formula.values import Typed
from runner.procedure.head import Lists
from runner.procedure.items import MOST_PROBLEMS, Item, cut_at
from runner.procedure.model import (
    DECISIONS,
    HAZARD_WORDS,
    JOB,
    WAYS_OUT,
    About,
    Check,
    Do,
    Formula,
    Hazard,
    HoldPoint,
    Range,
    Read,
    SignOff,
    Stage,
    Step,
    Wait,
    WorkOut,
    Zero,
)
from runner.quantities.kinds import NUMBER, TIME
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Problem
from runner.text.yaml_nodes import Entry, Mapping, Scalar, Sequence

MOST_POINTS = 64
LONGEST_WAIT = 366 * 24 * 3600
"""Seconds; more is a slip of the pen."""
_ANY = ("key point", "reason", "beware", "show")
_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "do": ((), ("tick", "timed as")),
    "zero": (("on", "within"), ("timed as",)),
    "read": (("ask", "unit", "plausible"), ("points", "levels", "axes", "with", "timed as")),
    "work out": (("as", "to the nearest"), ()),
    "check": ((), ("within", "at least", "at most", "source", "if not", "decision")),
    "wait": (("starts", "at least", "source"), ()),
    "hold point": (("by", "must see"), ("timed as",)),
    "sign off": ((), ("timed as",)),
}
"""What each step must say and may say, beside what any step may."""


@dataclass(frozen=True, slots=True)
class Context:
    """What steps refer to, and where their problems go."""

    lists: Lists
    roles: tuple[str, ...]
    """Empty where the head's own list is missing or can't be read; then no role is unknown."""
    problems: list[Problem]


def read_stages(head: Item, context: Context) -> tuple[Stage, ...]:
    stages: list[Stage] = []
    nodes = head.items("stages")
    titles = [title.text for node in nodes if isinstance(title := node.get("stage"), Scalar)]
    for node in nodes:
        item = Item(
            node,
            "stage",
            ["stage", "for each", "steps"],
            ["after", "after all", "reason", "beware"],
            context.problems,
        )
        after, after_all = _locks(item, [stage.title for stage in stages], titles)
        stages.append(
            Stage(
                number=len(stages) + 1,
                title=item.text("stage"),
                for_each=_level(item, context),
                after=after,
                after_all=after_all,
                reason=item.text("reason"),
                beware=_beware(item, context),
                steps=_steps(item, context),
                line=item.place.line,
            )
        )
    return tuple(stages)


def _level(stage: Item, context: Context) -> str:
    """The level of parts a stage is for; beside a problem the one that leaves the least else to complain of."""
    levels = [JOB, *(part.name for part in context.lists.parts)]
    if len(levels) == 1:
        return stage.text("for each") or JOB
    return stage.one_of("for each", levels) or levels[-1]


def _locks(stage: Item, above: list[str], titles: list[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What a stage comes after: the one above it where it says nothing, none where it says `after: []`."""
    node = stage.node.get("after")
    said_none = isinstance(node, Sequence) and not node.items
    if not stage.has("after") and not stage.has("after all"):
        return tuple(above[-1:]), ()
    after = () if said_none else _stages_above(stage, "after", above, titles)
    return after, _stages_above(stage, "after all", above, titles)


def _stages_above(stage: Item, key: str, above: list[str], titles: list[str]) -> tuple[str, ...]:
    found: list[str] = []
    for word in stage.words(key):
        if word.text in above:
            found.append(word.text)
            continue
        if word.text in titles:
            what = (
                f"'{stage.text('stage')}' can't come after '{word.text}', which stands below it or is itself"
            )
            fix = "write the stages in an order in which they can be done"
            stage.wrong("order", word.place, what, fix)
        else:
            stage.wrong(
                "unknown-stage", word.place, f"no stage is called '{word.text}'", suggestion(word.text, above)
            )
        found += above  # read as after all of them, so that nothing else is said of this slip
    return tuple(found)


def _steps(stage: Item, context: Context) -> tuple[Step, ...]:
    steps: list[Step] = []
    nodes = stage.items("steps")
    if stage.has("steps") and not nodes:
        stage.wrong(
            "empty", stage.place_of_key("steps"), "a stage without steps", "write at least one, after a dash"
        )
    for node in nodes:
        for one in _acts(node, context):
            step = _step(one, len(steps) + 1, context)
            if step:
                steps.append(step)
    return tuple(steps)


def _acts(node: Mapping, context: Context) -> list[Mapping]:
    """The steps in one item, each with what it is as its first key; a forgotten dash or another order is told."""
    node = _told_first(node, context)
    pieces = cut_at(node, lambda word: word in _KEYS)
    for before, piece in pairwise(pieces):
        key = piece.entries[0].key
        if node.get(key.text) is not piece.entries[0].value:
            continue  # said twice, and told as that
        what = f"'{key.text}' begins a step of its own, and the one that begins on line {before.place.line} isn't over"
        context.problems.append(
            Problem("missing-dash", key.place, what, f"a new step begins with a dash: - {key.text}: …")
        )
    return pieces


def _told_first(node: Mapping, context: Context) -> Mapping:
    first = node.entries[0]
    word = first.key.text
    at = next((at for at, entry in enumerate(node.entries) if entry.key.text in _KEYS), None)
    if at == 0 or len(context.problems) >= MOST_PROBLEMS:
        return node
    if at is not None:
        moved = node.entries[at]
        what, fix = (
            f"the first key of a step says what it is, and '{word}' doesn't",
            f"put {moved.key.text}: first",
        )
        context.problems.append(Problem("unknown-step", first.key.place, what, fix))
        return Mapping((moved, *node.entries[:at], *node.entries[at + 1 :]), node.place)
    fix = suggestion(word, _KEYS)
    if word in HAZARD_WORDS:
        fix = "name the hazard under hazards: and write beware: [its title] at the step"
    context.problems.append(Problem("unknown-step", first.key.place, f"'{word}' is no step", fix))
    meant = nearest(word, _KEYS)
    if meant is None:
        return node
    return Mapping((Entry(replace(first.key, text=meant), first.value), *node.entries[1:]), node.place)


def _step(node: Mapping, number: int, context: Context) -> Step | None:
    key = node.entries[0].key
    if key.text not in _KEYS:
        return None
    must, may = _KEYS[key.text]
    item = Item(node, key.text, [key.text, *must], [*may, *_ANY], context.problems)
    about = About(
        number=number,
        line=item.place.line,
        key_point=item.text("key point"),
        reason=item.text("reason"),
        beware=_beware(item, context),
        show=tuple(word.text for word in item.words("show")),
        timed_as=item.name("timed as"),
    )
    if item.has("reason") and not item.has("key point") and key.text not in ("check", "work out"):
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
    if name and unit and plausible and points:
        return Read(about, name, item.text("ask"), unit, plausible, instrument, points, levels, axes)
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
    said = [key for key in ("within", "at least", "at most") if item.has(key)]
    if len(said) != 1:
        what = "a check with two limits" if said else "a check without a limit"
        item.wrong("limit-form", item.place, what, "write one of within: A to B, at least: A, at most: B")
        return None
    limits = _limits(item, said[0])
    source = item.source() if item.has("source") else ""
    if not item.has("if not"):
        what = f"a value of '{name}' outside this limit would stop here for good"
        fix = "say what the shop does then, such as if not: [concession, scrap]"
        item.wrong("no-way-out", item.place, what, fix)
    routes = []
    for word in item.words("if not"):
        if word.text not in WAYS_OUT:
            item.wrong(
                "unknown-route",
                word.place,
                f"'{word.text}' is no way out of a check",
                f"ways out are {', '.join(WAYS_OUT)}; measuring again, nonconforming and suspending are always there",
            )
        routes.append(word.text)
    if name and limits:
        decision = item.one_of("decision", DECISIONS) if item.has("decision") else ""
        return Check(about, name, limits, source, tuple(routes), decision)
    return None


def _limits(item: Item, key: str) -> Range | None:
    if key == "within":
        return item.range(key)
    formula: Formula | None = item.formula(key)
    if formula is None:
        return None
    return Range(
        f"{key} {formula.text}", formula if key == "at least" else None, formula if key == "at most" else None
    )


def _wait(item: Item, about: About, context: Context) -> Step | None:
    name, starts, least = item.name("wait"), item.text("starts"), item.quantity("at least", TIME)
    if least and least.si <= 0:
        item.wrong(
            "bad-number", item.place_of("at least"), "a wait of no time", "write how long, such as 2 h"
        )
    elif least and least.si > LONGEST_WAIT:
        item.wrong(
            "bad-number",
            item.place_of("at least"),
            "a wait of more than a year",
            "write how long, such as 2 h",
        )
    return Wait(about, name, starts, least, item.source()) if name and starts and least else None


def _hold_point(item: Item, about: About, context: Context) -> Step | None:
    title, by = item.text("hold point"), item.text("by")
    if by and context.roles and by not in context.roles:
        item.wrong(
            "unknown-role", item.place_of("by"), f"no role is called '{by}'", suggestion(by, context.roles)
        )
    return HoldPoint(about, title, by, item.sentences("must see")) if title and by else None


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


def _beware(item: Item, context: Context) -> tuple[Hazard, ...]:
    """The hazards named at a stage or step, worst first."""
    by_title = {hazard.title: hazard for hazard in context.lists.hazards}
    found: list[Hazard] = []
    for word in item.words("beware"):
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
    "work out": _work_out,
    "check": _check,
    "wait": _wait,
    "hold point": _hold_point,
    "sign off": _sign_off,
}
