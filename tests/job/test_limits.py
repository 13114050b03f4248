"""Verdicts: exactly on a limit is met, one count out is not, and the sentence names part, value, limit and source."""

from __future__ import annotations

import pytest

from runner.job.events import CheckDecided, NotWorked, PassDone, ReadingTaken, ValueWorked
from runner.job.intents import Confirm, MeasureAgain, Release, Sign, Tick, Type
from runner.job.passes import Standing, standing
from runner.procedure.model import Procedure
from tests.job.a_bench import FITTER, INSPECTOR, A, B, Bench, said
from tests.job.a_small_procedure import TEXT, procedure


def verdict(bench: Bench, name: str) -> CheckDecided:
    return next(one for one in bench.events if isinstance(one, CheckDecided) and one.name == name)


def with_check(formula: str, limit: str) -> Procedure:
    """The small procedure with one more worked value and its check, after the web of the hole was read."""
    return procedure(
        TEXT.replace(
            "      - do: Lay the shim beside",
            f"      - work out: extra\n        as: {formula}\n        to the nearest: 0.001 mm\n"
            f"      - check: extra\n        {limit}\n        source: common practice\n        if not: [concession]\n"
            "      - do: Lay the shim beside",
        )
    )


@pytest.mark.parametrize(
    ("typed", "met"),
    [
        ("0.0381", True),
        ("0.03810", True),
        ("0.0382", False),
        ("0.0380", True),
        ("0.0015 in", True),
        ("1.5 thou", True),
        ("0.00151 in", False),
        ("0.00149 in", True),
        ("38.1 um", True),
        ("38.2 um", False),
        ("3/80", True),
        ("1/26", False),
    ],
)
def test_a_reading_is_held_against_its_limit_to_the_last_digit_in_any_unit(typed: str, met: bool) -> None:
    """1 in is 25.4 mm exactly (ISO 80000-3), so 0.0015 in is 0.0381 mm."""
    bench = Bench().measure(play=typed, upto="wall")
    assert verdict(bench, "play").met is met


@pytest.mark.parametrize(
    ("bore", "met"),
    [
        ("10.000 10.000 10.000", True),
        ("9.999 10.000 10.000", False),
        ("10.020 10.020 10.020", True),
        ("10.020 10.020 10.021", False),
        ("10.019 10.020 10.021", True),
        ("9.998 10.000 10.002", True),
        ("10.0000 10.0000 10.0001", True),
    ],
)
def test_a_worked_value_on_its_limit_meets_it_and_a_third_of_a_count_beyond_does_not(
    bore: str, met: bool
) -> None:
    assert verdict(Bench().measure(bore=bore, upto="play"), "bore_mean").met is met


@pytest.mark.parametrize(
    ("factor", "met"),
    [("0.999999999", True), ("0.99999999", True), ("1.0000000005", True), ("1.00000001", False)],
)
def test_a_worked_value_within_a_thousand_millionth_of_its_limit_stands_on_it(factor: str, met: bool) -> None:
    bench = Bench(with_check(f"max(wall) * {factor}", "at most: 4.04 mm")).measure(upto="shim")
    assert verdict(bench, "extra").met is met


@pytest.mark.parametrize(
    "limit", ["at least: 0 mm", "within: 0 mm to 0.05 mm", "at most: 0 mm", "within: -0.05 mm to 0 mm"]
)
def test_a_worked_value_of_nil_meets_a_limit_of_nil_whatever_floats_make_of_it(limit: str) -> None:
    low = Bench(with_check("max(wall) - min(wall) - 0.3 mm", limit)).measure(
        wall="4.1 4.4 4.2 4.2", upto="shim"
    )
    high = Bench(with_check("0.3 mm - max(wall) + min(wall)", limit)).measure(
        wall="4.1 4.4 4.2 4.2", upto="shim"
    )
    assert verdict(low, "extra").met and verdict(high, "extra").met


@pytest.mark.parametrize(("wall", "met"), [("4.1 4.4001 4.2 4.2", False), ("4.1 4.3999 4.2 4.2", True)])
def test_a_tenth_of_a_count_beyond_a_limit_of_nil_is_beyond_it(wall: str, met: bool) -> None:
    bench = Bench(with_check("max(wall) - min(wall) - 0.3 mm", "at most: 0 mm")).measure(
        wall=wall, upto="shim"
    )
    assert verdict(bench, "extra").met is met


def test_a_value_over_its_limit_stops_with_one_sentence_naming_part_value_limit_and_source() -> None:
    bench = Bench().measure(play="0.05")
    failed = verdict(bench, "play")
    assert failed.sentence == (
        "F1/A: play is 0.05 mm, over the limit of 0.0381 mm (at most 0.0381 mm; published, an invented table 4)"
    )
    assert said(failed, "met", "low", "high", "source", "decision", "routes") == (
        False,
        "",
        "0.0381 mm",
        "published, an invented table 4",
        "simple",
        ("concession", "scrap"),
    )
    assert failed.margin == "-0.01 mm"
    assert standing(bench.job, bench.state, A) is Standing.HELD


def test_a_value_under_its_limit_says_under_and_where_the_limit_comes_from() -> None:
    bench = Bench().measure(bore="9.998 9.998 9.998")
    assert verdict(bench, "bore_mean").sentence == (
        "F1/A: bore_mean is 9.998 mm, under the limit of 10.000 mm "
        "(drawing.low to drawing.high; maker's sheet, frame drawing 7)"
    )
    bench = Bench().measure(wall="2.99 3.50 3.50 3.50")
    assert verdict(bench, "web").sentence == (
        "F1/A: web is 2.99 mm, under the limit of 3.00 mm (at least smallest_web; maker's sheet, frame drawing 7)"
    )


def test_each_part_has_the_limits_of_its_own_row() -> None:
    bench = Bench().measure(B, bore="10.010 12.010 12.010", upto="play")
    assert said(verdict(bench, "bore_mean"), "low", "high", "met") == ("12.000 mm", "12.020 mm", False)


@pytest.mark.parametrize(
    ("typed", "thickness"), [("0.02", "0.10 mm"), ("0.0200", "0.10 mm"), ("0.0201", "0.20 mm")]
)
def test_a_size_on_the_upper_bound_of_a_row_still_belongs_to_it(typed: str, thickness: str) -> None:
    bench = Bench().measure(play=typed, upto="shim")
    assert bench.state.known[("F1/A", "shim_size")].shown == thickness


def test_a_value_a_hair_over_its_limit_is_told_with_the_digits_it_takes() -> None:
    bench = Bench().measure(bore="10.020 10.020 10.0201")
    assert "bore_mean is 10.02003 mm, over the limit of 10.02000 mm" in verdict(bench, "bore_mean").sentence


def test_a_limit_is_shown_as_it_is_and_not_rounded_to_the_reading() -> None:
    bench = Bench().measure(play="0.04")
    assert "play is 0.04 mm, over the limit of 0.0381 mm" in verdict(bench, "play").sentence
    assert verdict(bench, "play").high == "0.0381 mm"


def test_a_reading_in_another_unit_is_told_in_that_of_its_limit() -> None:
    sentence = verdict(Bench().measure(play="0.00151 in"), "play").sentence
    assert "play is 0.03835 mm, over the limit of 0.03810 mm" in sentence


def test_the_reading_over_its_limit_is_kept_as_it_was_typed() -> None:
    bench = Bench().measure(play="0.050")
    kept = [one for one in bench.events if isinstance(one, ReadingTaken) and one.name == "play"]
    assert [one.typed for one in kept] == ["0.050"]
    assert bench.state.known[("F1/A", "play")].points[0].typed == "0.050"


def test_a_check_that_was_not_met_lets_no_key_past() -> None:
    bench = Bench().measure(play="0.05")
    sentence = verdict(bench, "play").sentence
    for intent in (Confirm(), Tick(1), Type("0.01"), Type(""), Sign(FITTER), Release(INSPECTOR, ("x", "y"))):
        assert bench.refused(intent) == sentence
    assert not any(isinstance(one, PassDone) for one in bench.events)


def test_a_worked_value_keeps_formula_inputs_and_where_each_came_from() -> None:
    worked = next(one for one in Bench().measure().events if isinstance(one, ValueWorked))
    assert said(worked, "name", "formula", "shown", "unit") == ("bore_mean", "mean(bore)", "10.010 mm", "mm")
    assert [said(one, "name", "shown", "origin") for one in worked.inputs] == [
        ("bore", "(10.009 10.010 10.011) mm", "read in step 4 of 'Measure' on F1/A")
    ]
    assert worked.program == "program 1"


def test_a_value_that_has_no_answer_stops_the_pass_and_can_be_measured_again() -> None:
    bench = Bench(with_check("0.1 mm * (1 mm / (max(wall) - min(wall)))", "at most: 1 mm"))
    bench.measure(wall="4 4 4 4", upto="shim")
    failed = bench.only(NotWorked)
    assert failed.sentence.startswith("F1/A: 'extra' can't be worked out: ")
    assert bench.refused(Confirm()) == failed.sentence
    bench.do(MeasureAgain("wall", "one web was read twice"), Type("4.0 4.1 4.1 4.1"))
    assert verdict(bench, "extra").met


def test_a_size_that_no_row_of_a_table_covers_stops_the_pass() -> None:
    text = TEXT.replace("up to: 1 mm", "up to: 0.0300 mm")
    bench = Bench(procedure(text)).measure(play="0.035", upto="shim")
    assert bench.only(NotWorked).sentence == (
        "F1/A: 'shim_size' can't be worked out: the table 'shim' has no row for play = 0.035 mm"
    )
