"""A thinned ring against a published compound cylinder (A, B) and against the differential equation of rings."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, linalg

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

# Advanced Strength and Applied Elasticity, example 3, p. 243, and Strength of Materials, example 8.17, p. 350: radii
# 150/200/250 mm, 0.1 mm on the radius, 200 GPa both: p = 12.3 MPa (A); ring hoop stress at its bore -56.2 MPa (B)
PUBLISHED = (0.2e-3, 0.4, 0.05, 0.5, 200e9, 0.3, 200e9, 0.3)

SEAT = (0.12e-3, 40e-3, 60e-3, 205e9, 0.29, 70e9, 0.33)


def test_the_compound_cylinder_has_the_printed_pressure_and_stress() -> None:
    assert work["thinned_ring_pressure"](*PUBLISHED) / 1e6 == pytest.approx(12.3, abs=0.05)
    assert work["thinned_ring_stress"](*PUBLISHED) / 1e6 == pytest.approx(56.2, abs=0.1)


def test_a_yield_of_56_25_mpa_brings_back_the_published_bore() -> None:
    # the same cylinder (B): yielding at 56.25 MPa its bore is at 150.0 mm
    wall = work["wall_at_yield"](0.2e-3, 0.4, 0.5, 200e9, 0.3, 200e9, 0.3, 56.25e6)
    assert (0.2 - wall) * 1e3 == pytest.approx(150.0, abs=0.05)


def _give(at: float, free_edge: float, modulus: float, poisson: float) -> tuple[float, float]:
    """Radial displacement at `at` and hoop stress at the free edge for a unit of pressure at `at`, by integration."""

    def slopes(r: float, state: np.ndarray) -> list[float]:
        u, stress = state
        strain = stress * (1 - poisson**2) / modulus - poisson * u / r
        hoop = (modulus * u / r + poisson * modulus * strain) / (1 - poisson**2)
        return [strain, (hoop - stress) / r]

    run = integrate.solve_ivp(slopes, (free_edge, at), [free_edge, 0.0], rtol=1e-10, atol=1e-12)
    u, stress = run.y[:, -1]
    # at the free edge u = r: the hoop strain is 1 and nothing presses, so the hoop stress is the modulus
    return u / -stress, modulus / -stress


@pytest.mark.parametrize("wall", [0.3e-3, 1e-3, 3e-3, 8e-3])
def test_pressure_and_stress_are_those_of_the_differential_equation(wall: float) -> None:
    tight, od, hub_od, ring_e, ring_v, hub_e, hub_v = SEAT
    ring_u, ring_hoop = _give(od / 2, od / 2 - wall, ring_e, ring_v)
    hub_u, _ = _give(od / 2, hub_od / 2, hub_e, hub_v)
    pressure = tight / 2 / (hub_u - ring_u)
    assert work["thinned_ring_pressure"](tight, od, wall, *SEAT[2:]) == pytest.approx(pressure, rel=1e-6)
    assert work["thinned_ring_stress"](tight, od, wall, *SEAT[2:]) == pytest.approx(
        abs(ring_hoop) * pressure, rel=1e-6
    )


def test_a_wall_of_nothing_carries_modulus_times_strain() -> None:
    # limit (D): E * interference / diameter
    stress = work["thinned_ring_stress"](0.12e-3, 40e-3, 1e-9, *SEAT[2:])
    assert stress == pytest.approx(205e9 * 0.003, rel=1e-5)


@pytest.mark.parametrize("strength", [350e6, 450e6, 600e6])
def test_at_the_wall_where_it_yields_the_stress_is_the_yield(strength: float) -> None:
    wall = work["wall_at_yield"](*SEAT, strength)
    assert work["thinned_ring_stress"](0.12e-3, 40e-3, wall, *SEAT[2:]) == pytest.approx(strength, rel=1e-9)


@pytest.mark.parametrize(("wall", "printed"), [(1e-3, 6.7), (2e-3, 58.0)])
def test_a_free_ring_buckles_at_the_pressure_of_the_notes(wall: float, printed: float) -> None:
    # the shop's notes (D): 200 GPa, 40 mm
    assert work["free_ring_buckling"](200e9, wall, 40e-3) / 1e6 == pytest.approx(printed, rel=0.01)


def test_a_free_ring_buckles_at_the_lowest_eigenvalue_of_its_bending() -> None:
    # independent: bending energy against the work of a pressure that follows, on a circle of 240 points
    points = 240
    step = 2 * np.pi / points
    second = linalg.circulant([-2.0, 1.0, *[0.0] * (points - 3), 1.0]) / step**2
    bent = second + np.eye(points)
    values, modes = linalg.eigh(bent)
    kept = modes[:, values < -0.5]  # shapes that only move or swell the ring don't bend it
    ratio = linalg.eigvalsh(kept.T @ bent @ bent @ kept, -(kept.T @ bent @ kept))[0]
    wall, od, modulus = 1e-3, 40e-3, 200e9
    pressure = ratio * modulus * wall**3 / 12 / ((od - wall) / 2) ** 3
    assert work["free_ring_buckling"](modulus, wall, od) == pytest.approx(pressure, rel=1e-3)
