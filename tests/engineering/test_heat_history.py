"""Heat history: a soak counts only what readings prove, the heat total takes in what they leave open."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.heat_history import (
    A356_AGEING,
    Pause,
    Timed,
    coldest,
    equivalent_ageing,
    equivalent_time,
    hottest,
    peak,
    soaked,
    time_above,
    time_in_band,
)
from runner.engineering.signature import OutOfDomain

laws = settings(derandomize=True, deadline=None, max_examples=40)
ZERO = 273.15
LOW, HIGH = ZERO + 195, ZERO + 205
MINUTE = 60.0


def minutes(*pairs: tuple[float, float]) -> list[Timed]:
    """Readings from (minute, degC)."""
    return [Timed(minute * MINUTE, ZERO + degrees) for minute, degrees in pairs]


def soak_minutes(readings: list[Timed], *openings: tuple[float, float]) -> float:
    doors = [(start * MINUTE, end * MINUTE) for start, end in openings]
    return soaked(readings, LOW, HIGH, 5 * MINUTE, MINUTE, doors).counted / MINUTE


def test_a_soak_counts_between_readings_that_are_both_inside() -> None:
    assert soak_minutes(minutes((0, 180), (5, 196), (10, 200), (15, 204), (20, 190))) == 10


def test_the_edges_of_the_band_are_inside() -> None:
    assert soak_minutes(minutes((0, 195), (5, 205))) == 5


def test_a_reading_within_its_grace_counts_and_a_later_one_doesnt() -> None:
    assert soak_minutes(minutes((0, 200), (6, 200))) == 6
    assert soak_minutes(minutes((0, 200), (6.01, 200))) == 0


def test_a_gap_in_the_middle_is_a_pause_that_says_so() -> None:
    soak = soaked(minutes((0, 200), (5, 200), (25, 200), (30, 200)), LOW, HIGH, 5 * MINUTE, MINUTE)
    assert soak.counted == 10 * MINUTE
    assert soak.pauses == (Pause(5 * MINUTE, 25 * MINUTE, "gap"),)
    assert (soak.first, soak.last) == (0.0, 30 * MINUTE)


def test_a_dip_is_paused_until_it_has_recovered() -> None:
    readings = minutes((0, 198), (5, 199), (10, 190), (15, 193), (20, 196), (25, 199))
    soak = soaked(readings, LOW, HIGH, 5 * MINUTE, MINUTE)
    assert soak.counted == 10 * MINUTE
    assert soak.pauses == (Pause(5 * MINUTE, 20 * MINUTE, "below"),)


def test_an_overshoot_doesnt_count_and_is_called_above() -> None:
    soak = soaked(minutes((0, 200), (5, 200), (10, 207), (15, 204), (20, 204)), LOW, HIGH, 5 * MINUTE, MINUTE)
    assert soak.counted == 10 * MINUTE
    assert [pause.why for pause in soak.pauses] == ["above"]
    assert soak.peak == ZERO + 207


def test_four_short_openings_of_the_door_dont_stop_the_soak_and_a_fifth_does() -> None:
    # AMS 2770R:2020, as quoted: at most four of not more than 2 min
    readings = minutes(*((float(minute), 200.0) for minute in range(0, 61, 5)))
    four = [(2.0, 3.5), (12.0, 14.0), (22.0, 23.0), (32.0, 34.0)]
    assert soak_minutes(readings, *four) == 60
    assert soak_minutes(readings, *four, (42.0, 43.0)) == 55


def test_a_long_opening_stops_the_soak_until_a_reading_after_it() -> None:
    readings = minutes(*((float(minute), 200.0) for minute in range(0, 31, 5)))
    assert soak_minutes(readings, (7.0, 12.0)) == 20
    doors = [(7 * MINUTE, 12 * MINUTE)]
    soak = soaked(readings, LOW, HIGH, 5 * MINUTE, MINUTE, doors)
    assert soak.pauses == (Pause(5 * MINUTE, 15 * MINUTE, "door"),)


def test_a_part_never_in_the_band_has_no_soak() -> None:
    soak = soaked(minutes((0, 20), (5, 90)), LOW, HIGH, 5 * MINUTE, MINUTE)
    assert (soak.counted, soak.first, soak.last, soak.pauses) == (0, None, None, ())


def test_minutes_above_are_cut_where_the_line_crosses() -> None:
    readings = minutes((0, 170), (5, 190), (10, 190), (15, 175))
    # by hand: half of the first five, all of the next, 10 of 15 K of the last
    assert time_above(readings, ZERO + 180, 5 * MINUTE, 0) / MINUTE == pytest.approx(2.5 + 5 + 10 / 3)


def test_a_gap_counts_in_full_at_its_hotter_reading() -> None:
    readings = minutes((0, 150), (60, 181))
    assert time_above(readings, ZERO + 180, 5 * MINUTE, MINUTE) == 60 * MINUTE
    assert time_above(readings, ZERO + 182, 5 * MINUTE, MINUTE) == 0
    aged = equivalent_ageing(readings, ZERO + 181, 5 * MINUTE, MINUTE)
    assert aged == pytest.approx(60 * MINUTE)


def test_a_steady_bake_at_the_reference_is_its_own_equivalent() -> None:
    readings = minutes(*((float(minute), 200.0) for minute in range(0, 121, 5)))
    assert equivalent_ageing(readings, ZERO + 200, 5 * MINUTE, MINUTE) == pytest.approx(120 * MINUTE)
    # ten kelvin hotter ages by exp(15481 * 10 / (473.15 * 483.15)) = 1.97 (D)
    hotter = minutes(*((float(minute), 210.0) for minute in range(0, 121, 5)))
    assert equivalent_ageing(hotter, ZERO + 200, 5 * MINUTE, MINUTE) / (120 * MINUTE) == pytest.approx(
        1.97, abs=0.01
    )


histories = st.lists(st.tuples(st.floats(1.0, 900.0), st.floats(290.0, 500.0)), min_size=2, max_size=20).map(
    lambda steps: [
        Timed(math.fsum(s for s, _ in steps[: n + 1]), kelvin) for n, (_, kelvin) in enumerate(steps)
    ]
)


@laws
@given(histories, st.integers(1, 19))
def test_a_history_in_two_parts_adds_up(history: list[Timed], cut: int) -> None:
    cut = min(cut, len(history) - 1)
    first, second = history[: cut + 1], history[cut:]
    for total in (
        lambda part: time_in_band(part, 440.0, 480.0, 300, 60),
        lambda part: time_above(part, 453.15, 300, 60),
        lambda part: equivalent_ageing(part, 473.15, 300, 60),
    ):
        assert total(first) + total(second) == pytest.approx(total(history), rel=1e-9, abs=1e-9)


@laws
@given(histories, st.floats(300.0, 490.0), st.floats(0.1, 50.0))
def test_no_soak_is_longer_than_the_time_that_passed(history: list[Timed], low: float, width: float) -> None:
    whole = history[-1].at - history[0].at
    in_band = time_in_band(history, low, low + width, 300, 60)
    assert 0 <= in_band <= whole + 1e-9
    assert in_band <= time_in_band(history, low - 5, low + width + 5, 300, 60) + 1e-9
    assert in_band <= time_above(history, low - 1e-9, 300, 60) + 1e-9


@laws
@given(histories, st.floats(0.5, 40.0))
def test_a_hotter_history_ages_more_and_is_longer_above(history: list[Timed], more: float) -> None:
    hotter = [Timed(one.at, one.temperature + more) for one in history]
    assert equivalent_ageing(hotter, 473.15, 300, 60) > equivalent_ageing(history, 473.15, 300, 60)
    assert time_above(hotter, 400.0, 300, 60) >= time_above(history, 400.0, 300, 60)
    assert peak(hotter) == pytest.approx(peak(history) + more)


@laws
@given(histories)
def test_losing_a_reading_never_lengthens_a_soak_or_cools_the_history(history: list[Timed]) -> None:
    # steady readings, so that a lost one leaves a gap and nothing else
    for lost in range(1, len(history) - 1):
        steady = [Timed(300.0 * n, one.temperature) for n, one in enumerate(history)]
        fewer = steady[:lost] + steady[lost + 1 :]
        around = max(steady[lost - 1].temperature, steady[lost + 1].temperature)
        assert time_in_band(fewer, 350, 450, 300, 60) <= time_in_band(steady, 350, 450, 300, 60) + 1e-9
        if steady[lost].temperature <= around:
            assert time_above(fewer, 400, 300, 60) >= time_above(steady, 400, 300, 60) - 1e-9
            aged = [equivalent_ageing(one, 473.15, 300, 60) for one in (fewer, steady)]
            assert aged[0] >= aged[1] * (1 - 1e-9)


@laws
@given(st.floats(0.0, 1e6), st.floats(350.0, 550.0), st.floats(350.0, 550.0), st.floats(350.0, 550.0))
def test_equivalents_may_go_by_way_of_any_temperature(
    time: float, one: float, two: float, three: float
) -> None:
    there = equivalent_time(equivalent_time(time, one, two, A356_AGEING), two, three, A356_AGEING)
    assert there == pytest.approx(equivalent_time(time, one, three, A356_AGEING), rel=1e-9)


@laws
@given(st.floats(60.0, 1e8), st.floats(400.0, 1400.0), st.floats(10.0, 30.0))
def test_larson_millers_number_and_time_undo_each_other(
    time: float, temperature: float, constant: float
) -> None:
    number = CALCULATIONS["larson_miller_parameter"].work(time, temperature, constant)
    assert CALCULATIONS["larson_miller_time"].work(number, temperature, constant) == pytest.approx(
        time, rel=1e-9
    )


def test_a_loads_coldest_governs_its_soak_and_its_hottest_the_deviation() -> None:
    rows = [(0.0, [470.0, 465.0]), (300.0, [479.0, 471.0]), (600.0, [])]
    assert coldest(rows) == (Timed(0.0, 465.0), Timed(300.0, 471.0))
    assert hottest(rows) == (Timed(0.0, 470.0), Timed(300.0, 479.0))


def test_readings_that_cant_be_are_refused() -> None:
    good = minutes((0, 200), (5, 200))
    for readings, said in (
        ([*good[::-1]], "out of order: one goes back by 300 s"),
        ([*good, Timed(math.nan, 400.0)], "no time or no temperature"),
        ([*good, Timed(900.0, math.inf)], "no time or no temperature"),
        ([*good, Timed(900.0, -3.0)], "no time or no temperature"),
    ):
        for work in (
            lambda them: time_in_band(them, LOW, HIGH, 300, 60),
            lambda them: time_above(them, LOW, 300, 60),
            lambda them: equivalent_ageing(them, LOW, 300, 60),
        ):
            with pytest.raises(OutOfDomain, match=said):
                work(readings)
    with pytest.raises(OutOfDomain, match="without a reading"):
        peak([])
    with pytest.raises(OutOfDomain, match="cold end above its hot end"):
        time_in_band(good, HIGH, LOW, 300, 60)
    for interval, grace in ((0.0, 0.0), (300.0, -1.0), (math.nan, 0.0), (math.inf, 0.0)):
        with pytest.raises(OutOfDomain, match="at an interval above zero"):
            time_above(good, LOW, interval, grace)
    with pytest.raises(OutOfDomain, match="ends before it starts"):
        soaked(good, LOW, HIGH, 300, 60, [(10.0, 5.0)])
    with pytest.raises(OutOfDomain, match="ageing stands still"):
        equivalent_ageing(good, 1.0, 300, 60)


@pytest.mark.parametrize("furnace_class", [0.5, 1.5, 5.999])
def test_a_furnace_class_is_a_whole_number(furnace_class: float) -> None:
    with pytest.raises(OutOfDomain, match="there is no furnace class"):
        CALCULATIONS["uniformity_tolerance"].work(furnace_class)


def test_a_furnace_too_uneven_is_of_no_class() -> None:
    with pytest.raises(OutOfDomain, match=r"28\.1 K off somewhere is of no class"):
        CALCULATIONS["uniformity_class"].work(28.1)
    assert CALCULATIONS["uniformity_class"].work(0.0) == 1
    assert CALCULATIONS["uniformity_class"].work(28.0) == 6
