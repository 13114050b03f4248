"""Where in their plausible bands readings lie so that every check is met, as far as such places are found; and which
reading makes which check fail. Looked for once, before the walk.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from random import Random

from runner.formula.values import CannotBeWorked
from runner.job.job import Job
from runner.job.moments import Moment
from runner.job.parts import Part
from runner.job.state import State
from runner.procedure.model import Read
from runner.trial.foreseen import Foreseen, Place
from runner.trial.judged import judged, miss
from runner.trial.sheet import MET, Deciding, Sheet
from runner.trial.sizes import Points, near, sizes_of
from runner.trial.wishes import Aim, Middle, Slot, live_around, slot_of

SWEEPS = 4
JOINT_DRAWS = 60
"""How often all the readings behind one decision are drawn together where moving one after another meets nothing."""
NEAREST = 8
"""How many of the readings behind a decision are tried alone for making it fail."""
STEPS = 12
"""How often one reading is moved on its way to where a decision is met."""


@dataclass(frozen=True, slots=True)
class Settled:
    """`shares` are of each reading's plausible band; `levers` name the reading that brings a decision to fail so."""

    shares: Mapping[Slot, float]
    levers: Mapping[Aim, str]


class Settling:
    """The search, on a job that has only just been opened."""

    def __init__(self, job: Job, state: State, sheet: Sheet, now: Moment, guarded: bool) -> None:
        self.job, self.state, self.sheet, self.now, self.guarded = job, state, sheet, now, guarded
        self.plan = Middle(sheet, {})
        self.dice = Random(0)

    def settle(self) -> Settled:
        wanted = [one for one in self.sheet.deciding if one.sort != "so" or not one.fails]
        for _ in range(SWEEPS):
            missed = [(one, part) for one in wanted for part in self._parts(one) if self._miss(one, part)]
            if not missed:
                break
            for one, part in missed:
                if self._miss(one, part):
                    self._mend(one, part)
        levers: dict[Aim, str] = {}
        for one in self.sheet.deciding:
            for side in one.fails:
                nearest = one.readings[:NEAREST]
                lever = next((name for name in nearest if self._moves(one, side, name)), "")
                levers[one.spot, side] = lever or one.last
        return Settled(self.plan.shares, levers)

    def _parts(self, one: Deciding) -> tuple[Part, ...]:
        """One part for each slot of the decision's level."""
        if self.job.parts.is_load(one.stage.for_each):
            return ()
        found = {
            slot_of(self.sheet.procedure, part, ""): part for part in self.job.parts.at(one.stage.for_each)
        }
        return tuple(found.values())

    def _seen(self, drawn: Mapping[Place, Points]) -> Foreseen:
        return Foreseen(self.job, self.state, self.sheet, self.plan, drawn, self.now, with_doubt=self.guarded)

    def _miss(
        self, one: Deciding, part: Part, wanted: str = MET, drawn: Mapping[Place, Points] | None = None
    ) -> float:
        return miss(judged(one, self._seen(drawn or {}), part), wanted)

    def _last_first(self, one: Deciding) -> list[str]:
        return [name for name in reversed(list(self.sheet.makers)) if name in one.readings]

    def _reads(self, part: Part, name: str) -> list[tuple[Part, Read]]:
        """A reading on the parts that belong with one, one for each slot."""
        stage, step = self.sheet.makers[name]
        if not isinstance(step, Read):
            return []
        parts = {
            slot_of(self.sheet.procedure, one, ""): one for one in live_around(self.job, part, stage.for_each)
        }
        return [(one, step) for one in parts.values()]

    def _mend(self, one: Deciding, part: Part) -> None:
        """Moves readings, the last one first, until a decision is met; else draws them all together."""
        for name in self._last_first(one):
            for where, step in self._reads(part, name):
                for _ in range(STEPS):
                    if not self._move(one, part, where, step):
                        break
                    if not self._miss(one, part):
                        return
        before, best = dict(self.plan.shares), self._miss(one, part)
        chosen = before
        for _ in range(JOINT_DRAWS):
            drawn = {
                slot_of(self.sheet.procedure, where, name): self.dice.random()
                for name in self._last_first(one)
                for where, _ in self._reads(part, name)
            }
            self.plan.shares = {**before, **drawn}
            now = self._miss(one, part)
            if now < best:
                best, chosen = now, self.plan.shares
        self.plan.shares = dict(chosen)

    def _move(self, one: Deciding, part: Part, where: Part, step: Read) -> bool:
        """Whether moving one reading brought a decision nearer to being met, and nothing else further off."""
        slot = slot_of(self.sheet.procedure, where, step.name)
        now, others = self._miss(one, part), self._others(where, step)
        before = self.plan.shares.get(slot)
        better: dict[float, list[float]] = {}
        for share in self._flat(where, step):
            self.plan.shares[slot] = share
            if (found := self._miss(one, part)) < now:
                better.setdefault(found, []).append(share)
        for found in sorted(better):
            self.plan.shares[slot] = sorted(better[found])[len(better[found]) // 2]
            if self._others(where, step) - found < others - now + 1e-9:
                return True
        self.plan.shares.pop(slot) if before is None else self.plan.shares.update({slot: before})
        return False

    def _others(self, where: Part, step: Read) -> float:
        """How far off everything is that a reading decides, all together."""
        seen = self._seen({})
        return sum(
            miss(judged(one, seen, part), MET)
            for one in self.sheet.decided_by.get(step.name, ())
            if one.sort != "so" or not one.fails
            for part in live_around(self.job, where, one.stage.for_each)
        )

    def _flat(self, where: Part, step: Read) -> Iterable[float]:
        """Every share of the band to try, all points alike."""
        try:
            sizes = sizes_of(self.sheet.procedure, self._seen({}), where, step)
        except CannotBeWorked:
            return []
        ways = near(sizes, self.plan.share(where, step.name))
        return [sizes.share(steps[0]) for steps in dict.fromkeys(ways) if len(set(steps)) == 1]

    def _moves(self, one: Deciding, side: str, name: str) -> bool:
        """Whether one reading alone can bring a decision to fail so."""
        for part in self._parts(one)[:1]:
            for where, step in self._reads(part, name)[:1]:
                try:
                    sizes = sizes_of(self.sheet.procedure, self._seen({}), where, step)
                except CannotBeWorked:
                    continue
                for steps in near(sizes, self.plan.share(where, name), coarsely=True):
                    drawn = {(where.path, name): sizes.si(steps)}
                    if not self._miss(one, part, side, drawn):
                        return True
        return False
