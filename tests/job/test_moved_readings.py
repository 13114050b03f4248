"""Readings taken on the wrong part: superseded there and late here, in one act."""

from __future__ import annotations

import pytest

from runner.job.events import ReadingSuperseded, ReadingTaken
from runner.job.intents import Acknowledge, Confirm, Dispose, MoveReadings, StartPass, Stop, TakeUp, Type
from tests.job.a_bench import A, B, Bench, named
from tests.job.a_ringed_plate import NUMBER, P, PlateBench, Q

OWNER = "Olga Prince"


def read_on_p() -> PlateBench:
    return PlateBench().receive().bored(upto="lay")


def test_a_moved_reading_is_superseded_there_and_a_late_entry_here() -> None:
    bench = read_on_p()
    bench.later(minutes=5)
    moved = bench.do(MoveReadings(P, ("bore",), "1/Q", "the tags were swapped"))
    assert named(moved[:3]) == ["reading-superseded", "reading-taken", "reading-taken"]
    gone = bench.only(ReadingSuperseded)
    assert (gone.part, gone.counts) == ("1/P", False)
    late = [one for one in moved if isinstance(one, ReadingTaken)]
    assert [one.typed for one in late] == ["10.000", "10.002"]
    assert late[0].part == "1/Q" and late[0].late.startswith("entered on 1/P on 2031-03-03 at 07:30:00")
    assert late[0].at == bench.now
    assert bench.dated(P) == {"bore_mean", "bore_check", "depth"} and bench.step == NUMBER["bore"]


def test_a_reading_named_twice_is_moved_once() -> None:
    bench = read_on_p()
    bench.do(MoveReadings(P, ("bore", "bore"), "1/Q", "swapped"))
    assert len(bench.state.known[("1/Q", "bore")].points) == 2


def test_the_right_part_goes_on_from_its_moved_reading() -> None:
    bench = read_on_p()
    bench.do(MoveReadings(P, ("bore",), "1/Q", "swapped"), StartPass(Q), Acknowledge(), Confirm())
    bench.type("10.000")
    assert bench.step == NUMBER["lay"]


def test_what_is_not_plausible_there_was_not_taken_there() -> None:
    bench = Bench().measure(upto="play")
    sentence = bench.refused(MoveReadings(A, ("bore",), "F1/B", "swapped"))
    assert sentence == "10.009 mm is not plausible on F1/B"


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (MoveReadings(P, ("bore",), "1/Q", " "), "moving readings needs its reason"),
        (MoveReadings(P, ("bore",), "1/P", "why"), "that is the same part"),
        (MoveReadings(P, ("bore",), "1/X", "why"), "'Bore' is not done on 1/X"),
        (MoveReadings(P, (), "1/Q", "why"), "no reading was named"),
        (MoveReadings(P, ("bore_mean",), "1/Q", "why"), "no reading of this pass is called 'bore_mean'"),
        (MoveReadings(P, ("wall",), "1/Q", "why"), "'wall' has not been read yet"),
    ],
)
def test_what_can_not_be_moved_is_refused_with_a_sentence(asked: MoveReadings, sentence: str) -> None:
    assert read_on_p().refused(asked) == sentence


def test_nothing_is_moved_onto_a_reading_nor_into_a_pass_that_is_done_stopped_or_locked() -> None:
    bench = read_on_p().bored(Q, upto="lay")
    assert bench.refused(MoveReadings(P, ("bore",), "1/Q", "why")) == "'bore' was read on 1/Q already"
    bench = read_on_p()
    bench.do(StartPass(Q), Stop("cannot measure", "no light"))
    assert bench.refused(MoveReadings(P, ("bore",), "1/Q", "why")) == (
        "'Bore' on 1/Q stands: cannot measure (no light)"
    )
    bench = read_on_p()
    bench.do(StartPass(Q), Stop("nonconforming", "a crack"))
    assert bench.refused(MoveReadings(P, ("bore",), "1/Q", "why")) == "1/Q is nonconforming: a crack"


def test_nothing_is_moved_from_a_part_that_is_gone() -> None:
    bench = read_on_p()
    bench.do(Stop("nonconforming", "a crack"), Dispose("scrap", OWNER, "cracked"))
    assert bench.refused(MoveReadings(P, ("bore",), "1/Q", "why")) == "1/P is no longer in this job"


def test_a_reading_is_not_moved_to_where_the_procedure_wants_none() -> None:
    bench = PlateBench().receive().bored(bore="10.016 10.016", upto="lay")
    bench.do(Type("4"), StartPass(Q), Acknowledge(), Confirm())
    bench.type("10.000")
    bench.type("10.000 10.000")
    assert bench.refused(MoveReadings(P, ("wall",), "1/Q", "why")) == "'wall' is not wanted on 1/Q"


def test_a_part_called_nonconforming_over_a_reading_of_its_brother_is_taken_up_and_read() -> None:
    bench = PlateBench().receive().bored(bore="9.970 9.970", upto="lay")
    bench.do(Stop("nonconforming", "too small"), MoveReadings(P, ("bore",), "1/Q", "it was Q"))
    bench.do(TakeUp("it was Q's reading"))
    assert bench.step == NUMBER["bore"] and bench.state.nonconforming == {}


def test_moving_an_unrelated_reading_lifts_no_verdict() -> None:
    bench = Bench().measure(play="0.05")
    bench.do(Stop("nonconforming", "too loose"))
    bench.do(MoveReadings(A, ("ring_size",), "F1/B", "the ring was B's"))
    assert bench.refused(TakeUp("it can")) == "F1/A is nonconforming (too loose)"
    assert bench.at(B).done_steps == {2}
