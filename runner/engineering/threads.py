"""Torque and tension of bolts and studs, what heat does to the tension, and the land that a thread insert needs.

Torque tells tension to about 30 %: the nut factor belongs to the surfaces and the grease, not to the size.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from runner.engineering.bounds import not_negative, smaller
from runner.engineering.signature import (
    REFERENCE_TEMPERATURE,
    Argument,
    OutOfDomain,
    Signature,
    a_size,
    a_temperature,
    an_expansion,
    shown,
)
from runner.quantities.kinds import ANGLE, AREA, FORCE, LENGTH, NUMBER, PRESSURE, TORQUE

STIFFNESS = FORCE.over(LENGTH)

_LAND = 0.75
# of the hole's diameter; NASM33537's rule for wire inserts as applied in TM 9-2815-225-34&P, WP 0051, in metal as soft
# as a head


@dataclass(frozen=True, slots=True)
class NutFactor:
    """A published nut factor with how far it goes; `lowest` and `highest` are alike where one number was printed."""

    lowest: float
    highest: float
    source: str


NUT_FACTORS: Mapping[str, NutFactor] = MappingProxyType(
    {
        "steel, black, as received": NutFactor(
            0.30, 0.30, "a machine-design text's table, as quoted in a forum"
        ),
        "steel, zinc plated, text": NutFactor(
            0.20, 0.20, "a machine-design text's table, as quoted in a forum"
        ),
        "steel, cadmium plated, text": NutFactor(
            0.16, 0.16, "a machine-design text's table, as quoted in a forum"
        ),
        "steel, bare, handbook": NutFactor(0.20, 0.20, "a bolting handbook, chapter 2, table 1, as quoted"),
        "steel, cadmium plated, handbook": NutFactor(
            0.20, 0.20, "a bolting handbook, chapter 2, table 1, as quoted"
        ),
        "steel, zinc plated, handbook": NutFactor(
            0.295, 0.295, "a bolting handbook, chapter 2, table 1, as quoted"
        ),
        "steel, dry, suppliers": NutFactor(0.18, 0.27, "suppliers' ranges, as quoted"),
        "steel, oiled, suppliers": NutFactor(0.10, 0.26, "suppliers' ranges, as quoted"),
        "steel, zinc plated, suppliers": NutFactor(0.17, 0.35, "suppliers' ranges, as quoted"),
    }
)
# zinc stands here three times because the sources contradict each other: a procedure states its own as a given


def torque_for_tension(nut_factor: float, diameter: float, tension: float) -> float:
    """
    Torque that gives a bolt a tension.

        T = K * d * F

    nut_factor : one number, > 0 to 1 [1]
        K.
    diameter : one length, > 0 [m]
        d, nominal, of the thread.
    tension : one force, > 0 [N]
    Returns one torque, > 0 [N*m]
    Refuses (OutOfDomain) by its signature only.
    Source: Machine Design, 2004, example 6.1, p. 120.

    >>> # example 6.1: 3/4 in, 24131.5 lbf, K = 0.2 gives 3620 lbf in
    >>> torque_for_tension(0.2, 0.75 * 0.0254, 24131.5 * 4.4482216) / (4.4482216 * 0.0254)
    3619.7
    """
    return nut_factor * diameter * tension


def tension_for_torque(nut_factor: float, diameter: float, torque: float) -> float:
    """
    Tension that a torque gives a bolt.

        F = T / (K * d)

    nut_factor : one number, > 0 to 1 [1]
        K.
    diameter : one length, > 0 [m]
        d, nominal, of the thread.
    torque : one torque, > 0 [N*m]
    Returns one force, > 0 [N]
    Refuses (OutOfDomain) by its signature only.
    Source: torque_for_tension, solved for the tension.

    >>> tension_for_torque(0.2, 8e-3, 25.0)               # by hand: 25 / 0.0016
    15625.0
    """
    return torque / (nut_factor * diameter)


def torque_for_nut_factor(torque: float, stated_factor: float, actual_factor: float) -> float:
    """
    A stated torque turned to another surface or grease, for the same tension: dry to oiled is less.

        T' = T * K' / K

    torque : one torque, > 0 [N*m]
        As stated.
    stated_factor : one number, > 0 to 1 [1]
        K of the condition it was stated for.
    actual_factor : one number, > 0 to 1 [1]
        K' of the condition on the bench.
    Returns one torque, > 0 [N*m]
    Refuses (OutOfDomain) by its signature only.
    Source: torque_for_tension twice with one tension.

    >>> torque_for_nut_factor(30.0, 0.20, 0.15)     # by hand
    22.5
    """
    return torque * actual_factor / stated_factor


def torque_by_friction(
    tension: float,
    pitch: float,
    pitch_diameter: float,
    bearing_diameter: float,
    thread_friction: float,
    bearing_friction: float,
) -> float:
    """
    Torque from its three parts: climbing the thread, rubbing in it, rubbing under the head; 60 degree threads.

        T = F * (P / (2 * pi) + mu_t * d2 / (2 * cos(30 deg)) + mu_b * Db / 2)

    tension : one force, > 0 [N]
        F.
    pitch : one length, > 0 [m]
        P.
    pitch_diameter : one length, > 0 [m]
        d2; nominal less 0.6495 pitches.
    bearing_diameter : one length, > 0 [m]
        Db, mean, under the head or nut.
    thread_friction : one number, any [1]
        mu_t.
    bearing_friction : one number, any [1]
        mu_b.
    Returns one torque, > 0 [N*m]
    Refuses (OutOfDomain) friction below zero.
    Source: ISO 16047:2005, Torque/clamp force testing, its torque equation. From memory.

    >>> # M10 x 1.5 at 25 kN, 0.12 throughout, bearing 13 mm: by hand 25000 * (0.2387 + 0.6253 + 0.78) mm
    >>> torque_by_friction(25e3, 1.5e-3, 9.026e-3, 13e-3, 0.12, 0.12)
    41.10
    """
    not_negative("thread friction", thread_friction, NUMBER)
    not_negative("bearing friction", bearing_friction, NUMBER)
    thread = pitch / (2 * math.pi) + thread_friction * pitch_diameter / math.sqrt(3)
    return tension * (thread + bearing_friction * bearing_diameter / 2)


def metric_stress_area(diameter: float, pitch: float) -> float:
    """
    Area that carries the tension of a metric thread.

        A = pi / 4 * (d - 0.9382 * P)^2

    diameter : one length, > 0 [m]
        Nominal.
    pitch : one length, > 0 [m]
    Returns one area, > 0 [m**2]
    Refuses (OutOfDomain) a pitch that leaves no core.
    Source: ISO 898-1, nominal stress area; its table as reproduced. Inch threads take 0.9743 instead.

    >>> 1e6 * metric_stress_area(8e-3, 1.25e-3)            # the standard's table: 36.6
    36.6
    """
    core = diameter - 0.9382 * pitch
    if core <= 0:
        raise OutOfDomain(
            f"a pitch of {shown(pitch, LENGTH)} leaves no core in a thread of {shown(diameter, LENGTH)}"
        )
    return math.pi / 4 * core * core


def tension_for_proof(area: float, proof_stress: float, share: float) -> float:
    """
    Tension that takes a bolt to a share of its proof stress.

        F = share * S * A

    area : one area, > 0 [m**2]
        Its stress area.
    proof_stress : one pressure, > 0 [Pa]
    share : one number, > 0 to 1 [1]
    Returns one force, > 0 [N]
    Refuses (OutOfDomain) by its signature only.
    Source: Machine Design, 2004, example 6.1, p. 120.

    >>> tension_for_proof(36.6e-6, 600e6, 0.75)     # M8 8.8, by hand
    16470.0
    """
    return share * proof_stress * area


def rod_stiffness(modulus: float, area: float, length: float) -> float:
    """
    How stiff a plain rod is along its length; parts in a row add as 1 / k.

        k = E * A / L

    modulus : one pressure, > 0 [Pa]
    area : one area, > 0 [m**2]
    length : one length, > 0 [m]
    Returns one force per length, > 0 [N/m]
    Refuses (OutOfDomain) by its signature only.
    Source: Hooke's law, by hand.

    >>> rod_stiffness(200e9, 50e-6, 100e-3) / 1e6   # N/um, by hand
    100.0
    """
    return modulus * area / length


def bolt_stretch(tension: float, stiffness: float) -> float:
    """
    How much longer a bolt gets under its tension.

        stretch = F / k

    tension : one force, > 0 [N]
    stiffness : one force per length, > 0 [N/m]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: Hooke's law, by hand.

    >>> 1000 * bolt_stretch(20e3, 100e6)            # by hand
    0.2
    """
    return tension / stiffness


def turn_for_stretch(stretch: float, pitch: float) -> float:
    """
    Angle to turn a nut past snug for a stretch, if only the bolt gives.

        turn = 2 * pi * stretch / P

    stretch : one length, > 0 [m]
    pitch : one length, > 0 [m]
    Returns one angle, > 0 [rad]
    Refuses (OutOfDomain) by its signature only.
    Source: Machine Design, 2004, example 6.2, p. 121.

    >>> math.degrees(turn_for_stretch(0.0120417, 0.1))          # example 6.2: 43.35 degrees, in inches
    43.35
    """
    return 2 * math.pi * stretch / pitch


def hot_tension_change(
    length: float,
    part_expansion: float,
    bolt_expansion: float,
    part_temperature: float,
    bolt_temperature: float,
    bolt_stiffness: float,
    part_stiffness: float,
) -> float:
    """
    How much tension a bolt gains, or loses below zero, when it and what it clamps warm up from 20 degC.

        dF = L * (a_p * (T_p - 20 degC) - a_b * (T_b - 20 degC)) / (1 / k_b + 1 / k_p)

    length : one length, > 0 [m]
        Clamped.
    part_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        Of what is clamped.
    bolt_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
    part_temperature : one temperature, > 0 to 2000 [K]
    bolt_temperature : one temperature, > 0 to 2000 [K]
    bolt_stiffness : one force per length, > 0 [N/m]
    part_stiffness : one force per length, > 0 [N/m]
    Returns one force, of either sign [N]
    Refuses (OutOfDomain) by its signature only.
    Source: two springs with one length; a rigid part gives the bar between walls of Mechanics of Materials, ex. 2.10.

    >>> # aluminium on a steel stud, 100 mm, 150 degC: by hand 0.1365 mm over (1/100 + 1/300) um/N
    >>> hot_tension_change(0.1, 22e-6, 11.5e-6, 423.15, 423.15, 100e6, 300e6)
    10237.5
    """
    apart = part_expansion * (part_temperature - REFERENCE_TEMPERATURE) - bolt_expansion * (
        bolt_temperature - REFERENCE_TEMPERATURE
    )
    return length * apart / (1 / bolt_stiffness + 1 / part_stiffness)


def land_to_edge(edge_distance: float, hole_diameter: float) -> float:
    """
    Metal left between a hole for a thread insert and the nearest edge.

        land = edge_distance - hole_diameter / 2

    edge_distance : one length, > 0 [m]
        From the hole's axis.
    hole_diameter : one length, > 0 [m]
        Tapped for the insert, at its largest.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a hole that breaks out at the edge.
    Source: TM 9-2815-225-34&P, WP 0051, by the method of NASM33537, as read for the trade notes.

    >>> 1000 * land_to_edge(12e-3, 10.4e-3)          # by hand
    6.8
    """
    smaller("hole's radius", hole_diameter / 2, "edge distance", edge_distance, LENGTH)
    return edge_distance - hole_diameter / 2


def least_edge_distance(hole_diameter: float) -> float:
    """
    Least distance from a hole's axis to the edge: the land has to be three quarters of the hole.

        edge = hole_diameter / 2 + 0.75 * hole_diameter

    hole_diameter : one length, > 0 [m]
        Tapped for the insert, at its largest.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: TM 9-2815-225-34&P, WP 0051, by the method of NASM33537, as read for the trade notes.

    >>> 1000 * least_edge_distance(10.4e-3)         # by hand: 1.25 holes
    13.0
    """
    return (0.5 + _LAND) * hole_diameter


_DIAMETER, _PITCH, _LENGTH, _HOLE = (
    a_size("diameter"),
    a_size("pitch"),
    a_size("length"),
    a_size("hole_diameter"),
)
_TENSION, _TORQUE = Argument("tension", FORCE, 0.0), Argument("torque", TORQUE, 0.0)
_AREA, _STIFFNESS = Argument("area", AREA, 0.0), Argument("stiffness", STIFFNESS, 0.0)


def _factor(name: str) -> Argument:
    return Argument(name, NUMBER, 0.0, 1.0)


SIGNATURES = (
    Signature("torque_for_tension", (_factor("nut_factor"), _DIAMETER, _TENSION), TORQUE, torque_for_tension),
    Signature("tension_for_torque", (_factor("nut_factor"), _DIAMETER, _TORQUE), FORCE, tension_for_torque),
    Signature(
        "torque_for_nut_factor",
        (_TORQUE, _factor("stated_factor"), _factor("actual_factor")),
        TORQUE,
        torque_for_nut_factor,
    ),
    Signature(
        "torque_by_friction",
        (
            _TENSION,
            _PITCH,
            a_size("pitch_diameter"),
            a_size("bearing_diameter"),
            Argument("thread_friction", NUMBER),
            Argument("bearing_friction", NUMBER),
        ),
        TORQUE,
        torque_by_friction,
    ),
    Signature("metric_stress_area", (_DIAMETER, _PITCH), AREA, metric_stress_area),
    Signature(
        "tension_for_proof",
        (_AREA, Argument("proof_stress", PRESSURE, 0.0), _factor("share")),
        FORCE,
        tension_for_proof,
    ),
    Signature(
        "rod_stiffness", (Argument("modulus", PRESSURE, 0.0), _AREA, _LENGTH), STIFFNESS, rod_stiffness
    ),
    Signature("bolt_stretch", (_TENSION, _STIFFNESS), LENGTH, bolt_stretch),
    Signature("turn_for_stretch", (a_size("stretch"), _PITCH), ANGLE, turn_for_stretch),
    Signature(
        "hot_tension_change",
        (
            _LENGTH,
            an_expansion("part_expansion"),
            an_expansion("bolt_expansion"),
            a_temperature("part_temperature"),
            a_temperature("bolt_temperature"),
            Argument("bolt_stiffness", STIFFNESS, 0.0),
            Argument("part_stiffness", STIFFNESS, 0.0),
        ),
        FORCE,
        hot_tension_change,
    ),
    Signature("land_to_edge", (a_size("edge_distance"), _HOLE), LENGTH, land_to_edge),
    Signature("least_edge_distance", (_HOLE,), LENGTH, least_edge_distance),
)
