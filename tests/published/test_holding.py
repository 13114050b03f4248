"""Holding, pressing and roughness against published values. A grade stands beside each number:

A: the number was seen in the source or a reproduction; C: from memory or from the shop's working notes without a source;
D: worked by hand, no outside proof.
"""

from __future__ import annotations

import pytest

from runner.engineering.holding import FRICTIONS
from tests.published.both_ways import CALCULATIONS

holding_force = CALCULATIONS["holding_force"].work
holding_torque = CALCULATIONS["holding_torque"].work
press_force = CALCULATIONS["press_force"].work
pressure_to_hold = CALCULATIONS["pressure_to_hold"].work


def test_the_sleeve_of_a_public_page_turns_at_6_87_kilonewton_metres() -> None:
    # A public page on shrink fits, its worked default (A): 58.3 MPa, 100 mm, 50 mm long, friction 0.15
    torque = holding_torque(58.333e6, 0.1, 0.05, 0.15)
    assert torque / 1e3 == pytest.approx(6.87, abs=0.005)
    # the same joint along its axis: the torque over the radius (D)
    force = holding_force(58.333e6, 0.1, 0.05, 0.15)
    assert force / 1e3 == pytest.approx(6.87 / 0.05, abs=0.1)
    assert press_force(58.333e6, 0.1, 0.05, 0.15) / 1e3 == pytest.approx(6.87 / 0.05, abs=0.1)
    assert pressure_to_hold(6.87e3 / 0.05, 0.1, 0.05, 0.15) / 1e6 == pytest.approx(58.3, abs=0.05)


@pytest.mark.parametrize(("mpa", "kilonewtons"), [(21, 3.2), (32, 4.8), (38, 5.7)])
def test_a_50_mm_seat_is_pushed_out_as_the_notes_have_it(mpa: float, kilonewtons: float) -> None:
    # Shop's working notes (C): 50 mm ring, friction 0.12; 8 mm deep by their other sizes
    assert holding_force(mpa * 1e6, 0.05, 0.008, 0.12) / 1e3 == pytest.approx(kilonewtons, abs=0.06)


@pytest.mark.parametrize(
    ("name", "ring_um", "bore_um", "loss_um"),
    [
        # A university's lecture site on tribology, interference fits (A): Ra 0.5 and 1.0 give 1.8 um
        ("roughness_loss_from_ra", 0.5, 1.0, 1.8),
        # Rz 10 and 6 um by each edition of DIN 7190; the factors 0.4 and 0.8 as public manuals state them (A), products D
        ("roughness_loss_2017", 10.0, 6.0, 6.4),
        ("roughness_loss_2001", 10.0, 6.0, 12.8),
    ],
)
def test_roughness_takes_off_what_each_convention_says(
    name: str, ring_um: float, bore_um: float, loss_um: float
) -> None:
    assert CALCULATIONS[name].work(ring_um / 1e6, bore_um / 1e6) * 1e6 == pytest.approx(loss_um, abs=1e-9)


@pytest.mark.parametrize(
    ("pair", "condition", "least", "most"),
    [
        # DIN 7190-1, 5.3, joints shrunk or joined by oil, in a public reproduction of its table (A, the standard not seen)
        ("steel in aluminium or magnesium", "shrunk in, dry", 0.10, 0.15),
        ("steel in brass", "shrunk in, dry", 0.17, 0.25),
        ("steel in steel", "shrunk in, heated up to 300 degC", 0.15, 0.15),
        ("steel in steel", "shrunk in, degreased, heated up to 300 degC", 0.20, 0.20),
        ("steel in steel", "joined by oil pressure, mineral oil", 0.12, 0.12),
        ("steel in steel", "joined by oil pressure, degreased, glycerine", 0.18, 0.18),
        ("steel in cast iron", "joined by oil pressure, mineral oil", 0.10, 0.10),
        ("steel in cast iron", "joined by oil pressure, degreased", 0.16, 0.16),
        # A university's lecture site on tribology, interference fits (A)
        ("steel in steel", "dry", 0.10, 0.15),
        ("steel in steel", "lubricated", 0.05, 0.10),
        ("steel in brass or bronze", "dry", 0.05, 0.10),
    ],
)
def test_the_frictions_offered_are_those_of_their_sources(
    pair: str, condition: str, least: float, most: float
) -> None:
    found = [row for row in FRICTIONS if (row.pair, row.condition) == (pair, condition)]
    assert [(row.least, row.most) for row in found] == [(least, most)]
