"""Decision rules and coverage: what must hold whatever the numbers are."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.conformity import welch_satterthwaite
from runner.engineering.signature import OutOfDomain

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

values = st.floats(-1e-3, 1e-3)
doubts = st.floats(1e-7, 1e-3)
levels = st.floats(0.01, 0.9999)
degrees = st.floats(1.0, 1e5)


@given(values, doubts, values, st.floats(1e-6, 1e-3))
def test_conforming_and_wrongly_accepting_add_up_to_certainty(
    value: float, u: float, lower: float, width: float
) -> None:
    upper = lower + width
    for side, limits in (("below", (upper,)), ("above", (lower,)), ("between", (lower, upper))):
        right = work[f"conformity_{side}"](value, u, *limits)
        wrong = work[f"wrong_acceptance_{side}"](value, u, *limits)
        assert right + wrong == pytest.approx(1.0, abs=1e-12)
        assert 0 <= right <= 1


@given(values, doubts, values, st.floats(1e-6, 1e-4))
def test_a_smaller_reading_is_surer_under_its_upper_limit(
    value: float, u: float, upper: float, less: float
) -> None:
    assert work["conformity_below"](value - less, u, upper) >= work["conformity_below"](value, u, upper)


@given(doubts, st.floats(0.5, 0.999999))
def test_a_reading_by_its_guard_band_inside_conforms_with_the_chance_asked_for(
    u: float, chance: float
) -> None:
    guard = work["guard_band"](u, chance)
    assert work["conformity_below"](-guard, u, 0.0) == pytest.approx(chance, rel=1e-9)


@given(levels, degrees, st.floats(1.001, 10))
def test_more_degrees_of_freedom_need_a_smaller_factor(level: float, few: float, times: float) -> None:
    assert work["coverage_factor"](level, few * times) <= work["coverage_factor"](level, few) * (1 + 1e-11)


@given(levels, st.floats(0.001, 0.00999), degrees)
def test_a_surer_statement_needs_a_larger_factor(level: float, more: float, few: float) -> None:
    surer = min(level + more, 0.99995)
    assert work["coverage_factor"](surer, few) > work["coverage_factor"](level, few)


@given(levels)
def test_one_degree_of_freedom_is_the_tangent_of_half_the_level(level: float) -> None:
    # Cauchy's distribution, known in closed form
    assert work["coverage_factor"](level, 1.0) == pytest.approx(math.tan(math.pi * level / 2), rel=1e-9)


@given(levels)
def test_two_degrees_of_freedom_have_a_closed_form(level: float) -> None:
    assert work["coverage_factor"](level, 2.0) == pytest.approx(
        level * math.sqrt(2 / (1 - level**2)), rel=1e-9
    )


@given(st.lists(st.tuples(doubts, st.floats(1, 1e4)), min_size=2, max_size=6))
def test_contributions_joined_one_by_one_or_at_once_have_the_same_degrees(
    parts: list[tuple[float, float]],
) -> None:
    u, joined = parts[0]
    for other, its_degrees in parts[1:]:
        joined = work["effective_degrees"](u, joined, other, its_degrees)
        u = math.hypot(u, other)
    at_once = welch_satterthwaite(parts)
    assert joined == pytest.approx(at_once, rel=1e-9)
    assert min(few for _, few in parts) * (1 - 1e-9) <= at_once <= sum(few for _, few in parts) * (1 + 1e-9)


def test_only_exactly_known_contributions_have_endless_degrees() -> None:
    assert welch_satterthwaite([(1.0, math.inf), (2.0, math.inf)]) == math.inf
    with pytest.raises(OutOfDomain, match="nothing contributes"):
        welch_satterthwaite([(0.0, 5.0)])


def test_degrees_of_freedom_are_cut_down_and_15_9999999_is_16() -> None:
    cut = work["expanded_uncertainty"](1e-6, 0.95, 16.99)
    assert cut == work["expanded_uncertainty"](1e-6, 0.95, 16.0)
    assert cut == work["expanded_uncertainty"](1e-6, 0.95, 16.0 * (1 - 1e-9))


@pytest.mark.parametrize(
    ("name", "given_values", "sentence"),
    [
        ("coverage_factor", (0.95, 0.5), "0.5 degrees of freedom are fewer than one"),
        ("conformity_between", (0.0, 1e-6, 2e-6, 1e-6), "the lower limit, 0.002 mm, has to be smaller than"),
        ("lowest_acceptable", (0.0, 10e-6, 6e-6), "the gauge is too coarse for it"),
    ],
)
def test_what_has_no_answer_is_told_in_a_sentence(
    name: str, given_values: tuple[float, ...], sentence: str
) -> None:
    with pytest.raises(OutOfDomain, match=sentence):
        work[name](*given_values)
