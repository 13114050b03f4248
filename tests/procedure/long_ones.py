"""Procedures of any length, for measuring what reading them costs."""

from __future__ import annotations

from tests.procedure.texts import HEAD, stage

_FIVE = (
    "do: Set the indicator on the pilot {n}\nkey point: No oil film between pilot and guide",
    "read: bore_{n}\nask: Measure the bore across two axes\nunit: mm\npoints: 3\nplausible: 20 mm to 60 mm",
    "work out: mean_{n}\nas: mean(bore_{n}) - 0.01 mm\nto the nearest: 0.001 mm",
    "check: mean_{n}\nwithin: 40.00 mm to 40.02 mm\nsource: common practice\nif not: [concession, scrap]",
    "hold point: bore {n} released\nby: inspector\nmust see:\n  - card and bag carry the same name",
)


def long_one(steps: int) -> str:
    """A procedure of so many steps, a multiple of 20, in stages of 20."""
    stages = []
    for begins in range(0, steps, 20):
        texts = [step.format(n=begins + at) for at in range(0, 20, 5) for step in _FIVE]
        stages.append(stage(f"Stage {begins}", "seat", *texts))
    return HEAD + "".join(stages)
