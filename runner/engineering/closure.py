"""How far a tight joint closes the ring's bore and swells the hub: what can be measured to prove that a ring grips.

Measure the ring's bore before it goes in and again when all is cold, before any cut in the ring. Sizes at 20 °C; for the
same two readings at another temperature bring both to 20 °C first. Elastic and round, as in `interference`.

Said once for all functions here:

pressure : one pressure, any [Pa]
    Between ring and hub, not negative.
diameter : one length, > 0 [m]
    Of the joint.
ring_bore : one length, > 0 [m]
    Before fitting, where it is measured.
ring_modulus : one pressure, > 0 [Pa]
    The ring's modulus of elasticity.
"""

from __future__ import annotations

from runner.engineering.interference import (
    DIAMETER,
    ELASTIC,
    HUB_OD,
    PRESSURE_ARGUMENT,
    a_stiffness,
    bore_share,
    contact_pressure,
    hub_outside_hoop,
    ring_bore_hoop,
)
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import LENGTH, PRESSURE


def bore_closure(pressure: float, diameter: float, ring_bore: float, ring_modulus: float) -> float:
    """
    How much smaller the ring's bore becomes under the pressure on its outside, on the diameter.

        closure = 2 * p * diameter**2 * ring_bore / ( (diameter**2 - ring_bore**2) * Er )

    Returns one length, not negative [m]
    Refuses (OutOfDomain) a ring without wall, a negative pressure.
    Source: Advanced Strength and Applied Elasticity, chapter 8: at a free bore the hoop strain is the hoop stress over
    the modulus.

    >>> 1000 * bore_closure(60e6, 0.02, 0.016, 200e9)   # by hand: 333.33 MPa / 200000 MPa * 16 mm
    0.02667
    """
    return -ring_bore_hoop(pressure, diameter, ring_bore) / ring_modulus * ring_bore


def expected_bore_closure(
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
    How much smaller the ring's bore should measure once it is tight in its hub, on the diameter.

        closure = bore_closure(contact_pressure(interference, ...), ...)

    Less than this shows a ring that isn't round, not home, in a hub softer than thought, or in metal that has yielded.

    interference : one length, any [m]
        On the diameter at 20 °C. Nil gives no closure; a loose ring and more than 2 % of the diameter are refused.
    hub_od : one length, > 0 [m]
        Outside diameter of the metal around the joint; for a head an equivalent one.
    hub_modulus : one pressure, > 0 [Pa]
        The hub's.
    ring_poisson : one number, > 0 to 0.5 [1]
        The ring's Poisson's ratio.
    hub_poisson : one number, > 0 to 0.5 [1]
        The hub's.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) what contact_pressure refuses.
    Source: as bore_closure and contact_pressure.

    >>> # by hand: 60.17 MPa gives 334.28 MPa at the bore, over 200000 MPa, times 16 mm
    >>> 1000 * expected_bore_closure(0.06e-3, 0.02, 0.016, 0.04, 200e9, 70e9, 0.29, 0.33)
    0.02674
    """
    pressure = contact_pressure(
        interference, diameter, ring_bore, hub_od, ring_modulus, hub_modulus, ring_poisson, hub_poisson
    )
    return bore_closure(pressure, diameter, ring_bore, ring_modulus)


def pressure_from_closure(closure: float, diameter: float, ring_bore: float, ring_modulus: float) -> float:
    """
    The pressure that holds the ring, from how much its bore has closed: the grip as measured, whatever the hub is.

        p = closure * (diameter**2 - ring_bore**2) * Er / ( 2 * diameter**2 * ring_bore )

    closure : one length, any [m]
        Bore before fitting less bore after, on the diameter. Not negative.
    Returns one pressure, not negative [Pa]
    Refuses (OutOfDomain) a ring without wall, a bore that grew.
    Source: bore_closure, solved for the pressure.

    >>> # by hand: 0.02667 / 16 * 200000 * (400 - 256) / 800
    >>> pressure_from_closure(0.02667e-3, 0.02, 0.016, 200e9) / 1e6
    60.01
    """
    k = bore_share(diameter, ring_bore)
    if closure < 0:
        raise OutOfDomain(
            f"the bore grew by {shown(-closure, LENGTH)}, and no pressure around a ring does that"
        )
    return closure / ring_bore * ring_modulus * (1 - k) * (1 + k) / 2


def hub_growth(pressure: float, diameter: float, hub_od: float, hub_modulus: float) -> float:
    """
    How much larger the hub's outside becomes under the pressure in its bore, on the diameter.

        growth = 2 * p * diameter**2 * hub_od / ( (hub_od**2 - diameter**2) * Eh )

    hub_od : one length, > 0 [m]
        Outside diameter of the hub.
    hub_modulus : one pressure, > 0 [Pa]
        The hub's modulus of elasticity.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) a hub without wall, a negative pressure.
    Source: as bore_closure, at the hub's free outside.

    >>> 1000 * hub_growth(60e6, 0.02, 0.04, 70e9)       # by hand: 40 MPa / 70000 MPa * 40 mm
    0.02286
    """
    return hub_outside_hoop(pressure, diameter, hub_od) / hub_modulus * hub_od


_RING = (DIAMETER, a_size("ring_bore"), a_stiffness("ring_modulus"))

SIGNATURES = (
    Signature("bore_closure", (PRESSURE_ARGUMENT, *_RING), LENGTH, bore_closure),
    Signature(
        "expected_bore_closure",
        (Argument("interference", LENGTH), DIAMETER, a_size("ring_bore"), HUB_OD, *ELASTIC),
        LENGTH,
        expected_bore_closure,
    ),
    Signature(
        "pressure_from_closure", (Argument("closure", LENGTH), *_RING), PRESSURE, pressure_from_closure
    ),
    Signature(
        "hub_growth", (PRESSURE_ARGUMENT, DIAMETER, HUB_OD, a_stiffness("hub_modulus")), LENGTH, hub_growth
    ),
)
