"""A job passed on: everything waits until whoever takes it on has accepted it."""

from __future__ import annotations

import pytest

from runner.job.events import HandoverAccepted, HandoverGiven
from runner.job.intents import (
    AcceptHandover,
    ChangePerson,
    Confirm,
    Correct,
    HandOver,
    MeasureAgain,
    ReleaseJob,
    Resume,
    StartPass,
    Stop,
    Suspend,
    TakeGauge,
    Type,
)
from tests.job.a_bench import FITTER, INSPECTOR, named
from tests.job.a_ringed_plate import P, PlateBench, Q

OTHER = "Cora Lind"


def handed_over() -> PlateBench:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(HandOver("the dial is stiff, ring Q next"))
    return bench


@pytest.mark.parametrize(
    "intent",
    [
        Confirm(),
        Type("10.000"),
        StartPass(Q),
        Stop("cannot measure", "why"),
        Correct(P, "bore", "1", "10.003", "slip"),
        MeasureAgain("bore", "why", P),
        TakeGauge("dial", "D-1"),
        ReleaseJob(INSPECTOR, "all"),
    ],
)
def test_nothing_is_done_on_a_job_handed_over_until_it_is_accepted(intent: object) -> None:
    bench = handed_over()
    wanted = f"{FITTER} handed the job over: the dial is stiff, ring Q next"
    assert bench.refused(intent) == wanted  # type: ignore[arg-type]
    bench.do(ChangePerson(OTHER))
    assert bench.refused(intent) == wanted  # type: ignore[arg-type]


def test_whoever_takes_it_on_is_on_the_record_and_goes_on_where_it_stood() -> None:
    bench = handed_over()
    bench.do(ChangePerson(OTHER), AcceptHandover())
    accepted, given = bench.only(HandoverAccepted), bench.only(HandoverGiven)
    assert (accepted.who, accepted.given_by, given.who) == (OTHER, FITTER, FITTER)
    assert given.last == "bore 10.000 10.002 mm (1/P, Bore, step 3)"
    assert named(bench.do(Confirm())) == ["step-done"]


@pytest.mark.parametrize("note", ["", " ", "7", "-"])
def test_a_handover_has_a_note_in_words(note: str) -> None:
    assert PlateBench().refused(HandOver(note)).startswith("a handover needs a note")


def test_a_job_is_handed_over_once_and_accepted_only_if_it_was() -> None:
    assert PlateBench().refused(AcceptHandover()) == "nobody handed the job over"
    assert handed_over().refused(HandOver("once more")) == f"{FITTER} handed the job over already"


def test_a_handover_outlives_the_night() -> None:
    bench = handed_over()
    bench.do(Suspend("lights out"))
    bench.restart(hours=12).do(Resume())
    assert bench.refused(Confirm()).startswith(f"{FITTER} handed the job over")
