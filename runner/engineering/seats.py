"""A valve seat as three cones: what each cut does to its diameters and width, where the valve sinks, what flows past.

Angles are measured from the head's plane, as on the cutter's box: the seat 45 or 30, the top cut flatter, the throat cut
steeper. All cones are taken true to one axis. A cut is how far a cutter goes down along that axis.

Said once for all functions here:

seat_angle : one angle, > 0 to 1.5533430342749532 [rad]
width : one length, > 0 [m]
    Along the cone.
seat_cut : one length, any [m]
    How far the seat cutter goes down.
top_angle : one angle, any [rad]
    0 for a flat face.
face_angle : one angle, > 0 to 1.5533430342749532 [rad]
"""

from __future__ import annotations

import math

from runner.engineering.bounds import not_negative, smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import ANGLE, AREA, LENGTH, NUMBER

_STEEPEST = math.radians(89)
# a steeper seat would be a bore

_UPRIGHT = math.radians(90)
# a throat cut straight down


def width_of_seat(outer: float, inner: float, seat_angle: float) -> float:
    """
    Width of a seat measured along its cone, from its two diameters.

        w = (outer - inner) / (2 * cos(seat_angle))

    outer : one length, > 0 [m]
        Where seat and top cut meet.
    inner : one length, > 0 [m]
        Where seat and throat cut meet.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) an inner diameter that is not below the outer one.
    Source: geometry of a cone, by hand.

    >>> 1000 * width_of_seat(42.121e-3, 40.0e-3, math.radians(45))         # by hand: 2.121 / 1.41421
    1.4998
    """
    smaller("inner diameter", inner, "outer diameter", outer, LENGTH)
    return (outer - inner) / (2 * math.cos(seat_angle))


def height_of_seat(width: float, seat_angle: float) -> float:
    """
    How far a seat reaches down the axis, from its width along the cone.

        h = w * sin(seat_angle)

    width : one length, > 0 [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry of a cone, by hand.

    >>> 1000 * height_of_seat(1.5e-3, math.radians(30))            # by hand: half
    0.75
    """
    return width * math.sin(seat_angle)


def outer_for_width(inner: float, width: float, seat_angle: float) -> float:
    """
    Outer diameter a seat has when its inner one and its width are given.

        outer = inner + 2 * w * cos(seat_angle)

    inner : one length, > 0 [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: width_of_seat, solved for the diameter.

    >>> 1000 * outer_for_width(40.0e-3, 1.5e-3, math.radians(45))       # by hand: 40 + 2.121
    42.121
    """
    return inner + 2 * width * math.cos(seat_angle)


def inner_for_width(outer: float, width: float, seat_angle: float) -> float:
    """
    Inner diameter a seat has when its outer one and its width are given.

        inner = outer - 2 * w * cos(seat_angle)

    outer : one length, > 0 [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a width that reaches past the axis.
    Source: width_of_seat, solved for the diameter.

    >>> 1000 * inner_for_width(42.121e-3, 1.5e-3, math.radians(45))     # by hand: 42.121 - 2.121
    40.000
    """
    inner = outer - 2 * width * math.cos(seat_angle)
    if inner <= 0:
        raise OutOfDomain(
            f"a seat {shown(width, LENGTH)} wide inside {shown(outer, LENGTH)} would reach past its own axis"
        )
    return inner


def seat_contact_diameter(outer: float, inner: float) -> float:
    """
    Diameter of the middle of a seat, on which valve and seat are taken to meet.

        contact = (outer + inner) / 2

    outer : one length, > 0 [m]
    inner : one length, > 0 [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) an inner diameter that is not below the outer one.
    Source: geometry, by hand.

    >>> 1000 * seat_contact_diameter(42e-3, 40e-3)       # by hand
    41.0
    """
    smaller("inner diameter", inner, "outer diameter", outer, LENGTH)
    return (outer + inner) / 2


def crossing_diameter(
    flatter_diameter: float, steeper_diameter: float, flatter_angle: float, steeper_angle: float
) -> float:
    """
    Diameter of the edge where two cuts meet, from the diameter each has at one height, such as the ring's face.

        D = (D1 * tan(a1) - D2 * tan(a2)) / (tan(a1) - tan(a2))

    flatter_diameter : one length, > 0 [m]
        Of the flatter cut, at the height chosen.
    steeper_diameter : one length, > 0 [m]
        Of the steeper cut, at the same height.
    flatter_angle : one angle, > 0 to 1.5533430342749532 [rad]
    steeper_angle : one angle, > 0 to 1.5707963267948966 [rad]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) angles that are not flatter and steeper, and cuts that never meet below that height.
    Source: geometry of two cones on one axis, by hand.

    >>> # 30 and 45 degrees, 44 and 42 mm at the face; by hand (44 * 0.57735 - 42) / (0.57735 - 1)
    >>> 1000 * crossing_diameter(44e-3, 42e-3, math.radians(30), math.radians(45))
    39.268
    """
    smaller("flatter angle", flatter_angle, "steeper angle", steeper_angle, ANGLE)
    # in cotangents, so that a cut straight down is no special case
    flat, steep = _cotangent(flatter_angle), _cotangent(steeper_angle)
    across = (steeper_diameter * flat - flatter_diameter * steep) / (flat - steep)
    if across <= 0 or flatter_diameter < steeper_diameter:
        raise OutOfDomain(
            f"a flat cut of {shown(flatter_diameter, LENGTH)} and a steep one of "
            f"{shown(steeper_diameter, LENGTH)} never meet below that height"
        )
    return across


def outer_growth(seat_cut: float, top_cut: float, seat_angle: float, top_angle: float) -> float:
    """
    By how much the seat's outer diameter grows when seat and top cutters go down; a top cut takes it back.

        growth = 2 * (seat_cut - top_cut) / (tan(seat_angle) - tan(top_angle))

    top_cut : one length, any [m]
        How far the top cutter goes down; 0 if it stays off.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) cuts below zero and a top angle that is not flatter than the seat.
    Source: geometry of two cones on one axis, by hand.

    >>> 1000 * outer_growth(0.1e-3, 0.0, math.radians(45), math.radians(30))    # by hand: 0.2 / 0.42265
    0.4732
    """
    _no_cut_below_zero(seat_cut, top_cut)
    not_negative("top angle", top_angle, ANGLE)
    smaller("top angle", top_angle, "seat angle", seat_angle, ANGLE)
    return 2 * (seat_cut - top_cut) / (math.tan(seat_angle) - math.tan(top_angle))


def inner_growth(seat_cut: float, throat_cut: float, seat_angle: float, throat_angle: float) -> float:
    """
    By how much the seat's inner diameter grows when seat and throat cutters go down; the seat cut makes it smaller.

        growth = 2 * (throat_cut - seat_cut) / (tan(throat_angle) - tan(seat_angle))

    throat_cut : one length, any [m]
        How far the throat cutter goes down; 0 if it stays off. Straight down, at 90 degrees, it changes nothing.
    throat_angle : one angle, > 0 to 1.5707963267948966 [rad]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) cuts below zero and a throat angle that is not steeper than the seat.
    Source: geometry of two cones on one axis, by hand.

    >>> 1000 * inner_growth(0.1e-3, 0.0, math.radians(45), math.radians(60))    # by hand: -0.2 / 0.73205
    -0.2732
    """
    _no_cut_below_zero(seat_cut, throat_cut)
    smaller("seat angle", seat_angle, "throat angle", throat_angle, ANGLE)
    seat, throat = _cotangent(seat_angle), _cotangent(throat_angle)
    return 2 * (throat_cut - seat_cut) * seat * throat / (seat - throat)


def width_growth(
    seat_cut: float,
    top_cut: float,
    throat_cut: float,
    seat_angle: float,
    top_angle: float,
    throat_angle: float,
) -> float:
    """
    By how much a seat widens when its three cutters go down: the seat cut widens it, the other two narrow it.

        growth = (outer_growth - inner_growth) / (2 * cos(seat_angle))

    seat_cut : one length, any [m]
    top_cut : one length, any [m]
        0 if it stays off.
    throat_cut : one length, any [m]
        0 if it stays off.
    throat_angle : one angle, > 0 to 1.5707963267948966 [rad]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) cuts below zero and angles that don't rise from top to seat to throat.
    Source: geometry of three cones on one axis, by hand.

    >>> # a tenth deeper at 45/30/60 widens it by half a millimetre
    >>> 1000 * width_growth(0.1e-3, 0.0, 0.0, math.radians(45), math.radians(30), math.radians(60))
    0.528
    """
    outer = outer_growth(seat_cut, top_cut, seat_angle, top_angle)
    inner = inner_growth(seat_cut, throat_cut, seat_angle, throat_angle)
    return (outer - inner) / (2 * math.cos(seat_angle))


def contact_growth(
    seat_cut: float,
    top_cut: float,
    throat_cut: float,
    seat_angle: float,
    top_angle: float,
    throat_angle: float,
) -> float:
    """
    By how much the contact diameter of a seat grows when its three cutters go down; added to seat_contact_diameter.

        growth = (outer_growth + inner_growth) / 2

    seat_cut : one length, any [m]
    top_cut : one length, any [m]
        0 if it stays off.
    throat_cut : one length, any [m]
        0 if it stays off.
    throat_angle : one angle, > 0 to 1.5707963267948966 [rad]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) cuts below zero and angles that don't rise from top to seat to throat.
    Source: geometry of three cones on one axis, by hand.

    >>> # a tenth deeper at 45/30/60; by hand (0.4732 - 0.2732) / 2
    >>> 1000 * contact_growth(0.1e-3, 0.0, 0.0, math.radians(45), math.radians(30), math.radians(60))
    0.1000
    """
    outer = outer_growth(seat_cut, top_cut, seat_angle, top_angle)
    return (outer + inner_growth(seat_cut, throat_cut, seat_angle, throat_angle)) / 2


def top_cut_for(reduction: float, seat_angle: float, top_angle: float) -> float:
    """
    How far the top cutter has to go down to take the seat's outer diameter in by a wanted amount.

        cut = reduction / 2 * (tan(seat_angle) - tan(top_angle))

    reduction : one length, > 0 [m]
        Of the outer diameter.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a top angle that is not flatter than the seat.
    Source: outer_growth, solved for the top cut.

    >>> 1000 * top_cut_for(0.4732e-3, math.radians(45), math.radians(30))       # outer_growth's example
    0.1000
    """
    return reduction / outer_growth(1.0, 0.0, seat_angle, top_angle)


def throat_cut_for(enlargement: float, seat_angle: float, throat_angle: float) -> float:
    """
    How far the throat cutter has to go down to open the seat's inner diameter by a wanted amount.

        cut = enlargement / 2 * (tan(throat_angle) - tan(seat_angle))

    enlargement : one length, > 0 [m]
        Of the inner diameter.
    throat_angle : one angle, > 0 to 1.5533430342749532 [rad]
        A cut straight down never opens it.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a throat angle that is not steeper than the seat.
    Source: inner_growth, solved for the throat cut.

    >>> 1000 * throat_cut_for(0.2732e-3, math.radians(45), math.radians(60))    # inner_growth's example
    0.1000
    """
    return enlargement / inner_growth(0.0, 1.0, seat_angle, throat_angle)


def sink_of_cuts(seat_cut: float, face_removed: float, face_angle: float) -> float:
    """
    How far a valve sinks, and its stem rises, when seat and valve face are cut.

        sink = seat_cut + face_removed / cos(face_angle)

    seat_cut : one length, any [m]
        How far the seat cutter went down.
    face_removed : one length, any [m]
        Ground off the valve's face, square to the face; 0 if none.
    Returns one length, 0 and up [m]
    Refuses (OutOfDomain) cuts below zero.
    Source: geometry of a cone, by hand.

    >>> 1000 * sink_of_cuts(0.10e-3, 0.05e-3, math.radians(45))           # by hand: 0.10 + 0.05 * 1.41421
    0.1707
    """
    _no_cut_below_zero(seat_cut, face_removed)
    return seat_cut + face_removed / math.cos(face_angle)


def sink_of_enlargement(enlargement: float, seat_angle: float) -> float:
    """
    How far a valve sinks when its seat grew by so much in diameter at one height.

        sink = enlargement / 2 * tan(seat_angle)

    enlargement : one length, > 0 [m]
        Of the diameter at a fixed height.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry of a cone, by hand.

    >>> 1000 * sink_of_enlargement(0.2e-3, math.radians(30))            # by hand: 0.1 * 0.57735
    0.0577
    """
    return enlargement / 2 * math.tan(seat_angle)


def stem_height_after(
    stem_height: float, seat_cut: float, face_removed: float, face_angle: float, tip_removed: float
) -> float:
    """
    Stem height, and in the same way the spring's installed height, after cutting: sinking raises it, tip grinding not.

        height = stem_height + seat_cut + face_removed / cos(face_angle) - tip_removed

    stem_height : one length, > 0 [m]
        From the spring seat to the stem's tip, before.
    seat_cut : one length, any [m]
    face_removed : one length, any [m]
        Square to the face; 0 if none.
    tip_removed : one length, any [m]
        0 if none, and for a spring's installed height.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) cuts below zero and a tip ground past the spring seat.
    Source: geometry, by hand.

    >>> 1000 * stem_height_after(40e-3, 0.1e-3, 0.0, math.radians(45), 0.05e-3)     # by hand
    40.05
    """
    not_negative("cut", tip_removed, LENGTH)
    height = stem_height + sink_of_cuts(seat_cut, face_removed, face_angle) - tip_removed
    if height <= 0:
        raise OutOfDomain(
            f"grinding {shown(tip_removed, LENGTH)} off the tip leaves no stem above the spring seat"
        )
    return height


def face_left_outside(face_outer: float, seat_outer: float, face_angle: float) -> float:
    """
    Width of the valve's face left free outside its contact band, along the face; below zero the seat overhangs.

        left = (face_outer - seat_outer) / (2 * cos(face_angle))

    face_outer : one length, > 0 [m]
        Where the valve's face meets its margin.
    seat_outer : one length, > 0 [m]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry of a cone, by hand.

    >>> 1000 * face_left_outside(43e-3, 42e-3, math.radians(45))        # by hand: 0.5 * 1.41421
    0.7071
    """
    return (face_outer - seat_outer) / (2 * math.cos(face_angle))


def face_left_inside(seat_inner: float, face_inner: float, face_angle: float) -> float:
    """
    Width of the valve's face left free inside its contact band, along the face; below zero the seat overhangs.

        left = (seat_inner - face_inner) / (2 * cos(face_angle))

    seat_inner : one length, > 0 [m]
    face_inner : one length, > 0 [m]
        Where the valve's face ends towards the stem.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry of a cone, by hand.

    >>> 1000 * face_left_inside(40e-3, 39e-3, math.radians(45))         # by hand: 0.5 * 1.41421
    0.7071
    """
    return (seat_inner - face_inner) / (2 * math.cos(face_angle))


def curtain_area(diameter: float, lift: float) -> float:
    """
    The cylinder that opens between valve and seat: an upper bound of what can flow.

        A = pi * D * L

    diameter : one length, > 0 [m]
        Of the valve's head, or of the seat where the discharge coefficient was stated for it.
    lift : one length, > 0 [m]
    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) by its signature only.
    Source: Internal Combustion Engine Fundamentals, 1988, 6.3.2. From memory.

    >>> 1e6 * curtain_area(40e-3, 10e-3)            # by hand: pi * 400
    1256.64
    """
    return math.pi * diameter * lift


def throat_area(throat: float, stem: float) -> float:
    """
    What a throat leaves open around the valve's stem.

        A = pi / 4 * (throat^2 - stem^2)

    throat : one length, > 0 [m]
    stem : one length, > 0 [m]
    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) a stem that is not thinner than the throat.
    Source: Internal Combustion Engine Fundamentals, 1988, eq. (6.9). From memory.

    >>> 1e6 * throat_area(34e-3, 8e-3)              # by hand: pi / 4 * (1156 - 64)
    857.65
    """
    smaller("stem", stem, "throat", throat, LENGTH)
    return math.pi / 4 * (throat + stem) * (throat - stem)


def valve_flow_area(
    lift: float, seat_outer: float, seat_inner: float, seat_angle: float, throat: float, stem: float
) -> float:
    """
    The smallest opening past a lifted valve: between the seat's edges, or the throat when that is smaller.

        low lift:  A = pi * L * cos(a) * (D - 2 * w + L / 2 * sin(2 * a)),   up to L = w / (sin(a) * cos(a))
        then:      A = pi * (D - w) * sqrt((L - w * tan(a))^2 + w^2)
        at most:   A = pi / 4 * (throat^2 - stem^2)

    lift : one length, > 0 [m]
        L, along the stem.
    seat_outer : one length, > 0 [m]
        D. The valve's face begins over the seat's inner edge; one that reaches further in opens less at low lift.
    seat_inner : one length, > 0 [m]
        The seat's width seen from above is w = (D - seat_inner) / 2.
    seat_angle : one angle, > 0 to 1.5533430342749532 [rad]
        a, valve and seat alike.
    throat : one length, > 0 [m]
    stem : one length, > 0 [m]
    Returns one area, > 0 [m**2]; times a measured discharge coefficient it is the effective area.
    Refuses (OutOfDomain) an inner diameter that is not below the outer, and a stem not thinner than the throat.
    Source: Internal Combustion Engine Fundamentals, 1988, eqs. (6.7) to (6.9). From memory; the low-lift part is the
    frustum between the edges exactly.

    >>> # 40 mm, seat 1.2 mm wide from above, 2 mm lift, 45 degrees: the frustum's own area
    >>> 1e6 * valve_flow_area(2e-3, 40e-3, 37.6e-3, math.radians(45), 36e-3, 7e-3)
    171.50
    """
    smaller("inner diameter", seat_inner, "outer diameter", seat_outer, LENGTH)
    width, sine, cosine = (seat_outer - seat_inner) / 2, math.sin(seat_angle), math.cos(seat_angle)
    if lift <= width / (sine * cosine):
        opening = math.pi * lift * cosine * (seat_inner + lift * sine * cosine)
    else:
        opening = math.pi * (seat_outer - width) * math.hypot(lift - width * sine / cosine, width)
    return min(opening, throat_area(throat, stem))


def effective_area(area: float, discharge_coefficient: float) -> float:
    """
    The opening that would pass as much without losses.

        A_eff = Cd * A

    area : one area, > 0 [m**2]
        The one that the coefficient was measured for.
    discharge_coefficient : one number, > 0 to 1 [1]
    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) by its signature only.
    Source: Internal Combustion Engine Fundamentals, 1988, 6.3.2. From memory.

    >>> 1e6 * effective_area(500e-6, 0.6)           # by hand
    300.0
    """
    return discharge_coefficient * area


def _cotangent(angle: float) -> float:
    return math.cos(angle) / math.sin(angle)


def _no_cut_below_zero(*cuts: float) -> None:
    for cut in cuts:
        not_negative("cut", cut, LENGTH)


_SEAT, _FACE = Argument("seat_angle", ANGLE, 0.0, _STEEPEST), Argument("face_angle", ANGLE, 0.0, _STEEPEST)
_TOP, _THROAT = Argument("top_angle", ANGLE), Argument("throat_angle", ANGLE, 0.0, _UPRIGHT)
_OUTER, _INNER = a_size("outer", called="outer diameter"), a_size("inner", called="inner diameter")
_CUT, _TOP_CUT, _THROAT_CUT = (Argument(f"{which}_cut", LENGTH) for which in ("seat", "top", "throat"))
_REMOVED = Argument("face_removed", LENGTH, called="stock off the face")
_THROAT_SIZE, _STEM, _LIFT = a_size("throat"), a_size("stem"), a_size("lift")
_SEAT_OUTER, _SEAT_INNER = a_size("seat_outer"), a_size("seat_inner")

SIGNATURES = (
    Signature("width_of_seat", (_OUTER, _INNER, _SEAT), LENGTH, width_of_seat),
    Signature("height_of_seat", (a_size("width"), _SEAT), LENGTH, height_of_seat),
    Signature("outer_for_width", (_INNER, a_size("width"), _SEAT), LENGTH, outer_for_width),
    Signature("inner_for_width", (_OUTER, a_size("width"), _SEAT), LENGTH, inner_for_width),
    Signature("seat_contact_diameter", (_OUTER, _INNER), LENGTH, seat_contact_diameter),
    Signature(
        "crossing_diameter",
        (
            a_size("flatter_diameter"),
            a_size("steeper_diameter"),
            Argument("flatter_angle", ANGLE, 0.0, _STEEPEST),
            Argument("steeper_angle", ANGLE, 0.0, _UPRIGHT),
        ),
        LENGTH,
        crossing_diameter,
    ),
    Signature("outer_growth", (_CUT, _TOP_CUT, _SEAT, _TOP), LENGTH, outer_growth),
    Signature("inner_growth", (_CUT, _THROAT_CUT, _SEAT, _THROAT), LENGTH, inner_growth),
    Signature("width_growth", (_CUT, _TOP_CUT, _THROAT_CUT, _SEAT, _TOP, _THROAT), LENGTH, width_growth),
    Signature("contact_growth", (_CUT, _TOP_CUT, _THROAT_CUT, _SEAT, _TOP, _THROAT), LENGTH, contact_growth),
    Signature("top_cut_for", (a_size("reduction"), _SEAT, _TOP), LENGTH, top_cut_for),
    Signature(
        "throat_cut_for",
        (a_size("enlargement"), _SEAT, Argument("throat_angle", ANGLE, 0.0, _STEEPEST)),
        LENGTH,
        throat_cut_for,
    ),
    Signature("sink_of_cuts", (_CUT, _REMOVED, _FACE), LENGTH, sink_of_cuts),
    Signature("sink_of_enlargement", (a_size("enlargement"), _SEAT), LENGTH, sink_of_enlargement),
    Signature(
        "stem_height_after",
        (
            a_size("stem_height"),
            _CUT,
            _REMOVED,
            _FACE,
            Argument("tip_removed", LENGTH, called="stock off the tip"),
        ),
        LENGTH,
        stem_height_after,
    ),
    Signature("face_left_outside", (a_size("face_outer"), _SEAT_OUTER, _FACE), LENGTH, face_left_outside),
    Signature("face_left_inside", (_SEAT_INNER, a_size("face_inner"), _FACE), LENGTH, face_left_inside),
    Signature("curtain_area", (a_size("diameter"), _LIFT), AREA, curtain_area),
    Signature("throat_area", (_THROAT_SIZE, _STEM), AREA, throat_area),
    Signature(
        "valve_flow_area",
        (_LIFT, _SEAT_OUTER, _SEAT_INNER, _SEAT, _THROAT_SIZE, _STEM),
        AREA,
        valve_flow_area,
        smooth=False,
    ),
    Signature(
        "effective_area",
        (Argument("area", AREA, 0.0), Argument("discharge_coefficient", NUMBER, 0.0, 1.0)),
        AREA,
        effective_area,
    ),
)
