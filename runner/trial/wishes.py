"""What one virtual job is to bring about, drawn from its own dice: so that the same seed gives the same job on any number
of processes.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from random import Random

from runner.job.job import Job
from runner.job.parts import Part
from runner.procedure.model import (
    AgainstTheClock,
    Check,
    Choose,
    HoldPoint,
    Procedure,
    Read,
    Soak,
    Window,
    Zero,
)
from runner.trial.foreseen import Foreseen
from runner.trial.sheet import MET, OVER, UNDER, Sheet, Spot, blocks_round
from runner.trial.sizes import sizes_of

Aim = tuple[Spot, str]
"""A decision, and how it is to come out."""
Slot = tuple[tuple[str, ...], str]
"""A reading on all parts whose fixed names are the same."""
STUBBORN = 8
"""How often in a job what is aimed at fails again and again, where it does: more than any rework goes round."""
_TIMED: tuple[tuple[type, tuple[str, ...]], ...] = (
    (Window, (OVER,)),
    (Soak, (OVER, UNDER)),
    (AgainstTheClock, (OVER, UNDER)),
    (Zero, (OVER,)),
    (HoldPoint, (OVER,)),
)


def slot_of(procedure: Procedure, part: Part, name: str) -> Slot:
    levels = [one for one in procedure.levels_down_to(part.level)[1:]]
    fixed = [level for one in levels if (level := procedure.level(one)) and not level.of]
    names = (word if level.named else "" for level, word in zip(fixed, part.names, strict=False))
    return tuple(names), name


def aims_of(sheet: Sheet) -> list[Aim]:
    """Every way in which something may fail, for each virtual job to aim at one: what values decide, then what time and hands do."""
    found = [(one.spot, side) for one in sheet.deciding for side in one.fails]
    for stage in sheet.procedure.every_stage:
        for step in stage.steps:
            if isinstance(step, HoldPoint) and not step.measures_again:
                continue
            sides = next((sides for sort, sides in _TIMED if isinstance(step, sort)), ())
            found += [((stage.title, step.about.number, "done", ""), side) for side in sides]
    return found


class Middle:
    """Readings planned at a share of their band, a half where none is known, and answers that are as they should be."""

    def __init__(self, sheet: Sheet, shares: Mapping[Slot, float]) -> None:
        self.sheet, self.shares = sheet, dict(shares)

    def share(self, part: Part, name: str) -> float:
        return self.shares.get(slot_of(self.sheet.procedure, part, name), 0.5)

    def points(self, seen: Foreseen, part: Part, step: Read) -> tuple[Fraction, ...]:
        sizes = sizes_of(self.sheet.procedure, seen, part, step)
        return sizes.si([sizes.at(self.share(part, step.name))] * len(step.points))

    def option(self, part: Part, step: Choose) -> str:
        return good_options(self.sheet, step)[0]


def good_options(sheet: Sheet, step: Choose) -> tuple[str, ...]:
    """The options that every check of a choice is met by; all where none is."""
    found = step.options
    for one in sheet.decided_by.get(step.name, ()):
        if isinstance(one.step, Check) and one.step.options and one.step.name == step.name:
            found = tuple(option for option in found if option in one.step.options) or found
    return found


class Wishes(Middle):
    """
    One job's dice, what it aims to fail at, how often it fails elsewhere, and whether it fails at its aim again and again.
    Every wish is drawn when first asked for, and holds until the decision came.
    """

    def __init__(
        self, sheet: Sheet, shares: Mapping[Slot, float], aims: list[Aim], seed: int, index: int
    ) -> None:
        super().__init__(sheet, shares)
        self.dice = Random(f"{seed} {index}")
        aimed = index % 4 and aims
        self.aim: Aim | None = aims[(index - index // 4 - 1) % len(aims)] if aimed else None
        self.hits = 0
        self.stubborn = self.dice.random() < 0.25
        self.luck = self.dice.choice((0.0, 0.01, 0.04))
        self.alone = self.dice.random() < 0.15
        self.looks_again = self.dice.random() < 0.5
        """Whether what is out of date is sometimes looked at again, and not always done anew."""
        self._opened = _blocks_to(sheet, self.aim)
        """The blocks that must be done for the aim to be reached."""
        self._wished: dict[tuple[Spot, str], str] = {}
        self._options: dict[tuple[str, str], str] = {}

    @property
    def aiming(self) -> Aim | None:
        """What is aimed at, as long as it is to fail (again)."""
        return self.aim if self.hits < (STUBBORN if self.stubborn else 1) else None

    def of(self, spot: Spot, path: str, fails: tuple[str, ...]) -> str:
        """How a decision on a part is to come out."""
        place = spot, path
        if place not in self._wished:
            self._wished[place] = self._drawn(spot, fails)
        return self._wished[place]

    def _drawn(self, spot: Spot, fails: tuple[str, ...]) -> str:
        if self.aiming and self.aiming[0] == spot:
            return self.aiming[1]
        if spot in self._opened:
            return MET
        if spot[2] == "so" and fails:
            return self.dice.choice((MET, UNDER))
        return self.dice.choice(fails) if fails and self.dice.random() < self.luck else MET

    def came(self, spot: Spot, path: str, side: str) -> None:
        """A decision came out so; after a failure it is mostly to be met."""
        self._wished.pop((spot, path), None)
        if side == MET:
            return
        if self.aim and self.aim[0] == spot and side == self.aim[1]:
            self.hits += 1
        if not (self.aiming and self.aiming[0] == spot) and self.dice.random() < 0.9:
            self._wished[spot, path] = MET

    def option(self, part: Part, step: Choose) -> str:
        place = part.path, step.name
        if place not in self._options:
            self._options[place] = self._picked(part, step)
        return self._options[place]

    def picked(self, part: Part, step: Choose) -> None:
        """An option was picked; the next time another one may be."""
        self._options.pop((part.path, step.name), None)

    def _picked(self, part: Part, step: Choose) -> str:
        good = good_options(self.sheet, step)
        bad = [one for one in step.options if one not in good]
        fails = any(
            self.of(one.spot, part.path, one.fails) != MET
            for one in self.sheet.decided_by.get(step.name, ())
            if isinstance(one.step, Check) and one.step.name == step.name
        )
        return self.dice.choice(bad if bad and fails else good)


def live_around(job: Job, part: Part, level: str) -> tuple[Part, ...]:
    return () if job.parts.is_load(level) else job.parts.around(part, level)


def _blocks_to(sheet: Sheet, aim: Aim | None) -> list[Spot]:
    if aim is None:
        return []
    title, number, sort, _ = aim[0]
    stage = sheet.procedure.stage(title)
    step = stage.steps[number - 1]
    blocks = blocks_round(stage, step)
    return [one for one in blocks if sort != "so" or one != aim[0]]
