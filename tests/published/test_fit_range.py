"""The range of fits against published values; the grades are those of test_fits and test_interference.

No published range of a seat was found; each end is held against a published joint that stands just there.
"""

from __future__ import annotations

import pytest

from tests.published.both_ways import CALCULATIONS

least_fit = CALCULATIONS["least_fit"].work
most_fit = CALCULATIONS["most_fit"].work
most_fit_to_join = CALCULATIONS["most_fit_to_join"].work
most_fit_for_stress = CALCULATIONS["most_fit_for_stress"].work

ZERO = 273.15
ROOM = 293.15


@pytest.mark.parametrize(
    ("od_mm", "fit_mm", "clearance_mm"),
    # Shop's working notes, calculated (D): head 22e-6 at 200, ring 11.5e-6 at -18 degC
    [
        (42, 0.12, 0.064),
        (42, 0.15, 0.034),
        (42, 0.18, 0.004),
        (50, 0.12, 0.099),
        (50, 0.15, 0.069),
        (50, 0.18, 0.039),
    ],
)
def test_the_clearance_of_the_notes_allows_the_fit_of_the_notes(
    od_mm: float, fit_mm: float, clearance_mm: float
) -> None:
    most = most_fit_to_join(clearance_mm / 1e3, od_mm / 1e3, 11.5e-6, 22e-6, ZERO - 18, ZERO + 200)
    assert most * 1e3 == pytest.approx(fit_mm, abs=0.001)


def test_a_400_mm_ring_of_the_hub_s_metal_may_be_0_2_mm_tight_when_41_67_kelvin_colder() -> None:
    # Strength of Materials, ex. 8.17, p. 350: sizes of the book (A); 0.2 / (400 * 12e-6) = 41.67 K by hand (D)
    most = most_fit_to_join(0.0, 0.4002, 12e-6, 12e-6, ROOM, ROOM + 41.67)
    assert most * 1e3 == pytest.approx(0.2, abs=5e-4)


def test_the_stresses_of_the_textbook_cylinder_allow_its_own_interference() -> None:
    # Advanced Strength and Applied Elasticity, ex. 3, p. 243: 0.2 mm on the diameter (A) gives 12.3 MPa (A) and 56.0 MPa
    # hoop at the hub's bore (B): by von Mises sqrt(56.0**2 + 56.0 * 12.3 + 12.3**2) = 63.06 MPa
    most = most_fit_for_stress(63.06e6, 0.4, 0.3, 0.5, 12e-6, 12e-6, ROOM, ROOM, 200e9, 200e9, 0.3, 0.3)
    assert most * 1e3 == pytest.approx(0.2, abs=0.001)


def test_steel_in_aluminium_may_be_as_tight_as_finite_elements_of_another_hand_had_it() -> None:
    # Tests of a public repository, a general-purpose finite-element program (A): 0.2 mm on the diameter, 40/60/100 mm, steel
    # 210 GPa in aluminium 68.9 GPa, gives 197.79 MPa by von Mises in the aluminium
    most = most_fit_for_stress(
        197.79e6, 0.06, 0.04, 0.1, 11.5e-6, 22e-6, ROOM, ROOM, 210e9, 68.9e9, 0.3, 0.33
    )
    assert most * 1e3 == pytest.approx(0.2, abs=2e-5)


def test_the_pressure_of_the_textbook_cylinder_needs_its_own_interference() -> None:
    # the textbook cylinder again, 12.3 MPa and 0.2 mm (A); in one metal its warmth changes nothing but the size
    least = least_fit(
        12.3e6, 0.4, 0.3, 0.5, 12e-6, 12e-6, ROOM + 100, ROOM + 100, 200e9, 200e9, 200e9, 200e9, 0.3, 0.3
    )
    assert least * 1e3 == pytest.approx(0.2, abs=0.001)


@pytest.mark.parametrize(("celsius", "left_um"), [(100, 80), (150, 55), (200, 31), (250, 6)])
def test_what_the_notes_have_left_of_0_12_mm_hot_needs_0_12_mm_cold(celsius: float, left_um: float) -> None:
    # Shop's working notes, calculated (D): 40 mm, ring 10.4e-6, head 22.8e-6; what is left hot, as a pressure and back
    joint = (0.04, 0.032, 0.08)
    metals = (200e9, 72.4e9, 0.29, 0.33)
    pressure = CALCULATIONS["contact_pressure"].work(left_um / 1e6, *joint, *metals)
    hot = ZERO + celsius
    least = least_fit(pressure, *joint, 10.4e-6, 22.8e-6, hot, hot, 200e9, 72.4e9, 200e9, 72.4e9, 0.29, 0.33)
    assert least * 1e6 == pytest.approx(120, abs=1)


def test_where_joining_rules_the_most_fit_is_that_of_the_notes() -> None:
    # Shop's working notes, calculated (D): 42.510 mm, head 200, ring -18 degC, 36 um left with 150 um. Stresses put out of
    # the way.
    most = most_fit(
        36e-6, 0.04251, 0.034, 0.08, 11.5e-6, 22e-6, ZERO - 18, ZERO + 200, 300e6, 200e9, 72.4e9,
        11.5e-6, 22e-6, ZERO + 150, ZERO + 150, 300e6, 200e9, 72.4e9, 0.29, 0.33,
    )  # fmt: skip
    assert most * 1e3 == pytest.approx(0.150, abs=0.001)


def test_where_the_cold_hub_rules_the_most_fit_is_that_of_the_finite_elements() -> None:
    # As above (A): 0.2 mm at 197.79 MPa; joining very hot and service cool put out of the way
    most = most_fit(
        0.0, 0.06, 0.04, 0.1, 11.5e-6, 22e-6, ZERO - 80, ZERO + 300, 197.79e6, 210e9, 68.9e9,
        11.5e-6, 22e-6, ZERO + 100, ZERO + 100, 197.79e6, 210e9, 68.9e9, 0.3, 0.33,
    )  # fmt: skip
    assert most * 1e3 == pytest.approx(0.2, abs=2e-5)
