"""
A second book of the ringed plate, kept from the events alone by rules of its own.

It knows what the plate's formulas give, worked by hand, which readings each step stands on, and when each last changed.
Nothing in it asks the job what is out of date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from runner.job import events as e
from runner.job.events import Event
from runner.job.moments import Moment
from runner.job.state import PassKey
from tests.job.a_ringed_plate import NUMBER

Spot = tuple[str, str, int]
Place = tuple[str, str]
MM = Fraction(1, 1000)
SIZES = (Fraction(0), Fraction(2, 10), Fraction(4, 10))
RECEIVE = ("finish", "finish_check", "remark", "thickness", "thickness_check", "stamp", "sign")
LENGTHS = {"Receive": 7, "Bore": 14, "Match": 4, "Pack": 2, "Close": 1, "cut again": 3}
DONE = (
    e.StepDone,
    e.SignedOff,
    e.HoldReleased,
    e.WitnessPassed,
    e.WaitPassed,
    e.StillStands,
    e.PermitGiven,
    e.StepSkipped,
    e.ValueWorked,
    e.AnswerGiven,
)


@dataclass(slots=True)
class Book:
    """What was read where, when it last changed or was doubted, and which steps were done since when."""

    plates: Sequence[str]
    at: int = 0
    points: dict[Place, list[e.ReadingTaken]] = field(default_factory=dict)
    answers: dict[Place, str] = field(default_factory=dict)
    taken_at: dict[Place, int] = field(default_factory=dict)
    changed: dict[Place, int] = field(default_factory=dict)
    done: dict[Spot, int] = field(default_factory=dict)
    left: set[Spot] = field(default_factory=set)
    passes: set[PassKey] = field(default_factory=set)
    rungs: dict[str, int] = field(default_factory=dict)
    gone: dict[str, int] = field(default_factory=dict)
    zeroed: dict[str, int] = field(default_factory=dict)
    laid: dict[str, tuple[int, Moment]] = field(default_factory=dict)
    called: dict[str, Moment] = field(default_factory=dict)

    def write(self, one: Event) -> None:
        self.at += 1
        if isinstance(one, e.PassDone):
            self.passes.add((one.stage, one.part))
        for ref in (*getattr(one, "out_of_date", ()), *getattr(one, "done_again", ())):
            self.passes.discard((ref.stage, ref.part))
        if not isinstance(one, e.StepEvent):
            if isinstance(one, e.ReworkStepsBegun):
                self._begin_steps(one)
            return
        spot, place = (one.stage, one.part, one.step), (one.part, getattr(one, "name", ""))
        if isinstance(one, DONE) or _is_met(one):
            self.done[spot] = self.at
            self.left.discard(spot)
            if isinstance(one, e.PermitGiven | e.StepSkipped):
                self.left.add(spot)
        match one:
            case e.ReadingTaken(last=last):
                self.points.setdefault(place, []).append(one)
                self.changed[place] = self.taken_at[place] = self.at
                if last:
                    self.done[spot] = self.at
                    self.left.discard(spot)
            case e.ReadingSuperseded():
                self._forget(spot, place)
            case e.ReadingCorrected(point=point, si=si):
                self.points[place] = [
                    e.ReadingTaken(**{**_fields(each), "si": si}) if each.point == point else each
                    for each in self.points[place]
                ]
                self.changed[place] = self.at
            case e.AnswerGiven(answer=answer) | e.AnswerCorrected(answer=answer):
                self.answers[place] = answer
                self.changed[place] = self.at
            case e.WentOutOfDate() | e.NotWorked():
                self.done.pop(spot, None)
                self.passes.discard((one.stage, one.part))
            case e.CheckDecided(met=False):
                self.done.pop(spot, None)
                self.passes.discard((one.stage, one.part))
            case e.BranchDecided():
                self.passes.discard((one.stage, one.part))
            case e.ZeroRead(good=good):
                self._zero(one, spot, good)
            case e.Disposed(way=way) if way != "concession":
                self.gone[one.part] = self.at
            case e.ReworkBegun():
                self._rework(one)
            case e.WitnessCalled():
                self.called[one.part] = one.at
            case e.StepDone(timed_as="laid") | e.PermitGiven(timed_as="laid"):
                self.laid[one.part] = (self.at, one.at)

    def _forget(self, spot: Spot, place: Place) -> None:
        self.points.pop(place, None)
        self.answers.pop(place, None)
        self.changed[place] = self.at
        self.done.pop(spot, None)
        self.left.discard(spot)
        self.passes.discard(spot[:2])

    def _zero(self, one: e.ZeroRead, spot: Spot, good: bool) -> None:
        gauge = one.gauge or one.instrument
        if good:
            self.zeroed[gauge], self.done[spot] = self.at, self.at
            return
        for place, points in self.points.items():
            mine = any((each.gauge or each.instrument) == gauge for each in points)
            if points and mine and self.taken_at[place] > self.zeroed.get(gauge, 0):
                self.changed[place] = self.at
                self.done.pop((points[-1].stage, points[-1].part, points[-1].step), None)

    def _begin_steps(self, one: e.ReworkStepsBegun) -> None:
        for number in range(1, LENGTHS[one.stage] + 1):
            self._forget((one.stage, one.part, number), (one.part, "feed"))

    def _rework(self, one: e.ReworkBegun) -> None:
        if one.rung:
            self.rungs[one.rung_part] = one.rung
        plate = one.part.split("/")[0]
        first = NUMBER["bore"] if one.title != "weld it up" else 1
        again = {("Bore", one.part, number) for number in range(first, LENGTHS["Bore"] + 1)}
        if one.title == "weld it up":
            again |= {("Receive", plate, number) for number in range(1, LENGTHS["Receive"] + 1)}
            for name in ("finish", "remark", "thickness"):
                self._forget(("Receive", plate, 1), (plate, name))
        said = {(ref.stage, ref.part, ref.step) for ref in one.done_again}
        assert said <= again, (one.title, said - again)
        assert {spot for spot in again if spot in self.done} <= said, (one, self.done)
        for spot in again:
            self.done.pop(spot, None)
            self.left.discard(spot)
        for name in ("bore", "wall"):
            self._forget(("Bore", one.part, first), (one.part, name))

    # what the numbers should be

    def mm(self, part: str, name: str, wanted: int = 1) -> Fraction | None:
        """The mean of a reading in mm, None where it isn't whole."""
        points = self.points.get((part, name), [])
        if len(points) != wanted:
            return None
        return sum((one.si for one in points), Fraction(0)) / len(points) / MM

    def value(self, part: str, name: str) -> Fraction | None:
        """What a worked value should be now, in mm, None where something is missing."""
        plate = part.split("/")[0]
        rings = [f"{plate}/{ring}" for ring in "PQ" if f"{plate}/{ring}" not in self.gone]
        bores = [self.mm(ring, "bore", 2) for ring in rings]
        match name:
            case "bore_mean":
                return self.mm(part, "bore", 2)
            case "depth":
                return _less(self.mm(plate, "thickness"), self.mm(part, "bore", 2))
            case "apart":
                known = [one for one in bores if one is not None]
                return max(known) - min(known) if known and len(known) == len(bores) else None
            case "first_over":
                return _less(self.mm(f"{plate}/P", "bore", 2), Fraction(10))
        return None

    def is_met(self, stage: str, part: str, step: int) -> bool | None:
        """Whether a check's value is inside its limit now."""
        mean, over = self.mm(part, "bore", 2), SIZES[self.rungs.get(part, 1) - 1]
        wall, thickness, apart = self.mm(part, "wall"), self.mm(part, "thickness"), self.value(part, "apart")
        match stage, step:
            case "Receive", 2:
                return (
                    None if (part, "finish") not in self.answers else self.answers[(part, "finish")] != "torn"
                )
            case "Receive", 5:
                return None if thickness is None else thickness >= 12
            case "Bore", 6:
                return None if wall is None else wall >= 2
            case "Bore", 9:
                return None if mean is None else abs(mean - 10 - over) <= Fraction(20, 1000)
            case "Match", 2:
                return None if apart is None else apart <= Fraction(1, 2)
        return None

    def is_open(self, part: str, step: int) -> bool | None:
        """Whether a step of 'Bore' is to be done on this part, by the values as they are now."""
        mean, over = self.mm(part, "bore", 2), SIZES[self.rungs.get(part, 1) - 1]
        wall, finish = self.mm(part, "wall"), self.answers.get((part.split("/")[0], "finish"))
        outer = None if mean is None else mean > Fraction(10010, 1000) + over
        if step in (5, 6):
            return outer
        if step == 7:
            return outer if not outer else None if wall is None else wall < 3
        return True if step != 8 else None if finish is None else finish == "dull"

    # what stands

    def bases(self, stage: str, part: str, step: int) -> set[Place]:
        """The readings and answers that a step stands on directly or through values."""
        plate = part.split("/")[0]
        match stage, step:
            case "Receive", (2):
                return {(part, "finish")}
            case "Receive", (5 | 6):
                return {(part, "thickness")}
            case "Receive", 7:
                return {(part, name) for name in ("finish", "remark", "thickness")}
            case "Bore", (4 | 9):
                return {(part, "bore")}
            case "Bore", 6:
                return {(part, "wall")}
            case "Bore", (10 | 11):
                return {(part, "bore"), (plate, "thickness")}
            case "Bore", (13 | 14):
                return {(part, "bore"), (plate, "thickness"), (part, "wall")}
            case "Match", (1 | 2 | 4):
                return {(f"{plate}/{ring}", "bore") for ring in "PQ" if f"{plate}/{ring}" not in self.gone}
            case "Match", 3:
                return {(f"{plate}/P", "bore")}
            case "cut again", (2 | 3):
                return {(part, "feed")}
        return set()

    def stands(self, stage: str, part: str, step: int) -> bool:
        """Whether a step was done, and nothing that it stands on changed since."""
        at = self.done.get((stage, part, step))
        if at is None:
            return False
        if any(self.changed.get(base, 0) > at for base in self.bases(stage, part, step)):
            return False
        if (stage, step) == ("Match", 4) and any(
            gone > at for ring, gone in self.gone.items() if ring.startswith(part + "/")
        ):
            return False
        is_wait = (stage, step) == ("Bore", NUMBER["settled"])
        return not (is_wait and part in self.laid and self.laid[part][0] > at)

    def is_gone(self, part: str) -> bool:
        return any(outer in self.gone for outer in (part, part.split("/")[0]))

    def lacks(self, key: PassKey) -> list[Spot]:
        """The steps of a pass that should be done there and do not stand."""
        stage, part = key
        wanted = [
            number
            for number in range(1, LENGTHS[stage] + 1)
            if stage != "Bore" or self.is_open(part, number) is not False
        ]
        return [(stage, part, number) for number in wanted if not self.stands(stage, part, number)]

    def before(self, key: PassKey) -> set[PassKey]:
        """Every pass that must be done before this one, on parts that are still there."""
        stage, part = key
        plate = part.split("/")[0]
        order = ["Receive", "Bore", "Match", "Pack", "Close"]
        plates = self.plates if stage == "Close" else [plate]
        found = set()
        for one in order[: order.index(stage)]:
            for each in plates:
                rings = [part] if stage == "Bore" else [f"{each}/{ring}" for ring in "PQ"]
                found |= {(one, path) for path in (rings if one == "Bore" else [each])}
        return {(one, path) for one, path in found if not self.is_gone(path)}


def _less(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    return None if one is None or other is None else one - other


def _is_met(one: Event) -> bool:
    conceded = isinstance(one, e.Disposed) and one.way == "concession"
    return conceded or (isinstance(one, e.CheckDecided) and one.met)


def _fields(one: e.ReadingTaken) -> dict[str, object]:
    from dataclasses import fields

    return {each.name: getattr(one, each.name) for each in fields(one)}
