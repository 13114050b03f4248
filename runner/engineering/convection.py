"""What air takes from a surface, or gives to it: air's own properties, free and forced convection, radiation.

All are mean coefficients over the surface, in W/m2/K, of dry air at 101.325 kPa; in free convection a shop at 1500 m has
about a tenth less. Correlations of convection are good to 15 to 25 % (their authors' own scatter): carry that as their
uncertainty. The film temperature is half way between surface and air.
"""

from __future__ import annotations

import math

from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, a_temperature, shown
from runner.quantities.kinds import EXPANSION, LENGTH, MASS, NUMBER, SPEED, TEMPERATURE, TIME, TORQUE, VOLUME

VISCOSITY = LENGTH.times(SPEED)
# kinematic: density is already divided out
DENSITY = MASS.over(VOLUME)
HEAT_CAPACITY = TORQUE.times(EXPANSION).over(MASS)
CONDUCTANCE = TORQUE.times(EXPANSION).over(TIME)
CONDUCTIVITY = CONDUCTANCE.over(LENGTH)
HEAT_TRANSFER = CONDUCTIVITY.over(LENGTH)
# an expansion is "per kelvin", a torque an energy

STEFAN_BOLTZMANN = 5.670374419e-8
# W/m2/K4; exact by the SI of 2019. From memory.

_GRAVITY = 9.80665
# m/s2; standard gravity, exact by agreement

_PRESSURE = 101325.0
# Pa; one standard atmosphere, exact by agreement

_AIR = 287.053
# J/kg/K; gas constant of dry air, U.S. Standard Atmosphere 1976 (8314.32 / 28.9644)

_COLDEST, _HOTTEST = 150.0, 1000.0
# kelvin; the formulas agree with reference equations of air (CoolProp) within 2 % from 200 to 500 K and within 5 % to these ends


def air_conductivity(film_temperature: float) -> float:
    """
    How well air conducts heat.

        k = 2.64638e-3 * T**1.5 / (T + 245.4 * 10**(-12 / T))

    film_temperature : one temperature, > 150 to 1000 [K]
    Returns one heat conductivity, > 0 [W/m/K]
    Refuses (OutOfDomain) by its signature only.
    Source: U.S. Standard Atmosphere 1976, 1.3.13, eq. (53); the formula seen in reproductions, its number from memory.

    >>> air_conductivity(350.0)         # Fundamentals of Heat and Mass Transfer, table A.4: 0.0300
    0.030
    """
    return 2.64638e-3 * film_temperature**1.5 / (film_temperature + 245.4 * 10 ** (-12 / film_temperature))


def air_heat_capacity(film_temperature: float) -> float:
    """
    Heat to warm a kilogram of air by a kelvin at constant pressure: that of a stiff diatomic gas and its vibrations.

        c = R * (7/2 + sum of share * x**2 * e**x / (e**x - 1)**2),  x = 3390 K / T for nitrogen, 2270 K / T for oxygen

    film_temperature : one temperature, > 150 to 1000 [K]
    Returns one heat capacity, > 0 [J/kg/K]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Statistical Thermodynamics, harmonic oscillator; shares of U.S. Standard Atmosphere 1976,
    table 3. Characteristic temperatures from memory.

    >>> round(air_heat_capacity(300.0))         # table A.4: 1007
    1007
    """
    vibration = sum(
        share * (x / 2 / math.sinh(x / 2)) ** 2
        for share, x in ((0.78084, 3390 / film_temperature), (0.20948, 2270 / film_temperature))
    )
    return _AIR * (3.5 + vibration)


def air_density(film_temperature: float) -> float:
    """
    How heavy air is at 101.325 kPa.

        rho = p / (R * T)

    film_temperature : one temperature, > 150 to 1000 [K]
    Returns one density, > 0 [kg/m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: U.S. Standard Atmosphere 1976, 1.3.6, eq. (42); number from memory.

    >>> air_density(288.15)         # the standard's own at sea level: 1.2250
    1.2250
    """
    return _PRESSURE / (_AIR * film_temperature)


def air_viscosity(film_temperature: float) -> float:
    """
    How thick air is, over its density, at 101.325 kPa.

        nu = 1.458e-6 * T**1.5 / (T + 110.4) / rho

    film_temperature : one temperature, > 150 to 1000 [K]
    Returns one kinematic viscosity, > 0 [m**2/s]
    Refuses (OutOfDomain) by its signature only.
    Source: U.S. Standard Atmosphere 1976, 1.3.11 and 1.3.12, eq. (51); the formula seen in reproductions.

    >>> 1e6 * air_viscosity(350.0)         # table A.4: 20.92
    20.56
    """
    dynamic = 1.458e-6 * film_temperature**1.5 / (film_temperature + 110.4)
    return dynamic / air_density(film_temperature)


def air_prandtl(film_temperature: float) -> float:
    """
    Air's Prandtl number: how fast it spreads motion, over how fast it spreads heat.

        Pr = nu * rho * c / k

    film_temperature : one temperature, > 150 to 1000 [K]
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, table 6.2.

    >>> air_prandtl(350.0)         # table A.4: 0.700
    0.70
    """
    return (
        air_viscosity(film_temperature)
        * air_density(film_temperature)
        * air_heat_capacity(film_temperature)
        / air_conductivity(film_temperature)
    )


def still_air_plate(surface_temperature: float, air_temperature: float, height: float) -> float:
    """
    What still air takes from an upright plate, a kelvin and area: a head on its side, a tank wall.

        Nu = (0.825 + 0.387 * Ra**(1/6) / (1 + (0.492 / Pr)**(9/16))**(8/27))**2,  h = Nu * k / height
        Ra = g * |Ts - Ta| / Tf * height**3 * Pr / nu**2

    surface_temperature : one temperature, > 0 to 2000 [K]
    air_temperature : one temperature, > 0 to 2000 [K]
        Away from the surface.
    height : one length, > 0 to 10 [m]
        Of the plate, along which the air rises or sinks.
    Returns one heat transfer coefficient, > 0 [W/m**2/K]
    Refuses (OutOfDomain) a film outside -123 to 727 degC, and a plate so tall and hot that nothing was measured.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (9.26), Churchill and Chu.

    >>> # example 9.2: 0.71 m at 232 degC in air of 23 degC: 7.0
    >>> still_air_plate(505.15, 296.15, 0.71)
    7.0
    """
    film = _film(surface_temperature, air_temperature)
    prandtl = air_prandtl(film)
    rayleigh = _rayleigh(surface_temperature, air_temperature, height, film, prandtl)
    if rayleigh > 1e13:
        raise OutOfDomain(f"nobody has measured still air on a hot plate {shown(height, LENGTH)} tall")
    nusselt = (0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    return nusselt * air_conductivity(film) / height


def still_air_cylinder(surface_temperature: float, air_temperature: float, diameter: float) -> float:
    """
    What still air takes from a lying cylinder or gives to it, a kelvin and area: an insert in a freezer, a guide, a pipe.

        Nu = (0.60 + 0.387 * Ra**(1/6) / (1 + (0.559 / Pr)**(9/16))**(8/27))**2,  h = Nu * k / diameter

    surface_temperature : one temperature, > 0 to 2000 [K]
    air_temperature : one temperature, > 0 to 2000 [K]
        Away from the surface.
    diameter : one length, > 0 to 3 [m]
    Returns one heat transfer coefficient, > 0 [W/m**2/K]
    Refuses (OutOfDomain) a film outside -123 to 727 degC, and a cylinder beyond Ra = 1e12, where nothing was measured.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (9.34), Churchill and Chu.

    >>> # example 9.4: 0.1 m at 165 degC in air of 23 degC: 7.2 with table A.4
    >>> still_air_cylinder(438.15, 296.15, 0.1)
    7.31
    """
    film = _film(surface_temperature, air_temperature)
    prandtl = air_prandtl(film)
    rayleigh = _rayleigh(surface_temperature, air_temperature, diameter, film, prandtl)
    if rayleigh > 1e12:
        raise OutOfDomain(f"nobody has measured still air on a hot cylinder {shown(diameter, LENGTH)} thick")
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    return nusselt * air_conductivity(film) / diameter


def blown_plate(
    air_speed: float, surface_temperature: float, air_temperature: float, blown_length: float
) -> float:
    """
    What air blown along a flat face takes from it, a kelvin and area: a fan oven, a draught over a fixture.

        Nu = 0.664 * Re**0.5 * Pr**(1/3)                     up to Re = 500 000
        Nu = (0.037 * Re**0.8 - A) * Pr**(1/3)               above; A makes both equal at 500 000 (871)

    Good from Re about 1000; slower air is still air. The turbulent part has a kink at 500 000.

    air_speed : one speed, > 0 to 100 [m/s]
        Away from the face.
    surface_temperature : one temperature, > 0 to 2000 [K]
    air_temperature : one temperature, > 0 to 2000 [K]
    blown_length : one length, > 0 to 20 [m]
        Of the face, along the air's way.
    Returns one heat transfer coefficient, > 0 [W/m**2/K]
    Refuses (OutOfDomain) a film outside -123 to 727 degC, air too slow to be blown (Re below 100), and Re above 1e8.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eqs. (7.30) and (7.38).

    >>> # by hand with nu 20.56e-6, k 0.0300, Pr 0.697: Re 48 638, 0.664 * 220.5 * 0.8867 = 129.8
    >>> blown_plate(5.0, 400.0, 300.0, 0.2)
    19.5
    """
    film = _film(surface_temperature, air_temperature)
    reynolds = air_speed * blown_length / air_viscosity(film)
    if reynolds < 100:
        raise OutOfDomain(
            f"air at {shown(air_speed, SPEED)} over {shown(blown_length, LENGTH)} is as good as still"
        )
    if reynolds > 1e8:
        raise OutOfDomain(f"nobody has measured air this fast over {shown(blown_length, LENGTH)}")
    laminar = 0.664 * math.sqrt(min(reynolds, _TRIPS))
    turbulent = 0.037 * (reynolds**0.8 - _TRIPS**0.8) if reynolds > _TRIPS else 0.0
    return (laminar + turbulent) * air_prandtl(film) ** (1 / 3) * air_conductivity(film) / blown_length


_TRIPS = 5e5
# Reynolds number at which a boundary layer on a plate is taken to turn turbulent; the same book, 6.3.1


def blown_cylinder(
    air_speed: float, surface_temperature: float, air_temperature: float, diameter: float
) -> float:
    """
    What air blown across a cylinder takes from it, a kelvin and area: an insert or a guide in a fan freezer or oven.

        Nu = 0.3 + 0.62 * Re**0.5 * Pr**(1/3) / (1 + (0.4 / Pr)**(2/3))**0.25 * (1 + (Re / 282000)**(5/8))**0.8

    air_speed : one speed, > 0 to 100 [m/s]
        Away from the cylinder.
    surface_temperature : one temperature, > 0 to 2000 [K]
    air_temperature : one temperature, > 0 to 2000 [K]
    diameter : one length, > 0 to 3 [m]
    Returns one heat transfer coefficient, > 0 [W/m**2/K]
    Refuses (OutOfDomain) a film outside -123 to 727 degC, and Re * Pr up to 0.2 or above 1e7.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (7.54), Churchill and Bernstein.

    >>> # example 7.4: 12.7 mm at 128.4 degC, 10 m/s of 26.2 degC: 96, from memory
    >>> round(blown_cylinder(10.0, 401.55, 299.35, 0.0127), -1)
    100.0
    """
    film = _film(surface_temperature, air_temperature)
    prandtl = air_prandtl(film)
    reynolds = air_speed * diameter / air_viscosity(film)
    if reynolds * prandtl <= 0.2:
        raise OutOfDomain(
            f"air at {shown(air_speed, SPEED)} across {shown(diameter, LENGTH)} is as good as still"
        )
    if reynolds > 1e7:
        raise OutOfDomain(f"nobody has measured air this fast across {shown(diameter, LENGTH)}")
    steady = 0.62 * math.sqrt(reynolds) * prandtl ** (1 / 3) / (1 + (0.4 / prandtl) ** (2 / 3)) ** 0.25
    nusselt = 0.3 + steady * (1 + (reynolds / 282000) ** (5 / 8)) ** 0.8
    return nusselt * air_conductivity(film) / diameter


def radiation_coefficient(surface_temperature: float, walls_temperature: float, emissivity: float) -> float:
    """
    What a surface radiates to the walls around it, a kelvin and area; it adds to that of the air.

        h = emissivity * sigma * (Ts + Tw) * (Ts**2 + Tw**2)

    A small part in a large room or oven. Emissivities: bright aluminium 0.05 to 0.1, as cast and used 0.2 to 0.3, sooty
    or oxidised iron 0.8 (common practice, no source).

    surface_temperature : one temperature, > 0 to 2000 [K]
    walls_temperature : one temperature, > 0 to 2000 [K]
        What the surface sees.
    emissivity : one number, > 0 to 1 [1]
    Returns one heat transfer coefficient, > 0 [W/m**2/K]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (1.9).

    >>> radiation_coefficient(423.15, 448.15, 0.8)         # example 5.3: 15.0
    15.0
    """
    both = surface_temperature**2 + walls_temperature**2
    return emissivity * STEFAN_BOLTZMANN * (surface_temperature + walls_temperature) * both


def _film(surface_temperature: float, air_temperature: float) -> float:
    film = (surface_temperature + air_temperature) / 2
    if not _COLDEST < film <= _HOTTEST:
        edges = f"{shown(_COLDEST, TEMPERATURE)} to {shown(_HOTTEST, TEMPERATURE)}"
        raise OutOfDomain(
            f"a film of air at {shown(film, TEMPERATURE)} is outside what is known of it here, {edges}"
        )
    return film


def _rayleigh(surface: float, air: float, size: float, film: float, prandtl: float) -> float:
    return _GRAVITY * abs(surface - air) / film * size**3 * prandtl / air_viscosity(film) ** 2


_FILM = (Argument("film_temperature", TEMPERATURE, above=_COLDEST, at_most=_HOTTEST),)
_SURFACE_AND_AIR = (a_temperature("surface_temperature"), a_temperature("air_temperature"))
_AIR_SPEED = Argument("air_speed", SPEED, above=0.0, at_most=100.0)
EMISSIVITY = Argument("emissivity", NUMBER, above=0.0, at_most=1.0)

SIGNATURES = (
    Signature("air_conductivity", _FILM, CONDUCTIVITY, air_conductivity),
    Signature("air_heat_capacity", _FILM, HEAT_CAPACITY, air_heat_capacity),
    Signature("air_density", _FILM, DENSITY, air_density),
    Signature("air_viscosity", _FILM, VISCOSITY, air_viscosity),
    Signature("air_prandtl", _FILM, NUMBER, air_prandtl),
    Signature("still_air_plate", (*_SURFACE_AND_AIR, a_size("height", 10.0)), HEAT_TRANSFER, still_air_plate),
    Signature(
        "still_air_cylinder", (*_SURFACE_AND_AIR, a_size("diameter", 3.0)), HEAT_TRANSFER, still_air_cylinder
    ),
    Signature(
        "blown_plate",
        (_AIR_SPEED, *_SURFACE_AND_AIR, a_size("blown_length", 20.0)),
        HEAT_TRANSFER,
        blown_plate,
        smooth=False,
    ),
    Signature(
        "blown_cylinder",
        (_AIR_SPEED, *_SURFACE_AND_AIR, a_size("diameter", 3.0)),
        HEAT_TRANSFER,
        blown_cylinder,
    ),
    Signature(
        "radiation_coefficient",
        (a_temperature("surface_temperature"), a_temperature("walls_temperature"), EMISSIVITY),
        HEAT_TRANSFER,
        radiation_coefficient,
    ),
)
