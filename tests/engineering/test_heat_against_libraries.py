"""Convection, warming, the window and ageing against general-purpose libraries that share no code with ours."""

from __future__ import annotations

import math

import ht
import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.heat_history import Timed, equivalent_ageing

SIGMA = 5.670374419e-8


def works(name: str, *values: float) -> float:
    return CALCULATIONS[name].work(*values)


# CoolProp 8.0.0, its reference equations for "Air" at 101 325 Pa: K, kg/m3, J/kg/K, W/m/K, Pa*s, Prandtl number. Kept as
# numbers, for the library takes seconds to load.
REFERENCE_AIR = [
    (200.0, 1.7692, 1006.8, 0.018503, 1.3334e-05, 0.7255),
    (240.0, 1.4725, 1005.6, 0.021773, 1.5515e-05, 0.7166),
    (293.15, 1.2046, 1006.1, 0.025874, 1.8206e-05, 0.708),
    (350.0, 1.0085, 1009.2, 0.030003, 2.0867e-05, 0.7019),
    (420.0, 0.84026, 1016.7, 0.034792, 2.3896e-05, 0.6983),
    (500.0, 0.70574, 1029.9, 0.039945, 2.709e-05, 0.6984),
]


@pytest.mark.parametrize(("kelvin", "heavy", "capacity", "conducts", "thick", "prandtl"), REFERENCE_AIR)
def test_air_is_within_2_3_per_cent_of_the_reference_equations(
    kelvin: float, heavy: float, capacity: float, conducts: float, thick: float, prandtl: float
) -> None:
    assert works("air_density", kelvin) == pytest.approx(heavy, rel=0.003)
    assert works("air_heat_capacity", kelvin) == pytest.approx(capacity, rel=0.003)
    assert works("air_conductivity", kelvin) == pytest.approx(conducts, rel=0.023)
    assert works("air_viscosity", kelvin) == pytest.approx(thick / heavy, rel=0.023)
    assert works("air_prandtl", kelvin) == pytest.approx(prandtl, rel=0.026)


@pytest.mark.parametrize(
    ("surface", "air"), [(473.15, 295.15), (255.15, 295.15), (300.0, 299.0), (700.0, 290.0)]
)
@pytest.mark.parametrize("size", [0.01, 0.12, 0.9])
def test_still_air_is_the_correlation_of_the_handbook(surface: float, air: float, size: float) -> None:
    film = (surface + air) / 2
    viscosity, prandtl, k = (works(f"air_{what}", film) for what in ("viscosity", "prandtl", "conductivity"))
    grashof = 9.80665 * abs(surface - air) / film * size**3 / viscosity**2
    plate = ht.Nu_vertical_plate_Churchill(prandtl, grashof) * k / size
    cylinder = ht.Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof) * k / size
    assert works("still_air_plate", surface, air, size) == pytest.approx(plate, rel=1e-5)
    assert works("still_air_cylinder", surface, air, size) == pytest.approx(cylinder, rel=1e-5)


@pytest.mark.parametrize("speed", [0.3, 4.0, 60.0])
def test_air_across_a_cylinder_is_the_correlation_of_the_handbook(speed: float) -> None:
    viscosity, prandtl, k = (works(f"air_{what}", 340.0) for what in ("viscosity", "prandtl", "conductivity"))
    nusselt = ht.Nu_cylinder_Churchill_Bernstein(speed * 0.05 / viscosity, prandtl)
    assert works("blown_cylinder", speed, 380.0, 300.0, 0.05) == pytest.approx(nusselt * k / 0.05, rel=1e-6)


@pytest.mark.parametrize("length", [0.1, 0.9, 6.0])
def test_air_along_a_plate_is_the_mean_of_what_each_strip_takes(length: float) -> None:
    # Local Nusselt numbers 0.332 Re**0.5 and 0.0296 Re**0.8, Pr**(1/3): FHMT 6th edition, eqs. (7.23) and (7.36), from memory
    viscosity, prandtl, k = (works(f"air_{what}", 340.0) for what in ("viscosity", "prandtl", "conductivity"))

    def strip(x: float) -> float:
        reynolds = 12.0 * x / viscosity
        local = 0.332 * reynolds**0.5 if reynolds <= 5e5 else 0.0296 * reynolds**0.8
        return local * prandtl ** (1 / 3) * k / x

    trips = 5e5 * viscosity / 12.0
    total = quad(strip, 0, min(trips, length))[0] + (quad(strip, trips, length)[0] if length > trips else 0.0)
    assert works("blown_plate", 12.0, 380.0, 300.0, length) == pytest.approx(total / length, rel=1e-3)


HEAD = (2.0, 930.0, 0.25)
# mass, heat capacity, area
STUFF = (0.3, 2670.0, 151.0)
# emissivity, density, conductivity


def _cooled(start: float, air: float, walls: float, convection: object, seconds: float) -> float:
    def slope(_: float, y: list[float]) -> list[float]:
        flow = convection(y[0]) * (air - y[0]) + STUFF[0] * SIGMA * (walls**4 - y[0] ** 4)  # type: ignore[operator]
        return [HEAD[2] * flow / (HEAD[0] * HEAD[1])]

    return float(solve_ivp(slope, (0, seconds), [start], rtol=1e-9, atol=1e-9).y[0, -1])


@pytest.mark.parametrize(("start", "air"), [(293.15, 473.15), (473.15, 295.15), (255.15, 295.15)])
@pytest.mark.parametrize("seconds", [20.0, 900.0, 6000.0])
def test_a_head_in_still_air_follows_the_differential_equation(
    start: float, air: float, seconds: float
) -> None:
    solved = _cooled(start, air, air, lambda hot: works("still_air_plate", hot, air, 0.15), seconds)
    worked = works("temperature_in_still_air", seconds, start, air, *HEAD, 0.15, *STUFF)
    assert worked == pytest.approx(solved, abs=2e-4)
    assert works("time_in_still_air", worked, start, air, *HEAD, 0.15, *STUFF) == pytest.approx(
        seconds, rel=1e-6
    )


@pytest.mark.parametrize(("air", "walls"), [(473.15, 473.15), (473.15, 523.15), (463.15, 300.0)])
def test_a_head_in_a_fan_oven_follows_the_differential_equation(air: float, walls: float) -> None:
    solved = _cooled(293.15, air, walls, lambda _: 25.0, 700.0)
    worked = works("temperature_in_oven", 700.0, 293.15, air, walls, *HEAD, 25.0, *STUFF)
    assert worked == pytest.approx(solved, abs=2e-4)
    seconds = works("time_in_oven", worked, 293.15, air, walls, *HEAD, 25.0, *STUFF)
    assert seconds == pytest.approx(700.0, rel=1e-6)


def test_a_ring_in_the_freezer_follows_the_differential_equation() -> None:
    solved = _cooled(
        293.15, 255.15, 255.15, lambda cold: works("still_air_cylinder", cold, 255.15, 0.042), 3000.0
    )
    worked = works("chilled_temperature", 3000.0, 293.15, 255.15, *HEAD, 0.042, *STUFF)
    assert worked == pytest.approx(solved, abs=2e-4)
    assert works("chill_time", worked, 293.15, 255.15, *HEAD, 0.042, *STUFF) == pytest.approx(
        3000.0, rel=1e-6
    )


@pytest.mark.parametrize("coefficient", [40.0, 900.0, 20000.0])
def test_the_middle_of_a_thick_wall_follows_the_heat_equation(coefficient: float) -> None:
    # 60 slices; heat leaves through the last half slice
    thickness, k, heavy, capacity, slices = 0.03, 45.0, 7800.0, 470.0, 60
    width = thickness / slices

    def slope(_: float, y: np.ndarray) -> np.ndarray:
        flows = np.empty(slices + 1)
        flows[0] = 0.0
        flows[1:-1] = k * (y[:-1] - y[1:]) / width
        flows[-1] = (y[-1] - 400.0) / (width / 2 / k + 1 / coefficient)
        return np.asarray((flows[:-1] - flows[1:]) / (heavy * capacity * width))

    solved = solve_ivp(slope, (0, 25.0), np.full(slices, 290.0), method="LSODA", rtol=1e-7, atol=1e-7).y[
        0, -1
    ]
    worked = works("core_temperature_after", 25.0, 290.0, 400.0, thickness, coefficient, k, heavy, capacity)
    assert worked == pytest.approx(float(solved), abs=0.05)


def test_a_ring_grabs_when_the_two_lumps_say_so() -> None:
    od, bore, a_ring, a_bore = 0.04251, 0.04236, 11.5e-6, 22e-6
    ring, boss, contact = 0.04 * 460.0, 0.5 * 930.0, 3.0

    def slope(_: float, y: list[float]) -> list[float]:
        flow = contact * (y[1] - y[0])
        return [flow / ring, -flow / boss]

    def loose(_: float, y: list[float]) -> float:
        return bore * (1 + a_bore * (y[1] - 293.15)) - od * (1 + a_ring * (y[0] - 293.15))

    solved = solve_ivp(slope, (0, 30), [256.15, 468.15], events=loose, rtol=1e-10, atol=1e-12)
    worked = works(
        "time_to_grab", od, bore, a_ring, a_bore, 256.15, 468.15, 3000.0, 1e-3, 0.04, 460.0, 0.5, 930.0
    )
    assert worked == pytest.approx(float(solved.t_events[0][0]), rel=1e-6)


def test_ageing_over_a_slope_is_the_integral() -> None:
    energy, reference = 128717.0, 473.15

    def rate(t: float) -> float:
        return math.exp(energy / 8.314462618 * (1 / reference - 1 / (373.15 + 100 * t / 600)))

    worked = equivalent_ageing([Timed(0, 373.15), Timed(600, 473.15)], reference, 600, 0, energy)
    assert worked == pytest.approx(quad(rate, 0, 600)[0], rel=1e-6)
