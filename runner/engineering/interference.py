"""A ring tight in a hub: the pressure between them, the stresses on both sides, and how far each is from its yield.

Thick rings after Lamé, plane stress: elastic, no axial hold, full round rings in touch over their whole length, each of
one temperature. A head is neither round nor full, so its outside diameter is an equivalent one and every result a bound.
Diameters and diametral interferences throughout; tension is positive. What holds the ring axially is in `holding`.

Said once for all functions here:

interference : one length, any [m]
    On the diameter. Nil gives no pressure; a loose ring and more than 2 % of the diameter are refused.
diameter : one length, > 0 [m]
    Of the joint.
ring_bore : one length, any [m]
    0 for a solid plug.
ring_modulus : one pressure, > 0 [Pa]
    The ring's modulus of elasticity.
hub_modulus : one pressure, > 0 [Pa]
    The hub's.
ring_poisson : one number, > 0 to 0.5 [1]
    The ring's Poisson's ratio.
hub_poisson : one number, > 0 to 0.5 [1]
    The hub's.
hub_od : one length, > 0 [m]
    Outside diameter of the metal around the joint.
pressure : one pressure, any [Pa]
    Between ring and hub, not negative.
"""

from __future__ import annotations

import math

from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import LENGTH, NUMBER, PRESSURE

MOST_STRAIN = 0.02
# of the diameter; twice what the strongest spring steel bears elastically (2000 MPa over 200 GPa). Common practice, no
# source. More than that is a slip of units, and small-strain formulas don't hold there.

_ON_THE_EDGE = 1e-8
# relative; a diameter worked out a last digit outside the metal is still on its surface


def contact_pressure(
    interference: float,
    diameter: float,
    ring_bore: float,
    hub_od: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """
    The pressure between a ring and the hub it is tight in, each of its own metal.

        p = interference / diameter / ( (Kh + nh) / Eh + (Kr - nr) / Er )
        Kh = (hub_od**2 + diameter**2) / (hub_od**2 - diameter**2)
        Kr = (diameter**2 + ring_bore**2) / (diameter**2 - ring_bore**2)

    Give the interference left at the temperatures in question (interference_at) and moduli at those temperatures.

    hub_od : one length, > 0 [m]
        Outside diameter of the metal around the joint; for a head an equivalent one.
    Returns one pressure, not negative [Pa]
    Refuses (OutOfDomain) a ring without wall, a hub without wall, a loose ring, an interference no metal bears.
    Source: Advanced Strength and Applied Elasticity, chapter 8, compound cylinders; Advanced Mechanics of Materials,
    chapter 11. Both through worked examples that reproduce them.

    >>> # steel 16/20 in aluminium 20/40, by hand: 0.003 / ((1.66667 + 0.33) / 70000 + (4.55556 - 0.29) / 200000)
    >>> contact_pressure(0.06e-3, 0.02, 0.016, 0.04, 200e9, 70e9, 0.29, 0.33) / 1e6
    60.17
    """
    give = joint_give(diameter, ring_bore, hub_od, ring_modulus, hub_modulus, ring_poisson, hub_poisson)
    return strain_of(interference, diameter) / give


def contact_pressure_in_block(
    interference: float,
    diameter: float,
    ring_bore: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """
    The pressure between a ring and a block without end around it: the most that any hub of this metal gives.

        p = interference / diameter / ( (1 + nh) / Eh + (Kr - nr) / Er )
        Kr = (diameter**2 + ring_bore**2) / (diameter**2 - ring_bore**2)

    hub_modulus : one pressure, > 0 [Pa]
        The block's.
    hub_poisson : one number, > 0 to 0.5 [1]
        The block's.
    Returns one pressure, not negative [Pa]
    Refuses (OutOfDomain) a ring without wall, a loose ring, an interference no metal bears.
    Source: contact_pressure with the hub's outside diameter growing without end.

    >>> # by hand: 0.003 / (1.33 / 70000 + (4.55556 - 0.29) / 200000)
    >>> contact_pressure_in_block(0.06e-3, 0.02, 0.016, 200e9, 70e9, 0.29, 0.33) / 1e6
    74.39
    """
    give = (1 + hub_poisson) / hub_modulus + _ring_give(diameter, ring_bore, ring_modulus, ring_poisson)
    return strain_of(interference, diameter) / give


def interference_for_pressure(
    pressure: float,
    diameter: float,
    ring_bore: float,
    hub_od: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """
    The interference, on the diameter, that presses a ring and its hub together with this pressure.

        interference = p * diameter * ( (Kh + nh) / Eh + (Kr - nr) / Er ), Kh and Kr as in contact_pressure

    pressure : one pressure, any [Pa]
        Wanted between the two, or found from the closure of the bore. Not negative.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) a ring or hub without wall, a negative pressure, a pressure no metal bears.
    Source: contact_pressure, solved for the interference.

    >>> # by hand: 60 * 20 * (1.99667 / 70000 + 4.26556 / 200000)
    >>> 1000 * interference_for_pressure(60e6, 0.02, 0.016, 0.04, 200e9, 70e9, 0.29, 0.33)
    0.05982
    """
    give = joint_give(diameter, ring_bore, hub_od, ring_modulus, hub_modulus, ring_poisson, hub_poisson)
    strain = pressing(pressure) * give
    if strain > MOST_STRAIN:
        raise OutOfDomain(
            f"{shown(pressure, PRESSURE)} would take an interference of {_percent(strain)} of the diameter, "
            f"and no metal bears more than {100 * MOST_STRAIN:.3g} % elastically"
        )
    return strain * diameter


def hub_bore_hoop(pressure: float, diameter: float, hub_od: float) -> float:
    """
    The hoop stress in the hub at its bore, the greatest in the hub.

        s = p * (hub_od**2 + diameter**2) / (hub_od**2 - diameter**2)

    Returns one pressure, not negative: tension [Pa]
    Refuses (OutOfDomain) a hub without wall, a negative pressure.
    Source: as contact_pressure.

    >>> hub_bore_hoop(60e6, 0.02, 0.04) / 1e6       # by hand: 60 * (1600 + 400) / (1600 - 400)
    100.0
    """
    return pressing(pressure) * hub_ratio(diameter, hub_od)


def hub_outside_hoop(pressure: float, diameter: float, hub_od: float) -> float:
    """
    The hoop stress in the hub at its outside.

        s = 2 * p * diameter**2 / (hub_od**2 - diameter**2)

    Returns one pressure, not negative: tension [Pa]
    Refuses (OutOfDomain) a hub without wall, a negative pressure.
    Source: as contact_pressure.

    >>> hub_outside_hoop(60e6, 0.02, 0.04) / 1e6    # by hand: 2 * 60 * 400 / (1600 - 400)
    40.0
    """
    # Kh - 1 would lose digits in a wide hub
    q = _share(diameter, hub_od)
    return pressing(pressure) * 2 * q * q / ((1 - q) * (1 + q))


def hub_hoop_at(pressure: float, diameter: float, hub_od: float, at_diameter: float) -> float:
    """
    The hoop stress in the hub on a circle anywhere between bore and outside: at a plug thread, at a stud hole.

        s = p * diameter**2 / (hub_od**2 - diameter**2) * (1 + hub_od**2 / at_diameter**2)

    It is the stress of a hub without that hole; a hole's edge carries more, up to three times.

    at_diameter : one length, > 0 [m]
        Of the circle, from the joint's diameter to the hub's outside.
    Returns one pressure, not negative: tension [Pa]
    Refuses (OutOfDomain) a hub without wall, a circle outside its metal, a negative pressure.
    Source: as contact_pressure; a small hole's factor of three from memory, not looked up.

    >>> hub_hoop_at(60e6, 0.02, 0.04, 0.03) / 1e6   # by hand: 60 * 400 / 1200 * (1 + 1600 / 900)
    55.56
    """
    q = _share(diameter, hub_od)
    _in_the_metal(at_diameter, diameter, hub_od, "the hub")
    out = hub_od / at_diameter
    return pressing(pressure) * q * q / ((1 - q) * (1 + q)) * (1 + out * out)


def ring_bore_hoop(pressure: float, diameter: float, ring_bore: float) -> float:
    """
    The hoop stress in the ring at its bore, the hardest pressed place of the ring.

        s = -2 * p * diameter**2 / (diameter**2 - ring_bore**2)

    ring_bore : one length, > 0 [m]
        However small: at a pinhole it is twice the stress of a solid plug.
    Returns one pressure, not positive: compression [Pa]
    Refuses (OutOfDomain) a ring without wall, a negative pressure.
    Source: as contact_pressure.

    >>> ring_bore_hoop(60e6, 0.02, 0.016) / 1e6     # by hand: -2 * 60 * 400 / (400 - 256)
    -333.33
    """
    k = bore_share(diameter, ring_bore)
    return -2 * pressing(pressure) / ((1 - k) * (1 + k))


def ring_outside_hoop(pressure: float, diameter: float, ring_bore: float) -> float:
    """
    The hoop stress in the ring at its outside, against the hub.

        s = -p * (diameter**2 + ring_bore**2) / (diameter**2 - ring_bore**2)

    Returns one pressure, not positive: compression [Pa]
    Refuses (OutOfDomain) a ring without wall, a negative pressure.
    Source: as contact_pressure.

    >>> ring_outside_hoop(60e6, 0.02, 0.016) / 1e6  # by hand: -60 * (400 + 256) / (400 - 256)
    -273.33
    """
    return -pressing(pressure) * ring_ratio(diameter, ring_bore)


def ring_hoop_at(pressure: float, diameter: float, ring_bore: float, at_diameter: float) -> float:
    """
    The hoop stress in the ring on a circle anywhere between bore and outside.

        s = -p * diameter**2 / (diameter**2 - ring_bore**2) * (1 + ring_bore**2 / at_diameter**2)

    at_diameter : one length, > 0 [m]
        Of the circle, from the ring's bore to the joint's diameter.
    Returns one pressure, not positive: compression [Pa]
    Refuses (OutOfDomain) a ring without wall, a circle outside its metal, a negative pressure.
    Source: as contact_pressure.

    >>> ring_hoop_at(60e6, 0.02, 0.016, 0.018) / 1e6    # by hand: -60 * 400 / 144 * (1 + 256 / 324)
    -298.35
    """
    k = bore_share(diameter, ring_bore)
    _in_the_metal(at_diameter, ring_bore, diameter, "the ring")
    inward = ring_bore / at_diameter
    return -pressing(pressure) / ((1 - k) * (1 + k)) * (1 + inward * inward)


def hub_bore_von_mises(pressure: float, diameter: float, hub_od: float) -> float:
    """
    The stress in the hub at its bore by von Mises: what to hold against the yield of a tension test.

        s = p * sqrt(Kh**2 + Kh + 1), Kh = (hub_od**2 + diameter**2) / (hub_od**2 - diameter**2)

    Hoop tension p * Kh and radial pressure p together, no axial stress. By Tresca it is p * (Kh + 1), up to 15 % more.

    Returns one pressure, not negative [Pa]
    Refuses (OutOfDomain) a hub without wall, a negative pressure.
    Source: Advanced Mechanics of Materials, chapter on failure by yielding; from memory. Stresses as contact_pressure.

    >>> hub_bore_von_mises(60e6, 0.02, 0.04) / 1e6  # by hand: sqrt(100**2 + 100 * 60 + 60**2)
    140.0
    """
    return pressing(pressure) * von_mises_share(diameter, hub_od)


def hub_yield_margin(pressure: float, diameter: float, hub_od: float, hub_yield: float) -> float:
    """
    How many times the hub's yield is above its stress: 1 is where the bore begins to give and grip is lost for good.

        margin = hub_yield / hub_bore_von_mises(pressure, diameter, hub_od)

    pressure : one pressure, any [Pa]
        Between ring and hub at the temperatures in question, above nil.
    hub_yield : one pressure, > 0 [Pa]
        0.2 % proof stress of the hub at its temperature, after the bakes it has had.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) a hub without wall, a pressure of nil or less.
    Source: as hub_bore_von_mises.

    >>> hub_yield_margin(60e6, 0.02, 0.04, 165e6)   # by hand: 165 / 140
    1.179
    """
    return hub_yield / hub_bore_von_mises(_gripping(pressure), diameter, hub_od)


def ring_yield_margin(pressure: float, diameter: float, ring_bore: float, ring_yield: float) -> float:
    """
    How many times the ring's yield is above its stress: 1 is where its bore begins to give.

        margin = ring_yield / -ring_bore_hoop(pressure, diameter, ring_bore)

    At the bore nothing but the hoop stress acts, so von Mises and Tresca agree.

    pressure : one pressure, any [Pa]
        Between ring and hub at the temperatures in question, above nil.
    ring_bore : one length, > 0 [m]
        However small.
    ring_yield : one pressure, > 0 [Pa]
        0.2 % proof stress of the ring at its temperature, in compression where that is known.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) a ring without wall, a pressure of nil or less.
    Source: as contact_pressure.

    >>> ring_yield_margin(60e6, 0.02, 0.016, 800e6)     # by hand: 800 / 333.33
    2.400
    """
    return -ring_yield / ring_bore_hoop(_gripping(pressure), diameter, ring_bore)


def joint_give(
    diameter: float,
    ring_bore: float,
    hub_od: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """Strain of the joint, interference over diameter, for each pascal between its parts [1/Pa]. Refuses bare walls."""
    hub = (hub_ratio(diameter, hub_od) + hub_poisson) / hub_modulus
    return hub + _ring_give(diameter, ring_bore, ring_modulus, ring_poisson)


def hub_ratio(diameter: float, hub_od: float) -> float:
    """Hoop stress at the hub's bore for each pascal of pressure: 1 in a block without end, endless in a film."""
    q = _share(diameter, hub_od)
    return (1 + q * q) / ((1 - q) * (1 + q))


def von_mises_share(diameter: float, hub_od: float) -> float:
    """Stress at the hub's bore by von Mises for each pascal of pressure; at least the square root of 3."""
    ratio = hub_ratio(diameter, hub_od)
    return math.sqrt(ratio * ratio + ratio + 1)


def ring_ratio(diameter: float, ring_bore: float) -> float:
    """Hoop compression at the ring's outside for each pascal of pressure: 1 in a solid plug."""
    k = bore_share(diameter, ring_bore)
    return (1 + k * k) / ((1 - k) * (1 + k))


def bore_share(diameter: float, ring_bore: float) -> float:
    """The ring's bore as a share of its outside, 0 to below 1. Refuses (OutOfDomain) a ring that can't be."""
    if ring_bore < 0:
        raise OutOfDomain(
            f"a ring bore of {shown(ring_bore, LENGTH)} is not a size: a ring thicker than its radius has no bore"
        )
    if ring_bore >= diameter:
        raise OutOfDomain(
            f"a ring of {shown(diameter, LENGTH)} outside with a bore of {shown(ring_bore, LENGTH)} has no wall"
        )
    return ring_bore / diameter


def strain_of(interference: float, diameter: float) -> float:
    """Interference over diameter, 0 to `MOST_STRAIN`. Refuses (OutOfDomain) a loose ring and what no metal bears."""
    if interference < 0:
        raise OutOfDomain(f"a ring {shown(-interference, LENGTH)} loose presses on nothing")
    strain = interference / diameter
    if strain > MOST_STRAIN:
        raise OutOfDomain(
            f"an interference of {shown(interference, LENGTH)} on {shown(diameter, LENGTH)} is {_percent(strain)}, "
            f"and no metal bears more than {100 * MOST_STRAIN:.3g} % elastically"
        )
    return strain


def pressing(pressure: float) -> float:
    """The pressure itself, not negative. Refuses (OutOfDomain) one that would pull."""
    if pressure < 0:
        raise OutOfDomain(
            f"a pressure of {shown(pressure, PRESSURE)} would pull, and two parts can only press"
        )
    return pressure


def _percent(strain: float) -> str:
    return f"{100 * strain:.3g} %" if strain < 100 else "more than 10000 %"


def _gripping(pressure: float) -> float:
    if pressure == 0:
        raise OutOfDomain("nothing presses, so there is no stress to hold against the yield")
    return pressure


def _ring_give(diameter: float, ring_bore: float, modulus: float, poisson: float) -> float:
    return (ring_ratio(diameter, ring_bore) - poisson) / modulus


def _share(diameter: float, hub_od: float) -> float:
    if hub_od <= diameter:
        raise OutOfDomain(
            f"a hub of {shown(hub_od, LENGTH)} outside has no metal around a joint of {shown(diameter, LENGTH)}"
        )
    return diameter / hub_od


def _in_the_metal(at_diameter: float, inside: float, outside: float, part: str) -> None:
    if not inside * (1 - _ON_THE_EDGE) <= at_diameter <= outside * (1 + _ON_THE_EDGE):
        raise OutOfDomain(
            f"a circle of {shown(at_diameter, LENGTH)} is outside the metal of {part}, "
            f"{shown(inside, LENGTH)} to {shown(outside, LENGTH)}"
        )


PRESSURE_ARGUMENT = Argument("pressure", PRESSURE)
DIAMETER = a_size("diameter")
RING_BORE = Argument("ring_bore", LENGTH)
HUB_OD = a_size("hub_od")


def a_stiffness(name: str) -> Argument:
    """A modulus of elasticity, a yield: a pressure above nil."""
    return Argument(name, PRESSURE, above=0.0)


def a_poisson(part: str) -> Argument:
    """Poisson's ratio of a part: 0.5 keeps the volume, and no metal is above it."""
    return Argument(f"{part}_poisson", NUMBER, above=0.0, at_most=0.5, called=f"{part}'s Poisson's ratio")


ELASTIC = (
    a_stiffness("ring_modulus"),
    a_stiffness("hub_modulus"),
    a_poisson("ring"),
    a_poisson("hub"),
)
_INTERFERENCE = Argument("interference", LENGTH)
_HUB = (PRESSURE_ARGUMENT, DIAMETER, HUB_OD)
_RING = (PRESSURE_ARGUMENT, DIAMETER, a_size("ring_bore"))
_AT = a_size("at_diameter", called="circle")

SIGNATURES = (
    Signature(
        "contact_pressure",
        (_INTERFERENCE, DIAMETER, RING_BORE, HUB_OD, *ELASTIC),
        PRESSURE,
        contact_pressure,
    ),
    Signature(
        "contact_pressure_in_block",
        (_INTERFERENCE, DIAMETER, RING_BORE, *ELASTIC),
        PRESSURE,
        contact_pressure_in_block,
    ),
    Signature(
        "interference_for_pressure",
        (PRESSURE_ARGUMENT, DIAMETER, RING_BORE, HUB_OD, *ELASTIC),
        LENGTH,
        interference_for_pressure,
    ),
    Signature("hub_bore_hoop", _HUB, PRESSURE, hub_bore_hoop),
    Signature("hub_outside_hoop", _HUB, PRESSURE, hub_outside_hoop),
    Signature("hub_hoop_at", (*_HUB, _AT), PRESSURE, hub_hoop_at),
    Signature("ring_bore_hoop", _RING, PRESSURE, ring_bore_hoop),
    Signature("ring_outside_hoop", (PRESSURE_ARGUMENT, DIAMETER, RING_BORE), PRESSURE, ring_outside_hoop),
    Signature("ring_hoop_at", (PRESSURE_ARGUMENT, DIAMETER, RING_BORE, _AT), PRESSURE, ring_hoop_at),
    Signature("hub_bore_von_mises", _HUB, PRESSURE, hub_bore_von_mises),
    Signature("hub_yield_margin", (*_HUB, a_stiffness("hub_yield")), NUMBER, hub_yield_margin),
    Signature("ring_yield_margin", (*_RING, a_stiffness("ring_yield")), NUMBER, ring_yield_margin),
)
