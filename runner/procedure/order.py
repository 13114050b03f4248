"""Which stages must be done before a stage may begin, directly or through others, and on which parts."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, partial

from runner.procedure.model import JOB, PartLevel, Stage, path_of


def before(stages: Sequence[Stage]) -> dict[str, frozenset[str]]:
    """For each stage by title, every stage that is done by the time it may begin. Stages only come after ones above."""
    return {title: frozenset(found) for title, found in done_within(stages, ()).items()}


def done_within(stages: Sequence[Stage], parts: Sequence[PartLevel]) -> dict[str, dict[str, str]]:
    """
    As `before`, and for each stage found the level it is done within: on every one of its parts inside the part of
    that level which holds the part in hand. 'job' where it is done on all there are.
    """
    known: dict[str, dict[str, str]] = {}
    levels: dict[str, str] = {}
    outer = cache(partial(_outer, parts=parts))  # few levels, and many pairs of stages
    for stage in stages:
        found: dict[str, str] = {}
        for title in (*stage.after, *stage.after_all):
            if title not in known:
                continue
            within = JOB if title in stage.after_all else innermost(stage.for_each, levels[title], parts)
            for one, its in ((title, within), *known[title].items()):
                found[one] = outer(found.get(one), outer(within, its))
        known[stage.title], levels[stage.title] = found, stage.for_each
    return known


def _outer(one: str | None, other: str, parts: Sequence[PartLevel]) -> str:
    """The one of two levels on one path that lies further out."""
    return other if one is None or other in path_of(one, parts) else one


def innermost(one: str, other: str, parts: Sequence[PartLevel]) -> str:
    """The innermost level that holds parts of both: 'head' for two things side by side in a head."""
    path = path_of(other, parts)
    return [level for level in path_of(one, parts) if level in path][-1]
