"""Deviations of ISO 286: order and ends of the table, and sizes that are not in it."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain

LETTERS = ("p", "r", "s", "t", "u", "v", "x", "y", "z", "za")
STEPS_MM = (6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120)
FIRST_MM = {"t": 24, "v": 14, "y": 18}
# up to and including these the standard has no such shaft


def _um(letter: str, nominal_mm: float) -> float:
    return CALCULATIONS[f"deviation_{letter}"].work(nominal_mm / 1e3) * 1e6


@given(st.floats(3.001, 120.0))
def test_each_letter_lies_above_the_one_before_it(nominal_mm: float) -> None:
    there = [_um(letter, nominal_mm) for letter in LETTERS if nominal_mm > FIRST_MM.get(letter, 0) + 1e-6]
    assert there == sorted(set(there))
    assert there[0] > _um("H", nominal_mm) == 0


@given(st.floats(3.001, 119.0), st.floats(1.0, 1.5))
def test_a_larger_size_never_has_a_smaller_deviation(nominal_mm: float, times: float) -> None:
    for letter in LETTERS:
        if nominal_mm > FIRST_MM.get(letter, 0) + 1e-6:
            larger = min(nominal_mm * times, 120.0)
            assert _um(letter, larger) >= _um(letter, nominal_mm)


@pytest.mark.parametrize("letter", LETTERS)
def test_the_end_of_a_step_belongs_to_it_and_the_next_size_to_the_next(letter: str) -> None:
    for step, after in itertools.pairwise(STEPS_MM):
        if step > FIRST_MM.get(letter, 0):
            assert _um(letter, step) == _um(letter, step - 0.5) == _um(letter, step * (1 + 1e-13))
        if after > FIRST_MM.get(letter, 0):
            assert _um(letter, step + 0.001) == _um(letter, after)


@pytest.mark.parametrize("letter", ["H", *LETTERS])
@pytest.mark.parametrize(
    ("nominal_mm", "sentence"),
    [
        (3.0, "a nominal size of 3 mm is too low for deviation_{}: it has to be above 3 mm"),
        (0.0, "a nominal size of 0 mm is too low for deviation_{}: it has to be above 3 mm"),
        (-40.0, "a nominal size of -40 mm is too low for deviation_{}: it has to be above 3 mm"),
        (120.1, "a nominal size of 120.1 mm is too high for deviation_{}: the most is 120 mm"),
    ],
)
def test_a_size_the_table_does_not_reach_is_refused(letter: str, nominal_mm: float, sentence: str) -> None:
    with pytest.raises(OutOfDomain) as refusal:
        _um(letter, nominal_mm)
    assert str(refusal.value) == sentence.format(letter)


@pytest.mark.parametrize(("letter", "last_mm"), FIRST_MM.items())
def test_a_small_shaft_the_standard_does_not_have_is_refused(letter: str, last_mm: int) -> None:
    with pytest.raises(OutOfDomain) as refusal:
        _um(letter, last_mm)
    assert str(refusal.value) == f"the standard has no shaft {letter} for {last_mm} mm: take u or x"
    assert _um(letter, last_mm + 0.001) > 0
