"""Warming, cooling and convection: what must hold whatever the numbers are, and the sentences where there is no answer."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain

laws = settings(derandomize=True, deadline=None, max_examples=40)
temperatures = st.floats(230.0, 560.0)
sizes = st.floats(0.005, 0.5)
STUFF = (0.3, 2670.0, 151.0)


def works(name: str, *values: float) -> float:
    return CALCULATIONS[name].work(*values)


def refusal(name: str, *values: float) -> str:
    with pytest.raises(OutOfDomain) as caught:
        works(name, *values)
    return str(caught.value)


@laws
@given(temperatures, temperatures, sizes, st.floats(1.0, 60.0))
def test_still_air_takes_more_the_hotter_the_surface(
    surface: float, air: float, size: float, more: float
) -> None:
    hotter = surface + math.copysign(more, surface - air)
    for name in ("still_air_plate", "still_air_cylinder"):
        loses = works(name, hotter, air, size) * abs(hotter - air)
        assert loses > works(name, surface, air, size) * abs(surface - air)


@pytest.mark.parametrize("size", [0.01, 0.2])
def test_air_that_doesnt_move_still_conducts(size: float) -> None:
    # no difference, no draught: Nu is 0.825**2 and 0.60**2, the constants of Churchill and Chu
    k = works("air_conductivity", 300.0)
    assert works("still_air_plate", 300.0, 300.0, size) == pytest.approx(0.825**2 * k / size)
    assert works("still_air_cylinder", 300.0, 300.0, size) == pytest.approx(0.36 * k / size)


@laws
@given(st.floats(2.0, 40.0), temperatures, temperatures, sizes, st.floats(1.01, 2.0))
def test_faster_air_takes_more(speed: float, surface: float, air: float, size: float, times: float) -> None:
    for name in ("blown_plate", "blown_cylinder"):
        assert works(name, speed * times, surface, air, size) > works(name, speed, surface, air, size)


def test_air_along_a_plate_doesnt_jump_where_it_turns_turbulent() -> None:
    trips = 5e5 * works("air_viscosity", 350.0) / 10.0
    before, after = (works("blown_plate", 10.0, 400.0, 300.0, trips * x) for x in (1 - 1e-9, 1 + 1e-9))
    assert after == pytest.approx(before, rel=1e-7)


@laws
@given(temperatures, temperatures, st.floats(0.01, 1.0))
def test_what_radiates_one_way_radiates_the_other(one: float, other: float, emissivity: float) -> None:
    there = works("radiation_coefficient", one, other, emissivity)
    assert works("radiation_coefficient", other, one, emissivity) == pytest.approx(there)
    # of equal temperatures it is the slope of the fourth power
    alike = works("radiation_coefficient", one, one, emissivity)
    assert alike == pytest.approx(4 * emissivity * 5.670374419e-8 * one**3)


def test_air_beyond_what_is_known_of_it_is_refused() -> None:
    assert "is outside what is known of it here, -123.15 degC to 726.85 degC" in refusal(
        "still_air_plate", 1900.0, 300.0, 0.1
    )
    assert "is as good as still" in refusal("blown_plate", 1e-4, 300.0, 310.0, 0.1)
    assert "is as good as still" in refusal("blown_cylinder", 1e-4, 300.0, 310.0, 0.001)
    assert "nobody has measured" in refusal("still_air_plate", 350.0, 200.0, 10.0)


@laws
@given(temperatures, temperatures, st.floats(0.0, 4000.0), st.floats(10.0, 3000.0))
def test_time_and_temperature_by_a_constant_undo_each_other(
    start: float, around: float, seconds: float, constant: float
) -> None:
    seconds = min(seconds, 8 * constant)
    if abs(start - around) < 1:
        return
    there = works("temperature_after", seconds, start, around, constant)
    assert min(start, around) <= there <= max(start, around)
    assert works("time_to_temperature", there, start, around, constant) == pytest.approx(
        seconds, abs=1e-6 * constant
    )


@laws
@given(temperatures, temperatures, st.floats(1.0, 20000.0), st.floats(0.02, 0.98))
def test_a_heads_time_and_temperature_in_still_air_undo_each_other(
    start: float, air: float, seconds: float, share: float
) -> None:
    if abs(start - air) < 1:
        return
    head = (2.0, 930.0, 0.25, 0.15, *STUFF)
    there = start + share * (air - start)
    time = works("time_in_still_air", there, start, air, *head)
    assert works("temperature_in_still_air", time, start, air, *head) == pytest.approx(there, abs=1e-5)
    further = works("temperature_in_still_air", seconds, start, air, *head)
    assert min(start, air) <= further <= max(start, air)


@laws
@given(st.floats(0.1, 0.9), st.floats(0.5, 5.0), st.floats(1.01, 2.0))
def test_a_heavier_part_takes_longer_in_proportion(share: float, mass: float, times: float) -> None:
    def minutes(kilograms: float) -> float:
        there = 293.15 + share * 180
        return works("time_in_oven", there, 293.15, 473.15, 473.15, kilograms, 930.0, 0.5, 25.0, *STUFF)

    assert minutes(mass * times) == pytest.approx(minutes(mass) * times, rel=1e-9)


def test_with_next_to_no_radiation_an_oven_follows_the_time_constant() -> None:
    constant = works("time_constant", 2.0, 930.0, 0.25, 25.0)
    lumped = works("time_to_temperature", 463.15, 293.15, 473.15, constant)
    worked = works(
        "time_in_oven", 463.15, 293.15, 473.15, 473.15, 2.0, 930.0, 0.25, 25.0, 1e-12, 2670.0, 151.0
    )
    assert worked == pytest.approx(lumped, rel=1e-8)


def test_a_small_step_of_any_input_moves_the_time_a_little() -> None:
    usual = [463.15, 293.15, 473.15, 2.0, 930.0, 0.25, 0.15, *STUFF]
    time = works("time_in_still_air", *usual)
    for place, value in enumerate(usual):
        moved = works("time_in_still_air", *usual[:place], value * (1 + 1e-9), *usual[place + 1 :])
        assert moved == pytest.approx(time, rel=2e-7)


def test_a_part_whose_inside_lags_is_refused_with_its_biot_number() -> None:
    said = refusal(
        "time_in_oven", 463.15, 293.15, 473.15, 473.15, 20.0, 500.0, 0.05, 300.0, 0.8, 7800.0, 20.0
    )
    assert said.startswith("with a Biot number of 0.8")
    assert "lags behind its surface" in said


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (480.0, "from 20 degC it goes towards 200 degC and levels out there, so it is never at 206.85 degC"),
        (473.15, "from 20 degC it goes towards 200 degC and levels out there, so it is never at 200 degC"),
        (280.0, "from 20 degC it goes towards 200 degC, away from 6.85 degC"),
    ],
)
def test_a_temperature_that_is_never_reached_is_refused(wanted: float, said: str) -> None:
    assert refusal("time_to_temperature", wanted, 293.15, 473.15, 300.0) == said
    assert refusal("time_in_still_air", wanted, 293.15, 473.15, 2.0, 930.0, 0.25, 0.15, *STUFF) == said


def test_a_part_that_is_there_already_takes_no_time() -> None:
    assert works("time_to_temperature", 293.15, 293.15, 473.15, 300.0) == 0
    assert works("time_in_still_air", 293.15, 293.15, 473.15, 2.0, 930.0, 0.25, 0.15, *STUFF) == 0
    assert works("temperature_in_still_air", 50.0, 473.15, 473.15, 2.0, 930.0, 0.25, 0.15, *STUFF) == 473.15


def test_time_doesnt_run_backwards() -> None:
    assert refusal("temperature_after", -1.0, 473.15, 293.15, 300.0).startswith(
        "a time of -1 s is below zero"
    )
    assert "below zero" in refusal(
        "chilled_temperature", -1.0, 293.15, 255.15, 0.04, 460.0, 2.6e-3, 0.04, *STUFF
    )


def test_a_thin_wall_is_as_warm_in_the_middle_as_a_lump() -> None:
    # Biot number 0.001: both answers agree within its third (D)
    constant = works("time_constant", 7800.0 * 0.002, 460.0, 1.0, 25.0)
    lump = works("temperature_after", 200.0, 293.15, 473.15, constant)
    wall = works("core_temperature_after", 200.0, 293.15, 473.15, 0.002, 25.0, 50.0, 7800.0, 460.0)
    assert wall == pytest.approx(lump, abs=0.1)


@laws
@given(st.floats(1.0, 3.0), st.floats(5.0, 5000.0), st.floats(30.0, 3000.0))
def test_the_middle_of_a_wall_only_ever_warms(times: float, coefficient: float, seconds: float) -> None:
    wall = (293.15, 473.15, 0.02, coefficient, 50.0, 7800.0, 460.0)
    now, later = (works("core_temperature_after", t, *wall) for t in (seconds, seconds * times))
    assert 293.15 - 0.2 <= now <= later + 1e-9 <= 473.15 + 1e-6


def test_a_wall_that_hasnt_noticed_is_refused() -> None:
    assert "hardly noticed" in refusal(
        "core_temperature_after", 0.01, 293.15, 473.15, 0.02, 25.0, 50.0, 7800.0, 460.0
    )
