"""Leaks: from a pressure that changes in a closed space, and from a reading behind a calibrated orifice.

All pressures are absolute: add the barometer to what a gauge shows. Air is an ideal gas with one ratio of specific
heats, at rest on the supply side of an orifice. A leak changes with the pressure across it: compare at equal pressures.

Said once for all functions here:

volume : one volume, > 0 [m**3]
first_pressure : one pressure, > 0 [Pa]
    Absolute.
last_pressure : one pressure, > 0 [Pa]
    Absolute.
first_temperature : one temperature, > 0 to 2000 [K]
    Of the gas.
time : one time, > 0 [s]
    Between the two.
pressure : one pressure, > 0 [Pa]
    The barometer's.
supply_temperature : one temperature, > 0 to 2000 [K]
supply : one pressure, > 0 [Pa]
    Absolute, before the orifice.
reading : one pressure, > 0 [Pa]
    Absolute, in the cylinder.
barometer : one pressure, > 0 [Pa]
orifice_diameter : one length, > 0 [m]
    Of the tester.
"""

from __future__ import annotations

import math

from runner.engineering.bounds import smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, a_temperature, shown
from runner.quantities.kinds import AREA, FREQUENCY, LENGTH, MASS, NUMBER, PRESSURE, TIME, TORQUE, VOLUME

MASS_FLOW = MASS.over(TIME)
VOLUME_FLOW = VOLUME.over(TIME)
THROUGHPUT = TORQUE.over(TIME)
# pascals times cubic metres a second

_R = 8.314462618
# J/mol/K; molar gas constant, exact by the SI of 2019. From memory.

_AIR = _R / 28.9647e-3
# J/kg/K; dry air of 28.9647 g/mol, U.S. Standard Atmosphere 1976 (28.9644 there). From memory.

_K = 1.4
# ratio of specific heats of air about room temperature. Fundamentals of Heat and Mass Transfer, table A.4. From memory.

_CHOKED = (2 / (_K + 1)) ** (_K / (_K - 1))
# back pressure over supply at which air reaches the speed of sound, 0.5283


def molar_leak_rate(
    volume: float,
    first_pressure: float,
    last_pressure: float,
    first_temperature: float,
    last_temperature: float,
    time: float,
) -> float:
    """
    Moles a second that enter a closed space, from its pressure and temperature at two times; below zero they leave.

        n = V / R * (p2 / T2 - p1 / T1) / t

    last_temperature : one temperature, > 0 to 2000 [K]
    Returns one rate, of either sign [1/s]: moles a second.
    Refuses (OutOfDomain) by its signature only.
    Source: 40 CFR 1065.644, Vacuum-decay leak rate, eq. 1065.644-1.

    >>> 1e4 * molar_leak_rate(2e-3, 25300.0, 50600.0, 293.15, 293.15, 70.0)     # its example
    2.966
    """
    return volume / _R * (last_pressure / last_temperature - first_pressure / first_temperature) / time


def leak_throughput(
    volume: float,
    first_pressure: float,
    last_pressure: float,
    first_temperature: float,
    last_temperature: float,
    time: float,
) -> float:
    """
    Pressure times volume a second that enter a closed space, all taken at the first temperature; below zero they leave.

        Q = V * (p2 * T1 / T2 - p1) / t

    last_temperature : one temperature, > 0 to 2000 [K]
    Returns one throughput, of either sign [N*m/s]; 1 Pa*m3/s is 10 mbar*l/s.
    Refuses (OutOfDomain) by its signature only.
    Source: ideal gas; 40 CFR 1065.644 times R and the first temperature.

    >>> leak_throughput(0.2e-3, 40e3, 41e3, 293.15, 293.15, 60.0)               # by hand: 0.2 / 60
    0.003333
    """
    return volume * (last_pressure * first_temperature / last_temperature - first_pressure) / time


def free_air_leak(throughput: float, pressure: float) -> float:
    """
    A throughput as volume of free air a second, at the room's pressure.

        q = Q / p

    throughput : one throughput, any [N*m/s]
    Returns one volume a second, of either sign [m**3/s]
    Refuses (OutOfDomain) by its signature only.
    Source: ideal gas at one temperature, by hand.

    >>> 6e7 * free_air_leak(0.101325, 101325.0)     # cc a minute, by hand: 1 cc a second
    60.0
    """
    return throughput / pressure


def pressure_at(pressure: float, temperature: float, other_temperature: float) -> float:
    """
    What a closed, tight space shows when only its gas gets warmer or colder.

        p' = p * T' / T

    pressure : one pressure, > 0 [Pa]
        Absolute.
    temperature : one temperature, > 0 to 2000 [K]
        Of the gas at that pressure.
    other_temperature : one temperature, > 0 to 2000 [K]
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) by its signature only.
    Source: ideal gas at constant volume.

    >>> (pressure_at(100e3, 293.15, 294.15) - 100e3) / 100      # 1 K at 1 bar is 3.4 mbar
    3.411
    """
    return pressure * other_temperature / temperature


def pressure_change_of_leak(throughput: float, volume: float, time: float) -> float:
    """
    How far a leak moves the pressure of a closed space at one temperature: how long to wait for a gauge to see it.

        dp = Q * t / V

    throughput : one throughput, any [N*m/s]
        Into the space, of a leak small enough to change little meanwhile.
    time : one time, > 0 [s]
    Returns one pressure, of either sign [Pa]
    Refuses (OutOfDomain) by its signature only.
    Source: leak_throughput at one temperature, solved for the pressure.

    >>> pressure_change_of_leak(0.003333333, 0.2e-3, 60.0)      # leak_throughput's example
    1000.0
    """
    return throughput * time / volume


def orifice_flow(
    area: float, coefficient: float, supply: float, supply_temperature: float, back: float
) -> float:
    """
    Air that passes an orifice; below 0.5283 of the supply the back pressure no longer matters.

        m = Cd * A * p0 * sqrt(2 * k / ((k - 1) * R * T0) * (r^(2 / k) - r^((k + 1) / k))),   r = back / supply

    area : one area, > 0 [m**2]
    coefficient : one number, > 0 to 1 [1]
        Cd, of discharge; by calibration.
    supply : one pressure, > 0 [Pa]
        Absolute, at rest before the orifice.
    back : one pressure, > 0 [Pa]
        Absolute, behind it.
    Returns one mass a second, > 0 [kg/s]
    Refuses (OutOfDomain) a back pressure that is not below the supply.
    Source: Internal Combustion Engine Fundamentals, 1988, appendix C, eqs. (C.8) and (C.9). From memory.

    >>> # 0.040 in, 80 psi over the barometer down to 60
    >>> 1000 * orifice_flow(0.8107e-6, 1.0, 652906.0, 288.15, 515011.0)
    1.052
    """
    return coefficient * area * _flux(supply, supply_temperature, back)


def flow_area(mass_flow: float, supply: float, supply_temperature: float, back: float) -> float:
    """
    Effective area of an opening from the air that it passes.

        Cd * A = m / orifice_flow of a unit area

    mass_flow : one mass a second, > 0 [kg/s]
    supply : one pressure, > 0 [Pa]
        Absolute.
    back : one pressure, > 0 [Pa]
        Absolute.
    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) a back pressure that is not below the supply.
    Source: orifice_flow, solved for the area.

    >>> 1e6 * flow_area(1.0523e-3, 652906.0, 288.15, 515011.0)  # orifice_flow's example
    0.8107
    """
    return mass_flow / _flux(supply, supply_temperature, back)


def choking_pressure(supply: float) -> float:
    """
    Back pressure at and below which air through an orifice goes no faster.

        p = supply * (2 / (k + 1))^(k / (k - 1))

    supply : one pressure, > 0 [Pa]
        Absolute.
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) by its signature only.
    Source: isentropic flow of an ideal gas, k = 1.4.

    >>> choking_pressure(1e5) / 1000                # 0.5283 of it
    52.83
    """
    return supply * _CHOKED


def leak_down_loss(supply: float, reading: float, barometer: float) -> float:
    """
    The loss a differential tester's two gauges show, as a share.

        loss = (supply - reading) / (supply - barometer)

    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) pressures that don't fall from supply to reading to barometer.
    Source: FAA AC 43.13-1B, 8-14: 60 of 80 psi is a loss of 25 %.

    >>> leak_down_loss(652906.0, 515011.0, 101326.0)            # 60 of 80
    0.25
    """
    _falls(supply, reading, barometer)
    return (supply - reading) / (supply - barometer)


def leak_down_area(orifice_diameter: float, supply: float, reading: float, barometer: float) -> float:
    """
    Area of the leak in a cylinder, as good an orifice as the tester's own, from the tester's reading.

        A = A_orifice * flux(supply to reading) / flux(reading to barometer), both at one temperature at rest

    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) pressures that don't fall from supply to reading to barometer.
    Source: orifice_flow through two orifices in a row, what enters leaves.

    >>> 1e6 * leak_down_area(1.016e-3, 652906.0, 515011.0, 101326.0)    # 60 of 80: a hole of 1.045 mm
    0.8582
    """
    _falls(supply, reading, barometer)
    into = _flux(supply, 1.0, reading)
    return math.pi / 4 * orifice_diameter**2 * into / _flux(reading, 1.0, barometer)


def leak_down_flow(
    orifice_diameter: float, coefficient: float, supply: float, reading: float, supply_temperature: float
) -> float:
    """
    Air lost through a cylinder on a differential tester.

        m = orifice_flow of the tester's orifice from supply to reading

    coefficient : one number, > 0 to 1 [1]
        Its discharge coefficient.
    Returns one mass a second, > 0 [kg/s]
    Refuses (OutOfDomain) a reading that is not below the supply.
    Source: orifice_flow.

    >>> 1000 * leak_down_flow(1.016e-3, 1.0, 652906.0, 515011.0, 288.15)        # 60 of 80
    1.052
    """
    area = math.pi / 4 * orifice_diameter**2
    return orifice_flow(area, coefficient, supply, supply_temperature, reading)


def leak_down_reading(
    orifice_diameter: float, leak_diameter: float, supply: float, barometer: float
) -> float:
    """
    What a differential tester reads on a cylinder with a hole of known size: for checking the tester itself.

        reading : where the orifice passes what the hole passes

    leak_diameter : one length, > 0 [m]
        Of a hole as well rounded as the orifice.
    Returns one pressure, > 0 [Pa], absolute
    Refuses (OutOfDomain) a barometer that is not below the supply.
    Source: leak_down_area, solved for the reading by halving, to the last digit a number holds.

    >>> (leak_down_reading(1.016e-3, 1.0453e-3, 652906.0, 101326.0) - 101326.0) / 6894.757  # leak_down_area's, in psi
    60.0
    """
    smaller("barometer", barometer, "supply", supply, PRESSURE)
    ratio = (leak_diameter / orifice_diameter) ** 2
    low, high = barometer, supply
    for _ in range(200):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        if _flux(supply, 1.0, middle) > ratio * _flux(middle, 1.0, barometer):
            low = middle
        else:
            high = middle
    return (low + high) / 2


def hole_of_area(area: float) -> float:
    """
    Diameter of the round hole with an area.

        d = sqrt(4 * A / pi)

    area : one area, > 0 [m**2]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * hole_of_area(0.8107e-6)              # the 0.040 in orifice
    1.016
    """
    return math.sqrt(4 * area / math.pi)


def free_air_of_mass(mass_flow: float, pressure: float, temperature: float) -> float:
    """
    Volume of free air a second that a flow of mass is.

        q = m * R * T / p

    mass_flow : one mass a second, > 0 [kg/s]
    temperature : one temperature, > 0 to 2000 [K]
        The room's.
    Returns one volume a second, > 0 [m**3/s]
    Refuses (OutOfDomain) by its signature only.
    Source: ideal gas, dry air of 28.9647 g/mol.

    >>> 6e4 * free_air_of_mass(1.05e-3, 101325.0, 293.15)       # litres a minute
    52.3
    """
    return mass_flow * _AIR * temperature / pressure


def _flux(supply: float, supply_temperature: float, back: float) -> float:
    """Mass a second through a unit of loss-free area."""
    smaller("back pressure", back, "supply", supply, PRESSURE)
    ratio = max(back / supply, _CHOKED)
    # (1 - r^((k-1)/k)) by expm1, so that a small drop in pressure isn't the difference of two ones
    drop = -math.expm1((_K - 1) / _K * math.log(ratio))
    return supply * ratio ** (1 / _K) * math.sqrt(2 * _K / ((_K - 1) * _AIR * supply_temperature) * drop)


def _falls(supply: float, reading: float, barometer: float) -> None:
    if not supply > reading > barometer:
        raise OutOfDomain(
            f"from supply to cylinder to room the pressure has to fall, and {shown(supply, PRESSURE)}, "
            f"{shown(reading, PRESSURE)}, {shown(barometer, PRESSURE)} doesn't"
        )


def _pressure(name: str, called: str = "") -> Argument:
    return Argument(name, PRESSURE, 0.0, called=called)


_DECAY = (
    Argument("volume", VOLUME, 0.0),
    _pressure("first_pressure"),
    _pressure("last_pressure"),
    a_temperature("first_temperature"),
    a_temperature("last_temperature"),
    Argument("time", TIME, 0.0),
)
_AREA, _COEFFICIENT = Argument("area", AREA, 0.0), Argument("coefficient", NUMBER, 0.0, 1.0)
_SUPPLY, _WARM, _BACK = (
    _pressure("supply"),
    a_temperature("supply_temperature"),
    _pressure("back", "back pressure"),
)
_ORIFICE, _READING, _BAROMETER = a_size("orifice_diameter"), _pressure("reading"), _pressure("barometer")
_MASS_FLOW, _THROUGHPUT = Argument("mass_flow", MASS_FLOW, 0.0), Argument("throughput", THROUGHPUT)

SIGNATURES = (
    Signature("molar_leak_rate", _DECAY, FREQUENCY, molar_leak_rate),
    Signature("leak_throughput", _DECAY, THROUGHPUT, leak_throughput),
    Signature("free_air_leak", (_THROUGHPUT, _pressure("pressure")), VOLUME_FLOW, free_air_leak),
    Signature(
        "pressure_at",
        (_pressure("pressure"), a_temperature("temperature"), a_temperature("other_temperature")),
        PRESSURE,
        pressure_at,
    ),
    Signature(
        "pressure_change_of_leak",
        (_THROUGHPUT, Argument("volume", VOLUME, 0.0), Argument("time", TIME, 0.0)),
        PRESSURE,
        pressure_change_of_leak,
    ),
    Signature("orifice_flow", (_AREA, _COEFFICIENT, _SUPPLY, _WARM, _BACK), MASS_FLOW, orifice_flow),
    Signature("flow_area", (_MASS_FLOW, _SUPPLY, _WARM, _BACK), AREA, flow_area),
    Signature("choking_pressure", (_SUPPLY,), PRESSURE, choking_pressure),
    Signature("leak_down_loss", (_SUPPLY, _READING, _BAROMETER), NUMBER, leak_down_loss),
    Signature("leak_down_area", (_ORIFICE, _SUPPLY, _READING, _BAROMETER), AREA, leak_down_area),
    Signature(
        "leak_down_flow", (_ORIFICE, _COEFFICIENT, _SUPPLY, _READING, _WARM), MASS_FLOW, leak_down_flow
    ),
    Signature(
        "leak_down_reading",
        (_ORIFICE, a_size("leak_diameter"), _SUPPLY, _BAROMETER),
        PRESSURE,
        leak_down_reading,
    ),
    Signature("hole_of_area", (_AREA,), LENGTH, hole_of_area),
    Signature(
        "free_air_of_mass",
        (_MASS_FLOW, _pressure("pressure"), a_temperature("temperature")),
        VOLUME_FLOW,
        free_air_of_mass,
    ),
)
