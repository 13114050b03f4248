"""Bore closure against numbers of other origin; the grades are those of test_interference.

No published closure of a ring in a hub was found. These follow from published stresses by Hooke's law alone.
"""

from __future__ import annotations

import pytest

from tests.published.both_ways import CALCULATIONS

bore_closure = CALCULATIONS["bore_closure"].work
expected_bore_closure = CALCULATIONS["expected_bore_closure"].work
pressure_from_closure = CALCULATIONS["pressure_from_closure"].work
hub_growth = CALCULATIONS["hub_growth"].work


def test_the_textbook_ring_closes_by_its_published_bore_stress_over_its_modulus() -> None:
    # Advanced Strength and Applied Elasticity, ex. 3, p. 243 (B): -56.2 MPa at the 300 mm bore, 43.7 MPa at 500 mm outside,
    # 200 GPa; by hand 56.2 / 200000 * 300 = 0.0843 mm and 43.7 / 200000 * 500 = 0.1093 mm
    assert bore_closure(12.3e6, 0.4, 0.3, 200e9) * 1e3 == pytest.approx(0.0843, abs=2e-4)
    assert expected_bore_closure(0.2e-3, 0.4, 0.3, 0.5, 200e9, 200e9, 0.3, 0.3) * 1e3 == pytest.approx(
        0.0843, abs=2e-4
    )
    assert hub_growth(12.3e6, 0.4, 0.5, 200e9) * 1e3 == pytest.approx(0.1093, abs=2e-4)
    assert pressure_from_closure(0.0843e-3, 0.4, 0.3, 200e9) / 1e6 == pytest.approx(12.3, abs=0.05)


def test_the_bronze_bush_closes_by_its_published_bore_stress_over_its_modulus() -> None:
    # A textbook exercise answered on a public page (A): -191.9 MPa at the 40 mm bore, 105 GPa; by hand 0.0731 mm
    closure = expected_bore_closure(0.1e-3, 0.06, 0.04, 0.12, 105e9, 210e9, 0.3, 0.3)
    assert closure * 1e3 == pytest.approx(0.0731, abs=1e-4)
    assert pressure_from_closure(0.0731e-3, 0.06, 0.04, 105e9) / 1e6 == pytest.approx(53.3, abs=0.05)


def test_the_steel_ring_in_aluminium_closes_by_what_finite_elements_of_another_hand_found_as_stress() -> None:
    # Tests of a public repository, a general-purpose finite-element program (A): 257.6 MPa at the 40 mm bore, 210 GPa
    closure = expected_bore_closure(0.2e-3, 0.06, 0.04, 0.1, 210e9, 68.9e9, 0.3, 0.33)
    assert closure * 1e3 == pytest.approx(257.6 / 210e3 * 40, abs=1e-5)


@pytest.mark.parametrize("ring_gpa", [150, 200])
def test_a_50_mm_seat_with_0_15_closes_by_0_04_to_0_06_as_the_notes_expect(ring_gpa: float) -> None:
    # Shop's working notes (C): ring 50/41 in a boss of 66 mm, 0.15 mm; they name no metals, here iron and steel in aluminium
    closure = expected_bore_closure(0.15e-3, 0.05, 0.041, 0.066, ring_gpa * 1e9, 72.4e9, 0.29, 0.33)
    assert 0.04 < closure * 1e3 < 0.06
