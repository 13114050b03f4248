"""Blocks of steps that only some parts need, and choices that decide on them."""

from __future__ import annotations

import pytest

from runner.job.branches import is_applicable
from runner.job.events import AnswerGiven, BranchDecided
from runner.job.intents import Confirm, MeasureAgain, StartPass, Type
from tests.job.a_ringed_plate import NUMBER, RECEIVE, P, PlateBench, Q


def applicable(bench: PlateBench, name: str) -> bool:
    stage = bench.job.stage_of(P)
    return is_applicable(stage, bench.at(P), stage.steps[NUMBER[name] - 1])


def test_a_block_that_is_not_done_is_left_with_the_rule_and_the_numbers_and_stays_not_applicable() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    decided = [one for one in bench.events if isinstance(one, BranchDecided)]
    assert [(one.step, one.taken, one.steps) for one in decided] == [(5, False, (5, 6, 7)), (8, False, (8,))]
    assert decided[0].condition == "bore_mean > 10.010 mm + oversize"
    assert decided[0].with_values == "10.001 mm > 10.010 mm + 0.0 mm"
    assert decided[1].with_values == 'bright is "dull"'
    assert not applicable(bench, "wall") and not applicable(bench, "polish") and applicable(bench, "lay")


@pytest.mark.parametrize(("wall", "marked"), [("2.9", True), ("3.0", False)])
def test_a_block_inside_a_block_is_decided_by_its_own_condition(wall: str, marked: bool) -> None:
    bench = PlateBench().receive().bored(bore="10.016 10.016", upto="lay")
    bench.do(Type(wall))
    assert applicable(bench, "mark") is marked
    assert bench.step == (NUMBER["mark"] if marked else NUMBER["lay"])


def test_exactly_on_its_bound_a_condition_is_decided_as_written() -> None:
    bench = PlateBench().receive().bored(bore="10.010 10.010", upto="lay")
    assert not applicable(bench, "wall")


def test_one_part_goes_through_a_block_and_its_brother_does_not() -> None:
    bench = PlateBench().receive().bored(bore="10.016 10.016", upto="lay").bored(Q, upto="lay")
    assert (bench.at(P).branches[(5, 0)].taken, bench.at(Q).branches[(5, 0)].taken) == (True, False)


def test_a_reading_taken_again_decides_its_block_anew_only_once_it_is_whole() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(MeasureAgain("bore", "tilted"), Type("10.020"))
    assert not bench.at(P).branches[(5, 0)].taken
    bench.do(Type("10.018"))
    assert bench.at(P).branches[(5, 0)].taken and bench.step == NUMBER["wall"]


@pytest.mark.parametrize("text", ["", "shiny", "Bright", "1", "bright dull"])
def test_a_choice_is_one_of_its_options_and_none_is_picked_beforehand(text: str) -> None:
    bench = PlateBench()
    bench.do(StartPass(RECEIVE))
    bench.refused(Type(text))
    bench.refused(Confirm())
    bench.do(Type("dull"))
    assert bench.only(AnswerGiven).answer == "dull"


def test_a_choice_that_should_not_be_stops_at_its_check() -> None:
    bench = PlateBench()
    bench.do(StartPass(RECEIVE), Type("torn"))
    assert bench.refused(Type("no dents")) == (
        "1: finish is torn, and should be bright or dull (common practice)"
    )
