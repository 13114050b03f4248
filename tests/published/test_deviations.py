"""Deviations of ISO 286 against published tables. A grade stands beside each number:

A: the number was seen in a reproduction of the standard; B: seen in a companion to the book, which works its example.
"""

from __future__ import annotations

import itertools
import math

import pytest

from tests.published.both_ways import CALCULATIONS

it_grade = CALCULATIONS["it_grade"].work
interference = CALCULATIONS["interference"].work

STEPS_MM = (6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120)


def _um(letter: str, nominal_mm: float) -> float:
    return CALCULATIONS[f"deviation_{letter}"].work(nominal_mm / 1e3) * 1e6


# JIS B 0401 (1999), fit sheet, values of ISO 286-2, grade 6, upper and lower limit in um (A). p and r of 80 to 120 mm:
# a bearing maker's public table of shaft limits (A).
GRADE_6 = """
5   p 20 12   r 23 15   s 27 19   u 31 23   x 36 28
8   p 24 15   r 28 19   s 32 23   u 37 28   x 43 34
12  p 29 18   r 34 23   s 39 28   u 44 33   x 51 40
16  p 29 18   r 34 23   s 39 28   u 44 33   x 56 45
20  p 35 22   r 41 28   s 48 35   u 54 41   x 67 54
27  p 35 22   r 41 28   s 48 35   u 61 48   x 77 64   t 54 41
35  p 42 26   r 50 34   s 59 43   u 76 60   t 64 48
45  p 42 26   r 50 34   s 59 43   u 86 70   t 70 54
60  p 51 32   r 60 41   s 72 53   u 106 87  t 85 66
70  p 51 32   r 62 43   s 78 59
90  p 59 37   r 73 51
110 p 59 37   r 76 54
"""

LIMITS = [
    (float(size), letter, float(upper), float(lower))
    for size, *cells in (line.split() for line in GRADE_6.strip().splitlines())
    for letter, upper, lower in zip(cells[::3], cells[1::3], cells[2::3], strict=True)
]


@pytest.mark.parametrize(("nominal_mm", "letter", "upper_um", "lower_um"), LIMITS)
def test_the_limits_of_grade_6_are_those_of_the_fit_sheets(
    nominal_mm: float, letter: str, upper_um: float, lower_um: float
) -> None:
    lower = _um(letter, nominal_mm)
    assert lower == pytest.approx(lower_um)
    assert lower + it_grade(nominal_mm / 1e3, 6.0) * 1e6 == pytest.approx(upper_um)


@pytest.mark.parametrize(
    ("nominal_mm", "upper_um", "lower_um"),
    [(35, 91, 80), (45, 108, 97)],  # x5, a sheet of UNI ISO 286-2 (A)
)
def test_the_limits_of_x5_are_those_of_the_fit_sheet(nominal_mm: float, upper_um: int, lower_um: int) -> None:
    assert _um("x", nominal_mm) == pytest.approx(lower_um)
    assert _um("x", nominal_mm) + it_grade(nominal_mm / 1e3, 5.0) * 1e6 == pytest.approx(upper_um)


# Public reproductions of the table of ISO 286-1, alike in four by different hands (A): sizes up to 6 ... 120 mm; a dash
# where the standard has no such shaft
SHEET = """
t  -  -  -  -  -  41  48  54  66  75  91  104
v  -  -  -  39 47 55  68  81  102 120 146 172
x  28 34 40 45 54 64  80  97  122 146 178 210
y  -  -  -  -  63 75  94  114 144 174 214 254
z  35 42 50 60 73 88  112 136 172 210 258 310
za 42 52 64 77 98 118 148 180 226 274 335 400
u  23 28 33 33 41 48  60  70  87  102 124 144
s  19 23 28 28 35 35  43  43  53  59  71  79
"""


@pytest.mark.parametrize("line", SHEET.strip().splitlines(), ids=lambda line: line.split()[0])
def test_each_letter_is_that_of_the_public_reproductions(line: str) -> None:
    letter, *cells = line.split()
    for step_mm, cell in zip(STEPS_MM, cells, strict=True):
        if cell != "-":
            assert _um(letter, step_mm) == pytest.approx(float(cell)), f"up to {step_mm} mm"


def test_50_h7_s6_has_0_059_at_most_and_0_018_mm_at_least() -> None:
    # Design of Machine Elements, 2nd edition, ex. 3.3 (B)
    smallest_hole, smallest_shaft = 0.05 + _um("H", 50) / 1e6, 0.05 + _um("s", 50) / 1e6
    largest_hole, largest_shaft = smallest_hole + it_grade(0.05, 7.0), smallest_shaft + it_grade(0.05, 6.0)
    assert interference(largest_shaft, smallest_hole) * 1e3 == pytest.approx(0.059, abs=1e-9)
    assert interference(smallest_shaft, largest_hole) * 1e3 == pytest.approx(0.018, abs=1e-9)


def test_a_valve_seat_of_20_s6_is_35_to_48_um_over_nominal() -> None:
    # Design of Machine Elements, 2nd edition, ex. 3.2, a valve seat 20 H7/s6 (B)
    assert _um("s", 20) == pytest.approx(35)
    assert _um("s", 20) + it_grade(0.02, 6.0) * 1e6 == pytest.approx(48)
    assert _um("H", 20) + it_grade(0.02, 7.0) * 1e6 == pytest.approx(21)


@pytest.mark.parametrize(
    ("letter", "grade", "times"),
    # A machine-drawing text, formulas for fundamental deviations up to 500 mm: t, u, x (A); v, y, z, za from memory (C)
    [
        ("t", 7, 0.63),
        ("u", 7, 1.0),
        ("x", 7, 1.6),
        ("v", 7, 1.25),
        ("y", 7, 2.0),
        ("z", 7, 2.5),
        ("za", 8, 3.15),
    ],
)
def test_over_30_mm_the_table_is_the_standard_s_formula_within_1_6_um(
    letter: str, grade: int, times: float
) -> None:
    # grade of the size plus a share of it, the size being the geometric mean of the step
    for over_mm, step_mm in itertools.pairwise(STEPS_MM[5:]):
        by_formula = it_grade(step_mm / 1e3, float(grade)) * 1e6 + times * math.sqrt(over_mm * step_mm)
        assert _um(letter, step_mm) == pytest.approx(by_formula, abs=1.6), f"up to {step_mm} mm"


@pytest.mark.parametrize("step_mm", STEPS_MM)
def test_p_begins_at_its_grade_and_r_is_the_geometric_mean_of_p_and_s(step_mm: int) -> None:
    # the same text (A): p is IT7 and 0 to 5 um; r the geometric mean of p and s
    assert 0 <= _um("p", step_mm) - it_grade(step_mm / 1e3, 7.0) * 1e6 <= 5 + 1e-9
    assert _um("r", step_mm) == pytest.approx(math.sqrt(_um("p", step_mm) * _um("s", step_mm)), abs=0.7)


@pytest.mark.parametrize("step_mm", [step for step in STEPS_MM if step <= 50])
def test_s_begins_1_to_4_um_over_it8_up_to_50_mm(step_mm: int) -> None:
    # the same text (A)
    assert 1 - 1e-9 <= _um("s", step_mm) - it_grade(step_mm / 1e3, 8.0) * 1e6 <= 4 + 1e-9
