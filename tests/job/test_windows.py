"""Windows: at most so long from one act to another, with a doubt of the clock counted in full, and never a key's doing."""

from __future__ import annotations

import pytest

from runner.job.events import CheckDecided, ClockNoticed, Disposed, ReworkBegun
from runner.job.intents import BeginSitting, ChangePerson, Confirm, Dispose, Stop
from runner.job.nonconformance import ways_out
from tests.job.a_bench import FITTER, Bench
from tests.job.an_oven import OVEN, cleaned, oven

KEY = ("Coat", "F1")


def coated(bench: Bench) -> CheckDecided:
    return next(one for one in bench.do(Confirm()) if isinstance(one, CheckDecided))


def test_a_window_is_met_to_its_last_second_and_not_one_later() -> None:
    assert coated(cleaned(oven()).later(minutes=60)).met
    late = coated(cleaned(oven()).later(minutes=60, seconds=1))
    assert not late.met
    assert (
        late.sentence
        == "F1: still_clean took 1 h 1 min, over the 60 min allowed (maker's sheet, the coat's tin)"
    )


def test_a_window_that_is_not_met_stops_the_work_with_its_ways_out() -> None:
    bench = cleaned(oven()).later(minutes=61)
    bench.do(Confirm())
    assert bench.refused(Confirm()).startswith("F1: still_clean took")
    assert ways_out(bench.job, bench.state, KEY) == ("clean again",)
    bench.do(Stop("nonconforming", "it stood too long"))
    assert ways_out(bench.job, bench.state, KEY) == ("clean again", "concession", "scrap", "return")


def test_a_rework_of_a_missed_window_begins_again_at_the_act_it_runs_from() -> None:
    bench = cleaned(oven()).later(minutes=61)
    bench.do(Confirm())
    bench.do(Dispose("clean again", FITTER, "wiped with the solvent once more"))
    assert bench.only(ReworkBegun).title == "clean again" and bench.step == 1
    bench.do(Confirm())
    bench.later(minutes=5)
    assert coated(bench).met


def test_a_concession_opens_a_missed_window_and_nothing_else() -> None:
    bench = cleaned(oven()).later(minutes=61)
    bench.do(Confirm(), Stop("nonconforming", "it stood too long"))
    bench.do(Dispose("concession", "Olga Rand", "the tin says 60, the maker allowed 90 by letter"))
    assert bench.only(Disposed).way == "concession"
    assert bench.step == 4


@pytest.mark.parametrize("set_by", [dict(hours=-1), dict(days=-1), dict(hours=1), dict(days=1)])
def test_a_set_clock_makes_no_window_longer_or_shorter_and_is_told(set_by: dict[str, float]) -> None:
    bench = cleaned(oven()).later(minutes=30).clock_set(**set_by).later(minutes=30)
    assert coated(bench).met
    assert bench.only(ClockNoticed).seconds != 0
    late = cleaned(oven()).later(minutes=30).clock_set(**set_by).later(minutes=31)
    assert not coated(late).met


def test_a_window_over_a_restart_counts_the_most_that_may_have_gone_by() -> None:
    bench = cleaned(oven()).later(minutes=20).restart(minutes=39)
    assert coated(bench).met
    late = cleaned(oven()).later(minutes=20).restart(minutes=41)
    assert not coated(late).met


def test_a_night_with_the_bench_closed_is_no_part_of_a_window_left_out() -> None:
    bench = cleaned(oven()).later(minutes=1).restart(hours=9)
    bench.do(BeginSitting("bench"))
    missed = coated(bench)
    assert not missed.met and "9 h 1 min" in missed.sentence and "restarted" in missed.sentence


def test_a_clock_behind_after_a_restart_proves_no_window_and_shows_no_time_below_nil() -> None:
    bench = cleaned(oven())
    bench.later(minutes=20)
    bench.do(ChangePerson("Cora Lind"))
    verdict = coated(bench.restart(hours=-3))
    assert not verdict.met and verdict.shown == "20 min 0 s"
    assert "not proven to be in the 60 min allowed" in verdict.sentence
    assert "the clock stood 3 h 0 min behind after a restart" in verdict.sentence


def test_a_window_whose_end_came_before_its_start_waits_for_the_end_to_be_done_again() -> None:
    text = OVEN.replace("starts: cleaned\n        ends: coated", "starts: coated\n        ends: cleaned")
    bench = cleaned(oven(text=text)).later(minutes=5)
    bench.do(Confirm())
    assert bench.refused(Confirm()) == "this pass waits: 'cleaned' was done before 'coated' on F1"
