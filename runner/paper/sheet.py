"""A procedure as a person reads it: what the file leaves to defaults is said, and what stands far apart stands together."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence

from runner.formula.tree import names_in
from runner.job.dependence import names_used
from runner.paper.record import kind_words, says
from runner.procedure.model import (
    AGAIN_AT_MOST,
    JOB,
    AgainstTheClock,
    Check,
    Choose,
    Do,
    HoldPoint,
    Procedure,
    Read,
    Rework,
    Routed,
    Soak,
    Stage,
    Step,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)
from runner.procedure.order import innermost
from runner.text.foreign import one_line

WIDTH = 80
_NO_BREAK = "\u00a0"
_SAID = " " * 23
"""What is said of a step stands here, under what it asks for."""


def as_sheet(procedure: Procedure) -> str:
    """The whole procedure as text, 80 columns wide, with no control character in it."""
    lines = [*_front(procedure), *_lists(procedure)]
    for stage in procedure.stages:
        lines += _stage(procedure, stage)
    for rework in procedure.reworks:
        lines += _own_steps(procedure, rework)
    return "\n".join(line.rstrip() for line in lines) + "\n"


# the front


def _front(procedure: Procedure) -> Iterator[str]:
    yield from wrapped(procedure.title.upper(), "", "")
    yield from wrapped(
        f"{procedure.id}, revision {procedure.revision}, {procedure.status}; written by {procedure.written_by}"
        + (
            f", approved by {procedure.approved_by} on {procedure.approved_on}"
            if procedure.approved_by
            else ""
        ),
        "",
        "  ",
    )
    for label, text in (
        ("changed", procedure.changed),
        ("for", procedure.scope),
        ("not for", procedure.not_for),
    ):
        yield from wrapped(f"{label}: {text}", "", "  ") if text else ()
    how = "on the value as it is" if procedure.decision == "simple" else "only inside its limits by U or more"
    again = f"a reading may be taken again {AGAIN_AT_MOST} times"
    yield from wrapped(f"checks decide {how}, and {again}, unless they say otherwise", "", "  ")
    concessions = f"; concessions: {procedure.concessions_by}" if procedure.concessions_by else ""
    people = f"at the bench: {', '.join(procedure.roles)}; the job is released by: {procedure.released_by}"
    yield from wrapped(people + concessions, "", "  ")


def _lists(procedure: Procedure) -> Iterator[str]:
    yield from _section("BEFORE THE FIRST STEP", procedure.prerequisites)
    yield from _section(
        "HAZARDS",
        (
            f"{one.word.upper()}  {one.title}: {one.hazard}; {one.consequence}. {one.avoid}"
            for one in procedure.hazards
        ),
    )
    yield from _section("PARTS", (_part(procedure, part.name) for part in procedure.parts))
    yield from _section(
        "INSTRUMENTS",
        (f"{one.title}: reads to {one.reads_to.typed}, out by {one.uncertainty.typed} at most (U)"
         for one in procedure.instruments),
    )  # fmt: skip
    yield from _section("GIVEN", (_given(procedure, one.name) for one in procedure.givens))
    yield from _section("TABLES", _tables(procedure))
    yield from _section(
        "LADDERS",
        (f"{one.name}, for each {one.for_each}: {', '.join(rung.typed for rung in one.rungs)} ({one.source})"
         for one in procedure.ladders),
    )  # fmt: skip
    yield from _section("TOTALS", (_total(procedure, one.name) for one in procedure.totals))


def _section(title: str, texts: Iterable[str]) -> list[str]:
    lines = [line for text in texts for line in wrapped(text, "  ", "      ")]
    return ["", title, *lines] if lines else []


def _part(procedure: Procedure, name: str) -> str:
    level = procedure.level(name)
    assert level
    called = ", ".join(level.named) if level.named else "named when a job opens"
    if level.of:
        return f"{name}: a load of {level.of} parts, put together at the bench" + (
            f"; {level.tag}" if level.tag else ""
        )
    inside = "" if level.inside == JOB else f" in each {level.inside}"
    return f"{name}{inside}: {called}; told by: {level.tag}"


def _given(procedure: Procedure, name: str) -> str:
    given = next(one for one in procedure.givens if one.name == name)
    doubt = f" ± {given.uncertainty.typed}" if given.uncertainty else ""
    return f"{given.name} = {given.value.typed}{doubt} ({given.source})"


def _tables(procedure: Procedure) -> Iterator[str]:
    for table in procedure.tables:
        yield f"{table.name}, looked up by {table.looked_up_by}: {', '.join(table.columns)}"
        for row in table.rows:
            sizes = f"over {row.over.typed} up to {row.up_to.typed}" if row.over and row.up_to else row.is_
            yield f"  {sizes}: {', '.join(value.typed for value in row.values)} ({row.source})"


def _total(procedure: Procedure, name: str) -> str:
    total = procedure.total(name)
    assert total
    over = f" of time over {total.over.typed}" if total.over else ""
    ways = f"; if more: {', '.join(total.routes)}" if total.routes else ""
    return f"{name}, for each {total.for_each}: at most {total.most.typed}{over} ({total.source}){ways}"


# stages


def _stage(procedure: Procedure, stage: Stage) -> Iterator[str]:
    each = "once for the job" if stage.for_each == JOB else f"for each {stage.for_each}"
    yield ""
    yield from wrapped(f"{stage.number}  {stage.title.upper()}, {each}", "", "   ")
    yield from wrapped(comes_after(procedure, stage), "   ", "     ")
    for label, text in (("why", stage.reason), ("beware", ", ".join(one.title for one in stage.beware))):
        yield from wrapped(f"{label}: {text}", "   ", "     ") if text else ()
    yield from _steps(procedure, stage)


def _steps(procedure: Procedure, stage: Stage) -> Iterator[str]:
    before: tuple[str, ...] = ()
    for step in stage.steps:
        conditions = tuple(one.text for one in step.about.only_if)
        if conditions != before:
            told = f"only if {' and '.join(conditions)}:" if conditions else "from here on in any case:"
            yield from wrapped(told, "   ", "     ")
        before = conditions
        yield from wrapped(f"{step.about.number:>5}  {kind_words(step):<14}  {says(step)}", "", _SAID)
        for said in _said(procedure, stage, step):
            yield from wrapped(said, _SAID, _SAID + "  ")


def comes_after(procedure: Procedure, stage: Stage) -> str:
    """What a stage waits for, on which parts, whether or not the file says it."""
    above = next((one.title for one in procedure.stages if one.number == stage.number - 1), "")
    told = []
    for title in stage.after:
        other = procedure.stage(title)
        the_one = "the stage above, " if title == above else ""
        told.append(f"{the_one}'{title}', done {_where(procedure, stage, other)}")
    for title in stage.after_all:
        other = procedure.stage(title)
        where = "for the job" if other.for_each == JOB else f"on every {other.for_each} of the job"
        told.append(f"'{title}', done {where}")
    return (
        f"comes after {'; and after '.join(told)}" if told else "comes after nothing: it may be begun at once"
    )


def _where(procedure: Procedure, stage: Stage, other: Stage) -> str:
    """The parts on which another stage must be done, seen from a part of this one."""
    if other.for_each == JOB:
        return "for the job"
    if other.for_each == stage.for_each:
        return f"on the same {stage.for_each}"
    if other.for_each in procedure.levels_down_to(stage.for_each):
        return f"on the {other.for_each} it is in"
    within = innermost(stage.for_each, other.for_each, procedure.parts)
    inside = "it" if within == stage.for_each else "the job" if within == JOB else f"its {within}"
    return f"on every {other.for_each} in {inside}"


# steps


def _said(procedure: Procedure, stage: Stage, step: Step) -> Iterator[str]:
    """All that a step says beside what it asks for, a sentence each."""
    about = step.about
    yield from _of_its_sort(procedure, step)
    if source := getattr(step, "source", "") or _source_of_names(procedure, step):
        yield f"source: {source}"
    if isinstance(step, Routed):
        for at, route in enumerate(step.routes):
            yield f"{'or' if at else 'if not'}: {way_words(procedure, stage, step, route)}"
    if about.beware:
        yield f"beware: {', '.join(f'{one.title} ({one.word})' for one in about.beware)}"
    for label, text in (
        ("key point", about.key_point),
        ("why", about.reason),
        ("in view", ", ".join(about.show)),
        ("its time is called", about.timed_as),
        ("may be skipped by", about.may_skip),
        ("stands for", f"{about.good_for.typed}, and is then done again" if about.good_for else ""),
    ):
        if text:
            yield f"{label}: {text}"


def _of_its_sort(procedure: Procedure, step: Step) -> Iterator[str]:
    match step:
        case Do(ticks=ticks):
            yield from (f"[ ] {one}" for one in ticks)
        case Read() | Soak():
            yield from _of_a_reading(step)
        case Choose(name=name, options=options):
            yield f"one of: {', '.join(options)}; called {name}"
        case Write(name=name):
            yield f"called {name}"
        case WorkOut(nearest=nearest):
            yield f"shown to the nearest {nearest.typed}"
        case Zero(instrument=title) if instrument := procedure.instrument(title):
            yield f"it reads to {instrument.reads_to.typed}"
        case Check(decision=decision) if decision:
            yield f"decided: {decision}"
        case HoldPoint(must_see=sees, measures_again=again, agree_within=agree):
            yield from (f"must see: {one}" for one in sees)
            if again and agree:
                yield f"reads {again} too, without a sight of the first; the means within {agree.typed}"
        case WitnessPoint(goes_on_after=after):
            yield f"goes on after {after.typed} if nobody comes"
        case AgainstTheClock(useful=useful, last=last, least=least):
            yield from (f"[ ] {one}" for one in step.ready)
            yield f"useful: {useful.text}; last: {last.text}; not sooner than {least.typed}"
            yield from (f"tell: {one}" for one in step.tell)
            yield f"if stuck: {step.if_stuck}"
            yield from (f"held down {held.typed}" for held in (step.hold_down,) if held)
        case _:
            yield from _from_where(procedure, step)


def _source_of_names(procedure: Procedure, step: Step) -> str:
    """Where a limit comes from that says only the names of what is given."""
    if not isinstance(step, Check):
        return ""
    names = {name.path[1] for one in step.limits.written for name in names_in(one.tree)}
    given = [f"{one.source} (that of {one.name})" for one in procedure.givens if one.name in names]
    return "; ".join(given) or ("that of " + " and ".join(sorted(names)) if names else "")


def _of_a_reading(step: Read | Soak) -> Iterator[str]:
    points = ", ".join(one for one in step.points if one and not one.isdecimal())
    with_ = f" with {step.instrument}" if step.instrument else ""
    yield f"called {step.name}{with_}; plausible {step.plausible.text}"
    if isinstance(step, Read) and step.again_at_most != AGAIN_AT_MOST:
        yield f"may be taken again {step.again_at_most} times"
    if isinstance(step, Read) and step.levels:
        yield f"at {', '.join(step.levels)}; each along {', '.join(step.axes)}"
    elif len(step.points) > 1:
        yield f"at {len(step.points)} points" + (f": {points}" if points else "")
    if isinstance(step, Soak):
        grace = f" and {step.grace.typed} of grace" if step.grace else ""
        most = f"; at most {step.most.typed} in all" if step.most else ""
        yield f"a reading every {step.every.typed}{grace}; never over {step.never_over.text}{most}"
    if step.adds_to:
        yield f"adds to {step.adds_to if isinstance(step.adds_to, str) else ', '.join(step.adds_to)}"


def _from_where(procedure: Procedure, step: Step) -> Iterator[str]:
    """Where the times that a timer counts between are recorded."""
    for key in ("starts", "ends"):
        time = getattr(step, key, "")
        place = _place_of(procedure, time) if time else ""
        if place:
            yield f"counts from {place}" if key == "starts" else f"counts to {place}"


def _place_of(procedure: Procedure, name: str) -> str:
    """'step 4 of Counterbore' of whatever is called so: a stage, a value, a time."""
    for stage in procedure.every_stage:
        if stage.title == name:
            return f"the beginning of '{name}'"
        for step in stage.steps:
            if name in (getattr(step, "name", ""), step.about.timed_as) and not isinstance(step, Check):
                return f"{name}, step {step.about.number} of '{stage.title}'"
    return ""


def way_words(procedure: Procedure, stage: Stage, step: Step, route: str) -> str:
    """One way out of a step that isn't met; of a rework all that it does."""
    rework = procedure.rework(route)
    if rework is None:
        by = (
            f", by the {procedure.concessions_by}"
            if route == "concession" and procedure.concessions_by
            else ""
        )
        return route + by
    back = _place_of(procedure, rework.back_to) if rework.back_to else _first_reading(procedure, stage, step)
    parts = [
        f"only if {rework.only_if.text}" if rework.only_if else "",
        f"a rung up the ladder '{rework.climb}'" if rework.climb else "",
        "first its own steps, which stand at the end" if rework.stage.steps else "",
        f"back to {back}" if back else "",
        f"at most {rework.at_most} {'time' if rework.at_most == 1 else 'times'}",
    ]
    return f"{route} ({rework.kind}): {'; '.join(one for one in parts if one)}"


def _own_steps(procedure: Procedure, rework: Rework) -> Iterator[str]:
    """What is done first in a rework, before the work goes back."""
    if rework.stage.steps:
        yield ""
        yield from wrapped(f"{rework.kind.upper()} {rework.title.upper()}: its own steps", "", "   ")
        yield from _steps(procedure, rework.stage)


def _first_reading(procedure: Procedure, stage: Stage, step: Step) -> str:
    """The first reading of the stage that a step stands on, where a rework that says no place goes back to."""
    worked = {one.name: one for one in stage.steps if isinstance(one, WorkOut)}
    tables = {table.name: table.looked_up_by for table in procedure.tables}
    todo, found = [step.name] if isinstance(step, Check) else [*names_used(step)], set[str]()
    while todo:
        name = todo.pop().partition(".")[0]
        if name not in found:
            found.add(name)
            todo += [tables[name]] if name in tables else names_used(worked[name]) if name in worked else ()
    numbers = [one.about.number for one in _typed(stage.steps) if one.name in found]
    return f"step {min(numbers)}" if numbers else ""


def _typed(steps: Sequence[Step]) -> list[Read | Choose | Write]:
    return [one for one in steps if isinstance(one, Read | Choose | Write)]


def wrapped(text: str, first: str, then: str) -> list[str]:
    """The text in lines of the page's width; a number and the unit behind it stay in one line."""
    kept = re.sub(r"(?<=[0-9]) (?=[A-Za-z])", _NO_BREAK, one_line(text))
    lines = textwrap.wrap(kept, WIDTH, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)
    return [line.replace(_NO_BREAK, " ") for line in lines] or [first]
