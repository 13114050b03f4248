"""Ring in a hub: laws that hold whatever the numbers are, elements that know no formula, and what has no answer."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from tests.engineering.rings_by_elements import fitted

contact_pressure = CALCULATIONS["contact_pressure"].work
contact_pressure_in_block = CALCULATIONS["contact_pressure_in_block"].work
interference_for_pressure = CALCULATIONS["interference_for_pressure"].work
hub_bore_hoop = CALCULATIONS["hub_bore_hoop"].work
hub_outside_hoop = CALCULATIONS["hub_outside_hoop"].work
hub_hoop_at = CALCULATIONS["hub_hoop_at"].work
ring_bore_hoop = CALCULATIONS["ring_bore_hoop"].work
ring_outside_hoop = CALCULATIONS["ring_outside_hoop"].work
ring_hoop_at = CALCULATIONS["ring_hoop_at"].work
hub_bore_von_mises = CALCULATIONS["hub_bore_von_mises"].work
hub_yield_margin = CALCULATIONS["hub_yield_margin"].work
ring_yield_margin = CALCULATIONS["ring_yield_margin"].work

diameters = st.floats(0.01, 0.15)
bore_shares = st.floats(0.3, 0.97)
# ring bore over joint
hub_shares = st.floats(0.25, 0.97)
# joint over hub outside
strains = st.floats(1e-5, 0.01)
ring_moduli = st.floats(90e9, 230e9)
hub_moduli = st.floats(40e9, 210e9)
poissons = st.floats(0.2, 0.45)
pressures = st.floats(1e5, 3e8)


@settings(max_examples=40)
@given(diameters, bore_shares, hub_shares, strains, ring_moduli, hub_moduli, poissons, poissons)
def test_elements_that_know_only_hooke_s_law_find_the_same_pressure_and_stresses(
    d: float, k: float, q: float, strain: float, er: float, eh: float, nr: float, nh: float
) -> None:
    bore, outside = k * d, d / q
    elements = fitted((bore / 2, d / 2, outside / 2), strain * d / 2, (er, eh), (nr, nh))
    pressure = contact_pressure(strain * d, d, bore, outside, er, eh, nr, nh)
    assert pressure == pytest.approx(elements.pressure, rel=1e-3)
    assert ring_bore_hoop(pressure, d, bore) == pytest.approx(elements.ring_bore_hoop, rel=2e-3)
    assert ring_outside_hoop(pressure, d, bore) == pytest.approx(elements.ring_outside_hoop, rel=2e-3)
    assert hub_bore_hoop(pressure, d, outside) == pytest.approx(elements.hub_bore_hoop, rel=2e-3)
    assert hub_outside_hoop(pressure, d, outside) == pytest.approx(elements.hub_outside_hoop, rel=2e-3)


def _mean(stress: Callable[[float], float], inside: float, outside: float) -> float:
    """The mean over the wall by Simpson's rule, 200 strips evenly apart in the logarithm of the diameter."""
    strips, wide = 200, math.log(outside / inside) / 200
    total = 0.0
    for place in range(strips + 1):
        at = min(inside * math.exp(place * wide), outside)
        weight = 1 if place in (0, strips) else 4 if place % 2 else 2
        total += weight * stress(at) * at
    return total * wide / 3 / (outside - inside)


@given(pressures, diameters, bore_shares, hub_shares)
def test_the_hoop_force_in_each_wall_carries_the_pressure_on_its_joint(
    pressure: float, d: float, k: float, q: float
) -> None:
    # balance of a half ring: mean hoop stress times both walls is the pressure times the diameter
    outside, bore = d / q, k * d
    hub = _mean(lambda at: hub_hoop_at(pressure, d, outside, at), d, outside)
    ring = _mean(lambda at: ring_hoop_at(pressure, d, bore, at), bore, d)
    assert hub * (outside - d) == pytest.approx(pressure * d, rel=1e-6)
    assert ring * (d - bore) == pytest.approx(-pressure * d, rel=1e-6)


@given(pressures, diameters, bore_shares, hub_shares)
def test_the_stress_on_a_circle_at_an_edge_is_the_stress_of_that_edge(
    pressure: float, d: float, k: float, q: float
) -> None:
    outside, bore = d / q, k * d
    assert hub_hoop_at(pressure, d, outside, d) == pytest.approx(hub_bore_hoop(pressure, d, outside))
    assert hub_hoop_at(pressure, d, outside, outside) == pytest.approx(hub_outside_hoop(pressure, d, outside))
    assert ring_hoop_at(pressure, d, bore, d) == pytest.approx(ring_outside_hoop(pressure, d, bore))
    assert ring_hoop_at(pressure, d, bore, bore) == pytest.approx(ring_bore_hoop(pressure, d, bore))


@given(pressures, diameters, bore_shares, hub_shares)
def test_hoop_and_radial_stress_add_up_to_the_same_on_every_circle(
    pressure: float, d: float, k: float, q: float
) -> None:
    # Without body force and in plane stress their sum is the same everywhere; at the free edges it is the hoop stress.
    outside, bore = d / q, k * d
    assert hub_bore_hoop(pressure, d, outside) - pressure == pytest.approx(
        hub_outside_hoop(pressure, d, outside), rel=1e-9, abs=1e-9 * pressure
    )
    assert ring_outside_hoop(pressure, d, bore) - pressure == pytest.approx(ring_bore_hoop(pressure, d, bore))


@given(diameters, bore_shares, hub_shares, strains, ring_moduli, hub_moduli, poissons, poissons)
def test_the_interference_for_a_pressure_gives_that_pressure(
    d: float, k: float, q: float, strain: float, er: float, eh: float, nr: float, nh: float
) -> None:
    joint = (d, k * d, d / q, er, eh, nr, nh)
    assert interference_for_pressure(contact_pressure(strain * d, *joint), *joint) == pytest.approx(
        strain * d, rel=1e-12
    )


@given(
    diameters,
    bore_shares,
    hub_shares,
    strains,
    ring_moduli,
    hub_moduli,
    poissons,
    poissons,
    st.floats(1.01, 2.0),
)
def test_a_tighter_fit_a_thicker_part_and_a_stiffer_metal_each_press_harder(
    d: float, k: float, q: float, strain: float, er: float, eh: float, nr: float, nh: float, more: float
) -> None:
    fit, bore, outside = strain * d / 2, k * d, d / q
    pressure = contact_pressure(fit, d, bore, outside, er, eh, nr, nh)
    assert contact_pressure(fit * more, d, bore, outside, er, eh, nr, nh) == pytest.approx(more * pressure)
    assert contact_pressure(fit, d, bore / more, outside, er, eh, nr, nh) > pressure
    assert contact_pressure(fit, d, bore, outside * more, er, eh, nr, nh) > pressure
    assert contact_pressure(fit, d, bore, outside, er * more, eh, nr, nh) > pressure
    assert contact_pressure(fit, d, bore, outside, er, eh * more, nr, nh) > pressure


@given(diameters, bore_shares, hub_shares, strains, ring_moduli, poissons, st.floats(0.5, 20.0))
def test_the_size_does_not_matter_only_the_proportions(
    d: float, k: float, q: float, strain: float, e: float, n: float, times: float
) -> None:
    one = contact_pressure(strain * d, d, k * d, d / q, e, e / 3, n, n)
    other = contact_pressure(strain * d * times, d * times, k * d * times, d / q * times, e, e / 3, n, n)
    assert one == pytest.approx(other, rel=1e-9)


@given(diameters, bore_shares, hub_shares, strains, ring_moduli, poissons, poissons)
def test_in_one_metal_poisson_s_ratio_drops_out(
    d: float, k: float, q: float, strain: float, e: float, n: float, other: float
) -> None:
    one = contact_pressure(strain * d, d, k * d, d / q, e, e, n, n)
    assert one == pytest.approx(contact_pressure(strain * d, d, k * d, d / q, e, e, other, other), rel=1e-9)


@given(diameters, bore_shares, strains, ring_moduli, hub_moduli, poissons, poissons)
def test_a_hub_without_end_is_the_limit_of_a_wide_hub_and_presses_hardest(
    d: float, k: float, strain: float, er: float, eh: float, nr: float, nh: float
) -> None:
    block = contact_pressure_in_block(strain * d, d, k * d, er, eh, nr, nh)
    near = contact_pressure(strain * d, d, k * d, 20 * d, er, eh, nr, nh)
    nearer = contact_pressure(strain * d, d, k * d, 1e5 * d, er, eh, nr, nh)
    assert near < nearer <= block * (1 + 1e-12)
    assert near == pytest.approx(block, rel=1e-2)
    assert nearer == pytest.approx(block, rel=1e-9)


@given(diameters, strains, ring_moduli, st.floats(40e9, 100e9))
def test_thin_rings_follow_the_boiler_formula(d: float, strain: float, er: float, eh: float) -> None:
    # p * d / 2t on both sides, the strains of both adding up to the strain of the joint; walls of a thousandth
    wall = d / 1000
    pressure = contact_pressure(strain * d, d, d - 2 * wall, d + 2 * wall, er, eh, 0.3, 0.3)
    by_hand = strain * 2 * wall / d / (1 / er + 1 / eh)
    assert pressure == pytest.approx(by_hand, rel=2e-3)
    assert hub_bore_hoop(pressure, d, d + 2 * wall) == pytest.approx(pressure * d / (2 * wall), rel=2e-3)
    assert ring_bore_hoop(pressure, d, d - 2 * wall) == pytest.approx(-pressure * d / (2 * wall), rel=2e-3)


def test_a_ring_thinned_to_a_film_carries_its_whole_interference_as_strain() -> None:
    # the limit is modulus times interference over diameter: 200 GPa * 0.003 = 600 MPa
    pressure = contact_pressure(0.12e-3, 0.04, 0.04 * (1 - 1e-6), 0.08, 200e9, 72e9, 0.29, 0.33)
    assert ring_bore_hoop(pressure, 0.04, 0.04 * (1 - 1e-6)) == pytest.approx(-600e6, rel=1e-4)


def test_a_solid_plug_is_pressed_alike_on_every_side_and_a_pinhole_doubles_it() -> None:
    assert ring_outside_hoop(50e6, 0.04, 0.0) == -50e6
    assert ring_hoop_at(50e6, 0.04, 0.0, 0.01) == -50e6
    assert ring_bore_hoop(50e6, 0.04, 1e-9) == pytest.approx(-100e6)


def test_nothing_tight_is_nothing_pressed() -> None:
    assert contact_pressure(0.0, 0.04, 0.03, 0.08, 200e9, 70e9, 0.3, 0.33) == 0
    assert contact_pressure_in_block(0.0, 0.04, 0.03, 200e9, 70e9, 0.3, 0.33) == 0
    assert hub_bore_von_mises(0.0, 0.04, 0.08) == 0


@given(pressures, diameters, hub_shares)
def test_von_mises_lies_between_the_hoop_stress_and_tresca(pressure: float, d: float, q: float) -> None:
    hoop = hub_bore_hoop(pressure, d, d / q)
    equivalent = hub_bore_von_mises(pressure, d, d / q)
    assert hoop < equivalent <= hoop + pressure
    assert (hoop + pressure) / equivalent <= 2 / math.sqrt(3) * (1 + 1e-12)


def test_in_a_block_without_end_von_mises_is_pure_shear() -> None:
    # hoop +p and radial -p: root of three times the shear
    assert hub_bore_von_mises(10e6, 0.04, 4e4) == pytest.approx(math.sqrt(3) * 10e6)


@given(pressures, diameters, bore_shares, hub_shares, st.floats(50e6, 2e9))
def test_at_the_pressure_that_uses_up_the_margin_the_part_is_at_its_yield(
    pressure: float, d: float, k: float, q: float, yields: float
) -> None:
    hub, ring = hub_yield_margin(pressure, d, d / q, yields), ring_yield_margin(pressure, d, k * d, yields)
    assert hub_bore_von_mises(pressure * hub, d, d / q) == pytest.approx(yields)
    assert ring_bore_hoop(pressure * ring, d, k * d) == pytest.approx(-yields)
    assert hub_yield_margin(2 * pressure, d, d / q, yields) == pytest.approx(hub / 2)
    assert ring_yield_margin(pressure, d, k * d, 2 * yields) == pytest.approx(2 * ring)


@settings(max_examples=30)
@given(diameters, bore_shares, hub_shares, strains, ring_moduli, hub_moduli, poissons, poissons)
def test_a_billionth_more_of_anything_changes_the_pressure_by_no_jump(
    d: float, k: float, q: float, strain: float, er: float, eh: float, nr: float, nh: float
) -> None:
    inputs = [strain * d, d, k * d, d / q, er, eh, nr, nh]
    pressure = contact_pressure(*inputs)
    for place, value in enumerate(inputs):
        nudged = [*inputs[:place], value * (1 + 1e-9), *inputs[place + 1 :]]
        assert contact_pressure(*nudged) == pytest.approx(pressure, rel=1e-6)


STEEL_IN_ALUMINIUM = (200e9, 70e9, 0.29, 0.33)


@pytest.mark.parametrize(
    ("work", "sentence"),
    [
        (
            lambda: contact_pressure(1e-4, 0.04, -0.003, 0.08, *STEEL_IN_ALUMINIUM),
            "a ring bore of -3 mm is not a size: a ring thicker than its radius has no bore",
        ),
        (
            lambda: contact_pressure(1e-4, 0.04, 0.04, 0.08, *STEEL_IN_ALUMINIUM),
            "a ring of 40 mm outside with a bore of 40 mm has no wall",
        ),
        (
            lambda: contact_pressure(1e-4, 0.04, 0.03, 0.04, *STEEL_IN_ALUMINIUM),
            "a hub of 40 mm outside has no metal around a joint of 40 mm",
        ),
        (
            lambda: contact_pressure(-2e-5, 0.04, 0.03, 0.08, *STEEL_IN_ALUMINIUM),
            "a ring 0.02 mm loose presses on nothing",
        ),
        (
            lambda: contact_pressure_in_block(2e-3, 0.04, 0.03, *STEEL_IN_ALUMINIUM),
            "an interference of 2 mm on 40 mm is 5 %, and no metal bears more than 2 % elastically",
        ),
        (
            lambda: interference_for_pressure(50e9, 0.04, 0.03, 0.08, *STEEL_IN_ALUMINIUM),
            "50000 MPa would take an interference of 225 % of the diameter, "
            "and no metal bears more than 2 % elastically",
        ),
        (
            lambda: hub_bore_hoop(-1e6, 0.04, 0.08),
            "a pressure of -1 MPa would pull, and two parts can only press",
        ),
        (
            lambda: hub_yield_margin(0.0, 0.04, 0.08, 165e6),
            "nothing presses, so there is no stress to hold against the yield",
        ),
        (
            lambda: ring_yield_margin(0.0, 0.04, 0.03, 800e6),
            "nothing presses, so there is no stress to hold against the yield",
        ),
        (
            lambda: hub_hoop_at(30e6, 0.04, 0.08, 0.039),
            "a circle of 39 mm is outside the metal of the hub, 40 mm to 80 mm",
        ),
        (
            lambda: ring_hoop_at(30e6, 0.04, 0.03, 0.041),
            "a circle of 41 mm is outside the metal of the ring, 30 mm to 40 mm",
        ),
        (
            lambda: contact_pressure(1e-4, 0.04, 0.03, 0.08, 200e9, 70e9, 0.7, 0.33),
            "a ring's Poisson's ratio of 0.7 is too high for contact_pressure: the most is 0.5",
        ),
        (
            lambda: contact_pressure(1e-4, 0.04, 0.03, 0.08, 0.0, 70e9, 0.29, 0.33),
            "a ring modulus of 0 MPa is too low for contact_pressure: it has to be above 0 MPa",
        ),
    ],
)
def test_what_has_no_answer_is_refused_with_the_reason(work: Callable[[], float], sentence: str) -> None:
    with pytest.raises(OutOfDomain) as refusal:
        work()
    assert str(refusal.value) == sentence


@given(st.lists(st.floats(allow_nan=True, allow_infinity=True), min_size=8, max_size=8))
def test_wild_numbers_give_a_number_or_a_sentence(values: list[float]) -> None:
    for name in ("contact_pressure", "interference_for_pressure", "hub_hoop_at", "ring_yield_margin"):
        calculation = CALCULATIONS[name]
        try:
            result = calculation.work(*values[: len(calculation.arguments)])
        except OutOfDomain as refusal:
            assert str(refusal)
        else:
            assert math.isfinite(result)
