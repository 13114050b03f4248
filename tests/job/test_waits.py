"""Waits: not a second early, whatever happens to clocks, machines and the job meanwhile."""

from __future__ import annotations

from datetime import timedelta

import pytest

from runner.job.events import ClockNoticed, WaitPassed
from runner.job.intents import BeginSitting, ChangePerson, Confirm, Resume, StartPass, Suspend
from runner.job.moments import SLACK_S, elapsed, span_words
from tests.job.a_bench import MORNING, Bench

CURE = ("Cure", "F1/A")


def glued() -> Bench:
    """Both pins glued a moment ago, and hole A of the frame in hand, where the glue is waited for (2 h)."""
    bench = Bench().frame_glued()
    bench.do(StartPass(CURE))
    return bench


def passed(bench: Bench) -> WaitPassed:
    return next(one for one in bench.do(Confirm()) if isinstance(one, WaitPassed))


def test_a_wait_is_refused_to_its_last_second_and_then_passes() -> None:
    bench = glued().later(hours=1, minutes=59, seconds=59)
    assert bench.refused(Confirm()) == "'cured' has 1 s of 2 h left; it is done at 09:30"
    bench.later(seconds=1)
    over = passed(bench)
    assert (over.lasted_s, over.least, over.note) == (7200.0, "2 h", "")


def test_the_last_millisecond_of_a_wait_is_not_given_away_and_not_called_nothing() -> None:
    bench = glued().later(hours=2, milliseconds=-0.5)
    assert bench.refused(Confirm()).startswith("'cured' has 1 s of 2 h left")


def test_a_wait_tells_the_day_where_it_ends_on_another() -> None:
    bench = Bench().later(hours=15).frame_glued()
    bench.do(StartPass(CURE))
    assert bench.refused(Confirm()).endswith("it is done at Tue 4 Mar 00:30")


def test_a_wait_long_over_passes_and_keeps_how_long_it_really_was() -> None:
    bench = glued().later(hours=70)
    assert passed(bench).lasted_s == 70 * 3600


def test_a_clock_set_forward_by_a_day_ends_no_wait_and_is_noticed() -> None:
    bench = glued().later(minutes=10).clock_set(days=1).later(minutes=10)
    assert bench.refused(Confirm()).startswith("'cured' has 1 h 40 min of 2 h left")
    bench.do(ChangePerson("Cora Lind"))
    noticed = bench.only(ClockNoticed)
    assert noticed.seconds == 86400 and noticed.what == "the clock was set forward by 24 h 0 min"
    bench.later(hours=1, minutes=40)
    assert passed(bench).lasted_s == 7200


def test_a_clock_set_back_by_an_hour_lengthens_no_wait_and_is_noticed() -> None:
    bench = glued().later(minutes=10).clock_set(hours=-1).later(hours=1, minutes=50)
    assert passed(bench).lasted_s == 7200
    assert bench.only(ClockNoticed).what == "the clock was set back by 1 h 0 min"


def test_a_wait_runs_on_while_the_machine_is_off_and_says_by_which_clock() -> None:
    bench = glued().later(minutes=30).restart(minutes=60)
    bench.do(BeginSitting("bench"))
    assert bench.only(ClockNoticed).what == "the machine was restarted since the last entry"
    bench.later(minutes=29, seconds=59)
    assert "1 s of 2 h left" in bench.refused(Confirm())
    bench.later(seconds=1)
    assert passed(bench).note == "the machine was restarted in between; that part is by its wall clock alone"


def test_a_restart_nobody_has_recorded_yet_counts_the_same_as_one_that_was() -> None:
    bench = glued().restart(minutes=119)
    assert "1 min 0 s of 2 h left" in bench.refused(Confirm())
    bench.restart(minutes=1)
    assert passed(bench).lasted_s == 7200


def test_a_machine_that_wakes_with_its_clock_behind_adds_nothing_and_says_so() -> None:
    bench = glued().later(minutes=30)
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(hours=-3)
    sentence = bench.refused(Confirm())
    assert "1 h 30 min of 2 h left" in sentence
    assert "the clock stood 3 h 0 min behind after a restart; that time is not counted" in sentence
    bench.do(BeginSitting("bench"))
    assert [one.what for one in bench.events if isinstance(one, ClockNoticed)] == [
        "the machine was restarted since the last entry",
        "the clock was set back by 3 h 0 min",
    ]
    bench.later(hours=1, minutes=30)
    assert passed(bench).note == "the clock stood 3 h 0 min behind after a restart; that time is not counted"


def test_a_flat_battery_and_a_clock_put_right_again_give_no_wait_years() -> None:
    bench = glued().later(minutes=5)
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(days=-4000)
    bench.do(BeginSitting("bench"))
    bench.later(minutes=1)
    bench.do(ChangePerson("Dan Moor"))
    bench.restart(days=4000, minutes=19)
    assert "1 h 35 min of 2 h left" in bench.refused(Confirm())
    bench.later(hours=1, minutes=35)
    over = passed(bench)
    assert over.lasted_s == 7200 and "not counted" in over.note


def test_setting_the_clock_back_and_starting_the_machine_with_the_right_one_shortens_nothing() -> None:
    bench = glued().later(minutes=10).clock_set(hours=-5)
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(hours=5, minutes=5)
    assert "1 h 45 min of 2 h left" in bench.refused(Confirm())


def test_setting_the_clock_forward_before_a_restart_shortens_nothing_once_it_was_noticed() -> None:
    bench = glued().later(minutes=10).clock_set(hours=5)
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(minutes=2)
    assert "1 h 48 min of 2 h left" in bench.refused(Confirm())


def test_two_clocks_that_drift_by_a_second_a_day_are_not_called_set() -> None:
    bench = glued().later(hours=1).clock_set(seconds=1)
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(hours=1)
    assert "not counted" not in passed(bench).note
    assert [one.what for one in bench.events if isinstance(one, ClockNoticed)] == [
        "the machine was restarted since the last entry"
    ]


def test_a_suspended_job_lets_its_waits_run_on() -> None:
    bench = glued().later(minutes=1)
    bench.do(Suspend("closing for the night"))
    bench.later(hours=12)
    assert bench.refused(Confirm()) == "the job is suspended: closing for the night"
    bench.do(Resume())
    assert passed(bench).lasted_s == 12 * 3600 + 60


def test_a_time_recorded_once_starts_the_wait_of_every_part_inside() -> None:
    bench = glued().later(hours=2)
    bench.do(Confirm(), Confirm(), StartPass(("Cure", "F1/B")))
    assert passed(bench).lasted_s == 7200


def test_another_frame_has_its_own_clock() -> None:
    bench = glued().later(hours=1)
    bench.frame_glued("F2").later(hours=1)
    bench.do(StartPass(("Cure", "F2/A")))
    assert "1 h 0 min of 2 h left" in bench.refused(Confirm())
    bench.do(StartPass(CURE))
    assert passed(bench).lasted_s == 7200


@pytest.mark.parametrize(("back", "words"), [(1, "1 s"), (3600, "1 h 0 min"), (10**9, "11574 days 1 h")])
def test_time_never_runs_backwards(back: float, words: str) -> None:
    bench = Bench().restart(seconds=-back)
    assert elapsed(MORNING, bench.now).lasted == timedelta(0)
    assert f"stood {words} behind" in elapsed(MORNING, bench.now).note


def test_a_set_clock_is_noticed_beyond_two_seconds_and_a_drifting_one_is_not() -> None:
    for seconds, notices in ((SLACK_S, 0), (-SLACK_S, 0), (SLACK_S + 0.1, 1), (-SLACK_S - 0.1, 1)):
        bench = Bench().clock_set(seconds=seconds)
        bench.do(ChangePerson("Cora Lind"))
        assert sum(isinstance(one, ClockNoticed) for one in bench.events) == notices


@pytest.mark.parametrize(
    ("lasted", "words"),
    [
        (timedelta(0), "0 s"),
        (timedelta(seconds=-5), "0 s"),
        (timedelta(microseconds=1), "1 s"),
        (timedelta(seconds=59), "59 s"),
        (timedelta(seconds=59.5), "1 min 0 s"),
        (timedelta(minutes=12, seconds=40), "12 min 40 s"),
        (timedelta(hours=2), "2 h 0 min"),
        (timedelta(hours=2, seconds=1), "2 h 1 min"),
        (timedelta(hours=48), "2 days 0 h"),
    ],
)
def test_a_span_is_told_rounded_up_never_down(lasted: timedelta, words: str) -> None:
    assert span_words(lasted) == words
