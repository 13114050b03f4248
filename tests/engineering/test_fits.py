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
interference_at = CALCULATIONS["interference_at"].work
nil_fit_temperature = CALCULATIONS["nil_fit_temperature"].work
hottest_ring_temperature = CALCULATIONS["hottest_ring_temperature"].work

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


@given(bores, oversizes, expansions, expansions, cold, hot, st.floats(0.1, 50.0))
def test_a_hotter_seat_tightens_and_a_hotter_head_loosens_the_fit(
    bore: float, oversize: float, a_ring: float, a_bore: float, ring: float, head: float, warmer: float
) -> None:
    ring_od = bore * (1 + oversize)
    before = interference_at(ring_od, bore, a_ring, a_bore, ring, head)
    assert interference_at(ring_od, bore, a_ring, a_bore, ring + warmer, head) > before
    assert interference_at(ring_od, bore, a_ring, a_bore, ring, head + warmer) < before


@given(bores, oversizes, expansions, expansions)
def test_at_20_degrees_the_fit_left_is_the_whole_fit(
    bore: float, oversize: float, a_ring: float, a_bore: float
) -> None:
    ring_od = bore * (1 + oversize)
    assert interference_at(ring_od, bore, a_ring, a_bore, 293.15, 293.15) == interference(ring_od, bore)


@given(bores, st.floats(1e-4, 0.004), st.floats(9e-6, 13e-6), st.floats(20e-6, 26e-6))
def test_at_the_nil_temperature_ring_and_bore_are_one_size(
    bore: float, oversize: float, a_ring: float, a_bore: float
) -> None:
    ring_od = bore * (1 + oversize)
    nil = nil_fit_temperature(ring_od, bore, a_ring, a_bore)
    assert math.isclose(expanded(ring_od, a_ring, nil), expanded(bore, a_bore, nil), rel_tol=1e-12)
    assert interference_at(ring_od, bore, a_ring, a_bore, nil - 10, nil - 10) > 0
    assert interference_at(ring_od, bore, a_ring, a_bore, nil + 10, nil + 10) < 0


def test_a_ring_that_grows_more_than_its_head_lets_go_in_the_cold() -> None:
    nil = nil_fit_temperature(0.04001, 0.04, 18e-6, 11e-6)
    assert nil < 293.15
    assert interference_at(0.04001, 0.04, 18e-6, 11e-6, nil - 5, nil - 5) < 0


@given(bores, oversizes, expansions, expansions, hot, hot)
def test_the_hottest_ring_is_where_the_fit_has_tightened_to_the_most(
    bore: float, oversize: float, a_ring: float, a_bore: float, ring: float, head: float
) -> None:
    ring_od = bore * (1 + oversize)
    tight = interference_at(ring_od, bore, a_ring, a_bore, ring, head)
    found = hottest_ring_temperature(tight, ring_od, bore, a_ring, a_bore, head)
    assert math.isclose(found, ring, abs_tol=1e-7)


@pytest.mark.parametrize(
    ("name", "values", "sentence"),
    [
        (
            "nil_fit_temperature",
            (0.0401, 0.0401, 12e-6, 12e-6),
            "ring and head grow alike, so warming both changes nothing between them",
        ),
        (
            "nil_fit_temperature",
            (0.0402, 0.04, 11.5e-6, 12e-6),
            "no warming up to 1726.85 degC brings a fit of 0.2 mm to nil",
        ),
        (
            "nil_fit_temperature",
            (0.0402, 0.04, 18e-6, 11e-6),
            "no cooling, however deep, brings a fit of 0.2 mm to nil",
        ),
        (
            "hottest_ring_temperature",
            (5e-3, 0.0425, 0.0424, 11.5e-6, 22e-6, 423.15),
            "no ring up to 1726.85 degC reaches an interference of 5 mm in this head",
        ),
        (
            "hottest_ring_temperature",
            (-5e-3, 0.0425, 0.0424, 11.5e-6, 22e-6, 423.15),
            "every ring, however cold, is tighter than an interference of -5 mm in this head",
        ),
    ],
)
def test_a_temperature_no_ring_and_head_reach_is_refused_in_words(
    name: str, values: tuple[float, ...], sentence: str
) -> None:
    with pytest.raises(OutOfDomain) as refusal:
        CALCULATIONS[name].work(*values)
    assert str(refusal.value) == sentence
