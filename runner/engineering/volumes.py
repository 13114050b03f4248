"""Volumes above the piston and what they make of the compression ratio; how much a skim takes and needs to take."""

from __future__ import annotations

import math

from runner.engineering.bounds import not_negative, smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import AREA, LENGTH, NUMBER, VOLUME


def swept_volume(bore: float, stroke: float) -> float:
    """
    What one piston sweeps between its dead centres.

        V = pi / 4 * bore^2 * stroke

    bore : one length, > 0 [m]
    stroke : one length, > 0 [m]
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: Internal Combustion Engine Fundamentals, 1988, 2.2. From memory.

    >>> 1e6 * swept_volume(95e-3, 70.4e-3)          # by hand
    499.01
    """
    return bore_area(bore) * stroke


def bore_area(bore: float) -> float:
    """
    Area of a round opening.

        A = pi / 4 * bore^2

    bore : one length, > 0 [m]
    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1e6 * bore_area(95e-3)                      # by hand
    7088.2
    """
    return math.pi / 4 * bore * bore


def gasket_volume(gasket_bore: float, thickness: float) -> float:
    """
    Volume inside a gasket's opening, squeezed as it is in service.

        V = pi / 4 * gasket_bore^2 * thickness

    gasket_bore : one length, > 0 [m]
    thickness : one length, > 0 [m]
        Squeezed.
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1e6 * gasket_volume(96e-3, 0.8e-3)          # by hand
    5.790
    """
    return bore_area(gasket_bore) * thickness


def deck_volume(bore: float, deck: float) -> float:
    """
    Volume between the piston's rim at top dead centre and the barrel's face; below zero the piston stands proud.

        V = pi / 4 * bore^2 * deck

    bore : one length, > 0 [m]
    deck : one length, any [m]
        Depth of the piston under the face; below zero it stands above.
    Returns one volume, of either sign [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1e6 * deck_volume(95e-3, 0.5e-3)            # by hand
    3.544
    """
    return bore_area(bore) * deck


def cap_volume(diameter: float, height: float) -> float:
    """
    Volume of a ball's cap: a dome or a dish of a piston crown, or a plain chamber.

        V = pi * h / 6 * (3 * (d / 2)^2 + h^2)

    diameter : one length, > 0 [m]
        Of the rim.
    height : one length, > 0 [m]
        From rim to crown.
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry of the sphere; half a ball is its limit.

    >>> 1e6 * cap_volume(20e-3, 10e-3)              # half a ball of 10 mm radius: 2/3 * pi
    2.0944
    """
    radius = diameter / 2
    return math.pi * height / 6 * (3 * radius * radius + height * height)


def clearance_volume(chamber: float, gasket: float, deck: float, dome: float) -> float:
    """
    All that is left above the piston at top dead centre.

        V = chamber + gasket + deck - dome

    chamber : one volume, > 0 [m**3]
        Of the head, plug and valves in.
    gasket : one volume, any [m**3]
        0 where there is none.
    deck : one volume, any [m**3]
        Below zero for a piston that stands proud.
    dome : one volume, any [m**3]
        What the crown stands above its rim; below zero for a dish.
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) a gasket below zero and a dome that fills the chamber.
    Source: Internal Combustion Engine Fundamentals, 1988, 2.2. From memory.

    >>> 1e6 * clearance_volume(58e-6, 5.8e-6, 3.5e-6, 2.3e-6)   # by hand
    65.0
    """
    not_negative("gasket volume", gasket, VOLUME)
    left = chamber + gasket + deck - dome
    if left <= 0:
        raise OutOfDomain(
            "the piston's crown fills the whole chamber and more: nothing is left at top dead centre"
        )
    return left


def compression_ratio(swept: float, clearance: float) -> float:
    """
    Largest volume above the piston over the smallest.

        ratio = (swept + clearance) / clearance

    swept : one volume, > 0 [m**3]
        What one piston sweeps between its dead centres.
    clearance : one volume, > 0 [m**3]
        Chamber, gasket, deck and crown together, at top dead centre.
    Returns one number, > 1 [1]; 10.5 means 10.5:1.
    Refuses (OutOfDomain) by its signature only.
    Source: Internal Combustion Engine Fundamentals, 1988, eq. (2.1). From memory.

    >>> compression_ratio(500e-6, 50e-6)            # by hand: 550 / 50
    11.000
    """
    return (swept + clearance) / clearance


def clearance_for_ratio(swept: float, ratio: float) -> float:
    """
    The volume above the piston at top dead centre that gives a wanted ratio.

        clearance = swept / (ratio - 1)

    swept : one volume, > 0 [m**3]
    ratio : one number, > 1 [1]
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: compression_ratio, solved for the clearance.

    >>> 1e6 * clearance_for_ratio(500e-6, 11.0)     # by hand: 500 / 10
    50.0
    """
    return swept / (ratio - 1)


def skim_volume(area: float, cut: float) -> float:
    """
    What a skim takes from the chamber.

        V = area * cut

    area : one area, > 0 [m**2]
        Of the chamber in the face that is cut, over the depth of the cut: the whole bore where the face is outside it.
    cut : one length, > 0 [m]
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1e6 * skim_volume(7088.2e-6, 0.1e-3)        # by hand: 0.10 mm on 95 mm is 0.71 cc
    0.709
    """
    return area * cut


def skim_for_volume(chamber: float, wanted: float, area: float) -> float:
    """
    The skim that brings a chamber down to a wanted volume; below zero it is already smaller.

        cut = (chamber - wanted) / area

    chamber : one volume, > 0 [m**3]
        As measured.
    wanted : one volume, > 0 [m**3]
    area : one area, > 0 [m**2]
        Of the chamber in the face.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * skim_for_volume(58.7e-6, 58.0e-6, 7000e-6)       # by hand: 0.7 / 7
    0.1
    """
    return (chamber - wanted) / area


def skim_for_ratio(swept: float, clearance: float, ratio: float, area: float) -> float:
    """
    The skim that brings an engine to a wanted compression ratio; below zero it is already higher.

        cut = (clearance - swept / (ratio - 1)) / area

    swept : one volume, > 0 [m**3]
    clearance : one volume, > 0 [m**3]
        Above the piston at top dead centre, before.
    ratio : one number, > 1 [1]
    area : one area, > 0 [m**2]
        Of the chamber in the face.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: compression_ratio, solved for the cut.

    >>> 1000 * skim_for_ratio(500e-6, 50.7e-6, 11.0, 7000e-6)   # by hand: 0.7 / 7
    0.1
    """
    return (clearance - clearance_for_ratio(swept, ratio)) / area


def ratio_after_skim(swept: float, clearance: float, area: float, cut: float) -> float:
    """
    The compression ratio once a skim has been taken.

        ratio = (swept + clearance - area * cut) / (clearance - area * cut)

    swept : one volume, > 0 [m**3]
    clearance : one volume, > 0 [m**3]
        Before.
    area : one area, > 0 [m**2]
        Of the chamber in the face.
    cut : one length, > 0 [m]
    Returns one number, > 1 [1]
    Refuses (OutOfDomain) a cut that takes the whole chamber.
    Source: compression_ratio and skim_volume together.

    >>> ratio_after_skim(500e-6, 50.7e-6, 7000e-6, 0.1e-3)      # skim_for_ratio's example
    11.0
    """
    left = clearance - area * cut
    if left <= 0:
        raise OutOfDomain(f"a skim of {shown(cut, LENGTH)} takes the whole chamber")
    return compression_ratio(swept, left)


def sink_volume(head_diameter: float, sink: float) -> float:
    """
    What a chamber gains when a valve sinks into it.

        V = pi / 4 * head_diameter^2 * sink

    head_diameter : one length, > 0 [m]
        Of the valve's head.
    sink : one length, > 0 [m]
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry; the ring of chamber wall that a deep seat cuts away is not in it.

    >>> 1e6 * sink_volume(40e-3, 0.5e-3)            # by hand
    0.628
    """
    return bore_area(head_diameter) * sink


def ring_volume(outer: float, inner: float, thickness: float) -> float:
    """
    Volume of a flat ring: a shim under a barrel, or a step around a chamber.

        V = pi / 4 * (outer^2 - inner^2) * thickness

    outer : one length, > 0 [m]
    inner : one length, > 0 [m]
    thickness : one length, > 0 [m]
    Returns one volume, > 0 [m**3]
    Refuses (OutOfDomain) an inner diameter that is not below the outer one.
    Source: geometry, by hand.

    >>> 1e6 * ring_volume(100e-3, 95e-3, 1e-3)      # by hand: pi / 4 * 975 mm3
    0.7658
    """
    smaller("inner diameter", inner, "outer diameter", outer, LENGTH)
    return math.pi / 4 * (outer + inner) * (outer - inner) * thickness


_BORE = a_size("bore")
_SWEPT, _CLEARANCE = Argument("swept", VOLUME, 0.0), Argument("clearance", VOLUME, 0.0)
_CHAMBER, _AREA, _CUT = Argument("chamber", VOLUME, 0.0), Argument("area", AREA, 0.0), a_size("cut")
_RATIO = Argument("ratio", NUMBER, 1.0)

SIGNATURES = (
    Signature("swept_volume", (_BORE, a_size("stroke")), VOLUME, swept_volume),
    Signature("bore_area", (_BORE,), AREA, bore_area),
    Signature("gasket_volume", (a_size("gasket_bore"), a_size("thickness")), VOLUME, gasket_volume),
    Signature("deck_volume", (_BORE, Argument("deck", LENGTH)), VOLUME, deck_volume),
    Signature("cap_volume", (a_size("diameter"), a_size("height")), VOLUME, cap_volume),
    Signature(
        "clearance_volume",
        (_CHAMBER, Argument("gasket", VOLUME), Argument("deck", VOLUME), Argument("dome", VOLUME)),
        VOLUME,
        clearance_volume,
    ),
    Signature("compression_ratio", (_SWEPT, _CLEARANCE), NUMBER, compression_ratio),
    Signature("clearance_for_ratio", (_SWEPT, _RATIO), VOLUME, clearance_for_ratio),
    Signature("skim_volume", (_AREA, _CUT), VOLUME, skim_volume),
    Signature("skim_for_volume", (_CHAMBER, Argument("wanted", VOLUME, 0.0), _AREA), LENGTH, skim_for_volume),
    Signature("skim_for_ratio", (_SWEPT, _CLEARANCE, _RATIO, _AREA), LENGTH, skim_for_ratio),
    Signature("ratio_after_skim", (_SWEPT, _CLEARANCE, _AREA, _CUT), NUMBER, ratio_after_skim),
    Signature("sink_volume", (a_size("head_diameter"), a_size("sink")), VOLUME, sink_volume),
    Signature(
        "ring_volume",
        (
            a_size("outer", called="outer diameter"),
            a_size("inner", called="inner diameter"),
            a_size("thickness"),
        ),
        VOLUME,
        ring_volume,
    ),
)
