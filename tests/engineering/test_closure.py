"""Bore closure and hub growth: the same by elements, reciprocal, and turned round into the pressure."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from tests.engineering.rings_by_elements import fitted

bore_closure = CALCULATIONS["bore_closure"].work
expected_bore_closure = CALCULATIONS["expected_bore_closure"].work
pressure_from_closure = CALCULATIONS["pressure_from_closure"].work
hub_growth = CALCULATIONS["hub_growth"].work
contact_pressure = CALCULATIONS["contact_pressure"].work

diameters = st.floats(0.01, 0.15)
bore_shares = st.floats(0.3, 0.97)
hub_shares = st.floats(0.25, 0.97)
strains = st.floats(1e-5, 0.01)
ring_moduli = st.floats(90e9, 230e9)
hub_moduli = st.floats(40e9, 210e9)
poissons = st.floats(0.2, 0.45)
pressures = st.floats(1e5, 3e8)


@settings(max_examples=40)
@given(diameters, bore_shares, hub_shares, strains, ring_moduli, hub_moduli, poissons, poissons)
def test_elements_that_know_only_hooke_s_law_close_the_bore_and_swell_the_hub_as_much(
    d: float, k: float, q: float, strain: float, er: float, eh: float, nr: float, nh: float
) -> None:
    bore, outside = k * d, d / q
    elements = fitted((bore / 2, d / 2, outside / 2), strain * d / 2, (er, eh), (nr, nh))
    closure = expected_bore_closure(strain * d, d, bore, outside, er, eh, nr, nh)
    assert closure == pytest.approx(-2 * elements.bore_moves, rel=1e-3)
    assert bore_closure(elements.pressure, d, bore, er) == pytest.approx(closure, rel=1e-3)
    assert hub_growth(elements.pressure, d, outside, eh) == pytest.approx(
        2 * elements.outside_moves, rel=1e-3
    )


@given(diameters, bore_shares, pressures, ring_moduli)
def test_pressing_outside_closes_the_bore_as_pressing_in_the_bore_swells_the_outside(
    d: float, k: float, pressure: float, modulus: float
) -> None:
    # Betti's law: force of one pressure on the moves of the other is the same both ways, pressure times circumference
    closes, swells = bore_closure(pressure, d, k * d, modulus), hub_growth(pressure, k * d, d, modulus)
    assert closes * k * d == pytest.approx(swells * d)


@given(diameters, pressures, ring_moduli)
def test_a_thin_ring_closes_by_the_boiler_formula(d: float, pressure: float, modulus: float) -> None:
    wall = d / 2000
    assert bore_closure(pressure, d, d - 2 * wall, modulus) == pytest.approx(
        pressure * d * d / (2 * wall * modulus), rel=2e-3
    )


@given(diameters, bore_shares, pressures, ring_moduli)
def test_the_pressure_read_from_a_closure_is_the_pressure_that_made_it(
    d: float, k: float, pressure: float, modulus: float
) -> None:
    closure = bore_closure(pressure, d, k * d, modulus)
    assert pressure_from_closure(closure, d, k * d, modulus) == pytest.approx(pressure, rel=1e-12)


@given(diameters, bore_shares, hub_shares, strains, ring_moduli, hub_moduli, poissons, st.floats(1.05, 2.0))
def test_a_stiffer_ring_closes_less_and_a_stiffer_hub_or_tighter_fit_closes_it_more(
    d: float, k: float, q: float, strain: float, er: float, eh: float, n: float, more: float
) -> None:
    closure = expected_bore_closure(strain * d, d, k * d, d / q, er, eh, n, n)
    assert expected_bore_closure(strain * d, d, k * d, d / q, er * more, eh, n, n) < closure
    assert expected_bore_closure(strain * d, d, k * d, d / q, er, eh * more, n, n) > closure
    assert expected_bore_closure(strain * d / more, d, k * d, d / q, er, eh, n, n) == pytest.approx(
        closure / more
    )


def test_a_ring_in_a_hub_of_stone_closes_its_bore_by_the_whole_interference_when_thin() -> None:
    # nothing gives but the ring, and a film of a ring moves inside as outside
    closure = expected_bore_closure(40e-6, 0.04, 0.04 * (1 - 1e-5), 0.4, 1e8, 1e15, 0.3, 0.3)
    assert closure == pytest.approx(40e-6, rel=1e-4)


def test_a_bore_that_grew_is_refused_for_no_pressure_does_that() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        pressure_from_closure(-3e-6, 0.04, 0.03, 200e9)
    assert str(refusal.value) == "the bore grew by 0.003 mm, and no pressure around a ring does that"


def test_a_bore_that_did_not_close_shows_no_grip() -> None:
    assert pressure_from_closure(0.0, 0.04, 0.03, 200e9) == 0
    assert bore_closure(0.0, 0.04, 0.03, 200e9) == 0


def test_a_ring_without_wall_and_a_hub_without_wall_are_refused() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        bore_closure(30e6, 0.04, 0.041, 200e9)
    assert str(refusal.value) == "a ring of 40 mm outside with a bore of 41 mm has no wall"
    with pytest.raises(OutOfDomain) as refusal:
        hub_growth(30e6, 0.04, 0.04, 70e9)
    assert str(refusal.value) == "a hub of 40 mm outside has no metal around a joint of 40 mm"


def test_a_loose_ring_closes_nothing_and_is_refused() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        expected_bore_closure(-1e-5, 0.04, 0.03, 0.08, 200e9, 70e9, 0.3, 0.33)
    assert str(refusal.value) == "a ring 0.01 mm loose presses on nothing"


def test_the_closure_measured_tells_the_fit_that_was_reached() -> None:
    # through the formula's own road: closure to pressure to interference
    joint = (0.04, 0.032, 0.08, 200e9, 72e9, 0.29, 0.33)
    closure = expected_bore_closure(0.12e-3, *joint)
    pressure = pressure_from_closure(closure, 0.04, 0.032, 200e9)
    assert pressure == pytest.approx(contact_pressure(0.12e-3, *joint))
    assert CALCULATIONS["interference_for_pressure"].work(pressure, *joint) == pytest.approx(0.12e-3)
