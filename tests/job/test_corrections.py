"""Slips put right in any pass: exactly what stood on the value is out of date, on all parts, until it is seen to."""

from __future__ import annotations

import pytest

from runner.job.corrections import stands_on
from runner.job.events import (
    BranchDecided,
    CheckDecided,
    EntryQuestioned,
    HoldReleased,
    JobCompleted,
    NotWorked,
    PassDone,
    ReadingCorrected,
    ReadingSuperseded,
    ValueWorked,
    ZeroRead,
)
from runner.job.intents import (
    Attend,
    CallWitness,
    Confirm,
    Correct,
    Dispose,
    MeasureAgain,
    Release,
    ReleaseJob,
    Sign,
    StartPass,
    StillStand,
    Stop,
    TakeUp,
    Type,
)
from runner.job.nonconformance import ways_out
from runner.job.state import PassKey
from tests.job.a_bench import FITTER, INSPECTOR, A, Bench, named
from tests.job.a_ringed_plate import CLOSE, MATCH, PACK, RECEIVE, TEXT, P, PlateBench, Q
from tests.job.a_small_procedure import TEXT as SMALL
from tests.job.a_small_procedure import procedure

OWNER = "Olga Prince"


def corrected(
    bench: Bench, key: PassKey, name: str, text: str, point: str = "1", why: str = "a slip"
) -> list[object]:
    """The events of a correction, asked for again where it was asked about."""
    asked = Correct(key, name, point, text, why)
    made = bench.do(asked)
    return [*made, *(bench.do(asked) if isinstance(made[-1], EntryQuestioned) else [])]


def thickness(bench: Bench, text: str) -> list[object]:
    labels = [one.point for one in bench.state.known[("1", "thickness")].points]
    return corrected(bench, RECEIVE, "thickness", text, labels[0])


def test_what_stood_on_a_corrected_reading_is_out_of_date_on_every_part_and_nothing_else() -> None:
    bench = PlateBench().packed()
    thickness(bench, "20.5")
    assert bench.dated(RECEIVE) == {6, 7}
    assert bench.dated(P) == bench.dated(Q) == {"lay", "settled", "witness", "hold"}
    assert bench.dated(MATCH) == bench.dated(PACK) == bench.dated(CLOSE) == set()


def test_values_and_checks_are_worked_again_at_once_and_the_old_ones_stay_on_the_record() -> None:
    bench = PlateBench().packed()
    events = thickness(bench, "20.5")
    assert [one.shown for one in events if isinstance(one, ValueWorked)] == ["10.499 mm", "10.499 mm"]
    assert [one.met for one in events if isinstance(one, CheckDecided)] == [True]
    depths = [one.shown for one in bench.events if isinstance(one, ValueWorked) and one.name == "depth"]
    assert depths == ["9.999 mm", "9.999 mm", "10.499 mm", "10.499 mm"]
    kept = bench.only(ReadingCorrected)
    assert (kept.was, kept.typed, kept.because, kept.who) == ("20.0", "20.5", "a slip", FITTER)


def test_what_would_go_out_of_date_can_be_shown_before_the_correction_is_made() -> None:
    bench = PlateBench().packed()
    before = stands_on(bench.job, bench.state, RECEIVE, "thickness")
    thickness(bench, "20.5")
    assert before == bench.only(ReadingCorrected).out_of_date


def test_a_release_is_given_again_by_somebody_who_may_and_never_waved_through() -> None:
    bench = PlateBench().packed()
    corrected(bench, P, "bore", "10.004", "2")
    bench.do(StartPass(P), StillStand("lies as it lay"))
    bench.do(Confirm(), CallWitness(), Attend(INSPECTOR))
    assert bench.refused(StillStand("was released")) == "'ring released' is released anew"
    assert "has entries in this pass" in bench.refused(Release(FITTER, ("no burr",), "10.000 10.004"))
    bench.do(Release(INSPECTOR, ("no burr",), "10.000 10.004"))
    assert sum(isinstance(one, HoldReleased) and one.part == "1/P" for one in bench.events) == 2


def test_a_brother_keeps_its_own_when_a_reading_of_one_part_is_corrected() -> None:
    bench = PlateBench().packed()
    before = bench.at(Q)
    corrected(bench, P, "bore", "10.004", "2")
    assert bench.at(Q) == before


def test_values_of_every_part_and_of_one_by_its_name_follow_a_corrected_reading_of_it() -> None:
    bench = PlateBench().packed()
    events = corrected(bench, P, "bore", "10.010", "2")
    assert [one.name for one in events if isinstance(one, ValueWorked)] == [
        "bore_mean", "depth", "apart", "first_over",
    ]  # fmt: skip
    assert bench.dated(MATCH) == {4}


def test_work_behind_something_out_of_date_waits_until_it_is_seen_to() -> None:
    bench = PlateBench().matched()
    bench.do(StartPass(PACK))
    thickness(bench, "20.5")
    assert bench.refused(Confirm()) == "'Pack' on 1 waits for 'Bore', which is out of date on 1/P, 1/Q"
    assert bench.refused(StartPass(P)) == "'Bore' on 1/P comes after 'Receive', which is out of date on 1"


def test_order_locks_look_through_stages_that_are_done_to_one_before_them_that_is_not_any_more() -> None:
    bench = PlateBench().matched()
    corrected(bench, RECEIVE, "remark", "a dent", "")
    assert bench.dated(RECEIVE) == {7} and bench.at(P).done and bench.at(MATCH).done
    sentence = "'Pack' on 1 waits for 'Receive', which is out of date on 1"
    assert bench.refused(StartPass(PACK)) == sentence
    bench.do(StartPass(RECEIVE), Sign(FITTER), StartPass(PACK), Confirm())


def test_a_job_is_neither_completed_nor_released_over_anything_out_of_date() -> None:
    bench = PlateBench().packed()
    assert bench.state.completed
    corrected(bench, RECEIVE, "remark", "a dent", "")
    assert not bench.state.completed
    assert bench.refused(ReleaseJob(INSPECTOR, "all")) == "1 passes are not done, the first is 'Receive' on 1"
    events = bench.do(StartPass(RECEIVE), Sign(FITTER))
    assert named(events) == ["pass-started", "signed-off", "pass-done", "job-completed"]
    bench.do(ReleaseJob(INSPECTOR, "all of it"))
    assert sum(isinstance(one, JobCompleted) for one in bench.events) == 2


def test_a_correction_that_brings_a_value_over_its_limit_opens_the_pass_again() -> None:
    bench = PlateBench().packed()
    thickness(bench, "11.0")
    assert not bench.at(RECEIVE).done
    assert bench.state.passes[RECEIVE].failed is not None
    bench.do(StartPass(RECEIVE))
    assert "under the limit of 12" in bench.refused(Confirm())


def test_a_corrected_reading_that_turns_a_condition_opens_its_branch_and_shuts_it_again() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    events = corrected(bench, P, "bore", "10.030", "2")
    assert [one.taken for one in events if isinstance(one, BranchDecided)] == [True]
    assert bench.step == 5
    bench.do(Type("2.5"), Confirm())
    assert {5, 6, 7} <= bench.at(P).done_steps
    shut = corrected(bench, P, "bore", "10.002", "2")
    assert [one.taken for one in shut if isinstance(one, BranchDecided)] == [False]
    assert bench.step == 11
    corrected(bench, P, "bore", "10.030", "2")
    assert bench.dated(P) == {"wall", "wall_check", "mark"}


def test_a_check_that_failed_inside_a_branch_goes_with_the_branch() -> None:
    bench = PlateBench().receive().bored(bore="10.016 10.016", upto="lay")
    bench.do(Type("1"))
    assert "under the limit of 2 mm" in bench.refused(Confirm())
    corrected(bench, P, "bore", "10.002", "1")
    corrected(bench, P, "bore", "10.000", "2")
    assert bench.at(P).failed is None
    bench.do(Confirm())


def test_a_condition_on_a_choice_turns_with_the_choice() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    corrected(bench, RECEIVE, "finish", "dull", "")
    assert bench.at(P).branches[(8, 0)].taken
    bench.do(StartPass(RECEIVE), Sign(FITTER), StartPass(P))
    assert bench.step == 8


def test_a_condition_without_an_answer_stops_the_pass_and_a_correction_frees_it() -> None:
    text = TEXT.replace(
        "ladders:\n",
        "tables:\n  - table: box\n    looked up by: bore_mean\n    columns: [shim]\n    rows:\n"
        "      - over: 9.990 mm\n        up to: 10.010 mm\n        values: [1 mm]\n        source: common practice\n\nladders:\n",
    ).replace("only if: bore_mean > 10.010 mm + oversize", "only if: box.shim > 2 mm")
    bench = PlateBench(text).receive().bored(bore="10.020 10.020", upto="lay")
    assert bench.only(NotWorked).sentence.startswith("1/P: whether box.shim > 2 mm can't be worked out")
    corrected(bench, P, "bore", "10.000", "1")
    corrected(bench, P, "bore", "10.000", "2")
    assert bench.at(P).failed is None and bench.step == 11
    corrected(bench, P, "bore", "10.030", "2")
    assert "can't be worked out" in bench.refused(Confirm())


def test_a_concession_ends_and_is_no_longer_shown_when_its_value_is_corrected() -> None:
    bench = PlateBench().receive().bored(bore="10.030 10.030", upto="lay")
    bench.do(Type("4"))
    bench.do(Stop("nonconforming", "too large"), Dispose("concession", OWNER, "a larger ring"))
    assert len(bench.state.allowed) == 1 and bench.step == 11
    corrected(bench, P, "bore", "10.040", "2")
    assert bench.state.allowed == ()
    assert "over the limit" in bench.refused(Confirm())


def test_a_nonconformance_is_taken_up_once_a_correction_has_met_its_check() -> None:
    bench = PlateBench().receive().bored(bore="10.000 10.200", upto="lay")
    bench.do(Type("4"), Stop("nonconforming", "too large"))
    assert bench.refused(TakeUp("no reason")) == "1/P is nonconforming (too large)"
    corrected(bench, P, "bore", "10.002", "2")
    bench.do(TakeUp("10.002 was misread as 10.200"), Confirm())
    assert bench.state.nonconforming == {}


def test_a_crack_is_not_taken_up_because_some_check_came_right_meanwhile() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(Stop("nonconforming", "a crack shows"))
    thickness(bench, "20.5")
    assert bench.refused(TakeUp("it can")) == "1/P is nonconforming (a crack shows)"


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (Correct(P, "bore", "1", "10.003", " "), "a correction needs its reason"),
        (Correct(P, "bore", "9", "10.003", "slip"), "'bore' has no point '9' read"),
        (Correct(P, "bore", "1", "10.000", "slip"), "'bore' says 10.000 already"),
        (Correct(P, "bore_mean", "", "10.003", "slip"), "nothing called 'bore_mean' was entered in 'Bore' on 1/P"),
        (Correct(P, "wall", "", "4", "slip"), "nothing called 'wall' was entered in 'Bore' on 1/P"),
        (Correct(("Bore", "9/P"), "bore", "1", "10.003", "slip"), "there is no 'Bore' on 9/P in this job"),
        (Correct(RECEIVE, "finish", "", "shiny", "slip"), "'shiny' is none of the options"),
        (Correct(RECEIVE, "finish", "", "bright", "slip"), "'finish' says 'bright' already"),
        (Correct(RECEIVE, "remark", "", "a" * 201, "slip"), "that has 201 letters, and 200 is the most"),
        (Correct(RECEIVE, "remark", "", " ", "slip"), "nothing was written"),
    ],
)  # fmt: skip
def test_what_can_not_be_a_correction_is_refused_with_a_sentence(asked: Correct, sentence: str) -> None:
    assert PlateBench().receive().bored(upto="lay").refused(asked) == sentence


@pytest.mark.parametrize("text", ["100.1", "0.3937 in"])
def test_a_correction_that_looks_like_a_slip_itself_is_asked_for_twice(text: str) -> None:
    bench = PlateBench().receive().bored(upto="lay")
    asked = Correct(P, "bore", "1", text, "slip")
    assert named(bench.do(asked)) == ["entry-questioned"]
    assert bench.state.known[("1/P", "bore")].points[0].typed == "10.000"
    assert named(bench.do(asked))[0] == "reading-corrected"


def test_a_question_about_a_correction_answers_none_about_a_reading() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(Correct(P, "bore", "1", "100.1", "slip"))
    bench.do(MeasureAgain("bore", "tilted"))
    assert named(bench.do(Type("100.1"))) == ["entry-questioned"]


def test_points_read_so_far_go_when_the_zero_they_were_read_on_goes() -> None:
    bench = Bench().measure(upto="bore")
    bench.do(Type("10.009"))
    corrected(bench, A, "ring_size", "10.001", bench.state.known[("F1/A", "ring_size")].points[0].point)
    gone = bench.only(ReadingSuperseded)
    assert (gone.name, gone.counts) == ("bore", False)
    assert ("F1/A", "bore") not in bench.state.known
    bench.do(Type("10.001"))
    assert [one.good for one in bench.events if isinstance(one, ZeroRead)] == [True, True]


def test_a_value_is_not_worked_from_half_a_reading() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(MeasureAgain("bore", "tilted"))
    assert named(bench.do(Type("10.020"))) == ["reading-taken"]
    assert "bore_mean" in bench.dated(P)
    bench.do(Type("10.000"))
    assert bench.state.known[("1/P", "bore_mean")].shown == "10.010 mm"
    assert not any(one.taken for one in bench.events if isinstance(one, BranchDecided))


def test_a_value_that_has_no_answer_any_more_is_not_taken_for_the_old_one() -> None:
    table = procedure(SMALL.replace("        up to: 1 mm\n", "        up to: 0.0300 mm\n"))
    bench = Bench(table).measure(upto="shim")
    corrected(bench, A, "play", "0.035", bench.state.known[("F1/A", "play")].points[0].point)
    assert ("F1/A", "shim_size") not in bench.state.known
    assert "can't be worked out" in bench.refused(Confirm())


def test_a_witness_comes_again_when_what_was_seen_has_changed() -> None:
    bench = PlateBench().receive().bored(upto="hold")
    corrected(bench, P, "bore", "10.004", "2")
    assert "witness" in bench.dated(P)
    bench.do(Confirm())
    bench.later(minutes=10).do(Confirm())
    assert bench.refused(Confirm()) == "the inspector has not been called yet"


def test_a_pass_that_stands_says_its_ways_out() -> None:
    bench = PlateBench().receive().bored(bore="9.970 9.970", upto="lay")
    assert ways_out(bench.job, bench.state, P) == ("cut again", "next oversize")
    assert not any(isinstance(one, PassDone) and one.part == "1/P" for one in bench.events)
