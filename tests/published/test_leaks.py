"""Leaks against published examples and an independent library for relief valves (fluids). Grades as elsewhere."""

from __future__ import annotations

import math

import pytest
from fluids.compressible import P_critical_flow
from fluids.safety_valve import API520_F2, API520_A_g

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

PSI = 6894.757293168
AIR_KG_PER_MOL = 28.9647e-3


def test_the_vacuum_decay_of_the_federal_example_is_met() -> None:
    # 40 CFR 1065.644: 2.0000 L, 25.300 to 50.600 kPa at 293.15 K from 10:56:25 to 10:57:35 (A); prints 0.00030 mol/s (C)
    rate = work["molar_leak_rate"](2e-3, 25300.0, 50600.0, 293.15, 293.15, 70.0)
    assert rate == pytest.approx(0.00030, abs=5e-6)
    # what flows in is p V / R / T more than before: 25300 * 0.002 / (8.314472 * 293.15 * 70), R as printed there
    assert rate == pytest.approx(25300 * 0.002 / (8.314472 * 293.15 * 70), rel=2e-6)


def test_throughput_and_moles_tell_one_leak() -> None:
    case = (0.3e-3, 40e3, 41.5e3, 291.0, 293.5, 120.0)
    moles, throughput = work["molar_leak_rate"](*case), work["leak_throughput"](*case)
    assert throughput == pytest.approx(moles * 8.314462618 * 291.0, rel=1e-12)
    # as free air at 291 K, in moles again
    free = work["free_air_leak"](throughput, 101325.0)
    assert free * 101325 / (8.314462618 * 291.0) == pytest.approx(moles, rel=1e-12)


def test_a_tight_space_that_warms_has_no_leak() -> None:
    # 1 K in 293 K is 0.34 % of absolute pressure, 3.4 mbar at 1 bar: the shop's notes (D)
    warmed = work["pressure_at"](100e3, 293.15, 294.15)
    assert (warmed - 100e3) / 100 == pytest.approx(3.4, abs=0.05)
    assert work["leak_throughput"](1e-3, 100e3, warmed, 293.15, 294.15, 60.0) == pytest.approx(0, abs=1e-12)
    assert work["molar_leak_rate"](1e-3, 100e3, warmed, 293.15, 294.15, 60.0) == pytest.approx(0, abs=1e-15)


def test_a_leak_moves_the_pressure_as_far_as_it_was_found_from() -> None:
    found = work["leak_throughput"](0.5e-3, 40e3, 42e3, 293.15, 293.15, 90.0)
    assert work["pressure_change_of_leak"](found, 0.5e-3, 90.0) == pytest.approx(2000.0)
    # unit leak: 1 mbar*l/s raises a litre by 1 mbar in a second, by the meaning of the unit
    assert work["pressure_change_of_leak"](0.1, 1e-3, 1.0) == pytest.approx(100.0)


@pytest.mark.parametrize("supply", [120e3, 3e5, 7e5])
def test_air_chokes_where_the_reference_library_says(supply: float) -> None:
    # fluids.compressible.P_critical_flow; 0.5283 for k = 1.4 in tables of isentropic flow (C)
    assert work["choking_pressure"](supply) == pytest.approx(P_critical_flow(supply, 1.4), rel=1e-12)
    assert work["choking_pressure"](1.0) == pytest.approx(0.5283, abs=5e-5)


@pytest.mark.parametrize(("supply", "temperature"), [(650e3, 293.15), (900e3, 330.0), (3e5, 250.0)])
def test_choked_flow_is_that_of_the_relief_valve_standard(supply: float, temperature: float) -> None:
    # API 520 part I, critical flow of gas, as fluids works it; its constant is rounded to four digits
    flow = work["orifice_flow"](2e-6, 0.9, supply, temperature, 101325.0)
    area = API520_A_g(m=flow, T=temperature, Z=1, MW=28.9647, k=1.4, P1=supply, P2=101325.0, Kd=0.9)
    assert area == pytest.approx(2e-6, rel=1e-3)


@pytest.mark.parametrize("ratio", [0.6, 0.7, 0.8, 0.9, 0.99])
def test_flow_below_sound_is_that_of_the_relief_valve_standard(ratio: float) -> None:
    # API 520 part I: m = F2 * A * sqrt(2 * rho * dp), with F2 from fluids
    supply, temperature = 6.5e5, 300.0
    density = supply * AIR_KG_PER_MOL / (8.314462618 * temperature)
    wanted = API520_F2(1.4, supply, ratio * supply) * 2e-6 * math.sqrt(2 * density * supply * (1 - ratio))
    flow = work["orifice_flow"](2e-6, 1.0, supply, temperature, ratio * supply)
    assert flow == pytest.approx(wanted, rel=1e-9)
    assert work["flow_area"](flow, supply, temperature, ratio * supply) == pytest.approx(2e-6, rel=1e-12)


def test_a_small_drop_gives_the_flow_of_a_fluid_that_doesn_t_compress() -> None:
    # limit: m = A * sqrt(2 * rho * dp), Bernoulli
    density = 1e5 * AIR_KG_PER_MOL / (8.314462618 * 293.15)
    flow = work["orifice_flow"](1e-6, 1.0, 1e5, 293.15, 1e5 - 0.5)
    assert flow == pytest.approx(1e-6 * math.sqrt(2 * density * 0.5), rel=1e-5)


@pytest.mark.parametrize(
    ("back", "printed"),
    # Fluid Mechanics: Fundamentals and Applications, example 12-4: air at 1 MPa, 600 degC, 150 m/s through 50 cm2 (A for
    # the inputs); 6.77 kg/s to 0.7 MPa, 7.10 kg/s to 0.4 MPa (C)
    [(0.7e6, 6.77), (0.4e6, 7.10)],
)
def test_the_converging_nozzle_passes_the_printed_mass(back: float, printed: float) -> None:
    at_rest = 873.15 + 150**2 / 2 / 1005
    supply = 1e6 * (at_rest / 873.15) ** 3.5
    assert work["orifice_flow"](50e-4, 1.0, supply, at_rest, back) == pytest.approx(printed, rel=5e-3)


def test_60_of_80_is_a_loss_of_a_quarter() -> None:
    # FAA AC 43.13-1B, chapter 8, 8-14: over 25 % suspect, which is 60 of 80 psi (A)
    room = 101325.0
    assert work["leak_down_loss"](room + 80 * PSI, room + 60 * PSI, room) == pytest.approx(0.25)


def test_60_of_80_on_the_small_orifice_is_51_litres_a_minute() -> None:
    # the shop's notes (D): 1.05 g/s, 51.5 l/min of free air at 15 degC with a loss-free 0.040 in orifice
    room = 101325.0
    flow = work["leak_down_flow"](0.040 * 0.0254, 1.0, room + 80 * PSI, room + 60 * PSI, 288.15)
    assert flow * 1e3 == pytest.approx(1.05, abs=0.005)
    assert work["free_air_of_mass"](flow, room, 288.15) * 6e4 == pytest.approx(51.5, abs=0.1)
    # U.S. Standard Atmosphere 1976: air at sea level, 15 degC, weighs 1.2250 kg/m3 (C)
    assert flow / work["free_air_of_mass"](flow, room, 288.15) == pytest.approx(1.2250, abs=5e-5)


@pytest.mark.parametrize("reading_psi", [5, 40, 60, 75, 79.9])
def test_what_enters_the_cylinder_leaves_through_the_leak(reading_psi: float) -> None:
    room = 101325.0
    supply, reading = room + 80 * PSI, room + reading_psi * PSI
    leak = work["leak_down_area"](1.016e-3, supply, reading, room)
    entering = work["leak_down_flow"](1.016e-3, 1.0, supply, reading, 293.15)
    assert work["orifice_flow"](leak, 1.0, reading, 293.15, room) == pytest.approx(entering, rel=1e-12)
    hole = work["hole_of_area"](leak)
    assert work["leak_down_reading"](1.016e-3, hole, supply, room) == pytest.approx(reading, rel=1e-12)
    assert hole**2 * math.pi / 4 == pytest.approx(leak)


def test_when_both_openings_are_choked_the_hole_is_as_the_pressures() -> None:
    # with sound in both, mass goes as area times pressure: half the pressure behind needs twice the area
    room, supply = 101325.0, 2e6
    reading = 0.5 * supply
    assert work["leak_down_area"](1e-3, supply, reading, room) == pytest.approx(
        2 * math.pi / 4 * 1e-6, rel=1e-9
    )
