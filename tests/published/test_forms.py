"""Squareness and flatness against planes and lines laid through the points by other means."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}


def _zone(points: list[tuple[float, ...]], heights: list[float]) -> float:
    """Distance of the two closest parallel planes (or lines) that hold all points, measured upright: a linear programme."""
    terms = len(points[0]) + 1
    rows, limits = [], []
    for place, height in zip(points, heights, strict=True):
        for sign in (1, -1):
            rows.append([sign * one for one in (*place, 1.0)] + [-1.0])
            limits.append(sign * height)
    free = [(None, None)] * terms
    return 2 * linprog([0.0] * terms + [1.0], rows, limits, bounds=[*free, (0, None)]).fun


@pytest.mark.parametrize(
    "heights", [[0.04, 0, 0, 0], [0.01, 0.03, -0.02, 0.05], [1, 2, 3, 2], [0.0, 0.02, 0.0, 0.02]]
)
def test_the_twist_of_four_corners_is_their_narrowest_zone(heights: list[float]) -> None:
    corners = [(0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)]
    assert work["twist_of_four"](*heights) == pytest.approx(_zone(corners, heights), abs=1e-9)


@pytest.mark.parametrize("heights", [[0.02, 0.05, 0.04], [0.1, 0.0, 0.1], [0.0, 0.1, 0.2]])
def test_the_bow_is_twice_the_zone_of_three_points_in_line(heights: list[float]) -> None:
    zone = _zone([(0.0,), (1.0,), (2.0,)], heights)
    assert abs(work["bow_of_three"](*heights)) == pytest.approx(zone, abs=1e-9)


@pytest.mark.parametrize("heights", [[0.25, -0.125, -0.125], [0.01, 0.0, 0.03], [1.0, 1.0, 1.0]])
def test_the_tilt_is_that_of_the_plane_through_the_points(heights: list[float]) -> None:
    turns = [2 * math.pi * third / 3 for third in range(3)]
    a, b, c = (np.array([25 * math.cos(t), 25 * math.sin(t), h]) for t, h in zip(turns, heights, strict=True))
    normal = np.cross(b - a, c - a)
    tilt = math.atan2(math.hypot(normal[0], normal[1]), abs(normal[2]))
    assert work["tilt_of_three"](*heights, 50.0) == pytest.approx(tilt, abs=1e-12)


def test_a_lean_of_one_degree_is_1_746_in_a_hundred() -> None:
    # tangent of one degree, 0.017455 (any table)
    angle = work["squareness_angle"](0.017455e-1, 0.0, 0.1)
    assert math.degrees(angle) == pytest.approx(1.0, abs=1e-4)
    assert work["squareness_over"](0.017455e-1, 0.0, 0.1, 0.1) == pytest.approx(
        math.tan(math.radians(1)) * 0.1, rel=1e-4
    )
