"""What is decided where a pass stands: at a check that isn't met, at an exit, and where nothing else is left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from runner.job import events as e
from runner.job.decide import decide
from runner.job.fold import fold
from runner.job.following import waits_for
from runner.job.intents import (
    Dispose,
    Estimate,
    MeasureAgain,
    Notice,
    Permit,
    StartPass,
    Stop,
    TakeUp,
)
from runner.job.job import Refusal
from runner.job.nonconformance import is_cleared, may_permit, ways_out
from runner.job.passes import next_step
from runner.job.reworks import refuse_rework
from runner.job.state import Failure, PassKey, State
from runner.procedure.model import Routed
from runner.trial.tally import Seen
from runner.trial.timed import UNTIL_ROUTED_S
from runner.trial.walk import DECIDER, Walk
from runner.trial.wishes import live_around

T = TypeVar("T")
_WEIGHTS = {"concession": 3.0, "scrap": 0.5, "return": 0.4}
_REWORK = 4.0


class Deciders:
    """Those who decide in one virtual job."""

    def __init__(self, walk: Walk) -> None:
        self.walk, self.dice = walk, walk.wishes.dice

    def decide(self, key: PassKey) -> bool:
        """Whether something was decided on a pass that stands."""
        if self.walk.state.at(key).stop:
            return self._at_exit(key)
        failed = self.walk.state.at(key).failed
        assert failed
        self._note_ways(key, failed)
        tries: list[tuple[float, Callable[[], bool]]] = [
            (0.3, lambda: self._again(key, failed)),
            (0.4, lambda: self._rework(key)),
            (0.3, lambda: bool(self._named(key)) and self.walk.act(Stop(e.NONCONFORMING, "it is over"))),
        ]
        if isinstance(failed, e.ClockStopped):
            tries = [(1.0, lambda: self._clock(failed)), (0.3, tries[2][1])]
        return any(one() for one in self._in_some_order(tries))

    def _by(self) -> str:
        return self.walk.state.person if self.walk.wishes.alone else DECIDER

    def _named(self, key: PassKey) -> tuple[str, ...]:
        return self.walk.job.part_of(key).names

    def _in_some_order(self, weighted: Sequence[tuple[float, T]]) -> list[T]:
        """The likely ones mostly first."""
        drawn = [(self.dice.random() ** (1 / weight), one) for weight, one in weighted]
        return [one for _, one in sorted(drawn, key=lambda pair: -pair[0])]

    # at a verdict

    def _again(self, key: PassKey, failed: Failure) -> bool:
        """A reading behind a verdict taken again: in this pass or another, on a part that belongs with it."""
        if isinstance(failed, e.SecondReadingDisagrees):
            return self.walk.act(MeasureAgain(failed.name, "the second one disagrees"))
        walk, sheet = self.walk, self.walk.trial.sheet
        names = [
            name
            for one in sheet.deciding
            if (one.stage.title, one.step.about.number) == (key[0], failed.step)
            for name in one.readings
        ]
        for at, name in enumerate(
            self._in_some_order([(1 / (1 + at), name) for at, name in enumerate(names)])
        ):
            stage = sheet.makers[name][0]
            for part in live_around(walk.job, walk.job.part_of(key), stage.for_each):
                there = stage.title, part.path
                other = None if there == key else there
                if (part.path, name) in walk.state.known and walk.act(MeasureAgain(name, "misread", other)):
                    return True
            if at > 3:
                break
        return False

    def _rework(self, key: PassKey) -> bool:
        ways = ways_out(self.walk.job, self.walk.state, key)
        tries = self._in_some_order([(1.0, way) for way in ways])
        return any(self.walk.act(Dispose(way, self.walk.state.person, "it can be")) for way in tries)

    def _clock(self, failed: e.ClockStopped) -> bool:
        if not failed.act and self.dice.random() < 0.5:
            last = failed.last_s * self.dice.choice((0.5, 0.9, 1.5))
            return self.walk.act(Estimate(f"{last:.1f}", "counted aloud"))
        before = self.walk.state
        return self.walk.act(Notice(), UNTIL_ROUTED_S) and self.walk.state.passes != before.passes

    def _note_ways(self, key: PassKey, failed: Failure) -> None:
        """Which ways out the procedure names here, which of them are open, and whether only a concession is."""
        walk, step = self.walk, self.walk.job.step(key, failed.step)
        routes: tuple[str, ...] = getattr(failed, "routes", ()) or (
            step.routes if isinstance(step, Routed) else ()
        )
        if not routes:
            return
        stopped = decide(walk.job, walk.state, Stop(e.NONCONFORMING, "it is"), walk.now)
        if isinstance(stopped, Refusal):
            open_ = ways_out(walk.job, walk.state, key)
        else:
            open_ = ways_out(walk.job, fold(stopped, walk.state), key)
        spot = key[0], failed.step
        for way in routes:
            if way in open_:
                walk.tally.open_ways[(*spot, way)] += 1
        if self._only_conceded(key, failed, routes):
            walk.tally.only_conceded.setdefault(spot, Seen(1, walk.index, failed.sentence))

    def _only_conceded(self, key: PassKey, failed: Failure, routes: tuple[str, ...]) -> bool:
        """Whether the sheet names more than a concession, and none of that is open though it was never used up."""
        walk = self.walk
        others = [walk.job.procedure.rework(way) for way in routes if way != "concession"]
        if "concession" not in routes or not others or None in others:
            return False
        path = walk.job.part_of(key).path
        reworks = [one for one in others if one]
        shut = [
            refuse_rework(walk.job, walk.state, key, failed.step, one.title) is not None for one in reworks
        ]
        unused = [one.only_if is not None and (path, one.title) not in walk.state.reworks for one in reworks]
        return all(shut) and any(unused)

    # at an exit

    def _at_exit(self, key: PassKey) -> bool:
        walk = self.walk
        found, state = walk.state.at(key), walk.state
        assert found.stop
        if found.stop.exit != e.NONCONFORMING:
            if self.dice.random() < 0.3 and may_permit(walk.job, state, key):
                return walk.act(Permit(self._by(), "left as it is"))
            return walk.act(TakeUp("it can be done now"))
        if is_cleared(state, key) and walk.act(TakeUp("the slip was put right")):
            return True
        ways = [(_WEIGHTS.get(way, _REWORK), way) for way in ways_out(walk.job, state, key)]
        return any(walk.act(Dispose(way, self._by(), "looked at")) for way in self._in_some_order(ways))

    # at the end

    def give_up(self, keys: list[PassKey]) -> None:
        """Nothing goes on anywhere: a part is said to be nonconforming, or a step left by a permit; else it is a dead end."""
        walk = self.walk
        reasons = dict(walk.stuck)
        for key in keys:
            walk.act(StartPass(key))
            if walk.state.in_hand == key and self._given_up(key):
                return
        if not keys:
            walk.dead_end(("", ""), 0, "no pass may begin, and the job is not done")
            return
        key = keys[0]
        step = next_step(walk.job, walk.state, key)
        number = step.about.number if step else 0
        walk.dead_end(
            key, number, reasons.get(key, "") or waits_for(walk.job, walk.state, key) or walk.refused
        )

    def _given_up(self, key: PassKey) -> bool:
        walk = self.walk
        if self._named(key):
            return walk.act(Stop(e.NONCONFORMING, "nothing else is left"))
        before: State = walk.state
        if walk.act(Stop(e.CANNOT_DO, "nothing else is left")):
            if may_permit(walk.job, walk.state, key) and walk.act(Permit(self._by(), "left as it is")):
                return True
            walk.state = before
        return False
