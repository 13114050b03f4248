"""Steps that time rules: windows, waits for a time of day or a condition, soaks, and acts against the clock."""

from __future__ import annotations

import re

from runner.procedure.items import Item
from runner.procedure.model import About, AgainstTheClock, NotBefore, Soak, Step, Window
from runner.procedure.said import Context, points_of, read_with, routes_of

MOST_WORDS = 5
"""Words in a line that is read while the clock runs."""


def window(item: Item, about: About, context: Context) -> Step | None:
    name, starts, ends = item.name("window"), item.text("starts"), item.text("ends")
    most, source = item.duration("at most"), item.source()
    routes = routes_of(item, f"'{name}' that took longer", context)
    return Window(about, name, starts, ends, most, source, routes) if name and most else None


def not_before(item: Item, about: About, context: Context) -> Step | None:
    name, clock, starts, source = (
        item.name("not before"),
        item.text("clock"),
        item.text("starts"),
        item.source(),
    )
    if item.has("when") == item.has("clock") or item.has("clock") != item.has("starts"):
        what = "this doesn't say until when"
        fix = "write clock: 06:00 and starts: a time, or when: a condition"
        item.wrong("until-when", item.place, what, fix)
        return None
    if clock and not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", clock):
        what, fix = f"'{clock}' is no time of day", "write it like 06:00"
        item.wrong("bad-time", item.place_of("clock"), what, fix)
        return None
    condition = item.formula("when") if item.has("when") else None
    return NotBefore(about, name, clock, starts, condition, source) if name and (clock or condition) else None


def soak(item: Item, about: About, context: Context) -> Step | None:
    name, unit, plausible = item.name("soak"), item.unit("unit"), item.range("plausible")
    within, over = item.range("within"), item.formula("never over")
    least, most = item.duration("at least"), item.duration("at most")
    every, grace = item.duration("reading every"), item.duration("grace")
    instrument, points = read_with(item, unit, context), points_of(item)
    routes = routes_of(item, f"a soak '{name}' that went wrong", context)
    source = item.source()
    if least and most and most.si < least.si:
        what, fix = f"at most {most.typed} is less than at least {least.typed}", "look at the two"
        item.wrong("turned-round", item.place_of("at most"), what, fix)
    if not (name and unit and plausible and within and over and least and every and points):
        return None
    if instrument is None:
        return None
    return Soak(
        about=about,
        name=name,
        ask=item.text("ask"),
        unit=unit,
        points=points,
        instrument=instrument,
        plausible=plausible,
        within=within,
        least=least,
        most=most,
        every=every,
        grace=grace,
        never_over=over,
        source=source,
        adds_to=tuple(word.text for word in item.words("adds to")),
        routes=routes,
    )


def against_the_clock(item: Item, about: About, context: Context) -> Step | None:
    name, useful, last = (
        item.name("against the clock"),
        item.formula("useful limit"),
        item.formula("last limit"),
    )
    least, hold = item.duration("at least"), item.duration("hold down")
    routes = routes_of(item, f"a missed '{name}'", context)
    tell, stuck = item.sentences("tell"), item.text("if stuck")
    for text in (*tell, stuck):
        if len(text.split()) > MOST_WORDS:
            what = f"'{text}' has {len(text.split())} words, and is read across the bench against the clock"
            fix = f"say it in at most {MOST_WORDS} words"
            item.wrong("too-long", item.place_of("tell" if text in tell else "if stuck"), what, fix)
    if not (name and useful and last and least):
        return None
    return AgainstTheClock(
        about=about,
        name=name,
        ready=item.sentences("ready"),
        first_key=item.text("first key"),
        second_key=item.text("second key"),
        useful=useful,
        last=last,
        least=least,
        hold_down=hold,
        tell=tell,
        if_stuck=stuck,
        routes=routes,
    )
