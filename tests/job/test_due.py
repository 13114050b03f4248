"""What time runs for: each kind of timer with when and what then, soonest first, and nothing that isn't running."""

from __future__ import annotations

from datetime import timedelta

from runner.job.due import Due, running
from runner.job.intents import Arm, ClockKey, Confirm, MakeLoad, StartPass, Tick, Type
from tests.job.a_bench import MORNING, Bench
from tests.job.an_oven import cleaned, oven


def due(bench: Bench) -> list[Due]:
    return running(bench.job, bench.state, bench.now)


def after(**span: float) -> object:
    return MORNING.utc + timedelta(**span)


def test_nothing_runs_in_a_job_that_was_only_opened() -> None:
    assert due(oven()) == []


def test_a_window_is_due_at_its_latest_until_its_second_act_is_done() -> None:
    bench = cleaned(oven())
    (window,) = due(bench)
    assert (window.sort, window.what, window.part) == ("window", "still_clean", "F1")
    assert (window.earliest, window.latest, window.then) == (None, after(minutes=60), "coated by then")
    bench.later(minutes=90)
    assert due(bench)[0].latest == after(minutes=60)
    bench = cleaned(oven())
    bench.do(Confirm())
    assert [one.what for one in due(bench)] == ["rested"]


def test_a_time_of_day_is_due_at_that_hour_of_the_right_day() -> None:
    bench = cleaned(oven())
    bench.do(Confirm())
    assert due(bench)[0].earliest == after(hours=22, minutes=30)


def test_a_soak_tells_its_next_reading_and_its_soonest_end() -> None:
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(("Bake", "tray 1")), Type("200 200"))
    bench.later(minutes=5)
    (soak,) = due(bench)
    assert (soak.earliest, soak.latest) == (after(minutes=20), after(minutes=25))
    assert soak.then == "read again; over at 08:30 at the soonest"
    bench.later(minutes=25)
    assert due(bench)[0].then == "read again; over at 09:00 at the soonest"


def test_a_clock_is_due_at_its_last_limit_and_then_when_it_may_be_let_go() -> None:
    bench = oven()
    bench.do(StartPass(("Fit", "F1")), Type("10"), Tick(1), Arm())
    assert due(bench) == []
    bench.do(ClockKey())
    assert (due(bench)[0].latest, due(bench)[0].then) == (after(seconds=20), "home")
    bench.later(seconds=8)
    bench.do(ClockKey())
    assert (due(bench)[0].earliest, due(bench)[0].then) == (after(seconds=28), "let go")


def test_what_runs_is_told_soonest_first_over_all_parts() -> None:
    bench = cleaned(oven())
    bench.later(minutes=10)
    cleaned(bench, "F2")
    bench.do(StartPass(("Fit", "F1")), Type("10"), Tick(1), Arm(), ClockKey())
    assert [(one.what, one.part) for one in due(bench)] == [
        ("drive", "F1"),
        ("still_clean", "F1"),
        ("still_clean", "F2"),
    ]
