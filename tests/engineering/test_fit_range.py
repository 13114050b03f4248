"""The range of fits: at each end the thing that sets it is just met, and what no fit can meet is refused."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from tests.engineering.rings_by_elements import fitted

least_fit = CALCULATIONS["least_fit"].work
most_fit = CALCULATIONS["most_fit"].work
most_fit_to_join = CALCULATIONS["most_fit_to_join"].work
most_fit_for_stress = CALCULATIONS["most_fit_for_stress"].work
joining_clearance = CALCULATIONS["joining_clearance"].work
interference_at = CALCULATIONS["interference_at"].work
nil_fit_temperature = CALCULATIONS["nil_fit_temperature"].work
contact_pressure = CALCULATIONS["contact_pressure"].work
hub_bore_von_mises = CALCULATIONS["hub_bore_von_mises"].work

ZERO = 273.15
ods = st.floats(0.02, 0.07)
bore_shares = st.floats(0.6, 0.95)
hub_shares = st.floats(0.3, 0.85)
ring_expansions = st.floats(9e-6, 19e-6)
hub_expansions = st.floats(20e-6, 26e-6)
cold_rings = st.floats(77.0, 293.15)
hot_heads = st.floats(393.15, 523.15)
clearances = st.floats(0.0, 50e-6)
ring_moduli = st.floats(100e9, 220e9)
hub_moduli = st.floats(60e9, 75e9)
stresses = st.floats(50e6, 250e6)


@given(clearances, ods, ring_expansions, hub_expansions, cold_rings, hot_heads)
def test_with_the_most_fit_to_join_the_wanted_clearance_is_just_left(
    clearance: float, od: float, ar: float, ah: float, ring: float, head: float
) -> None:
    apart = od * (ah * (head - 293.15) - ar * (ring - 293.15))
    assume(apart > clearance + 1e-7)
    most = most_fit_to_join(clearance, od, ar, ah, ring, head)
    assert joining_clearance(od, od - most, ar, ah, ring, head) == pytest.approx(clearance, abs=1e-12)


@settings(max_examples=40)
@given(stresses, ods, bore_shares, hub_shares, ring_moduli, hub_moduli, st.floats(0, 200), st.floats(0, 150))
def test_with_the_most_fit_for_stress_elements_find_the_hub_just_at_it(
    stress: float, od: float, k: float, q: float, er: float, eh: float, seat: float, head: float
) -> None:
    ar, ah, ring_t, head_t = 11.5e-6, 22e-6, ZERO + 20 + head + seat, ZERO + 20 + head
    bore, outside = k * od, od / q
    try:
        most = most_fit_for_stress(stress, od, bore, outside, ar, ah, ring_t, head_t, er, eh, 0.29, 0.33)
    except OutOfDomain:
        assume(False)
    left = interference_at(od, od - most, ar, ah, ring_t, head_t)
    there = fitted((bore / 2, od / 2, outside / 2), left / 2, (er, eh), (0.29, 0.33))
    hoop, radial = there.hub_bore_hoop, -there.pressure
    assert (hoop**2 - hoop * radial + radial**2) ** 0.5 == pytest.approx(stress, rel=2e-3)


@given(st.floats(0, 20e6), ods, bore_shares, hub_shares, ring_moduli, hub_moduli, st.floats(20, 250))
def test_with_the_least_fit_the_pressure_that_holds_is_just_left_in_the_loosest_state(
    pressure: float, od: float, k: float, q: float, er: float, eh: float, celsius: float
) -> None:
    ar, ah, hot = 11.5e-6, 22e-6, ZERO + celsius
    bore, outside, hot_er, hot_eh = k * od, od / q, 0.95 * er, 0.9 * eh
    least = least_fit(pressure, od, bore, outside, ar, ah, hot, hot, er, eh, hot_er, hot_eh, 0.29, 0.33)
    cold_pressure = contact_pressure(least, od, bore, outside, er, eh, 0.29, 0.33)
    left = interference_at(od, od - least, ar, ah, hot, hot)
    hot_pressure = contact_pressure(max(left, 0.0), od, bore, outside, hot_er, hot_eh, 0.29, 0.33)
    assert min(cold_pressure, hot_pressure) == pytest.approx(pressure, rel=1e-6, abs=1.0)


def test_a_bronze_ring_in_iron_is_loosest_cold_so_cold_sets_the_least_fit() -> None:
    # the ring grows more than the hub, so warming both tightens: at 20 °C by contact_pressure
    least = least_fit(
        5e6, 0.04, 0.03, 0.08, 18e-6, 11e-6, ZERO + 200, ZERO + 200, 110e9, 120e9, 105e9, 115e9, 0.33, 0.26
    )
    assert contact_pressure(least, 0.04, 0.03, 0.08, 110e9, 120e9, 0.33, 0.26) == pytest.approx(5e6)


@given(ods, bore_shares, hub_shares, st.floats(60, 250))
def test_asked_for_no_pressure_the_least_fit_is_nil_at_that_temperature(
    od: float, k: float, q: float, celsius: float
) -> None:
    hot = ZERO + celsius
    least = least_fit(0.0, od, k * od, od / q, 11.5e-6, 22e-6, hot, hot, 200e9, 70e9, 190e9, 65e9, 0.29, 0.33)
    assert nil_fit_temperature(od, od - least, 11.5e-6, 22e-6) == pytest.approx(hot, abs=1e-6)


def _most(**changed: float) -> float:
    usual = {
        "clearance": 30e-6,
        "ring_od": 0.0425,
        "ring_bore": 0.034,
        "hub_od": 0.066,
        "ring_joining_expansion": 11.5e-6,
        "hub_joining_expansion": 22e-6,
        "ring_joining_temperature": ZERO - 18,
        "hub_joining_temperature": ZERO + 200,
        "hub_stress": 165e6,
        "ring_modulus": 200e9,
        "hub_modulus": 72e9,
        "ring_service_expansion": 11.5e-6,
        "hub_service_expansion": 22e-6,
        "ring_service_temperature": ZERO + 250,
        "hub_service_temperature": ZERO + 150,
        "hub_service_stress": 138e6,
        "ring_service_modulus": 190e9,
        "hub_service_modulus": 65e9,
        "ring_poisson": 0.29,
        "hub_poisson": 0.33,
    }
    assert [argument.name for argument in CALCULATIONS["most_fit"].arguments] == list(usual)
    return most_fit(*{**usual, **changed}.values())


def _von_mises(fit: float, ring_c: float, hub_c: float, er: float, eh: float) -> float:
    left = interference_at(0.0425, 0.0425 - fit, 11.5e-6, 22e-6, ZERO + ring_c, ZERO + hub_c)
    pressure = contact_pressure(left, 0.0425, 0.034, 0.066, er, eh, 0.29, 0.33)
    return hub_bore_von_mises(pressure, 0.0425, 0.066)


def test_the_most_fit_meets_all_three_limits_and_just_meets_one() -> None:
    for changed in ({}, {"clearance": 110e-6}, {"hub_stress": 100e6}, {"hub_service_stress": 100e6}):
        most = _most(**changed)
        clearance = joining_clearance(0.0425, 0.0425 - most, 11.5e-6, 22e-6, ZERO - 18, ZERO + 200)
        used = (
            changed.get("clearance", 30e-6) / clearance,
            _von_mises(most, 20, 20, 200e9, 72e9) / changed.get("hub_stress", 165e6),
            _von_mises(most, 250, 150, 190e9, 65e9) / changed.get("hub_service_stress", 138e6),
        )
        assert max(used) == pytest.approx(1, rel=1e-9)


def test_each_limit_rules_when_it_is_the_tight_one() -> None:
    usual = _most()
    assert _most(clearance=110e-6) < usual
    assert _most(hub_stress=80e6) < usual
    assert _most(hub_service_stress=80e6) < usual
    assert _most(ring_service_temperature=ZERO + 320) < usual
    assert _most(hub_joining_temperature=ZERO + 120) < usual
    assert _most(clearance=0.0, hub_stress=400e6, hub_service_stress=400e6) > usual


def test_a_hot_seat_that_uses_the_whole_strength_of_the_hub_leaves_no_fit() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        _most(ring_service_temperature=ZERO + 500, hub_service_temperature=ZERO + 20, hub_service_stress=60e6)
    assert str(refusal.value) == (
        "at these temperatures the hot ring alone stresses the hub over 60 MPa, with no interference at all"
    )


def test_a_clearance_no_fit_can_leave_is_refused_with_what_to_do() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        _most(hub_joining_temperature=ZERO + 40, ring_joining_temperature=ZERO + 20)
    assert str(refusal.value) == (
        "at these temperatures no interference leaves a clearance of 0.03 mm: "
        "heat the head more, cool the ring more, or ask for less"
    )


def test_a_larger_seat_may_be_tighter_and_has_to_be() -> None:
    # all sizes in proportion and no clearance: everything is proportional, so a fit in millimetres suits one size only
    small = _most(clearance=0.0)
    large = _most(clearance=0.0, ring_od=0.085, ring_bore=0.068, hub_od=0.132)
    assert large == pytest.approx(2 * small)


def test_a_ring_without_wall_is_refused() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        _most(ring_bore=0.043)
    assert str(refusal.value) == "a ring of 42.5 mm outside with a bore of 43 mm has no wall"


@settings(max_examples=25, deadline=None)
@given(ods, bore_shares, hub_shares, ring_moduli, hub_moduli, st.floats(423.15, 523.15))
def test_a_hot_joint_by_elements_has_the_margin_that_is_told(
    od: float, k: float, q: float, er: float, eh: float, hot: float
) -> None:
    bore, outside, yields = od * (1 - 4.5e-3), od / q, 140e6
    left = interference_at(od, bore, 11.5e-6, 22e-6, hot, hot)
    assume(left > od * 1e-4)
    joint = fitted((k * od / 2, od / 2, outside / 2), left / 2, (er, eh), (0.29, 0.33))
    # a closed form of its own: hoop by balance of forces round a thick cylinder, radial the pressure itself
    hoop = joint.pressure * (outside**2 + od**2) / (outside**2 - od**2)
    stress = (hoop**2 + hoop * joint.pressure + joint.pressure**2) ** 0.5
    margin = CALCULATIONS["hub_yield_margin_at"].work(
        od, bore, k * od, outside, 11.5e-6, 22e-6, hot, hot, er, eh, 0.29, 0.33, yields
    )
    assert margin == pytest.approx(yields / stress, rel=2e-3)


def test_a_ring_loose_at_its_temperatures_has_no_margin() -> None:
    with pytest.raises(OutOfDomain, match="loose presses on nothing"):
        CALCULATIONS["hub_yield_margin_at"].work(
            0.04, 0.03995, 0.032, 0.08, 11.5e-6, 22e-6, 473.15, 473.15, 200e9, 72e9, 0.29, 0.33, 140e6
        )
