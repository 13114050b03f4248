"""What goes wrong with time at a bench: nights, changes of the clock, machines asleep, jobs handed over while a clock runs."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from runner.job import events as e
from runner.job.alarms import standing
from runner.job.due import running
from runner.job.intents import (
    AcceptHandover,
    Arm,
    BeginSitting,
    ChangePerson,
    ClockKey,
    Confirm,
    Dispose,
    Estimate,
    HandOver,
    MakeLoad,
    Notice,
    StartPass,
    Tick,
    Type,
)
from runner.job.moments import Moment
from tests.job.a_bench import FITTER, Bench
from tests.job.an_oven import cleaned, oven

BAKE, FIT, CURE = ("Bake", "tray 1"), ("Fit", "F1"), ("Cure", "F1/A")


def baking() -> Bench:
    """Two frames in the oven, the first round read: both inside."""
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(BAKE), Type("200 200"))
    return bench


def driven(frame: str = "F1") -> Bench:
    """The first key told: the clock runs, useful for 10 s and at last for 20 s."""
    bench = oven()
    bench.do(StartPass(("Fit", frame)), Type("10"), Tick(1), Arm(), ClockKey())
    return bench


def heat(bench: Bench, frame: str) -> float:
    """Minutes over the temperature that counts."""
    return round(bench.state.totals.get((frame, "heat"), 0.0) / 60, 3)


# nights and changes of the clock


def test_nine_hours_closed_end_a_wait_and_prove_no_soak_and_every_hour_of_them_was_hot() -> None:
    glued = Bench().frame_glued()
    glued.do(StartPass(CURE))
    glued.restart(hours=9).do(BeginSitting("bench"), Confirm())
    assert glued.only(e.WaitPassed).lasted_s == 9 * 3600
    bench = baking().restart(hours=9)
    bench.do(BeginSitting("bench"))
    made = bench.do(Type("200 200"))
    assert next(one for one in made if isinstance(one, e.SoakRound)).counted_s == 0
    assert (heat(bench, "F1"), heat(bench, "F2")) == (540, 540)
    assert bench.at(BAKE).failed is not None


@pytest.mark.parametrize(
    ("begins", "over"),
    [
        # The clock of Berlin goes from 02:00 to 03:00 at 01:00 UTC in March and from 03:00 to 02:00 at 01:00 UTC in October
        # (Directive 2000/84/EC, articles 2 and 3).
        (datetime(2031, 3, 30, 0, 30, tzinfo=UTC), "04:30"),
        (datetime(2031, 10, 26, 0, 30, tzinfo=UTC), "03:30"),
    ],
)
def test_two_hours_are_two_hours_over_both_changes_of_the_clock(begins: datetime, over: str) -> None:
    bench = Bench()
    bench.job = replace(bench.job, zone=ZoneInfo("Europe/Berlin"))
    bench.now = Moment(begins, 500.0, "boot-1")
    bench.frame_glued().do(StartPass(CURE))
    bench.later(hours=1, minutes=59, seconds=59)
    assert bench.refused(Confirm()) == f"'cured' has 1 s of 2 h left; it is done at {over}"
    bench.later(seconds=1)
    bench.do(Confirm())
    assert bench.only(e.WaitPassed).lasted_s == 7200


def test_a_machine_that_slept_over_a_window_says_so_at_its_first_look() -> None:
    bench = cleaned(oven()).later(hours=3)
    bench.do(Notice())
    assert [one.sort for one in bench.only(e.AlarmRaised).alarms] == ["window missed"]
    bench.do(Confirm())
    assert not bench.only(e.CheckDecided).met


def test_a_machine_that_slept_over_a_reading_finds_the_soak_late_and_its_heat_counted() -> None:
    bench = baking().later(hours=2)
    bench.do(Notice())
    assert "reading late" in [one.sort for one in bench.only(e.AlarmRaised).alarms]
    late = next(one for one in bench.do(Type("200 200")) if isinstance(one, e.SoakRound))
    assert late.counted_s == 0 and heat(bench, "F1") == 120


# timers beside one another


def test_the_heat_of_a_load_goes_on_while_a_window_of_its_part_is_missed() -> None:
    bench = baking()
    bench.do(StartPass(("Coat", "F1")), Confirm())
    bench.do(StartPass(BAKE))
    for _ in range(3):
        bench.later(minutes=20, seconds=20)
        bench.do(Type("200 200"))
    bench.do(StartPass(("Coat", "F1")), Confirm())
    missed = next(one for one in bench.events if isinstance(one, e.CheckDecided))
    assert not missed.met and heat(bench, "F1") == 61
    assert any(isinstance(one, e.SoakDone) for one in bench.events)


def test_a_rework_of_one_part_leaves_every_other_timer_as_it_runs() -> None:
    bench = cleaned(cleaned(oven(), "F2")).later(minutes=40)
    bench.do(MakeLoad("batch", "tray 1", ("F2",)), StartPass(BAKE), Type("200"))
    bench.later(minutes=15)

    def others() -> list[tuple[str, str, datetime]]:
        found = running(bench.job, bench.state, bench.now)
        return [(one.what, one.part, one.at) for one in found if one.part != "F1"]

    before = others()
    assert [(what, part) for what, part, _ in before] == [("still_clean", "F2"), ("bake", "tray 1")]
    bench.do(StartPass(("Coat", "F1")))
    bench.later(minutes=6)
    bench.do(Confirm(), Dispose("clean again", FITTER, "wiped once more"), Confirm())
    assert others() == before
    mine = next(one for one in running(bench.job, bench.state, bench.now) if one.part == "F1")
    assert mine.what == "still_clean" and (mine.at - bench.now.utc).total_seconds() == 3600


# a second key that nobody could tell


def test_a_second_key_missed_while_the_job_is_handed_over_is_noticed_by_whoever_takes_it_on() -> None:
    bench = driven()
    bench.do(HandOver("the oven is open"))
    bench.later(minutes=5)
    assert not bench.do(Notice())
    assert "handed the job over" in bench.refused(ClockKey())
    bench.do(ChangePerson("Cora Lind"), AcceptHandover(), Notice())
    missed = bench.only(e.ClockStopped)
    assert (missed.act, missed.met) == ("", False)
    assert [one.ref.sort for one in standing(bench.job, bench.state, bench.now)] == ["key missed"]
    bench.later(minutes=1, seconds=59)
    bench.do(Estimate("9", "Ada counted aloud before she left"))
    assert bench.at(FIT).failed is None


def test_two_parts_against_the_clock_at_once_each_keep_their_own_seconds() -> None:
    bench = driven().later(seconds=5)
    bench.do(StartPass(("Fit", "F2")), Type("10"), Tick(1), Arm(), ClockKey())
    bench.later(seconds=8)
    bench.do(ClockKey(), StartPass(FIT))
    bench.later(seconds=4)
    bench.do(ClockKey())
    told = {one.part: one.taken_s for one in bench.events if isinstance(one, e.ClockStopped)}
    assert told == {"F2": 8.0, "F1": 17.0}
