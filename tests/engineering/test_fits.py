"""Fits: what must hold whatever the numbers are, and the sentences where there is no answer."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain

interference = CALCULATIONS["interference"].work
expanded = CALCULATIONS["expanded"].work
joining_clearance = CALCULATIONS["joining_clearance"].work
lowest_head_temperature = CALCULATIONS["lowest_head_temperature"].work
highest_ring_temperature = CALCULATIONS["highest_ring_temperature"].work

bores = st.floats(0.01, 0.2)
oversizes = st.floats(0.0, 0.005)
# of the bore, up to half a per cent
expansions = st.floats(5e-6, 3e-5)
cold = st.floats(77.0, 313.15)
hot = st.floats(323.15, 573.15)


@given(bores, oversizes, expansions, expansions, cold, hot)
def test_the_lowest_head_temperature_is_where_the_clearance_wanted_is_just_left(
    bore: float, oversize: float, a_ring: float, a_bore: float, ring: float, head: float
) -> None:
    ring_od = bore * (1 + oversize)
    clearance = joining_clearance(ring_od, bore, a_ring, a_bore, ring, head)
    assert math.isclose(
        lowest_head_temperature(clearance, ring_od, bore, a_ring, a_bore, ring), head, abs_tol=1e-7
    )


@given(bores, oversizes, expansions, expansions, cold, hot)
def test_the_highest_ring_temperature_is_where_the_clearance_wanted_is_just_left(
    bore: float, oversize: float, a_ring: float, a_bore: float, ring: float, head: float
) -> None:
    ring_od = bore * (1 + oversize)
    clearance = joining_clearance(ring_od, bore, a_ring, a_bore, ring, head)
    assert math.isclose(
        highest_ring_temperature(clearance, ring_od, bore, a_ring, a_bore, head), ring, abs_tol=1e-7
    )


@given(bores, oversizes, expansions, expansions)
def test_at_20_degrees_the_clearance_is_the_interference_with_its_sign_turned(
    bore: float, oversize: float, a_ring: float, a_bore: float
) -> None:
    ring_od = bore * (1 + oversize)
    clearance = joining_clearance(ring_od, bore, a_ring, a_bore, 293.15, 293.15)
    assert clearance == -interference(ring_od, bore)


@given(bores, oversizes, expansions, expansions, cold, hot, st.floats(0.1, 50.0))
def test_a_hotter_head_opens_and_a_warmer_ring_closes_the_clearance(
    bore: float, oversize: float, a_ring: float, a_bore: float, ring: float, head: float, warmer: float
) -> None:
    ring_od = bore * (1 + oversize)
    before = joining_clearance(ring_od, bore, a_ring, a_bore, ring, head)
    assert joining_clearance(ring_od, bore, a_ring, a_bore, ring, head + warmer) > before
    assert joining_clearance(ring_od, bore, a_ring, a_bore, ring + warmer, head) < before


@given(bores, oversizes, expansions, expansions, cold, hot, st.floats(1e-6, 1e-4))
def test_each_micrometre_more_interference_is_a_micrometre_less_clearance(
    bore: float, oversize: float, a_ring: float, a_bore: float, ring: float, head: float, smaller: float
) -> None:
    ring_od = bore * (1 + oversize)
    more = interference(ring_od + smaller, bore) - interference(ring_od, bore)
    less = joining_clearance(ring_od, bore, a_ring, a_bore, ring, head) - joining_clearance(
        ring_od + smaller, bore, a_ring, a_bore, ring, head
    )
    # a warm or cold ring carries its own expansion along, at most 3e-5 * 220 K = 0.7 % of the micrometre
    assert math.isclose(more, less, rel_tol=7e-3, abs_tol=1e-15)


@given(bores, expansions, hot)
def test_a_ring_of_the_head_s_own_metal_and_size_fits_at_every_common_temperature(
    bore: float, a: float, temperature: float
) -> None:
    assert joining_clearance(bore, bore, a, a, temperature, temperature) == 0


@given(bores, expansions, st.floats(100.0, 700.0))
def test_a_length_grows_when_warmed_above_20_degrees_and_shrinks_when_cooled_below(
    length: float, a: float, temperature: float
) -> None:
    grown = expanded(length, a, temperature) - length
    if abs(temperature - 293.15) > 1e-3:
        assert (grown > 0) == (temperature > 293.15)


def test_a_loose_ring_has_a_negative_interference() -> None:
    assert interference(0.041, 0.042) < 0


def test_a_clearance_no_head_can_give_is_refused_in_words() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        lowest_head_temperature(0.005, 0.0425, 0.0424, 11.5e-6, 22e-6, 255.15)
    assert str(refusal.value) == "no head temperature up to 1726.85 degC leaves a clearance of 5 mm"


def test_a_clearance_every_head_gives_has_no_lowest_temperature() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        lowest_head_temperature(-0.005, 0.0425, 0.0424, 11.5e-6, 22e-6, 255.15)
    assert str(refusal.value) == (
        "every head temperature leaves more than a clearance of -5 mm, so there is no lowest one"
    )


def test_a_clearance_no_ring_is_cold_enough_for_is_refused_in_words() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        highest_ring_temperature(0.5e-3, 0.0425, 0.0424, 11.5e-6, 22e-6, 473.15)
    assert str(refusal.value) == "no ring is cold enough to leave a clearance of 0.5 mm"


def test_a_clearance_every_ring_leaves_has_no_highest_temperature() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        highest_ring_temperature(-0.005, 0.0425, 0.0424, 11.5e-6, 22e-6, 473.15)
    assert str(refusal.value) == (
        "a ring at 1726.85 degC still leaves more than a clearance of -5 mm, so there is no highest temperature"
    )


def test_a_head_that_does_not_grow_never_opens() -> None:
    with pytest.raises(OutOfDomain) as refusal:
        lowest_head_temperature(30e-6, 0.0425, 0.0424, 11.5e-6, 0.0, 255.15)
    assert str(refusal.value) == (
        "a bore expansion of 0 um/m/K is too low for lowest_head_temperature: it has to be above 0 um/m/K"
    )
