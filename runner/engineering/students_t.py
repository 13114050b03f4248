"""Student's t distribution: how far out to go for a share of it. Degrees of freedom need not be whole.

Against an independent library the quantile agrees to 1e-9 of itself from 1 to 1e12 degrees (tests/published).
"""

from __future__ import annotations

import math
from statistics import NormalDist

_MANY = 2000.0
# degrees of freedom from which the series in 1/degrees is the closer way: its first term left out is under 1e-12

_SMALL = 1e-300
# keeps a continued fraction from dividing by nothing


def outside(t: float, degrees: float) -> float:
    """The share of the distribution beyond -t and +t together, for t >= 0 and at most `_MANY` degrees."""
    x = degrees / (degrees + t * t)
    half = degrees / 2
    if x < (half + 1) / (half + 2.5):
        return _incomplete_beta(half, 0.5, x)
    return 1 - _incomplete_beta(0.5, half, t * t / (degrees + t * t))


def two_sided_quantile(share: float, degrees: float) -> float:
    """The t for which -t to +t holds `share` of the distribution; 0 < share < 1, degrees >= 1."""
    z = NormalDist().inv_cdf(0.5 + share / 2)
    if degrees >= _MANY:
        return _series(z, degrees)
    return _solved(share, degrees, z)


def _series(z: float, degrees: float) -> float:
    # Fisher and Cornish's expansion; Handbook of Mathematical Functions, 26.7.5. From memory, checked against scipy.
    z2 = z * z
    first = z * (z2 + 1) / 4
    second = z * ((5 * z2 + 16) * z2 + 3) / 96
    third = z * (((3 * z2 + 19) * z2 + 17) * z2 - 15) / 384
    fourth = z * ((((79 * z2 + 776) * z2 + 1482) * z2 - 1920) * z2 - 945) / 92160
    return z + (first + (second + (third + fourth / degrees) / degrees) / degrees) / degrees


def _solved(share: float, degrees: float, start: float) -> float:
    """Newton's steps inside a bracket that halves whenever a step would leave it."""
    low, high = 0.0, max(2 * start, 1.0)
    while 1 - outside(high, degrees) < share:
        low, high = high, 4 * high
    t = max(start, low)
    for _ in range(200):
        error = (1 - outside(t, degrees)) - share
        if error > 0:
            high = t
        else:
            low = t
        step = t - error / (2 * _density(t, degrees))
        following = step if low < step < high else (low + high) / 2
        if abs(following - t) <= 1e-15 * t:
            return following
        t = following
    return t


def _density(t: float, degrees: float) -> float:
    log_scale = math.lgamma((degrees + 1) / 2) - math.lgamma(degrees / 2) - math.log(degrees * math.pi) / 2
    return math.exp(log_scale - (degrees + 1) / 2 * math.log1p(t * t / degrees))


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """The regularized incomplete beta function, by its continued fraction; good for x below (a + 1) / (a + b + 2)."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(log_front) * _fraction(a, b, x) / a


def _fraction(a: float, b: float, x: float) -> float:
    # Lentz's way through the fraction of Handbook of Mathematical Functions, 26.5.8. From memory, checked against scipy.
    c, d = 1.0, _inverse(1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, 500):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        change = 1.0
        for term in (even, odd):
            d = _inverse(1 + term * d)
            c = 1 + term / c
            change = c * d
            value *= change
        if abs(change - 1) < 1e-16:
            break
    return value


def _inverse(value: float) -> float:
    return 1 / value if abs(value) > _SMALL else 1 / _SMALL
