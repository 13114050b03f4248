"""What a tight joint holds: balances, inverses, and the frictions offered with their sources."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.holding import FRICTIONS
from runner.engineering.signature import OutOfDomain

holding_force = CALCULATIONS["holding_force"].work
holding_torque = CALCULATIONS["holding_torque"].work
press_force = CALCULATIONS["press_force"].work
pressure_to_hold = CALCULATIONS["pressure_to_hold"].work
roughness_loss_2017 = CALCULATIONS["roughness_loss_2017"].work
roughness_loss_2001 = CALCULATIONS["roughness_loss_2001"].work
roughness_loss_from_ra = CALCULATIONS["roughness_loss_from_ra"].work

pressures = st.floats(1e5, 3e8)
diameters = st.floats(0.005, 0.2)
lengths = st.floats(0.002, 0.1)
frictions = st.floats(0.02, 0.5)
heights = st.floats(1e-7, 1e-4)


@given(pressures, diameters, lengths, frictions)
def test_friction_on_narrow_strips_around_the_joint_adds_up_to_the_force_and_the_torque(
    pressure: float, d: float, length: float, friction: float
) -> None:
    # 720 flat strips, each a chord wide: the perimeter of the polygon is that of the circle within 1e-5
    strips = 720
    push = friction * pressure * length * d * math.sin(math.pi / strips)
    assert holding_force(pressure, d, length, friction) == pytest.approx(strips * push, rel=1e-5)
    assert holding_torque(pressure, d, length, friction) == pytest.approx(strips * push * d / 2, rel=1e-5)


@given(pressures, diameters, lengths, frictions)
def test_turning_the_ring_once_takes_the_work_of_sliding_it_as_far_as_its_rim(
    pressure: float, d: float, length: float, friction: float
) -> None:
    turned = holding_torque(pressure, d, length, friction) * 2 * math.pi
    assert turned == pytest.approx(holding_force(pressure, d, length, friction) * math.pi * d)


@given(pressures, diameters, lengths, frictions)
def test_at_full_depth_the_press_pushes_against_what_the_joint_will_hold_with_the_same_friction(
    pressure: float, d: float, length: float, friction: float
) -> None:
    whole = press_force(pressure, d, length, friction)
    assert whole == holding_force(pressure, d, length, friction)
    assert press_force(pressure, d, length / 4, friction) == pytest.approx(whole / 4)


@given(pressures, diameters, lengths, frictions)
def test_the_pressure_to_hold_a_force_holds_that_force(
    pressure: float, d: float, length: float, friction: float
) -> None:
    force = holding_force(pressure, d, length, friction)
    assert pressure_to_hold(force, d, length, friction) == pytest.approx(pressure, rel=1e-12)


@given(heights, heights)
def test_the_edition_of_2001_takes_twice_what_the_edition_of_2017_takes(ring: float, bore: float) -> None:
    # what changed between the editions, 0.8 to 0.4, is stated by several public manuals
    assert roughness_loss_2001(ring, bore) == pytest.approx(2 * roughness_loss_2017(ring, bore))


@given(heights, heights)
def test_the_rougher_surface_may_be_on_either_part_and_rougher_loses_more(ring: float, bore: float) -> None:
    for loss in (roughness_loss_2017, roughness_loss_2001, roughness_loss_from_ra):
        assert loss(ring, bore) == loss(bore, ring)
        assert loss(2 * ring, bore) > loss(ring, bore)


@given(heights, heights)
def test_where_rz_is_six_ra_the_ra_convention_takes_a_quarter_of_the_edition_of_2001(
    ring: float, bore: float
) -> None:
    assert 4 * roughness_loss_from_ra(ring, bore) == pytest.approx(roughness_loss_2001(6 * ring, 6 * bore))


def test_each_friction_offered_is_a_range_with_its_condition_and_source() -> None:
    assert len({(friction.pair, friction.condition) for friction in FRICTIONS}) == len(FRICTIONS)
    for friction in FRICTIONS:
        assert 0 < friction.least <= friction.most < 0.5
        assert friction.pair
        assert friction.condition
        assert friction.source


def test_a_pulling_pressure_holds_nothing_and_is_refused() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        holding_force(-2e6, 0.04, 0.008, 0.12)
    assert str(refusal.value) == "a pressure of -2 MPa would pull, and two parts can only press"


def test_a_friction_over_one_is_refused_as_a_slip() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        holding_force(2e6, 0.04, 0.008, 12.0)
    assert str(refusal.value) == "a friction of 12 is too high for holding_force: the most is 1"


def test_without_a_force_to_hold_there_is_no_pressure_to_ask_for() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        pressure_to_hold(0.0, 0.04, 0.008, 0.12)
    assert str(refusal.value) == "a force of 0 N is too low for pressure_to_hold: it has to be above 0 N"
