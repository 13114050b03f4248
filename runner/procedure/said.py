"""What steps of several sorts say in the same words: instruments, points, limits, roles, hazards, ways out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from runner.procedure.head import Lists
from runner.procedure.items import Item
from runner.procedure.model import HAZARD_WORDS, WAYS_OUT, Formula, Hazard, Range
from runner.procedure.scalars import once
from runner.procedure.taken_in import SharedFile
from runner.quantities.units import Unit
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Problem
from runner.text.yaml_nodes import Scalar

MOST_POINTS = 64


@dataclass(frozen=True, slots=True)
class Context:
    """What steps refer to, and where their problems go."""

    lists: Lists
    roles: tuple[str, ...]
    """Empty where the head's own list is missing or can't be read; then no role is unknown."""
    reworks: tuple[str, ...]
    """Their titles, whether or not what stands under them is right."""
    problems: list[Problem]
    shared: Mapping[str, SharedFile] = field(default_factory=dict)
    """The files that steps are taken in from, by what `from` says; without those that can't be read."""


def role_of(item: Item, key: str, context: Context) -> str:
    role = item.text(key)
    if role and context.roles and role not in context.roles:
        what, fix = f"no role is called '{role}'", suggestion(role, context.roles)
        item.wrong("unknown-role", item.place_of(key), what, fix)
    return role


def read_with(item: Item, unit: Unit | None, context: Context) -> str | None:
    """The instrument that something is read with, '' for none; None where it reads another sort of value."""
    instrument = instrument_of(item, "with", context) if item.has("with") else ""
    found = next((one for one in context.lists.instruments if one.title == instrument), None)
    if found and unit and found.reads_to.kind.exponents != unit.kind.exponents:
        item.wrong(
            "kinds",
            item.place_of("unit"),
            f"the {found.title} reads {found.reads_to.kind.words}, and {unit.symbol} is {unit.kind.words}",
            "look at which was meant",
        )
        return None
    return instrument


def points_of(item: Item) -> tuple[str, ...]:
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
    if len(words) == 1:
        digits = re.match("[0-9]*", words[0].text)
        item.wrong(
            "points-form",
            words[0].place,
            f"'{words[0].text}' would be one place of that name, measured once",
            f"write how many, points: {digits[0][:6] if digits and digits[0] else '4'}, or name each: [top, bottom]",
        )
        return ()
    if len(words) > MOST_POINTS:
        item.wrong("points-form", words[0].place, f"{len(words)} points", f"{MOST_POINTS} is the most")
    return tuple(word.text for word in words)


def routes_of(item: Item, what_stops: str, context: Context) -> tuple[str, ...]:
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


def limits_of(item: Item, key: str) -> Range | None:
    if key == "within":
        return item.range(key)
    formula: Formula | None = item.formula(key)
    if formula is None:
        return None
    low, high = (formula, None) if key == "at least" else (None, formula)
    return Range(f"{key} {formula.text}", low, high)


def instrument_of(item: Item, key: str, context: Context) -> str:
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
