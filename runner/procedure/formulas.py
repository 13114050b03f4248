"""The formulas that a step holds, changed one by one; and how long it was between two times, which stands for one value."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import fields, replace
from typing import Any

from runner.formula.tree import SINCE, Binary, Name, Tree, rebuilt
from runner.procedure.model import Formula, NotBefore, Range, Rework, Stage, Step, Wait

Change = Callable[[Formula], Formula]


def with_formulas(step: Step, change: Change) -> Step:
    """The step with each of its own formulas changed."""
    changed: dict[str, Any] = {}
    for field in fields(step):
        value = getattr(step, field.name)
        if isinstance(value, Formula):
            changed[field.name] = change(value)
        elif isinstance(value, Range):
            ends = [change(end) if end else None for end in (value.low, value.high)]
            pair = [change(end) if end else None for end in (value.tolerance, value.nominal)]
            changed[field.name] = Range(value.text, *ends, *pair)
    return replace(step, **changed)


def with_spans(
    stages: Sequence[Stage], reworks: Sequence[Rework]
) -> tuple[tuple[Stage, ...], tuple[Rework, ...]]:
    """All of it with `later - earlier` of two times as one value in each formula: how long it was between them."""
    times = _times([*stages, *(rework.stage for rework in reworks)])

    def formula(one: Formula) -> Formula:
        return replace(one, tree=_spanned(one.tree, times))

    def stage(one: Stage) -> Stage:
        return replace(one, steps=tuple(step(each) for each in one.steps))

    def step(one: Step) -> Step:
        about = replace(one.about, only_if=tuple(formula(each) for each in one.about.only_if))
        return with_formulas(replace(one, about=about), formula)

    def rework(one: Rework) -> Rework:
        return replace(one, stage=stage(one.stage), only_if=formula(one.only_if) if one.only_if else None)

    return tuple(stage(one) for one in stages), tuple(rework(one) for one in reworks)


def _times(stages: Iterable[Stage]) -> frozenset[str]:
    """The names that stand for a moment."""
    steps = [step for stage in stages for step in stage.steps]
    waited = {step.name for step in steps if isinstance(step, Wait | NotBefore)}
    return frozenset({step.about.timed_as for step in steps if step.about.timed_as} | waited)


def _spanned(tree: Tree, times: Collection[str]) -> Tree:
    match tree:
        case Binary("-", Name(later), Name(earlier)) if later in times and earlier in times:
            return Name(f"{later}{SINCE}{earlier}", tree.offset, tree.length)
        case _:
            return rebuilt(tree, lambda part: _spanned(part, times))
