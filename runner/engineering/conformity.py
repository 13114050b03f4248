"""Whether a measured value conforms, how likely, and what it costs in guard band; expanded uncertainty and its factor.

The value is taken as normally distributed about the reading with its standard uncertainty. How the uncertainty comes
about is not here: the evaluator of formulas propagates it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from runner.engineering.bounds import smaller
from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.engineering.students_t import two_sided_quantile
from runner.quantities.kinds import LENGTH, NUMBER

_ALMOST_CERTAIN = 0.999999
# a share; beyond it the shape of the tail is nobody's knowledge. Common practice, no source.

_ALMOST_WHOLE = 1e-6
# degrees of freedom; 15.9999999 out of a calculation is 16


def chance_within(room: float) -> float:
    """
    How likely a value lies inside one limit, from its room to it in standard uncertainties.

        p = Phi(room)

    room : one number, any [1]
        (upper limit - value) / u, or (value - lower limit) / u; below zero the reading is outside.
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 106:2012, Role of uncertainty in conformity assessment, 7.3. From memory.

    >>> chance_within(2.0)                          # normal tables
    0.97725
    """
    return math.erfc(-room / math.sqrt(2)) / 2


def conformity_below(value: float, uncertainty: float, upper: float) -> float:
    """
    How likely a length is at most its upper limit.

        p = Phi((upper - value) / u)

    value : one length, any [m]
    uncertainty : one length, > 0 [m]
        Standard uncertainty u of the value, k = 1.
    upper : one length, any [m]
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 106:2012, 7.3. From memory.

    >>> conformity_below(0.04236, 3e-6, 0.04237)    # 10 um of room, 3.333 u
    0.99957
    """
    return chance_within((upper - value) / uncertainty)


def conformity_above(value: float, uncertainty: float, lower: float) -> float:
    """
    How likely a length is at least its lower limit.

        p = Phi((value - lower) / u)

    value : one length, any [m]
    uncertainty : one length, > 0 [m]
        Standard uncertainty u of the value, k = 1.
    lower : one length, any [m]
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 106:2012, 7.3. From memory.

    >>> conformity_above(0.04236, 5e-6, 0.04235)    # 2 u of room
    0.97725
    """
    return chance_within((value - lower) / uncertainty)


def conformity_between(value: float, uncertainty: float, lower: float, upper: float) -> float:
    """
    How likely a length lies between its two limits.

        p = Phi((upper - value) / u) - Phi((lower - value) / u)

    value : one length, any [m]
    uncertainty : one length, > 0 [m]
        Standard uncertainty u of the value, k = 1.
    lower : one length, any [m]
    upper : one length, any [m]
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) a lower limit that is not below the upper one.
    Source: JCGM 106:2012, 7.4. From memory.

    >>> conformity_between(0.042355, 5e-6, 0.04235, 0.04237)    # 1 u below, 3 u above: normal tables
    0.84
    """
    smaller("lower limit", lower, "upper limit", upper, LENGTH)
    below, above = (lower - value) / uncertainty, (upper - value) / uncertainty
    if below > 0:
        # outside, the two tails are the small numbers: their difference loses nothing
        return chance_within(-below) - chance_within(-above)
    return chance_within(above) - chance_within(below)


def wrong_acceptance_below(value: float, uncertainty: float, upper: float) -> float:
    """
    How likely a length accepted under its upper limit is over it all the same.

        p = 1 - Phi((upper - value) / u)

    value : one length, any [m]
    uncertainty : one length, > 0 [m]
        Standard uncertainty u of the value, k = 1.
    upper : one length, any [m]
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 106:2012, 9.3.2, specific consumer's risk. From memory.

    >>> wrong_acceptance_below(0.04236, 5e-6, 0.04237)          # 2 u of room
    0.02275
    """
    return chance_within((value - upper) / uncertainty)


def wrong_acceptance_above(value: float, uncertainty: float, lower: float) -> float:
    """
    How likely a length accepted over its lower limit is under it all the same.

        p = 1 - Phi((value - lower) / u)

    value : one length, any [m]
    uncertainty : one length, > 0 [m]
        Standard uncertainty u of the value, k = 1.
    lower : one length, any [m]
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 106:2012, 9.3.2, specific consumer's risk. From memory.

    >>> wrong_acceptance_above(0.04236, 5e-6, 0.04236)          # on the limit: even odds
    0.5
    """
    return chance_within((lower - value) / uncertainty)


def wrong_acceptance_between(value: float, uncertainty: float, lower: float, upper: float) -> float:
    """
    How likely a length accepted between two limits is outside them all the same.

        p = Phi((lower - value) / u) + Phi((value - upper) / u)

    value : one length, any [m]
    uncertainty : one length, > 0 [m]
        Standard uncertainty u of the value, k = 1.
    lower : one length, any [m]
    upper : one length, any [m]
    Returns one number, 0 to 1 [1]
    Refuses (OutOfDomain) a lower limit that is not below the upper one.
    Source: JCGM 106:2012, 9.3.2, specific consumer's risk. From memory.

    >>> wrong_acceptance_between(0.042355, 5e-6, 0.04235, 0.04237)      # 0.15866 + 0.00135
    0.1600
    """
    smaller("lower limit", lower, "upper limit", upper, LENGTH)
    return chance_within((lower - value) / uncertainty) + chance_within((value - upper) / uncertainty)


def guard_band(uncertainty: float, chance: float) -> float:
    """
    How far inside a limit a reading has to lie to conform with a wanted chance.

        w = u * Phi^-1(chance)

    uncertainty : one length, > 0 [m]
        Standard uncertainty u, k = 1.
    chance : one number, > 0 to 0.999999 [1]
        0.95 leaves one in twenty to be over the limit.
    Returns one length, of either sign [m]; below 0.5 the band lies outside the limit.
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 106:2012, 8.3.2. From memory.

    >>> 1e6 * guard_band(10e-6, 0.95)               # normal tables: 1.6449
    16.449
    """
    return uncertainty * NormalDist().inv_cdf(chance)


def guard_band_iso_14253(uncertainty: float) -> float:
    """
    The guard band of ISO 14253-1 where nothing else is agreed: 95 % conformance at the limit of acceptance.

        w = 1.65 * u

    uncertainty : one length, > 0 [m]
        Standard uncertainty u, k = 1.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 14253-1:2017, default decision rule. From memory; its 1.65 is Phi^-1(0.95) = 1.645 rounded up.

    >>> 1e6 * guard_band_iso_14253(3.3e-6)          # by hand
    5.445
    """
    return 1.65 * uncertainty


def guard_band_ilac_g8(uncertainty: float) -> float:
    """
    The guard band of ILAC-G8: the whole expanded uncertainty with k = 2, under 2.5 % wrong acceptance.

        w = U = 2 * u

    uncertainty : one length, > 0 [m]
        Standard uncertainty u, k = 1.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ILAC-G8:09/2019, Guidelines on decision rules, its table of guard bands, as reproduced.

    >>> 1e6 * guard_band_ilac_g8(3.3e-6)            # by hand
    6.6
    """
    return 2 * uncertainty


def lowest_acceptable(lower: float, upper: float, guard: float) -> float:
    """
    The smallest reading that is accepted between two limits with a guard band inside each.

        accepted from = lower + w

    lower : one length, any [m]
    upper : one length, any [m]
    guard : one length, any [m]
        Width of the band at each limit; below zero it is a band of leniency.
    Returns one length, any [m]
    Refuses (OutOfDomain) bands that leave nothing between them.
    Source: JCGM 106:2012, 8.3.2. From memory.

    >>> 1000 * lowest_acceptable(0.04235, 0.04237, 4e-6)        # by hand
    42.354
    """
    _room_left(lower, upper, guard)
    return lower + guard


def highest_acceptable(lower: float, upper: float, guard: float) -> float:
    """
    The largest reading that is accepted between two limits with a guard band inside each.

        accepted to = upper - w

    lower : one length, any [m]
    upper : one length, any [m]
    guard : one length, any [m]
        Width of the band at each limit; below zero it is a band of leniency.
    Returns one length, any [m]
    Refuses (OutOfDomain) bands that leave nothing between them.
    Source: JCGM 106:2012, 8.3.2. From memory.

    >>> 1000 * highest_acceptable(0.04235, 0.04237, 4e-6)       # by hand
    42.366
    """
    _room_left(lower, upper, guard)
    return upper - guard


def _room_left(lower: float, upper: float, guard: float) -> None:
    smaller("lower limit", lower, "upper limit", upper, LENGTH)
    if 2 * guard > upper - lower:
        raise OutOfDomain(
            f"two guard bands of {shown(guard, LENGTH)} leave nothing of a tolerance of "
            f"{shown(upper - lower, LENGTH)}: the gauge is too coarse for it"
        )


def coverage_factor(level: float, degrees: float) -> float:
    """
    How many standard uncertainties hold a wanted share of the values, with few degrees of freedom behind them.

        k = t_p(degrees), Student's t, both sides

    level : one number, > 0 to 0.999999 [1]
        Level of confidence: 0.95 for 95 %.
    degrees : one number, > 0 [1]
        Degrees of freedom, not rounded here; many thousand give the normal distribution's factor.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) fewer than one degree of freedom.
    Source: JCGM 100:2008, G.3.2 and table G.2, clause from memory; the table seen as NIST TN 1297, table B.1.

    >>> coverage_factor(0.99, 16.0)                 # table G.2: 2.92
    2.9208
    """
    if degrees < 1:
        raise OutOfDomain(
            f"{shown(degrees, NUMBER)} degrees of freedom are fewer than one: with so little behind it "
            "the spread itself is unknown"
        )
    return two_sided_quantile(level, degrees)


def expanded_uncertainty(uncertainty: float, level: float, degrees: float) -> float:
    """
    The half-width that holds a wanted share of the values; degrees of freedom are cut to the whole number below.

        U = t_p(whole degrees) * u

    uncertainty : one length, > 0 [m]
        Combined standard uncertainty u.
    level : one number, > 0 to 0.999999 [1]
        Level of confidence: 0.95 for 95 %.
    degrees : one number, > 0 [1]
        Effective degrees of freedom.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) fewer than one degree of freedom.
    Source: JCGM 100:2008, G.4.1 (cut to the next lower whole number) and G.6.4, clauses from memory.

    >>> 1e9 * expanded_uncertainty(32e-9, 0.99, 16.7)           # example H.1: 93 nm
    93.5
    """
    whole = math.floor(degrees + _ALMOST_WHOLE) if degrees < 1e9 else degrees
    return coverage_factor(level, whole if whole >= 1 else degrees) * uncertainty


def welch_satterthwaite(components: Sequence[tuple[float, float]]) -> float:
    """The effective degrees of freedom of a sum of (contribution to u, degrees of freedom), all in one unit.

    An exactly known component has endless degrees (math.inf); only those give endless degrees back. Refuses
    (OutOfDomain) when nothing contributes. Source: JCGM 100:2008, eq. (G.2b).
    """
    largest = max((abs(u) for u, _ in components), default=0.0)
    if largest == 0:
        raise OutOfDomain("nothing contributes to the uncertainty, so there are no degrees of freedom")
    variance = sum((u / largest) ** 2 for u, _ in components)
    lost = sum((u / largest) ** 4 / degrees for u, degrees in components)
    return variance**2 / lost if lost > 0 else math.inf


def effective_degrees(first: float, degrees_1: float, second: float, degrees_2: float) -> float:
    """
    The degrees of freedom of two contributions together; more are added one after another, it comes out the same.

        degrees = (u1^2 + u2^2)^2 / (u1^4 / degrees_1 + u2^4 / degrees_2)

    first : one length, > 0 [m]
        Contribution u1 to the standard uncertainty, sensitivity included.
    degrees_1 : one number, > 0 [1]
        Behind the first; a million for one as good as known.
    second : one length, > 0 [m]
        Contribution u2, or sqrt(u1*u1 + u2*u2) of those joined before.
    degrees_2 : one number, > 0 [1]
        Behind the second.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 100:2008, eq. (G.2b), Welch-Satterthwaite; number from memory.

    >>> effective_degrees(1e-6, 10.0, 1e-6, 10.0)   # two alike: twice as many
    20.0
    """
    return welch_satterthwaite(((first, degrees_1), (second, degrees_2)))


def degrees_of_a_guess(doubt: float) -> float:
    """
    The degrees of freedom of an uncertainty that is itself a judgement, from how far it may be off.

        degrees = 1 / (2 * doubt^2)

    doubt : one number, > 0 [1]
        Relative uncertainty of the uncertainty: 0.25 if it is believed to a quarter.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: JCGM 100:2008, eq. (G.3). From memory.

    >>> degrees_of_a_guess(0.25)                    # G.4.2, example: 8
    8.0
    """
    return 0.5 / doubt / doubt


_VALUE, _U = Argument("value", LENGTH), a_size("uncertainty")
_LOWER, _UPPER = (
    Argument("lower", LENGTH, called="lower limit"),
    Argument("upper", LENGTH, called="upper limit"),
)
_GUARD = Argument("guard", LENGTH, called="guard band")
_LEVEL = Argument("level", NUMBER, 0.0, _ALMOST_CERTAIN, called="level of confidence")
_DEGREES = Argument("degrees", NUMBER, 0.0, called="number of degrees of freedom")

SIGNATURES = (
    Signature("chance_within", (Argument("room", NUMBER),), NUMBER, chance_within),
    Signature("conformity_below", (_VALUE, _U, _UPPER), NUMBER, conformity_below),
    Signature("conformity_above", (_VALUE, _U, _LOWER), NUMBER, conformity_above),
    Signature("conformity_between", (_VALUE, _U, _LOWER, _UPPER), NUMBER, conformity_between),
    Signature("wrong_acceptance_below", (_VALUE, _U, _UPPER), NUMBER, wrong_acceptance_below),
    Signature("wrong_acceptance_above", (_VALUE, _U, _LOWER), NUMBER, wrong_acceptance_above),
    Signature("wrong_acceptance_between", (_VALUE, _U, _LOWER, _UPPER), NUMBER, wrong_acceptance_between),
    Signature("guard_band", (_U, Argument("chance", NUMBER, 0.0, _ALMOST_CERTAIN)), LENGTH, guard_band),
    Signature("guard_band_iso_14253", (_U,), LENGTH, guard_band_iso_14253),
    Signature("guard_band_ilac_g8", (_U,), LENGTH, guard_band_ilac_g8),
    Signature("lowest_acceptable", (_LOWER, _UPPER, _GUARD), LENGTH, lowest_acceptable),
    Signature("highest_acceptable", (_LOWER, _UPPER, _GUARD), LENGTH, highest_acceptable),
    Signature("coverage_factor", (_LEVEL, _DEGREES), NUMBER, coverage_factor),
    Signature("expanded_uncertainty", (_U, _LEVEL, _DEGREES), LENGTH, expanded_uncertainty, smooth=False),
    Signature(
        "effective_degrees",
        (
            a_size("first", called="first contribution"),
            Argument("degrees_1", NUMBER, 0.0, called="first number of degrees"),
            a_size("second", called="second contribution"),
            Argument("degrees_2", NUMBER, 0.0, called="second number of degrees"),
        ),
        NUMBER,
        effective_degrees,
    ),
    Signature("degrees_of_a_guess", (Argument("doubt", NUMBER, 0.0),), NUMBER, degrees_of_a_guess),
)
