"""What heat a part has had: minutes in a band, minutes above a limit, ageing that it amounts to; oven classes.

The functions over readings are for the job room; formulas call those of single values at the end. A reading is the part's
own temperature. Two readings belong together when no more than interval and grace lie between them; more is a gap. A gap
proves nothing for a soak, and counts in full, at the hotter of its two readings, towards what heat does to the metal.
Between readings that belong together the temperature is taken as a straight line.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from runner.engineering.bounds import not_negative
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_temperature, shown
from runner.quantities.kinds import NUMBER, TEMPERATURE, TEMPERATURE_DIFFERENCE, TIME, TORQUE

GAS_CONSTANT = 8.314462618
# J/mol/K; exact by the SI of 2019. From memory.

A356_AGEING = 128_717.0
"""J/mol, precipitation in A356: Materials Science and Engineering A 532 (2012) 610-615, abstract."""

AGEING_ENERGY = TORQUE
# a mole counts as a plain number here

SHORT, SHORT_ONES = 120.0, 4
"""An oven door open for so many seconds, so many times, doesn't stop an ageing soak: AMS 2770R:2020, as quoted."""

UNIFORMITY: Mapping[int, tuple[float, float]] = MappingProxyType(
    {1: (3.0, 5.0), 2: (6.0, 10.0), 3: (8.0, 15.0), 4: (10.0, 20.0), 5: (14.0, 25.0), 6: (28.0, 50.0)}
)
"""Furnace classes: tolerance in degC and in degF, rounded each for itself. AMS 2750F (2020), table 6; degF from memory."""


@dataclass(frozen=True, slots=True)
class Timed:
    """A part's temperature [K] at a time [s] on any clock that only goes forward."""

    at: float
    temperature: float


@dataclass(frozen=True, slots=True)
class Pause:
    """When a soak didn't count [s], and why: 'below', 'above', 'gap' or 'door'; it lasts until the soak counts again."""

    start: float
    end: float
    why: str


@dataclass(frozen=True, slots=True)
class Soak:
    """What a soak amounts to: the time that counts [s], the pauses in it, when it first and last counted, the hottest [K]."""

    counted: float
    pauses: tuple[Pause, ...]
    first: float | None
    last: float | None
    peak: float


def soaked(
    readings: Sequence[Timed],
    low: float,
    high: float,
    interval: float,
    grace: float,
    openings: Sequence[tuple[float, float]] = (),
) -> Soak:
    """
    The soak that readings prove in a band of temperature [K], both ends in it.

    A stretch counts between two readings that are both inside and no further apart than interval + grace [s]. A dip, a
    rise, a gap stops the clock until the next stretch that counts, so recovery is in the pause. `openings` are the oven's
    open doors [s, s]: up to four of at most two minutes don't stop it; any other stretch touched by one doesn't count.
    Refuses (OutOfDomain) readings out of order, of no temperature, and a band or an interval that is none.
    """
    _ordered(readings, interval, grace)
    if not low <= high:
        raise OutOfDomain("the band of the soak has its cold end above its hot end")
    stopping = _stopping(openings)
    stretches = [
        (before.at, after.at, _why(before, after, low, high, interval + grace, stopping))
        for before, after in itertools.pairwise(readings)
    ]
    counting = [(start, end) for start, end, why in stretches if not why]
    pauses: list[Pause] = []
    for start, end, why in stretches:
        if not why or not counting or start < counting[0][0] or end > counting[-1][1]:
            continue
        if pauses and pauses[-1].end == start:
            pauses[-1] = Pause(pauses[-1].start, end, pauses[-1].why)
        else:
            pauses.append(Pause(start, end, why))
    return Soak(
        math.fsum(end - start for start, end in counting),
        tuple(pauses),
        counting[0][0] if counting else None,
        counting[-1][1] if counting else None,
        peak(readings),
    )


def time_in_band(readings: Sequence[Timed], low: float, high: float, interval: float, grace: float) -> float:
    """The time [s] that readings prove in a band [K]: `soaked` without doors. Refuses what it refuses."""
    return soaked(readings, low, high, interval, grace).counted


def time_above(readings: Sequence[Timed], threshold: float, interval: float, grace: float) -> float:
    """
    The time [s] above a temperature [K] that a part may have had: on straight lines, and a gap in full if either of its
    readings is above. Refuses (OutOfDomain) readings out of order, of no temperature, and an interval that is none.
    """
    _ordered(readings, interval, grace)
    total = []
    for before, after in itertools.pairwise(readings):
        lasted = after.at - before.at
        cold, hot = sorted((before.temperature, after.temperature))
        if hot <= threshold:
            continue
        whole = cold >= threshold or lasted > interval + grace
        total.append(lasted if whole else lasted * (hot - threshold) / (hot - cold))
    return math.fsum(total)


def peak(readings: Sequence[Timed]) -> float:
    """The hottest reading [K]. Refuses (OutOfDomain) where there is none."""
    if not readings:
        raise OutOfDomain("without a reading there is no hottest one")
    return max(reading.temperature for reading in readings)


def equivalent_ageing(
    readings: Sequence[Timed],
    reference_temperature: float,
    interval: float,
    grace: float,
    activation_energy: float = A356_AGEING,
) -> float:
    """
    The time [s] at a reference temperature [K] that would age the metal as its whole history did.

        the integral of exp(Q / R * (1 / Tref - 1 / T)) dt

    On straight lines by Gauss's rule (to 1e-7 where a stretch spans 100 K), a gap in full at its hotter reading. Q [J/mol].
    Refuses (OutOfDomain) readings out of order, of no temperature, an interval or an energy that is none.
    Source: Arrhenius; A356_AGEING.
    """
    _ordered(readings, interval, grace)
    total = []
    for before, after in itertools.pairwise(readings):
        lasted = after.at - before.at
        if lasted > interval + grace:
            hotter = max(before.temperature, after.temperature)
            total.append(equivalent_time(lasted, hotter, reference_temperature, activation_energy))
            continue
        rise = after.temperature - before.temperature
        panels = 1 + int(abs(rise) / 20)
        for panel in range(panels):
            for place, weight in _GAUSS:
                there = before.temperature + rise * (panel + (1 + place) / 2) / panels
                share = lasted * weight / 2 / panels
                total.append(equivalent_time(share, there, reference_temperature, activation_energy))
    return math.fsum(total)


_GAUSS = ((0.0, 8 / 9), (-math.sqrt(0.6), 5 / 9), (math.sqrt(0.6), 5 / 9))
# places and weights on -1 to 1, three points; Handbook of Mathematical Functions, table 25.4


def coldest(rows: Iterable[tuple[float, Sequence[float]]]) -> tuple[Timed, ...]:
    """Of a load's rows (time [s], temperatures of its parts [K]) the coldest in each: it governs the load's soak."""
    return tuple(Timed(at, min(temperatures)) for at, temperatures in rows if temperatures)


def hottest(rows: Iterable[tuple[float, Sequence[float]]]) -> tuple[Timed, ...]:
    """Of a load's rows (time [s], temperatures of its parts [K]) the hottest in each: it governs the deviation."""
    return tuple(Timed(at, max(temperatures)) for at, temperatures in rows if temperatures)


def _ordered(readings: Sequence[Timed], interval: float, grace: float) -> None:
    if not (interval > 0 and grace >= 0 and math.isfinite(interval + grace)):
        raise OutOfDomain("readings are due at an interval above zero, with a grace of zero or more")
    for reading in readings:
        if not (math.isfinite(reading.at) and math.isfinite(reading.temperature) and reading.temperature > 0):
            raise OutOfDomain("a reading of the history has no time or no temperature")
    for before, after in itertools.pairwise(readings):
        if after.at < before.at:
            raise OutOfDomain(
                f"the readings of the history are out of order: one goes back by {shown(before.at - after.at, TIME)}"
            )


def _stopping(openings: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The openings that stop a soak: all but the first four short ones."""
    short = 0
    stopping = []
    for start, end in sorted(openings):
        if not (math.isfinite(start) and math.isfinite(end) and start <= end):
            raise OutOfDomain("an opening of the oven door ends before it starts")
        if end - start <= SHORT and short < SHORT_ONES:
            short += 1
        else:
            stopping.append((start, end))
    return stopping


def _why(
    before: Timed,
    after: Timed,
    low: float,
    high: float,
    longest: float,
    stopping: Sequence[tuple[float, float]],
) -> str:
    """Why the stretch between two readings doesn't count, or nothing."""
    temperatures = (before.temperature, after.temperature)
    if max(temperatures) > high:
        return "above"
    if min(temperatures) < low:
        return "below"
    if any(start < after.at and end > before.at for start, end in stopping):
        return "door"
    return "gap" if after.at - before.at > longest else ""


# of single values, for formulas


def equivalent_time(
    time: float, temperature: float, reference_temperature: float, activation_energy: float
) -> float:
    """
    The time at a reference temperature that ages the metal as a time at another does. Add these, never plain hours.

        t_ref = t * exp(Q / R * (1 / T_ref - 1 / T))

    time : one time, any [s]
        0 or more.
    temperature : one temperature, > 0 to 2000 [K]
        At which the time was spent.
    reference_temperature : one temperature, > 0 to 2000 [K]
    activation_energy : one energy a mole, > 0 to 1e6 [J/mol]
        128.717 kJ/mol for precipitation in A356 (Materials Science and Engineering A 532 (2012) 610-615, abstract).
    Returns one time, 0 or more [s]
    Refuses (OutOfDomain) a time below zero, and a reference so cold that nothing ages.
    Source: Arrhenius' law.

    >>> # 18 h at 165 degC in terms of 195; by hand 18 * exp(15481 * (1 / 468.15 - 1 / 438.15))
    >>> equivalent_time(18.0, 438.15, 468.15, 128717.0)
    1.87
    """
    not_negative("time", time, TIME)
    colder = 1 / reference_temperature - 1 / temperature
    faster = activation_energy / GAS_CONSTANT * colder
    if faster > 700:
        standing = shown(reference_temperature, TEMPERATURE)
        raise OutOfDomain(f"at {standing} ageing stands still, so no time there comes to it")
    return time * math.exp(faster)


def larson_miller_parameter(time: float, temperature: float, constant: float) -> float:
    """
    One number for time and temperature together: exposures with the same number do the same to the metal.

        P = T * (C + log10(t)),  t in hours

    time : one time, > 0 [s]
    temperature : one temperature, > 0 to 2000 [K]
    constant : one number, > 0 to 100 [1]
        20 where nothing better is known.
    Returns one parameter, of either sign [K]
    Refuses (OutOfDomain) by its signature only.
    Source: Materials Science and Engineering (adapted), design ex. 11.2, p. 421.

    >>> larson_miller_parameter(233 * 3600.0, 1073.15, 20.0)         # the example's: 24.0e3
    24003.5
    """
    return temperature * (constant + math.log10(time) - math.log10(3600))


def larson_miller_time(parameter: float, temperature: float, constant: float) -> float:
    """
    The time at a temperature that comes to a Larson-Miller parameter.

        t = 10**(P / T - C) hours

    parameter : one parameter, > 0 to 1e6 [K]
    temperature : one temperature, > 0 to 2000 [K]
    constant : one number, > 0 to 100 [1]
        20 where nothing better is known.
    Returns one time, > 0 [s]
    Refuses (OutOfDomain) by its signature only.
    Source: Materials Science and Engineering (adapted), design ex. 11.2, p. 421.

    >>> larson_miller_time(24.0e3, 1073.15, 20.0) / 3600         # the example's: 233 h with 1073 K
    231.3
    """
    return float(3600 * 10 ** (parameter / temperature - constant))


def uniformity_tolerance(furnace_class: float) -> float:
    """
    How far a furnace of a class may be from its set temperature anywhere in its working zone, either way.

        class    1   2   3    4    5    6
        K        3   6   8   10   14   28

    furnace_class : one number, > 0 to 6 [1]
        A whole one.
    Returns one temperature difference, > 0 [K]
    Refuses (OutOfDomain) a class that is no whole number.
    Source: AMS 2750F (2020), furnace classes, degC column; seen in furnace makers' articles.

    >>> uniformity_tolerance(5.0)
    14.0
    """
    if furnace_class not in UNIFORMITY:
        raise OutOfDomain(f"there is no furnace class {furnace_class:g}, only 1 to {max(UNIFORMITY)}")
    return UNIFORMITY[round(furnace_class)][0]


def uniformity_class(worst_deviation: float) -> float:
    """
    The class of a furnace by the worst deviation from its set temperature that a survey found.

        the first class whose tolerance is not less than the deviation

    worst_deviation : one temperature difference, any [K]
        Its size; 0 or more.
    Returns one number, 1 to 6 [1]
    Refuses (OutOfDomain) a negative deviation, and one over 28 K, which no class allows.
    Source: AMS 2750F (2020), furnace classes, degC column; seen in furnace makers' articles.

    >>> uniformity_class(7.2)         # 13 degF: class 3, in a second source
    3.0
    """
    not_negative("worst deviation", worst_deviation, TEMPERATURE_DIFFERENCE)
    for number, (tolerance, _) in UNIFORMITY.items():
        if worst_deviation <= tolerance:
            return float(number)
    raise OutOfDomain(
        f"a furnace that is {shown(worst_deviation, TEMPERATURE_DIFFERENCE)} off somewhere is of no class"
    )


_TIME, _TEMPERATURE = Argument("time", TIME), a_temperature("temperature")
_CONSTANT = Argument("constant", NUMBER, above=0.0, at_most=100.0)

SIGNATURES = (
    Signature(
        "equivalent_time",
        (
            _TIME,
            _TEMPERATURE,
            a_temperature("reference_temperature"),
            Argument("activation_energy", AGEING_ENERGY, above=0.0, at_most=1e6),
        ),
        TIME,
        equivalent_time,
    ),
    Signature(
        "larson_miller_parameter",
        (Argument("time", TIME, above=0.0), _TEMPERATURE, _CONSTANT),
        TEMPERATURE_DIFFERENCE,
        larson_miller_parameter,
    ),
    Signature(
        "larson_miller_time",
        (
            Argument("parameter", TEMPERATURE_DIFFERENCE, above=0.0, at_most=1e6),
            _TEMPERATURE,
            _CONSTANT,
        ),
        TIME,
        larson_miller_time,
    ),
    Signature(
        "uniformity_tolerance",
        (Argument("furnace_class", NUMBER, above=0.0, at_most=6.0),),
        TEMPERATURE_DIFFERENCE,
        uniformity_tolerance,
        smooth=False,
    ),
    Signature(
        "uniformity_class",
        (Argument("worst_deviation", TEMPERATURE_DIFFERENCE),),
        NUMBER,
        uniformity_class,
        smooth=False,
    ),
)
