"""Seats against lines that are really cut, areas that are really turned, and the shop's notes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, optimize

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

ANGLES = [(45, 30, 60), (30, 15, 60), (45, 15, 75), (46, 30, 70), (45, 0, 60), (45, 30, 90)]


def _cone(diameter: float, angle_deg: float, cut: float = 0.0) -> tuple[float, float, float]:
    """A cone in section as a line n.x = c: through (diameter / 2, -cut), going down and in by its angle."""
    down = np.array([-math.cos(math.radians(angle_deg)), -math.sin(math.radians(angle_deg))])
    across = np.array([-down[1], down[0]])
    return across[0], across[1], float(across @ np.array([diameter / 2, -cut]))


def _meet(one: tuple[float, float, float], other: tuple[float, float, float]) -> np.ndarray:
    return np.linalg.solve(np.array([one[:2], other[:2]]), np.array([one[2], other[2]]))


@pytest.mark.parametrize("angles", ANGLES)
@pytest.mark.parametrize("cuts", [(0.1, 0.0, 0.0), (0.0, 0.1, 0.0), (0.0, 0.0, 0.1), (0.2, 0.07, 0.15)])
def test_edges_move_as_the_lines_in_section_cross(
    angles: tuple[int, int, int], cuts: tuple[float, float, float]
) -> None:
    seat, top, throat = angles
    first = _cone(42, seat), _cone(44, top), _cone(40.5, throat)
    after = _cone(42, seat, cuts[0]), _cone(44, top, cuts[1]), _cone(40.5, throat, cuts[2])
    corners = [(_meet(s, t), _meet(s, b)) for s, t, b in (first, after)]
    outer = 2 * (corners[1][0][0] - corners[0][0][0])
    inner = 2 * (corners[1][1][0] - corners[0][1][0])
    s, t, b = (math.radians(angle) for angle in angles)
    along = np.array([math.cos(s), math.sin(s)])
    wider = along @ (corners[1][0] - corners[1][1]) - along @ (corners[0][0] - corners[0][1])
    m = [cut / 1e3 for cut in cuts]
    assert work["outer_growth"](m[0], m[1], s, t) * 1e3 == pytest.approx(outer, abs=1e-9)
    assert work["inner_growth"](m[0], m[2], s, b) * 1e3 == pytest.approx(inner, abs=1e-9)
    assert work["width_growth"](*m, s, t, b) * 1e3 == pytest.approx(wider, abs=1e-9)


def test_a_tenth_deeper_widens_the_seat_of_the_notes_by_half_a_millimetre() -> None:
    # the shop's notes (D): 45/30/60, radii +0.2366 and -0.1366, width +0.528 mm
    a = [math.radians(angle) for angle in (45, 30, 60)]
    assert work["outer_growth"](1e-4, 0.0, a[0], a[1]) * 1e3 == pytest.approx(2 * 0.2366, abs=1e-4)
    assert work["inner_growth"](1e-4, 0.0, a[0], a[2]) * 1e3 == pytest.approx(-2 * 0.1366, abs=1e-4)
    assert work["width_growth"](1e-4, 0.0, 0.0, *a) * 1e3 == pytest.approx(0.528, abs=5e-4)
    assert work["contact_growth"](1e-4, 0.0, 0.0, *a) * 1e3 == pytest.approx(0.2366 - 0.1366, abs=1e-4)


@pytest.mark.parametrize(("flat", "steep"), [(30, 45), (45, 60), (15, 75), (30, 90)])
def test_two_cuts_meet_where_their_lines_cross(flat: int, steep: int) -> None:
    wanted = 2 * _meet(_cone(44, flat), _cone(42, steep))[0]
    worked = work["crossing_diameter"](44e-3, 42e-3, math.radians(flat), math.radians(steep))
    assert worked * 1e3 == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("angle", [15, 30, 45, 60])
def test_width_and_height_are_the_sides_of_the_section_s_triangle(angle: int) -> None:
    a = math.radians(angle)
    width, height = work["width_of_seat"](42e-3, 40e-3, a), work["height_of_seat"](1.0, a)
    along = work["height_of_seat"](width, a)
    assert math.hypot(1e-3, along) == pytest.approx(width)  # Pythagoras: 1 mm across
    assert 0 < height < 1
    assert work["outer_for_width"](40e-3, width, a) == pytest.approx(42e-3)
    assert work["inner_for_width"](42e-3, width, a) == pytest.approx(40e-3)
    assert work["seat_contact_diameter"](42e-3, 40e-3) == pytest.approx(41e-3)


def test_a_seat_of_1_5_at_45_degrees_takes_2_121_of_diameter() -> None:
    # the shop's notes (D)
    assert (work["outer_for_width"](40e-3, 1.5e-3, math.pi / 4) - 40e-3) * 1e3 == pytest.approx(
        2.121, abs=5e-4
    )


@pytest.mark.parametrize(("angle", "ratio"), [(45, 1.0), (30, 0.577)])
def test_a_seat_grown_in_radius_sinks_the_valve_as_the_notes_say(angle: int, ratio: float) -> None:
    # the shop's notes (D): one to one at 45 degrees, 0.577 at 30
    assert work["sink_of_enlargement"](2e-3, math.radians(angle)) * 1e3 == pytest.approx(ratio, abs=5e-4)


@pytest.mark.parametrize("angle", [30, 45])
def test_a_ground_face_sinks_the_valve_until_the_cones_touch_again(angle: int) -> None:
    # the face's line moved square to itself by 0.05 meets the old line's height again after so much travel down the axis
    a = math.radians(angle)
    moved = 0.05 / math.cos(a)
    line = _cone(42, angle)
    square = (line[0] * 21 + line[1] * moved - line[2]) / math.hypot(line[0], line[1])
    assert abs(square) == pytest.approx(0.05)
    assert work["sink_of_cuts"](0.1e-3, 0.05e-3, a) * 1e3 == pytest.approx(0.1 + moved)
    assert work["stem_height_after"](40e-3, 0.1e-3, 0.05e-3, a, 0.02e-3) * 1e3 == pytest.approx(40.08 + moved)


def test_narrowing_cuts_take_back_what_was_asked_for() -> None:
    s, t, b = (math.radians(angle) for angle in (45, 30, 60))
    top = work["top_cut_for"](0.3e-3, s, t)
    assert work["outer_growth"](0.0, top, s, t) == pytest.approx(-0.3e-3)
    throat = work["throat_cut_for"](0.4e-3, s, b)
    assert work["inner_growth"](0.0, throat, s, b) == pytest.approx(0.4e-3)


@pytest.mark.parametrize("angle", [30, 45])
def test_contact_band_and_free_face_make_up_the_whole_face(angle: int) -> None:
    a = math.radians(angle)
    band = work["width_of_seat"](42e-3, 40e-3, a)
    free = work["face_left_outside"](43e-3, 42e-3, a) + work["face_left_inside"](40e-3, 38.5e-3, a)
    assert free + band == pytest.approx(work["width_of_seat"](43e-3, 38.5e-3, a))


def _turned(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Area that a line in section sweeps about the axis, by integration."""
    length = math.dist(one, other)
    return integrate.quad(lambda t: 2 * math.pi * (one[0] + t * (other[0] - one[0])) * length, 0, 1)[0]


@pytest.mark.parametrize(
    ("angle", "lift"), [(45, 0.5), (45, 2.0), (30, 1.0), (45, 3.5), (45, 8.0), (30, 6.0)]
)
def test_the_opening_is_the_area_turned_by_the_shortest_line(angle: int, lift: float) -> None:
    # In section: the seat goes from (18.8, 0) out and up to r = 20, the valve's face begins over its inner edge. The line
    # goes from there to the nearest point of the seat, which at higher lift is the seat's outer edge.
    a, inner, outer = math.radians(angle), 18.8, 20.0
    valve = (inner, lift)

    def on_the_seat(r: float) -> tuple[float, float]:
        return r, (r - inner) * math.tan(a)

    nearest = optimize.minimize_scalar(
        lambda r: math.dist(valve, on_the_seat(r)) ** 2,
        bounds=(inner, outer),
        method="bounded",
        options={"xatol": 1e-12},
    ).x
    worked = work["valve_flow_area"](lift * 1e-3, 40e-3, 37.6e-3, a, 0.2, 7e-3) * 1e6
    assert worked == pytest.approx(_turned(valve, on_the_seat(nearest)), rel=1e-6)


def test_the_opening_of_the_notes_valve_is_171_50_mm2() -> None:
    # the shop's notes (D): 40 mm, 1.2 mm wide from above, 2 mm of lift, 45 degrees
    area = work["valve_flow_area"](2e-3, 40e-3, 37.6e-3, math.radians(45), 0.2, 7e-3)
    assert area * 1e6 == pytest.approx(171.50, abs=0.005)


def test_the_opening_has_no_step_between_low_and_higher_lift() -> None:
    a, width = math.radians(45), 1.2e-3
    turn = width / (math.sin(a) * math.cos(a))
    below, above = (
        work["valve_flow_area"](turn * f, 40e-3, 37.6e-3, a, 0.2, 7e-3) for f in (1 - 1e-9, 1 + 1e-9)
    )
    assert above == pytest.approx(below, rel=1e-8)


def test_far_open_the_throat_decides() -> None:
    area = work["valve_flow_area"](20e-3, 40e-3, 37.6e-3, math.radians(45), 34e-3, 8e-3)
    assert area == pytest.approx(work["throat_area"](34e-3, 8e-3))
    assert area == pytest.approx(integrate.quad(lambda r: 2 * math.pi * r, 4e-3, 17e-3)[0])


def test_the_curtain_is_as_large_as_the_port_at_a_quarter_of_the_diameter() -> None:
    # Internal Combustion Engine Fundamentals, 1988, 6.3.2: L / D = 0.25 (identity)
    assert work["curtain_area"](40e-3, 10e-3) == pytest.approx(work["bore_area"](40e-3))
    assert work["effective_area"](work["curtain_area"](40e-3, 10e-3), 0.6) < work["bore_area"](40e-3)
    assert work["effective_area"](5e-4, 1.0) == 5e-4  # limit: no losses
