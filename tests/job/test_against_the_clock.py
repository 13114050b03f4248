"""Two acts told by one key, against seconds that were worked out before: a key missed is a window missed."""

from __future__ import annotations

import pytest

from runner.job.events import ClockArmed, ClockStopped, Event, HeldDown, ReworkBegun, WentOutOfDate
from runner.job.fold import fold
from runner.job.intents import (
    Arm,
    BeginSitting,
    ChangePerson,
    ClockKey,
    Confirm,
    Correct,
    Dispose,
    Estimate,
    MeasureAgain,
    Notice,
    Resume,
    StandDown,
    StartPass,
    Stop,
    Suspend,
    Tick,
    Type,
)
from tests.job.a_bench import Bench
from tests.job.an_oven import OVEN, oven

KEY = ("Fit", "F1")


def armed() -> Bench:
    """Ten seconds useful, twenty at the last."""
    bench = oven()
    bench.do(StartPass(KEY), Type("10"), Tick(1), Arm())
    return bench


def begun() -> Bench:
    bench = armed()
    bench.do(ClockKey())
    return bench


def home(bench: Bench, seconds: float) -> ClockStopped:
    bench.later(seconds=seconds)
    bench.do(ClockKey())
    return bench.only(ClockStopped)


def test_nothing_is_armed_before_everything_is_ready() -> None:
    bench = oven()
    bench.do(StartPass(KEY), Type("10"))
    assert bench.refused(Arm()) == "not ready yet: Driver cold"
    assert bench.refused(ClockKey()) == "'drive' is not armed"


def test_nothing_is_armed_where_there_is_no_useful_time() -> None:
    bench = oven()
    bench.do(StartPass(KEY), Type("0"), Tick(1))
    assert bench.refused(Arm()) == "'drive' has no useful time here: 0.0 s (open_for)"


def test_the_limits_are_kept_before_hands_are_busy() -> None:
    one = armed().only(ClockArmed)
    assert (one.useful_s, one.last_s) == (10.0, 20.0) and one.inputs[0].name == "open_for"


def test_armed_it_can_be_stood_down_with_a_reason_and_running_it_cannot() -> None:
    bench = armed()
    assert bench.refused(StandDown("")) == "standing down needs its reason"
    bench.do(StandDown("the phone rang"))
    assert bench.refused(ClockKey()) == "'drive' is not armed"
    bench.do(Arm(), ClockKey())
    assert bench.refused(StandDown("too late")) == "the clock runs; it is stopped by its key alone"


def test_a_second_key_sooner_than_can_be_counts_for_nothing() -> None:
    bench = begun().later(seconds=1.5)
    assert bench.refused(ClockKey()) == "that was 1.5 s after the first key, and counts for nothing"
    assert home(bench, 0.5).taken_s == 2.0


@pytest.mark.parametrize(
    ("seconds", "met", "words"),
    [
        (10, True, "took 10.0 s, inside the useful 10.0 s"),
        (20, True, "took 20.0 s, over the useful 10.0 s and inside the last 20.0 s"),
        (20.1, False, "took 20.1 s, over the last limit of 20.0 s"),
    ],
)
def test_home_is_judged_by_both_limits(seconds: float, met: bool, words: str) -> None:
    stopped = home(begun(), seconds)
    assert stopped.met is met and stopped.sentence == f"F1: drive {words}"


def test_the_hold_down_is_counted_from_the_second_key_and_no_key_shortens_it() -> None:
    bench = begun()
    home(bench, 8)
    bench.later(seconds=19.9)
    assert bench.do(Notice()) == [] and not isinstance(bench.ask(Confirm()), list)
    bench.later(seconds=0.1)
    bench.do(Notice())
    held = bench.only(HeldDown)
    assert (held.taken_s, held.held_s) == (8.0, 20.0) and bench.step == 3


def test_a_missed_key_is_noticed_and_takes_its_route_after_a_while_by_itself() -> None:
    bench = begun().later(seconds=20)
    assert bench.do(Notice()) == []
    bench.later(seconds=0.1)
    bench.do(Notice())
    missed = bench.only(ClockStopped)
    assert (missed.act, missed.met) == ("", False)
    bench.later(seconds=119)
    assert bench.do(Notice()) == []
    bench.later(seconds=1)
    bench.do(Notice())
    assert bench.only(ReworkBegun).title == "chill again" and bench.step == 1


def test_home_too_late_takes_its_route_at_once() -> None:
    bench = begun()
    home(bench, 21)
    bench.do(Notice())
    assert bench.only(ReworkBegun).because == "F1: drive took 21.0 s, over the last limit of 20.0 s"


def test_a_reading_grown_too_old_is_asked_for_before_the_first_key_and_not_once_it_has_run() -> None:
    lasting = OVEN.replace("plausible: 0 s to 100 s\n", "plausible: 0 s to 100 s\n        good for: 2 min\n")
    bench = oven(text=lasting)
    bench.do(StartPass(KEY), Type("10"), Tick(1), Arm())
    bench.later(minutes=2, seconds=1).do(ClockKey())
    assert bench.only(WentOutOfDate).step == 1 and bench.step == 1
    bench.do(MeasureAgain("open_for", "it had stood too long"), Type("9"), Tick(1), Arm())
    bench.later(seconds=115).do(ClockKey())
    assert home(bench, 8).met
    bench.later(seconds=20).do(Notice())
    assert bench.only(HeldDown).taken_s == 8.0
    bench.later(hours=1).do(Confirm())
    assert bench.at(KEY).done


def test_a_missed_key_put_in_later_is_an_estimate_with_its_reason_and_judged_alike() -> None:
    bench = begun().later(seconds=25)
    bench.do(Notice())
    assert bench.refused(Estimate("9", "")).startswith("an estimate needs its reason")
    assert bench.refused(Estimate("1", "Cora counted")) == "1 s can't be"
    bench.do(Estimate("9", "Cora counted aloud"))
    late = [one for one in bench.events if isinstance(one, ClockStopped)][-1]
    assert late.met and late.estimated == "Cora counted aloud" and late.taken_s == 9.0
    bench.later(seconds=20)
    bench.do(Notice())
    assert bench.only(HeldDown).taken_s == 9.0


def test_an_estimate_over_the_last_limit_is_missed_like_any_other() -> None:
    bench = begun().later(seconds=25)
    bench.do(Notice(), Estimate("22", "Cora counted aloud"), Notice())
    assert bench.only(ReworkBegun).title == "chill again"


def test_a_concession_lets_a_missed_one_be_held_down_and_takes_no_route() -> None:
    bench = begun()
    home(bench, 21)
    bench.do(Stop("nonconforming", "a second late"), Dispose("concession", "Olga Rand", "flush all round"))
    bench.later(seconds=20)
    bench.do(Notice())
    assert bench.only(HeldDown).taken_s == 21.0 and bench.step == 3


def test_two_clocks_in_one_pass_run_one_after_the_other() -> None:
    second = OVEN[OVEN.index("      - against the clock: drive") : OVEN.index("      - do: Look all round")]
    bench = oven(
        text=OVEN.replace("      - do: Look", second.replace("drive", "drive_two") + "      - do: Look")
    )
    bench.do(StartPass(KEY), Type("10"))
    for number in (2, 3):
        assert bench.step == number
        bench.do(Tick(1), Arm(), ClockKey())
        bench.later(seconds=5)
        bench.do(ClockKey())
        bench.later(seconds=20)
        bench.do(Notice())
    assert [one.name for one in bench.events if isinstance(one, HeldDown)] == ["drive", "drive_two"]


def test_a_corrected_input_puts_the_arming_out_of_date_and_leaves_a_running_clock() -> None:
    bench = armed()
    bench.do(Correct(KEY, "open_for", "", "6", "misread"))
    assert bench.refused(ClockKey()) == "'drive' is not armed"
    bench.do(Tick(1), Arm())
    assert [one.useful_s for one in bench.events if isinstance(one, ClockArmed)] == [10.0, 6.0]
    bench.do(ClockKey(), Correct(KEY, "open_for", "", "8", "misread again"))
    assert home(bench, 5).useful_s == 6.0


def test_suspending_stops_people_and_no_clock() -> None:
    bench = begun()
    bench.do(Suspend("fire alarm"))
    bench.later(minutes=10)
    assert bench.do(Notice()) == []
    bench.do(Resume(), Notice())
    assert bench.only(ClockStopped).taken_s == 600.0


def test_another_pass_in_hand_hides_no_missed_key() -> None:
    bench = begun()
    bench.do(StartPass(("Coat", "F2")))
    bench.later(seconds=21)
    bench.do(Notice())
    assert not bench.only(ClockStopped).met


@pytest.mark.parametrize("wall", [dict(seconds=30), dict(hours=9), dict(minutes=-30)])
def test_a_machine_that_died_between_the_keys_has_missed_the_window(wall: dict[str, float]) -> None:
    kept: list[Event] = list(begun().events)
    bench = begun()
    bench.events, bench.state = kept, fold(kept)
    bench.restart(**wall)
    bench.do(BeginSitting("bench"), Notice())
    assert not bench.only(ClockStopped).met


def test_a_clock_set_between_the_keys_changes_no_second() -> None:
    for hours in (-1, 1, 24):
        bench = begun().clock_set(hours=hours)
        bench.do(ChangePerson("Cora Lind"))
        assert home(bench, 9).taken_s == 9.0
