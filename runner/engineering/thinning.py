"""An old ring bored thinner from inside: the grip it still has, the stress at its bore, the wall at which it yields.

Thick-ring equations, plane stress, both parts elastic, all at one temperature; the hub is taken as a full ring of an
equivalent outside diameter. What yields hot stays loose: use yield and interference of the hottest even state.

Said once for all functions here:

interference : one length, > 0 [m]
    On the diameter, as it was fitted, at the temperature in question.
ring_od : one length, > 0 [m]
hub_od : one length, > 0 [m]
    Equivalent outside diameter of the metal around the ring.
ring_modulus : one pressure, > 0 [Pa]
ring_poisson : one number, > 0 to 0.5 [1]
hub_modulus : one pressure, > 0 [Pa]
hub_poisson : one number, > 0 to 0.5 [1]
"""

from __future__ import annotations

import math

from runner.engineering.bounds import smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import LENGTH, NUMBER, PRESSURE

_MOST_POISSON = 0.5
# rubber's; a metal has 0.25 to 0.36


def thinned_ring_pressure(
    interference: float,
    ring_od: float,
    wall: float,
    hub_od: float,
    ring_modulus: float,
    ring_poisson: float,
    hub_modulus: float,
    hub_poisson: float,
) -> float:
    """
    Contact pressure that a ring keeps when only a wall of it is left.

        p = e / (C_h + ((1 + k^2) / (1 - k^2) - v_r) / E_r),   e = interference / ring_od,   k = 1 - 2 * wall / ring_od
        C_h = ((1 + q^2) / (1 - q^2) + v_h) / E_h,   q = ring_od / hub_od

    wall : one length, > 0 [m]
        Left, radially; half the diameter is a solid plug.
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) a wall thicker than the ring's radius and a hub no larger than the ring.
    Source: Advanced Strength and Applied Elasticity, chapter 8, compound cylinders.

    >>> # 150/200/250 mm, 0.2 mm on the diameter, 200 GPa: its example 3, p. 243, prints 12.3 MPa
    >>> thinned_ring_pressure(0.2e-3, 0.4, 0.05, 0.5, 200e9, 0.3, 200e9, 0.3) / 1e6
    12.3
    """
    return (
        interference
        / ring_od
        / _give(ring_od, wall, hub_od, ring_modulus, ring_poisson, hub_modulus, hub_poisson)
    )


def thinned_ring_stress(
    interference: float,
    ring_od: float,
    wall: float,
    hub_od: float,
    ring_modulus: float,
    ring_poisson: float,
    hub_modulus: float,
    hub_poisson: float,
) -> float:
    """
    Hoop stress at the bore of a thinned ring, where it is greatest; pressed together, given without its sign.

        s = 2 * p / (1 - k^2),   p and k as in thinned_ring_pressure

    wall : one length, > 0 [m]
        Left, radially.
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) a wall thicker than the ring's radius, a solid plug, and a hub no larger than the ring.
    Source: Advanced Strength and Applied Elasticity, chapter 8, compound cylinders.

    >>> # the same compound cylinder: 56.2 MPa at 150 mm, its own p = 12.3
    >>> thinned_ring_stress(0.2e-3, 0.4, 0.05, 0.5, 200e9, 0.3, 200e9, 0.3) / 1e6
    56.2
    """
    pressure = thinned_ring_pressure(
        interference, ring_od, wall, hub_od, ring_modulus, ring_poisson, hub_modulus, hub_poisson
    )
    if 2 * wall >= ring_od:
        raise OutOfDomain("a solid plug has no bore, and so no stress there")
    return 2 * pressure / _ring_share(ring_od, wall)


def wall_at_yield(
    interference: float,
    ring_od: float,
    hub_od: float,
    ring_modulus: float,
    ring_poisson: float,
    hub_modulus: float,
    hub_poisson: float,
    ring_yield: float,
) -> float:
    """
    The wall at which a ring bored from inside yields at its bore: there it lets go for good.

        k^2 = (C_h + (1 - v_r) / E_r - 2 * e / S) / (C_h - (1 + v_r) / E_r),   wall = ring_od * (1 - k) / 2

    ring_yield : one pressure, > 0 [Pa]
        S, at the same temperature.
    Returns one length, > 0 [m]; thinner walls have yielded.
    Refuses (OutOfDomain) a hub no larger than the ring or so stiff that thinning takes stress off the ring, a ring that
    never yields however thin, and one that yields as soon as it has a bore.
    Source: thinned_ring_stress put equal to the yield and solved; uniaxial at the bore.

    >>> # the same compound cylinder, yielding at 56.25 MPa: 50 mm of wall
    >>> 1000 * wall_at_yield(0.2e-3, 0.4, 0.5, 200e9, 0.3, 200e9, 0.3, 56.25e6)
    50.00
    """
    strain = interference / ring_od
    hub = _hub_give(ring_od, hub_od, hub_modulus, hub_poisson)
    falls = hub - (1 + ring_poisson) / ring_modulus
    if falls <= 0:
        raise OutOfDomain(
            "the hub is stiffer than the ring, so thinning takes stress off the ring instead of adding it"
        )
    most = ring_modulus * strain
    if most <= ring_yield:
        raise OutOfDomain(
            f"this ring never yields, however thin: a wall of nothing carries {shown(most, PRESSURE)}, and it yields "
            f"at {shown(ring_yield, PRESSURE)}"
        )
    bore_share = (hub + (1 - ring_poisson) / ring_modulus - 2 * strain / ring_yield) / falls
    if bore_share <= 0:
        raise OutOfDomain(
            "this ring yields as soon as it has a bore: the fit is beyond its strength at any wall"
        )
    return ring_od * (1 - math.sqrt(bore_share)) / 2


def free_ring_buckling(modulus: float, wall: float, ring_od: float) -> float:
    """
    Outside pressure at which a thin ring standing free buckles; a pocket around it holds it to more.

        p = E * t^3 / (4 * R^3),   R the mean radius

    modulus : one pressure, > 0 [Pa]
    wall : one length, > 0 [m]
        t.
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) a wall of a fifth of the mean radius or more: that ring is not thin.
    Source: Theory of Elastic Stability, ring under uniform pressure, 3 E I / R^3. From memory.

    >>> free_ring_buckling(200e9, 1e-3, 40e-3) / 1e6            # by hand: 50 GPa / 19.5^3
    6.743
    """
    radius = (ring_od - wall) / 2
    if wall >= radius / 5:
        raise OutOfDomain(
            f"a wall of {shown(wall, LENGTH)} in a ring of {shown(ring_od, LENGTH)} is not thin: it is crushed before "
            "it buckles"
        )
    return modulus / 4 * (wall / radius) ** 3


def _ring_share(ring_od: float, wall: float) -> float:
    """1 - k^2, worked so that a thin wall is not the difference of two ones."""
    thin = 2 * wall / ring_od
    return thin * (2 - thin)


def _hub_give(ring_od: float, hub_od: float, modulus: float, poisson: float) -> float:
    smaller("ring OD", ring_od, "hub OD", hub_od, LENGTH)
    square = (ring_od / hub_od) ** 2
    return ((1 + square) / (1 - square) + poisson) / modulus


def _give(
    ring_od: float,
    wall: float,
    hub_od: float,
    ring_modulus: float,
    ring_poisson: float,
    hub_modulus: float,
    hub_poisson: float,
) -> float:
    if 2 * wall > ring_od:
        raise OutOfDomain(
            f"a wall of {shown(wall, LENGTH)} is thicker than the radius of a ring of {shown(ring_od, LENGTH)}"
        )
    share = _ring_share(ring_od, wall)
    ring = ((2 - share) / share - ring_poisson) / ring_modulus
    return ring + _hub_give(ring_od, hub_od, hub_modulus, hub_poisson)


def _poisson(name: str) -> Argument:
    return Argument(name, NUMBER, 0.0, _MOST_POISSON, called=f"Poisson's ratio of the {name.split('_')[0]}")


_INTERFERENCE, _RING, _WALL, _HUB = (
    a_size("interference"),
    a_size("ring_od"),
    a_size("wall"),
    a_size("hub_od"),
)
_METALS = (
    Argument("ring_modulus", PRESSURE, 0.0),
    _poisson("ring_poisson"),
    Argument("hub_modulus", PRESSURE, 0.0),
    _poisson("hub_poisson"),
)

SIGNATURES = (
    Signature(
        "thinned_ring_pressure",
        (_INTERFERENCE, _RING, _WALL, _HUB, *_METALS),
        PRESSURE,
        thinned_ring_pressure,
    ),
    Signature(
        "thinned_ring_stress", (_INTERFERENCE, _RING, _WALL, _HUB, *_METALS), PRESSURE, thinned_ring_stress
    ),
    Signature(
        "wall_at_yield",
        (_INTERFERENCE, _RING, _HUB, *_METALS, Argument("ring_yield", PRESSURE, 0.0)),
        LENGTH,
        wall_at_yield,
    ),
    Signature(
        "free_ring_buckling", (Argument("modulus", PRESSURE, 0.0), _WALL, _RING), PRESSURE, free_ring_buckling
    ),
)
