"""Sizes at 20 °C: what must hold whatever the numbers are."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS

at_20 = CALCULATIONS["at_20C"].work
reading_at = CALCULATIONS["reading_at"].work

sizes = st.floats(1e-4, 1.0)
shop_temperatures = st.floats(263.15, 323.15)
expansions = st.floats(1e-6, 3e-5)


@given(sizes, shop_temperatures, expansions, shop_temperatures, expansions)
def test_the_reading_to_stop_at_brings_back_the_size_that_was_wanted(
    size: float, part: float, part_expansion: float, gauge: float, gauge_expansion: float
) -> None:
    reading = reading_at(size, part, part_expansion, gauge, gauge_expansion)
    assert math.isclose(at_20(reading, part, part_expansion, gauge, gauge_expansion), size, rel_tol=1e-14)


@given(sizes, shop_temperatures, expansions)
def test_a_gauge_mastered_beside_a_part_of_the_same_metal_needs_no_correction(
    size: float, temperature: float, expansion: float
) -> None:
    assert math.isclose(at_20(size, temperature, expansion, temperature, expansion), size, rel_tol=1e-14)


@given(sizes, expansions, expansions)
def test_at_20_degrees_the_reading_is_the_size(size: float, part: float, gauge: float) -> None:
    assert at_20(size, 293.15, part, 293.15, gauge) == size


@given(sizes, shop_temperatures, st.floats(0.1, 20.0), expansions, shop_temperatures, expansions)
def test_a_warmer_part_is_smaller_at_20_than_it_reads(
    size: float, part: float, warmer: float, part_expansion: float, gauge: float, gauge_expansion: float
) -> None:
    cool = at_20(size, part, part_expansion, gauge, gauge_expansion)
    assert at_20(size, part + warmer, part_expansion, gauge, gauge_expansion) < cool


@given(sizes, shop_temperatures, expansions, shop_temperatures, st.floats(0.1, 20.0), expansions)
def test_a_warmer_gauge_reads_short_so_the_part_is_larger(
    size: float, part: float, part_expansion: float, gauge: float, warmer: float, gauge_expansion: float
) -> None:
    cool = at_20(size, part, part_expansion, gauge, gauge_expansion)
    assert at_20(size, part, part_expansion, gauge + warmer, gauge_expansion) > cool
