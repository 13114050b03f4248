"""From first touch: how the ring warms in the hot pocket, and how soon it grabs.

Ring and pocket warm and cool towards one temperature as two lumps with a contact between them. That the heat also has to get
through the ring's own wall is left out, so the worked ring grabs a little sooner than a real one: the safe side.

Said once for all functions here:

contact_coefficient : one heat transfer coefficient, > 0 [W/m**2/K]
    Between ring and pocket: 10 000 for a ring that lies well, 2 000 for dry metal, 500 with a gap of air (from memory).
contact_area : one area, > 0 [m**2]
ring_mass : one mass, > 0 [kg]
ring_heat_capacity : one heat capacity, > 0 [J/kg/K]
boss_heat_capacity : one heat capacity, > 0 [J/kg/K]
ring_od : one length, > 0 [m]
    At 20 °C.
bore : one length, > 0 [m]
    At 20 °C.
ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
ring_temperature : one temperature, > 0 to 2000 [K]
    Of the ring as it touches.
bore_temperature : one temperature, > 0 to 2000 [K]
    Of the pocket as it is touched.
boss_mass : one mass, > 0 [kg]
    Of the metal around the pocket that the ring can cool in these seconds; less of it grabs sooner.
clearance_doubt : one length, any [m]
    U of the clearance as it touches. 0 or more.
contact_doubt : one number, > 1 to 100 [1]
    How many times better or worse the contact may be: 5 means a fifth to five times (common practice, no source).
"""

from __future__ import annotations

import math

from runner.engineering.bounds import not_negative
from runner.engineering.convection import CONDUCTIVITY, DENSITY, HEAT_CAPACITY, HEAT_TRANSFER
from runner.engineering.fits import joining_clearance
from runner.engineering.signature import (
    Argument,
    OutOfDomain,
    Signature,
    a_size,
    a_temperature,
    an_expansion,
    shown,
)
from runner.quantities.kinds import AREA, LENGTH, MASS, NUMBER, TEMPERATURE, TIME


def contact_time_constant(
    contact_coefficient: float,
    contact_area: float,
    ring_mass: float,
    ring_heat_capacity: float,
    boss_mass: float,
    boss_heat_capacity: float,
) -> float:
    """
    The time in which ring and pocket go 63 % of the way to one temperature, from first touch.

        1 / tau = h * A * (1 / (m_ring * c_ring) + 1 / (m_boss * c_boss))

    boss_mass : one mass, > 0 [kg]
        Of the metal around the pocket that the ring can cool in these seconds.
    Returns one time, > 0 [s]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, 5.1, for two lumps.

    >>> # by hand: 1 / (3.0 * (1 / 18.4 + 1 / 465))
    >>> contact_time_constant(3000.0, 1e-3, 0.04, 460.0, 0.5, 930.0)
    5.90
    """
    by_ring, by_boss = 1 / (ring_mass * ring_heat_capacity), 1 / (boss_mass * boss_heat_capacity)
    return 1 / (contact_coefficient * contact_area * (by_ring + by_boss))


def touch_temperature(
    ring_temperature: float,
    bore_temperature: float,
    ring_conductivity: float,
    ring_density: float,
    ring_heat_capacity: float,
    bore_conductivity: float,
    bore_density: float,
    bore_heat_capacity: float,
) -> float:
    """
    The temperature that both skins take at once where two bodies touch perfectly, before the rest of them notices.

        T = (e_ring * T_ring + e_bore * T_bore) / (e_ring + e_bore),  e = sqrt(k * rho * c)

    ring_temperature : one temperature, > 0 to 2000 [K]
    bore_temperature : one temperature, > 0 to 2000 [K]
    ring_conductivity : one heat conductivity, > 0 [W/m/K]
    ring_density : one density, > 0 [kg/m**3]
    bore_conductivity : one heat conductivity, > 0 [W/m/K]
    bore_density : one density, > 0 [kg/m**3]
    bore_heat_capacity : one heat capacity, > 0 [J/kg/K]
    Returns one temperature, between the two [K]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.63).

    >>> # by hand: e 9471 and 19 704, so 68 % of the way from -18 to 200 degC
    >>> touch_temperature(255.15, 473.15, 25.0, 7800.0, 460.0, 151.0, 2670.0, 963.0) - 273.15
    129.2
    """
    ring = math.sqrt(ring_conductivity * ring_density * ring_heat_capacity)
    bore = math.sqrt(bore_conductivity * bore_density * bore_heat_capacity)
    return (ring * ring_temperature + bore * bore_temperature) / (ring + bore)


def time_to_grab(
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
    bore_temperature: float,
    contact_coefficient: float,
    contact_area: float,
    ring_mass: float,
    ring_heat_capacity: float,
    boss_mass: float,
    boss_heat_capacity: float,
) -> float:
    """
    Seconds from first touch until the ring grabs: it warms in the pocket, and the pocket cools on it.

        t = tau * ln((c0 - c1) / -c1); c0 clearance at first touch, c1 when both are equally warm

    Returns one time, > 0 [s]
    Refuses (OutOfDomain) a ring that is tight before it touches, and one that stays loose however warm it gets.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, 5.1, for two lumps; joining_clearance.

    >>> time_to_grab(0.04251, 0.04236, 11.5e-6, 22e-6, 256.15, 468.15, 3000.0, 1e-3, 0.04, 460.0, 0.5, 930.0)
    2.03
    """
    tau = contact_time_constant(
        contact_coefficient, contact_area, ring_mass, ring_heat_capacity, boss_mass, boss_heat_capacity
    )
    ring, boss = ring_mass * ring_heat_capacity, boss_mass * boss_heat_capacity
    evened = (ring * ring_temperature + boss * bore_temperature) / (ring + boss)
    return tau * _constants_to_grab(
        ring_od,
        bore,
        ring_expansion,
        bore_expansion,
        ring_temperature,
        bore_temperature,
        evened,
        0.0,
    )


def time_to_grab_low(
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
    bore_temperature: float,
    contact_coefficient: float,
    contact_area: float,
    ring_mass: float,
    ring_heat_capacity: float,
    boss_mass: float,
    boss_heat_capacity: float,
    clearance_doubt: float,
    contact_doubt: float,
) -> float:
    """
    Seconds from first touch until the ring grabs, at the worst: the seconds to count by.

        time_to_grab with clearance - clearance_doubt and contact_coefficient * contact_doubt

    Returns one time, > 0 [s]
    Refuses (OutOfDomain) a negative doubt, a ring that is tight before it touches, and one that stays loose however warm it gets.
    Source: time_to_grab with both doubts at their worse end.

    >>> time_to_grab_low(0.04251, 0.04236, 11.5e-6, 22e-6, 256.15, 468.15, 3000.0, 1e-3, 0.04, 460.0, 0.5, 930.0, 3e-6, 3.0)
    0.60
    """
    not_negative("clearance doubt", clearance_doubt, LENGTH)
    tau = contact_time_constant(
        contact_coefficient * contact_doubt,
        contact_area,
        ring_mass,
        ring_heat_capacity,
        boss_mass,
        boss_heat_capacity,
    )
    ring, boss = ring_mass * ring_heat_capacity, boss_mass * boss_heat_capacity
    evened = (ring * ring_temperature + boss * bore_temperature) / (ring + boss)
    return tau * _constants_to_grab(
        ring_od,
        bore,
        ring_expansion,
        bore_expansion,
        ring_temperature,
        bore_temperature,
        evened,
        clearance_doubt,
    )


def time_to_grab_high(
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
    bore_temperature: float,
    contact_coefficient: float,
    contact_area: float,
    ring_mass: float,
    ring_heat_capacity: float,
    boss_mass: float,
    boss_heat_capacity: float,
    clearance_doubt: float,
    contact_doubt: float,
) -> float:
    """
    Seconds from first touch until the ring grabs, at the best: hold it down at least so long.

        time_to_grab with clearance + clearance_doubt and contact_coefficient / contact_doubt

    Returns one time, > 0 [s]
    Refuses (OutOfDomain) a negative doubt, a ring that is tight before it touches, and one that stays loose however warm it gets.
    Source: time_to_grab with both doubts at their better end.

    >>> time_to_grab_high(0.04251, 0.04236, 11.5e-6, 22e-6, 256.15, 468.15, 3000.0, 1e-3, 0.04, 460.0, 0.5, 930.0, 3e-6, 3.0)
    6.79
    """
    not_negative("clearance doubt", clearance_doubt, LENGTH)
    tau = contact_time_constant(
        contact_coefficient / contact_doubt,
        contact_area,
        ring_mass,
        ring_heat_capacity,
        boss_mass,
        boss_heat_capacity,
    )
    ring, boss = ring_mass * ring_heat_capacity, boss_mass * boss_heat_capacity
    evened = (ring * ring_temperature + boss * bore_temperature) / (ring + boss)
    return tau * _constants_to_grab(
        ring_od,
        bore,
        ring_expansion,
        bore_expansion,
        ring_temperature,
        bore_temperature,
        evened,
        -clearance_doubt,
    )


def _constants_to_grab(
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
    bore_temperature: float,
    evened: float,
    doubt: float,
) -> float:
    """Contact time constants from first touch until nothing is left of the clearance less the doubt: one exponential."""
    sizes = (ring_od, bore, ring_expansion, bore_expansion)
    first = joining_clearance(*sizes, ring_temperature, bore_temperature) - doubt
    last = joining_clearance(*sizes, evened, evened) - doubt
    if first <= 0:
        raise OutOfDomain(
            f"the ring is tight before it touches: {_worded(first, doubt)}; heat the head more or cool the ring more"
        )
    if last >= 0:
        raise OutOfDomain(
            f"even as warm as the pocket the ring stays loose: {_worded(last, doubt)}; nothing holds it until the head cools"
        )
    return math.log((first - last) / -last)


def _worded(clearance: float, doubt: float) -> str:
    taken = f" with its doubt of {shown(abs(doubt), LENGTH)} taken in" if doubt else ""
    return f"its clearance is {shown(clearance, LENGTH)}{taken}"


_DOUBT = Argument("clearance_doubt", LENGTH)
_CONTACT_DOUBTS = (_DOUBT, Argument("contact_doubt", NUMBER, above=1.0, at_most=100.0))
_CONTACT = (
    Argument("contact_coefficient", HEAT_TRANSFER, above=0.0),
    Argument("contact_area", AREA, above=0.0),
    Argument("ring_mass", MASS, above=0.0),
    Argument("ring_heat_capacity", HEAT_CAPACITY, above=0.0),
    Argument("boss_mass", MASS, above=0.0),
    Argument("boss_heat_capacity", HEAT_CAPACITY, above=0.0),
)
_SIZES = (a_size("ring_od"), a_size("bore"), an_expansion("ring_expansion"), an_expansion("bore_expansion"))
_RING, _BORE = a_temperature("ring_temperature"), a_temperature("bore_temperature")
_TOUCH = (*_SIZES, _RING, _BORE, *_CONTACT)

SIGNATURES = (
    Signature("contact_time_constant", _CONTACT, TIME, contact_time_constant),
    Signature(
        "touch_temperature",
        (
            _RING,
            _BORE,
            Argument("ring_conductivity", CONDUCTIVITY, above=0.0),
            Argument("ring_density", DENSITY, above=0.0),
            Argument("ring_heat_capacity", HEAT_CAPACITY, above=0.0),
            Argument("bore_conductivity", CONDUCTIVITY, above=0.0),
            Argument("bore_density", DENSITY, above=0.0),
            Argument("bore_heat_capacity", HEAT_CAPACITY, above=0.0),
        ),
        TEMPERATURE,
        touch_temperature,
    ),
    Signature("time_to_grab", _TOUCH, TIME, time_to_grab),
    Signature("time_to_grab_low", (*_TOUCH, *_CONTACT_DOUBTS), TIME, time_to_grab_low),
    Signature("time_to_grab_high", (*_TOUCH, *_CONTACT_DOUBTS), TIME, time_to_grab_high),
)
