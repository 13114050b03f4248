"""IT grades: steps, their ends and the refusals. The numbers themselves are held in tests/published."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from runner.engineering.tolerances import tolerance_grade

it_grade = CALCULATIONS["it_grade"].work

STEPS_MM = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)


@pytest.mark.parametrize("step", STEPS_MM)
@pytest.mark.parametrize("grade", [6.0, 7.0, 12.0])
def test_a_step_ends_with_the_size_it_names(step: int, grade: float) -> None:
    assert it_grade(step / 1000, grade) == it_grade((step - 0.5) / 1000, grade)


@pytest.mark.parametrize("step", STEPS_MM[:-1])
def test_the_next_step_starts_just_over_it(step: int) -> None:
    assert it_grade((step + 0.001) / 1000, 7.0) > it_grade(step / 1000, 7.0)


@pytest.mark.parametrize("step", STEPS_MM)
def test_a_size_worked_out_a_last_bit_over_the_step_is_still_on_it(step: int) -> None:
    assert it_grade(step / 1000 * (1 + 4e-16), 7.0) == it_grade((step - 0.5) / 1000, 7.0)


@given(st.floats(1.01e-3, 0.5), st.integers(1, 17))
def test_a_coarser_grade_is_always_wider(nominal: float, grade: int) -> None:
    assert it_grade(nominal, float(grade)) < it_grade(nominal, float(grade + 1))


@given(st.floats(1.01e-3, 0.5), st.floats(1.01e-3, 0.5), st.integers(1, 18))
def test_a_larger_size_never_has_a_tighter_tolerance(one: float, other: float, grade: int) -> None:
    smaller, larger = sorted((one, other))
    assert it_grade(smaller, float(grade)) <= it_grade(larger, float(grade))


@pytest.mark.parametrize("grade", [6.5, 0.5, 7.0000001])
def test_a_grade_between_grades_is_refused(grade: float) -> None:
    with pytest.raises(
        OutOfDomain, match=r"^there is no grade IT[\d.]+: the grades are the whole numbers 1 to 18$"
    ):
        it_grade(0.04, grade)


@pytest.mark.parametrize("grade", [0.0, 19.0, -7.0])
def test_a_grade_outside_1_to_18_is_refused(grade: float) -> None:
    with pytest.raises(OutOfDomain, match=f"^a grade of {grade:.0f} is too "):
        it_grade(0.04, grade)
    with pytest.raises(OutOfDomain, match=f"^there is no grade IT{grade:.0f}"):
        tolerance_grade(0.04, grade)


@pytest.mark.parametrize("nominal", [0.0, -0.04])
def test_a_size_of_nothing_is_refused(nominal: float) -> None:
    with pytest.raises(OutOfDomain, match=r"^a nominal size of -?\d+ mm is not a size$"):
        it_grade(nominal, 7.0)
    with pytest.raises(OutOfDomain, match=r"^a nominal size of -?\d+ mm is not a size$"):
        tolerance_grade(nominal, 7.0)


def test_a_size_over_500_mm_is_refused() -> None:
    with pytest.raises(OutOfDomain, match=r"500\.001 mm is too high for it_grade: the most is 500 mm$"):
        it_grade(0.500001, 7.0)
    with pytest.raises(OutOfDomain, match=r"^a nominal size of 500\.001 mm is over 500 mm"):
        tolerance_grade(0.500001, 7.0)


@pytest.mark.parametrize("grade", [14.0, 15.0, 16.0, 17.0, 18.0])
def test_a_size_up_to_1_mm_has_no_coarse_grades(grade: float) -> None:
    for nominal_mm in (0.5, 1.0):
        with pytest.raises(OutOfDomain) as refusal:
            it_grade(nominal_mm / 1000, grade)
        assert str(refusal.value) == (
            f"there is no IT{grade:.0f} for {nominal_mm:g} mm: up to 1 mm the grades end at IT13"
        )
    assert it_grade(0.5e-3, 13.0) == it_grade(2e-3, 13.0)
    assert it_grade(1.001e-3, grade) == it_grade(3e-3, grade)
