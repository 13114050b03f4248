"""Each act at each sort of step: taken where it is wanted, refused in one sentence where it isn't."""

from __future__ import annotations

import pytest

from runner.job.events import (
    HazardsAcknowledged,
    ReadingTaken,
    StepDone,
    TickMade,
)
from runner.job.intents import (
    Acknowledge,
    ChangePerson,
    Confirm,
    Intent,
    Release,
    Sign,
    StartPass,
    Tick,
    Type,
)
from tests.job.a_bench import FITTER, GOOD, INSPECTOR, A, Bench, named
from tests.job.a_small_procedure import TEXT, procedure

ACTS: dict[str, Intent] = {
    "tick": Tick(1),
    "confirm": Confirm(),
    "type": Type("10.000"),
    "sign": Sign(FITTER),
    "release": Release(INSPECTOR, ("no burr", "shim there")),
}
WANTED = {
    "list": ({"tick"}, "this step is done and then confirmed: Ready the hole"),
    "act": ({"confirm"}, "this step is done and then confirmed: Lay the shim beside its hole"),
    "ring_size": ({"type"}, "a reading is wanted here: Size marked on the ring, in mm"),
    "bore gauge": ({"type"}, "what the bore gauge reads on the ring is wanted here"),
    "bore": ({"type"}, "a reading is wanted here: Bore, three places round, in mm"),
    "wall": ({"type"}, "a reading is wanted here: Web beside the hole, in mm"),
    "hold": ({"release"}, "hold point 'hole released' is released by an inspector"),
    "sign": ({"sign"}, "'hole marked' is signed here with a name"),
    "wait": ({"confirm"}, "'cured' is waited for here"),
}


def at_step(where: str) -> Bench:
    if where == "list":
        bench = Bench()
        bench.do(StartPass(A), Acknowledge())
        return bench
    if where == "wait":
        bench = Bench().frame_glued().later(hours=2)
        bench.do(StartPass(("Cure", "F1/A")))
        return bench
    return Bench().measure(upto="shim" if where == "act" else where)


@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("where", WANTED)
def test_a_step_takes_the_act_it_asks_for_and_refuses_every_other_by_saying_what_it_wants(
    where: str, act: str
) -> None:
    bench = at_step(where)
    takes, wanted = WANTED[where]
    if act in takes:
        bench.do(ACTS[act])
        return
    sentence = bench.refused(ACTS[act])
    special = {
        ("list", "confirm"): "not ticked yet: Lip deburred, Hole wiped",
        ("act", "tick"): "this step has nothing to tick",
    }
    assert sentence == special.get((where, act), wanted)


def test_a_refusal_changes_nothing() -> None:
    for where in WANTED:
        bench = at_step(where)
        before, count = bench.state, len(bench.events)
        for intent in (Acknowledge(), Tick(7), Type("x"), Sign("nobody"), Release("", ())):
            bench.ask(intent)
        assert (bench.state, len(bench.events)) == (before, count)


def test_warnings_are_acknowledged_before_the_step_is_begun_and_notices_are_not_asked() -> None:
    bench = Bench()
    bench.do(StartPass(A))
    for intent in (Tick(1), Confirm(), Type("1"), Sign(FITTER)):
        assert bench.refused(intent) == "read the warning first: sharp edge"
    bench.do(Acknowledge())
    assert bench.only(HazardsAcknowledged).hazards == ("sharp edge",)
    assert bench.refused(Acknowledge()) == "there is no danger or warning to acknowledge here"
    bench.do(Tick(1))


def test_each_line_is_ticked_by_itself_and_the_last_one_completes_the_step() -> None:
    bench = at_step("list")
    assert named(bench.do(Tick(2))) == ["tick-made"]
    assert bench.refused(Tick(2)) == "'Hole wiped' is ticked already"
    assert bench.refused(Confirm()) == "not ticked yet: Lip deburred"
    for number in (0, -1, 3):
        assert bench.refused(Tick(number)) == "this step has 2 lines to tick"
    assert named(bench.do(Tick(1))) == ["tick-made", "step-done"]
    assert [one.text for one in bench.events if isinstance(one, TickMade)] == ["Hole wiped", "Lip deburred"]
    assert bench.step == 2


def test_a_step_without_a_list_is_confirmed_once() -> None:
    bench = at_step("act")
    bench.do(Confirm())
    assert [one.text for one in bench.events if isinstance(one, StepDone)][
        -1
    ] == "Lay the shim beside its hole"
    assert bench.step == 14


def test_points_may_be_typed_one_by_one_or_several_on_a_line() -> None:
    for lines in (["10.009", "10.010", "10.011"], ["10.009 10.010", "10.011"], ["10.009 10.010 10.011"]):
        bench = at_step("bore")
        bench.do(*(Type(line) for line in lines))
        taken = [one for one in bench.events if isinstance(one, ReadingTaken) and one.name == "bore"]
        assert [(one.point, one.typed, one.last) for one in taken] == [
            ("1", "10.009", False),
            ("2", "10.010", False),
            ("3", "10.011", True),
        ]
        assert taken[0].instrument == "bore gauge" and taken[0].instrument_uncertainty == "0.002 mm"


def test_levels_are_read_axis_by_axis() -> None:
    bench = Bench().measure(upto="shim")
    taken = [one.point for one in bench.events if isinstance(one, ReadingTaken) and one.name == "wall"]
    assert taken == ["top a", "top b", "bottom a", "bottom b"]


@pytest.mark.parametrize(
    "line",
    ["10.009 10.010 x", "x", "10.009 10.010 10.011 10.012", "10.009 99", "", "10.009 6 furlongs", "10,009"],
)
def test_of_a_line_with_one_wrong_reading_none_is_taken(line: str) -> None:
    bench = at_step("bore")
    bench.refused(Type(line))
    assert not any(isinstance(one, ReadingTaken) and one.name == "bore" for one in bench.events)


def test_a_reading_belongs_to_the_person_at_the_bench_then() -> None:
    bench = at_step("bore")
    bench.do(Type("10.009"), ChangePerson(INSPECTOR), Type("10.010"), ChangePerson(FITTER), Type("10.011"))
    taken = [one for one in bench.events if isinstance(one, ReadingTaken) and one.name == "bore"]
    assert [one.who for one in taken] == [FITTER, INSPECTOR, FITTER]
    assert bench.at(A).people == {"ada fitch", "ben stone"}


def test_what_follows_by_itself_comes_in_the_same_act() -> None:
    bench = at_step("bore")
    assert named(bench.do(Type(GOOD["bore"]))) == ["reading-taken"] * 3 + ["value-worked", "check-decided"]
    bench = Bench().measure(upto="sign")
    assert named(bench.do(Sign(FITTER))) == ["signed-off", "pass-done"]


def test_a_pass_that_works_itself_out_is_done_by_beginning_it() -> None:
    text = TEXT.replace(
        "  - stage: Face\n",
        "  - stage: Card\n    for each: hole\n    steps:\n"
        "      - work out: twice\n        as: 2 * bore_mean\n        to the nearest: 0.001 mm\n\n"
        "  - stage: Face\n",
    ).replace("after: [Measure, Face]", "after: [Card, Face]")
    bench = Bench(procedure(text)).measure()
    assert named(bench.do(StartPass(("Card", "F1/A")))) == ["pass-started", "value-worked", "pass-done"]
    assert bench.state.known[("F1/A", "twice")].shown == "20.020 mm"


def test_what_was_done_last_is_remembered_in_words() -> None:
    bench = at_step("bore")
    bench.do(Type("10.009"))
    assert bench.state.last_done == "bore 1 10.009 mm (F1/A)"
    bench.do(Type("10.010 10.011"))
    assert bench.state.last_done == "bore 10.009 10.010 10.011 mm (F1/A, Measure, step 4)"
