"""Volumes and compression ratios against a worked example, the shop's notes and integration."""

from __future__ import annotations

import math

import pytest
from scipy import integrate

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}


def test_the_gas_engine_has_the_printed_efficiency_and_ratio() -> None:
    # A textbook's example 2.3, p. 48 (B; the shop's notes don't carry its title): bore 170, stroke 300, clearance
    # 1025 cm3: r = 7.643, Otto efficiency 55.7 %
    ratio = work["compression_ratio"](work["swept_volume"](0.17, 0.3), 1025e-6)
    assert ratio == pytest.approx(7.643, abs=5e-4)
    assert 1 - ratio**-0.4 == pytest.approx(0.557, abs=5e-4)


def test_a_tenth_off_a_95_mm_face_is_0_71_cc() -> None:
    # the shop's notes (D)
    assert work["skim_volume"](work["bore_area"](95e-3), 0.1e-3) * 1e6 == pytest.approx(0.71, abs=0.005)


def test_a_cc_less_is_0_15_of_compression_on_the_notes_engine() -> None:
    # the shop's notes (D): 95 x 70.4, 58 cc
    swept = work["swept_volume"](95e-3, 70.4e-3)
    more = work["compression_ratio"](swept, 57e-6) - work["compression_ratio"](swept, 58e-6)
    assert more == pytest.approx(0.15, abs=0.005)


@pytest.mark.parametrize(("diameter", "height"), [(20e-3, 10e-3), (70e-3, 4e-3), (30e-3, 22e-3)])
def test_a_cap_holds_what_its_slices_hold(diameter: float, height: float) -> None:
    ball = (diameter**2 / 4 + height**2) / (2 * height)
    slices = integrate.quad(lambda z: math.pi * (ball**2 - z**2), ball - height, ball)[0]
    assert work["cap_volume"](diameter, height) == pytest.approx(slices, rel=1e-9)


def test_rings_gaskets_and_sunk_valves_hold_what_their_slices_hold() -> None:
    def turned(inner: float, outer: float, thickness: float) -> float:
        return integrate.quad(lambda r: 2 * math.pi * r * thickness, inner / 2, outer / 2)[0]

    assert work["ring_volume"](0.1, 0.095, 1e-3) == pytest.approx(turned(0.095, 0.1, 1e-3))
    assert work["gasket_volume"](0.096, 0.8e-3) == pytest.approx(turned(0, 0.096, 0.8e-3))
    assert work["deck_volume"](0.095, -0.2e-3) == pytest.approx(-turned(0, 0.095, 0.2e-3))
    assert work["sink_volume"](0.04, 0.5e-3) == pytest.approx(turned(0, 0.04, 0.5e-3))


def test_what_is_poured_in_is_what_the_parts_hold() -> None:
    # conservation: 58 cc chamber, 5.8 gasket, piston 2 cc proud, 1 cc of dome, 3.5 of dish
    assert work["clearance_volume"](58e-6, 5.8e-6, -2e-6, 1e-6 - 3.5e-6) * 1e6 == pytest.approx(64.3)


def test_the_skim_for_a_ratio_gives_that_ratio_when_it_is_taken() -> None:
    swept, before, area = 499e-6, 62e-6, 7088e-6
    cut = work["skim_for_ratio"](swept, before, 9.5, area)
    assert work["ratio_after_skim"](swept, before, area, cut) == pytest.approx(9.5, rel=1e-12)
    wanted = work["clearance_for_ratio"](swept, 9.5)
    assert work["skim_for_volume"](before, wanted, area) == pytest.approx(cut, rel=1e-12)
    # 8.5 to fill 58.7 cc: 499 / 58.7 + 1 by hand
    assert wanted * 1e6 == pytest.approx(58.706, abs=1e-3)
