"""The driving window against the shop's working notes. Grades as in test_heat_transfer: all D, no outside proof."""

from __future__ import annotations

import math

import pytest

from tests.published.both_ways import CALCULATIONS

ZERO = 273.15


def works(name: str, *values: float) -> float:
    return CALCULATIONS[name].work(*values)


EXHAUST = (0.04251, 0.04236, 11.5e-6, 22e-6, ZERO - 18, ZERO + 200, ZERO - 18, ZERO + 22, 1e6, 300.0)
# insert 42.51, bore 42.36, head 200, insert kept at -18 degC, shop 22, time constant of the head 300 s


def test_the_exhaust_seat_of_the_notes_leaves_12_and_74_seconds() -> None:
    # notes (D): 193 and 161 degC in whole degrees are 12 and 74 s
    assert works("useful_limit", 30e-6, *EXHAUST) == pytest.approx(12, abs=1.5)
    assert works("last_limit", *EXHAUST) == pytest.approx(74, abs=1.5)


def test_a_25_gram_ring_needs_two_minutes_for_ten_kelvin_in_still_air() -> None:
    # notes (D): -20 to -10 degC in 121 s; area and emissivity not noted, 40 by 33 by 8 mm all round and 0.8 here
    seconds = works(
        "chill_time", ZERO - 10, ZERO - 20, ZERO + 20, 0.025, 440.0, 2.64e-3, 0.04, 0.8, 7800.0, 25.0
    )
    assert seconds == pytest.approx(121, rel=0.1)


@pytest.mark.parametrize(("coefficient", "seconds"), [(10000.0, 0.8), (2000.0, 4.0)])
def test_the_same_ring_in_its_pocket_has_a_constant_of_one_to_four_seconds(
    coefficient: float, seconds: float
) -> None:
    # notes (D): 0.8 s at 10 000 and 4 s at 2 000 W/m2/K; 40 mm by 8 mm of contact, 25 g
    area = math.pi * 0.04 * 0.008
    constant = works("contact_time_constant", coefficient, area, 0.025, 440.0, 1.0, 930.0)
    assert constant == pytest.approx(seconds, rel=0.4)


@pytest.mark.parametrize(("mass", "area", "noted"), [(1.5, 0.20, 36.0), (2.0, 0.25, 38.0), (3.0, 0.30, 48.0)])
def test_a_head_loses_its_first_ten_kelvin_in_the_better_part_of_a_minute(
    mass: float, area: float, noted: float
) -> None:
    # notes (D): 36, 38 and 48 s out of an oven of 200 degC into still air; height and emissivity not noted, 0.1 and 0.3 here
    seconds = works(
        "time_in_still_air", ZERO + 190, ZERO + 200, ZERO + 20, mass, 930.0, area, 0.1, 0.3, 2670.0, 151.0
    )
    assert seconds == pytest.approx(noted, rel=0.2)


def test_a_bake_reaches_195_within_the_times_of_the_notes() -> None:
    # notes (D): 20 to 195 degC in an oven of 200, still air, emissivity 0.3: 37, 39 and 49 min
    for mass, area, noted in ((1.5, 0.20, 37.0), (2.0, 0.25, 39.0), (3.0, 0.30, 49.0)):
        seconds = works(
            "time_in_still_air", ZERO + 195, ZERO + 20, ZERO + 200, mass, 930.0, area, 0.1, 0.3, 2670.0, 151.0
        )
        assert seconds / 60 == pytest.approx(noted, rel=0.1)
