"""Fits and expansion against published values. A grade stands beside each number:

A: the number was seen in the source or a reproduction; B: seen in a companion to the book, which works its example;
C: from memory; D: worked by hand, or calculated in the shop's working notes: a cross-check of our own, no outside proof.
"""

from __future__ import annotations

import pytest

from tests.published.both_ways import CALCULATIONS

interference = CALCULATIONS["interference"].work
expanded = CALCULATIONS["expanded"].work
joining_clearance = CALCULATIONS["joining_clearance"].work
lowest_head_temperature = CALCULATIONS["lowest_head_temperature"].work
highest_ring_temperature = CALCULATIONS["highest_ring_temperature"].work
interference_at = CALCULATIONS["interference_at"].work
nil_fit_temperature = CALCULATIONS["nil_fit_temperature"].work
hottest_ring_temperature = CALCULATIONS["hottest_ring_temperature"].work
it_grade = CALCULATIONS["it_grade"].work

ZERO = 273.15


def test_50_h7_s6_has_0_059_at_most_and_0_018_mm_at_least() -> None:
    # Design of Machine Elements, 2nd edition, ex. 3.3 (B): 0.059 and 0.018 mm.
    # Fundamental deviation s over 40 up to 50 mm: +43 um, JIS B 0401:1999 (values of ISO 286-2) (A).
    smallest_hole, smallest_shaft = 0.05, 0.05 + 43e-6
    largest_hole = smallest_hole + it_grade(0.05, 7.0)
    largest_shaft = smallest_shaft + it_grade(0.05, 6.0)
    assert interference(largest_shaft, smallest_hole) * 1e3 == pytest.approx(0.059, abs=1e-9)
    assert interference(smallest_shaft, largest_hole) * 1e3 == pytest.approx(0.018, abs=1e-9)


def test_a_held_rod_is_stressed_by_the_length_it_could_not_grow() -> None:
    # Mechanics of Materials, ex. 2.10, p. 62 (B): rod 2.5 m, 11.7e-6 /K, 40 K warmer, 200 GPa: 93.6 MPa held fast,
    # 53.6 MPa where the ends give 0.5 mm. Stress is modulus times the growth refused, per length.
    growth = expanded(2.5, 11.7e-6, 293.15 + 40) - 2.5
    assert growth * 1e3 == pytest.approx(1.17, abs=1e-9)
    assert 200e3 * growth / 2.5 == pytest.approx(93.6, abs=0.05)
    assert 200e3 * (growth - 0.5e-3) / 2.5 == pytest.approx(53.6, abs=0.05)


def test_a_400_mm_bore_opens_by_0_2_mm_when_41_67_kelvin_warmer() -> None:
    # Strength of Materials, ex. 8.17, p. 350: sizes and expansion of the book (A). The answer printed there, 66.67 K,
    # divides by 250 mm; with the 400 mm the joint has it is 0.2 / (400 * 12e-6) = 41.67 K, by hand (D).
    warmer = lowest_head_temperature(0.0, 0.4002, 0.4, 12e-6, 12e-6, 293.15) - 293.15
    assert warmer == pytest.approx(41.67, abs=0.005)
    assert joining_clearance(0.4002, 0.4, 12e-6, 12e-6, 293.15, 293.15 + 41.67) * 1e3 == pytest.approx(
        0, abs=5e-5
    )


def test_pure_aluminium_grows_by_0_441_mm_in_100_between_20_and_200() -> None:
    # ASM Handbook, volume 2 (1990), p. 62: mean 24.5e-6 /K, 20 to 200 degC (A); 100 * 24.5e-6 * 180 by hand (D)
    assert (expanded(0.1, 24.5e-6, ZERO + 200) - 0.1) * 1e3 == pytest.approx(0.441, abs=1e-9)


# Shop's working notes, calculated (D): head 22e-6, insert 11.5e-6; insert OD and interference in mm; clearances in mm at
# head/ring 200/-18, 180/-18, 200/20 degC; lowest head temperature for 0.03 mm with the ring at -18; where the ring grabs
# with the head at 200. None where the notes have no clearance.
NOTES = [
    (42, 0.12, (0.064, 0.046, 0.046), 163, 115),
    (42, 0.15, (0.034, 0.016, 0.016), 196, 53),
    (42, 0.18, (0.004, None, None), 228, -10),
    (50, 0.12, (0.099, 0.077, 0.078), 137, 155),
    (50, 0.15, (0.069, 0.047, 0.047), 164, 102),
    (50, 0.18, (0.039, 0.017, 0.017), 192, 50),
]


@pytest.mark.parametrize(("od_mm", "tight_mm", "clearances_mm", "lowest_head", "grabs"), NOTES)
def test_the_table_of_fits_in_the_working_notes_is_met(
    od_mm: float,
    tight_mm: float,
    clearances_mm: tuple[float | None, ...],
    lowest_head: float,
    grabs: float,
) -> None:
    od, bore = od_mm / 1e3, (od_mm - tight_mm) / 1e3
    for (head, ring), noted in zip(((200, -18), (180, -18), (200, 20)), clearances_mm, strict=True):
        clearance = joining_clearance(od, bore, 11.5e-6, 22e-6, ZERO + ring, ZERO + head) * 1e3
        if noted is None:
            assert clearance < 0
        else:
            assert clearance == pytest.approx(noted, abs=0.00051)
    lowest = lowest_head_temperature(30e-6, od, bore, 11.5e-6, 22e-6, ZERO - 18) - ZERO
    assert lowest == pytest.approx(lowest_head, abs=0.51)
    assert highest_ring_temperature(0.0, od, bore, 11.5e-6, 22e-6, ZERO + 200) - ZERO == pytest.approx(
        grabs, abs=0.51
    )


def test_the_worked_exhaust_seat_of_the_notes_is_met() -> None:
    # Shop's working notes, calculated (D): insert 42.510, interference 0.150, head 200, insert -18 degC
    od, bore = 0.04251, 0.04236
    assert interference(od, bore) * 1e3 == pytest.approx(0.150, abs=1e-9)
    clearance = joining_clearance(od, bore, 11.5e-6, 22e-6, ZERO - 18, ZERO + 200)
    assert clearance * 1e3 == pytest.approx(0.036, abs=5e-4)
    for wanted, noted in ((30e-6, 193), (0.0, 161)):
        head = lowest_head_temperature(wanted, od, bore, 11.5e-6, 22e-6, ZERO - 18) - ZERO
        assert head == pytest.approx(noted, abs=0.5)
    assert highest_ring_temperature(0.0, od, bore, 11.5e-6, 22e-6, ZERO + 200) - ZERO == pytest.approx(
        56, abs=0.5
    )


@pytest.mark.parametrize(
    ("head", "ring", "noted_um"), [(200, -20, 60.8), (200, 20, 44.2), (160, -20, 24.3), (160, 60, -9.0)]
)
def test_the_40_mm_seat_of_the_notes_is_met(head: float, ring: float, noted_um: float) -> None:
    # Shop's working notes, calculated (D): 40 mm, interference 0.12 mm, head 22.8e-6, ring 10.4e-6. The notes take 40 mm
    # for ring and bore alike in the growth, which is worth up to 0.12 * 22.8e-6 * 180 = 0.5 um.
    clearance = joining_clearance(0.04, 0.04 - 0.12e-3, 10.4e-6, 22.8e-6, ZERO + ring, ZERO + head) * 1e6
    assert clearance == pytest.approx(noted_um, abs=0.6)


@pytest.mark.parametrize(("celsius", "noted_um"), [(100, 80), (150, 55), (200, 31), (250, 6)])
def test_the_interference_left_hot_is_that_of_the_notes(celsius: float, noted_um: float) -> None:
    # Shop's working notes, calculated (D): 40 mm, 0.12 mm, head 22.8e-6, ring 10.4e-6, both equally warm
    left = interference_at(0.04, 0.04 - 0.12e-3, 10.4e-6, 22.8e-6, ZERO + celsius, ZERO + celsius)
    assert left * 1e6 == pytest.approx(noted_um, abs=1.2)


@pytest.mark.parametrize(
    ("od_mm", "tight_mm", "nil"),
    [(42, 0.12, 293), (42, 0.15, 361), (42, 0.18, 430), (50, 0.12, 249), (50, 0.15, 307), (50, 0.18, 364)],
)
def test_the_temperature_where_the_fit_is_nil_is_that_of_the_notes(
    od_mm: float, tight_mm: float, nil: float
) -> None:
    # Shop's working notes, calculated (D). They take the bore for the ring in the ring's growth, which is worth
    # (od / bore - 1) * 11.5 / 10.5 of the rise: up to 1.9 K.
    od = od_mm / 1e3
    found = nil_fit_temperature(od, od - tight_mm / 1e3, 11.5e-6, 22e-6) - ZERO
    assert nil - 0.5 <= found <= nil + 2.5


@pytest.mark.parametrize("od_mm", [42, 50])
def test_a_seat_at_320_in_a_head_at_150_pushes_0_15_to_about_0_18(od_mm: float) -> None:
    # Shop's working notes, calculated (D): 0.18 mm, for seats of 42 to 50 mm
    od, bore = od_mm / 1e3, od_mm / 1e3 - 0.15e-3
    left = interference_at(od, bore, 11.5e-6, 22e-6, ZERO + 320, ZERO + 150)
    assert left * 1e3 == pytest.approx(0.18, abs=0.0065)
    assert hottest_ring_temperature(left, od, bore, 11.5e-6, 22e-6, ZERO + 150) - ZERO == pytest.approx(320)


def test_a_400_mm_ring_of_the_hub_s_metal_tightens_by_0_2_mm_when_41_67_kelvin_hotter() -> None:
    # Strength of Materials, ex. 8.17, p. 350: sizes and expansion of the book (A); 0.2 / (400 * 12e-6) by hand (D)
    hottest = hottest_ring_temperature(0.2e-3, 0.4, 0.4, 12e-6, 12e-6, 293.15)
    assert hottest - 293.15 == pytest.approx(41.67, abs=0.005)
