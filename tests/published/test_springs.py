"""Springs against worked examples of a textbook, seen in an open companion (B), and against a chain of masses."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigvalsh_tridiagonal

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

G = 81370e6  # the textbook's modulus of rigidity, Pa


def test_a_heavy_spring_has_the_printed_rate_and_free_length() -> None:
    # Design of Machine Elements, 2nd edition, example 10.2: 179.014 N/mm; 3.5 kN, 7 coils, 6 gaps of 0.5: 99.5515 mm (B)
    rate = work["rate_from_wire"](G, 11e-3, 55e-3, 5.0)
    assert rate / 1e3 == pytest.approx(179.014, abs=5e-4)
    solid = work["solid_height_of_wire"](11e-3, 7.0)
    assert work["free_height_for"](3500.0, rate, solid, 6 * 0.5e-3) * 1e3 == pytest.approx(
        99.551543, abs=1e-6
    )


def test_a_spring_of_7_mm_wire_has_the_printed_free_length() -> None:
    # The same, example 10.1: 1250 N, d 7, D 42, 8 of 10 coils active, 9 gaps of 1: free length 109.337611 mm (B)
    rate = work["rate_from_wire"](G, 7e-3, 42e-3, 8.0)
    free = work["free_height_for"](1250.0, rate, work["solid_height_of_wire"](7e-3, 10.0), 9e-3)
    assert free * 1e3 == pytest.approx(109.337611, abs=1e-6)
    squeezed = 0.07 + 0.009
    assert work["bind_clearance"](free, free - squeezed, 0.07) * 1e3 == pytest.approx(9.0)


def test_two_springs_in_one_another_share_the_load_as_printed() -> None:
    # The same, example 10.19: d 6/5, D 36/30, 10/8 coils, inner 15 mm shorter, 1000 N: outer 706.021 N and 24.9888 mm,
    # inner 293.979 N and 9.98884 mm, stresses 375.305 and 225.032 N/mm2 (B)
    outer = work["rate_from_wire"](G, 6e-3, 36e-3, 10.0)
    inner = work["rate_from_wire"](G, 5e-3, 30e-3, 8.0)
    height = 0.1 - 24.988839e-3
    assert work["load_from_free_height"](outer, 0.1, height) == pytest.approx(706.021471, abs=1e-4)
    assert work["load_from_free_height"](inner, 0.085, height) == pytest.approx(293.978529, abs=1e-4)
    for step in (0.0, 0.003):
        assert work["nested_load"](outer, 0.1, inner, 0.085 - step, height, step) == pytest.approx(
            1000, abs=1e-3
        )
    assert work["spring_stress"](706.021471, 36e-3, 6e-3) / 1e6 == pytest.approx(375.305136, abs=1e-5)
    assert work["spring_stress"](293.978529, 30e-3, 5e-3) / 1e6 == pytest.approx(225.032219, abs=1e-5)


def test_the_smallest_wire_for_the_stress_is_the_printed_one() -> None:
    # The same, example 10.1: 545 N/mm2 permitted, index 6, 1250 N: wire 6.625083 mm (B)
    wire = 6.625083e-3
    assert work["spring_stress"](1250.0, 6 * wire, wire) / 1e6 == pytest.approx(545, abs=1e-3)


@pytest.mark.parametrize(("rate", "mass"), [(40e3, 0.064), (15e3, 0.02)])
def test_a_spring_surges_as_a_chain_of_small_springs_and_masses_does(rate: float, mass: float) -> None:
    # independent: the lowest eigenvalue of 400 links held at both ends
    links = 400
    ones = np.ones(links - 1)
    stiffness, bead = rate * links, mass / links
    lowest = eigvalsh_tridiagonal(2 * ones, -ones[1:], select="i", select_range=(0, 0))[0]
    assert work["surge_frequency"](rate, mass) == pytest.approx(
        math.sqrt(lowest * stiffness / bead) / (2 * math.pi), rel=1e-4
    )
