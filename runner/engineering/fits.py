"""A ring shrunk into a bore: what holds it cold, what lets it drop in hot, and the temperatures that decide it.

Everything is a diameter, and every size is stated at 20 °C, as ISO 1 asks. Expansions are means between 20 °C and the
temperature given. One order throughout: clearance, ring OD, bore, ring expansion, bore expansion, then temperatures,
ring before bore. Stresses are in `interference`; time is not here.

Said once for all functions here:

ring_od : one length, > 0 [m]
    Outside diameter of the ring at 20 °C.
bore : one length, > 0 [m]
    Diameter of the bore at 20 °C.
ring_temperature : one temperature, > 0 to 2000 [K]
    Of the whole ring.
bore_temperature : one temperature, > 0 to 2000 [K]
    Of the head around the bore.
ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
    The ring's.
bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
    The head's.
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

    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's; it belongs to the lot.
    bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The head's around the bore.
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
    bore_expansion : one mean expansion from 20 °C, > 0 to 1e-3 [1/K]
        The head's; a head that doesn't grow never opens.
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
    ring_expansion : one mean expansion from 20 °C, > 0 to 1e-3 [1/K]
        The ring's; a ring that doesn't grow never grabs.
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


def interference_at(
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    ring_temperature: float,
    bore_temperature: float,
) -> float:
    """
    The interference left when ring and head have these temperatures, on the diameter; negative is a loose ring.

        left = ring_od * (1 + a_r * (T_r - 20 degC)) - bore * (1 + a_b * (T_b - 20 degC))

    A hot seat in a cold head is the dangerous pair: the fit tightens, the bore yields, and cold it is loose for good. For
    a pressure or a stress, give it to contact_pressure with the moduli at these temperatures.

    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its temperature.
    bore_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The head's, to its temperature.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: joining_clearance with its sign turned.

    >>> # seat at 320 °C, head at 150 °C; by hand 42.510 * 1.00345 - 42.360 * 1.00286 = 0.175510 mm
    >>> 1000 * interference_at(0.04251, 0.04236, 11.5e-6, 22e-6, 593.15, 423.15)
    0.175510
    """
    return -joining_clearance(
        ring_od, bore, ring_expansion, bore_expansion, ring_temperature, bore_temperature
    )


def nil_fit_temperature(ring_od: float, bore: float, ring_expansion: float, bore_expansion: float) -> float:
    """
    The temperature at which ring and head, equally warm, just touch: past it the ring is loose.

        T = 20 degC + (ring_od - bore) / (bore * a_b - ring_od * a_r)

    A ring that grows less than its head lets go when hotter than this, one that grows more when colder. Expansions are
    means from 20 °C to about this temperature.

    Returns one temperature, > 0 to 2000 [K]
    Refuses (OutOfDomain) a ring and a head that grow alike, and a fit that is nil at no temperature in that range.
    Source: joining_clearance put to nil with one temperature for both.

    >>> # by hand: 0.150 / (42.360 * 22e-6 - 42.510 * 11.5e-6) = 338.56 K above 20 °C
    >>> nil_fit_temperature(0.04251, 0.04236, 11.5e-6, 22e-6) - 273.15
    358.56
    """
    opening = bore * bore_expansion - ring_od * ring_expansion
    if opening == 0:
        raise OutOfDomain("ring and head grow alike, so warming both changes nothing between them")
    temperature = REFERENCE_TEMPERATURE + (ring_od - bore) / opening
    fit = f"a fit of {shown(ring_od - bore, LENGTH)}"
    if temperature <= 0:
        raise OutOfDomain(f"no cooling, however deep, brings {fit} to nil")
    if temperature > HOTTEST:
        raise OutOfDomain(f"no warming up to {shown(HOTTEST, TEMPERATURE)} brings {fit} to nil")
    return temperature


def hottest_ring_temperature(
    interference: float,
    ring_od: float,
    bore: float,
    ring_expansion: float,
    bore_expansion: float,
    bore_temperature: float,
) -> float:
    """
    The ring temperature at which a seat in service has tightened to the most interference its head stands.

        T_r = 20 degC + (bore * (1 + a_b * (T_b - 20 degC)) + interference - ring_od) / (ring_od * a_r)

    The most it stands: interference_for_pressure at the pressure that the head's yield allows.

    interference : one length, any [m]
        The most, on the diameter, at these temperatures.
    ring_expansion : one mean expansion from 20 °C, > 0 to 1e-3 [1/K]
        The ring's; a ring that doesn't grow never tightens.
    Returns one temperature, > 0 to 2000 [K]
    Refuses (OutOfDomain) an interference that no ring temperature in that range gives.
    Source: interference_at, solved for the ring's temperature.

    >>> # head at 150 °C; by hand: (42.360 * 1.00286 + 0.180 - 42.510) / (42.510 * 11.5e-6) = 309.18 K above 20 °C
    >>> hottest_ring_temperature(180e-6, 0.04251, 0.04236, 11.5e-6, 22e-6, 423.15) - 273.15
    329.18
    """
    room = expanded(bore, bore_expansion, bore_temperature) + interference
    temperature = REFERENCE_TEMPERATURE + (room - ring_od) / (ring_od * ring_expansion)
    tight = f"an interference of {shown(interference, LENGTH)}"
    if temperature <= 0:
        raise OutOfDomain(f"every ring, however cold, is tighter than {tight} in this head")
    if temperature > HOTTEST:
        raise OutOfDomain(f"no ring up to {shown(HOTTEST, TEMPERATURE)} reaches {tight} in this head")
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
    Signature(
        "interference_at",
        (*_SIZES, _RING_EXPANSION, _BORE_EXPANSION, _RING_TEMPERATURE, _BORE_TEMPERATURE),
        LENGTH,
        interference_at,
    ),
    Signature(
        "nil_fit_temperature", (*_SIZES, _RING_EXPANSION, _BORE_EXPANSION), TEMPERATURE, nil_fit_temperature
    ),
    Signature(
        "hottest_ring_temperature",
        (
            Argument("interference", LENGTH),
            *_SIZES,
            an_expansion("ring_expansion", above=0.0),
            _BORE_EXPANSION,
            _BORE_TEMPERATURE,
        ),
        TEMPERATURE,
        hottest_ring_temperature,
    ),
)
