"""How long metal takes to warm or cool: in air that is still or blown, in an oven, in a freezer, by a measured rate.

The part has one temperature throughout (lumped). That holds while heat runs through it far more easily than into it: the
Biot number, worked with the largest coefficient on the way, is at most 0.1, and what lies above is refused. Convection is
good to 15 to 25 %, so a time worked from it is too: a measured curve of the same part in the same place is better. Give
the heat capacity at the mean temperature of the way. Times come from the heat balance by quadrature, good to 1e-6 of the
time; temperatures after a time are its inverse.

Said once for all functions here:

coefficient : one heat transfer coefficient, > 0 [W/m**2/K]
    Convection and radiation together.
conductivity : one heat conductivity, > 0 [W/m/K]
mass : one mass, > 0 [kg]
heat_capacity : one heat capacity, > 0 [J/kg/K]
start_temperature : one temperature, > 0 to 2000 [K]
surroundings_temperature : one temperature, > 0 to 2000 [K]
time : one time, any [s]
    0 or more.
air_temperature : one temperature, > 0 to 2000 [K]
walls_temperature : one temperature, > 0 to 2000 [K]
    What the part sees around it.
area : one area, > 0 [m**2]
    The whole surface.
emissivity : one number, > 0 to 1 [1]
density : one density, > 0 [kg/m**3]
height : one length, > 0 to 10 [m]
    Of the part, as it stands in the air.
freezer_temperature : one temperature, > 0 to 2000 [K]
    Of its air and walls.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from runner.engineering.bounds import not_negative
from runner.engineering.convection import (
    CONDUCTIVITY,
    DENSITY,
    EMISSIVITY,
    HEAT_CAPACITY,
    HEAT_TRANSFER,
    radiation_coefficient,
    still_air_cylinder,
    still_air_plate,
)
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, a_temperature, shown
from runner.quantities.kinds import AREA, MASS, NUMBER, TEMPERATURE, TIME, VOLUME

MOST_BIOT = 0.1
"""Above it a part's inside lags: 5 % error of the lumped answer. Fundamentals of Heat and Mass Transfer, eq. (5.10)."""


def biot_number(coefficient: float, volume: float, area: float, conductivity: float) -> float:
    """
    How hard heat has it inside the part, over how hard it has it at the surface. Up to 0.1 the part warms as one.

        Bi = h * (V / A) / k

    volume : one volume, > 0 [m**3]
    area : one area, > 0 [m**2]
        Through which heat comes in or goes out.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.10).

    >>> biot_number(25.0, 1.1e-3, 0.25, 151.0)         # by hand: 25 * 0.0044 / 151
    0.00073
    """
    return coefficient * volume / area / conductivity


def time_constant(mass: float, heat_capacity: float, area: float, coefficient: float) -> float:
    """
    The time in which a part goes 63 % of the way to its surroundings.

        tau = m * c / (h * A)

    area : one area, > 0 [m**2]
    Returns one time, > 0 [s]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.7).

    >>> time_constant(2.0, 930.0, 0.25, 25.0)         # by hand: 1860 / 6.25
    297.6
    """
    return mass * heat_capacity / (area * coefficient)


def time_to_temperature(
    temperature: float, start_temperature: float, surroundings_temperature: float, time_constant: float
) -> float:
    """
    The time until a part is at a temperature, by its time constant.

        t = tau * ln((start - surroundings) / (temperature - surroundings))

    temperature : one temperature, > 0 to 2000 [K]
        To be reached; between start and surroundings.
    time_constant : one time, > 0 [s]
    Returns one time, > 0 or 0 where the start is it [s]
    Refuses (OutOfDomain) a temperature that the part moves away from or only ever comes near.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.5).

    >>> # head at 200 degC in a shop of 22, wanted 193; by hand 300 * ln(178 / 171)
    >>> time_to_temperature(466.15, 473.15, 295.15, 300.0)
    12.04
    """
    _on_the_way(temperature, start_temperature, surroundings_temperature)
    if temperature == start_temperature:
        return 0.0
    away = start_temperature - surroundings_temperature
    return time_constant * math.log(away / (temperature - surroundings_temperature))


def temperature_after(
    time: float, start_temperature: float, surroundings_temperature: float, time_constant: float
) -> float:
    """
    The temperature of a part after a time, by its time constant.

        T = surroundings + (start - surroundings) * exp(-t / tau)

    time_constant : one time, > 0 [s]
    Returns one temperature, between start and surroundings [K]
    Refuses (OutOfDomain) a time below zero.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.6).

    >>> temperature_after(30.0, 473.15, 295.15, 300.0) - 273.15         # by hand: 22 + 178 * exp(-0.1)
    183.06
    """
    not_negative("time", time, TIME)
    away = start_temperature - surroundings_temperature
    return surroundings_temperature + away * math.exp(-time / time_constant)


def time_in_oven(
    temperature: float,
    start_temperature: float,
    air_temperature: float,
    walls_temperature: float,
    mass: float,
    heat_capacity: float,
    area: float,
    coefficient: float,
    emissivity: float,
    density: float,
    conductivity: float,
) -> float:
    """
    The time until a part is at a temperature, in air that takes or gives by a known coefficient, and walls that radiate.

        m * c * dT/dt = A * (h * (Tair - T) + emissivity * sigma * (Twalls**4 - T**4))

    For a fan oven, h from blown_plate or measured; for the shop's draught likewise.

    temperature : one temperature, > 0 to 2000 [K]
        To be reached.
    coefficient : one heat transfer coefficient, > 0 [W/m**2/K]
        Of the air alone; radiation is added here.
    Returns one time, > 0 or 0 where the start is it [s]
    Refuses (OutOfDomain) a temperature that is never reached, and a Biot number above 0.1.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.15).

    >>> # example 5.2, a bead of 0.706 mm, 25 degC, air 200, walls 400, to 217.7: 4.9 s printed
    >>> ball, skin = 8500 * math.pi * 0.706e-3**3 / 6, math.pi * 0.706e-3**2
    >>> time_in_oven(490.85, 298.15, 473.15, 673.15, ball, 400.0, skin, 400.0, 0.9, 8500.0, 20.0)
    4.97
    """
    part = _Part(mass, heat_capacity, area, density, conductivity)
    air = _Around(air_temperature, walls_temperature, emissivity, lambda _: coefficient)
    return part.time(temperature, start_temperature, air)


def temperature_in_oven(
    time: float,
    start_temperature: float,
    air_temperature: float,
    walls_temperature: float,
    mass: float,
    heat_capacity: float,
    area: float,
    coefficient: float,
    emissivity: float,
    density: float,
    conductivity: float,
) -> float:
    """
    The temperature of a part after a time, in air of a known coefficient, and walls that radiate.

        m * c * dT/dt = A * (h * (Tair - T) + emissivity * sigma * (Twalls**4 - T**4))

    coefficient : one heat transfer coefficient, > 0 [W/m**2/K]
        Of the air alone.
    Returns one temperature, between start and where it levels out [K]
    Refuses (OutOfDomain) a time below zero, a Biot number above 0.1.
    Source: the same as time_in_oven, solved for the temperature.

    >>> ball, skin = 8500 * math.pi * 0.706e-3**3 / 6, math.pi * 0.706e-3**2
    >>> temperature_in_oven(4.968, 298.15, 473.15, 673.15, ball, 400.0, skin, 400.0, 0.9, 8500.0, 20.0) - 273.15
    217.7
    """
    part = _Part(mass, heat_capacity, area, density, conductivity)
    air = _Around(air_temperature, walls_temperature, emissivity, lambda _: coefficient)
    return part.temperature(time, start_temperature, air)


def time_in_still_air(
    temperature: float,
    start_temperature: float,
    air_temperature: float,
    mass: float,
    heat_capacity: float,
    area: float,
    height: float,
    emissivity: float,
    density: float,
    conductivity: float,
) -> float:
    """
    The time until a part is at a temperature, in still air with walls as warm as the air: an oven without fan, the shop.

        m * c * dT/dt = A * (h(T) * (Tair - T) + emissivity * sigma * (Tair**4 - T**4)),  h(T) as of still_air_plate

    Fins counted whole give air more surface than it can use: for a finned head the answer is a lower bound.

    temperature : one temperature, > 0 to 2000 [K]
        To be reached; between start and air.
    Returns one time, > 0 or 0 where the start is it [s]
    Refuses (OutOfDomain) a temperature that is never reached, a Biot number above 0.1, and what still_air_plate refuses.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eqs. (5.15) and (9.26).

    >>> # a head of 2 kg from 20 to 195 degC in an oven of 200
    >>> time_in_still_air(468.15, 293.15, 473.15, 2.0, 930.0, 0.25, 0.15, 0.3, 2670.0, 151.0) / 60
    40.4
    """
    part = _Part(mass, heat_capacity, area, density, conductivity)
    air = _Around(
        air_temperature,
        air_temperature,
        emissivity,
        lambda hot: still_air_plate(hot, air_temperature, height),
    )
    return part.time(temperature, start_temperature, air)


def temperature_in_still_air(
    time: float,
    start_temperature: float,
    air_temperature: float,
    mass: float,
    heat_capacity: float,
    area: float,
    height: float,
    emissivity: float,
    density: float,
    conductivity: float,
) -> float:
    """
    The temperature of a part after a time in still air, with walls as warm as the air.

        m * c * dT/dt = A * (h(T) * (Tair - T) + emissivity * sigma * (Tair**4 - T**4)),  h(T) as of still_air_plate

    Returns one temperature, between start and air [K]
    Refuses (OutOfDomain) a time below zero, a Biot number above 0.1, and what still_air_plate refuses.
    Source: the same as time_in_still_air, solved for the temperature.

    >>> # a head of 2 kg half a minute out of the oven
    >>> temperature_in_still_air(30.0, 473.15, 295.15, 2.0, 930.0, 0.25, 0.15, 0.3, 2670.0, 151.0) - 273.15
    191.6
    """
    part = _Part(mass, heat_capacity, area, density, conductivity)
    air = _Around(
        air_temperature,
        air_temperature,
        emissivity,
        lambda hot: still_air_plate(hot, air_temperature, height),
    )
    return part.temperature(time, start_temperature, air)


def chill_time(
    temperature: float,
    start_temperature: float,
    freezer_temperature: float,
    mass: float,
    heat_capacity: float,
    area: float,
    diameter: float,
    emissivity: float,
    density: float,
    conductivity: float,
) -> float:
    """
    The time until an insert or guide is at a temperature in the still air of a freezer, or back in the shop's.

        m * c * dT/dt = A * (h(T) * (Tair - T) + emissivity * sigma * (Tair**4 - T**4)),  h(T) as of still_air_cylinder

    temperature : one temperature, > 0 to 2000 [K]
        To be reached; between start and freezer.
    area : one area, > 0 [m**2]
        That air gets at: not the face it lies on.
    diameter : one length, > 0 to 3 [m]
    Returns one time, > 0 or 0 where the start is it [s]
    Refuses (OutOfDomain) a temperature that is never reached, a Biot number above 0.1, and what still_air_cylinder refuses.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eqs. (5.15) and (9.34).

    >>> # a ring of 40 g from 20 to -17 degC in a box of -18
    >>> chill_time(256.15, 293.15, 255.15, 0.04, 460.0, 2.6e-3, 0.042, 0.3, 7800.0, 25.0) / 60
    82.4
    """
    part = _Part(mass, heat_capacity, area, density, conductivity)
    air = _Around(
        freezer_temperature,
        freezer_temperature,
        emissivity,
        lambda cold: still_air_cylinder(cold, freezer_temperature, diameter),
    )
    return part.time(temperature, start_temperature, air)


def chilled_temperature(
    time: float,
    start_temperature: float,
    freezer_temperature: float,
    mass: float,
    heat_capacity: float,
    area: float,
    diameter: float,
    emissivity: float,
    density: float,
    conductivity: float,
) -> float:
    """
    The temperature of an insert or guide after a time in the still air of a freezer, or back in the shop's.

        m * c * dT/dt = A * (h(T) * (Tair - T) + emissivity * sigma * (Tair**4 - T**4)),  h(T) as of still_air_cylinder

    area : one area, > 0 [m**2]
        That air gets at.
    diameter : one length, > 0 to 3 [m]
    Returns one temperature, between start and freezer [K]
    Refuses (OutOfDomain) a time below zero, a Biot number above 0.1, and what still_air_cylinder refuses.
    Source: the same as chill_time, solved for the temperature.

    >>> # the same ring carried for 30 s through a shop of 22 degC
    >>> chilled_temperature(30.0, 255.15, 295.15, 0.04, 460.0, 2.6e-3, 0.042, 0.3, 7800.0, 25.0) - 273.15
    -16.6
    """
    part = _Part(mass, heat_capacity, area, density, conductivity)
    air = _Around(
        freezer_temperature,
        freezer_temperature,
        emissivity,
        lambda cold: still_air_cylinder(cold, freezer_temperature, diameter),
    )
    return part.temperature(time, start_temperature, air)


def core_temperature_after(
    time: float,
    start_temperature: float,
    surroundings_temperature: float,
    half_thickness: float,
    coefficient: float,
    conductivity: float,
    density: float,
    heat_capacity: float,
) -> float:
    """
    The temperature in the middle of a thick wall after a time, where the Biot number forbids to take it as one.

        T = surroundings + (start - surroundings) * sum of C_n * exp(-z_n**2 * Fo)
        z_n * tan(z_n) = Bi,  C_n = 4 * sin(z_n) / (2 * z_n + sin(2 * z_n)),  Fo = k * t / (rho * c * L**2)

    time : one time, > 0 to 1e9 [s]
    half_thickness : one length, > 0 to 10 [m]
        Half of a wall heated on both sides, or the whole of one heated on one.
    coefficient : one heat transfer coefficient, > 0 [W/m**2/K]
    Returns one temperature, between start and surroundings [K]
    Refuses (OutOfDomain) a time so short that the middle hasn't noticed (Fo below 0.02).
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.39).

    >>> # example 5.4, 40 mm of steel from -20 degC, oil of 60 degC for 8 min: 42.9 by one term
    >>> core_temperature_after(480.0, 253.15, 333.15, 0.04, 500.0, 63.9, 7832.0, 434.0) - 273.15
    43.0
    """
    biot = coefficient * half_thickness / conductivity
    fourier = conductivity * time / (density * heat_capacity) / half_thickness**2
    if fourier < 0.02:
        raise OutOfDomain(f"after {shown(time, TIME)} the middle of the wall has hardly noticed")
    share = 0.0
    for n in range(8):
        z = _root(biot, n)
        share += 4 * math.sin(z) / (2 * z + math.sin(2 * z)) * math.exp(-z * z * fourier)
    return surroundings_temperature + (start_temperature - surroundings_temperature) * share


def _root(biot: float, n: int) -> float:
    """The root of z * tan(z) = Bi between n * pi and (n + 1/2) * pi, by halving: as exact as a float holds it."""
    low, high = n * math.pi, (n + 0.5) * math.pi
    for _ in range(60):
        middle = (low + high) / 2
        # z * sin(z) - Bi * cos(z), signed so that it rises across the root of every branch
        rising = (middle * math.sin(middle) - biot * math.cos(middle)) * (1 if n % 2 == 0 else -1)
        low, high = (low, middle) if rising > 0 else (middle, high)
    return (low + high) / 2


def _on_the_way(temperature: float, start: float, end: float) -> None:
    if temperature == start:
        return
    ends = f"from {shown(start, TEMPERATURE)} it goes towards {shown(end, TEMPERATURE)}"
    if (temperature - start) * (end - start) <= 0:
        raise OutOfDomain(f"{ends}, away from {shown(temperature, TEMPERATURE)}")
    if abs(temperature - start) >= abs(end - start) * (1 - 1e-12):
        raise OutOfDomain(f"{ends} and levels out there, so it is never at {shown(temperature, TEMPERATURE)}")


class _Around:
    """What is around a part: air with its coefficient at a surface temperature, and walls that radiate."""

    __slots__ = ("air", "convection", "emissivity", "walls")

    def __init__(
        self, air: float, walls: float, emissivity: float, convection: Callable[[float], float]
    ) -> None:
        self.air, self.walls, self.emissivity, self.convection = air, walls, emissivity, convection

    def flow(self, surface: float) -> float:
        """Heat into a surface [W/m2]."""
        radiated = radiation_coefficient(surface, self.walls, self.emissivity) * (self.walls - surface)
        return self.convection(surface) * (self.air - surface) + radiated

    def coefficient(self, surface: float) -> float:
        return self.convection(surface) + radiation_coefficient(surface, self.walls, self.emissivity)

    def levels_out(self) -> float:
        """The surface temperature at which no heat flows: between air and walls; the flow falls as the surface warms."""
        if self.air == self.walls:
            return self.air
        low, high = sorted((self.air, self.walls))
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.flow(middle) > 0 else (low, middle)
        return (low + high) / 2


class _Part:
    """A part with one temperature. Time runs along u = ln(distance left / distance at start), which is nearly straight."""

    __slots__ = ("capacity", "conductivity", "thickness")

    def __init__(
        self, mass: float, heat_capacity: float, area: float, density: float, conductivity: float
    ) -> None:
        self.capacity = mass * heat_capacity / area
        self.thickness = mass / density / area
        self.conductivity = conductivity

    def time(self, temperature: float, start: float, around: _Around) -> float:
        end = around.levels_out()
        _on_the_way(temperature, start, end)
        self._as_one(start, temperature, around)
        if temperature == start:
            return 0.0
        return self._time(math.log((temperature - end) / (start - end)), start, end, around)

    def temperature(self, time: float, start: float, around: _Around) -> float:
        not_negative("time", time, TIME)
        end = around.levels_out()
        self._as_one(start, end, around)
        if abs(start - end) < 1e-9:
            return start
        # The time at u is known with its slope, so few steps of Newton find u.
        u = -time / self._pace(0.0, start, end, around)
        for _ in range(50):
            u = max(u, _THERE)
            left = time - self._time(u, start, end, around)
            u -= left / self._pace(u, start, end, around)
            if abs(left) <= 1e-10 * time or u <= _THERE:
                break
        if math.isnan(u):
            raise OutOfDomain("the part takes up so little heat that no temperature can be worked")
        return end + (start - end) * math.exp(u)

    def _as_one(self, start: float, last: float, around: _Around) -> None:
        most = max(around.coefficient(start), around.coefficient(last))
        biot = most * self.thickness / self.conductivity
        if biot > MOST_BIOT:
            raise OutOfDomain(
                f"with a Biot number of {biot:.2g}, above {MOST_BIOT:g}, the inside of the part lags behind its surface, "
                "and it has no one temperature"
            )

    def _pace(self, u: float, start: float, end: float, around: _Around) -> float:
        """Seconds per unit of -u where the part stands: its time constant there."""
        away = (start - end) * math.exp(u)
        if abs(away) < 1e-6:
            away = math.copysign(1e-6, start - end)
        return self.capacity * away / -around.flow(end + away)

    def _time(self, u: float, start: float, end: float, around: _Around) -> float:
        """The integral of the pace, by Gauss's five points on panels of at most 1 in u."""
        if math.isnan(u):
            return math.nan
        panels = max(1, math.ceil(abs(u)))
        width = u / panels
        total = 0.0
        for panel in range(panels):
            middle = (panel + 0.5) * width
            for place, weight in _GAUSS:
                total += weight * self._pace(middle + place * width / 2, start, end, around)
        return -total * width / 2


_THERE = -40.0
# ln of the share of the way that is left where a float no longer tells the part from its surroundings

_GAUSS = (
    (0.0, 0.5688888888888889),
    (-0.5384693101056831, 0.47862867049936647),
    (0.5384693101056831, 0.47862867049936647),
    (-0.906179845938664, 0.23692688505618908),
    (0.906179845938664, 0.23692688505618908),
)
# places and weights on -1 to 1, five points; Handbook of Mathematical Functions, table 25.4

_TO, _START = a_temperature("temperature"), a_temperature("start_temperature")
_AFTER = Argument("time", TIME)
_AIR = a_temperature("air_temperature")
_PART = (
    Argument("mass", MASS, above=0.0),
    Argument("heat_capacity", HEAT_CAPACITY, above=0.0),
    Argument("area", AREA, above=0.0),
)
_STUFF = (
    EMISSIVITY,
    Argument("density", DENSITY, above=0.0),
    Argument("conductivity", CONDUCTIVITY, above=0.0),
)
_COEFFICIENT = Argument("coefficient", HEAT_TRANSFER, above=0.0)
_BY_CONSTANT = (
    _START,
    a_temperature("surroundings_temperature"),
    Argument("time_constant", TIME, above=0.0),
)
_IN_OVEN = (_START, _AIR, a_temperature("walls_temperature"), *_PART, _COEFFICIENT, *_STUFF)
_IN_STILL_AIR = (_START, _AIR, *_PART, a_size("height", 10.0), *_STUFF)
_IN_FREEZER = (_START, a_temperature("freezer_temperature"), *_PART, a_size("diameter", 3.0), *_STUFF)

SIGNATURES = (
    Signature(
        "biot_number",
        (_COEFFICIENT, Argument("volume", VOLUME, above=0.0), _PART[2], _STUFF[2]),
        NUMBER,
        biot_number,
    ),
    Signature("time_constant", (*_PART, _COEFFICIENT), TIME, time_constant),
    Signature("time_to_temperature", (_TO, *_BY_CONSTANT), TIME, time_to_temperature),
    Signature("temperature_after", (_AFTER, *_BY_CONSTANT), TEMPERATURE, temperature_after),
    Signature("time_in_oven", (_TO, *_IN_OVEN), TIME, time_in_oven),
    Signature("temperature_in_oven", (_AFTER, *_IN_OVEN), TEMPERATURE, temperature_in_oven),
    Signature("time_in_still_air", (_TO, *_IN_STILL_AIR), TIME, time_in_still_air),
    Signature("temperature_in_still_air", (_AFTER, *_IN_STILL_AIR), TEMPERATURE, temperature_in_still_air),
    Signature("chill_time", (_TO, *_IN_FREEZER), TIME, chill_time),
    Signature("chilled_temperature", (_AFTER, *_IN_FREEZER), TEMPERATURE, chilled_temperature),
    Signature(
        "core_temperature_after",
        (
            Argument("time", TIME, above=0.0, at_most=1e9),
            *_BY_CONSTANT[:2],
            a_size("half_thickness", 10.0),
            _COEFFICIENT,
            _STUFF[2],
            _STUFF[1],
            _PART[1],
        ),
        TEMPERATURE,
        core_temperature_after,
    ),
)
