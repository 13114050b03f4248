"""What is read next in a virtual job: a size that brings about what the job wishes, as far as one reading can."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from runner.job.branches import blocks_of, is_applicable
from runner.job.job import Job
from runner.job.moments import Moment
from runner.job.parts import Part
from runner.job.passes import is_live
from runner.job.state import State
from runner.procedure.model import NotBefore, Read
from runner.trial.foreseen import Foreseen, Place
from runner.trial.judged import judged, miss
from runner.trial.settled import Settled
from runner.trial.sheet import MET, UNDER, Deciding, Sheet, blocks_round
from runner.trial.sizes import Points, Sizes, near, sizes_of
from runner.trial.wishes import Wishes, live_around

WIDE = 0.08
"""How often a reading is first tried anywhere in its band, so that more than the near is seen."""
MOST_TRIES = 80
VAIN = 2
"""How often every size of a reading is tried in vain before only a few are."""
ENOUGH = 8
"""After how many sizes what none of them has moved is let be."""
AIMED, BRANCHES = 8.0, 0.4
"""What the failure that is aimed at, and the way that a branch goes, weigh beside a check."""


@dataclass(frozen=True, slots=True, eq=False)
class Wish:
    one: Deciding
    part: Part
    wanted: str
    weight: float


class _Search:
    """The best size so far for what is wished. What no size moves at all is let be after a while."""

    def __init__(self, wished: list[Wish]) -> None:
        self._wished = wished
        self.best: Points | None = None
        self._least = math.inf
        self._first: dict[Wish, float] = {}
        self._tries = 0

    def is_over(self, seen: Foreseen, points: Points) -> bool:
        """Whether these points, or some before, bring about all that is wished, or all that can be."""
        self._tries += 1
        misses = self._misses(seen)
        if sum(misses.values()) < self._least:
            self.best, self._least = points, sum(misses.values())
        if self._tries == ENOUGH:
            steady = {one for one, was in self._first.items() if was and misses.get(one) == was}
            self._wished = [one for one in self._wished if one not in steady or one.weight == AIMED]
            self._least = self._least if not steady else math.inf
        only_branches = self._tries > 3 * ENOUGH and self._least < 1.0
        return not self._wished or not self._least or only_branches

    def _misses(self, seen: Foreseen) -> dict[Wish, float]:
        """How far off each wish is; no further than it takes to see that a size is no better than the best."""
        found: dict[Wish, float] = {}
        for one in self._wished:
            found[one] = one.weight * miss(judged(one.one, seen, one.part), one.wanted)
            self._first.setdefault(one, found[one])
            if self._tries > ENOUGH and sum(found.values()) >= self._least:
                break
        self._wished.sort(key=lambda one: -found.get(one, 0.0))
        return found


class Drawing:
    """Draws readings for one virtual job."""

    def __init__(self, sheet: Sheet, settled: Settled, wishes: Wishes, *, guarded: bool) -> None:
        self.sheet, self.settled, self.wishes, self.guarded = sheet, settled, wishes, guarded
        self._vain: Counter[Place] = Counter()

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
        search = _Search(wished)
        place = part.path, step.name
        tries = MOST_TRIES if self._vain[place] < VAIN else ENOUGH
        for steps in islice(self._tried(sizes, share, wide), tries):
            points = sizes.si(steps)
            seen = seen.with_drawn(place, points)
            if search.is_over(seen, points):
                break
        else:
            self._vain[place] += 1
        assert search.best
        return sizes, search.best

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
            first = one.last == step.name or wide or lever
            if not (first or again) or (one.sort != "so" and not self._in_block(state, one, part)):
                continue
            for where in live_around(job, part, one.stage.for_each):
                if is_live(job, state, where) and (first or _was_decided(state, one, where)):
                    found.append(Wish(one, where, self._wanted(one, where, again), self._weight(one, lever)))
        return found

    def _in_block(self, state: State, one: Deciding, part: Part) -> bool:
        """Whether the blocks round a decision are done, or wished to be where nobody knows yet."""
        found = state.at((one.stage.title, part.path))
        if not is_applicable(one.stage, found, one.step):
            return False
        blocks = zip(blocks_of(one.stage, one.step), blocks_round(one.stage, one.step), strict=True)
        return all(
            block in found.branches or self.wishes.of(spot, part.path, (UNDER,)) == MET
            for block, spot in blocks
        )

    def _wanted(self, one: Deciding, part: Part, again: bool) -> str:
        if isinstance(one.step, NotBefore) and not again and self.wishes.dice.random() < 0.3:
            return UNDER
        return self.wishes.of(one.spot, part.path, one.fails)

    def _weight(self, one: Deciding, lever: bool) -> float:
        if lever:
            return AIMED
        return BRANCHES if one.sort == "so" and one.fails else 1.0


def _was_decided(state: State, one: Deciding, part: Part) -> bool:
    """Whether a decision on a part was come to before, and stands or waits to be decided anew."""
    found, number = state.at((one.stage.title, part.path)), one.step.about.number
    failed = found.failed is not None and found.failed.step == number
    return failed or number in found.done_steps or number in found.out_of_date
