"""The table of materials against formulas and tables it wasn't copied from. Grades as in test_heat_transfer.

A lookup is held against a published curve or a second source, never against its own row.
"""

from __future__ import annotations

import pytest

from runner.engineering.materials import LookedUp, property_at, shipped

ZERO = 273.15


def at(material: str, what: str, degrees: float) -> LookedUp:
    return property_at(shipped(), material, what, ZERO + degrees)


def growth(material: str, degrees: float) -> float:
    """Change of length over length between 20 degC and there."""
    return at(material, "expansion", degrees).value * (degrees - 20)


@pytest.mark.parametrize("degrees", [100.0, 137.0, 200.0, 260.0, 400.0])
def test_carbon_steel_grows_by_the_fire_codes_curve(degrees: float) -> None:
    # EN 1993-1-2:2005, 3.4.1.1, eq. (3.1a) (A)
    code = 1.2e-5 * degrees + 0.4e-8 * degrees**2 - 2.416e-4
    assert growth("carbon-steel", degrees) == pytest.approx(code, rel=1e-3)


def test_carbon_steel_has_grown_by_2_3184_in_a_thousand_at_200() -> None:
    # EN 1993-1-2:2005, 3.4.1.1 (A)
    assert growth("carbon-steel", 200.0) == pytest.approx(2.3184e-3, abs=1e-6)


@pytest.mark.parametrize(("degrees", "capacity", "conductivity"), [(20.0, 439.8, 53.3), (250.0, None, None)])
def test_carbon_steel_holds_and_conducts_heat_by_the_fire_code(
    degrees: float, capacity: float | None, conductivity: float | None
) -> None:
    # EN 1993-1-2:2005, 3.4.1.2 and 3.4.1.3 (A): 439.8 J/kg/K and 53.3 W/m/K at 20 degC, and both formulas between
    of_code = 425 + 0.773 * degrees - 1.69e-3 * degrees**2 + 2.22e-6 * degrees**3
    assert at("carbon-steel", "heat_capacity", degrees).value == pytest.approx(capacity or of_code, rel=3e-3)
    assert at("carbon-steel", "conductivity", degrees).value == pytest.approx(
        conductivity or 54 - 0.0333 * degrees, rel=1e-3
    )


def test_two_codes_agree_on_steel_at_400_fahrenheit_within_what_we_say() -> None:
    # ASME BPVC II-D (2001), table TE-1 (A): 2.343e-3 with 7.1e-6 /degF over 330 degF; EN 1993-1-2 (A): 2.379e-3
    degrees = (400 - 32) / 1.8
    asme, en = growth("low-alloy-steel", degrees), growth("carbon-steel", degrees)
    assert asme == pytest.approx(7.1e-6 * 330, rel=8e-3)  # its range starts at 70 degF, 1.1 K up
    assert en == pytest.approx(2.379e-3, rel=1e-3)
    doubt = at("carbon-steel", "expansion", degrees).uncertainty * (degrees - 20)
    assert abs(asme - en) < doubt


@pytest.mark.parametrize("kelvin", [77.15, 100.0, 150.0, 195.15, 230.0, 253.15, 262.0])
def test_cold_aluminium_and_stainless_shrink_by_the_cryogenic_fits(kelvin: float) -> None:
    # NIST cryogenic fits of 6061-T6 and 304 (A), in 1e-5 of the length at 293 K; at 253.15 K -89.64 and -60.72
    aluminium = -412.77 - 0.30389 * kelvin + 8.7696e-3 * kelvin**2 - 9.9821e-6 * kelvin**3
    stainless = (
        -295.54 - 0.39811 * kelvin + 9.2683e-3 * kelvin**2 - 2.0261e-5 * kelvin**3 + 1.7127e-8 * kelvin**4
    )
    assert growth("6061-T6", kelvin - ZERO) == pytest.approx(aluminium * 1e-5, rel=0.01)
    assert growth("304", kelvin - ZERO) == pytest.approx(stainless * 1e-5, rel=0.01)


def test_cast_alloy_lies_below_pure_aluminium_by_its_silicon_share() -> None:
    # ASM Handbook volume 2 (1990), p. 62 (A): 24.5e-6 to 200 degC, pure; Al-Si7 has 8 % silicon by volume of 2.6e-6 to
    # 3e-6: the rule of mixtures gives 22.8e-6 (D)
    mixed = 0.92 * at("1060", "expansion", 200.0).value + 0.08 * 2.8e-6
    cast = at("A356-T6", "expansion", 200.0)
    assert cast.value == pytest.approx(mixed, abs=cast.uncertainty)


def test_valve_steel_grows_much_as_18_8_stainless() -> None:
    # EN 10090 (A) against EN 10088-1, 304 (A): both austenitic; 17.0 and 17.0 to 300 degC
    assert at("21-4N", "expansion", 300.0).value == pytest.approx(
        at("304", "expansion", 300.0).value, rel=0.04
    )


def test_heat_runs_through_metals_as_their_electricity_does() -> None:
    # Wiedemann-Franz: k = L * T * conductivity, L 2.44e-8 (C); copper alloys' %IACS from their data sheets (A): C93200 12,
    # C51000 20, C65500 7, C95500 8.5; alloys run up to a third above the law, for the lattice conducts too
    for alloy, share in (("C93200", 0.12), ("C51000", 0.20), ("C65500", 0.07), ("C95500", 0.085)):
        law = 2.44e-8 * 293.15 * share * 58.0e6
        assert law * 0.9 < at(alloy, "conductivity", 20.0).value < law * 1.5


def test_head_castings_lose_half_their_strength_at_250() -> None:
    # trade journal, July 2018, table 2 (A): conditioned at 250 degC the hot yield is 46 % of 194 MPa for 351-T6, at 200
    # 79 % of 236
    assert at("351-T6", "yield", 250.0).value / 1e6 == pytest.approx(0.46 * 194, abs=1)
    assert at("351-T6", "yield", 200.0).value / 1e6 == pytest.approx(0.79 * 236, abs=1)
