"""Which stages must be done before a stage may begin, directly or through others."""

from __future__ import annotations

from collections.abc import Sequence

from runner.procedure.model import JOB, PartLevel, Stage


def before(stages: Sequence[Stage]) -> dict[str, frozenset[str]]:
    """For each stage by title, every stage that is done by the time it may begin. Stages only come after ones above."""
    known: dict[str, frozenset[str]] = {}
    for stage in stages:
        found: set[str] = set()
        for title in (*stage.after, *stage.after_all):
            if title in known:
                found |= {title, *known[title]}
        known[stage.title] = frozenset(found)
    return known


def path_of(level: str, parts: Sequence[PartLevel]) -> tuple[str, ...]:
    """The levels from the job down to this one: ('job', 'head', 'seat')."""
    inside = {part.name: part.inside for part in parts}
    path: list[str] = []
    while level != JOB:
        path.append(level)
        level = inside.get(level, JOB)
    return (JOB, *reversed(path))
