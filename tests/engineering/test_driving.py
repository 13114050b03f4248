"""The driving window and the grab: what must hold whatever the numbers are, and the sentences where there is no answer."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain

laws = settings(derandomize=True, deadline=None, max_examples=50)
ZERO = 273.15


def works(name: str, *values: float) -> float:
    return CALCULATIONS[name].work(*values)


def refusal(name: str, *values: float) -> str:
    with pytest.raises(OutOfDomain) as caught:
        works(name, *values)
    return str(caught.value)


@st.composite
def windows(draw: st.DrawFn) -> tuple[float, ...]:
    """A hot head and a cold ring that leave some clearance, and lose it in the shop."""
    bore = draw(st.floats(0.02, 0.1))
    a_ring, a_bore = draw(st.floats(9e-6, 18e-6)), draw(st.floats(20e-6, 24e-6))
    ring, head, air = (
        draw(st.floats(195.0, 280.0)),
        draw(st.floats(440.0, 520.0)),
        draw(st.floats(283.0, 308.0)),
    )
    rest = air + draw(st.floats(0.0, 30.0))
    opened = bore * (1 + a_bore * (head - 293.15)) / (1 + a_ring * (ring - 293.15))
    # where both come to rest it has to be tight
    shut = bore * (1 + a_bore * (rest - 293.15)) / (1 + a_ring * (air - 293.15))
    ring_od = shut + draw(st.floats(0.05, 0.95)) * (opened - shut)
    constants = draw(st.floats(20.0, 1500.0)), draw(st.floats(60.0, 1500.0))
    return (ring_od, bore, a_ring, a_bore, ring, head, air, rest, *constants)


EXHAUST = (0.04251, 0.04236, 11.5e-6, 22e-6, ZERO - 18, ZERO + 200, ZERO + 22, ZERO + 22, 900.0, 300.0)


@laws
@given(windows())
def test_the_window_opens_with_the_joining_clearance(window: tuple[float, ...]) -> None:
    assert works("clearance_after", 0.0, *window) == pytest.approx(
        works("joining_clearance", *window[:6]), abs=1e-15
    )


@laws
@given(windows(), st.floats(0.05, 1.0))
def test_at_the_useful_limit_just_the_wanted_clearance_is_left(
    window: tuple[float, ...], share: float
) -> None:
    clearance = share * works("clearance_after", 0.0, *window)
    seconds = works("useful_limit", clearance, *window)
    assert works("clearance_after", seconds, *window) == pytest.approx(clearance, abs=1e-13)
    assert works("clearance_after", seconds * 0.9, *window) >= clearance - 1e-15


@laws
@given(windows(), st.floats(0.0, 3e-6), st.floats(0.01, 0.5))
def test_the_low_estimate_comes_first_and_the_high_one_last(
    window: tuple[float, ...], doubt: float, cooling: float
) -> None:
    if works("clearance_after", 0.0, *window) < 2 * doubt + 1e-6:
        return
    for names, wanted in (("useful_limit", (1e-6,)), ("last_limit", ())):
        try:
            low, middle, high = (
                works(names + "_low", *wanted, *window, doubt, cooling),
                works(names, *wanted, *window),
                works(names + "_high", *wanted, *window, doubt, cooling),
            )
        except OutOfDomain as said:
            assert "never falls to" in str(said) or "less than the" in str(said)
            continue
        assert low < middle < high


@laws
@given(windows(), st.floats(1.01, 2.0))
def test_a_head_or_ring_that_goes_slower_leaves_more_time(window: tuple[float, ...], slower: float) -> None:
    quick = works("last_limit", *window)
    assert works("last_limit", *window[:-1], window[-1] * slower) > quick
    # by then a quick ring may have warmed through, and slower is no difference
    assert works("last_limit", *window[:-2], window[-2] * slower, window[-1]) >= quick * (1 - 1e-12)


@laws
@given(windows(), st.floats(1.01, 5.0))
def test_with_both_constants_times_so_much_so_is_the_time(window: tuple[float, ...], times: float) -> None:
    stretched = (*window[:-2], window[-2] * times, window[-1] * times)
    assert works("last_limit", *stretched) == pytest.approx(works("last_limit", *window) * times, rel=1e-9)


@laws
@given(windows(), st.integers(0, 9))
def test_a_small_step_of_any_input_moves_the_limit_a_little(window: tuple[float, ...], place: int) -> None:
    moved = [*window]
    moved[place] *= 1 + 1e-9
    # a size moves the clearance by 1e-9 of some 50 mm, which is 5e-11 m of some 1e-4 m
    assert works("last_limit", *moved) == pytest.approx(works("last_limit", *window), rel=1e-4, abs=1e-3)


def test_a_ring_from_an_oven_first_gains_clearance_and_then_loses_it() -> None:
    # a warm ring with a quick constant: the clearance rises, turns, and is lost; the limit is where it is lost
    window = (0.0421, 0.042, 11.5e-6, 22e-6, ZERO + 60, ZERO + 190, ZERO + 20, ZERO + 20, 30.0, 600.0)
    start, later = works("clearance_after", 0.0, *window), works("clearance_after", 60.0, *window)
    assert 0 < start < later
    seconds = works("last_limit", *window)
    assert seconds > 60
    assert works("clearance_after", seconds, *window) == pytest.approx(0, abs=1e-13)


def test_a_window_that_isnt_there_is_refused_with_its_clearance() -> None:
    said = refusal("useful_limit", 40e-6, *EXHAUST)
    assert said.startswith("on leaving oven and freezer the clearance is 0.036322")
    assert "less than the 0.04 mm asked for" in said
    assert "heat the head more or cool the ring more" in refusal(
        "useful_limit_low", 30e-6, *EXHAUST, 8e-6, 0.1
    )
    assert "below zero" in refusal("useful_limit_low", 30e-6, *EXHAUST, -1e-6, 0.1)


def test_a_ring_that_stays_loose_has_no_limit() -> None:
    loose = (0.0423, *EXHAUST[1:])
    assert refusal("last_limit", *loose).startswith(
        "the clearance never falls to 0 mm: it levels out at 0.06"
    )


@laws
@given(st.floats(300.0, 500.0), st.floats(1.0, 600.0), st.floats(50.0, 2000.0), st.floats(280.0, 299.0))
def test_a_constant_from_two_readings_is_the_one_it_cooled_by(
    hot: float, seconds: float, constant: float, air: float
) -> None:
    then = works("temperature_after", seconds, hot, air, constant)
    if abs(then - hot) < 0.1 or abs(then - air) < 0.1:
        return
    assert works("cooling_constant", hot, then, seconds, air) == pytest.approx(constant, rel=1e-9)


@pytest.mark.parametrize(
    ("first", "last"), [(450.0, 460.0), (450.0, 450.0), (450.0, 290.0), (295.15, 295.15)]
)
def test_readings_that_dont_close_in_on_the_air_have_no_constant(first: float, last: float) -> None:
    assert "has no time constant" in refusal("cooling_constant", first, last, 60.0, 295.15)


def test_without_a_fixture_a_head_has_the_constant_of_the_air() -> None:
    head = (2.0, 930.0, 0.25, 10.0)
    assert works("constant_on_fixture", *head, 0.0) == works("time_constant", *head)
    assert works("rest_on_fixture", 0.25, 10.0, 0.0, 295.15, 400.0) == 295.15
    assert works("constant_on_fixture", *head, 5.0) < works("time_constant", *head)
    # a fixture that takes everything: the head goes towards it
    assert works("rest_on_fixture", 0.25, 10.0, 1e9, 295.15, 400.0) == pytest.approx(400.0)
    assert "below zero" in refusal("constant_on_fixture", *head, -1.0)


def test_heat_the_air_and_the_fixture_take_is_what_the_head_gives() -> None:
    # conservation: at any moment m * c / tau * (T - rest) = h * A * (T - air) + G * (T - fixture)
    constant = works("constant_on_fixture", 2.0, 930.0, 0.25, 10.0, 3.0)
    rest = works("rest_on_fixture", 0.25, 10.0, 3.0, 295.15, 340.0)
    for head in (473.15, 400.0, 310.0):
        gives = 2.0 * 930.0 / constant * (head - rest)
        assert gives == pytest.approx(2.5 * (head - 295.15) + 3.0 * (head - 340.0))


TOUCH = (0.04251, 0.04236, 11.5e-6, 22e-6, ZERO - 17, ZERO + 195)
CONTACT = (3000.0, 1e-3, 0.04, 460.0, 0.5, 930.0)


@laws
@given(st.floats(200.0, 20000.0), st.floats(1.01, 10.0), st.floats(0.0, 5e-6))
def test_the_ring_grabs_no_sooner_than_the_low_estimate(
    coefficient: float, doubt: float, size: float
) -> None:
    contact = (coefficient, *CONTACT[1:])
    low, middle, high = (
        works("time_to_grab_low", *TOUCH, *contact, size, doubt),
        works("time_to_grab", *TOUCH, *contact),
        works("time_to_grab_high", *TOUCH, *contact, size, doubt),
    )
    assert low < middle < high


def test_in_an_endless_boss_the_ring_grabs_at_its_own_grabbing_temperature() -> None:
    # the pocket stays as hot, so the ring has to reach highest_ring_temperature: an outside road to the same time
    grabs = works("highest_ring_temperature", 0.0, *TOUCH[:4], TOUCH[5])
    constant = works("contact_time_constant", *CONTACT[:4], 1e12, 930.0)
    assert works("time_to_grab", *TOUCH, *CONTACT[:4], 1e12, 930.0) == pytest.approx(
        works("time_to_temperature", grabs, TOUCH[4], TOUCH[5], constant), rel=1e-6
    )


def test_a_small_boss_grabs_sooner_for_it_cools() -> None:
    assert works("time_to_grab", *TOUCH, *CONTACT[:4], 0.1, 930.0) < works("time_to_grab", *TOUCH, *CONTACT)


def test_a_ring_already_tight_and_one_that_stays_loose_are_refused() -> None:
    assert refusal("time_to_grab", 0.0426, *TOUCH[1:], *CONTACT).startswith(
        "the ring is tight before it touches"
    )
    assert "stays loose" in refusal("time_to_grab", 0.0422, *TOUCH[1:], *CONTACT)
    assert "with its doubt of" in refusal("time_to_grab_low", *TOUCH, *CONTACT, 50e-6, 2.0)


def test_two_bodies_of_one_stuff_touch_half_way() -> None:
    stuff = (40.0, 7800.0, 460.0)
    assert works("touch_temperature", 250.0, 450.0, *stuff, *stuff) == pytest.approx(350.0)
    hotter = works("touch_temperature", 250.0, 450.0, *stuff, 151.0, 2670.0, 963.0)
    assert 350 < hotter < 450
