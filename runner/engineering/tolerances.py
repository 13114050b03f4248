"""The standard tolerance of a size and a grade, from the table of ISO 286-1. Deviations (H, s, x) are not here."""

from __future__ import annotations

from runner.engineering.signature import Argument, OutOfDomain, Signature, a_size, shown
from runner.quantities.kinds import LENGTH, NUMBER

_ON_THE_STEP = 1e-9
# relative; 50 mm worked out as 50.00000000000001 mm is still 50 mm, and belongs to the step that ends there

_LARGEST = 0.5 * (1 + _ON_THE_STEP)
# metres; where this part of the table ends

_TABLE = (
    # up to    1    2    3    4   5   6   7   8    9   10   11   12   13    14    15    16    17    18
    (3, (0.8, 1.2, 2, 3, 4, 6, 10, 14, 25, 40, 60, 100, 140, 250, 400, 600, 1000, 1400)),
    (6, (1, 1.5, 2.5, 4, 5, 8, 12, 18, 30, 48, 75, 120, 180, 300, 480, 750, 1200, 1800)),
    (10, (1, 1.5, 2.5, 4, 6, 9, 15, 22, 36, 58, 90, 150, 220, 360, 580, 900, 1500, 2200)),
    (18, (1.2, 2, 3, 5, 8, 11, 18, 27, 43, 70, 110, 180, 270, 430, 700, 1100, 1800, 2700)),
    (30, (1.5, 2.5, 4, 6, 9, 13, 21, 33, 52, 84, 130, 210, 330, 520, 840, 1300, 2100, 3300)),
    (50, (1.5, 2.5, 4, 7, 11, 16, 25, 39, 62, 100, 160, 250, 390, 620, 1000, 1600, 2500, 3900)),
    (80, (2, 3, 5, 8, 13, 19, 30, 46, 74, 120, 190, 300, 460, 740, 1200, 1900, 3000, 4600)),
    (120, (2.5, 4, 6, 10, 15, 22, 35, 54, 87, 140, 220, 350, 540, 870, 1400, 2200, 3500, 5400)),
    (180, (3.5, 5, 8, 12, 18, 25, 40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000, 6300)),
    (250, (4.5, 7, 10, 14, 20, 29, 46, 72, 115, 185, 290, 460, 720, 1150, 1850, 2900, 4600, 7200)),
    (315, (6, 8, 12, 16, 23, 32, 52, 81, 130, 210, 320, 520, 810, 1300, 2100, 3200, 5200, 8100)),
    (400, (7, 9, 13, 18, 25, 36, 57, 89, 140, 230, 360, 570, 890, 1400, 2300, 3600, 5700, 8900)),
    (500, (8, 10, 15, 20, 27, 40, 63, 97, 155, 250, 400, 630, 970, 1550, 2500, 4000, 6300, 9700)),
)
# micrometres, by the upper end of the step in millimetres; sources as in tolerance_grade


def tolerance_grade(nominal: float, grade: float) -> float:
    """
    The standard tolerance of grade IT1 to IT18: how far apart the two limits of a size may lie.

        looked up, not worked: step "over the size before, up to and including this one"

    nominal : one length, > 0 to 0.5 [m]
        The nominal size. A size within 1e-9 of itself above the end of a step counts as on it.
    grade : one whole number, > 0 to 18 [1]
        7 for IT7.
    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a grade that is not one of 1 to 18, a size over 500 mm, and IT14 to IT18 up to and including
    1 mm, which the standard doesn't give.
    Source: ISO 286-1:2010, Linear sizes, part 1, table 1; the row up to 1 mm by note 3 to table 1 of the 1988 edition.
    Typed from memory and compared with public reproductions of both; the standard itself was not seen.

    >>> 1e6 * tolerance_grade(0.042, 7)             # table 1, over 30 up to 50 mm, IT7, in micrometres
    25.0
    """
    if grade not in range(1, 19):
        raise OutOfDomain(f"there is no grade IT{grade:.9g}: the grades are the whole numbers 1 to 18")
    if nominal <= 0:
        raise OutOfDomain(f"a nominal size of {shown(nominal, LENGTH)} is not a size")
    if grade >= 14 and _is_up_to(nominal, 1):
        raise OutOfDomain(
            f"there is no IT{grade:.0f} for {shown(nominal, LENGTH)}: up to 1 mm the grades end at IT13"
        )
    for step_mm, tolerances_um in _TABLE:
        if _is_up_to(nominal, step_mm):
            return tolerances_um[int(grade) - 1] / 1e6
    raise OutOfDomain(
        f"a nominal size of {shown(nominal, LENGTH)} is over 500 mm, where the table of IT grades ends"
    )


def _is_up_to(nominal: float, step_mm: int) -> bool:
    return nominal <= step_mm / 1e3 * (1 + _ON_THE_STEP)


SIGNATURES = (
    Signature(
        "it_grade",
        (a_size("nominal", at_most=_LARGEST, called="nominal size"), Argument("grade", NUMBER, 0.0, 18.0)),
        LENGTH,
        tolerance_grade,
        smooth=False,
    ),
)
