"""Reworks and repairs: counted loops back from a check that wasn't met, on one part, up the ladder and no further."""

from __future__ import annotations

import pytest

from runner.job.events import (
    CheckDecided,
    Ref,
    ReworkBegun,
    ReworkStepsBegun,
    RungTaken,
    ValueWorked,
    WentOutOfDate,
)
from runner.job.intents import (
    Acknowledge,
    Confirm,
    Correct,
    Dispose,
    MeasureAgain,
    ReleaseJob,
    Sign,
    StartPass,
    StillStand,
    Stop,
    TakeUp,
    Type,
)
from runner.job.nonconformance import ways_out
from tests.job.a_bench import FITTER, INSPECTOR, Bench, named
from tests.job.a_ringed_plate import FEED, NUMBER, RECEIVE, TEXT, P, PlateBench, Q

OWNER = "Olga Prince"
SMALL, LARGE, WELD = "9.970 9.970", "10.100 10.100", "weld it up"


def too_small() -> PlateBench:
    return PlateBench().receive().bored(bore=SMALL, upto="lay")


def too_large(bench: PlateBench | None = None) -> PlateBench:
    bench = (bench or PlateBench().receive()).bored(bore=LARGE, upto="lay")
    bench.do(Type("4"))
    return bench


def cut(bench: PlateBench, bore: str, feed: str = "0.5") -> None:
    """The rework's own steps, and the bore read anew."""
    bench.do(Dispose("cut again", FITTER, "too small"), Type(feed), Confirm(), Sign(FITTER), StartPass(P))
    bench.type(bore)


def test_a_rework_does_everything_again_from_its_place_up_to_the_check_on_that_part_only() -> None:
    bench = PlateBench().receive().bored(Q)
    brother = bench.at(Q)
    bench.bored(P, SMALL, upto="lay")
    bench.do(Dispose("cut again", FITTER, "too small"))
    begun = bench.only(ReworkBegun)
    assert {ref.step for ref in begun.done_again} == {
        NUMBER["bore"],
        NUMBER["bore_mean"],
        NUMBER["bore_check"],
    }
    assert {ref.part for ref in begun.done_again} == {"1/P"}
    assert bench.at(Q) == brother and bench.at(P).done_steps == {1, 2}


def test_a_reworks_own_steps_come_before_anything_else_on_the_part() -> None:
    bench = too_small()
    bench.do(Dispose("cut again", FITTER, "too small"))
    assert bench.state.in_hand == FEED
    assert bench.refused(StartPass(P)) == "'cut again' on 1/P comes first"
    bench.bored(Q)
    bench.do(StartPass(FEED), Type("0.5"), Confirm(), Sign(FITTER))
    assert bench.state.in_hand is None
    bench.do(StartPass(P))
    assert bench.step == NUMBER["bore"]


def test_a_rework_begun_a_second_time_reads_its_own_readings_anew() -> None:
    bench = too_small()
    cut(bench, "9.975 9.975", feed="0.5")
    cut(bench, "10.000 10.000", feed="0.4")
    assert bench.state.known[("1/P", "feed")].points[0].typed == "0.4"
    assert bench.step == NUMBER["lay"]
    assert [one.count for one in bench.events if isinstance(one, ReworkBegun)] == [1, 2]


def test_a_rework_has_its_maximum_and_then_only_the_other_ways_are_left() -> None:
    bench = too_small()
    for _ in range(2):
        cut(bench, SMALL)
    assert bench.refused(Dispose("cut again", FITTER, "once more")) == (
        "'cut again' was done 2 times on 1/P, which is the most"
    )
    assert bench.refused(Dispose(" Cut again", FITTER, "once more")) == "1/P is not nonconforming"
    assert ways_out(bench.job, bench.state, P) == ("next oversize",)


def test_a_rework_is_offered_only_where_its_condition_is_so() -> None:
    bench = too_large()
    assert ways_out(bench.job, bench.state, P) == ("next oversize",)
    assert bench.refused(Dispose("cut again", FITTER, "too large")).startswith(
        "'cut again' is only if bore_mean < 10 mm + oversize, and here it is 10.100 mm < 10 mm + 0.0 mm"
    )


def test_a_part_climbs_its_own_ladder_to_the_last_rung_and_never_down() -> None:
    bench = too_large()
    bench.do(Dispose("next oversize", FITTER, "too large"))
    assert bench.state.rungs == {("1/P", "oversize"): 2}
    bench.type("10.300 10.300")
    bench.do(Type("4"), Dispose("next oversize", FITTER, "too large"))
    assert bench.state.rungs == {("1/P", "oversize"): 3}
    bench.type("10.600 10.600")
    bench.do(Type("4"))
    assert ways_out(bench.job, bench.state, P) == ()
    limits = [
        (one.low, one.high)
        for one in bench.events
        if isinstance(one, CheckDecided) and one.name == "bore_mean"
    ]
    assert limits == [("9.980 mm", "10.020 mm"), ("10.180 mm", "10.220 mm"), ("10.380 mm", "10.420 mm")]


def test_the_last_rung_is_named_where_another_is_asked_for() -> None:
    text = TEXT.replace("  - rework: next oversize\n    climb: oversize\n    at most: 2 times",
                        "  - rework: next oversize\n    climb: oversize\n    at most: 9 times")  # fmt: skip
    bench = too_large(PlateBench(text).receive())
    for bore in ("10.300 10.300", "10.600 10.600"):
        bench.do(Dispose("next oversize", FITTER, "too large"))
        bench.type(bore)
        bench.do(Type("4"))
    assert bench.refused(Dispose("next oversize", FITTER, "more")) == "1/P is on the last rung of oversize"


def weld(bench: PlateBench) -> None:
    bench.do(Stop("nonconforming", "too large"), Dispose(WELD, OWNER, "weld and bore anew"))


def test_a_repair_is_decided_by_the_role_that_grants_concessions_and_by_nobody_who_worked_on_it() -> None:
    bench = too_large()
    assert bench.refused(Dispose(WELD, FITTER, "why")) == "1/P is not nonconforming"
    bench.do(Stop("nonconforming", "too large"))
    assert "has entries in this pass" in bench.refused(Dispose(WELD, FITTER, "why"))
    bench.do(Dispose(WELD, OWNER, "weld and bore anew"))
    assert (bench.only(ReworkBegun).by, bench.only(ReworkBegun).role) == (OWNER, "owner")


def test_a_rework_whose_place_is_on_the_plate_reopens_the_plate_and_what_stood_on_it_on_the_brother() -> None:
    bench = PlateBench().receive().bored(Q)
    weld(too_large(bench))
    again = bench.only(ReworkBegun).done_again
    assert {(ref.stage, ref.part) for ref in again} == {RECEIVE, P}
    assert bench.at(RECEIVE).done_steps == frozenset()
    assert bench.dated(Q) == {"depth", "lay", "settled", "witness", "hold"}
    assert bench.refused(StartPass(Q)) == "'Bore' on 1/Q comes after 'Receive', which is not done on 1"
    for text in ("bright", "welded"):
        bench.do(Type(text))
    bench.do(Type("19.0"), Confirm(), Sign(FITTER))
    assert bench.state.known[("1/Q", "depth")].shown == "8.999 mm"
    assert bench.dated(Q) == {"lay", "settled", "witness", "hold"}


def test_a_wait_undone_by_a_rework_never_runs_from_the_act_before_it() -> None:
    bench = PlateBench().receive().bored(upto="settled").later(minutes=10)
    assert ("1/P", "laid") in bench.state.times
    slip = Correct(P, "bore", "1", "10.100", "misread")
    bench.do(slip, Correct(P, "bore", "2", "10.100", "misread"))
    bench.do(Type("4"), Dispose("next oversize", FITTER, "too large"))
    assert ("1/P", "laid") not in bench.state.times
    bench.type("10.200 10.200")
    bench.do(Confirm())
    assert "10 min 0 s of 10 min left" in bench.refused(Confirm())


def test_a_reworks_own_steps_out_of_date_lock_the_part_and_keep_the_job_open() -> None:
    bench = too_small()
    cut(bench, "10.000 10.002")
    bench.bored(P, upto="wipe")
    bench.do(Confirm())
    bench.later(minutes=10).do(Confirm())
    bench.bored(Q)
    label = bench.state.known[("1/P", "feed")].points[0].point
    bench.do(Correct(FEED, "feed", label, "0.6", "a slip"))
    assert bench.at(FEED).out_of_date.keys() == {2, 3}
    assert bench.refused(StartPass(P)) == "'cut again' on 1/P comes first"
    assert "is 'cut again' on 1/P" in bench.refused(ReleaseJob(INSPECTOR, "all"))
    bench.do(StartPass(FEED), StillStand("the cut was right"), Sign(FITTER), StartPass(P))


def test_a_crack_said_elsewhere_on_the_part_is_not_lifted_by_a_rework() -> None:
    text = TEXT.replace(
        "  - stage: Match\n",
        "  - stage: Look\n    for each: ring\n    after: []\n    steps:\n      - do: Look at the ring\n\n  - stage: Match\n",
    )
    bench = PlateBench(text).receive().bored(bore=SMALL, upto="lay")
    bench.do(
        Stop("cannot do as written", "no light"), StartPass(("Look", "1/P")), Stop("nonconforming", "a crack")
    )
    bench.do(StartPass(P))
    assert bench.refused(Dispose("cut again", OWNER, "why")) == "1/P is not nonconforming"
    assert bench.state.nonconforming == {"1/P": "a crack"}
    assert bench.refused(TakeUp("light again")) == "1/P is nonconforming: a crack"
    bench.do(StartPass(("Look", "1/P")), Dispose("scrap", OWNER, "cracked through"))


RUNG = TEXT.replace(
    "      - work out: depth\n",
    "      - rung: oversize\n        at least: bore_mean - 10 mm\n        if not: [concession]\n      - work out: depth\n",
).replace("        as: thickness - bore_mean\n", "        as: thickness - bore_mean\n").replace(
    "      - check: bore_mean\n        within: 0.020 mm of 10 mm + oversize\n",
    "      - work out: wanted\n        as: 10 mm + oversize\n        to the nearest: 0.1 mm\n"
    "      - check: bore_mean\n        within: 0.500 mm of 10 mm + oversize\n",
)  # fmt: skip


def test_a_rung_taken_works_again_what_stood_on_the_one_before() -> None:
    bench = PlateBench(RUNG).receive().bored(bore="10.150 10.150", upto="lay")
    bench.do(Type("4"))
    assert bench.only(RungTaken).rung == 2
    assert {ref.step for ref in bench.only(RungTaken).out_of_date} == {9, 10}
    shown = [one.shown for one in bench.events if isinstance(one, ValueWorked) and one.name == "wanted"]
    assert shown == ["10.0 mm", "10.2 mm"]
    assert bench.state.known[("1/P", "wanted")].shown == "10.2 mm"


def test_a_scrapped_ring_is_left_out_of_what_was_worked_of_every_ring() -> None:
    bench = PlateBench().receive().bored(P, "10.000 10.000").bored(Q, "10.010 10.010")
    bench.do(StartPass(("Match", "1")))
    assert bench.state.known[("1", "apart")].shown == "0.010 mm"
    bench.do(MeasureAgain("bore", "tilted", Q), Stop("nonconforming", "a crack shows"))
    events = bench.do(Dispose("scrap", OWNER, "cracked through"))
    assert [(one.name, one.shown) for one in events if isinstance(one, ValueWorked)] == [
        ("apart", "0.000 mm")
    ]


def test_a_rework_is_named_in_its_events_by_count_and_maximum() -> None:
    bench = too_small()
    made = bench.do(Dispose("cut again", FITTER, "too small"))
    assert named(made) == ["rework-begun", "rework-steps-begun"]
    begun = bench.only(ReworkBegun)
    assert (begun.count, begun.at_most, begun.kind, begun.who) == (1, 2, "rework", FITTER)
    assert bench.only(ReworkStepsBegun).part == "1/P"
    assert Ref(stage="Bore", part="1/P", step=NUMBER["zero"]) not in begun.done_again


@pytest.mark.parametrize("intent", [Confirm(), Acknowledge(), Type("10.000")])
def test_an_act_meant_for_one_step_is_not_taken_for_another_that_is_too_old(intent: object) -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.later(minutes=21)
    before = bench.at(P).done_steps
    assert named(bench.do(intent)) == ["went-out-of-date"]  # type: ignore[arg-type]
    assert bench.at(P).done_steps == before - {1} and bench.step == 1
    assert bench.only(WentOutOfDate).because == "it is good for 20 min"


def test_a_bench_that_goes_on_in_time_is_not_held_up() -> None:
    bench: Bench = PlateBench().receive().bored(upto="lay").later(minutes=20)
    assert named(bench.do(Confirm())) == ["step-done"]
