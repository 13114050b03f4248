"""Witness points both ways, and second readings taken without a sight of the first."""

from __future__ import annotations

import pytest

from runner.job.events import HoldReleased, SecondReadingDisagrees, WitnessCalled, WitnessPassed
from runner.job.holds import reads_again
from runner.job.intents import (
    Attend,
    CallWitness,
    Confirm,
    MeasureAgain,
    Permit,
    Release,
    Sign,
    StartPass,
    Stop,
    TakeUp,
    Type,
)
from runner.job.nonconformance import ways_out
from runner.procedure.model import HoldPoint
from tests.job.a_bench import FITTER, INSPECTOR, named
from tests.job.a_ringed_plate import NUMBER, TEXT, P, PlateBench

SEEN = ("no burr",)


def at_witness() -> PlateBench:
    return PlateBench(TEXT.replace("        good for: 20 min\n", "")).receive().bored(upto="witness")


def at_hold() -> PlateBench:
    return PlateBench().receive().bored(upto="hold")


def test_a_witness_who_is_called_and_comes_is_on_the_record_by_name() -> None:
    bench = at_witness()
    bench.do(CallWitness())
    bench.later(minutes=4).do(Attend(INSPECTOR))
    passed = bench.only(WitnessPassed)
    assert (passed.by, passed.role, passed.lasted_s) == (INSPECTOR, "inspector", 240.0)
    assert passed.called == bench.only(WitnessCalled).at


def test_work_goes_on_without_a_witness_who_does_not_come_in_time_and_the_record_says_so() -> None:
    bench = at_witness()
    bench.do(CallWitness())
    bench.later(minutes=14, seconds=59)
    assert bench.refused(Confirm()).startswith("the inspector has 1 s left to come; the work may go on at")
    bench.later(seconds=1).do(Confirm())
    assert (bench.only(WitnessPassed).by, bench.only(WitnessPassed).lasted_s) == ("", 900.0)


@pytest.mark.parametrize("intent", [Confirm(), Attend(INSPECTOR)])
def test_nobody_witnesses_and_nobody_goes_on_before_the_call(intent: Confirm | Attend) -> None:
    bench = at_witness().later(days=2)
    assert bench.refused(intent) == "the inspector has not been called yet"


def test_a_clock_set_forward_gives_a_witness_no_less_time() -> None:
    bench = at_witness()
    bench.do(CallWitness())
    bench.clock_set(hours=3).later(minutes=1)
    assert "14 min 0 s left to come" in bench.refused(Confirm())


def test_a_witness_is_called_once() -> None:
    bench = at_witness()
    bench.do(CallWitness())
    assert bench.refused(CallWitness()) == "the inspector was called already"


@pytest.mark.parametrize("by", [FITTER, " ada  FITCH", "Everybody", "7", ""])
def test_nobody_witnesses_their_own_work_or_without_a_name(by: str) -> None:
    bench = at_witness()
    bench.do(CallWitness())
    bench.refused(Attend(by))


def test_whoever_releases_reads_again_without_seeing_the_first_and_both_agree() -> None:
    bench = at_hold()
    step = bench.job.step(P, NUMBER["hold"])
    assert isinstance(step, HoldPoint)
    wanted = reads_again(bench.job, P, step)
    assert wanted and wanted.name == "bore"
    bench.do(Release(INSPECTOR, SEEN, "10.004 10.006"))
    released = bench.only(HoldReleased)
    assert (released.second, released.apart) == (("10.004", "10.006"), "0.0040 mm")


def test_the_one_who_read_first_does_not_read_second() -> None:
    assert "has entries in this pass" in at_hold().refused(Release(FITTER, SEEN, "10.000 10.002"))


def test_a_second_reading_that_disagrees_stops_the_pass_until_the_first_is_taken_again() -> None:
    bench = at_hold()
    bench.do(Release(INSPECTOR, SEEN, "10.005 10.006"))
    kept = bench.only(SecondReadingDisagrees)
    assert kept.sentence == (
        "1/P: the second reading of bore lies 0.0045 mm from the first, and the two may lie 0.004 mm apart"
    )
    for intent in (
        Release(INSPECTOR, SEEN, "10.000 10.002"),
        Release("Olga Prince", SEEN, "10.000 10.002"),
        Confirm(),
    ):
        assert bench.refused(intent) == kept.sentence
    bench.do(Stop("cannot do as written", "two numbers"), TakeUp("talked it over"))
    assert bench.refused(Release(INSPECTOR, SEEN, "10.000 10.002")) == kept.sentence
    assert ways_out(bench.job, bench.state, P) == ()
    bench.do(MeasureAgain("bore", "the two lie apart"))
    bench.type("10.005 10.005")
    assert NUMBER["hold"] not in bench.at(P).done_steps and bench.at(P).failed is None


@pytest.mark.parametrize(
    ("second", "sentence"),
    [
        ("", "2 readings of bore are wanted, and 0 were typed"),
        ("10.000", "2 readings of bore are wanted, and 1 were typed"),
        ("10.000 10.002 10.001", "2 readings of bore are wanted, and 3 were typed"),
    ],
)
def test_a_second_reading_has_every_point(second: str, sentence: str) -> None:
    bench = at_hold()
    assert bench.refused(Release(INSPECTOR, SEEN, second)) == sentence
    bench.refused(Release(INSPECTOR, SEEN, "ten 10.000"))
    assert not any(isinstance(one, HoldReleased) for one in bench.events)


def test_a_reading_that_a_permit_left_can_still_be_read_and_is_not_counted_as_measured_again() -> None:
    bench = PlateBench().receive().bored(upto="bore")
    bench.do(Type("10.000"))
    bench.do(Stop("cannot do as written", "no dial"), Permit("Olga Prince", "measured by the maker"))
    assert ("1/P", "bore") not in bench.state.known and len(bench.state.allowed) == 1
    assert bench.refused(Confirm()).startswith("this pass waits: 'bore' has not been measured yet")
    bench.do(MeasureAgain("bore", "the dial is back"))
    assert bench.at(P).again == {} and bench.state.allowed == ()
    bench.type("10.000 10.002")
    assert bench.step == NUMBER["lay"]


def test_alone_one_reads_both_times_and_the_record_says_so() -> None:
    bench = PlateBench(alone=True).receive().bored(upto="hold")
    bench.do(Release(FITTER, SEEN, "10.000 10.002"))
    assert bench.only(HoldReleased).solo


def test_a_sign_off_is_not_a_release_and_a_release_is_not_a_witness() -> None:
    bench = at_hold()
    assert bench.refused(Sign(FITTER)) == "hold point 'ring released' is released by an inspector"
    assert bench.refused(Attend(INSPECTOR)) == "hold point 'ring released' is released by an inspector"
    made = bench.do(Release(INSPECTOR, SEEN, "10.000 10.002"))
    assert named(made) == ["hold-released", "pass-done"]
    assert bench.refused(StartPass(P)) == "'Bore' is done on 1/P"
