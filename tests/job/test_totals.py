"""Totals: what was cut or heated adds up over the whole job, and over the limit somebody decides."""

from __future__ import annotations

import pytest

from runner.job.events import TotalGrew, TotalOver
from runner.job.intents import Confirm, Correct, Dispose, MeasureAgain, MoveReadings, StartPass, Stop, Type
from runner.job.nonconformance import ways_out
from tests.job.a_bench import Bench
from tests.job.an_oven import oven

KEY = ("Skim", "F1")


def cut(depth: str = "0.2") -> Bench:
    bench = oven()
    bench.do(StartPass(KEY), Type(depth))
    return bench


def stock(bench: Bench, frame: str = "F1") -> float:
    """What was cut off in all, in mm."""
    return round(bench.state.totals.get((frame, "stock"), 0.0) * 1e3, 6)


def test_a_reading_adds_to_its_total() -> None:
    bench = cut()
    assert stock(bench) == 0.2 and bench.only(TotalGrew).shown == "0.200 mm"


def test_a_correction_corrects_the_total() -> None:
    bench = cut()
    bench.do(Correct(KEY, "cut", "", "0.3", "misread"))
    assert stock(bench) == 0.3


def test_measuring_again_replaces_what_was_added() -> None:
    bench = cut()
    bench.do(MeasureAgain("cut", "the stop slipped"))
    assert stock(bench) == 0
    bench.do(Type("0.25"))
    assert stock(bench) == 0.25


def test_readings_moved_to_the_right_part_take_their_share_with_them() -> None:
    bench = cut()
    bench.do(MoveReadings(KEY, ("cut",), "F2", "it was the other frame"))
    assert (stock(bench), stock(bench, "F2")) == (0, 0.2)


def test_a_total_at_its_limit_is_not_over_it() -> None:
    bench = cut("0.50")
    assert bench.at(KEY).failed is None and stock(bench) == 0.5


def test_a_total_over_its_limit_stops_the_work_on_that_part_with_its_ways_out() -> None:
    bench = cut("0.51")
    assert bench.refused(Type("20")) == "F1: stock is 0.510 mm, over 0.50 mm (shop's own, invented)"
    assert bench.only(TotalOver).routes == ("concession", "scrap")
    bench.do(Stop("nonconforming", "too much came off"))
    assert ways_out(bench.job, bench.state, KEY) == ("concession", "scrap", "return")
    bench.do(StartPass(("Skim", "F2")), Type("0.1"))


def test_a_concession_lets_the_work_go_on_and_the_next_cut_stops_it_again() -> None:
    bench = cut("0.51")
    bench.do(Stop("nonconforming", "too much"), Dispose("concession", "Olga Rand", "the web is thick enough"))
    assert bench.step == 2
    bench.do(Type("20"), MeasureAgain("cut", "cut once more"), Type("0.52"))
    assert isinstance(bench.at(KEY).failed, TotalOver)


@pytest.mark.parametrize("way", ["corrected", "measured again"])
def test_a_total_brought_back_under_its_limit_stops_nothing_any_more(way: str) -> None:
    bench = cut("0.51")
    if way == "corrected":
        bench.do(Correct(KEY, "cut", "", "0.15", "two digits swapped"))
    else:
        bench.do(MeasureAgain("cut", "the stop slipped"), Type("0.15"))
    assert bench.at(KEY).failed is None and bench.step == 2
    bench.do(Type("20"), Confirm(), Confirm())
    assert bench.at(KEY).done


def test_a_correction_that_puts_a_total_over_its_limit_stops_a_pass_that_was_done() -> None:
    bench = cut()
    bench.do(Type("20"), Confirm(), Confirm())
    assert bench.at(KEY).done
    bench.do(Correct(KEY, "cut", "", "0.7", "misread"))
    assert not bench.at(KEY).done and isinstance(bench.at(KEY).failed, TotalOver)
    bench.do(Correct(KEY, "cut", "", "0.2", "it was right"))
    assert bench.at(KEY).failed is None and bench.at(KEY).done
