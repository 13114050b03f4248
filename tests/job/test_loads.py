"""Parts put together for an oven: what waits for the load, what the load waits for, and what one part's rework leaves alone."""

from __future__ import annotations

import pytest

from runner.job import events as e
from runner.job.intents import (
    Confirm,
    Dispose,
    LeaveLoad,
    MakeLoad,
    MeasureAgain,
    Sign,
    StartPass,
    Stop,
    Type,
)
from runner.job.passes import is_complete, may_begin
from runner.procedure.reader import read_procedure
from tests.job.a_bench import FITTER, Bench
from tests.job.a_small_procedure import TEXT, procedure

HEAD = TEXT[: TEXT.index("parts:\n")]
OVEN = (
    HEAD
    + """\
parts:
  - part: plate
    tag: stamped
  - part: pin
    in: plate
    named: [A, B]
    tag: stamped
  - load: batch
    of: plate

reworks:
  - rework: heat again
    back to: Heat
    at most: 2 times

stages:
  - stage: Wash
    for each: plate
    after: []
    steps:
      - do: Wash the plate
  - stage: Heat
    for each: batch
    after: [Wash]
    steps:
      - do: Door closed
        timed as: closed
      - read: oven
        ask: What the thermometer shows
        unit: degC
        plausible: 100 degC to 250 degC
      - wait: heated
        starts: closed
        at least: 1 h
        source: common practice
  - stage: Fit
    for each: pin
    after: [Heat]
    steps:
      - read: plate_temp
        ask: Temperature of the plate
        unit: degC
        plausible: 10 degC to 250 degC
      - work out: lost
        as: oven - plate_temp
        to the nearest: 1 K
      - check: lost
        at most: 30 K
        source: common practice
        if not: [heat again, scrap]
  - stage: Look
    for each: batch
    after: [Fit]
    steps:
      - work out: coldest
        as: max(every pin.lost)
        to the nearest: 1 K
      - sign off: looked at
"""
)
PLATES = {"plate": ["P1", "P2", "P3"]}


def washed(plates: dict[str, list[str]] | None = None) -> Bench:
    bench = Bench(procedure(OVEN), named=plates or PLATES)
    for part in bench.job.parts.at("plate"):
        bench.do(StartPass(("Wash", part.path)), Confirm())
    return bench


def heated(*loads: tuple[str, tuple[str, ...]], oven: str = "200") -> Bench:
    bench = washed()
    for name, plates in loads:
        bench.do(MakeLoad("batch", name, plates), StartPass(("Heat", name)), Confirm(), Type(oven))
        bench.later(hours=1).do(Confirm())
    return bench


def fit(bench: Bench, *pins: str, temp: str = "190") -> Bench:
    for pin in pins:
        bench.do(StartPass(("Fit", pin)), Type(temp))
    return bench


def test_a_part_in_no_load_waits_and_is_told_so() -> None:
    bench = heated(("oven 1", ("P1", "P2")))
    fit(bench, "P1/A", "P2/B")
    assert bench.refused(StartPass(("Fit", "P3/A"))) == (
        "'Fit' on P3/A comes after 'Heat', which is not done on P3, which is in no batch"
    )


def test_a_load_begins_when_all_in_it_are_ready_and_no_other_part_keeps_it() -> None:
    bench = Bench(procedure(OVEN), named=PLATES)
    bench.do(StartPass(("Wash", "P1")), Confirm(), MakeLoad("batch", "oven 1", ("P1",)))
    bench.do(MakeLoad("batch", "oven 2", ("P2", "P3")))
    assert "comes after 'Wash', which is not done on P2, P3" in bench.refused(StartPass(("Heat", "oven 2")))
    bench.do(StartPass(("Heat", "oven 1")), Confirm())


def test_what_was_read_on_a_load_is_known_on_every_part_in_it() -> None:
    bench = heated(("oven 1", ("P1",)), ("oven 2", ("P2", "P3")))
    bench.do(StartPass(("Fit", "P3/A")), Type("185"))
    assert bench.only(e.ValueWorked).shown == "15 K"
    assert bench.only(e.ValueWorked).inputs[0].origin == "read in step 2 of 'Heat' on oven 2"


def test_a_load_later_on_takes_what_was_made_on_every_part_in_it() -> None:
    bench = fit(heated(("oven 1", ("P1",)), ("oven 2", ("P2", "P3"))), "P1/A", "P1/B", temp="180")
    bench.do(StartPass(("Look", "oven 1")))
    assert [one.shown for one in bench.events if isinstance(one, e.ValueWorked)][-1] == "20 K"
    assert "on P2/A, P2/B, P3/A, P3/B" in bench.refused(StartPass(("Look", "oven 2")))


def test_the_job_is_complete_only_when_every_part_went_through_a_load() -> None:
    bench = fit(heated(("oven 1", ("P1", "P2"))), "P1/A", "P1/B", "P2/A", "P2/B")
    bench.do(StartPass(("Look", "oven 1")), Sign(FITTER))
    assert not is_complete(bench.job, bench.state) and not bench.state.completed
    bench.do(MakeLoad("batch", "oven 2", ("P3",)), StartPass(("Heat", "oven 2")), Confirm(), Type("200"))
    bench.later(hours=1).do(Confirm())
    fit(bench, "P3/A", "P3/B").do(StartPass(("Look", "oven 2")), Sign(FITTER))
    assert bench.state.completed


def test_a_rework_sends_one_part_to_another_load_and_leaves_its_brothers() -> None:
    bench = fit(heated(("oven 1", ("P1", "P2"))), "P1/A", "P2/A")
    bench.do(StartPass(("Fit", "P1/B")), Type("150"))
    bench.do(Dispose("heat again", FITTER, "it stood in the draught"))
    assert bench.only(e.LoadLeft).part == "P1"
    assert bench.at(("Fit", "P2/A")).done and bench.at(("Fit", "P1/A")).done
    assert "P1, which is in no batch" in bench.refused(StartPass(("Fit", "P1/B")))
    bench.do(MakeLoad("batch", "oven 2", ("P1",)), StartPass(("Heat", "oven 2")), Confirm(), Type("200"))
    bench.later(hours=1).do(Confirm())
    fit(bench, "P1/B", "P2/B", temp="195")
    assert bench.at(("Fit", "P1/B")).done


def test_a_reading_of_a_load_measured_again_reaches_every_part_in_it_and_no_other() -> None:
    bench = fit(heated(("oven 1", ("P1",)), ("oven 2", ("P2",))), "P1/A", "P2/A")
    bench.do(MeasureAgain("oven", "the wrong scale was read", ("Heat", "oven 1")))
    assert set(bench.at(("Fit", "P1/A")).out_of_date) == {2, 3}
    assert bench.at(("Fit", "P2/A")).done
    bench.do(Type("210"))
    assert [one.shown for one in bench.events if isinstance(one, e.ValueWorked)][-1] == "20 K"
    assert bench.at(("Fit", "P1/A")).done


def test_a_scrapped_part_keeps_neither_the_load_nor_the_job() -> None:
    bench = fit(heated(("oven 1", ("P1", "P2"))), "P1/A", "P1/B")
    bench.do(StartPass(("Fit", "P2/A")), Type("100"))
    bench.do(Stop("nonconforming", "cold"), Dispose("scrap", "Olga Prince", "cracked as well"))
    assert ("Look", "oven 1") not in may_begin(bench.job, bench.state)
    bench.do(StartPass(("Fit", "P2/B")), Type("195"), StartPass(("Look", "oven 1")))


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (MakeLoad("plate", "x", ("P1",)), "'plate' is no load of this procedure"),
        (MakeLoad("batch", "x", ()), "nothing was put into x"),
        (MakeLoad("batch", "x", ("P9",)), "no plate is tagged 'P9'"),
        (MakeLoad("batch", "x", ("P3", "p3")), "P3 is named twice"),
        (MakeLoad("batch", "x", ("P1",)), "P1 is in oven 1, which isn't through"),
        (MakeLoad("batch", "OVEN 1", ("P3",)), "something is called 'OVEN 1' already"),
        (MakeLoad("batch", "P3", ("P3",)), "something is called 'P3' already"),
        (MakeLoad("batch", "\x1b[2J", ("P3",)), "'\x1b[2J' can't be the name of a load"),
        (LeaveLoad("oven 9", "P1", "cold feet"), "no load is called 'oven 9'"),
        (LeaveLoad("oven 1", "P3", "cold feet"), "P3 is not in oven 1"),
        (LeaveLoad("oven 1", "P1", " "), "taking a part out of a load needs its reason"),
    ],
)
def test_a_load_that_cannot_be_is_refused(asked: MakeLoad | LeaveLoad, sentence: str) -> None:
    bench = washed()
    bench.do(MakeLoad("batch", "oven 1", ("P1", "P2")), StartPass(("Heat", "oven 1")), Confirm())
    assert bench.refused(asked) == sentence


def test_a_part_taken_out_may_go_into_another_load() -> None:
    bench = washed()
    bench.do(MakeLoad("batch", "oven 1", ("P1", "P2")), StartPass(("Heat", "oven 1")), Confirm())
    bench.do(LeaveLoad("oven 1", "p1", "the oven is too small"), MakeLoad("batch", "oven 2", ("P1", "P3")))
    assert [part.path for part in bench.job.parts.members(bench.job.parts.at("batch")[0])] == ["P2"]


@pytest.mark.parametrize(
    ("wrong", "right", "kind"),
    [
        ("    of: plate\n", "    of: dish\n", "unknown-part"),
        ("  - load: batch\n    of: plate\n", "  - load: plate\n    of: plate\n", "said-twice"),
        ("as: max(every pin.lost)", "as: lost + 0 K", "which-part"),
        ("    after: [Heat]\n", "    after: [Wash]\n", "not-yet-known"),
    ],
)
def test_a_load_is_checked_like_any_part(wrong: str, right: str, kind: str) -> None:
    assert wrong in OVEN
    _, problems = read_procedure(OVEN.replace(wrong, right), "oven.yaml")
    assert kind in {one.kind for one in problems}
