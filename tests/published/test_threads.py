"""Threads against tables of a standard as reproduced (A), worked examples (B) and the work of a turn."""

from __future__ import annotations

import math

import pytest

from runner.engineering.threads import NUT_FACTORS
from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

INCH, POUND = 0.0254, 4.4482216152605
PSI = POUND / INCH**2

# ISO 898-1, coarse threads, nominal stress area in mm2 and proof loads in N of classes 4.8, 8.8 and 10.9, as reproduced:
# the areas on three public pages that agree, the proof loads on one (A). Proof stresses 310, 580 or 600, 830 MPa (C).
TABLE = [
    # d    pitch  area   4.8     8.8      10.9
    (3.0, 0.50, 5.03, 1560, None, None),
    (4.0, 0.70, 8.78, None, None, None),
    (5.0, 0.80, 14.2, 4400, None, None),
    (6.0, 1.00, 20.1, 6230, 11600, 16700),
    (8.0, 1.25, 36.6, 11400, 21200, 30400),
    (10.0, 1.50, 58.0, 18000, 33700, 48100),
    (12.0, 1.75, 84.3, 26100, 48900, 70000),
    (14.0, 2.00, 115, 35600, 66700, 95500),
    (16.0, 2.00, 157, 48700, 91000, None),
    (20.0, 2.50, 245, None, None, None),
    (24.0, 3.00, 353, None, None, None),
    (30.0, 3.50, 561, None, None, None),
    (36.0, 4.00, 817, None, None, None),
]


@pytest.mark.parametrize(("d", "pitch", "area", "p48", "p88", "p109"), TABLE)
def test_stress_areas_and_proof_loads_are_the_standard_s(
    d: float, pitch: float, area: float, p48: float | None, p88: float | None, p109: float | None
) -> None:
    worked = work["metric_stress_area"](d / 1e3, pitch / 1e3)
    assert worked * 1e6 == pytest.approx(area, rel=4e-3)  # printed to three digits
    for proof, stress in ((p48, 310e6), (p88, 580e6), (p109, 830e6)):
        if proof:
            assert work["tension_for_proof"](worked, stress, 1.0) == pytest.approx(proof, rel=7e-3)


def test_the_three_quarter_inch_bolt_takes_the_printed_torque() -> None:
    # Machine Design, 2004, example 6.1, p. 120: A 0.334 in2, 85 ksi, 0.85, K 0.2: 3620 lb in (B)
    tension = work["tension_for_proof"](0.334 * INCH**2, 85e3 * PSI, 0.85)
    torque = work["torque_for_tension"](0.2, 0.75 * INCH, tension)
    assert torque / (POUND * INCH) == pytest.approx(3620, abs=0.5)
    assert work["tension_for_torque"](0.2, 0.75 * INCH, torque) == pytest.approx(tension)


def test_the_three_quarter_inch_bolt_turns_by_the_printed_angle() -> None:
    # The same, example 6.2, p. 121: 5 in grip, 30e6 psi, 10 threads an inch: 43.35 degrees (B)
    stiffness = work["rod_stiffness"](30e6 * PSI, 0.334 * INCH**2, 5 * INCH)
    tension = work["tension_for_proof"](0.334 * INCH**2, 85e3 * PSI, 0.85)
    turn = work["turn_for_stretch"](work["bolt_stretch"](tension, stiffness), 0.1 * INCH)
    assert math.degrees(turn) == pytest.approx(43.35, abs=0.005)


def test_a_bar_between_walls_that_don_t_give_has_the_printed_stress() -> None:
    # Mechanics of Materials, example 2.10, p. 62: 11.7e-6, 40 K, 200 GPa: 93.6 MPa pressed; 0.5 mm of give over 2.5 m
    # leaves 53.6 MPa (B)
    area = 100e-6
    stiffness = work["rod_stiffness"](200e9, area, 2.5)
    change = work["hot_tension_change"](2.5, 0.0, 11.7e-6, 293.15, 333.15, stiffness, 1e20)
    assert change / area / 1e6 == pytest.approx(-93.6, abs=0.05)
    given_way = work["rod_stiffness"](200e9, area, 2.5) * 0.5e-3
    assert (change + given_way) / area / 1e6 == pytest.approx(-53.6, abs=0.05)


def test_without_friction_a_turn_of_torque_is_the_work_of_one_pitch() -> None:
    # conservation of energy
    torque = work["torque_by_friction"](25e3, 1.5e-3, 9.026e-3, 13e-3, 0.0, 0.0)
    assert torque * 2 * math.pi == pytest.approx(25e3 * 1.5e-3)


def test_a_flat_thread_rubs_as_its_wedge_does() -> None:
    # statics: on 60 degree flanks the push square to the flank is 1 / cos 30 degrees of the load
    bare = work["torque_by_friction"](1e4, 1e-9, 8e-3, 12e-3, 0.1, 0.0)
    assert bare == pytest.approx(1e4 / math.cos(math.pi / 6) * 0.1 * 4e-3, rel=1e-6)
    head = work["torque_by_friction"](1e4, 1e-9, 8e-3, 12e-3, 0.0, 0.1)
    assert head == pytest.approx(1e4 * 0.1 * 6e-3, rel=1e-6)


def test_the_nut_factor_that_friction_makes_lies_in_the_published_ranges() -> None:
    # M10: friction 0.12 to 0.16 (common practice, no source) gives a nut factor inside 0.10 to 0.27 of the table
    for friction in (0.12, 0.16):
        torque = work["torque_by_friction"](25e3, 1.5e-3, 9.026e-3, 13e-3, friction, friction)
        factor = torque / (10e-3 * 25e3)
        assert (
            NUT_FACTORS["steel, oiled, suppliers"].lowest
            < factor
            < NUT_FACTORS["steel, dry, suppliers"].highest
        )


def test_one_stud_two_greases_one_tension() -> None:
    oiled = work["torque_for_nut_factor"](30.0, 0.2, 0.15)
    assert work["tension_for_torque"](0.15, 8e-3, oiled) == pytest.approx(
        work["tension_for_torque"](0.2, 8e-3, 30.0)
    )


def test_a_stud_in_aluminium_stretches_by_what_both_have_grown_apart() -> None:
    # compatibility: growth of the part less its squeeze = growth of the stud plus its stretch
    length, k_stud, k_part = 0.08, 90e6, 400e6
    change = work["hot_tension_change"](length, 22e-6, 11.5e-6, 440.0, 420.0, k_stud, k_part)
    part = length * 22e-6 * (440 - 293.15) - change / k_part
    stud = length * 11.5e-6 * (420 - 293.15) + change / k_stud
    assert part == pytest.approx(stud, rel=1e-12)


def test_the_land_at_the_least_edge_distance_is_three_quarters_of_the_hole() -> None:
    # TM 9-2815-225-34&P, WP 0051, by the method of NASM33537 (A, as read for the trade notes)
    edge = work["least_edge_distance"](10.4e-3)
    assert work["land_to_edge"](edge, 10.4e-3) == pytest.approx(0.75 * 10.4e-3)


def test_published_nut_factors_of_zinc_contradict_each_other_and_stand_side_by_side() -> None:
    # 0.20 in one table, 0.295 in another (A, both as quoted)
    text, handbook = NUT_FACTORS["steel, zinc plated, text"], NUT_FACTORS["steel, zinc plated, handbook"]
    assert (text.lowest, handbook.lowest) == (0.20, 0.295)
    assert all(0 < one.lowest <= one.highest < 0.5 and one.source for one in NUT_FACTORS.values())
