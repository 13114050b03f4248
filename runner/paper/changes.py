"""What one revision of a procedure changes of another, in words: the head, its lists, and every step under its stage.

Things are told apart by what people call them: a stage by its title, a step by its name or its text. So a stage that
was moved is one that was moved, and not one taken out and another put in.
"""

from __future__ import annotations

import difflib
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from typing import Any, TypeVar

from runner.paper.record import kind_words, says
from runner.paper.sheet import comes_after, wrapped
from runner.procedure.model import Formula, Hazard, Procedure, Range, Rework, Stage, Step
from runner.quantities.quantity import Quantity
from runner.quantities.units import Unit

T = TypeVar("T")
_ALIKE = 0.5
"""How like one text must be to another to count as the same one, changed."""
_NEAREST = 6
"""How far to either side the thing that was changed is looked for; a file may hold thousands."""
_LABELS = {
    "least": "at least",
    "most": "at most",
    "limits": "the limit",
    "routes": "if not",
    "nearest": "to the nearest",
    "formula": "as",
    "every": "reading every",
    "useful": "useful limit",
    "last": "last limit",
    "instrument": "with",
    "ticks": "the ticks",
    "is_": "is",
    "for_each": "for each",
    "text": "the text",
}
"""Fields whose name isn't the word of the file; others are said with blanks."""
_NEVER = {"number", "line", "place", "rows", "steps", "after", "after_all", "stage", "taken", "typed"}
_LISTS = ("parts", "instruments", "hazards", "givens", "tables", "ladders", "totals", "reworks")
_NOT_HEAD = {"text", "stages", "taken_in", "called", *_LISTS}


def as_changes(old: Procedure, new: Procedure) -> str:
    """Every difference that somebody at the bench could meet, as text; one line where there is none."""
    found = [*_head(old, new)]
    for key in _LISTS:
        found += _listed(key, getattr(old, key), getattr(new, key))
    stages = _matched(old.stages, new.stages, lambda one: one.title, _stages_alike)
    found += _stages(old, new, stages)
    top = f"{old.id} revision {old.revision}, and {new.id} revision {new.revision}"
    if old.id == new.id:
        top = f"{new.id}: what revision {new.revision} changes of revision {old.revision}"
        if old.revision == new.revision and found:
            top = f"{new.id}: two files that both say revision {new.revision}, and differ"
    lines = wrapped(top, "", "  ")
    for one in found or ["nothing that anybody at the bench would see is otherwise"]:
        margin = "  " if one.startswith("  ") else ""
        lines += wrapped(one.strip(), margin, margin + "    ") if margin else ["", *wrapped(one, "", "  ")]
    return "\n".join(lines) + "\n"


# one thing against another


@dataclass(frozen=True, slots=True)
class _Pair:
    """The same thing before and after; one side is None where it was put in or taken out."""

    old: Any
    new: Any


def _facts(thing: Any) -> dict[str, str]:
    """What a thing says, by the words of the file, in its order."""
    told: dict[str, str] = {}
    for one in fields(thing):
        value = getattr(thing, one.name)
        if one.name == "about":
            told |= _facts(value)
        elif one.name not in _NEVER:
            told[_LABELS.get(one.name, one.name.replace("_", " "))] = _text(value)
    return told


def _text(value: Any) -> str:
    match value:
        case None:
            return ""
        case Quantity(typed=typed):
            return typed
        case Formula(text=text) | Range(text=text):
            return text
        case Unit(symbol=symbol):
            return symbol
        case Hazard(title=title):
            return title
        case Enum():
            return str(value.value)
        case tuple() | list() | frozenset():
            return ", ".join(_text(one) for one in value)
        case _ if is_dataclass(value):
            return ", ".join(said for said in _facts(value).values() if said)
        case _:
            return str(value)


def _differences(old: Any, new: Any) -> list[str]:
    before, after = _facts(old), _facts(new)
    told = []
    for label in dict.fromkeys([*before, *after]):
        was, is_ = before.get(label, ""), after.get(label, "")
        if was == is_:
            continue
        if not was:
            told.append(f"{label} added: {is_}")
        elif not is_:
            told.append(f"{label} taken out, which was: {was}")
        else:
            told.append(f"{label} changed from '{was}' to '{is_}'")
    return told


def _matched(
    old: Sequence[T], new: Sequence[T], name: Callable[[T], str], alike: Callable[[T, T], float]
) -> list[_Pair]:
    """
    The things of two lists in the order of the new one, those taken out where they stood. First by their names, the
    first of several called so with the first; then what is left by how like they are.
    """
    was = _by_names([name(one) for one in old], [name(one) for one in new])
    free = sorted(set(range(len(old))) - set(was.values()))
    for at, one in enumerate(new):
        if at not in was and free:
            place = bisect_left(free, at)
            near = free[max(0, place - _NEAREST) : place + _NEAREST]
            likeness, best = max((alike(old[other], one), -other) for other in near)
            if likeness >= _ALIKE:
                was[at] = -best
                free.remove(-best)
    found = [_Pair(old[was[at]] if at in was else None, one) for at, one in enumerate(new)]
    for at in free:
        place = next((n + 1 for n, pair in enumerate(found) if at and pair.old is old[at - 1]), 0)
        found.insert(place, _Pair(old[at], None))
    return found


def _by_names(old: Sequence[str], new: Sequence[str]) -> dict[int, int]:
    """For each place in the new list the place in the old one of what was called the same."""
    places: dict[str, list[int]] = {}
    for at in reversed(range(len(old))):
        places.setdefault(old[at], []).append(at)
    return {at: places[name].pop() for at, name in enumerate(new) if places.get(name)}


def _moved(pairs: Sequence[_Pair], old: Sequence[Any]) -> list[_Pair]:
    """The fewest pairs that must be called moved, so that all others stand in the order they stood in."""
    stood = {id(one): at for at, one in enumerate(old)}
    both = [pair for pair in pairs if pair.old is not None and pair.new is not None]
    kept = _longest_rising([stood[id(pair.old)] for pair in both])
    return [pair for at, pair in enumerate(both) if at not in kept]


def _longest_rising(numbers: Sequence[int]) -> set[int]:
    """Where the numbers of a longest rising row among these stand."""
    ends: list[int] = []  # the smallest number that a row of each length can end with, and where it stands
    at_end: list[int] = []
    before: list[int] = []
    for at, number in enumerate(numbers):
        length = bisect_left(ends, number)
        before.append(at_end[length - 1] if length else -1)
        ends[length : length + 1] = [number]
        at_end[length : length + 1] = [at]
    found, at = set[int](), at_end[-1] if at_end else -1
    while at >= 0:
        found.add(at)
        at = before[at]
    return found


def _ratio(one: str, other: str) -> float:
    return difflib.SequenceMatcher(None, one, other, autojunk=False).ratio()


# the head and its lists


def _head(old: Procedure, new: Procedure) -> list[str]:
    said = []
    for one in fields(new):
        was, is_ = _text(getattr(old, one.name)), _text(getattr(new, one.name))
        if one.name in _NOT_HEAD or was == is_ or one.name in ("revision", "id"):
            continue
        label = {"title": "the title", "changed": "the note under 'changed:'"}.get(
            one.name, one.name.replace("_", " ")
        )
        said.append(
            f"  {label} changed from '{was}' to '{is_}'"
            if was and is_
            else f"  {label} {'added: ' + is_ if is_ else 'taken out, which was: ' + was}"
        )
    return ["THE HEAD", *said] if said else []


def _title(one: Any) -> str:
    return str(getattr(one, "title", "") or getattr(one, "name", ""))


def _listed(key: str, old: Sequence[Any], new: Sequence[Any]) -> list[str]:
    said = []
    for pair in _matched(old, new, _title, lambda one, other: 0.0):
        if pair.old is None:
            said.append(f"  added: {_in_short(pair.new)}")
        elif pair.new is None:
            said.append(f"  taken out: {_in_short(pair.old)}")
        else:
            told = [*_differences(pair.old, pair.new), *_within(pair.old, pair.new)]
            said += [f"  {_title(pair.new)}: {one}" for one in told]
    return [key.upper(), *said] if said else []


def _in_short(one: Any) -> str:
    return f"{_title(one)} ({', '.join(said for said in list(_facts(one).values())[1:] if said)})"


def _within(old: Any, new: Any) -> Iterator[str]:
    """What changed inside a thing that holds others: the rows of a table, the own steps of a rework."""
    if isinstance(old, Rework):
        yield from (said.strip() for said in _steps(old.stage, new.stage, {}))
    elif hasattr(old, "columns"):
        rows = _matched(old.rows, new.rows, _row, lambda one, other: 0.0)
        for pair in rows:
            if pair.old is None or pair.new is None:
                what = (
                    f"row added: {_text(pair.new)}"
                    if pair.old is None
                    else f"row taken out: {_text(pair.old)}"
                )
                yield what
            else:
                yield from (f"row {_row(pair.new)}: {one}" for one in _differences(pair.old, pair.new))


def _row(row: Any) -> str:
    return row.is_ or f"over {row.over.typed} up to {row.up_to.typed}"


# stages and steps


def _stages_alike(one: Stage, other: Stage) -> float:
    """How much of two stages is the same: the steps that both have, of those that either has."""
    a, b = {_name(step) for step in one.steps}, {_name(step) for step in other.steps}
    return len(a & b) / len(a | b) if a | b else 0.0


def _stages(old: Procedure, new: Procedure, pairs: Sequence[_Pair]) -> Iterator[str]:
    moved, elsewhere = _moved(pairs, old.stages), _elsewhere(old, new)
    for pair in pairs:
        if pair.new is None:
            yield f"STAGE '{pair.old.title}' is taken out, which was number {pair.old.number}"
        elif pair.old is None:
            yield f"STAGE {pair.new.number} '{pair.new.title}' is added"
            yield from (f"  step {step.about.number}: {_line(step)}" for step in pair.new.steps)
        else:
            said = _of_a_stage(old, new, pair, was_moved=pair in moved)
            said += _steps(pair.old, pair.new, elsewhere)
            if said:
                yield f"STAGE {pair.new.number} '{pair.new.title}'"
                yield from said


def _of_a_stage(old: Procedure, new: Procedure, pair: _Pair, *, was_moved: bool) -> list[str]:
    one, other = pair.old, pair.new
    said = [f"  is called so now, and was '{one.title}'"] if one.title != other.title else []
    said += [f"  moved: it is number {other.number} now, and was number {one.number}"] if was_moved else []
    said += [f"  {told}" for told in _differences(one, other) if not told.startswith("title ")]
    if (one.after, one.after_all) != (other.after, other.after_all):
        said.append(f"  {comes_after(new, other)}; it came {comes_after(old, one).removeprefix('comes ')}")
    return said


def _elsewhere(old: Procedure, new: Procedure) -> dict[str, tuple[str, str]]:
    """For each step that either has but once, where it stood and where it stands, in other stages."""
    places: list[dict[str, str]] = []
    for one in (old, new):
        steps = [(stage, step) for stage in one.every_stage for step in stage.steps]
        count = Counter(_name(step) for _, step in steps)
        at = {_name(step): f"step {step.about.number} of '{stage.title}'" for stage, step in steps}
        places.append({name: place for name, place in at.items() if count[name] == 1})
    return {name: (place, places[1][name]) for name, place in places[0].items() if name in places[1]}


def _steps(old: Stage, new: Stage, elsewhere: Mapping[str, tuple[str, str]]) -> list[str]:
    pairs = _matched(old.steps, new.steps, _name, _steps_alike)
    moved = _moved(pairs, old.steps)
    said = []
    for pair in pairs:
        if pair.old is None:
            was = elsewhere.get(_name(pair.new), ("", ""))[0]
            how = f"moved here from {was}" if was else "added"
            said.append(f"  step {pair.new.about.number} {how}: {_line(pair.new)}")
        elif pair.new is None:
            is_ = elsewhere.get(_name(pair.old), ("", ""))[1]
            how = f"moved, and is {is_} now" if is_ else "taken out"
            said.append(f"  step {pair.old.about.number} {how}: {_line(pair.old)}")
        else:
            where = f"  step {pair.new.about.number} ({_called(pair.new)})"
            if pair in moved:
                said.append(f"{where}: moved, and was step {pair.old.about.number}")
            said += [f"{where}: {told}" for told in _differences(pair.old, pair.new)]
    return said


def _called(step: Step) -> str:
    name = getattr(step, "name", "") or getattr(step, "title", "")
    return f"{kind_words(step)} {name}" if name else _line(step)


def _line(step: Step) -> str:
    return f"{kind_words(step)} {says(step)}"


def _name(step: Step) -> str:
    """What a step is known by: its name, title or text, beside what it is."""
    called = next(
        (
            said
            for key in ("name", "title", "text", "instrument", "ladder")
            if (said := getattr(step, key, ""))
        ),
        "",
    )
    return f"{kind_words(step)} {called}"


def _steps_alike(one: Step, other: Step) -> float:
    """Only steps of one sort can be the same step, changed."""
    return _ratio(says(one), says(other)) if kind_words(one) == kind_words(other) else 0.0
