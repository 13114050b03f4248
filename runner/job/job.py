"""What is fixed when a job opens: its procedure, its parts, the shop's zone and decimal mark; and the shop as it is now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import tzinfo

from runner.job.parts import Load, Part, Parts
from runner.job.state import PassKey
from runner.procedure.model import Procedure, Stage, Step
from runner.shop.model import NO_SHOP, Shop


@dataclass(frozen=True, slots=True)
class Job:
    number: str
    procedure: Procedure
    parts: Parts
    zone: tzinfo
    mark: str
    alone: bool
    program: str
    shop: Shop = NO_SHOP
    """The shop file as this sitting has it. What an act relied on is copied into its event."""

    def as_loaded(self, loads: Mapping[str, Load]) -> Job:
        """The job with these loads made."""
        return self if loads == self.parts.loads else replace(self, parts=self.parts.with_loads(loads))

    def stage_of(self, key: PassKey) -> Stage:
        """The stage, or the rework's own steps, that a pass goes through."""
        return self.procedure.stage(key[0])

    def part_of(self, key: PassKey) -> Part:
        part = self.parts.find(self.stage_of(key).for_each, key[1])
        assert part is not None
        return part

    def keys(self) -> list[PassKey]:
        """Every pass of the job, stage by stage."""
        return [
            (stage.title, part.path)
            for stage in self.procedure.stages
            for part in self.parts.at(stage.for_each)
        ]

    def step(self, key: PassKey, number: int) -> Step:
        return self.stage_of(key).steps[number - 1]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Something a person asked for that can't be done now: one sentence, and what to do instead where there is something."""

    sentence: str
    fix: str = ""
