"""Valve springs of round wire: rate, load at a height, shims, coil bind, two springs in one another.

Wire, coils and modulus are taken alike over the whole length; a progressive spring has no one rate and is measured at
both heights instead. Heights are between the spring's ends.
"""

from __future__ import annotations

import math

from runner.engineering.bounds import not_negative, smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import FORCE, FREQUENCY, LENGTH, MASS, NUMBER, PRESSURE

SPRING_RATE = FORCE.over(LENGTH)


def rate_from_wire(shear_modulus: float, wire: float, mean_diameter: float, active_coils: float) -> float:
    """
    Rate of a coil spring from what it is wound of.

        k = G * d^4 / (8 * D^3 * n)

    shear_modulus : one pressure, > 0 [Pa]
        G of the wire.
    wire : one length, > 0 [m]
        d, its diameter.
    mean_diameter : one length, > 0 [m]
        D, of the coil's middle: outside diameter less one wire.
    active_coils : one number, > 0 [1]
        n; two fewer than all coils where the ends are closed and ground.
    Returns one force per length, > 0 [N/m]
    Refuses (OutOfDomain) wire as thick as its coil.
    Source: Design of Machine Elements, 2nd edition, chapter 10, as used in its example 10.2.

    >>> rate_from_wire(81370e6, 11e-3, 55e-3, 5.0) / 1000          # example 10.2: 179.01 N/mm
    179.01
    """
    smaller("wire", wire, "mean diameter", mean_diameter, LENGTH)
    return shear_modulus * wire**4 / (8 * mean_diameter**3 * active_coils)


def rate_from_loads(closed_load: float, open_load: float, closed_height: float, open_height: float) -> float:
    """
    Rate of a spring from two readings on the tester.

        k = (F_open - F_closed) / (L_closed - L_open)

    closed_load : one force, > 0 [N]
        At the height with the valve closed.
    open_load : one force, > 0 [N]
        At the height with the valve open.
    closed_height : one length, > 0 [m]
    open_height : one length, > 0 [m]
    Returns one force per length, > 0 [N/m]
    Refuses (OutOfDomain) an open height that is not below the closed one, and a load that doesn't rise.
    Source: Hooke's law, by hand.

    >>> rate_from_loads(250.0, 650.0, 38e-3, 28e-3) / 1000      # by hand: 400 N over 10 mm
    40.0
    """
    smaller("open height", open_height, "closed height", closed_height, LENGTH)
    smaller("load closed", closed_load, "load open", open_load, FORCE)
    return (open_load - closed_load) / (closed_height - open_height)


def load_from_free_height(rate: float, free_height: float, height: float) -> float:
    """
    What a spring pushes at a height.

        F = k * (free_height - height)

    rate : one force per length, > 0 [N/m]
    free_height : one length, > 0 [m]
    height : one length, > 0 [m]
        Not below its solid height; that is bind_clearance's to say.
    Returns one force, > 0 [N]
    Refuses (OutOfDomain) a height at which the spring is loose.
    Source: Hooke's law, by hand.

    >>> load_from_free_height(40e3, 48e-3, 38e-3)             # by hand: 40 N/mm * 10 mm
    400.0
    """
    if height >= free_height:
        raise OutOfDomain(
            f"at {shown(height, LENGTH)} a spring {shown(free_height, LENGTH)} long when free is loose and pushes "
            "nothing"
        )
    return rate * (free_height - height)


def load_at_height(known_load: float, known_height: float, rate: float, height: float) -> float:
    """
    What a spring pushes at a height, from its load at another one: no free height needed.

        F = F1 + k * (L1 - L)

    known_load : one force, > 0 [N]
        F1.
    known_height : one length, > 0 [m]
        L1.
    rate : one force per length, > 0 [N/m]
    height : one length, > 0 [m]
        L.
    Returns one force, > 0 [N]
    Refuses (OutOfDomain) a height at which the spring is loose.
    Source: Hooke's law, by hand.

    >>> load_at_height(250.0, 38e-3, 40e3, 37.5e-3)             # by hand: 250 + 40 * 0.5
    270.0
    """
    load = known_load + rate * (known_height - height)
    if load <= 0:
        raise OutOfDomain(f"at {shown(height, LENGTH)} this spring is loose and pushes nothing")
    return load


def height_for_load(known_load: float, known_height: float, rate: float, load: float) -> float:
    """
    The height at which a spring pushes a wanted load.

        L = L1 - (F - F1) / k

    known_load : one force, > 0 [N]
        F1.
    known_height : one length, > 0 [m]
        L1.
    rate : one force per length, > 0 [N/m]
    load : one force, > 0 [N]
        F.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a load that would squeeze the spring to nothing.
    Source: Hooke's law, solved for the height.

    >>> 1000 * height_for_load(250.0, 38e-3, 40e3, 270.0)       # load_at_height's example
    37.5
    """
    height = known_height - (load - known_load) / rate
    if height <= 0:
        raise OutOfDomain(f"a load of {shown(load, FORCE)} would squeeze this spring to nothing")
    return height


def shim_to_height(installed_height: float, wanted_height: float) -> float:
    """
    Shim under a spring to bring it to a wanted height; below zero the spring seat has to be cut deeper.

        shim = installed_height - wanted_height

    installed_height : one length, > 0 [m]
        As measured, without the shim.
    wanted_height : one length, > 0 [m]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * shim_to_height(38.6e-3, 38.0e-3)     # by hand
    0.6
    """
    return installed_height - wanted_height


def shim_to_load(measured_load: float, wanted_load: float, rate: float) -> float:
    """
    Shim under a spring to bring its load at the installed height to a wanted one; below zero it is too strong.

        shim = (wanted_load - measured_load) / k

    measured_load : one force, > 0 [N]
        At the height it is installed at now.
    wanted_load : one force, > 0 [N]
    rate : one force per length, > 0 [N/m]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: Hooke's law, by hand.

    >>> 1000 * shim_to_load(236.0, 250.0, 40e3)     # by hand: 14 N over 40 N/mm
    0.35
    """
    return (wanted_load - measured_load) / rate


def solid_height_of_wire(wire: float, total_coils: float) -> float:
    """
    Height of a spring with all coils touching; ends closed and ground.

        L_solid = N * d

    wire : one length, > 0 [m]
        d.
    total_coils : one number, > 0 [1]
        N, all of them. Ends that are closed but not ground make it one wire higher.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: Design of Machine Elements, 2nd edition, chapter 10, as used in its example 10.2.

    >>> 1000 * solid_height_of_wire(11e-3, 7.0)             # example 10.2
    77.0
    """
    return total_coils * wire


def bind_clearance(installed_height: float, lift: float, solid: float) -> float:
    """
    What is left before the coils touch at full lift; below zero they bind.

        clearance = installed_height - lift - solid

    installed_height : one length, > 0 [m]
        Valve closed, shims in.
    lift : one length, > 0 [m]
        The valve's greatest.
    solid : one length, > 0 [m]
        The spring's solid height.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * bind_clearance(38e-3, 10e-3, 26.5e-3)       # by hand
    1.5
    """
    return installed_height - lift - solid


def free_height_for(load: float, rate: float, solid: float, gap: float) -> float:
    """
    Free height of a spring that carries a load with a gap left over all coils together.

        L_free = solid + gap + load / k

    load : one force, > 0 [N]
    rate : one force per length, > 0 [N/m]
    solid : one length, > 0 [m]
        Its solid height.
    gap : one length, any [m]
        Left at that load, over all coils together.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a gap below zero.
    Source: Design of Machine Elements, 2nd edition, chapter 10, as used in its example 10.2.

    >>> 1000 * free_height_for(3500.0, 179014.0, 77e-3, 3e-3)   # example 10.2: 99.55
    99.55
    """
    not_negative("gap", gap, LENGTH)
    return solid + gap + load / rate


def nested_load(
    outer_rate: float, outer_free: float, inner_rate: float, inner_free: float, height: float, step: float
) -> float:
    """
    What two springs in one another push together, the inner one standing on a step.

        F = k_o * (L_o - L) + k_i * (L_i - (L - step)), an inner spring that is loose pushing nothing

    outer_rate : one force per length, > 0 [N/m]
    outer_free : one length, > 0 [m]
        L_o, free height of the outer spring.
    inner_rate : one force per length, > 0 [N/m]
    inner_free : one length, > 0 [m]
        L_i, free height of the inner spring.
    height : one length, > 0 [m]
        L, of the outer spring.
    step : one length, any [m]
        By how much the inner spring is shorter in place, both ends together; below zero it has more room.
    Returns one force, > 0 [N]
    Refuses (OutOfDomain) a height at which the outer spring is loose, and a step that leaves the inner no height.
    Source: Design of Machine Elements, 2nd edition, chapter 10, as used in its example 10.19.

    >>> # example 10.19: 28.253 and 29.430 N/mm, the inner 15 mm shorter, squeezed to 1000 N
    >>> nested_load(28253.47, 0.1, 29430.70, 0.085, 0.1 - 24.98884e-3, 0.0)
    1000.0
    """
    room = height - step
    if room <= 0:
        raise OutOfDomain(f"a step of {shown(step, LENGTH)} leaves the inner spring no height")
    outer = load_from_free_height(outer_rate, outer_free, height)
    return outer + (inner_rate * (inner_free - room) if room < inner_free else 0.0)


def nested_bind_clearance(
    installed_height: float, lift: float, outer_solid: float, inner_solid: float, step: float
) -> float:
    """
    What is left at full lift before the first of two springs in one another binds; below zero one does.

        clearance = min(installed_height - lift - outer_solid, installed_height - step - lift - inner_solid)

    installed_height : one length, > 0 [m]
        Of the outer spring, valve closed, shims in.
    lift : one length, > 0 [m]
    outer_solid : one length, > 0 [m]
    inner_solid : one length, > 0 [m]
    step : one length, any [m]
        By how much the inner spring is shorter in place.
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * nested_bind_clearance(38e-3, 10e-3, 26.5e-3, 24e-3, 3e-3)        # by hand: the inner, 25 - 24
    1.0
    """
    return min(
        bind_clearance(installed_height, lift, outer_solid),
        bind_clearance(installed_height - step, lift, inner_solid),
    )


def nested_gap(outer_mean: float, outer_wire: float, inner_mean: float, inner_wire: float) -> float:
    """
    Radial gap between two springs in one another; below zero they don't go in.

        gap = (outer_mean - outer_wire - inner_mean - inner_wire) / 2

    outer_mean : one length, > 0 [m]
        Mean coil diameter of the outer spring.
    outer_wire : one length, > 0 [m]
    inner_mean : one length, > 0 [m]
        Mean coil diameter of the inner spring.
    inner_wire : one length, > 0 [m]
    Returns one length, of either sign [m]
    Refuses (OutOfDomain) by its signature only.
    Source: geometry, by hand.

    >>> 1000 * nested_gap(30e-3, 4e-3, 21e-3, 3e-3)             # by hand: (26 - 24) / 2
    1.0
    """
    return (outer_mean - outer_wire - inner_mean - inner_wire) / 2


def spring_stress(load: float, mean_diameter: float, wire: float) -> float:
    """
    Largest shear stress in the wire, at the inside of the coil, with Wahl's factor.

        tau = ((4C - 1) / (4C - 4) + 0.615 / C) * 8 * F * D / (pi * d^3),   C = D / d

    load : one force, > 0 [N]
    mean_diameter : one length, > 0 [m]
        D.
    wire : one length, > 0 [m]
        d.
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) a coil less than twice its wire across.
    Source: Design of Machine Elements, 2nd edition, chapter 10, as used in its example 10.19.

    >>> spring_stress(706.0215, 36e-3, 6e-3) / 1e6  # example 10.19: 375.3 N/mm2
    375.3
    """
    index = mean_diameter / wire
    if index < 2:
        raise OutOfDomain(
            f"{shown(wire, LENGTH)} wire can't be wound to a mean diameter of {shown(mean_diameter, LENGTH)}"
        )
    wahl = (4 * index - 1) / (4 * index - 4) + 0.615 / index
    return wahl * 8 * load * mean_diameter / (math.pi * wire**3)


def surge_frequency(rate: float, spring_mass: float) -> float:
    """
    Lowest frequency at which a spring held at both ends surges.

        f = sqrt(k / m) / 2

    rate : one force per length, > 0 [N/m]
    spring_mass : one mass, > 0 [kg]
        Of the coils that move: the active ones.
    Returns one rate, > 0 [1/s]
    Refuses (OutOfDomain) by its signature only.
    Source: wave along a uniform spring between fixed ends; Mechanical Springs, 1963. From memory.

    >>> surge_frequency(40e3, 0.064)                # by hand: sqrt(625000) / 2
    395.28
    """
    return math.sqrt(rate / spring_mass) / 2


_RATE = Argument("rate", SPRING_RATE, 0.0)
_WIRE, _MEAN = a_size("wire"), a_size("mean_diameter")
_INSTALLED, _LIFT, _HEIGHT = a_size("installed_height"), a_size("lift"), a_size("height")
_KNOWN = (Argument("known_load", FORCE, 0.0), a_size("known_height"), _RATE)
_SOLID = a_size("solid", called="solid height")
_LOAD, _STEP = Argument("load", FORCE, 0.0), Argument("step", LENGTH)

SIGNATURES = (
    Signature(
        "rate_from_wire",
        (Argument("shear_modulus", PRESSURE, 0.0), _WIRE, _MEAN, Argument("active_coils", NUMBER, 0.0)),
        SPRING_RATE,
        rate_from_wire,
    ),
    Signature(
        "rate_from_loads",
        (
            Argument("closed_load", FORCE, 0.0),
            Argument("open_load", FORCE, 0.0),
            a_size("closed_height"),
            a_size("open_height"),
        ),
        SPRING_RATE,
        rate_from_loads,
    ),
    Signature("load_from_free_height", (_RATE, a_size("free_height"), _HEIGHT), FORCE, load_from_free_height),
    Signature("load_at_height", (*_KNOWN, _HEIGHT), FORCE, load_at_height),
    Signature("height_for_load", (*_KNOWN, _LOAD), LENGTH, height_for_load),
    Signature("shim_to_height", (_INSTALLED, a_size("wanted_height")), LENGTH, shim_to_height),
    Signature(
        "shim_to_load",
        (Argument("measured_load", FORCE, 0.0), Argument("wanted_load", FORCE, 0.0), _RATE),
        LENGTH,
        shim_to_load,
    ),
    Signature(
        "solid_height_of_wire", (_WIRE, Argument("total_coils", NUMBER, 0.0)), LENGTH, solid_height_of_wire
    ),
    Signature("bind_clearance", (_INSTALLED, _LIFT, _SOLID), LENGTH, bind_clearance),
    Signature("free_height_for", (_LOAD, _RATE, _SOLID, Argument("gap", LENGTH)), LENGTH, free_height_for),
    Signature(
        "nested_load",
        (
            Argument("outer_rate", SPRING_RATE, 0.0),
            a_size("outer_free"),
            Argument("inner_rate", SPRING_RATE, 0.0),
            a_size("inner_free"),
            _HEIGHT,
            _STEP,
        ),
        FORCE,
        nested_load,
        smooth=False,
    ),
    Signature(
        "nested_bind_clearance",
        (_INSTALLED, _LIFT, a_size("outer_solid"), a_size("inner_solid"), _STEP),
        LENGTH,
        nested_bind_clearance,
        smooth=False,
    ),
    Signature(
        "nested_gap",
        (a_size("outer_mean"), a_size("outer_wire"), a_size("inner_mean"), a_size("inner_wire")),
        LENGTH,
        nested_gap,
    ),
    Signature("spring_stress", (_LOAD, _MEAN, _WIRE), PRESSURE, spring_stress),
    Signature("surge_frequency", (_RATE, Argument("spring_mass", MASS, 0.0)), FREQUENCY, surge_frequency),
)
