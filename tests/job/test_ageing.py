"""Heat as ageing: the time at one temperature that would age the metal as all of its heat did, added up beside the minutes."""

from __future__ import annotations

import pytest

from runner.job.events import TotalGrew, TotalOver
from runner.job.intents import LeaveLoad, MakeLoad, StartPass, Type
from tests.job.a_bench import Bench
from tests.job.an_oven import OVEN, oven

KEY = ("Bake", "tray 1")
AGEING = """\
  - total: ageing
    for each: frame
    ageing at: 195 degC
    energy: 128.717 kJ/mol
    at most: 10 min
    source: shop's own, invented
    if not: [concession, scrap]
  - total: stock
"""
TEXT = OVEN.replace("  - total: stock\n", AGEING).replace("adds to: heat", "adds to: [heat, ageing]")
COOL = TEXT.replace("within: 195 degC to 205 degC", "within: 160 degC to 200 degC")


def baking(first: str = "165 165", text: str = COOL) -> Bench:
    bench = oven(text=text)
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(KEY), Type(first))
    return bench


def read(bench: Bench, text: str, minutes: float = 20) -> None:
    bench.later(minutes=minutes)
    bench.do(Type(text))


def minutes(bench: Bench, total: str, frame: str = "F1") -> float:
    return bench.state.totals.get((frame, total), 0.0) / 60


def test_an_hour_at_165_ages_as_six_minutes_and_a_bit_at_195() -> None:
    """By hand: 60 min * exp(128717 / 8.314 * (1 / 468.15 - 1 / 438.15)), which is 6.23 min; the energy is that of A356."""
    bench = baking()
    for _ in range(3):
        read(bench, "165 165")
    assert minutes(bench, "ageing") == pytest.approx(6.23, abs=0.01)
    assert minutes(bench, "heat") == 60


def test_ageing_counts_by_the_hotter_of_two_readings_and_each_part_for_itself() -> None:
    bench = baking(text=COOL.replace("at most: 10 min", "at most: 2 h"))
    read(bench, "165 195")
    assert minutes(bench, "ageing", "F2") == pytest.approx(20)
    assert minutes(bench, "ageing", "F1") == pytest.approx(2.08, abs=0.01)
    read(bench, "165 165")
    assert minutes(bench, "ageing", "F2") == pytest.approx(40)


def test_below_the_temperature_that_the_minutes_count_over_it_still_ages_a_little() -> None:
    bench = baking("140 140")
    read(bench, "140 140")
    assert minutes(bench, "heat") == 0 and 0 < minutes(bench, "ageing") < 0.5


def test_a_gap_ages_in_full() -> None:
    bench = baking("195 165")
    read(bench, "165 165", minutes=40)
    assert minutes(bench, "ageing") == pytest.approx(40)


def test_more_ageing_than_may_be_stops_the_work_and_says_on_which_part() -> None:
    bench = baking()
    read(bench, "165 195", minutes=11)
    assert bench.only(TotalOver).sentence == "F2: ageing is 11.0 min, over 10 min (shop's own, invented)"
    (why,) = (one.because for one in bench.events if isinstance(one, TotalGrew) and one.over)
    assert why == "bake, 11 min 0 s as at 195 degC by the hotter of two readings"


def test_a_part_taken_out_takes_its_ageing_with_it() -> None:
    bench = baking("195 165").later(minutes=5)
    bench.do(LeaveLoad("tray 1", "F1", "wanted elsewhere"))
    assert minutes(bench, "ageing") == pytest.approx(5)
