"""What is read next in a virtual job: a size that brings about what the job wishes, as far as one reading can."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from runner.job.job import Job
from runner.job.moments import Moment
from runner.job.parts import Part
from runner.job.passes import is_live
from runner.job.state import State
from runner.procedure.model import NotBefore, Read
from runner.trial.foreseen import Foreseen
from runner.trial.judged import judged, miss
from runner.trial.settled import Settled
from runner.trial.sheet import MET, UNDER, Deciding, Sheet, blocks_round
from runner.trial.sizes import Points, Sizes, near, sizes_of
from runner.trial.wishes import Wishes, live_around

WIDE = 0.08
"""How often a reading is first tried anywhere in its band, so that more than the near is seen."""
AIMED, BRANCHES = 8.0, 0.4
"""What the failure that is aimed at, and the way that a branch goes, weigh beside a check."""


@dataclass(frozen=True, slots=True)
class Wish:
    one: Deciding
    part: Part
    wanted: str
    weight: float


class Drawing:
    """Draws readings for one virtual job."""

    def __init__(self, sheet: Sheet, settled: Settled, wishes: Wishes, *, guarded: bool) -> None:
        self.sheet, self.settled, self.wishes, self.guarded = sheet, settled, wishes, guarded

    def draw(
        self, job: Job, state: State, part: Part, step: Read, now: Moment, *, again: bool
    ) -> tuple[Sizes, Points]:
        """
        The points to read. `again` where the reading was taken before, when all that stands on it is looked at. Raises
        CannotBeWorked where the plausible band has no answer.
        """
        dice = self.wishes.dice
        seen = Foreseen(job, state, self.sheet, self.wishes, {}, now, with_doubt=self.guarded)
        sizes = sizes_of(self.sheet.procedure, seen, part, step)
        share = self.wishes.share(part, step.name)
        wide = dice.random() < WIDE
        wished = self._wished(job, state, part, step, again=again, wide=wide)
        best: tuple[float, Points] | None = None
        for steps in self._tried(sizes, share, wide):
            points = sizes.si(steps)
            if not wished:
                return sizes, points
            drawn = {(part.path, step.name): points}
            seen = Foreseen(job, state, self.sheet, self.wishes, drawn, now, with_doubt=self.guarded)
            score = sum(one.weight * miss(judged(one.one, seen, one.part), one.wanted) for one in wished)
            if best is None or score < best[0]:
                best = score, points
            if not score:
                break
        assert best
        return sizes, best[1]

    def _tried(self, sizes: Sizes, share: float, wide: bool) -> Iterator[tuple[int, ...]]:
        dice, count = self.wishes.dice, len(sizes.step.points)
        if wide:
            yield (dice.randint(sizes.lowest, sizes.highest),) * count
        middle = sizes.at(share)
        for reach in (2, 1):
            steps = tuple(middle + dice.randint(-reach, reach) for _ in range(count))
            if sizes.holds(steps):
                yield steps
        yield from near(sizes, share)

    def _wished(
        self, job: Job, state: State, part: Part, step: Read, *, again: bool, wide: bool
    ) -> list[Wish]:
        aiming = self.wishes.aiming
        found = []
        for one in self.sheet.decided_by.get(step.name, ()):
            aimed = aiming is not None and aiming[0] == one.spot
            lever = aimed and aiming is not None and self.settled.levers.get(aiming) == step.name
            if not (one.last == step.name or again or wide or lever):
                continue
            if one.sort != "so" and not self._in_block(one, part):
                continue
            for where in live_around(job, part, one.stage.for_each):
                if is_live(job, state, where):
                    found.append(Wish(one, where, self._wanted(one, where, again), self._weight(one, lever)))
        return found

    def _in_block(self, one: Deciding, part: Part) -> bool:
        """Whether the blocks round a decision are wished to be done."""
        blocks = blocks_round(one.stage, one.step)
        return all(self.wishes.of(spot, part.path, (UNDER,)) == MET for spot in blocks)

    def _wanted(self, one: Deciding, part: Part, again: bool) -> str:
        if isinstance(one.step, NotBefore) and not again and self.wishes.dice.random() < 0.3:
            return UNDER
        return self.wishes.of(one.spot, part.path, one.fails)

    def _weight(self, one: Deciding, lever: bool) -> float:
        if lever:
            return AIMED
        return BRANCHES if one.sort == "so" and one.fails else 1.0
