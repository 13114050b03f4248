"""How tight one seat may be, and how tight it has to be: the range of interference, on the diameter at 20 °C.

Two things set the upper end. The ring has to drop in: at the planned temperatures the bore must be larger than the ring by
the wanted clearance, and each micrometre of interference is one less. And the hub must not yield at its bore, neither cold
(where the metal is strong and the fit whole) nor in service, where the ring runs hotter than the head, the fit tightens and
the metal is weaker; what yields there doesn't come back, and cold the ring is loose. The lower end is grip: in the loosest
state (head and ring hot together, where the head has grown away from the ring) and cold, the pressure left must hold.

Pressures as in `interference`, sizes as in `fits`. The ring's own yield is not in the range: see ring_yield_margin.
Roughness comes on top: what it takes off must be added to both ends of what is measured.

Said once for all functions here:

ring_od : one length, > 0 [m]
    Outside diameter of the ring at 20 °C.
ring_bore : one length, any [m]
    0 for a solid plug.
hub_od : one length, > 0 [m]
    Outside diameter of the metal around the bore; for a head an equivalent one.
ring_modulus : one pressure, > 0 [Pa]
    The ring's modulus of elasticity at 20 °C.
hub_modulus : one pressure, > 0 [Pa]
    The hub's at 20 °C.
ring_poisson : one number, > 0 to 0.5 [1]
    The ring's Poisson's ratio.
hub_poisson : one number, > 0 to 0.5 [1]
    The hub's.
"""

from __future__ import annotations

from runner.engineering.fits import expanded, interference_at
from runner.engineering.interference import (
    ELASTIC,
    HUB_OD,
    RING_BORE,
    a_poisson,
    a_stiffness,
    contact_pressure,
    hub_yield_margin,
    interference_for_pressure,
    von_mises_share,
)
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
from runner.quantities.kinds import LENGTH, NUMBER, PRESSURE


def least_fit(
    pressure: float,
    ring_od: float,
    ring_bore: float,
    hub_od: float,
    ring_expansion: float,
    hub_expansion: float,
    ring_temperature: float,
    hub_temperature: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_hot_modulus: float,
    hub_hot_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """
    The least interference at 20 °C that still presses enough, both cold and in the loosest state planned.

        the larger of: left(p, cold moduli)
                       (left(p, hot moduli) + ring_od * (ah * (Th - 20 degC) - ar * (Tr - 20 degC)))
                           / (1 + ah * (Th - 20 degC))
        left(p, moduli) = interference_for_pressure at the joint

    Smooth, but for a kink where the two are equal.

    pressure : one pressure, any [Pa]
        The least that holds the ring (pressure_to_hold), not negative; 0 asks where the fit is just nil.
    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its temperature below.
    hub_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The hub's, to its temperature below.
    ring_temperature : one temperature, > 0 to 2000 [K]
        Of the ring in the loosest state: the hottest head, in an oven as hot as the head itself.
    hub_temperature : one temperature, > 0 to 2000 [K]
        Of the hub in that state.
    ring_hot_modulus : one pressure, > 0 [Pa]
        The ring's in the loosest state.
    hub_hot_modulus : one pressure, > 0 [Pa]
        The hub's in the loosest state.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) a ring or hub without wall, a pressure that no metal bears.
    Source: interference_at and contact_pressure, solved for the interference at 20 °C.

    >>> # 40 mm ring, bore 32, hub 80, 5 MPa left at 200 °C; by hand: give 2.86136e-11 + 2.27541e-11 per Pa hot, so
    >>> # 10.2736 um left, plus 40 mm * (22e-6 - 11.5e-6) * 180 = 75.6 um, over 1.00396
    >>> 1e6 * least_fit(5e6, 0.04, 0.032, 0.08, 11.5e-6, 22e-6, 473.15, 473.15, 200e9, 72e9, 187.5e9, 69.78e9, 0.29, 0.33)
    85.53
    """
    cold = interference_for_pressure(
        pressure, ring_od, ring_bore, hub_od, ring_modulus, hub_modulus, ring_poisson, hub_poisson
    )
    left = interference_for_pressure(
        pressure, ring_od, ring_bore, hub_od, ring_hot_modulus, hub_hot_modulus, ring_poisson, hub_poisson
    )
    hot = _fit_at_20(left, ring_od, ring_expansion, hub_expansion, ring_temperature, hub_temperature)
    return max(cold, hot)


def most_fit_to_join(
    clearance: float,
    ring_od: float,
    ring_expansion: float,
    hub_expansion: float,
    ring_temperature: float,
    hub_temperature: float,
) -> float:
    """
    The most interference at 20 °C with which the ring still drops in with the wanted clearance.

        ( ring_od * (ah * (Th - 20 degC) - ar * (Tr - 20 degC)) - clearance ) / (1 + ah * (Th - 20 degC))

    clearance : one length, any [m]
        Wanted on the diameter when ring and hub have their joining temperatures.
    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its joining temperature.
    hub_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The hub's, to its joining temperature.
    ring_temperature : one temperature, > 0 to 2000 [K]
        Of the ring when it goes in.
    hub_temperature : one temperature, > 0 to 2000 [K]
        Of the hub then.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) a clearance that no interference leaves at these temperatures.
    Source: joining_clearance, solved for the bore.

    >>> # 42.510 ring at -18 °C, head at 200 °C, 30 um wanted; by hand: (42.510 * (0.00396 + 0.000437) - 0.030) / 1.00396
    >>> 1000 * most_fit_to_join(30e-6, 0.04251, 11.5e-6, 22e-6, 255.15, 473.15)
    0.156297
    """
    most = _fit_at_20(-clearance, ring_od, ring_expansion, hub_expansion, ring_temperature, hub_temperature)
    if most < 0:
        raise OutOfDomain(
            f"at these temperatures no interference leaves a clearance of {shown(clearance, LENGTH)}: "
            "heat the head more, cool the ring more, or ask for less"
        )
    return most


def most_fit_for_stress(
    hub_stress: float,
    ring_od: float,
    ring_bore: float,
    hub_od: float,
    ring_expansion: float,
    hub_expansion: float,
    ring_temperature: float,
    hub_temperature: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """
    The most interference at 20 °C that keeps the hub's bore below a stress when ring and hub have these temperatures.

        p = hub_stress / sqrt(Kh**2 + Kh + 1), Kh = (hub_od**2 + ring_od**2) / (hub_od**2 - ring_od**2)
        ( left(p) + ring_od * (ah * (Th - 20 degC) - ar * (Tr - 20 degC)) ) / (1 + ah * (Th - 20 degC))
        left(p) = interference_for_pressure at the joint

    hub_stress : one pressure, > 0 [Pa]
        By von Mises, allowed at the hub's temperature: its yield there over the margin the shop wants.
    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its temperature.
    hub_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The hub's, to its temperature.
    ring_temperature : one temperature, > 0 to 2000 [K]
        Of the ring in this state.
    hub_temperature : one temperature, > 0 to 2000 [K]
        Of the hub in this state.
    ring_modulus : one pressure, > 0 [Pa]
        The ring's modulus of elasticity at its temperature.
    hub_modulus : one pressure, > 0 [Pa]
        The hub's at its temperature.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) a ring or hub without wall, and a state that is over the stress with no interference at all.
    Source: interference_at, contact_pressure and hub_bore_von_mises, solved for the interference at 20 °C.

    >>> # 40 mm ring, bore 32, hub 80, 100 MPa, all at 20 °C; by hand: p = 100 / 2.33333, give 2.77315e-11 + 2.13278e-11
    >>> t = 293.15
    >>> 1e6 * most_fit_for_stress(100e6, 0.04, 0.032, 0.08, 11.5e-6, 22e-6, t, t, 200e9, 72e9, 0.29, 0.33)
    84.10
    """
    pressure = hub_stress / von_mises_share(ring_od, hub_od)
    left = interference_for_pressure(
        pressure, ring_od, ring_bore, hub_od, ring_modulus, hub_modulus, ring_poisson, hub_poisson
    )
    most = _fit_at_20(left, ring_od, ring_expansion, hub_expansion, ring_temperature, hub_temperature)
    if most < 0:
        raise OutOfDomain(
            f"at these temperatures the hot ring alone stresses the hub over {shown(hub_stress, PRESSURE)}, "
            "with no interference at all"
        )
    return most


def most_fit(
    clearance: float,
    ring_od: float,
    ring_bore: float,
    hub_od: float,
    ring_joining_expansion: float,
    hub_joining_expansion: float,
    ring_joining_temperature: float,
    hub_joining_temperature: float,
    hub_stress: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_service_expansion: float,
    hub_service_expansion: float,
    ring_service_temperature: float,
    hub_service_temperature: float,
    hub_service_stress: float,
    ring_service_modulus: float,
    hub_service_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
) -> float:
    """
    The most interference at 20 °C for one seat: it drops in, and the hub doesn't yield cold or in service.

        the least of: most_fit_to_join at the joining temperatures
                      most_fit_for_stress at 20 degC
                      most_fit_for_stress in service

    Smooth, but for a kink where another of the three takes over. The two functions on their own show which one rules.

    clearance : one length, any [m]
        Wanted on the diameter at the joining temperatures.
    ring_joining_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its joining temperature.
    hub_joining_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The hub's, to its joining temperature.
    ring_joining_temperature : one temperature, > 0 to 2000 [K]
        Of the ring when it goes in.
    hub_joining_temperature : one temperature, > 0 to 2000 [K]
        Of the hub then.
    hub_stress : one pressure, > 0 [Pa]
        By von Mises, allowed in the hub at 20 °C.
    ring_service_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its service temperature.
    hub_service_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The hub's, to its service temperature.
    ring_service_temperature : one temperature, > 0 to 2000 [K]
        Of the ring at its worst: hottest against the coldest head.
    hub_service_temperature : one temperature, > 0 to 2000 [K]
        Of the hub then.
    hub_service_stress : one pressure, > 0 [Pa]
        By von Mises, allowed in the hub at its service temperature.
    ring_service_modulus : one pressure, > 0 [Pa]
        The ring's modulus of elasticity at its service temperature.
    hub_service_modulus : one pressure, > 0 [Pa]
        The hub's at its service temperature.
    Returns one length, not negative [m]
    Refuses (OutOfDomain) what any of the three refuses.
    Source: as most_fit_to_join and most_fit_for_stress.

    >>> # 40 mm ring, bore 32, hub 80; joined at 200 and -18 °C with 30 um; by hand 145.3 um to join, 84.1 um at 100 MPa
    >>> # cold; in service ring 300, head 150 °C, 90 MPa: 75.69 um left + 40 mm * (22e-6 * 130 - 11.5e-6 * 280), over
    >>> # 1.00286, is 61.1 um
    >>> 1e6 * most_fit(
    ...     30e-6, 0.04, 0.032, 0.08, 11.5e-6, 22e-6, 255.15, 473.15, 100e6, 200e9, 72e9,
    ...     11.5e-6, 22e-6, 573.15, 423.15, 90e6, 200e9, 72e9, 0.29, 0.33)
    61.12
    """
    cold = REFERENCE_TEMPERATURE
    return min(
        most_fit_to_join(
            clearance,
            ring_od,
            ring_joining_expansion,
            hub_joining_expansion,
            ring_joining_temperature,
            hub_joining_temperature,
        ),
        most_fit_for_stress(
            hub_stress,
            ring_od,
            ring_bore,
            hub_od,
            ring_joining_expansion,
            hub_joining_expansion,
            cold,
            cold,
            ring_modulus,
            hub_modulus,
            ring_poisson,
            hub_poisson,
        ),
        most_fit_for_stress(
            hub_service_stress,
            ring_od,
            ring_bore,
            hub_od,
            ring_service_expansion,
            hub_service_expansion,
            ring_service_temperature,
            hub_service_temperature,
            ring_service_modulus,
            hub_service_modulus,
            ring_poisson,
            hub_poisson,
        ),
    )


def hub_yield_margin_at(
    ring_od: float,
    bore: float,
    ring_bore: float,
    hub_od: float,
    ring_expansion: float,
    hub_expansion: float,
    ring_temperature: float,
    hub_temperature: float,
    ring_modulus: float,
    hub_modulus: float,
    ring_poisson: float,
    hub_poisson: float,
    hub_yield: float,
) -> float:
    """
    How many times the hub's yield is above its stress when ring and hub have these temperatures, as just after joining.

        hub_yield_margin of contact_pressure of interference_at

    A head just joined is as hot as it will be, and yields at less; moduli and yield are those at its temperature.

    bore : one length, > 0 [m]
        Of the hub, at 20 °C.
    ring_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The ring's, to its temperature.
    hub_expansion : one mean expansion from 20 °C, > -1e-4 to 1e-3 [1/K]
        The hub's, to its temperature.
    ring_temperature : one temperature, > 0 to 2000 [K]
        Of the ring in this state.
    hub_temperature : one temperature, > 0 to 2000 [K]
        Of the hub in this state.
    ring_modulus : one pressure, > 0 [Pa]
        The ring's modulus of elasticity at its temperature.
    hub_modulus : one pressure, > 0 [Pa]
        The hub's at its temperature.
    hub_yield : one pressure, > 0 [Pa]
        Of the hub's metal at its temperature.
    Returns one number, > 0 [1]; under 1 the bore gives
    Refuses (OutOfDomain) a ring that is loose at these temperatures, and a ring or hub without wall.
    Source: interference_at, contact_pressure and hub_yield_margin, one after another.

    >>> # most_fit's example: 61.12 um, ring at 300, head at 150 °C is just 90 MPa; a yield of 135 is half as much again
    >>> hub_yield_margin_at(
    ...     0.04, 0.04 - 61.12e-6, 0.032, 0.08, 11.5e-6, 22e-6, 573.15, 423.15, 200e9, 72e9, 0.29, 0.33, 135e6)
    1.500
    """
    left = interference_at(ring_od, bore, ring_expansion, hub_expansion, ring_temperature, hub_temperature)
    pressure = contact_pressure(
        left, ring_od, ring_bore, hub_od, ring_modulus, hub_modulus, ring_poisson, hub_poisson
    )
    return hub_yield_margin(pressure, ring_od, hub_od, hub_yield)


def _fit_at_20(
    left: float,
    ring_od: float,
    ring_expansion: float,
    hub_expansion: float,
    ring_temperature: float,
    hub_temperature: float,
) -> float:
    """Interference at 20 °C of which this much is left at these temperatures; both may be negative."""
    growth = expanded(1.0, hub_expansion, hub_temperature)
    apart = ring_od * (
        hub_expansion * (hub_temperature - REFERENCE_TEMPERATURE)
        - ring_expansion * (ring_temperature - REFERENCE_TEMPERATURE)
    )
    return (left + apart) / growth


_OD = a_size("ring_od")
_STATE = (
    an_expansion("ring_expansion"),
    an_expansion("hub_expansion"),
    a_temperature("ring_temperature"),
    a_temperature("hub_temperature"),
)
_CLEARANCE = Argument("clearance", LENGTH)

SIGNATURES = (
    Signature(
        "least_fit",
        (
            Argument("pressure", PRESSURE),
            _OD,
            RING_BORE,
            HUB_OD,
            *_STATE,
            a_stiffness("ring_modulus"),
            a_stiffness("hub_modulus"),
            a_stiffness("ring_hot_modulus"),
            a_stiffness("hub_hot_modulus"),
            a_poisson("ring"),
            a_poisson("hub"),
        ),
        LENGTH,
        least_fit,
    ),
    Signature("most_fit_to_join", (_CLEARANCE, _OD, *_STATE), LENGTH, most_fit_to_join),
    Signature(
        "most_fit_for_stress",
        (a_stiffness("hub_stress"), _OD, RING_BORE, HUB_OD, *_STATE, *ELASTIC),
        LENGTH,
        most_fit_for_stress,
    ),
    Signature(
        "most_fit",
        (
            _CLEARANCE,
            _OD,
            RING_BORE,
            HUB_OD,
            an_expansion("ring_joining_expansion"),
            an_expansion("hub_joining_expansion"),
            a_temperature("ring_joining_temperature"),
            a_temperature("hub_joining_temperature"),
            a_stiffness("hub_stress"),
            a_stiffness("ring_modulus"),
            a_stiffness("hub_modulus"),
            an_expansion("ring_service_expansion"),
            an_expansion("hub_service_expansion"),
            a_temperature("ring_service_temperature"),
            a_temperature("hub_service_temperature"),
            a_stiffness("hub_service_stress"),
            a_stiffness("ring_service_modulus"),
            a_stiffness("hub_service_modulus"),
            a_poisson("ring"),
            a_poisson("hub"),
        ),
        LENGTH,
        most_fit,
    ),
    Signature(
        "hub_yield_margin_at",
        (_OD, a_size("bore"), RING_BORE, HUB_OD, *_STATE, *ELASTIC, a_stiffness("hub_yield")),
        NUMBER,
        hub_yield_margin_at,
    ),
)
