"""Which steps lead to a rework, and which parts it is for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from runner.procedure.model import Rework, Routed, Stage, Step, Total

Lead = tuple[Stage, Step]


def leads_to(
    stages: Sequence[Stage], reworks: Sequence[Stage], totals: Sequence[Total] = ()
) -> Mapping[str, list[Lead]]:
    """For each title in an `if not`, the steps that lead there by themselves or by a total, in the order of the file."""
    found: dict[str, list[Lead]] = {}
    for stage in (*stages, *reworks):
        for step in stage.steps:
            adds_to = getattr(step, "adds_to", ())
            adds_to = (adds_to,) if isinstance(adds_to, str) else adds_to
            routes = step.routes if isinstance(step, Routed) else ()
            routes += tuple(route for total in totals if total.name in adds_to for route in total.routes)
            for route in dict.fromkeys(routes):
                found.setdefault(route, []).append((stage, step))
    return found


def levels_of(
    stages: Sequence[Stage], reworks: Sequence[Rework], totals: Sequence[Total]
) -> dict[str, dict[str, Step]]:
    """For each rework the levels it is come to on, from a stage or through other reworks, each with the first that does."""
    leads = leads_to(stages, [rework.stage for rework in reworks], totals)
    found: dict[str, dict[str, Step]] = {rework.title: {} for rework in reworks}
    changed = True
    while changed:
        changed = False
        for title, levels in found.items():
            for stage, step in leads.get(title, ()):
                for level in [stage.for_each] if stage.number else [*found[stage.title]]:
                    changed = changed or level not in levels
                    levels.setdefault(level, step)
    return found


def for_their_parts(
    stages: Sequence[Stage], reworks: Sequence[Rework], totals: Sequence[Total], otherwise: str
) -> tuple[Rework, ...]:
    """The reworks, each for the parts that the first check which leads to it is for; for others where none does."""
    levels = levels_of(stages, reworks, totals)
    return tuple(
        replace(rework, stage=replace(rework.stage, for_each=next(iter(levels[rework.title]), otherwise)))
        for rework in reworks
    )
