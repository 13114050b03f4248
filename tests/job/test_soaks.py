"""Soaks: time counts only between readings on the part that are inside and not too far apart; heat counts in full."""

from __future__ import annotations

from typing import cast

from runner.job.events import DoorOpened, SoakDone, SoakRound, SoakStopped, TotalGrew, TotalOver
from runner.job.intents import Confirm, Dispose, LeaveLoad, MakeLoad, OpenDoor, StartPass, Stop, Type
from runner.job.job import Refusal
from runner.job.nonconformance import ways_out
from runner.job.passes import not_done
from tests.job.a_bench import Bench
from tests.job.an_oven import OVEN, oven

KEY = ("Bake", "tray 1")


def baking(text: str = OVEN) -> Bench:
    """Two frames in the oven, the first round read: both inside."""
    bench = oven(text=text)
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(KEY), Type("200 200"))
    return bench


def read(bench: Bench, text: str = "200 200", **after: float) -> SoakRound:
    bench.later(**(after or {"minutes": 20}))
    return cast(SoakRound, next(one for one in bench.do(Type(text)) if isinstance(one, SoakRound)))


def heat(bench: Bench, frame: str) -> float:
    """Minutes over the temperature that counts."""
    return round(bench.state.totals.get((frame, "heat"), 0.0) / 60, 3)


def test_a_soak_is_done_by_its_readings_and_not_a_second_early() -> None:
    bench = baking()
    read(bench), read(bench)
    short = read(bench, minutes=19, seconds=59)
    assert short.left_s == 1.0 and not bench.at(KEY).done
    read(bench, seconds=1)
    assert bench.only(SoakDone).total_s == 3600 and bench.at(KEY).done


def test_no_key_ends_a_soak() -> None:
    bench = baking().later(hours=3)
    assert bench.refused(Confirm()).startswith("readings of a soak are wanted here")


def test_the_time_before_the_first_reading_inside_counts_for_nothing() -> None:
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(KEY), Type("120 200"))
    first = read(bench)
    assert (first.inside, first.counted_s, first.note) == (True, 0.0, "the reading before was not inside")
    assert read(bench).total_s == 1200


def test_a_late_reading_proves_nothing_and_its_heat_counts_in_full() -> None:
    bench = baking()
    assert read(bench, minutes=25).counted_s == 1500
    late = read(bench, minutes=25, seconds=1)
    assert late.counted_s == 0 and late.note == "a gap of 25 min 1 s proves nothing, and does not count"
    assert heat(bench, "F1") == round(50 + 1 / 60, 3)


def test_the_coldest_in_a_load_governs_the_soak_and_each_keeps_its_own_heat() -> None:
    bench = baking()
    low = read(bench, "194.9 200")
    assert not low.inside and low.counted_s == 0 and low.coldest == "194.9 degC"
    low = read(bench, "140 200")
    assert low.total_s == 0
    read(bench, "140 200")
    assert (heat(bench, "F1"), heat(bench, "F2")) == (40, 60)


def test_over_its_temperature_a_soak_stops_and_a_concession_lets_it_go_on_but_ends_nothing() -> None:
    bench = baking()
    read(bench, "200 221")
    assert bench.only(SoakStopped).sentence == "F2 was at 221 degC, over 220 degC (shop's own, invented)"
    assert bench.refused(Type("200 200")).startswith("F2 was at 221")
    bench.do(Stop("nonconforming", "the thermostat ran away"))
    assert ways_out(bench.job, bench.state, KEY) == ("concession", "scrap", "return")
    bench.do(Dispose("concession", "Olga Rand", "hardness was read and holds"))
    assert not bench.at(KEY).done
    assert read(bench).total_s == 0 and read(bench).total_s == 1200


def test_exactly_at_what_it_may_never_be_over_is_not_over() -> None:
    bench = baking()
    assert not read(bench, "200 220").inside and bench.at(KEY).failed is None


def test_a_soak_longer_than_its_most_stops_once_and_is_done_after_a_concession() -> None:
    bench = baking()
    for _ in range(2):
        read(bench)
    read(bench, minutes=90)
    assert "may have lasted 2 h 10 min, over 120 min" in bench.only(SoakStopped).sentence
    bench.do(Stop("nonconforming", "forgotten over lunch"), Dispose("concession", "Olga Rand", "harmless"))
    read(bench)
    assert bench.only(SoakDone).total_s == 3600


def test_an_opened_door_is_told_and_the_readings_alone_decide() -> None:
    bench = baking()
    bench.do(OpenDoor("a probe had slipped"))
    assert bench.only(DoorOpened).because == "a probe had slipped"
    assert read(bench, "190 200").counted_s == 0


def test_a_part_taken_out_of_the_load_in_the_middle_takes_its_heat_with_it() -> None:
    bench = baking()
    bench.later(minutes=10)
    bench.do(LeaveLoad("tray 1", "F2", "its tag had come off"))
    assert heat(bench, "F2") == 10
    done = read(bench, "200", minutes=10)
    assert done.counted_s == 1200 and (heat(bench, "F1"), heat(bench, "F2")) == (20, 10)


def test_a_part_taken_out_after_its_reading_and_before_the_last_leaves_a_round_to_be_read() -> None:
    bench = baking().later(minutes=20)
    bench.do(Type("200"), LeaveLoad("tray 1", "F2", "its tag had come off"))
    assert read(bench, "201", seconds=30).counted_s == 1230


def test_a_power_cut_in_a_soak_is_a_gap() -> None:
    bench = baking().later(minutes=5).restart(minutes=40)
    lost = read(bench, seconds=1)
    assert lost.counted_s == 0 and "gap of 45 min" in lost.note
    assert heat(bench, "F1") == round(45 + 1 / 60, 3)


def test_a_machine_that_wakes_with_its_clock_behind_proves_no_soak() -> None:
    bench = baking().restart(minutes=-30)
    lost = read(bench, seconds=1)
    assert lost.counted_s == 0 and lost.note.endswith("the time since the reading before proves nothing")


def test_a_clock_set_in_a_soak_changes_nothing_of_what_is_counted() -> None:
    for hours in (-25, -1, 1, 25):
        bench = baking().later(minutes=10).clock_set(hours=hours)
        assert read(bench, minutes=10).counted_s == 1200 and heat(bench, "F1") == 20


def test_heat_over_its_limit_stops_the_load_even_where_nothing_was_too_hot() -> None:
    bench = baking()
    read(bench, hours=3)
    assert heat(bench, "F1") == 180 and not [one for one in bench.events if isinstance(one, TotalOver)]
    bench.do(Stop("nonconforming", "left over night"), Dispose("concession", "Olga Rand", "harmless"))
    read(bench, minutes=1)
    over = bench.only(TotalOver)
    assert over.bearers == ("F1", "F2") and not over.completed
    assert over.sentence.startswith("F1: heat is 181.0 min, over 3 h (shop's own, invented); F2: heat is 181")
    assert all(one.over == (one.sum_si > 10800) for one in bench.events if isinstance(one, TotalGrew))


def test_a_load_that_every_part_was_taken_out_of_is_soaked_no_more_and_holds_nothing_up() -> None:
    bench = oven(("F1",))
    bench.do(MakeLoad("batch", "tray", ("F1",)), StartPass(("Bake", "tray")), Type("200"))
    bench.do(LeaveLoad("tray", "F1", "it belongs to another job"))
    assert isinstance(bench.ask(Type("200")), Refusal)
    assert ("Bake", "tray") not in not_done(bench.job, bench.state)
    bench.do(MakeLoad("batch", "tray 2", ("F1",)), StartPass(("Bake", "tray 2")), Type("200"))
