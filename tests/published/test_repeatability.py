"""Gauge repeatability and reproducibility against the manual's own data set, and its factors against the range's law."""

from __future__ import annotations

from dataclasses import asdict
from functools import cache

import numpy as np
import pytest
from scipy import integrate, stats

from runner.engineering.repeatability import gauge_study
from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

# Measurement Systems Analysis, 4th edition, 2010, average and range example: 3 people, 10 parts, 3 trials. The whole
# table was seen in one public reproduction and its first rows in five more (A); of those one has 0.75 for -0.15.
READINGS = [
    [
        [0.29, 0.41, 0.64], [-0.56, -0.68, -0.58], [1.34, 1.17, 1.27], [0.47, 0.50, 0.64], [-0.80, -0.92, -0.84],
        [0.02, -0.11, -0.21], [0.59, 0.75, 0.66], [-0.31, -0.20, -0.17], [2.26, 1.99, 2.01], [-1.36, -1.25, -1.31],
    ],
    [
        [0.08, 0.25, 0.07], [-0.47, -1.22, -0.68], [1.19, 0.94, 1.34], [0.01, 1.03, 0.20], [-0.56, -1.20, -1.28],
        [-0.20, 0.22, 0.06], [0.47, 0.55, 0.83], [-0.63, 0.08, -0.34], [1.80, 2.12, 2.19], [-1.68, -1.62, -1.50],
    ],
    [
        [0.04, -0.11, -0.15], [-1.38, -1.13, -0.96], [0.88, 1.09, 0.67], [0.14, 0.20, 0.11], [-1.46, -1.07, -1.45],
        [-0.29, -0.67, -0.49], [0.02, 0.01, 0.21], [-0.46, -0.56, -0.49], [1.77, 1.45, 1.87], [-1.49, -1.77, -2.16],
    ],
]  # fmt: skip

# The manual's results for them (C: recalled, all of them reproduced by the readings)
RESULTS = {
    "mean_range": 0.3417,
    "mean_difference": 0.4446,
    "part_range": 3.511,
    "repeatability": 0.20188,
    "reproducibility": 0.22963,
    "gauge": 0.30575,
    "part": 1.10456,
    "total": 1.14610,
    "categories": 5,
}


def test_the_manual_s_study_gives_the_manual_s_results() -> None:
    for name, worked in asdict(gauge_study(READINGS)).items():
        # the manual goes on from the mean range rounded to 0.3417
        assert worked == pytest.approx(RESULTS[name], rel=2e-4), name


def test_the_functions_on_single_numbers_give_the_manual_s_results() -> None:
    mm = 1e-3
    repeat = work["gauge_repeatability"](0.3417 * mm, 3.0)
    reproduce = work["gauge_reproducibility"](0.4446 * mm, repeat, 3.0, 10.0, 3.0)
    gauge, part = work["gauge_spread"](repeat, reproduce), work["part_spread"](3.511 * mm, 10.0)
    worked = (repeat, reproduce, gauge, part, work["total_spread"](gauge, part))
    for got, printed in zip(worked, (0.20188, 0.22963, 0.30575, 1.10456, 1.14610), strict=True):
        assert got / mm == pytest.approx(printed, abs=2e-5)
    assert int(work["distinct_categories"](part, gauge)) == 5


@cache
def _range_of(count: int) -> tuple[float, float]:
    """Mean and standard deviation of the range of so many normal readings, by integration."""
    # reference: scipy.stats.studentized_range with endless degrees of freedom is this law; here from its definition
    tail = integrate.quad(lambda x: 1 - stats.norm.cdf(x) ** count - stats.norm.sf(x) ** count, -9, 9)[0]

    def below(w: float) -> float:
        def density(x: np.ndarray) -> np.ndarray:
            return count * stats.norm.pdf(x) * (stats.norm.cdf(x + w) - stats.norm.cdf(x)) ** (count - 1)

        return integrate.fixed_quad(density, -9, 6, n=80)[0]

    second = integrate.fixed_quad(lambda ws: [2 * w * (1 - below(w)) for w in ws], 0, 11, n=40)[0]
    return tail, (second - tail**2) ** 0.5


@pytest.mark.parametrize("trials", [2, 3, 4, 5])
def test_the_factor_for_many_ranges_is_one_over_the_mean_range_of_normal_readings(trials: int) -> None:
    mean, _ = _range_of(trials)
    assert work["gauge_repeatability"](1.0, float(trials)) == pytest.approx(1 / mean, abs=1e-4)


@pytest.mark.parametrize("count", range(2, 11))
def test_the_factor_for_one_range_is_one_over_its_root_mean_square(count: int) -> None:
    # d2* for a single range is sqrt(d2^2 + d3^2)
    mean, deviation = _range_of(count)
    assert work["part_spread"](1.0, float(count)) == pytest.approx((mean**2 + deviation**2) ** -0.5, abs=1e-4)
    apart = work["gauge_reproducibility"](1.0, 0.0, float(count), 10.0, 3.0)
    assert apart == pytest.approx(work["part_spread"](1.0, float(count)))


def test_a_gauge_that_takes_a_tenth_of_the_tolerance_passes_six_sigma_through_it() -> None:
    # common practice, no source: 10 % good, 30 % the most; six standard deviations hold 99.73 % of the readings
    spread = 1e-6
    tolerance = 10 * (stats.norm.ppf(0.99865) - stats.norm.ppf(0.00135)) * spread
    assert work["gauge_share_of_tolerance"](spread, tolerance) == pytest.approx(0.1, rel=1e-4)
