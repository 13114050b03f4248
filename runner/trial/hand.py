"""Whoever works a virtual job: which pass is taken up next, and what is done at the step it stands at."""

from __future__ import annotations

from fractions import Fraction

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.following import waits_for
from runner.job.intents import (
    AcceptHandover,
    Acknowledge,
    ChangePerson,
    Confirm,
    ConfirmPrerequisite,
    Correct,
    HandOver,
    LeaveLoad,
    MakeLoad,
    MeasureAgain,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    Skip,
    StartPass,
    StillStand,
    Stop,
    Suspend,
    Tick,
    Type,
)
from runner.job.limits import limits_for
from runner.job.parts import WHOLE_JOB
from runner.job.passes import is_complete, is_live, may_begin, next_step, nonconforming_part, to_acknowledge
from runner.job.state import PassKey
from runner.procedure.model import (
    AgainstTheClock,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    SignOff,
    Soak,
    Step,
    Wait,
    WitnessPoint,
    Write,
    Zero,
)
from runner.quantities.quantity import show_number
from runner.trial import timed
from runner.trial.deciding import Deciders
from runner.trial.drawing import Drawing
from runner.trial.sheet import MET, OVER
from runner.trial.sizes import typed
from runner.trial.walk import DECIDER, OTHER, WORKER, Walk

INTERRUPTED, CHANGED, LEFT, ELSEWHERE = 0.006, 0.004, 0.003, 0.04
"""How often, an act: the work is interrupted; something entered is changed; an exit is taken; another pass is taken up."""
FINEST = Fraction(1, 10**6)


class Hand:
    """Works one job, an act or a few at a time, until it has ended."""

    def __init__(self, walk: Walk) -> None:
        self.walk, self.dice = walk, walk.wishes.dice
        self.drawing = Drawing(walk.trial.sheet, walk.trial.settled, walk.wishes, guarded=walk.trial.guarded)
        self.deciders = Deciders(walk)
        self.in_order = self.dice.random() < 0.5
        """Whether the work goes stage by stage; else wherever it may."""
        self.waiting: dict[PassKey, float] = {}
        self.changes = self.dice.choice((0, 0, 1, 2))
        self.exits = self.dice.choice((0, 0, 0, 1))
        self.loads = 0
        self.read: set[tuple[str, str]] = set()
        """What was read before in this job, by part and name."""

    def turn(self) -> None:
        """The next thing anybody does."""
        walk, state = self.walk, self.walk.state
        if state.suspended:
            walk.act(Resume(), 8 * 3600.0)
        elif state.handed_over:
            walk.act(ChangePerson(OTHER if state.person == WORKER else WORKER))
            walk.act(AcceptHandover())
        elif state.prerequisites < len(walk.job.procedure.prerequisites):
            walk.act(ConfirmPrerequisite(state.prerequisites + 1))
        elif self.dice.random() < INTERRUPTED:
            walk.act(self.dice.choice((Suspend("lights out"), HandOver("nothing out of the ordinary"))))
        elif self.changes and self.dice.random() < CHANGED:
            self._change()
        else:
            self._work()

    def _work(self) -> None:
        state = self.walk.state
        key = state.in_hand
        elsewhere = self.dice.random() < ELSEWHERE
        if key is None or key in self.walk.stuck or key in self.waiting or elsewhere or state.at(key).done:
            if not self._take_up():
                return
            key = self.walk.state.in_hand
        if key is not None and not self.walk.ended:
            self._at(key)

    # which pass

    def _take_up(self) -> bool:
        """Whether a pass is in hand now: one that may go on, else one whose time has come, else one that is given up."""
        walk, job, state = self.walk, self.walk.job, self.walk.state
        if is_complete(job, state):
            by = state.person if walk.wishes.alone else DECIDER
            if walk.act(ReleaseJob(by, "all of it")):
                walk.released()
                return False
        if (self.dice.random() < 0.1 and self._load()) or walk.ended:
            return False
        stopped = [
            key
            for key, found in state.passes.items()
            if found.stop and not found.done and is_live(job, state, job.part_of(key))
        ]
        there = dict.fromkeys([*may_begin(job, state), *stopped])
        keys = [key for key in there if key not in walk.stuck and key not in self.waiting]
        if keys:
            key = keys[0] if self.in_order else self.dice.choice(keys)
            return key == state.in_hand or walk.act(StartPass(key))
        if self.waiting:
            walk.pause(min(self.waiting.values()) - walk.now.boot)
            self.waiting.clear()
            return False
        if not self._load():
            self.deciders.give_up(list(there))
        return False

    def _load(self) -> bool:
        """Whether parts that lie loose were put together."""
        walk, job, state = self.walk, self.walk.job, self.walk.state
        for level in job.procedure.parts:
            if not level.of:
                continue
            loose = [
                part.path
                for part in job.parts.without_load(WHOLE_JOB, level.name)
                if is_live(job, state, part) and nonconforming_part(job, state, part) is None
            ]
            some = loose[: self.dice.randint(1, len(loose))] if loose and self.dice.random() < 0.3 else loose
            if some and walk.act(MakeLoad(level.name, f"load {self.loads + 1}", tuple(some))):
                self.loads += 1
                return True
        return False

    # what is done at a step

    def _at(self, key: PassKey) -> None:
        walk, found = self.walk, self.walk.state.at(key)
        step = next_step(walk.job, walk.state, key)
        if step is None:
            walk.stuck[key] = "every step of this pass is done"
            return
        stands = found.failed is not None and not isinstance(found.failed, e.ZeroRead)
        if found.stop or (found.failed and stands and found.failed.step <= step.about.number):
            if not self.deciders.decide(key):
                walk.stuck[key] = walk.refused
            return
        walk.stands_at(key, step)
        if not self._done(key, step):
            walk.stuck.setdefault(key, waits_for(walk.job, walk.state, key) or walk.refused)

    def _done(self, key: PassKey, step: Step) -> bool:
        """Whether anything was done at a step."""
        walk = self.walk
        if self.exits and self.dice.random() < LEFT:
            self.exits -= 1
            exits = (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING)
            return walk.act(Stop(self.dice.choice(exits), "a crack shows"))
        if to_acknowledge(walk.job.stage_of(key), walk.state.at(key), step):
            return walk.act(Acknowledge())
        if step.about.may_skip and self.dice.random() < 0.4:
            return walk.act(Skip(walk.state.person, "there is nothing to say"))
        if step.about.number in walk.state.at(key).out_of_date and (
            isinstance(step, Read) or (walk.wishes.looks_again and self.dice.random() < 0.4)
        ):
            return self._anew(step)
        timed.window_kept_or_missed(walk, key, step)
        return self._acted(key, step)

    def _anew(self, step: Step) -> bool:
        """Something out of date looked at again, or measured again."""
        looks = self.walk.wishes.looks_again and self.dice.random() < 0.5
        if (looks or not isinstance(step, Read)) and self.walk.act(StillStand("nothing moved")):
            return True
        return isinstance(step, Read) and self.walk.act(MeasureAgain(step.name, "it is out of date"))

    def _acted(self, key: PassKey, step: Step) -> bool:
        walk = self.walk
        match step:
            case Do(ticks=ticks):
                made = walk.state.at(key).ticks.get(step.about.number, frozenset())
                left = [number for number in range(1, len(ticks) + 1) if number not in made]
                return walk.act(Tick(left[0]) if left else Confirm())
            case Zero():
                return self._zero(key, step)
            case Read():
                return self._read(key, step)
            case Choose():
                part = walk.job.part_of(key)
                taken = walk.act(Type(walk.wishes.option(part, step)))
                walk.wishes.picked(part, step)
                return taken
            case Write():
                return walk.act(Type("as it should be"))
            case SignOff():
                return walk.act(Sign(walk.state.person))
            case HoldPoint():
                return self._release(key, step)
            case WitnessPoint() if (
                step.about.number not in walk.state.at(key).called or self.dice.random() < 0.5
            ):
                return timed.witness(walk, key, step)
            case NotBefore(condition=condition) if condition:
                return timed.awaited(walk, key, step)
            case Wait() | NotBefore() | WitnessPoint():
                return self._wait(key, step)
            case Soak():
                return timed.soak(walk, key, step)
            case AgainstTheClock():
                return timed.against_the_clock(walk, key, step)
        return False

    def _wait(self, key: PassKey, step: Step) -> bool:
        """A wait sat out, or other work done meanwhile."""
        left = timed.left_s(self.walk, key, step)
        if left > 0 and self.dice.random() < 0.5:
            self.waiting[key] = self.walk.now.boot + left
            return True
        self.walk.pause(left)
        return self.walk.act(Confirm())

    def _zero(self, key: PassKey, step: Zero) -> bool:
        walk = self.walk
        try:
            limits = limits_for(walk.job, walk.state, walk.job.part_of(key), step.within)
        except CannotBeWorked:
            return walk.act(Type("0"))
        assert limits.nominal and limits.high
        spot = key[0], step.about.number, "done", ""
        bad = walk.wishes.of(spot, key[1], (OVER,)) == OVER
        size = 2 * limits.high.value - limits.nominal.value if bad else limits.nominal.value
        if bad and size == limits.nominal.value:
            size += float(step.unit.factor)
        text = show_number(size, step.unit, FINEST)
        if walk.act(Type(text)) and any(isinstance(one, e.EntryQuestioned) for one in walk.answer):
            return walk.act(Type(text))
        return not walk.refused or bool(walk.answer)

    def _read(self, key: PassKey, step: Read) -> bool:
        walk, part = self.walk, self.walk.job.part_of(key)
        again = bool(walk.state.at(key).again.get(step.about.number)) or (part.path, step.name) in self.read
        try:
            sizes, points = self.drawing.draw(walk.job, walk.state, part, step, walk.now, again=again)
        except CannotBeWorked:
            return walk.act(Type("0"))
        self.read.add((part.path, step.name))
        known = walk.state.known.get((part.path, step.name))
        texts = [typed(step, one, sizes.digit) for one in points][len(known.points) if known else 0 :]
        if self.dice.random() < 0.01:
            walk.act(Type(typed(step, sizes.si([2 * sizes.highest - sizes.lowest + 10])[0], sizes.digit)))
        lines = [" ".join(texts)] if self.dice.random() < 0.7 else texts
        return all([self._line(key, step, line) for line in lines])

    def _line(self, key: PassKey, step: Read, line: str) -> bool:
        """A line typed, and typed again word by word where it is questioned."""
        walk = self.walk
        if not walk.act(Type(line)):
            return False
        if any(isinstance(one, e.EntryQuestioned) for one in walk.answer):
            return all([walk.act(Type(word)) for word in line.split()])
        return True

    def _release(self, key: PassKey, step: HoldPoint) -> bool:
        walk = self.walk
        by = walk.state.person if walk.wishes.alone else DECIDER
        second = ""
        if step.measures_again:
            known = next(
                (
                    walk.state.known[outer.path, step.measures_again]
                    for outer in walk.job.parts.outward(walk.job.part_of(key))
                    if (outer.path, step.measures_again) in walk.state.known
                ),
                None,
            )
            spot = key[0], step.about.number, "done", ""
            apart = walk.wishes.of(spot, key[1], (OVER,)) != MET
            second = self._second(step, known.points if known else (), apart)
        return walk.act(Release(by, step.must_see, second))

    def _second(self, step: HoldPoint, points: tuple[e.ReadingTaken, ...], apart: bool) -> str:
        assert step.agree_within
        by = 2 * step.agree_within.number * step.agree_within.unit.factor if apart else Fraction(0)
        texts = []
        for point in points:
            factor = (point.si / point.number) if point.number else Fraction(1)
            digits = Fraction(1, 10**9)
            texts.append(f"{float((point.number + by / factor) // digits * digits):.9f}")
        return " ".join(texts)

    # going back

    def _change(self) -> None:
        """A slip put right, something measured again in any pass, or a part taken out of a load."""
        walk, state = self.walk, self.walk.state
        self.changes -= 1
        loaded = [(name, path) for name, load in state.loads.items() for path in load.parts]
        if loaded and self.dice.random() < 0.3:
            walk.act(LeaveLoad(*self.dice.choice(loaded), "it belongs to another"))
            return
        if not state.known:
            return
        path, name = self.dice.choice(list(state.known))
        known = state.known[path, name]
        key = known.stage, path
        if known.points and self.dice.random() < 0.5:
            walk.act(MeasureAgain(name, "the gauge was tilted", key))
        elif known.points:
            point = self.dice.choice(known.points)
            other = self.dice.choice(known.points)
            walk.act(Correct(key, name, point.point, other.typed + "0", "a slip"))
        elif known.answer is not None:
            step = walk.trial.sheet.makers[name][1]
            text = self.dice.choice(step.options) if isinstance(step, Choose) else "otherwise"
            walk.act(Correct(key, name, "", text, "a slip"))
