"""What a tight joint holds against being pushed or turned out, what it takes to press it in, and what roughness costs.

Forces here are friction on the whole joint under even pressure. Friction belongs to the pair, the state of the surfaces
and the way of joining; `FRICTIONS` lists what sources give. Take the least for holding and the most for the press.

Said once for all functions here:

pressure : one pressure, any [Pa]
    Between the parts at the temperatures in question, not negative.
diameter : one length, > 0 [m]
    Of the joint.
length : one length, > 0 [m]
    Of the joint that bears.
ring_rz : one length, > 0 [m]
    Rz of the ring's outside.
bore_rz : one length, > 0 [m]
    Rz of the bore.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from runner.engineering.interference import DIAMETER, PRESSURE_ARGUMENT, pressing
from runner.engineering.signature import Argument, Signature, a_size
from runner.quantities.kinds import FORCE, LENGTH, NUMBER, PRESSURE, TORQUE


@dataclass(frozen=True, slots=True)
class Friction:
    """Friction of one pair of metals in one condition; `least` and `most` are equal where the source gives one value."""

    pair: str
    condition: str
    least: float
    most: float
    source: str


_SHRUNK = "DIN 7190-1:2017, 5.3, as a public reproduction prints it; the standard itself was not seen"
_LECTURE = "a university's lecture site on tribology, interference fits"

FRICTIONS = (
    Friction("steel in aluminium or magnesium", "shrunk in, dry", 0.10, 0.15, _SHRUNK),
    Friction("steel in brass", "shrunk in, dry", 0.17, 0.25, _SHRUNK),
    Friction("steel in steel", "shrunk in, heated up to 300 degC", 0.15, 0.15, _SHRUNK),
    Friction("steel in steel", "shrunk in, degreased, heated up to 300 degC", 0.20, 0.20, _SHRUNK),
    Friction("steel in steel", "joined by oil pressure, mineral oil", 0.12, 0.12, _SHRUNK),
    Friction("steel in steel", "joined by oil pressure, degreased, glycerine", 0.18, 0.18, _SHRUNK),
    Friction("steel in cast iron", "joined by oil pressure, mineral oil", 0.10, 0.10, _SHRUNK),
    Friction("steel in cast iron", "joined by oil pressure, degreased", 0.16, 0.16, _SHRUNK),
    Friction("steel in steel", "dry", 0.10, 0.15, _LECTURE),
    Friction("steel in steel", "lubricated", 0.05, 0.10, _LECTURE),
    Friction("steel in brass or bronze", "dry", 0.05, 0.10, _LECTURE),
)
# plain numbers. The values of DIN 7190-1 divide the force that made the joint slip by the pressure as calculated, so
# they hold only with a pressure calculated as in `interference`. For iron, sintered and hard-faced rings in aluminium,
# and for rings pressed cold into aluminium, no source was found: the shop measures, or takes 0.10 for holding.


def holding_force(pressure: float, diameter: float, length: float, friction: float) -> float:
    """
    The force along the axis that a tight joint holds before it slips. Take the least friction of its pair.

        F = friction * p * pi * diameter * length

    length : one length, > 0 [m]
        Of the joint that bears, without chamfers and relief.
    friction : one number, > 0 to 1 [1]
        Shrunk in dry, steel in aluminium: 0.10 to 0.15; steel in steel 0.15, degreased 0.20.
    Returns one force, not negative [N]
    Refuses (OutOfDomain) a negative pressure.
    Source: DIN 7190-1:2017, Interference fits; from memory. Frictions: 5.3, as a public reproduction prints it.

    >>> holding_force(30e6, 0.042, 0.008, 0.1)      # by hand: 0.1 * 30 * pi * 42 * 8
    3166.7
    """
    return friction * pressing(pressure) * math.pi * diameter * length


def holding_torque(pressure: float, diameter: float, length: float, friction: float) -> float:
    """
    The torque about its axis that a tight joint holds before it turns. Take the least friction of its pair.

        T = friction * p * pi * diameter**2 * length / 2

    friction : one number, > 0 to 1 [1]
        As for holding_force.
    Returns one torque, not negative [N*m]
    Refuses (OutOfDomain) a negative pressure.
    Source: as holding_force, at half the diameter.

    >>> holding_torque(30e6, 0.042, 0.008, 0.1)     # by hand: 3166.7 N at 21 mm
    66.50
    """
    return holding_force(pressure, diameter, length, friction) * diameter / 2


def press_force(pressure: float, diameter: float, depth: float, friction: float) -> float:
    """
    The force of a press when a part has gone in so far; greatest at full depth. Take the most friction of its pair.

        F = friction * p * pi * diameter * depth

    It rises in a straight line with depth. A curve that jumps shows a scored or tilted ring, one that stays low a loose
    one. For a press that has to be able to do it, not for what the joint holds afterwards.

    pressure : one pressure, any [Pa]
        Between the parts as pressed, before roughness has worn off; not negative.
    depth : one length, > 0 [m]
        How far the part bears, chamfer left out.
    friction : one number, > 0 to 1 [1]
        Steel in steel dry 0.10 to 0.15, lubricated 0.05 to 0.10; a galled joint goes far above.
    Returns one force, not negative [N]
    Refuses (OutOfDomain) a negative pressure.
    Source: as holding_force. Frictions: a university's lecture site on tribology, interference fits.

    >>> press_force(60e6, 0.012, 0.03, 0.15)        # by hand: 0.15 * 60 * pi * 12 * 30
    10178.8
    """
    return friction * pressing(pressure) * math.pi * diameter * depth


def pressure_to_hold(force: float, diameter: float, length: float, friction: float) -> float:
    """
    The pressure that a joint needs to hold a force along its axis.

        p = F / (friction * pi * diameter * length)

    force : one force, > 0 [N]
        To be held, with the safety the shop wants already in it.
    friction : one number, > 0 to 1 [1]
        The least of the pair.
    Returns one pressure, > 0 [Pa]
    Refuses (OutOfDomain) by its signature only.
    Source: holding_force, solved for the pressure.

    >>> pressure_to_hold(3166.7, 0.042, 0.008, 0.1) / 1e6    # by hand: holding_force turned round
    30.00
    """
    return force / (friction * math.pi * diameter * length)


def roughness_loss_2017(ring_rz: float, bore_rz: float) -> float:
    """
    What the flattening of both surfaces takes off the interference, on the diameter, after the edition of 2017.

        loss = 0.4 * (ring_rz + bore_rz)

    Take it off before working out a pressure. Half the loss of the edition before it: never mix the two in one job.

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: DIN 7190-1:2017, Interference fits; several public manuals state 0.4 for it. The standard was not seen.

    >>> 1e6 * roughness_loss_2017(10e-6, 6e-6)      # by hand: 0.4 * 16
    6.40
    """
    return 0.4 * (ring_rz + bore_rz)


def roughness_loss_2001(ring_rz: float, bore_rz: float) -> float:
    """
    What the flattening of both surfaces takes off the interference, on the diameter, after the edition of 2001.

        loss = 0.8 * (ring_rz + bore_rz)

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: DIN 7190:2001, Interference fits; several public manuals state 0.8 for it. The standard was not seen.

    >>> 1e6 * roughness_loss_2001(10e-6, 6e-6)      # by hand: 0.8 * 16
    12.80
    """
    return 0.8 * (ring_rz + bore_rz)


def roughness_loss_from_ra(ring_ra: float, bore_ra: float) -> float:
    """
    What the flattening of both surfaces takes off the interference, on the diameter, where only Ra is known.

        loss = 2 * 0.1 * (Rz of the ring + Rz of the bore), Rz = 6 * Ra

    A convention of its own, a quarter of the edition of 2001 for the same Rz. Rz over Ra is 4 to 7 in turned and bored
    surfaces, so it is good for its size only.

    ring_ra : one length, > 0 [m]
        Ra of the ring's outside.
    bore_ra : one length, > 0 [m]
        Ra of the bore.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: a university's lecture site on tribology, interference fits, which takes Rz = 6 Ra from ISO 6336-2; the
    spread of Rz over Ra from memory, not looked up.

    >>> 1e6 * roughness_loss_from_ra(0.5e-6, 1e-6)  # by hand: 0.2 * 6 * 1.5
    1.80
    """
    return 2 * 0.1 * 6 * (ring_ra + bore_ra)


_FRICTION = Argument("friction", NUMBER, above=0.0, at_most=1.0)
_HELD = (PRESSURE_ARGUMENT, DIAMETER, a_size("length"), _FRICTION)
_RZ = (a_size("ring_rz", called="ring's Rz"), a_size("bore_rz", called="bore's Rz"))
_RA = (a_size("ring_ra", called="ring's Ra"), a_size("bore_ra", called="bore's Ra"))

SIGNATURES = (
    Signature("holding_force", _HELD, FORCE, holding_force),
    Signature("holding_torque", _HELD, TORQUE, holding_torque),
    Signature("press_force", (PRESSURE_ARGUMENT, DIAMETER, a_size("depth"), _FRICTION), FORCE, press_force),
    Signature(
        "pressure_to_hold",
        (Argument("force", FORCE, above=0.0), DIAMETER, a_size("length"), _FRICTION),
        PRESSURE,
        pressure_to_hold,
    ),
    Signature("roughness_loss_2017", _RZ, LENGTH, roughness_loss_2017),
    Signature("roughness_loss_2001", _RZ, LENGTH, roughness_loss_2001),
    Signature("roughness_loss_from_ra", _RA, LENGTH, roughness_loss_from_ra),
)
