"""
Laws that hold whatever is corrected, measured again, reworked, moved, permitted, skipped or handed over, in whatever order.

The work is random; what should stand is read from the events alone, in a second book kept by rules of its own.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest

from runner.job import events as e
from runner.job.decide import decide
from runner.job.events import Event
from runner.job.fold import fold
from runner.job.intents import (
    AcceptHandover,
    Acknowledge,
    Attend,
    BeginSitting,
    CallWitness,
    ChangePerson,
    Confirm,
    Correct,
    Dispose,
    HandOver,
    Intent,
    MeasureAgain,
    MoveReadings,
    Permit,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    Skip,
    StartPass,
    StillStand,
    Stop,
    Suspend,
    TakeGauge,
    TakeUp,
    Type,
)
from runner.job.job import Refusal
from runner.job.nonconformance import ways_out
from runner.job.passes import next_step
from runner.job.rows import kind_of
from runner.job.state import PassKey
from runner.procedure.model import Choose, Do, HoldPoint, Read, SignOff, Wait, WitnessPoint, Write, Zero
from runner.shop.people import person_key
from tests.job.a_ringed_plate import NUMBER, PlateBench
from tests.job.a_second_book import LENGTHS, MM, Book
from tests.shop.a_shop import a_shop

WORKER, OTHER, INSPECTOR, OWNER = "Ada Fitch", "Cora Lind", "Ben Stone", "Olga Prince"
SHOP = """\
shop: Plates that do not exist
idle: 2 h
people:
  - person: Ada Fitch
    roles: [fitter]
  - person: Cora Lind
    roles: [fitter]
  - person: Ben Stone
    roles: [fitter, inspector]
  - person: Olga Prince
    roles: [inspector, owner]
instruments:
  - instrument: D-1
    kind: dial
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: 2031-06-30
  - instrument: D-2
    kind: dial
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: 2031-06-30
  - instrument: R-1
    kind: rule
    reads to: 0.1 mm
    uncertainty: 0.1 mm
    calibrated until: 2031-06-30
"""
BORES = ("10.000", "10.002", "10.001", "9.970", "10.012", "10.016", "10.030", "10.200", "10.201", "9.2")
SIZES = {
    "bore": ("10.000 10.002", "10.001 10.001", "9.970 9.970", "10.012 10.016", "10.030 10.030", "10.200 10.202", "10.000"),
    "wall": ("4", "2.5", "1", "2"),
    "thickness": ("20.0", "21.0", "13", "11.0"),
    "feed": ("0.5", "0.4"),
}  # fmt: skip
"""What may be typed at each reading; all but the bore's later ones are inside every limit, mostly."""


class Chance:
    """One bench worked at random, and a second book kept beside it."""

    def __init__(self, seed: int, plates: tuple[str, ...], *, alone: bool, shop: bool) -> None:
        self.dice = random.Random(f"{seed} {plates} {alone} {shop}")
        self.changing = self.dice.choice((0.02, 0.05, 0.12))
        self.bench = PlateBench(names=plates, alone=alone)
        self.book = Book(plates)
        self.alone, self.shown = alone, [(0, fold([]))]
        if shop:
            self.bench.job = replace(self.bench.job, shop=a_shop(SHOP))
        for one in self.bench.events:
            self.book.write(one)
        self.workers: dict[PassKey, set[str]] = {}
        self.gone: set[str] = set()
        self.locked: set[str] = set()

    def ask(self, intent: Intent) -> None:
        before = len(self.bench.events)
        self.bench.ask(intent)
        self.shown.append((len(self.bench.events), self.bench.state))
        for one in self.bench.events[before:]:
            self.held_to(one)
            self.book.write(one)

    def held_to(self, one: Event) -> None:
        """The laws that each event must keep, by what came before it."""
        nothing_moves_on_a_locked_part(self, one)
        the_order_is_kept(self, one)
        nobody_decides_on_their_own(self, one)
        no_hold_wait_or_maximum_is_got_past(self, one)
        if isinstance(one, e.JobCompleted | e.JobReleased):
            nothing_is_lacking(self)


def work(chance: Chance, acts: int) -> Chance:
    bench, dice = chance.bench, chance.dice
    for at in range(acts):
        if bench.state.released:
            break
        bench.later(seconds=dice.choice((1, 30, 120, 700, 1000)))
        if dice.random() < 0.01:
            bench.clock_set(hours=dice.choice((-1, 2)))
        chance.ask(chosen(chance))
        if at % 4 == 0:
            exits_are_open(chance)
            values_and_verdicts_are_current(chance)
            done_passes_stand(chance)
    return chance


def chosen(chance: Chance) -> Intent:
    """What is asked next: mostly what brings the work on, so that it gets far."""
    bench, dice = chance.bench, chance.dice
    state, key = bench.state, bench.state.in_hand
    if state.suspended:
        return dice.choice((Resume(), Resume(), ChangePerson(WORKER)))
    if state.handed_over:
        return dice.choice((AcceptHandover(), AcceptHandover(), ChangePerson(OTHER), Confirm()))
    if bench.job.shop.people and (state.acted_at is None or dice.random() < 0.02):
        return ChangePerson(dice.choice((WORKER, OTHER, INSPECTOR)))
    luck = dice.random()
    if luck < chance.changing:
        return dice.choice(changes(chance))
    if luck < chance.changing * 1.25:
        return dice.choice(anything(chance))
    if key is None or luck < chance.changing * 1.25 + 0.02:
        keys = [one for one in (*bench.job.keys(), *state.passes) if not state.at(one).done]
        return StartPass(dice.choice(keys)) if keys else ReleaseJob(OWNER, "all of it")
    return dice.choice(onward(chance, key))


def onward(chance: Chance, key: PassKey) -> list[Intent]:
    """What a person would ask at the step in hand."""
    bench = chance.bench
    state, found = bench.state, bench.state.at(key)
    ways = ways_out(bench.job, state, key)
    if found.stop:
        decided: list[Intent] = [Dispose(way, OWNER, "why") for way in ways if way != "scrap"]
        late: list[Intent] = [Dispose("scrap", OWNER, "why")] if chance.dice.random() < 0.3 else []
        return [*decided * 3, *late, TakeUp("it can"), Permit(OWNER, "left as it is")]
    if found.failed and not isinstance(found.failed, e.ZeroRead):
        again = [MeasureAgain(name, "why") for name in ("bore", "wall", "thickness", "feed")]
        routes = [Dispose(way, state.person, "why") for way in ways] * 4
        return [*again, *routes, Stop(e.NONCONFORMING, "it is")]
    step = next_step(bench.job, state, key)
    if step is None:
        return [StartPass(one) for one in bench.job.keys()]
    hazards: list[Intent] = [Acknowledge()] if step.about.beware else []
    if step.about.number in found.out_of_date and not isinstance(
        step, HoldPoint | Wait | WitnessPoint | Zero
    ):
        name = getattr(step, "name", "")
        again = MeasureAgain(name, "out of date")
        return [*hazards, StillStand("looked at"), again, Confirm(), Sign(state.person)]
    match step:
        case Read(name=name):
            return [*hazards, *(Type(one) for one in SIZES[name][:2] * 6 + SIZES[name])]
        case Zero():
            gauges = [TakeGauge("dial", "D-1"), TakeGauge("dial", "D-2")] if bench.job.shop.gauges else []
            return [*(Type("10.000"),) * 8, Type("10.200"), Type("10.200"), *gauges]
        case Choose(options=options):
            return [*(Type(options[0]),) * 4, *(Type(one) for one in options)]
        case Write():
            return [Type("no dents"), Skip(INSPECTOR, "nothing to say")]
        case Do() | Wait():
            return [*hazards, Confirm()]
        case WitnessPoint():
            return [CallWitness(), Attend(INSPECTOR), Confirm()]
        case HoldPoint():
            points = bench.state.known.get((key[1], "bore"))
            second = " ".join(one.typed for one in points.points) if points else "10 10"
            return [Release(by, ("no burr",), second) for by in (INSPECTOR, INSPECTOR, OWNER, WORKER)] + [
                Release(INSPECTOR, ("no burr",), "10.500 10.500")
            ]
        case SignOff():
            return [Sign(state.person)]
    return [StartPass(one) for one in bench.job.keys()]


def changes(chance: Chance) -> list[Intent]:
    """Going back, anywhere."""
    found: list[Intent] = []
    for (part, name), known in chance.bench.state.known.items():
        key = (known.stage, part)
        if known.points:
            sizes = BORES if name == "bore" else SIZES[name]
            text = chance.dice.choice(sizes)
            found += [Correct(key, name, one.point, text, "slip") for one in known.points]
            found += [MeasureAgain(name, "tilted", key)] * 2
            others = [one.path for one in chance.bench.job.parts.at(chance.bench.job.part_of(key).level)]
            found += [MoveReadings(key, (name, name), other, "the wrong one") for other in others]
        elif known.answer:
            text = chance.dice.choice(("bright", "dull", "torn"))
            found.append(Correct(key, name, "", text, "slip"))
    return found or [Confirm()]


def anything(chance: Chance) -> list[Intent]:
    """What might be asked at any time, honestly or not."""
    person = chance.bench.state.person
    return [
        *(ChangePerson(name) for name in (WORKER, OTHER, INSPECTOR, "  cora  LIND ")),
        *(Stop(exit_, "why") for exit_ in (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING)),
        *(Dispose(way, person, "why") for way in ("concession", "cut again", "next oversize", "scrap")),
        Permit(person, "left"), Skip(person, "left"), StillStand("it does"), Confirm(), Sign(person),
        Release(person, ("no burr",), "10.000 10.002"), Attend(person), TakeUp("it can"), Type("10.000"),
        HandOver("the dial is stiff"), Suspend("night"), BeginSitting("bench"), ReleaseJob(person, "all"),
    ]  # fmt: skip


# laws of each event

DECIDING = (
    e.PassStarted, e.PassStopped, e.PassTakenUp, e.Disposed, e.ReworkBegun, e.ReworkStepsBegun, e.EntryQuestioned,
    e.ReadingCorrected, e.AnswerCorrected, e.WentOutOfDate, e.ValueWorked, e.CheckDecided, e.NotWorked, e.BranchDecided,
    e.PassDone,
)  # fmt: skip
"""What may happen on a nonconforming part: deciding, putting a slip right, and what follows from that by itself."""


def outward(part: str) -> list[str]:
    names = part.split("/")
    return ["/".join(names[:depth]) for depth in range(len(names), 0, -1)]


def nothing_moves_on_a_locked_part(chance: Chance, one: Event) -> None:
    if not isinstance(one, e.PassEvent):
        return
    assert not any(part in chance.gone for part in outward(one.part)), ("moved after it was gone", one)
    if any(part in chance.locked for part in outward(one.part)):
        moved = isinstance(one, e.ReadingSuperseded) and not one.counts
        assert moved or isinstance(one, DECIDING), one
    if isinstance(one, e.PassStopped) and one.exit == e.NONCONFORMING:
        chance.locked.add(one.part)
    if isinstance(one, e.Disposed | e.ReworkBegun | e.PassTakenUp):
        chance.locked.discard(one.part)
    if isinstance(one, e.Disposed) and one.way != "concession":
        chance.gone.add(one.part)


ACTS = (
    e.StepDone,
    e.ReadingTaken,
    e.ZeroRead,
    e.AnswerGiven,
    e.HoldReleased,
    e.SignedOff,
    e.WaitPassed,
    e.WitnessPassed,
)


def the_order_is_kept(chance: Chance, one: Event) -> None:
    """Nothing is done on a part while a pass that comes before it, directly or through others, is not done or not any more."""
    if isinstance(one, ACTS) and one.stage != "cut again":
        lacking = chance.book.before((one.stage, one.part)) - chance.book.passes
        assert not lacking, (one, lacking)


def nobody_decides_on_their_own(chance: Chance, one: Event) -> None:
    """Holds, witnessing, permits and decisions are by somebody without entries in the pass, or it says solo, alone only."""
    if not isinstance(one, e.PassEvent):
        return
    mine = chance.workers.setdefault((one.stage, one.part), set())
    match one:
        case e.HoldReleased(by=by) | e.Disposed(by=by) | e.PermitGiven(by=by):
            own = person_key(by) in mine
            assert one.solo is own and (chance.alone or not own), one
        case e.WitnessPassed(by=by):
            assert chance.alone or person_key(by) not in mine
        case e.PassStarted() | e.ValueWorked() | e.CheckDecided() | e.BranchDecided() | e.NotWorked():
            pass
        case e.PassDone() | e.WentOutOfDate() | e.SecondReadingDisagrees() | e.ReworkBegun():
            pass
        case e.ReworkStepsBegun():
            chance.workers[(one.stage, one.part)] = set()
        case _:
            mine.add(person_key(one.who))


def no_hold_wait_or_maximum_is_got_past(chance: Chance, one: Event) -> None:
    book, bench = chance.book, chance.bench
    match one:
        case e.HoldReleased(second=second):
            first = book.mm(one.part, "bore", 2)
            assert first is not None
            assert abs(sum(map(Fraction, second)) / len(second) - first) <= Fraction(4, 1000), one
            lacking = [spot for spot in book.lacks((one.stage, one.part)) if spot[2] < one.step]
            assert not lacking, (one, lacking)
        case e.WaitPassed(started=started):
            assert one.at.boot - started.boot >= 600 and started == book.laid[one.part][1]
        case e.WitnessPassed(by=""):
            assert one.at.boot - book.called[one.part].boot >= 900
        case e.ReworkBegun():
            assert one.count <= one.at_most
        case e.ReadingSuperseded(counts=True):
            same = [
                each
                for each in bench.events
                if isinstance(each, e.ReadingSuperseded)
                and each.counts
                and (each.stage, each.part, each.step) == (one.stage, one.part, one.step)
            ]
            assert one.stage == "cut again" or len(same) <= (2 if one.name == "bore" else 3)


def nothing_is_lacking(chance: Chance) -> None:
    """A job is completed and released over steps that all stand, on every part that is still there."""
    book = chance.book
    for key in (
        *chance.bench.job.keys(),
        *(each for each in chance.bench.state.passes if each[0] == "cut again"),
    ):
        if not book.is_gone(key[1]):
            assert not book.lacks(key), (key, book.lacks(key))


# laws of each state


def values_and_verdicts_are_current(chance: Chance) -> None:
    """Every value, verdict and branch that stands is what the readings as they are now give."""
    book, state = chance.book, chance.bench.state
    for (part, name), known in state.known.items():
        found = state.at((known.stage, part))
        if known.worked is None or known.step in found.out_of_date or book.is_gone(part):
            continue
        wanted = book.value(part, name)
        assert wanted is not None and abs(Fraction(known.worked) / MM - wanted) < Fraction(1, 10**9), (
            part,
            name,
        )
    for (stage, part), found in state.passes.items():
        if book.is_gone(part):
            continue
        for step, verdict in found.checked.items():
            if step in found.done_steps or (found.failed and found.failed.step == step):
                assert verdict.met is book.is_met(stage, part, step), verdict
        if stage == "Bore":
            for (first, depth), decided in found.branches.items():
                step = NUMBER["mark"] if depth else first
                is_open = book.is_open(part, step)
                outer_shut = depth and book.is_open(part, NUMBER["wall"]) is False
                doubted = first != NUMBER["polish"] and ("Bore", part, NUMBER["bore_mean"]) not in book.done
                doubted = doubted or ("Bore", part, NUMBER["bore"]) not in book.done
                assert is_open is None or outer_shut or doubted or decided.taken is is_open, decided


def done_passes_stand(chance: Chance) -> None:
    """A pass that is shown as done has every step standing, and the book has it as done too."""
    book, state = chance.book, chance.bench.state
    for key, found in state.passes.items():
        if found.done and not book.is_gone(key[1]):
            assert not book.lacks(key), (key, book.lacks(key))
            assert key in book.passes


def exits_are_open(chance: Chance) -> None:
    """From every state a recorded exit, until the job is released."""
    bench, state = chance.bench, chance.bench.state
    if state.released:
        return
    out = Resume() if state.suspended else Suspend("lights out")
    if not (state.suspended and bench.job.shop.people):
        assert not isinstance(decide(bench.job, state, out, bench.now), Refusal)
    key = state.in_hand
    if key is None or state.suspended or state.handed_over or state.at(key).stop or bench.job.shop.people:
        return
    for exit_ in (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING)[: 2 if key[1] == "job" else 3]:
        answer = decide(bench.job, state, Stop(exit_, "why"), bench.now)
        assert not isinstance(answer, Refusal), (key, exit_, answer)
        assert not fold(answer, state).at(key).done


RUNS = [
    pytest.param(("1",), False, False, id="one plate"),
    pytest.param(("1", "2"), False, False, id="two plates"),
    pytest.param(("1",), True, False, id="alone"),
    pytest.param(("1", "2"), False, True, id="a shop of four with two dials"),
]


@pytest.mark.parametrize(("plates", "alone", "shop"), RUNS)
def test_no_order_of_changes_leaves_anything_standing_on_what_changed(
    plates: tuple[str, ...], alone: bool, shop: bool
) -> None:
    for seed in range(8):
        work(Chance(seed, plates, alone=alone, shop=shop), 250)


def test_every_beginning_of_a_changed_job_folds_to_the_state_that_was_shown_then() -> None:
    for seed in range(3):
        chance = work(Chance(seed, ("1",), alone=False, shop=False), 120)
        shown, state = dict(chance.shown[1:]), fold([])
        for count, event in enumerate(chance.bench.events, 1):
            state = fold([event], state)
            if count in shown:
                assert state == shown[count]


def _seen() -> Iterator[Event]:
    for seed in range(100, 118):
        yield from work(Chance(seed, ("1",), alone=seed % 2 == 0, shop=seed % 3 == 0), 300).bench.events


def test_these_changed_jobs_come_far_enough_to_mean_something() -> None:
    """A law proved on jobs that never get anywhere proves nothing."""
    seen: dict[str, int] = {}
    for one in _seen():
        seen[kind_of(one)] = seen.get(kind_of(one), 0) + 1
    wanted = (
        "pass-done hold-released signed-off wait-passed check-decided disposed pass-taken-up reading-superseded "
        "reading-corrected answer-corrected branch-decided still-stands went-out-of-date rework-begun rework-steps-begun "
        "permit-given step-skipped second-reading-disagrees witness-called witness-passed zero-read gauge-taken "
        "handover-given handover-accepted person-changed job-completed job-released"
    )
    assert not [kind for kind in wanted.split() if not seen.get(kind)], seen
    assert sum(LENGTHS.values()) == 31
