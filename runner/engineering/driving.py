"""The driving window: the seconds that a hot head and a cold ring leave before the ring no longer drops in.

Both leave oven and freezer at the same moment; a ring fetched later only leaves more time. Head and ring each have one
temperature and one time constant, and expansions are one mean each. The low estimate is the one to count by: it takes
every doubt at its worse end at once. What happens from first touch on is in grabbing.

Said once for all functions here:

area : one area, > 0 [m**2]
    In the air.
coefficient : one heat transfer coefficient, > 0 [W/m**2/K]
    Of air and radiation together.
ring_od : one length, > 0 [m]
    At 20 °C.
bore : one length, > 0 [m]
    At 20 °C.
ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
ring_temperature : one temperature, > 0 to 2000 [K]
    Of the ring as it leaves the freezer.
bore_temperature : one temperature, > 0 to 2000 [K]
    Of the head as it leaves the oven.
air_temperature : one temperature, > 0 to 2000 [K]
    Towards which the ring warms.
rest_temperature : one temperature, > 0 to 2000 [K]
    Towards which the head cools: the air's, or rest_on_fixture.
ring_time_constant : one time, > 1e-3 to 1e9 [s]
head_time_constant : one time, > 1e-3 to 1e9 [s]
    By the shop's own curve (cooling_constant) or worked (constant_on_fixture).
clearance : one length, any [m]
    Wanted on the diameter.
clearance_doubt : one length, any [m]
    U of the clearance as it leaves the oven: of both sizes, temperatures and expansions together. 0 or more.
cooling_doubt : one number, > 0 to 5 [1]
    How far off both time constants may be: 0.1 for a measured curve, 0.3 for a worked one (common practice, no source).
"""

from __future__ import annotations

import math

from runner.engineering.bounds import not_negative
from runner.engineering.convection import CONDUCTANCE, HEAT_CAPACITY, HEAT_TRANSFER
from runner.engineering.signature import (
    Argument,
    OutOfDomain,
    Signature,
    a_size,
    a_temperature,
    an_expansion,
    shown,
)
from runner.engineering.window import Window
from runner.quantities.kinds import AREA, LENGTH, MASS, NUMBER, TEMPERATURE, TIME


def cooling_constant(
    first_temperature: float, last_temperature: float, time: float, surroundings_temperature: float
) -> float:
    """
    The time constant of a part from two readings of it: the shop's own curve, of this head on this fixture.

        tau = t / ln((first - surroundings) / (last - surroundings))

    Read over a minute or more: two kelvin between the readings and one kelvin of doubt give a constant of no worth.

    first_temperature : one temperature, > 0 to 2000 [K]
    last_temperature : one temperature, > 0 to 2000 [K]
    time : one time, > 0 [s]
        Between the two.
    surroundings_temperature : one temperature, > 0 to 2000 [K]
        Of the air, or where the part levels out.
    Returns one time, > 0 [s]
    Refuses (OutOfDomain) readings that don't close in on the surroundings.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.5).

    >>> # 200 degC, a minute later 169.5 in a shop of 22; by hand 60 / ln(178 / 147.5)
    >>> cooling_constant(473.15, 442.65, 60.0, 295.15)
    319.2
    """
    first, last = first_temperature - surroundings_temperature, last_temperature - surroundings_temperature
    if first * last <= 0 or abs(last) >= abs(first):
        raise OutOfDomain(
            f"from {shown(first_temperature, TEMPERATURE)} to {shown(last_temperature, TEMPERATURE)} the part doesn't close "
            f"in on {shown(surroundings_temperature, TEMPERATURE)}, so it has no time constant"
        )
    return time / math.log(first / last)


def constant_on_fixture(
    mass: float, heat_capacity: float, area: float, coefficient: float, fixture_conductance: float
) -> float:
    """
    The time constant of a head that loses heat to the air and into the fixture it lies on.

        tau = m * c / (h * A + G)

    mass : one mass, > 0 [kg]
    heat_capacity : one heat capacity, > 0 [J/kg/K]
    fixture_conductance : one heat flow per kelvin, any [W/K]
        Into the fixture: contact coefficient times touching area. 0 for none.
    Returns one time, > 0 [s]
    Refuses (OutOfDomain) a negative conductance.
    Source: Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.7), with two ways out side by side.

    >>> constant_on_fixture(2.0, 930.0, 0.25, 10.0, 2.0)         # by hand: 1860 / 4.5
    413.3
    """
    not_negative("fixture conductance", fixture_conductance, CONDUCTANCE)
    return mass * heat_capacity / (coefficient * area + fixture_conductance)


def rest_on_fixture(
    area: float,
    coefficient: float,
    fixture_conductance: float,
    air_temperature: float,
    fixture_temperature: float,
) -> float:
    """
    Where a head on a fixture would level out: between air and fixture, nearer to the one that takes more.

        T = (h * A * Tair + G * Tfixture) / (h * A + G)

    The fixture keeps its temperature: a block that warms takes less, so the head stays hot longer than worked.

    fixture_conductance : one heat flow per kelvin, any [W/K]
        Into the fixture. 0 for none.
    air_temperature : one temperature, > 0 to 2000 [K]
    fixture_temperature : one temperature, > 0 to 2000 [K]
    Returns one temperature, between the two [K]
    Refuses (OutOfDomain) a negative conductance.
    Source: heat balance of the head at rest.

    >>> rest_on_fixture(0.25, 10.0, 2.5, 295.15, 335.15) - 273.15         # by hand: both take alike, half way from 22 to 62
    42.0
    """
    not_negative("fixture conductance", fixture_conductance, CONDUCTANCE)
    to_air = coefficient * area
    return (to_air * air_temperature + fixture_conductance * fixture_temperature) / (
        to_air + fixture_conductance
    )


# fmt: off
def clearance_after(
    time: float, ring_od: float, bore: float, ring_expansion: float, bore_expansion: float,
    ring_temperature: float, bore_temperature: float, air_temperature: float, rest_temperature: float,
    ring_time_constant: float, head_time_constant: float,
) -> float:
    """
    The clearance some seconds after head and ring left oven and freezer, on the diameter.

        joining_clearance with  Thead = rest + (Thead0 - rest) * exp(-t / tau_head),  Tring = air + (Tring0 - air) * exp(-t / tau_ring)

    time : one time, any [s]
        0 or more.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) a time below zero.
    Source: joining_clearance; Fundamentals of Heat and Mass Transfer, 6th edition, eq. (5.6).

    >>> 1e6 * clearance_after(0.0, 0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0)         # joining_clearance at 200 and -18 degC: 36.32 um
    36.32
    """
    not_negative("time", time, TIME)
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant,
    ).clearance(time)


def useful_limit(
    clearance: float, ring_od: float, bore: float, ring_expansion: float, bore_expansion: float,
    ring_temperature: float, bore_temperature: float, air_temperature: float, rest_temperature: float,
    ring_time_constant: float, head_time_constant: float,
) -> float:
    """
    Seconds from oven and freezer until only the wanted clearance is left: drive the ring before.

        the first t at which clearance_after(t, ...) = clearance

    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a clearance that isn't there to begin with, and one that never falls so far.
    Source: clearance_after, solved for the time.

    >>> useful_limit(30e-6, 0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0)
    11.20
    """
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant,
    ).first_at(clearance)


def useful_limit_low(
    clearance: float, ring_od: float, bore: float, ring_expansion: float, bore_expansion: float,
    ring_temperature: float, bore_temperature: float, air_temperature: float, rest_temperature: float,
    ring_time_constant: float, head_time_constant: float, clearance_doubt: float, cooling_doubt: float,
) -> float:
    """
    The useful limit at its worst: the seconds to count by.

        the first t at which clearance_after(t, ...) = clearance + clearance_doubt, time constants / (1 + cooling_doubt)

    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a negative doubt, a clearance that isn't there to begin with, and one that never falls so far.
    Source: clearance_after with both doubts at their worse end.

    >>> useful_limit_low(30e-6, 0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0, 3e-6, 0.1)
    5.31
    """
    not_negative("clearance doubt", clearance_doubt, LENGTH)
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant, pace=1 / (1 + cooling_doubt),
    ).first_at(clearance + clearance_doubt)


def useful_limit_high(
    clearance: float, ring_od: float, bore: float, ring_expansion: float, bore_expansion: float,
    ring_temperature: float, bore_temperature: float, air_temperature: float, rest_temperature: float,
    ring_time_constant: float, head_time_constant: float, clearance_doubt: float, cooling_doubt: float,
) -> float:
    """
    The useful limit at its best.

        the first t at which clearance_after(t, ...) = clearance - clearance_doubt, time constants * (1 + cooling_doubt)

    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a negative doubt, a clearance that isn't there to begin with, and one that never falls so far.
    Source: clearance_after with both doubts at their better end.

    >>> useful_limit_high(30e-6, 0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0, 3e-6, 0.1)
    18.33
    """
    not_negative("clearance doubt", clearance_doubt, LENGTH)
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant, pace=1 + cooling_doubt,
    ).first_at(clearance - clearance_doubt)


def last_limit(
    ring_od: float, bore: float, ring_expansion: float, bore_expansion: float, ring_temperature: float,
    bore_temperature: float, air_temperature: float, rest_temperature: float, ring_time_constant: float,
    head_time_constant: float,
) -> float:
    """
    Seconds from oven and freezer until no clearance is left: from then on the ring doesn't go in.

        the first t at which clearance_after(t, ...) = 0

    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a clearance that isn't there to begin with, and one that never falls so far.
    Source: clearance_after, solved for the time.

    >>> last_limit(0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0)
    70.74
    """
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant,
    ).first_at(0.0)


def last_limit_low(
    ring_od: float, bore: float, ring_expansion: float, bore_expansion: float, ring_temperature: float,
    bore_temperature: float, air_temperature: float, rest_temperature: float, ring_time_constant: float,
    head_time_constant: float, clearance_doubt: float, cooling_doubt: float,
) -> float:
    """
    The last limit at its worst: the seconds to count by.

        the first t at which clearance_after(t, ...) = clearance_doubt, time constants / (1 + cooling_doubt)

    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a negative doubt, a clearance that isn't there to begin with, and one that never falls so far.
    Source: clearance_after with both doubts at their worse end.

    >>> last_limit_low(0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0, 3e-6, 0.1)
    58.40
    """
    not_negative("clearance doubt", clearance_doubt, LENGTH)
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant, pace=1 / (1 + cooling_doubt),
    ).first_at(clearance_doubt)


def last_limit_high(
    ring_od: float, bore: float, ring_expansion: float, bore_expansion: float, ring_temperature: float,
    bore_temperature: float, air_temperature: float, rest_temperature: float, ring_time_constant: float,
    head_time_constant: float, clearance_doubt: float, cooling_doubt: float,
) -> float:
    """
    The last limit at its best.

        the first t at which clearance_after(t, ...) = - clearance_doubt, time constants * (1 + cooling_doubt)

    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a negative doubt, a clearance that isn't there to begin with, and one that never falls so far.
    Source: clearance_after with both doubts at their better end.

    >>> last_limit_high(0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0, 3e-6, 0.1)
    85.11
    """
    not_negative("clearance doubt", clearance_doubt, LENGTH)
    return Window(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature, air_temperature,
        rest_temperature, ring_time_constant, head_time_constant, pace=1 + cooling_doubt,
    ).first_at(-clearance_doubt)
# fmt: on


_SIZES = (a_size("ring_od"), a_size("bore"), an_expansion("ring_expansion"), an_expansion("bore_expansion"))
_RING, _BORE = a_temperature("ring_temperature"), a_temperature("bore_temperature")
_WINDOW = (
    *_SIZES,
    _RING,
    _BORE,
    a_temperature("air_temperature"),
    a_temperature("rest_temperature"),
    Argument("ring_time_constant", TIME, above=1e-3, at_most=1e9),
    Argument("head_time_constant", TIME, above=1e-3, at_most=1e9),
)
_WANTED = Argument("clearance", LENGTH)
_DOUBT = Argument("clearance_doubt", LENGTH)
_COOLING_DOUBTS = (_DOUBT, Argument("cooling_doubt", NUMBER, above=0.0, at_most=5.0))
_AREA = Argument("area", AREA, above=0.0)
_COEFFICIENT = Argument("coefficient", HEAT_TRANSFER, above=0.0)
_FIXTURE = Argument("fixture_conductance", CONDUCTANCE)
SIGNATURES = (
    Signature(
        "cooling_constant",
        (
            a_temperature("first_temperature"),
            a_temperature("last_temperature"),
            Argument("time", TIME, above=0.0),
            a_temperature("surroundings_temperature"),
        ),
        TIME,
        cooling_constant,
    ),
    Signature(
        "constant_on_fixture",
        (
            Argument("mass", MASS, above=0.0),
            Argument("heat_capacity", HEAT_CAPACITY, above=0.0),
            _AREA,
            _COEFFICIENT,
            _FIXTURE,
        ),
        TIME,
        constant_on_fixture,
    ),
    Signature(
        "rest_on_fixture",
        (
            _AREA,
            _COEFFICIENT,
            _FIXTURE,
            a_temperature("air_temperature"),
            a_temperature("fixture_temperature"),
        ),
        TEMPERATURE,
        rest_on_fixture,
    ),
    Signature("clearance_after", (Argument("time", TIME), *_WINDOW), LENGTH, clearance_after),
    Signature("useful_limit", (_WANTED, *_WINDOW), TIME, useful_limit),
    Signature("useful_limit_low", (_WANTED, *_WINDOW, *_COOLING_DOUBTS), TIME, useful_limit_low),
    Signature("useful_limit_high", (_WANTED, *_WINDOW, *_COOLING_DOUBTS), TIME, useful_limit_high),
    Signature("last_limit", _WINDOW, TIME, last_limit),
    Signature("last_limit_low", (*_WINDOW, *_COOLING_DOUBTS), TIME, last_limit_low),
    Signature("last_limit_high", (*_WINDOW, *_COOLING_DOUBTS), TIME, last_limit_high),
)
