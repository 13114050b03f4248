"""What a gauge and the people who use it add to the spread of readings: the average and range method.

Results are standard deviations (one sigma), as in the manual's fourth edition; the older 5.15-sigma factors are not used.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import LENGTH, NUMBER

_ALMOST_WHOLE = 1e-6
# a count that comes out of a calculation as 2.9999999 is 3

_MANY_RANGES = {2: 0.8862, 3: 0.5908, 4: 0.4857, 5: 0.4299}
# K1 = 1 / d2 by trials, for a mean of more than 15 ranges; 2 and 3 as printed in the manual, 4 and 5 from d2

_ONE_RANGE = {
    2: 0.7071, 3: 0.5231, 4: 0.4467, 5: 0.4030, 6: 0.3742, 7: 0.3534, 8: 0.3375, 9: 0.3249, 10: 0.3146,
}  # fmt: skip
# K2 and K3 = 1 / d2* by appraisers or parts, for one range; 3 appraisers and 10 parts seen, the rest from memory and
# held against the distribution of the range in the tests


def gauge_repeatability(mean_range: float, trials: float) -> float:
    """
    Equipment variation EV: the spread of one person with one gauge on one part.

        EV = mean_range * K1(trials)

    mean_range : one length, > 0 [m]
        Mean over all people and parts of the range of the trials.
    trials : one whole number, > 0 to 5 [1]
        Readings by each person on each part, 2 to 5.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a number of trials that is not 2 to 5.
    Source: Measurement Systems Analysis, 4th edition, 2010, average and range method, K1. As reproduced.

    >>> 1000 * gauge_repeatability(0.3417e-3, 3.0)  # the manual's example: 0.20188
    0.20188
    """
    return mean_range * _factor(_MANY_RANGES, trials, "trials")


def gauge_reproducibility(
    mean_difference: float, repeatability: float, appraisers: float, parts: float, trials: float
) -> float:
    """
    Appraiser variation AV: the spread from person to person, without what the gauge alone makes of it.

        AV = sqrt((mean_difference * K2(appraisers))^2 - EV^2 / (parts * trials)), 0 where the root has nothing left

    mean_difference : one length, any [m]
        Largest less smallest mean of one person over all parts.
    repeatability : one length, any [m]
        EV.
    appraisers : one whole number, > 0 to 10 [1]
    parts : one whole number, > 0 [1]
    trials : one whole number, > 0 [1]
    Returns one length, 0 and up [m]
    Refuses (OutOfDomain) a number of appraisers that is not 2 to 10, and parts or trials that are not whole.
    Source: Measurement Systems Analysis, 4th edition, 2010, average and range method, K2. As reproduced.

    >>> 1000 * gauge_reproducibility(0.4446e-3, 0.20188e-3, 3.0, 10.0, 3.0)     # the manual's example: 0.22963
    0.2296
    """
    between = mean_difference * _factor(_ONE_RANGE, appraisers, "appraisers")
    for count, words in ((parts, "parts"), (trials, "trials")):
        if _whole(count) < 1:
            raise OutOfDomain(f"{shown(count, NUMBER)} is no number of {words}: it is counted in whole ones")
    left = between**2 - repeatability**2 / (parts * trials)
    return math.sqrt(left) if left > 0 else 0.0


def gauge_spread(repeatability: float, reproducibility: float) -> float:
    """
    GRR: the spread that gauge and people make together.

        GRR = sqrt(EV^2 + AV^2)

    repeatability : one length, any [m]
        EV.
    reproducibility : one length, any [m]
        AV.
    Returns one length, 0 and up [m]
    Refuses (OutOfDomain) by its signature only.
    Source: Measurement Systems Analysis, 4th edition, 2010, average and range method. As reproduced.

    >>> 1000 * gauge_spread(0.20188e-3, 0.22963e-3)             # the manual's example: 0.30575
    0.30575
    """
    return math.hypot(repeatability, reproducibility)


def part_spread(part_range: float, parts: float) -> float:
    """
    Part variation PV: the spread of the parts themselves.

        PV = part_range * K3(parts)

    part_range : one length, > 0 [m]
        Largest less smallest mean of one part over all people and trials.
    parts : one whole number, > 0 to 10 [1]
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a number of parts that is not 2 to 10.
    Source: Measurement Systems Analysis, 4th edition, 2010, average and range method, K3. As reproduced.

    >>> 1000 * part_spread(3.511e-3, 10.0)          # the manual's example: 1.10456
    1.1046
    """
    return part_range * _factor(_ONE_RANGE, parts, "parts")


def total_spread(gauge: float, part: float) -> float:
    """
    TV: the spread that all readings of the study show.

        TV = sqrt(GRR^2 + PV^2)

    gauge : one length, any [m]
        GRR.
    part : one length, any [m]
        PV.
    Returns one length, 0 and up [m]
    Refuses (OutOfDomain) by its signature only.
    Source: Measurement Systems Analysis, 4th edition, 2010, average and range method. As reproduced.

    >>> 1000 * total_spread(0.30575e-3, 1.10456e-3)             # the manual's example: 1.14610
    1.1461
    """
    return math.hypot(gauge, part)


def distinct_categories(part: float, gauge: float) -> float:
    """
    ndc: how many sizes of part the gauge can tell apart; the manual cuts it to a whole number and asks for 5.

        ndc = 1.41 * PV / GRR

    part : one length, > 0 [m]
        PV.
    gauge : one length, > 0 [m]
        GRR.
    Returns one number, > 0 [1], not rounded
    Refuses (OutOfDomain) by its signature only.
    Source: Measurement Systems Analysis, 4th edition, 2010. As reproduced; one web form prints a root over the
    quotient, which is wrong.

    >>> distinct_categories(1.10456e-3, 0.30575e-3)             # the manual's example: 5
    5.09
    """
    return 1.41 * part / gauge


def gauge_share_of_tolerance(gauge: float, tolerance: float) -> float:
    """
    How much of a tolerance six standard deviations of gauge and people take; 0.1 is good, over 0.3 too much.

        share = 6 * GRR / tolerance

    gauge : one length, > 0 [m]
        GRR.
    tolerance : one length, > 0 [m]
        Upper less lower limit.
    Returns one number, > 0 [1]
    Refuses (OutOfDomain) by its signature only.
    Source: Measurement Systems Analysis, 4th edition, 2010. From memory.

    >>> gauge_share_of_tolerance(0.5e-6, 20e-6)     # by hand: 3 / 20
    0.15
    """
    return 6 * gauge / tolerance


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """A worked study, in the unit of its readings; `categories` is the whole number the manual asks for, at least 1."""

    mean_range: float
    mean_difference: float
    part_range: float
    repeatability: float
    reproducibility: float
    gauge: float
    part: float
    total: float
    categories: int


def gauge_study(readings: Sequence[Sequence[Sequence[float]]]) -> GaugeStudy:
    """
    The whole study from its table, readings[person][part][trial], every person all parts, equally often.

    Refuses (OutOfDomain) a table with gaps, numbers of people, parts or trials outside the factors, readings that are
    no finite number, and parts that don't differ or a gauge that doesn't.
    Source: as the functions above.
    """
    people, parts, trials = _shape(readings)
    ranges = [max(cell) - min(cell) for person in readings for cell in person]
    means = [fmean(one for cell in person for one in cell) for person in readings]
    of_parts = [fmean(one for person in readings for one in person[part]) for part in range(parts)]
    mean_range, difference, part_range = fmean(ranges), _spread(means), _spread(of_parts)
    if mean_range == 0 or part_range == 0:
        raise OutOfDomain(
            "all readings of a part, or all parts, are alike: the gauge is too coarse for this study"
        )
    repeat = gauge_repeatability(mean_range, trials)
    reproduce = gauge_reproducibility(difference, repeat, people, parts, trials)
    gauge, part = gauge_spread(repeat, reproduce), part_spread(part_range, parts)
    categories = max(1, math.floor(distinct_categories(part, gauge)))
    total = total_spread(gauge, part)
    return GaugeStudy(mean_range, difference, part_range, repeat, reproduce, gauge, part, total, categories)


def _shape(readings: Sequence[Sequence[Sequence[float]]]) -> tuple[int, int, int]:
    parts = {len(person) for person in readings}
    trials = {len(cell) for person in readings for cell in person}
    if len(parts) != 1 or len(trials) != 1:
        raise OutOfDomain("the table has gaps: every person measures every part, equally often")
    if not all(math.isfinite(one) for person in readings for cell in person for one in cell):
        raise OutOfDomain("a reading of the table is no number")
    return len(readings), parts.pop(), trials.pop()


def _spread(values: Sequence[float]) -> float:
    return max(values) - min(values)


def _factor(table: dict[int, float], count: float, words: str) -> float:
    whole = _whole(count)
    if whole not in table:
        raise OutOfDomain(
            f"there is no factor for {shown(count, NUMBER)} {words}: the method takes 2 to {max(table)}"
        )
    return table[whole]


def _whole(count: float) -> int:
    """The whole number that a count is, or 0 for a count that is none."""
    near = round(count)
    return near if abs(count - near) <= _ALMOST_WHOLE else 0


_APPRAISERS = Argument("appraisers", NUMBER, 0.0, 10.0, called="number of appraisers")

SIGNATURES = (
    Signature(
        "gauge_repeatability",
        (a_size("mean_range"), Argument("trials", NUMBER, 0.0, 5.0, called="number of trials")),
        LENGTH,
        gauge_repeatability,
    ),
    Signature(
        "gauge_reproducibility",
        (
            Argument("mean_difference", LENGTH),
            Argument("repeatability", LENGTH),
            _APPRAISERS,
            Argument("parts", NUMBER, 0.0, called="number of parts"),
            Argument("trials", NUMBER, 0.0, called="number of trials"),
        ),
        LENGTH,
        gauge_reproducibility,
        smooth=False,
    ),
    Signature(
        "gauge_spread",
        (Argument("repeatability", LENGTH), Argument("reproducibility", LENGTH)),
        LENGTH,
        gauge_spread,
    ),
    Signature(
        "part_spread",
        (a_size("part_range"), Argument("parts", NUMBER, 0.0, 10.0, called="number of parts")),
        LENGTH,
        part_spread,
    ),
    Signature(
        "total_spread",
        (Argument("gauge", LENGTH, called="gauge spread"), Argument("part", LENGTH, called="part spread")),
        LENGTH,
        total_spread,
    ),
    Signature(
        "distinct_categories",
        (a_size("part", called="part spread"), a_size("gauge", called="gauge spread")),
        NUMBER,
        distinct_categories,
    ),
    Signature(
        "gauge_share_of_tolerance",
        (a_size("gauge", called="gauge spread"), a_size("tolerance")),
        NUMBER,
        gauge_share_of_tolerance,
    ),
)
