"""Coverage factors, degrees of freedom and decision rules against published values and an independent library.

A: the number was seen in the source or a reproduction; C: from memory; D: worked by hand.
"""

from __future__ import annotations

import math

import pytest
from scipy import stats

from runner.engineering.conformity import welch_satterthwaite
from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

# NIST Technical Note 1297, appendix B, table B.1 (JCGM 100:2008 table G.2 is the same), as NIST publishes it (A)
SHARES = (0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973)
TABLE = """
1    1.84   6.31  12.71  13.97  63.66  235.80
2    1.32   2.92   4.30   4.53   9.92   19.21
3    1.20   2.35   3.18   3.31   5.84    9.22
4    1.14   2.13   2.78   2.87   4.60    6.62
5    1.11   2.02   2.57   2.65   4.03    5.51
6    1.09   1.94   2.45   2.52   3.71    4.90
7    1.08   1.89   2.36   2.43   3.50    4.53
8    1.07   1.86   2.31   2.37   3.36    4.28
9    1.06   1.83   2.26   2.32   3.25    4.09
10   1.05   1.81   2.23   2.28   3.17    3.96
12   1.04   1.78   2.18   2.23   3.05    3.76
14   1.04   1.76   2.14   2.20   2.98    3.64
16   1.03   1.75   2.12   2.17   2.92    3.54
18   1.03   1.73   2.10   2.15   2.88    3.48
20   1.03   1.72   2.09   2.13   2.85    3.42
25   1.02   1.71   2.06   2.11   2.79    3.33
30   1.02   1.70   2.04   2.09   2.75    3.27
40   1.01   1.68   2.02   2.06   2.70    3.20
50   1.01   1.68   2.01   2.05   2.68    3.16
100  1.005  1.660  1.984  2.025  2.626   3.077
1e12 1.000  1.645  1.960  2.000  2.576   3.000
"""


@pytest.mark.parametrize("row", [line.split() for line in TABLE.split("\n") if line])
def test_the_factors_of_the_published_table_are_met_to_their_last_digit(row: list[str]) -> None:
    for share, printed in zip(SHARES, row[1:], strict=True):
        if (row[0], share) == ("1", 0.9973):
            # printed for 99.73 % rounded from three sigma exactly, which matters only here
            assert work["coverage_factor"](2 * stats.norm.cdf(3) - 1, 1.0) == pytest.approx(235.80, abs=0.06)
            continue
        digits = len(printed.split(".")[1])
        # the columns marked (a) in the table stand for 1, 2 and 3 sigma exactly; half a digit and a bit for that
        assert work["coverage_factor"](share, float(row[0])) == pytest.approx(
            float(printed), abs=0.61 * 10**-digits
        )


@pytest.mark.parametrize(
    "degrees", [1.0, 1.3, 2.0, 3.7, 16.7, 50.0, 333.0, 1999.0, 2000.0, 2001.0, 1e5, 1e12]
)
@pytest.mark.parametrize("level", [1e-3, 0.1, 0.5, 0.9, 0.99, 0.9999, 0.999999])
def test_the_coverage_factor_is_the_reference_library_s(level: float, degrees: float) -> None:
    # scipy.stats.t (its own algorithm), degrees of freedom whole or not
    assert work["coverage_factor"](level, degrees) == pytest.approx(
        float(stats.t.isf((1 - level) / 2, degrees)), rel=1e-9
    )


# JCGM 100:2008, example H.1, end gauge: contributions in nanometres with degrees of freedom (A), H.1.6
END_GAUGE = ((25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0))


def _end_gauge_degrees() -> float:
    u, degrees = END_GAUGE[0]
    for other, its_degrees in END_GAUGE[1:]:
        degrees = work["effective_degrees"](u, degrees, other, its_degrees)
        u = math.hypot(u, other)
    return degrees


def test_the_end_gauge_has_16_7_effective_degrees_of_freedom() -> None:
    # H.1.6: 16.7 (A), from contributions printed to two digits
    assert _end_gauge_degrees() == pytest.approx(16.7, abs=0.1)
    assert welch_satterthwaite(END_GAUGE) == pytest.approx(_end_gauge_degrees(), rel=1e-12)


def test_the_difference_of_the_end_gauge_has_25_6_degrees_of_freedom() -> None:
    # H.1.6: 5.8 nm with 24, 3.9 nm with 5 and 6.7 nm with 8 degrees together have 25.6 (C; the inputs A),
    # worked there from 9.7 nm for the sum, which is 9.68
    assert welch_satterthwaite(((5.8, 24), (3.9, 5), (6.7, 8))) == pytest.approx(25.6, abs=0.25)


def test_the_end_gauge_s_factor_is_2_92_and_its_expanded_uncertainty_93_nm() -> None:
    # H.1.6: t_99(16) = 2.92, U_99 = 2.92 * 32 nm = 93 nm (A)
    assert work["coverage_factor"](0.99, 16.0) == pytest.approx(2.92, abs=0.005)
    assert work["expanded_uncertainty"](32e-9, 0.99, 16.7) * 1e9 == pytest.approx(93, abs=0.5)
    assert work["expanded_uncertainty"](32e-9, 0.99, _end_gauge_degrees()) * 1e9 == pytest.approx(93, abs=0.5)


@pytest.mark.parametrize(
    ("doubt", "degrees"),
    # JCGM 100:2008: G.4.2 example, 25 % is 8 (C); H.1.6, 10 % is 50 and 50 % is 2 (degrees A, shares C)
    [(0.25, 8), (0.10, 50), (0.50, 2)],
)
def test_a_guess_believed_to_a_share_has_the_degrees_the_gum_gives_it(doubt: float, degrees: float) -> None:
    assert work["degrees_of_a_guess"](doubt) == pytest.approx(degrees, rel=1e-9)


def test_a_guard_band_of_the_whole_expanded_uncertainty_leaves_under_2_5_per_cent() -> None:
    # ILAC-G8:09/2019, table of guard bands: w = U, specific risk < 2.5 % (A); simple acceptance < 50 % (A)
    limit, u = 0.04237, 3e-6
    at_the_band = limit - work["guard_band_ilac_g8"](u)
    assert 0.0225 < work["wrong_acceptance_below"](at_the_band, u, limit) < 0.025
    assert work["wrong_acceptance_below"](limit, u, limit) == pytest.approx(0.5)


def test_the_default_rule_of_iso_14253_leaves_5_per_cent_at_its_band() -> None:
    # ISO 14253-1:2017, default 95 % conformance (C)
    limit, u = 0.04237, 3e-6
    at_the_band = limit - work["guard_band_iso_14253"](u)
    assert work["wrong_acceptance_below"](at_the_band, u, limit) == pytest.approx(0.05, abs=6e-4)
    assert work["guard_band"](u, 0.95) == pytest.approx(work["guard_band_iso_14253"](u), rel=4e-3)


@pytest.mark.parametrize("value", [0.04230, 0.04235, 0.042352, 0.04236, 0.042371, 0.0424])
@pytest.mark.parametrize("u", [1e-7, 3e-6, 5e-5])
def test_the_chance_of_conforming_is_the_reference_library_s(value: float, u: float) -> None:
    lower, upper = 0.04235, 0.04237
    normal = stats.norm(value, u)
    assert work["conformity_below"](value, u, upper) == pytest.approx(normal.cdf(upper), rel=1e-9, abs=1e-300)
    assert work["conformity_above"](value, u, lower) == pytest.approx(normal.sf(lower), rel=1e-9, abs=1e-300)
    assert work["wrong_acceptance_below"](value, u, upper) == pytest.approx(
        normal.sf(upper), rel=1e-9, abs=1e-300
    )
    assert work["wrong_acceptance_above"](value, u, lower) == pytest.approx(
        normal.cdf(lower), rel=1e-9, abs=1e-300
    )
    assert work["conformity_between"](value, u, lower, upper) == pytest.approx(
        normal.cdf(upper) - normal.cdf(lower), rel=1e-9, abs=1e-13
    )
    assert work["wrong_acceptance_between"](value, u, lower, upper) == pytest.approx(
        normal.cdf(lower) + normal.sf(upper), rel=1e-9, abs=1e-300
    )


@pytest.mark.parametrize(
    ("room", "chance"), [(0, 0.5), (1, 0.8413), (1.645, 0.95), (2, 0.9772), (3, 0.99865)]
)
def test_the_normal_table_is_met(room: float, chance: float) -> None:
    # Normal tables (C)
    assert work["chance_within"](room) == pytest.approx(chance, abs=5e-5)


@pytest.mark.parametrize("chance", [1e-6, 0.2, 0.5, 0.8, 0.95, 0.999])
def test_the_guard_band_is_the_reference_library_s_quantile(chance: float) -> None:
    assert work["guard_band"](2e-6, chance) == pytest.approx(
        2e-6 * stats.norm.ppf(chance), rel=1e-9, abs=1e-20
    )


def test_a_reading_at_the_guarded_limits_conforms_as_surely_as_was_asked_for() -> None:
    lower, upper, u = 0.04200, 0.04237, 3e-6
    guard = work["guard_band"](u, 0.98)
    assert work["conformity_below"](
        work["highest_acceptable"](lower, upper, guard), u, upper
    ) == pytest.approx(0.98)
    assert work["conformity_above"](
        work["lowest_acceptable"](lower, upper, guard), u, lower
    ) == pytest.approx(0.98)
