"""Deviation permits and skipped steps: one step on one part, by somebody who may, and never a check, a hold or a signature."""

from __future__ import annotations

import pytest

from runner.job.events import PermitGiven, ReadingSuperseded, StepSkipped
from runner.job.intents import Confirm, Dispose, Permit, Skip, StartPass, StillStand, Stop, Type
from runner.job.nonconformance import may_permit
from tests.job.a_bench import FITTER, INSPECTOR, Bench
from tests.job.a_ringed_plate import NUMBER, RECEIVE, P, PlateBench, Q

OWNER = "Olga Prince"


def stopped(bench: Bench, why: str = "no light") -> Bench:
    bench.do(Stop("cannot do as written", why))
    return bench


def test_a_permit_opens_one_step_on_one_part_and_is_shown_from_then_on() -> None:
    bench = stopped(PlateBench().receive().bored(upto="lay"))
    bench.do(Permit(OWNER, "laid by the maker"))
    given = bench.only(PermitGiven)
    assert (given.step, given.part, given.by, given.role, given.solo) == (11, "1/P", OWNER, "owner", False)
    assert bench.state.allowed == (given,)
    assert bench.step == NUMBER["settled"]
    bench.bored(Q, upto="lay")
    assert bench.step == NUMBER["lay"]


@pytest.mark.parametrize("where", ["wipe", "zero", "bore", "lay", "settled", "witness"])
def test_a_permit_may_be_given_at_a_step_that_proves_nothing_by_itself(where: str) -> None:
    bench = stopped(PlateBench().receive().bored(upto=where))
    assert may_permit(bench.job, bench.state, P)


def test_no_permit_passes_a_check_a_hold_or_a_signature() -> None:
    at_check = PlateBench().receive().bored(bore="9.970 9.970")
    at_hold = PlateBench().receive().bored(upto="hold")
    at_sign = PlateBench()
    at_sign.do(StartPass(RECEIVE), Type("bright"), Type("no dents"), Type("20.0"), Confirm())
    for bench in (at_check, at_hold, at_sign):
        stopped(bench)
        assert bench.refused(Permit(OWNER, "it will do")) == "no permit can be given here"


def test_no_permit_is_given_before_somebody_said_that_it_can_not_be_done() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    assert bench.refused(Permit(OWNER, "it will do")) == "no permit can be given here"
    bench.do(Stop("nonconforming", "a crack"))
    assert bench.refused(Permit(OWNER, "it will do")) == "no permit can be given here"


@pytest.mark.parametrize(
    ("by", "because"), [("", "why"), (OWNER, ""), (OWNER, "7"), (FITTER, "why"), ("team", "why")]
)
def test_a_permit_has_a_name_a_reason_and_another_pair_of_eyes(by: str, because: str) -> None:
    stopped(PlateBench().receive().bored(upto="lay")).refused(Permit(by, because))


def test_half_a_reading_is_dropped_where_a_permit_leaves_the_rest() -> None:
    bench = PlateBench().receive().bored(upto="bore")
    bench.do(Type("10.000"))
    stopped(bench).do(Permit(OWNER, "the maker's figure"))
    assert bench.only(ReadingSuperseded).counts is False
    assert ("1/P", "bore") not in bench.state.known


def test_a_step_is_skipped_only_where_the_procedure_lets_somebody_and_says_who() -> None:
    bench = PlateBench()
    bench.do(StartPass(RECEIVE))
    assert bench.refused(Skip(INSPECTOR, "why")) == "this step may not be skipped"
    bench.do(Type("bright"))
    assert bench.refused(Skip(INSPECTOR, " ")) == "a step is skipped for a reason"
    bench.refused(Skip("", "why"))
    bench.do(Skip(INSPECTOR, "nothing shows"))
    kept = bench.only(StepSkipped)
    assert (kept.step, kept.by, kept.role, kept.because) == (3, INSPECTOR, "inspector", "nothing shows")
    assert bench.at(RECEIVE).skipped == {3} and ("1", "remark") not in bench.state.known


def test_a_concession_on_one_part_opens_nothing_on_its_brother_nor_the_next_check() -> None:
    bench = PlateBench().receive().bored(bore="10.030 10.030", upto="lay")
    bench.do(Type("1"), Stop("nonconforming", "thin"), Dispose("concession", OWNER, "lightly loaded"))
    bench.do(Confirm())
    assert "over the limit of 10.020 mm" in bench.refused(Confirm())
    bench.bored(Q, "10.030 10.030", upto="lay").do(Type("1"))
    assert "under the limit of 2 mm" in bench.refused(Confirm())


def test_nothing_that_stands_is_looked_at_again() -> None:
    assert (
        PlateBench().receive().bored(upto="lay").refused(StillStand("it does"))
        == "this step is not out of date"
    )
