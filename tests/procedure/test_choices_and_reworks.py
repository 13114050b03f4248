"""Choices, ladders, reworks, blocks and second readings are read as they were written."""

from __future__ import annotations

import pytest

from runner.procedure.model import (
    AGAIN_AT_MOST,
    Check,
    Choose,
    Do,
    HoldPoint,
    Procedure,
    Read,
    Rung,
    WitnessPoint,
    Write,
)
from runner.procedure.reader import read_bytes, read_procedure
from runner.session.entries import read_entries
from tests.procedure.texts import HEAD, kinds_of, reading, stage, working

LISTS = """ladders:
  - ladder: oversize
    for each: seat
    rungs: [0 mm, 0.25 mm, 0.50 mm]
    source: common practice
reworks:
  - rework: cut again
    only if: bore < 42 mm
    at most: 3 times
  - rework: next oversize
    climb: oversize
    steps:
      - do: Take it out
      - read: wall
        ask: Wall that is left
        unit: mm
        plausible: 0 mm to 9 mm
      - check: wall
        at least: 2 mm + oversize
        source: common practice
        if not: [weld it up, scrap]
    back to: Measure
    at most: 2 times
  - repair: weld it up
    steps:
      - write: report
        ask: Number of the report
    back to: bore
    at most: 1 time
"""
HEAD_WITH = HEAD.replace("stages:\n", LISTS + "stages:\n")
CHOICE = "choose: finish\nask: Finish\noptions: [bright, dull, torn]"
FINISH = "check: finish\nis: {}\nsource: common practice\nif not: [scrap]"
STEPS = (
    reading("bore") + "\nagain at most: 0 times\ngood for: 20 min",
    CHOICE,
    "write: remark\nask: What else\nmay skip: machinist",
    "rung: oversize\nat least: bore - 42 mm\nif not: [scrap]",
    "check: bore\nat least: 42 mm + oversize\nsource: common practice\nif not: [cut again, next oversize]",
    FINISH.format("[bright, dull]"),
    "only if: bore > 43 mm\nsteps:\n  - do: Look\n  - only if: oversize > 0 mm\n    steps:\n      - do: Look twice",
    "do: Show it\nshow: [remark, finish, oversize]",
    "hold point: seen\nby: inspector\nmust see:\n  - all\nmeasures again: bore\nagree within: 0.01 mm",
    "witness point: first bore\nby: inspector\ngoes on after: 15 min",
)


@pytest.fixture(scope="module")
def procedure() -> Procedure:
    found, problems = read_procedure(HEAD_WITH + stage("Measure", "seat", *STEPS), "x")
    assert found and problems == []
    return found


def test_a_ladder_is_read_from_its_lowest_rung_up(procedure: Procedure) -> None:
    ladder = procedure.ladder("oversize")
    assert ladder and ladder.for_each == "seat"
    assert [rung.typed for rung in ladder.rungs] == ["0 mm", "0.25 mm", "0.50 mm"]


def test_a_rework_says_what_is_done_and_where_it_goes_back_to(procedure: Procedure) -> None:
    cut, size, weld = procedure.reworks
    assert (cut.kind, cut.climb, cut.back_to, cut.at_most, cut.stage.steps) == ("rework", "", "", 3, ())
    assert cut.only_if and cut.only_if.text == "bore < 42 mm"
    assert (size.kind, size.climb, size.back_to, size.at_most) == ("rework", "oversize", "Measure", 2)
    assert (weld.kind, weld.back_to, weld.at_most) == ("repair", "bore", 1)
    assert [type(step) for step in size.stage.steps] == [Do, Read, Check]
    assert [one.title for one in procedure.every_stage] == ["Measure", "next oversize", "weld it up"]


def test_a_rework_is_for_the_parts_of_the_checks_that_lead_to_it_even_through_another(
    procedure: Procedure,
) -> None:
    assert [rework.stage.for_each for rework in procedure.reworks] == ["seat", "seat", "seat"]


def test_each_new_step_says_what_its_text_says(procedure: Procedure) -> None:
    steps = procedure.stages[0].steps
    bore, finish, remark, rung, check, met = steps[:6]
    assert isinstance(bore, Read) and bore.again_at_most == 0
    assert bore.about.good_for and bore.about.good_for.typed == "20 min"
    assert isinstance(finish, Choose) and finish.options == ("bright", "dull", "torn")
    assert isinstance(remark, Write) and remark.about.may_skip == "machinist"
    assert isinstance(rung, Rung) and rung.least.text == "bore - 42 mm" and rung.routes == ("scrap",)
    assert isinstance(check, Check) and check.routes == ("cut again", "next oversize")
    assert isinstance(met, Check) and met.options == ("bright", "dull")
    assert (met.limits.text, met.limits.low, met.limits.high) == ("is bright or dull", None, None)
    hold, witness = steps[-2:]
    assert isinstance(hold, HoldPoint) and hold.measures_again == "bore"
    assert hold.agree_within and hold.agree_within.typed == "0.01 mm"
    assert isinstance(witness, WitnessPoint) and witness.goes_on_after.typed == "15 min"


def test_a_reading_is_measured_again_three_times_where_nothing_is_said() -> None:
    found, _ = read_procedure(HEAD + stage("Measure", "seat", reading("bore")), "x")
    assert found and isinstance(found.stages[0].steps[0], Read)
    assert found.stages[0].steps[0].again_at_most == AGAIN_AT_MOST == 3


def test_a_step_in_blocks_carries_their_conditions_outermost_first(procedure: Procedure) -> None:
    conditions = [[one.text for one in step.about.only_if] for step in procedure.stages[0].steps[6:9]]
    assert conditions == [["bore > 43 mm"], ["bore > 43 mm", "oversize > 0 mm"], []]
    assert [step.about.number for step in procedure.stages[0].steps] == list(range(1, 12))


@pytest.mark.parametrize(
    ("steps", "kinds"),
    [
        (("only if: bore > 1 mm\nsteps:\n  - read: wall\n    ask: a\n    unit: mm\n    plausible: 0 mm to 9 mm\n  - do: Look\n    show: [wall]",), []),
        (("only if: bore > 1 mm\nsteps:\n  - read: wall\n    ask: a\n    unit: mm\n    plausible: 0 mm to 9 mm", "only if: bore > 1 mm\nsteps:\n  - work out: thin\n    as: wall * 2\n    to the nearest: 1 mm"), ["maybe-unknown"]),
        (("only if: bore > 1 mm\nsteps:\n  - read: wall\n    ask: a\n    unit: mm\n    plausible: 0 mm to 9 mm", "do: Look\nshow: [wall]"), []),
        (("only if: bore > 1 mm\nsteps:\n  - do: Lay it in\n    timed as: laid", "wait: stay\nstarts: laid\nat least: 2 h\nsource: common practice"), ["maybe-unknown"]),
        (("do: Lay it in\ntimed as: laid\nmay skip: machinist", "wait: stay\nstarts: laid\nat least: 2 h\nsource: common practice"), ["may-be-missing"]),
        ((reading("wall") + "\nmay skip: machinist", "do: Look\nshow: [wall]"), []),
        ((reading("wall") + "\nmay skip: machinist", working("thin", "wall * 2")), ["may-be-missing"]),
        (("only if: wall > 1 mm\nsteps:\n  - do: Look", reading("wall")), ["not-yet-known"]),
    ],
)  # fmt: skip
def test_what_only_some_parts_have_is_used_only_where_it_is_sure_to_be(
    steps: tuple[str, ...], kinds: list[str]
) -> None:
    assert kinds_of(stage("Measure", "seat", reading("bore"), *steps)) == kinds


def test_a_check_whose_only_way_out_is_a_concession_is_allowed() -> None:
    only = "check: bore\nat most: allowed\nif not: [concession]"
    assert kinds_of(stage("Measure", "seat", reading("bore"), only)) == []


def test_a_second_reading_of_a_temperature_agrees_within_a_difference() -> None:
    hot = "read: hot\nask: a\nunit: degC\nplausible: 0 degC to 300 degC"
    hold = "hold point: seen\nby: inspector\nmust see:\n  - all\nmeasures again: hot\nagree within: "
    assert kinds_of(stage("Measure", "seat", hot, hold + "5 K")) == []
    assert kinds_of(stage("Measure", "seat", hot, hold + "5 degC")) == ["kinds"]


def test_a_choice_that_nobody_asks_for_is_doubted_and_the_procedure_is_read() -> None:
    found, problems = read_procedure(HEAD + stage("Measure", "seat", CHOICE), "x")
    assert found and [(one.kind, one.warning) for one in problems] == [("unused-choice", True)]
    assert kinds_of(stage("Measure", "seat", CHOICE, FINISH.format("bright"))) == []
    assert kinds_of(stage("Measure", "seat", CHOICE, "do: Look\nshow: [finish]")) == []


def test_a_ladder_that_nobody_climbs_is_doubted() -> None:
    lists = LISTS[: LISTS.index("reworks:")]
    text = HEAD.replace("stages:\n", lists + "stages:\n") + stage("Measure", "seat", reading("bore"))
    found, problems = read_procedure(text, "x")
    assert found and [(one.kind, one.warning) for one in problems] == [("unused-ladder", True)]


def test_nothing_is_doubted_while_something_is_wrong() -> None:
    assert kinds_of(stage("Measure", "seat", CHOICE, working("x1", "bohr"))) == ["unknown-name"]


def test_reworks_that_only_lead_to_each_other_are_told_each() -> None:
    one, other = (
        f"  - rework: {title}\n    steps:\n      - read: {name}\n        ask: a\n        unit: mm\n"
        f"        plausible: 0 mm to 9 mm\n      - check: {name}\n        at most: 1 mm\n"
        f"        source: common practice\n        if not: [{to}]\n    at most: 1 time\n"
        for title, name, to in (("one", "a1", "other"), ("other", "b1", "one"))
    )
    text = HEAD.replace("stages:\n", f"reworks:\n{one}{other}stages:\n") + stage("A", "seat", "do: Look")
    assert [problem.kind for problem in read_procedure(text, "x")[1]] == ["no-check-leads"] * 2


@pytest.mark.parametrize("code", ["utf-16", "utf-16-le", "utf-16-be"])
def test_a_file_saved_as_utf_16_is_told_to_be_that(code: str) -> None:
    _, problems, _ = read_bytes((HEAD + stage("A", "job", "do: Look")).encode(code), "x")
    assert ["UTF-16" in one.what for one in problems] == [True]


def test_a_procedure_given_as_entries_is_one_message() -> None:
    found, problems = read_entries(HEAD + stage("A", "job", "do: Look"), "x")
    assert found is None and [one.kind for one in problems] == ["not-entries"]
