"""Sizes at 20 °C against published values. A grade stands beside each number:

A: the number was seen in the source or a reproduction; C: from memory; D: worked by hand, a cross-check of our own.
"""

from __future__ import annotations

import math

import pytest

from tests.published.both_ways import CALCULATIONS

at_20 = CALCULATIONS["at_20C"].work
reading_at = CALCULATIONS["reading_at"].work

# JCGM 100:2008, example H.1 (end gauge compared with a standard of the same metal). Values A, ranges of H.1.3 C.
STANDARD = 50.000623e-3
DIFFERENCE = 215e-9
STANDARD_EXPANSION = 11.5e-6
BENCH = 293.15 - 0.1  # the mean deviation from 20 degC is -0.1 K
ONE_SIGMA_EXPANSION = 1e-6 / math.sqrt(3)  # H.1.3.5: delta alpha within +-1e-6 /K, rectangular
ONE_SIGMA_TEMPERATURE = 0.05 / math.sqrt(3)  # H.1.3.6: delta theta within +-0.05 K, rectangular


def _end_gauge(expansion_difference: float = 0.0, temperature_difference: float = 0.0) -> float:
    return at_20(
        STANDARD + DIFFERENCE,
        BENCH + temperature_difference,
        STANDARD_EXPANSION + expansion_difference,
        BENCH,
        STANDARD_EXPANSION,
    )


def test_the_end_gauge_of_the_gum_measures_50_000838_mm() -> None:
    # JCGM 100:2008 H.1.3.7: l = 50.000 838 mm (A). The estimates of both thermal terms are nil, so this shows only that
    # like metals side by side need no correction; the two tests below hold the thermal terms.
    assert _end_gauge() * 1e3 == pytest.approx(50.000838, abs=0.5e-6)


def test_the_thermal_terms_of_the_end_gauge_have_the_size_the_gum_gives_them() -> None:
    # JCGM 100:2008 table H.1 (C): 2.9 nm for the difference of expansions, 16.6 nm for that of temperatures.
    by_expansion = _end_gauge(expansion_difference=ONE_SIGMA_EXPANSION) - _end_gauge()
    by_temperature = _end_gauge(temperature_difference=ONE_SIGMA_TEMPERATURE) - _end_gauge()
    assert by_expansion * 1e9 == pytest.approx(
        2.9, abs=0.05
    )  # bench below 20: more expansion makes it longer at 20
    assert by_temperature * 1e9 == pytest.approx(-16.6, abs=0.05)


def test_the_end_gauge_s_variance_adds_up_to_the_gum_s_1002_square_nanometres() -> None:
    # JCGM 100:2008 H.1.4 (A): u_c^2 = 1002 nm^2, u_c = 32 nm, with u(l_s) = 25 nm and u(d) = 9.7 nm.
    by_expansion = (_end_gauge(expansion_difference=ONE_SIGMA_EXPANSION) - _end_gauge()) * 1e9
    by_temperature = (_end_gauge(temperature_difference=ONE_SIGMA_TEMPERATURE) - _end_gauge()) * 1e9
    variance = 25.0**2 + 9.7**2 + by_expansion**2 + by_temperature**2
    assert variance == pytest.approx(1002, abs=1.5)  # the parts are printed to two digits
    assert math.sqrt(variance) == pytest.approx(32, abs=0.5)


def test_a_40_mm_steel_part_at_26_degrees_is_39_99724_mm_at_20() -> None:
    # ISO 1:2016 in its working form L20 = L [1 + a (20 - T)], a = 11.5e-6: by hand 40 - 40 * 69e-6 (D)
    assert at_20(0.04, 299.15, 11.5e-6, 293.15, 11.5e-6) * 1e3 == pytest.approx(39.99724, abs=5e-6)


def test_part_and_gauge_apart_in_temperature_follow_the_differential_form() -> None:
    # Same standard, dL = L (a_p (T_p - 20) - a_g (T_g - 20)): 100 mm aluminium (23e-6) at 25, steel gauge (11.5e-6) at
    # 22 degC: 100 * (115e-6 - 23e-6) = 0.0092 mm, by hand (D)
    reading = reading_at(0.1, 298.15, 23e-6, 295.15, 11.5e-6)
    assert (reading - 0.1) * 1e3 == pytest.approx(0.0092, abs=5e-6)


def test_the_worked_counterbore_is_stopped_at_42_362() -> None:
    # Bore 42.360 at 20, head and steel-set gauge at 24 degC, 22e-6 and 11.5e-6: calculated, shop's working notes (D)
    assert reading_at(0.04236, 297.15, 22e-6, 297.15, 11.5e-6) * 1e3 == pytest.approx(42.362, abs=5e-4)
