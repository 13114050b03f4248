"""A ring shrunk into a bore: what holds it cold, what lets it drop in hot, and the temperatures that decide it.

Everything is a diameter, and every size is stated at 20 °C, as ISO 1 asks. Expansions are means between 20 °C and the
temperature given. One order throughout: clearance, ring OD, bore, ring expansion, bore expansion, then temperatures,
ring before bore. Stresses and time are not here.
"""

from __future__ import annotations

from runner.engineering.signature import (
    HOTTEST,
    REFERENCE_TEMPERATURE,
    Argument,
    OutOfDomain,
    Signature,
    a_size,
    a_temperature,
    an_expansion,
    shown,
)
from runner.quantities.kinds import LENGTH, TEMPERATURE


def interference(ring_od: float, bore: float) -> float:
    """
    How much larger the ring is than its bore when both are at 20 °C, on the diameter; negative is a loose ring.

        interference = ring_od - bore

    ring_od : one length, > 0 [m]
        Outside diameter of the ring at 20 °C.
    bore : one length, > 0 [m]
        Diameter of the bore at 20 °C.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, clause 3 (terms and definitions). From memory.

    >>> 1000 * interference(0.04251, 0.04236)       # by hand: 42.51 - 42.36
    0.150
    """
    return ring_od - bore


def expanded(length: float, expansion: float, temperature: float) -> float:
    """
    What a length stated at 20 °C measures at another temperature.

        L = L20 * (1 + a * (T - 20 degC))

    length : one length, > 0 [m]
        At 20 °C.
    expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The mean between 20 °C and the temperature; tables give it with that range.
    temperature : one temperature, > 0 to 2000 [K]
        Of the whole part.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: Fundamentals of Materials Science and Engineering, 3rd edition, chapter on thermal properties. From memory.

    >>> 1000 * expanded(0.1, 22e-6, 473.15)         # by hand: 100 * (1 + 22e-6 * 180)
    100.396
    """
    return length * (1 + expansion * (temperature - REFERENCE_TEMPERATURE))


def joining_clearance(
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
    bore_temperature: float,
) -> float:
    """
    How much larger the hot bore is than the cold ring, on the diameter: above zero the ring drops in.

        clearance = bore * (1 + a_b * (T_b - 20 degC)) - ring_od * (1 + a_r * (T_r - 20 degC))

    ring_od : one length, > 0 [m]
        Outside diameter of the ring at 20 °C.
    bore : one length, > 0 [m]
        Diameter of the bore at 20 °C.
    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's; it belongs to the lot.
    bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The head's around the bore.
    ring_temperature : one temperature, > 0 to 2000 [K]
        Of the whole ring.
    bore_temperature : one temperature, > 0 to 2000 [K]
        Of the head around the bore.
    Returns one length, of either sign [m]; the negative of it is the interference left at these temperatures.
    Refuses (OutOfDomain) by its signature only.
    Source: DIN 7190-1:2017, Interference fits, joining temperature, from memory; that is the same balance with both
    diameters put equal in the small terms.

    >>> # head at 200 °C, ring at -18 °C; by hand 42.360 * 1.00396 - 42.510 * 0.999563 = 0.036322 mm
    >>> 1000 * joining_clearance(0.04251, 0.04236, 11.5e-6, 22e-6, 255.15, 473.15)
    0.036322
    """
    return expanded(bore, bore_expansion, bore_temperature) - expanded(
        ring_od, ring_expansion, ring_temperature
    )


def lowest_head_temperature(
    clearance: float,
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
) -> float:
    """
    The head temperature at which the wanted clearance is just left; a hotter head leaves more.

        T_b = 20 degC + (ring_od * (1 + a_r * (T_r - 20 degC)) + clearance - bore) / (bore * a_b)

    clearance : one length, any [m]
        Wanted on the diameter. 0 asks for the temperature at which the bore grabs.
    ring_od : one length, > 0 [m]
        Outside diameter of the ring at 20 °C.
    bore : one length, > 0 [m]
        Diameter of the bore at 20 °C.
    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's.
    bore_expansion : one mean expansion from 20 °C, > 0 to 1e-3 [1/K]
        The head's; a head that doesn't grow never opens.
    ring_temperature : one temperature, > 0 to 2000 [K]
        Of the whole ring.
    Returns one temperature, > 0 to 2000 [K]
    Refuses (OutOfDomain) a clearance that no head temperature in that range leaves.
    Source: joining_clearance, solved for the bore's temperature.

    >>> # by hand: (42.510 * 0.999563 + 0.030 - 42.360) / (42.360 * 22e-6) = 173.216 K above 20 °C
    >>> lowest_head_temperature(30e-6, 0.04251, 0.04236, 11.5e-6, 22e-6, 255.15) - 273.15
    193.22
    """
    room = expanded(ring_od, ring_expansion, ring_temperature) + clearance
    temperature = REFERENCE_TEMPERATURE + (room - bore) / (bore * bore_expansion)
    wanted = f"a clearance of {shown(clearance, LENGTH)}"
    if temperature <= 0:
        raise OutOfDomain(f"every head temperature leaves more than {wanted}, so there is no lowest one")
    if temperature > HOTTEST:
        raise OutOfDomain(f"no head temperature up to {shown(HOTTEST, TEMPERATURE)} leaves {wanted}")
    return temperature


def highest_ring_temperature(
    clearance: float,
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    bore_temperature: float,
) -> float:
    """
    The ring temperature at which the wanted clearance is just left; a colder ring leaves more.

        T_r = 20 degC + (bore * (1 + a_b * (T_b - 20 degC)) - clearance - ring_od) / (ring_od * a_r)

    clearance : one length, any [m]
        Wanted on the diameter. 0 asks for the temperature at which the ring grabs.
    ring_od : one length, > 0 [m]
        Outside diameter of the ring at 20 °C.
    bore : one length, > 0 [m]
        Diameter of the bore at 20 °C.
    ring_expansion : one mean expansion from 20 °C, > 0 to 1e-3 [1/K]
        The ring's; a ring that doesn't grow never grabs.
    bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The head's.
    bore_temperature : one temperature, > 0 to 2000 [K]
        Of the head around the bore.
    Returns one temperature, > 0 to 2000 [K]
    Refuses (OutOfDomain) a clearance that no ring temperature in that range leaves.
    Source: joining_clearance, solved for the ring's temperature.

    >>> # where the ring grabs; by hand: (42.360 * 1.00396 - 42.510) / (42.510 * 11.5e-6) = 36.300 K above 20 °C
    >>> highest_ring_temperature(0.0, 0.04251, 0.04236, 11.5e-6, 22e-6, 473.15) - 273.15
    56.30
    """
    room = expanded(bore, bore_expansion, bore_temperature) - clearance
    temperature = REFERENCE_TEMPERATURE + (room - ring_od) / (ring_od * ring_expansion)
    wanted = f"a clearance of {shown(clearance, LENGTH)}"
    if temperature <= 0:
        raise OutOfDomain(f"no ring is cold enough to leave {wanted}")
    if temperature > HOTTEST:
        hottest = shown(HOTTEST, TEMPERATURE)
        raise OutOfDomain(
            f"a ring at {hottest} still leaves more than {wanted}, so there is no highest temperature"
        )
    return temperature


_CLEARANCE = Argument("clearance", LENGTH)
_SIZES = (a_size("ring_od"), a_size("bore"))
_RING_EXPANSION, _BORE_EXPANSION = an_expansion("ring_expansion"), an_expansion("bore_expansion")
_RING_TEMPERATURE, _BORE_TEMPERATURE = a_temperature("ring_temperature"), a_temperature("bore_temperature")

SIGNATURES = (
    Signature("interference", _SIZES, LENGTH, interference),
    Signature(
        "expanded",
        (a_size("length"), an_expansion("expansion"), a_temperature("temperature")),
        LENGTH,
        expanded,
    ),
    Signature(
        "joining_clearance",
        (*_SIZES, _RING_EXPANSION, _BORE_EXPANSION, _RING_TEMPERATURE, _BORE_TEMPERATURE),
        LENGTH,
        joining_clearance,
    ),
    Signature(
        "lowest_head_temperature",
        (_CLEARANCE, *_SIZES, _RING_EXPANSION, an_expansion("bore_expansion", above=0.0), _RING_TEMPERATURE),
        TEMPERATURE,
        lowest_head_temperature,
    ),
    Signature(
        "highest_ring_temperature",
        (_CLEARANCE, *_SIZES, an_expansion("ring_expansion", above=0.0), _BORE_EXPANSION, _BORE_TEMPERATURE),
        TEMPERATURE,
        highest_ring_temperature,
    ),
)
