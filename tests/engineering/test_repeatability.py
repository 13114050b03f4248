"""A gauge study: what must hold whatever the readings are, and tables that have no answer."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.repeatability import GaugeStudy, gauge_study
from runner.engineering.signature import OutOfDomain

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

tables = st.tuples(st.integers(2, 3), st.integers(2, 5), st.integers(2, 3)).flatmap(
    lambda shape: st.lists(
        st.lists(
            st.lists(st.integers(-20, 20).map(lambda n: n / 1000), min_size=shape[2], max_size=shape[2]),
            min_size=shape[1],
            max_size=shape[1],
        ),
        min_size=shape[0],
        max_size=shape[0],
    )
)


def _study(table: list[list[list[float]]]) -> GaugeStudy:
    try:
        return gauge_study(table)
    except OutOfDomain:
        assume(False)
        raise


@given(tables, st.floats(0.5, 50))
def test_readings_in_another_unit_give_the_same_study_in_that_unit(
    table: list[list[list[float]]], times: float
) -> None:
    one = _study(table)
    other = gauge_study([[[times * one for one in cell] for cell in person] for person in table])
    assert other.gauge == pytest.approx(times * one.gauge, rel=1e-6)
    assert other.part == pytest.approx(times * one.part, rel=1e-6)


@given(tables)
def test_the_order_of_people_parts_and_trials_doesn_t_matter(table: list[list[list[float]]]) -> None:
    one = _study(table)
    other = gauge_study([[cell[::-1] for cell in person[::-1]] for person in table[::-1]])
    assert other.total == pytest.approx(one.total, rel=1e-9)
    assert other.gauge == pytest.approx(one.gauge, rel=1e-6, abs=1e-9)


@given(tables)
def test_the_total_is_never_less_than_gauge_or_parts(table: list[list[list[float]]]) -> None:
    study = _study(table)
    assert study.total >= max(study.gauge, study.part)
    assert study.gauge >= max(study.repeatability, study.reproducibility)
    assert study.categories >= 1


def test_people_who_agree_better_than_the_gauge_repeats_add_nothing() -> None:
    assert work["gauge_reproducibility"](1e-6, 50e-6, 3.0, 10.0, 3.0) == 0


@pytest.mark.parametrize(
    ("table", "sentence"),
    [
        ([[[1.0, 2.0], [3.0]], [[1.0, 2.0], [3.0, 4.0]]], "gaps"),
        ([], "gaps"),
        ([[[1.0, 2.0], [3.0, 4.0]]], "1 appraisers"),
        ([[[1.0, 1.0], [2.0, 2.0]], [[1.0, 1.0], [2.0, 2.0]]], "too coarse"),
        ([[[1.0, float("nan")], [2.0, 2.0]], [[1.0, 1.0], [2.0, 2.0]]], "no number"),
    ],
)
def test_a_table_without_an_answer_is_told_in_a_sentence(
    table: list[list[list[float]]], sentence: str
) -> None:
    with pytest.raises(OutOfDomain, match=sentence):
        gauge_study(table)


@pytest.mark.parametrize("count", [1.0, 2.5, 11.0])
def test_the_method_has_factors_for_2_to_10_parts_only(count: float) -> None:
    with pytest.raises(OutOfDomain):
        work["part_spread"](1e-6, count)
