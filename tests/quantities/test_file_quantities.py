"""Quantities as files write them: exact, with their unit, and with a second unit only where both say the same."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.quantities.entry import parse_entry
from runner.quantities.quantity import (
    NotAQuantity,
    Quantity,
    last_digit,
    parse_quantity,
    show,
    show_apart,
)
from runner.quantities.units import Unit, unit


def _unit(symbol: str) -> Unit:
    found = unit(symbol)
    assert found
    return found


@pytest.mark.parametrize(
    ("text", "si"),
    [
        ("0.05 mm", "0.00005"),
        ("0.050 mm", "0.00005"),
        ("-18 degC", "255.15"),
        ("1/64 in", "0.000396875"),
        ("1-3/8 in", "0.034925"),
        ("-1-3/8 in", "-0.034925"),
        (".5 thou", "0.0000127"),
        ("2 h", "7200"),
        ("1 h 30 min", "5400"),
        ("2 min 30 s", "150"),
        ("22.0 um/m/K", "0.000022"),
        ("20 N*m", "20"),
        ("2 percent", "0.02"),
        ("0.05 mm (0.002 in)", "0.00005"),
        ("30 mm (1.18 in)", "0.030"),
        ("200 degC (392 degF)", "473.15"),
        ("8 N*m (8 N*m)", "8"),
    ],
)
def test_a_quantity_is_exact_and_keeps_the_text_it_came_from(text: str, si: str) -> None:
    quantity = parse_quantity(text)
    assert isinstance(quantity, Quantity)
    assert quantity.si == Fraction(si)
    assert quantity.typed == text


@pytest.mark.parametrize(
    ("text", "kind", "marked"),
    [
        ("0,030 mm", "decimal-comma", ","),
        ("200 °C", "unknown-unit", "°C"),
        ("20 Nm", "unknown-unit", "Nm"),
        ("5 MM", "unknown-unit", "MM"),
        ("5 Ra", "unknown-unit", "Ra"),
        ("5 mms", "unknown-unit", "mms"),
        ("0.030", "unit-missing", "0.030"),
        ("0.030mm", "bad-number", "0.030mm"),
        ("1e3 mm", "bad-number", "1e3 mm"),
        ("nan mm", "bad-number", "nan mm"),
        ("5 ± 0.1 mm", "bad-number", "5 ± 0.1 mm"),
        ("1/0 in", "bad-number", "1/0 in"),
        ("1-9/8 in", "bad-number", "1-9/8"),
        ("\u0663 mm", "bad-number", "\u0663 mm"),
        ("1234567890123456 mm", "bad-number", "1234567890123456"),
        ("0.05 mm (0.003 in)", "units-disagree", "0.003 in"),
        ("0.53 mm (0.020 in)", "units-disagree", "0.020 in"),  # 0.53 mm is 0.021 in, 0.020 in is 0.51 mm
        ("0.015 mm (0.006 in)", "units-disagree", "0.006 in"),  # as three printed manuals have it
        ("0.05 mm (2 K)", "units-disagree", "2 K"),
        ("0.05 mm (0,002 in)", "decimal-comma", ","),
        ("5 mm/degC", "unknown-unit", "mm/degC"),
        ("", "bad-number", ""),
    ],
)
def test_what_is_no_quantity_is_told_with_the_part_that_is_wrong(text: str, kind: str, marked: str) -> None:
    wrong = parse_quantity(text)
    assert isinstance(wrong, NotAQuantity)
    assert wrong.kind == kind
    assert text[wrong.offset : wrong.offset + wrong.length] == marked


@given(st.text(alphabet="0123456789.,-+/() eE°Chminoutd*K%", max_size=24))
def test_no_text_makes_the_reader_of_quantities_stumble(text: str) -> None:
    found = parse_quantity(text)
    if isinstance(found, NotAQuantity):
        assert found.what and found.fix
        assert 0 <= found.offset and found.offset + found.length <= max(1, len(text))
    else:
        assert found.typed == text


def test_a_limit_in_thousandths_of_an_inch_is_met_by_the_same_size_in_millimetres_every_time() -> None:
    """0.0001 in is 0.00254 mm exactly (the inch is 25.4 mm by the international agreement of 1959; from memory)."""
    mm, inch = _unit("mm"), _unit("in")
    for ten_thousandths in range(1, 2000):
        reading = parse_entry(f"{ten_thousandths / 10_000:.4f}", inch)
        limit = parse_quantity(f"{ten_thousandths * 254 // 100_000}.{ten_thousandths * 254 % 100_000:05d} mm")
        assert isinstance(reading, Quantity) and isinstance(limit, Quantity)
        assert reading.si == limit.si
        one_more = parse_entry(f"{ten_thousandths * 254 / 100_000 + 0.00001:.5f}", mm)
        assert isinstance(one_more, Quantity)
        assert one_more.si > limit.si


@given(st.integers(1, 10**6), st.integers(1, 7))
def test_two_units_agree_where_one_is_the_other_as_rounded(hundredths: int, places: int) -> None:
    inches = round(Fraction(hundredths, 100) * 10 / 254, places)
    text = f"{hundredths // 100}.{hundredths % 100:02d} mm ({float(inches):.{places}f} in)"
    assert isinstance(parse_quantity(text), Quantity)


@given(st.integers(1, 10**6), st.integers(3, 7), st.sampled_from([-1, 1]))
def test_two_units_never_agree_where_neither_is_the_other_as_rounded(
    hundredths: int, places: int, side: int
) -> None:
    inches = round(Fraction(hundredths + side, 100) * 10 / 254, places)
    text = f"{hundredths // 100}.{hundredths % 100:02d} mm ({float(inches):.{places}f} in)"
    apart = abs(inches * Fraction(254, 10) - Fraction(hundredths, 100))
    if apart > Fraction(1, 200) and apart > Fraction(254, 10) / 10**places / 2:
        assert isinstance(parse_quantity(text), NotAQuantity)


@pytest.mark.parametrize(
    ("text", "step"), [("0.050", "1/1000"), ("12", "1"), ("1/64", "1/64"), ("1-3/8", "1/8"), ("5.", "1")]
)
def test_the_last_digit_written_says_how_fine_a_number_is(text: str, step: str) -> None:
    assert last_digit(text) == Fraction(step)


@pytest.mark.parametrize(
    ("si", "symbol", "step", "shown"),
    [
        ("0.00014", "mm", "0.001", "0.140 mm"),
        ("0.0000005", "mm", "0.001", "0.000 mm"),  # half a step goes to the even one
        ("0.0000015", "mm", "0.001", "0.002 mm"),
        ("-0.0000001", "mm", "0.001", "0.000 mm"),  # never a minus before nil
        ("-0.00014", "mm", "0.001", "-0.140 mm"),
        ("0.0423612", "mm", "0.005", "42.360 mm"),
        ("255.15", "degC", "1", "-18 degC"),
        ("293.15", "degF", "1", "68 degF"),
        ("0.034925", "in", "1/8", "1.375 in"),
        ("7200", "h", "0.1", "2.0 h"),
    ],
)
def test_a_value_is_shown_to_the_step_asked_for(si: str, symbol: str, step: str, shown: str) -> None:
    assert show(Fraction(si), _unit(symbol), Fraction(step)) == shown


def test_two_values_are_shown_apart_where_they_are_apart() -> None:
    mm = _unit("mm")
    assert show_apart(Fraction("0.0000381"), Fraction("0.00003812"), mm, Fraction(1, 10_000)) == (
        "0.03810 mm",
        "0.03812 mm",
    )
    assert show_apart(Fraction(1), Fraction(1), mm, Fraction(1, 10))[0].endswith(" mm")


@given(st.integers(-(10**7), 10**7), st.integers(1, 10**4))
def test_no_two_values_a_nanometre_apart_are_shown_alike(micro: int, apart: int) -> None:
    one = Fraction(micro, 10**6)
    shown = show_apart(one, one + Fraction(apart, 10**9), _unit("mm"), Fraction(1, 1000))
    assert shown[0] != shown[1]


@given(st.floats(-10, 10), st.sampled_from(["0.001", "0.005", "0.01", "1/64", "1"]))
def test_what_is_shown_is_never_further_off_than_half_a_step(si: float, step: str) -> None:
    mm, fine = _unit("mm"), Fraction(step)
    back = Fraction(show(si, mm, fine).split()[0])
    assert abs(back - Fraction(si) * 1000) <= fine / 2 + Fraction(1, 10**6) * (fine < 1)
