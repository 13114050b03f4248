"""Squareness and flatness from a few named points. Larger sets of points are worked by the functions on groups."""

from __future__ import annotations

import math

from runner.engineering.signature import Argument, Signature, a_size
from runner.quantities.kinds import ANGLE, LENGTH


def squareness_angle(top: float, bottom: float, travel: float) -> float:
    """
    How far a side leans from square, from an indicator read at its top and its bottom.

        angle = atan((top - bottom) / travel)

    top : one length, any [m]
        Reading at the top.
    bottom : one length, any [m]
        Reading at the bottom.
    travel : one length, > 0 [m]
        Height between the two, along the square.
    Returns one angle, of either sign [rad]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry; ISO 1101:2017, perpendicularity, is the zone this angle opens. From memory.

    >>> math.degrees(squareness_angle(1.0e-3, 0.0, 50e-3))         # by hand: atan(0.02)
    1.1458
    """
    return math.atan2(top - bottom, travel)


def squareness_over(top: float, bottom: float, travel: float, length: float) -> float:
    """
    The same lean as a distance over a length of your own, as limits are often given: 0.02 over 100 mm.

        distance = (top - bottom) / travel * length

    top : one length, any [m]
        Reading at the top.
    bottom : one length, any [m]
        Reading at the bottom.
    travel : one length, > 0 [m]
        Height between the two.
    length : one length, > 0 [m]
        Over which the limit is given.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * squareness_over(0.03e-3, 0.01e-3, 40e-3, 100e-3)      # by hand
    0.050
    """
    return (top - bottom) / travel * length


def tilt_of_three(first: float, second: float, third: float, diameter: float) -> float:
    """
    How far a plane is tilted, from heights at three points a third of a turn apart on a circle.

        angle = atan(4 / (3 * D) * sqrt(a^2 + b^2 + c^2 - ab - bc - ca))

    first : one length, any [m]
        Height at the first point; the order doesn't matter.
    second : one length, any [m]
    third : one length, any [m]
    diameter : one length, > 0 [m]
        Of the circle that the points lie on.
    Returns one angle, 0 and up [rad]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, a plane through three points.

    >>> # a plane rising 1 in 100 along the first point's radius, on 50 mm: 0.25, -0.125, -0.125 mm
    >>> math.tan(tilt_of_three(0.25e-3, -0.125e-3, -0.125e-3, 50e-3))
    0.01
    """
    a, b, c = first - third, second - third, first - second
    return math.atan2(4 / 3 * math.sqrt((a * a + b * b + c * c) / 2), diameter)


def twist_of_four(first: float, second: float, third: float, fourth: float) -> float:
    """
    How far four corners of a rectangle are from lying in one plane: the narrowest two planes that hold them.

        flatness = |a - b + c - d| / 2

    first : one length, any [m]
        Height at a corner; go round the rectangle.
    second : one length, any [m]
    third : one length, any [m]
        Across from the first.
    fourth : one length, any [m]
    Returns one length, 0 and up [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, minimum zone of ISO 12781-1:2011 for these four points. From memory.

    >>> 1000 * twist_of_four(0.04e-3, 0.0, 0.0, 0.0)            # by hand: one corner up by 0.04
    0.020
    """
    return abs(first - second + third - fourth) / 2


def bow_of_three(one_end: float, middle: float, other_end: float) -> float:
    """
    How far the middle stands above the straight line between the ends; below zero it is hollow.

        bow = middle - (one_end + other_end) / 2

    one_end : one length, any [m]
        Height at one end.
    middle : one length, any [m]
        Height half-way.
    other_end : one length, any [m]
        Height at the other end.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * bow_of_three(0.02e-3, 0.05e-3, 0.04e-3)          # by hand
    0.020
    """
    return middle - (one_end + other_end) / 2


_SQUARE = (Argument("top", LENGTH), Argument("bottom", LENGTH), a_size("travel"))
_FIRST_THREE = (Argument("first", LENGTH), Argument("second", LENGTH), Argument("third", LENGTH))

SIGNATURES = (
    Signature("squareness_angle", _SQUARE, ANGLE, squareness_angle),
    Signature("squareness_over", (*_SQUARE, a_size("length")), LENGTH, squareness_over),
    Signature("tilt_of_three", (*_FIRST_THREE, a_size("diameter")), ANGLE, tilt_of_three),
    Signature(
        "twist_of_four", (*_FIRST_THREE, Argument("fourth", LENGTH)), LENGTH, twist_of_four, smooth=False
    ),
    Signature(
        "bow_of_three",
        (Argument("one_end", LENGTH), Argument("middle", LENGTH), Argument("other_end", LENGTH)),
        LENGTH,
        bow_of_three,
    ),
)
