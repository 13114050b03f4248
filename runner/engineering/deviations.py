"""Where the tolerance of a hole H or of a shaft with an interference begins, from the table of ISO 286-1, 3 to 120 mm.

The other end lies one grade away: 42 s6 is from 42 mm + deviation_s(42 mm) to that + it_grade(42 mm, 6), and 42 H7 from
42 mm to 42 mm + it_grade(42 mm, 7). The table is the standard: its formulas miss it by up to 1.6 um. Holes and shafts of
other letters are not here.

Said once for all functions here:

nominal : one length, > 0.003 to 0.12 [m]
    The nominal size. A size within 1e-9 of itself above the end of a step counts as on it.
"""

from __future__ import annotations

from runner.engineering.signature import Argument, OutOfDomain, Signature, shown
from runner.quantities.kinds import LENGTH

_ON_THE_STEP = 1e-9
# relative; 50 mm worked out as 50.00000000000001 mm is still 50 mm, and belongs to the step that ends there

_OVER, _LARGEST = 0.003, 0.12 * (1 + _ON_THE_STEP)
# metres; the part of the table that is here

_STEPS = (6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120)
# millimetres; the upper end of each step, itself in the step

_LOWER = {
    "p": (12, 15, 18, 18, 22, 22, 26, 26, 32, 32, 37, 37),
    "r": (15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54),
    "s": (19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79),
    "t": (None, None, None, None, None, 41, 48, 54, 66, 75, 91, 104),
    "u": (23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144),
    "v": (None, None, None, 39, 47, 55, 68, 81, 102, 120, 146, 172),
    "x": (28, 34, 40, 45, 54, 64, 80, 97, 122, 146, 178, 210),
    "y": (None, None, None, None, 63, 75, 94, 114, 144, 174, 214, 254),
    "z": (35, 42, 50, 60, 73, 88, 112, 136, 172, 210, 258, 310),
    "za": (42, 52, 64, 77, 98, 118, 148, 180, 226, 274, 335, 400),
}
# micrometres above nominal, for each step; None where the standard has no such shaft. Typed from memory, and held
# against public reproductions of the table of ISO 286-1:2010 (t in six of them, u in five, x to za in four, p to s in fewer); the standard itself was not seen.


def deviation_of_hole_h(nominal: float) -> float:
    """
    The lower deviation of a hole H: none, the smallest hole is the nominal size. The largest is one grade above.

        EI = 0; ES = it_grade

    nominal : one length, > 0.003 to 0.12 [m]
        The nominal size.
    Returns one length, nil [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for holes. From memory.

    >>> deviation_of_hole_h(0.042)                  # by definition of H
    0.0
    """
    return 0.0 * nominal


def deviation_of_shaft_p(nominal: float) -> float:
    """
    The lower deviation of a shaft p, the lightest of the interference fits: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_p(0.042)            # over 40 up to 50 mm, in micrometres
    26.0
    """
    return _lower("p", nominal)


def deviation_of_shaft_r(nominal: float) -> float:
    """
    The lower deviation of a shaft r, an interference fit for driving in: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_r(0.042)            # over 40 up to 50 mm, in micrometres
    34.0
    """
    return _lower("r", nominal)


def deviation_of_shaft_s(nominal: float) -> float:
    """
    The lower deviation of a shaft s, a lasting interference fit, pressed or shrunk: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_s(0.042)            # over 40 up to 50 mm, in micrometres
    43.0
    """
    return _lower("s", nominal)


def deviation_of_shaft_t(nominal: float) -> float:
    """
    The lower deviation of a shaft t, a tight interference fit: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a size up to and including 24 mm, for which the standard has no shaft t.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_t(0.042)            # over 40 up to 50 mm, in micrometres
    54.0
    """
    return _lower("t", nominal)


def deviation_of_shaft_u(nominal: float) -> float:
    """
    The lower deviation of a shaft u, a tight interference fit, shrunk: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_u(0.042)            # over 40 up to 50 mm, in micrometres
    70.0
    """
    return _lower("u", nominal)


def deviation_of_shaft_v(nominal: float) -> float:
    """
    The lower deviation of a shaft v, a very tight interference fit, shrunk: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a size up to and including 14 mm, for which the standard has no shaft v.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_v(0.042)            # over 40 up to 50 mm, in micrometres
    81.0
    """
    return _lower("v", nominal)


def deviation_of_shaft_x(nominal: float) -> float:
    """
    The lower deviation of a shaft x, a very tight interference fit, shrunk: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_x(0.042)            # over 40 up to 50 mm, in micrometres
    97.0
    """
    return _lower("x", nominal)


def deviation_of_shaft_y(nominal: float) -> float:
    """
    The lower deviation of a shaft y, a very tight interference fit, shrunk: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) a size up to and including 18 mm, for which the standard has no shaft y.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_y(0.042)            # over 40 up to 50 mm, in micrometres
    114.0
    """
    return _lower("y", nominal)


def deviation_of_shaft_z(nominal: float) -> float:
    """
    The lower deviation of a shaft z, about three thousandths of its size tight: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_z(0.042)            # over 40 up to 50 mm, in micrometres
    136.0
    """
    return _lower("z", nominal)


def deviation_of_shaft_za(nominal: float) -> float:
    """
    The lower deviation of a shaft za, near four thousandths of its size tight: how far its smallest size is above nominal.

        looked up, not worked: step "over the size before, up to and including this one"

    Returns one length, > 0 [m]
    Refuses (OutOfDomain) by its signature only.
    Source: ISO 286-1:2010, Linear sizes, part 1, table for shafts, as public reproductions print it.

    >>> 1e6 * deviation_of_shaft_za(0.042)            # over 40 up to 50 mm, in micrometres
    180.0
    """
    return _lower("za", nominal)


def _lower(letter: str, nominal: float) -> float:
    if nominal <= _OVER:
        raise OutOfDomain(
            f"a nominal size of {shown(nominal, LENGTH)} is not over 3 mm, where this table begins"
        )
    for step_mm, lower_um in zip(_STEPS, _LOWER[letter], strict=True):
        if nominal <= step_mm / 1e3 * (1 + _ON_THE_STEP):
            if lower_um is None:
                raise OutOfDomain(
                    f"the standard has no shaft {letter} for {shown(nominal, LENGTH)}: take u or x"
                )
            return lower_um / 1e6
    raise OutOfDomain(f"a nominal size of {shown(nominal, LENGTH)} is over 120 mm, where this table ends")


_NOMINAL = (Argument("nominal", LENGTH, above=_OVER, at_most=_LARGEST, called="nominal size"),)

SIGNATURES = (
    Signature("deviation_H", _NOMINAL, LENGTH, deviation_of_hole_h),
    Signature("deviation_p", _NOMINAL, LENGTH, deviation_of_shaft_p),
    Signature("deviation_r", _NOMINAL, LENGTH, deviation_of_shaft_r),
    Signature("deviation_s", _NOMINAL, LENGTH, deviation_of_shaft_s),
    Signature("deviation_t", _NOMINAL, LENGTH, deviation_of_shaft_t),
    Signature("deviation_u", _NOMINAL, LENGTH, deviation_of_shaft_u),
    Signature("deviation_v", _NOMINAL, LENGTH, deviation_of_shaft_v),
    Signature("deviation_x", _NOMINAL, LENGTH, deviation_of_shaft_x),
    Signature("deviation_y", _NOMINAL, LENGTH, deviation_of_shaft_y),
    Signature("deviation_z", _NOMINAL, LENGTH, deviation_of_shaft_z),
    Signature("deviation_za", _NOMINAL, LENGTH, deviation_of_shaft_za),
)
