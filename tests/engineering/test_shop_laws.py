"""Seats, springs, volumes, leaks, machining, thinning, threads: which way each goes, and what inverts what."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

degrees = st.floats(10.0, 80.0)
tenths = st.floats(1e-6, 1e-3)
sizes = st.floats(5e-3, 0.2)
ROOM = 101325.0


@given(st.floats(25, 50), st.floats(2, 20), st.floats(2, 20), tenths, tenths, tenths)
def test_a_seat_cut_widens_and_both_other_cuts_narrow(
    seat: float, flatter: float, steeper: float, cut: float, top: float, throat: float
) -> None:
    angles = [math.radians(angle) for angle in (seat, seat - flatter, seat + steeper)]
    assert work["width_growth"](cut, 0.0, 0.0, *angles) > 0
    assert work["width_growth"](0.0, top, 0.0, *angles) < 0
    assert work["width_growth"](0.0, 0.0, throat, *angles) < 0
    together = work["width_growth"](
        cut, cut, cut, *angles
    )  # all three as deep: the whole seat only moves down
    assert together == pytest.approx(0, abs=1e-15)


@given(sizes, tenths, st.floats(10, 75))
def test_diameters_and_width_of_a_seat_come_back(inner: float, width: float, angle: float) -> None:
    a = math.radians(angle)
    outer = work["outer_for_width"](inner, width, a)
    assume(outer > inner)
    assert work["width_of_seat"](outer, inner, a) == pytest.approx(width, rel=1e-6, abs=1e-12)
    assert work["inner_for_width"](outer, width, a) == pytest.approx(inner, rel=1e-12)


@given(tenths, st.floats(25, 50), st.floats(2, 20), st.floats(2, 20))
def test_the_narrowing_cut_asked_for_narrows_by_what_was_asked(
    amount: float, seat: float, flatter: float, steeper: float
) -> None:
    a, t, b = (math.radians(angle) for angle in (seat, seat - flatter, seat + steeper))
    assert work["outer_growth"](0.0, work["top_cut_for"](amount, a, t), a, t) == pytest.approx(-amount)
    assert work["inner_growth"](0.0, work["throat_cut_for"](amount, a, b), a, b) == pytest.approx(amount)


@given(st.floats(1e-4, 0.02), st.floats(1.0001, 1.5), st.floats(25, 60))
def test_more_lift_never_opens_less(lift: float, more: float, angle: float) -> None:
    def area(at: float) -> float:
        return work["valve_flow_area"](at, 40e-3, 37e-3, math.radians(angle), 34e-3, 8e-3)

    assert area(lift * more) >= area(lift)
    assert area(lift) <= work["throat_area"](34e-3, 8e-3)


@pytest.mark.parametrize(
    ("name", "values", "sentence"),
    [
        (
            "width_of_seat",
            (40e-3, 42e-3, 0.7),
            "the inner diameter, 42 mm, has to be smaller than the outer diameter",
        ),
        ("inner_for_width", (10e-3, 50e-3, 0.7), "past its own axis"),
        ("outer_growth", (1e-4, 0.0, 0.7, 0.8), "the top angle, .* has to be smaller than the seat angle"),
        ("inner_growth", (-1e-4, 0.0, 0.7, 0.8), "a cut of -0.1 mm is below zero"),
        ("crossing_diameter", (40e-3, 42e-3, 0.5, 0.8), "never meet"),
        ("throat_area", (8e-3, 8e-3), "the stem, 8 mm, has to be smaller than the throat, 8 mm"),
        ("rate_from_wire", (8e10, 5e-3, 4e-3, 5.0), "the wire, 5 mm, has to be smaller"),
        ("load_from_free_height", (1e4, 40e-3, 41e-3), "is loose and pushes nothing"),
        ("height_for_load", (100.0, 30e-3, 1e4, 900.0), "squeeze this spring to nothing"),
        ("spring_stress", (100.0, 5e-3, 4e-3), "can't be wound"),
        ("rate_from_loads", (250.0, 240.0, 38e-3, 28e-3), "the load closed, 250 N, has to be smaller"),
        ("clearance_volume", (10e-6, 0.0, 0.0, 11e-6), "nothing is left at top dead centre"),
        ("ratio_after_skim", (5e-4, 1e-6, 7e-3, 1e-3), "takes the whole chamber"),
        ("orifice_flow", (1e-6, 0.9, 1e5, 293.15, 1e5), "the back pressure, 0.1 MPa, has to be smaller"),
        ("leak_down_area", (1e-3, 6e5, 1e5, 101325.0), "the pressure has to fall"),
        ("thinning_path_radius", (20e-3, 1e-3, 18.1e-3), "too thick to go round"),
        ("thinning_depth_stop", (1e-3, 0.9e-3, 0.2e-3), "no room for 0.9 mm left"),
        ("true_thinned_wall", (1e-4, -1e-5, 0.0, 0.0), "an eccentricity of -0.01 mm is below zero"),
        (
            "thinned_ring_pressure",
            (1e-4, 40e-3, 21e-3, 60e-3, 2e11, 0.3, 7e10, 0.33),
            "thicker than the radius",
        ),
        (
            "thinned_ring_stress",
            (1e-4, 40e-3, 20e-3, 60e-3, 2e11, 0.3, 7e10, 0.33),
            "a solid plug has no bore",
        ),
        (
            "thinned_ring_stress",
            (1e-4, 40e-3, 2e-3, 40e-3, 2e11, 0.3, 7e10, 0.33),
            "the ring OD, 40 mm, has to be",
        ),
        ("wall_at_yield", (1e-4, 40e-3, 60e-3, 2e11, 0.3, 7e10, 0.33, 1e9), "never yields, however thin"),
        ("wall_at_yield", (1e-4, 40e-3, 60e-3, 2e11, 0.3, 7e10, 0.33, 1e6), "as soon as it has a bore"),
        ("wall_at_yield", (1e-4, 40e-3, 600e-3, 1e10, 0.3, 7e11, 0.33, 1e7), "the hub is stiffer"),
        ("free_ring_buckling", (2e11, 5e-3, 40e-3), "is not thin"),
        ("metric_stress_area", (2e-3, 3e-3), "leaves no core"),
        ("land_to_edge", (5e-3, 10e-3), "the hole's radius, 5 mm, has to be smaller"),
        (
            "torque_by_friction",
            (1e4, 1e-3, 9e-3, 13e-3, -0.1, 0.1),
            "a thread friction of -0.1 is below zero",
        ),
    ],
)
def test_what_physics_has_no_answer_for_is_told_in_a_sentence(
    name: str, values: tuple[float, ...], sentence: str
) -> None:
    with pytest.raises(OutOfDomain, match=sentence):
        work[name](*values)


@given(st.floats(1e4, 1e5), st.floats(30e-3, 60e-3), st.floats(100, 500), st.floats(1e-4, 5e-3))
def test_a_shim_brings_the_load_that_it_was_worked_out_for(
    rate: float, height: float, load: float, shim: float
) -> None:
    wanted = work["load_at_height"](load, height, rate, height - shim)
    assert wanted > load
    assert work["shim_to_load"](load, wanted, rate) == pytest.approx(shim, rel=1e-6)
    lower = work["height_for_load"](load, height, rate, wanted)
    assert work["shim_to_height"](height, lower) == pytest.approx(shim, rel=1e-6)
    assert work["rate_from_loads"](load, wanted, height, lower) == pytest.approx(rate, rel=1e-6)


@given(st.floats(20e-3, 45e-3), st.floats(-5e-3, 5e-3))
def test_two_springs_push_at_least_what_the_outer_one_does(height: float, step: float) -> None:
    both = work["nested_load"](30e3, 50e-3, 15e3, 45e-3, height, step)
    assert both >= work["load_from_free_height"](30e3, 50e-3, height)


def test_the_inner_spring_comes_in_without_a_jerk() -> None:
    at = 45e-3
    before, after = (work["nested_load"](30e3, 50e-3, 15e3, 45e-3, at + d, 0.0) for d in (1e-9, -1e-9))
    assert after - before == pytest.approx(30e3 * 2e-9 + 15e3 * 1e-9, rel=1e-3)


@given(st.floats(30e-3, 60e-3), st.floats(5e-3, 15e-3), st.floats(10e-3, 40e-3), st.floats(10e-3, 40e-3))
def test_the_first_spring_to_bind_decides(installed: float, lift: float, outer: float, inner: float) -> None:
    left = work["nested_bind_clearance"](installed, lift, outer, inner, 2e-3)
    assert left <= work["bind_clearance"](installed, lift, outer)
    assert left == work["nested_bind_clearance"](installed - 2e-3, lift, inner, outer, -2e-3)


def test_an_inner_spring_as_wide_as_the_hole_in_the_outer_touches() -> None:
    assert work["nested_gap"](30e-3, 4e-3, 23e-3, 3e-3) == pytest.approx(0, abs=1e-15)


@given(st.floats(2e-4, 1e-3), st.floats(3e-5, 1e-4), st.floats(4e-3, 9e-3))
def test_a_skim_raises_the_ratio_and_comes_back_from_it(swept: float, clearance: float, area: float) -> None:
    cut = 0.2 * clearance / area
    ratio = work["ratio_after_skim"](swept, clearance, area, cut)
    assert ratio > work["compression_ratio"](swept, clearance)
    assert work["skim_for_ratio"](swept, clearance, ratio, area) == pytest.approx(cut, rel=1e-9)
    assert work["skim_volume"](area, cut) == pytest.approx(0.2 * clearance)


@given(st.floats(0.01, 0.998), st.floats(0.0005, 0.05))
def test_a_lower_back_pressure_never_passes_less(ratio: float, lower: float) -> None:
    supply = 6e5
    assume(ratio - lower > 1e-3)
    more, less = (work["orifice_flow"](1e-6, 0.9, supply, 293.15, r * supply) for r in (ratio - lower, ratio))
    assert more >= less * (1 - 1e-12)


def test_flow_is_one_smooth_curve_through_the_speed_of_sound() -> None:
    choking = work["choking_pressure"](6e5)
    flows = [work["orifice_flow"](1e-6, 1.0, 6e5, 293.15, choking * f) for f in (1 - 1e-4, 1, 1 + 1e-4)]
    assert flows[0] == flows[1]
    assert flows[2] == pytest.approx(flows[1], rel=1e-7)


@given(st.floats(0.3e-3, 3e-3), st.floats(0.1e-3, 5e-3), st.floats(1.2e5, 9e5))
def test_the_tester_s_reading_and_the_hole_come_back(orifice: float, hole: float, supply: float) -> None:
    assume(0.2 < hole / orifice < 5)
    reading = work["leak_down_reading"](orifice, hole, supply, ROOM)
    assert ROOM < reading < supply
    leak = work["leak_down_area"](orifice, supply, reading, ROOM)
    assert work["hole_of_area"](leak) == pytest.approx(hole, rel=1e-6)


@given(st.floats(0.1e-3, 2e-3), st.floats(1.01, 2))
def test_a_larger_hole_reads_lower(hole: float, larger: float) -> None:
    readings = [work["leak_down_reading"](1e-3, size, 6.5e5, ROOM) for size in (hole, hole * larger)]
    assert readings[1] < readings[0]


@given(st.floats(0.05e-3, 18e-3), st.floats(0.01, 0.9))
def test_a_thinner_ring_grips_less_and_is_stressed_more(wall: float, share: float) -> None:
    rest = (60e-3, 205e9, 0.29, 70e9, 0.33)
    thin = wall * share
    assert work["thinned_ring_pressure"](0.1e-3, 40e-3, thin, *rest) < work["thinned_ring_pressure"](
        0.1e-3, 40e-3, wall, *rest
    )
    assert work["thinned_ring_stress"](0.1e-3, 40e-3, thin, *rest) > work["thinned_ring_stress"](
        0.1e-3, 40e-3, wall, *rest
    )


@given(st.floats(0.5e-3, 12e-3))
def test_the_wall_that_yields_is_the_wall_that_carries_the_yield(wall: float) -> None:
    rest = (60e-3, 205e9, 0.29, 70e9, 0.33)
    strength = work["thinned_ring_stress"](0.1e-3, 40e-3, wall, *rest)
    assert work["wall_at_yield"](0.1e-3, 40e-3, *rest, strength) == pytest.approx(wall, rel=1e-7)


@given(st.floats(-2e-3, 2e-3), st.floats(1e-4, 1e-3))
def test_the_step_chosen_is_large_enough_and_no_larger(needed: float, step: float) -> None:
    steps = work["steps_to_oversize"](needed, step)
    assert steps == int(steps) >= 0
    assert steps * step >= needed - 1e-5 * step
    assert steps == 0 or (steps - 1) * step < needed


@given(sizes, st.floats(0.01, 5))
def test_spindle_and_cutting_speed_come_back(diameter: float, speed: float) -> None:
    turns = work["spindle_speed_for"](diameter, speed)
    assert work["surface_speed"](diameter, turns) == pytest.approx(speed)


@given(st.floats(250, 600), st.floats(250, 600))
def test_a_stud_of_the_part_s_own_metal_and_warmth_keeps_its_tension(part: float, bolt: float) -> None:
    same = work["hot_tension_change"](0.1, 2e-5, 2e-5, part, part, 1e8, 3e8)
    assert same == pytest.approx(0, abs=1e-9)
    gained = work["hot_tension_change"](0.1, 2e-5, 2e-5, part, bolt, 1e8, 3e8)
    assert (gained > 0) == (part > bolt) or part == bolt


@given(st.floats(0.0, 5e-4), st.floats(0.0, 5e-4), st.floats(0.0, 5e-4), st.floats(0.03, 0.06))
def test_the_contact_moves_as_the_edges_that_the_three_cones_cut(
    seat: float, top: float, throat: float, at_face: float
) -> None:
    # each cutter a cone; a cone that goes down by h is wider at the face by 2 h / tan(angle)
    flat, middle, steep = math.radians(30), math.radians(45), math.radians(60)

    def contact(seat: float, top: float, throat: float) -> float:
        cones = [
            diameter + 2 * down / math.tan(angle)
            for diameter, down, angle in (
                (at_face, top, flat),
                (at_face - 2e-3, seat, middle),
                (at_face - 5e-3, throat, steep),
            )
        ]
        outer = work["crossing_diameter"](cones[0], cones[1], flat, middle)
        inner = work["crossing_diameter"](cones[1], cones[2], middle, steep)
        return work["seat_contact_diameter"](outer, inner)

    moved = contact(seat, top, throat) - contact(0.0, 0.0, 0.0)
    assert work["contact_growth"](seat, top, throat, middle, flat, steep) == pytest.approx(moved, abs=1e-12)
