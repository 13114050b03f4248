"""Speeds, feeds and times; thinning an old ring without touching the head; what cleans up, and what metal is left."""

from __future__ import annotations

import math

from runner.engineering.bounds import not_negative, smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import FORCE, FREQUENCY, LENGTH, NUMBER, PRESSURE, SPEED, TIME, TORQUE, VOLUME

REMOVAL_RATE = VOLUME.over(TIME)
POWER = TORQUE.over(TIME)

_ON_THE_STEP = 1e-6
# of a step; an oversize worked out as 2.0000000001 steps is two


def surface_speed(diameter: float, spindle_speed: float) -> float:
    """
    How fast the edge of a cutter, or of turned work, goes.

        V = pi * D * N

    diameter : one length, > 0 [m]
        Of cutter, bore or work.
    spindle_speed : one rate, > 0 [1/s]
        N, turns a second.
    Returns one speed, > 0 [m/s]
    Refuses (OutOfDomain) by its signature only.
    Source: Manufacturing Engineering and Technology, chapter 22, as used in its example 22.1.

    >>> surface_speed(0.5 * 0.0254, 400 / 60) / 0.0254 * 60     # example 22.1: 628 in/min
    628.3
    """
    return math.pi * diameter * spindle_speed


def spindle_speed_for(diameter: float, cutting_speed: float) -> float:
    """
    Turns a second that give a wanted cutting speed.

        N = V / (pi * D)

    diameter : one length, > 0 [m]
    cutting_speed : one speed, > 0 [m/s]
    Returns one rate, > 0 [1/s]
    Refuses (OutOfDomain) by its signature only.
    Source: surface_speed, solved for the spindle.

    >>> 60 * spindle_speed_for(42.5e-3, 60 / 60)        # 60 m/min on 42.5 mm, by hand: 60000 / 133.52
    449.4
    """
    return cutting_speed / (math.pi * diameter)


def feed_speed_of_turn(feed_per_turn: float, spindle_speed: float) -> float:
    """
    How fast a tool goes forward.

        v = f * N

    feed_per_turn : one length, > 0 [m]
    spindle_speed : one rate, > 0 [1/s]
    Returns one speed, > 0 [m/s]
    Refuses (OutOfDomain) by its signature only.
    Source: Manufacturing Engineering and Technology, chapter 22, as used in its example 22.1.

    >>> 6e4 * feed_speed_of_turn(0.05e-3, 450 / 60)          # mm/min, by hand: 0.05 * 450
    22.5
    """
    return feed_per_turn * spindle_speed


def feed_speed_of_teeth(feed_per_tooth: float, teeth: float, spindle_speed: float) -> float:
    """
    How fast a milling cutter goes forward.

        v = fz * z * N

    feed_per_tooth : one length, > 0 [m]
    teeth : one number, > 0 [1]
        On the cutter.
    spindle_speed : one rate, > 0 [1/s]
    Returns one speed, > 0 [m/s]
    Refuses (OutOfDomain) by its signature only.
    Source: Manufacturing Engineering and Technology, chapter on milling. From memory.

    >>> 6e4 * feed_speed_of_teeth(0.03e-3, 4.0, 2000 / 60)        # mm/min, by hand: 0.03 * 4 * 2000
    240.0
    """
    return feed_per_tooth * teeth * spindle_speed


def time_to_cut(length: float, feed_speed: float) -> float:
    """
    How long a pass takes.

        t = L / v

    length : one length, > 0 [m]
        With run-in and run-out.
    feed_speed : one speed, > 0 [m/s]
    Returns one time, > 0 [s]
    Refuses (OutOfDomain) by its signature only.
    Source: Manufacturing Engineering and Technology, chapter 22, as used in its example 22.1.

    >>> time_to_cut(6 * 0.0254, 8 * 0.0254 / 60) / 60          # example 22.1: 0.75 min
    0.75
    """
    return length / feed_speed


def turning_removal(larger: float, smaller_diameter: float, feed_speed: float) -> float:
    """
    Metal taken a second in turning from the outside or boring.

        Q = pi / 4 * (D1^2 - D2^2) * v

    larger : one length, > 0 [m]
        D1, before turning or after boring.
    smaller_diameter : one length, > 0 [m]
        D2, after turning or before boring.
    feed_speed : one speed, > 0 [m/s]
    Returns one volume a second, > 0 [m**3/s]
    Refuses (OutOfDomain) diameters the wrong way round.
    Source: Manufacturing Engineering and Technology, chapter 22, as used in its example 22.1.

    >>> turning_removal(0.5 * 0.0254, 0.48 * 0.0254, 8 * 0.0254 / 60) / 0.0254**3 * 60  # example 22.1: 0.123 in3/min
    0.123
    """
    smaller("smaller diameter", smaller_diameter, "larger diameter", larger, LENGTH)
    return math.pi / 4 * (larger + smaller_diameter) * (larger - smaller_diameter) * feed_speed


def milling_removal(width: float, depth: float, feed_speed: float) -> float:
    """
    Metal taken a second in milling.

        Q = width * depth * v

    width : one length, > 0 [m]
        Of the cut.
    depth : one length, > 0 [m]
    feed_speed : one speed, > 0 [m/s]
    Returns one volume a second, > 0 [m**3/s]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 6e7 * milling_removal(60e-3, 0.1e-3, 240e-3 / 60)       # cc a minute, by hand: 6 * 0.01 * 24
    1.44
    """
    return width * depth * feed_speed


def cutting_power(specific_energy: float, removal: float) -> float:
    """
    Power that a cut takes at the edge.

        P = u * Q

    specific_energy : one pressure, > 0 [Pa]
        u, energy for a volume of this metal: joules a cubic metre are pascals.
    removal : one volume a second, > 0 [m**3/s]
    Returns one power, > 0 [N*m/s]
    Refuses (OutOfDomain) by its signature only.
    Source: Manufacturing Engineering and Technology, chapter 22, as used in its example 22.1.

    >>> cutting_power(4.0e9, 0.123 * 0.0254**3 / 60)            # 4 J/mm3, by hand: 4 * 33.59 mm3/s
    134.4
    """
    return specific_energy * removal


def cutting_force(power: float, cutting_speed: float) -> float:
    """
    Force along the cut.

        F = P / V

    power : one power, > 0 [N*m/s]
        At the edge.
    cutting_speed : one speed, > 0 [m/s]
    Returns one force, > 0 [N]
    Refuses (OutOfDomain) by its signature only.
    Source: Manufacturing Engineering and Technology, chapter 22, as used in its example 22.1.

    >>> cutting_force(134.4, 0.266)                 # by hand
    505.3
    """
    return power / cutting_speed


def thinning_path_radius(ring_od: float, wall: float, tool_diameter: float) -> float:
    """
    Radius of the tool's path that leaves a wall of an old ring standing.

        R = ring_od / 2 - wall - tool_diameter / 2

    ring_od : one length, > 0 [m]
    wall : one length, > 0 [m]
        To be left if all runs true.
    tool_diameter : one length, > 0 [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a tool too thick to go round inside.
    Source: geometry, by hand.

    >>> 1000 * thinning_path_radius(42.5e-3, 0.15e-3, 12e-3)    # by hand: 21.25 - 0.15 - 6
    15.1
    """
    radius = ring_od / 2 - wall - tool_diameter / 2
    if radius <= 0:
        raise OutOfDomain(
            f"a tool of {shown(tool_diameter, LENGTH)} is too thick to go round inside a ring of "
            f"{shown(ring_od, LENGTH)} with {shown(wall, LENGTH)} left"
        )
    return radius


def true_thinned_wall(wall: float, eccentricity: float, runout: float, out_of_round: float) -> float:
    """
    The thinnest place of a thinned wall, all errors against you: what really parts the tool from the head.

        true = wall - eccentricity - runout / 2 - out_of_round / 4

    wall : one length, > 0 [m]
        As set, from the ring's mean outside diameter.
    eccentricity : one length, any [m]
        Of the tool's path from the ring: half of what an indicator swings in a turn.
    runout : one length, any [m]
        Whole swing of the tool in its spindle.
    out_of_round : one length, any [m]
        Largest less smallest diameter of the ring; a radius is off by a quarter of it.
    Returns one length, of either sign [m]; below zero the tool cuts the head.
    Refuses (OutOfDomain) errors below zero.
    Source: geometry, worst case, by hand.

    >>> 1000 * true_thinned_wall(0.15e-3, 0.02e-3, 0.02e-3, 0.04e-3)    # by hand: 0.15 - 0.02 - 0.01 - 0.01
    0.11
    """
    return wall - _errors(eccentricity, runout, out_of_round)


def wall_to_set(clearance: float, eccentricity: float, runout: float, out_of_round: float) -> float:
    """
    The wall to set so that a wanted clearance to the head is left with all errors against you.

        wall = clearance + eccentricity + runout / 2 + out_of_round / 4

    clearance : one length, > 0 [m]
        To be left at the worst place.
    eccentricity : one length, any [m]
        Half of what an indicator swings in a turn.
    runout : one length, any [m]
        Whole swing of the tool in its spindle.
    out_of_round : one length, any [m]
        Largest less smallest diameter of the ring.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) errors below zero.
    Source: true_thinned_wall, solved for the wall.

    >>> 1000 * wall_to_set(0.05e-3, 0.02e-3, 0.02e-3, 0.04e-3)  # by hand
    0.09
    """
    return clearance + _errors(eccentricity, runout, out_of_round)


def thinning_depth_stop(ring_thickness: float, floor: float, depth_error: float) -> float:
    """
    Where to stop the tool over the pocket's floor, from a zero on the ring's top.

        z = ring_thickness - floor - depth_error

    ring_thickness : one length, > 0 [m]
    floor : one length, > 0 [m]
        Metal of the ring to be left under the tool at the worst.
    depth_error : one length, any [m]
        By how much zero, stop and the ring's thickness together may be out.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) an error below zero, and a ring too thin for what is to be left.
    Source: geometry, worst case, by hand.

    >>> 1000 * thinning_depth_stop(8.0e-3, 0.2e-3, 0.1e-3)   # by hand
    7.7
    """
    not_negative("depth allowance", depth_error, LENGTH)
    stop = ring_thickness - floor - depth_error
    if stop <= 0:
        raise OutOfDomain(
            f"a ring {shown(ring_thickness, LENGTH)} thick has no room for {shown(floor, LENGTH)} left under the tool"
        )
    return stop


def clean_up_of_round(largest_diameter: float, eccentricity: float) -> float:
    """
    The smallest bore about a given axis that takes in all of an old one.

        D = largest_diameter + 2 * eccentricity

    largest_diameter : one length, > 0 [m]
        Of the old bore.
    eccentricity : one length, any [m]
        Between the old bore's axis and the new one's, such as the guide's.
    Returns one length, > 0 [m]; exact for a round bore and for an oval one that is off along its long axis.
    Refuses (OutOfDomain) an eccentricity below zero.
    Source: geometry, by hand.

    >>> 1000 * clean_up_of_round(42.06e-3, 0.04e-3)             # by hand
    42.14
    """
    not_negative("eccentricity", eccentricity, LENGTH)
    return largest_diameter + 2 * eccentricity


def clean_up_of_oval(mean_diameter: float, out_of_round: float, eccentricity: float) -> float:
    """
    The same from the old bore's mean diameter and how far it is out of round.

        D = mean_diameter + out_of_round / 2 + 2 * eccentricity

    mean_diameter : one length, > 0 [m]
    out_of_round : one length, any [m]
        Largest less smallest diameter.
    eccentricity : one length, any [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) an out-of-round or an eccentricity below zero.
    Source: geometry, by hand.

    >>> 1000 * clean_up_of_oval(42.04e-3, 0.04e-3, 0.04e-3)     # by hand
    42.14
    """
    not_negative("out-of-round", out_of_round, LENGTH)
    return clean_up_of_round(mean_diameter + out_of_round / 2, eccentricity)


def steps_to_oversize(needed: float, step: float) -> float:
    """
    How many steps up a ladder of even oversizes a part has to go; 0 is standard.

        steps = needed / step, up to the next whole one, and 0 if nothing is needed

    needed : one length, any [m]
        By how much the diameter has to be over standard.
    step : one length, > 0 [m]
    Returns one whole number, 0 and up [1]
    Refuses (OutOfDomain) by its signature only.
    Source: common practice, no source.

    >>> steps_to_oversize(0.31e-3, 0.25e-3)            # +0.25 is too small, +0.50 it is
    2.0
    """
    return float(max(0, math.ceil(needed / step - _ON_THE_STEP)))


def steps_to_insert(
    clean_up: float, stock: float, interference: float, standard_od: float, step: float
) -> float:
    """
    How many steps oversize an insert has to be so that its bore still cleans up the old pocket.

        steps = (clean_up + stock + interference - standard_od) / step, up to the next whole one, 0 at least

    clean_up : one length, > 0 [m]
        Smallest diameter that cleans up.
    stock : one length, any [m]
        Least to be taken beyond it, on the diameter.
    interference : one length, > 0 [m]
        By which the insert is to be larger than its bore.
    standard_od : one length, > 0 [m]
        Outside diameter of the standard insert.
    step : one length, > 0 [m]
    Returns one whole number, 0 and up [1]
    Refuses (OutOfDomain) stock below zero.
    Source: common practice, no source.

    >>> steps_to_insert(42.14e-3, 0.02e-3, 0.15e-3, 42.0e-3, 0.25e-3)      # 42.31 wanted: 42.50 is two steps
    2.0
    """
    not_negative("stock", stock, LENGTH)
    return steps_to_oversize(clean_up + stock + interference - standard_od, step)


def thinnest_wall(outer: float, inner: float, eccentricity: float) -> float:
    """
    The thinnest wall between an outer and an inner diameter that don't share one axis; below zero it is through.

        wall = (outer - inner) / 2 - eccentricity

    outer : one length, > 0 [m]
    inner : one length, > 0 [m]
    eccentricity : one length, any [m]
        0 for one axis.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) an eccentricity below zero.
    Source: geometry, by hand.

    >>> 1000 * thinnest_wall(42.5e-3, 36.5e-3, 0.05e-3) # by hand
    2.95
    """
    not_negative("eccentricity", eccentricity, LENGTH)
    return (outer - inner) / 2 - eccentricity


def bridge_between(centre_distance: float, first_bore: float, second_bore: float) -> float:
    """
    Metal between two bores; below zero they run into each other.

        bridge = centre_distance - (first_bore + second_bore) / 2

    centre_distance : one length, > 0 [m]
    first_bore : one length, > 0 [m]
    second_bore : one length, > 0 [m]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * bridge_between(49.0e-3, 50.35e-3, 42.36e-3)         # by hand: 49 - 46.355
    2.645
    """
    return centre_distance - (first_bore + second_bore) / 2


def setting_from_last(last_setting: float, measured: float, wanted: float) -> float:
    """
    Diameter to set a boring tool to, from what the last setting really made: spring-back and edge are in it.

        next = last_setting + wanted - measured

    last_setting : one length, > 0 [m]
    measured : one length, > 0 [m]
        What it bored.
    wanted : one length, > 0 [m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a setting of nothing.
    Source: common practice, no source.

    >>> 1000 * setting_from_last(42.260e-3, 42.252e-3, 42.360e-3)    # by hand
    42.368
    """
    setting = last_setting + wanted - measured
    if setting <= 0:
        raise OutOfDomain("the next setting would be no diameter at all")
    return setting


def _errors(eccentricity: float, runout: float, out_of_round: float) -> float:
    for words, value in (("eccentricity", eccentricity), ("runout", runout), ("out-of-round", out_of_round)):
        not_negative(words, value, LENGTH)
    return eccentricity + runout / 2 + out_of_round / 4


_DIAMETER, _SPINDLE = a_size("diameter"), Argument("spindle_speed", FREQUENCY, 0.0)
_CUTTING, _FEED = Argument("cutting_speed", SPEED, 0.0), Argument("feed_speed", SPEED, 0.0)
_ECCENTRICITY, _ROUND = Argument("eccentricity", LENGTH), Argument("out_of_round", LENGTH)
_ERRORS = (_ECCENTRICITY, Argument("runout", LENGTH), _ROUND)
_STEP = a_size("step")

SIGNATURES = (
    Signature("surface_speed", (_DIAMETER, _SPINDLE), SPEED, surface_speed),
    Signature("spindle_speed_for", (_DIAMETER, _CUTTING), FREQUENCY, spindle_speed_for),
    Signature("feed_speed_of_turn", (a_size("feed_per_turn"), _SPINDLE), SPEED, feed_speed_of_turn),
    Signature(
        "feed_speed_of_teeth",
        (a_size("feed_per_tooth"), Argument("teeth", NUMBER, 0.0, called="number of teeth"), _SPINDLE),
        SPEED,
        feed_speed_of_teeth,
    ),
    Signature("time_to_cut", (a_size("length"), _FEED), TIME, time_to_cut),
    Signature(
        "turning_removal",
        (a_size("larger", called="larger diameter"), a_size("smaller_diameter"), _FEED),
        REMOVAL_RATE,
        turning_removal,
    ),
    Signature("milling_removal", (a_size("width"), a_size("depth"), _FEED), REMOVAL_RATE, milling_removal),
    Signature(
        "cutting_power",
        (Argument("specific_energy", PRESSURE, 0.0), Argument("removal", REMOVAL_RATE, 0.0)),
        POWER,
        cutting_power,
    ),
    Signature("cutting_force", (Argument("power", POWER, 0.0), _CUTTING), FORCE, cutting_force),
    Signature(
        "thinning_path_radius",
        (a_size("ring_od"), a_size("wall"), a_size("tool_diameter")),
        LENGTH,
        thinning_path_radius,
    ),
    Signature("true_thinned_wall", (a_size("wall"), *_ERRORS), LENGTH, true_thinned_wall),
    Signature("wall_to_set", (a_size("clearance"), *_ERRORS), LENGTH, wall_to_set),
    Signature(
        "thinning_depth_stop",
        (
            a_size("ring_thickness"),
            a_size("floor"),
            Argument("depth_error", LENGTH, called="depth allowance"),
        ),
        LENGTH,
        thinning_depth_stop,
    ),
    Signature("clean_up_of_round", (a_size("largest_diameter"), _ECCENTRICITY), LENGTH, clean_up_of_round),
    Signature("clean_up_of_oval", (a_size("mean_diameter"), _ROUND, _ECCENTRICITY), LENGTH, clean_up_of_oval),
    Signature(
        "steps_to_oversize", (Argument("needed", LENGTH), _STEP), NUMBER, steps_to_oversize, smooth=False
    ),
    Signature(
        "steps_to_insert",
        (
            a_size("clean_up"),
            Argument("stock", LENGTH),
            a_size("interference"),
            a_size("standard_od", called="standard OD"),
            _STEP,
        ),
        NUMBER,
        steps_to_insert,
        smooth=False,
    ),
    Signature(
        "thinnest_wall",
        (a_size("outer", called="outer diameter"), a_size("inner", called="inner diameter"), _ECCENTRICITY),
        LENGTH,
        thinnest_wall,
    ),
    Signature(
        "bridge_between",
        (a_size("centre_distance"), a_size("first_bore"), a_size("second_bore")),
        LENGTH,
        bridge_between,
    ),
    Signature(
        "setting_from_last",
        (a_size("last_setting"), a_size("measured"), a_size("wanted")),
        LENGTH,
        setting_from_last,
    ),
)
