"""What is typed at the bench is that number or is refused; it is never another one."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import Quantity
from runner.quantities.units import Unit, unit
from runner.text.foreign import has_unprintable


def _unit(symbol: str) -> Unit:
    found = unit(symbol)
    assert found
    return found


MM, INCH, DEGC = _unit("mm"), _unit("in"), _unit("degC")


@pytest.mark.parametrize(
    ("typed", "shown", "value"),
    [
        ("42.36", MM, "0.04236"),
        ("42.360", MM, "0.04236"),
        (".15", MM, "0.00015"),
        ("-.0015", MM, "-0.0000015"),
        ("+0.02", MM, "0.00002"),
        ("5.", MM, "0.005"),
        ("0", MM, "0"),
        ("\u22120.02", MM, "-0.00002"),  # the typeset minus, as a calculator copies it
        ("  7 ", MM, "0.007"),
        ("007", MM, "0.007"),
        ("6 thou", MM, "0.0001524"),
        ("6thou", MM, "0.0001524"),
        ("2.5 thou", INCH, "0.0000635"),
        ("0.15 mm", INCH, "0.00015"),
        ("3/8", INCH, "0.009525"),
        ("1-3/8", INCH, "0.034925"),
        ("-1-3/8", INCH, "-0.034925"),
        ("1-3/8 in", MM, "0.034925"),
        ('1-3/8"', MM, "0.034925"),
        ("12 µm", MM, "0.000012"),  # micro sign, U+00B5
        ("12 μm", MM, "0.000012"),  # Greek mu, U+03BC
        ("20", DEGC, "293.15"),
        ("-18", DEGC, "255.15"),
        ("-18 °C", DEGC, "255.15"),
        ("68 degF", DEGC, "293.15"),
    ],
)
def test_the_ways_people_write_a_number_are_read(typed: str, shown: Unit, value: str) -> None:
    quantity = parse_entry(typed, shown)
    assert isinstance(quantity, Quantity)
    assert quantity.si == Fraction(value)
    assert quantity.typed == typed.strip()


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "nothing was typed"),
        ("   ", "nothing was typed"),
        ("0,15", "comma"),
        ("1,250", "comma"),
        ("1,250.5", "comma"),
        ("1e3", "exponent"),
        ("1E-3", "exponent"),
        ("O.5", "letter"),
        ("l.5", "letter"),
        ("1 3/8", "could be two readings"),
        ("1 9/8", "could be two readings"),
        ("1-9/8", "fraction of one or more"),
        ("8/8", "fraction of one or more"),
        ("3/0", "divides by nothing"),
        ("1 000", "not a number"),
        ("1_000", "not a number"),
        ("1'000", "not a number"),
        ("1.2.3", "not a number"),
        ("--5", "not a number"),
        ("5-", "not a number"),
        ("5-3", "not a number"),
        (".", "not a number"),
        ("-", "not a number"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("0x10", "not one of the shop's units"),
        ("5 ± 0.1", "has a sign that no number has"),
        ("1½", "has a sign that no number has"),
        ("\u0663", "has a sign that no number has"),  # an Arabic three, which is a digit to Python
        ("\uff15 µm", "not a number"),  # a full-width five
        ("5\u00a0mm", "has a sign that no number has"),
        ("5\u200b", "has a sign that does not show"),
        ("5\x1b[2J", "has a sign that does not show"),
        ("5\n6", "has a sign that does not show"),
        ("5 mm mm", "not a number"),
        ("5 inch", "in is"),
        ("5 mil", "thou is"),
        ("5 Nm", "N*m is"),
        ("5 furlongs", "mm is asked for"),
        ("5 K", "is not a length"),
        ("5 degC", "is not a length"),
        ("1234567890123456", "more than 15 digits"),
        ("1" * 61, "too long"),
    ],
)
def test_what_could_be_another_number_is_refused_in_a_sentence(typed: str, says: str) -> None:
    refused = parse_entry(typed, MM)
    assert isinstance(refused, Refused)
    assert says in refused.sentence
    assert not has_unprintable(refused.sentence)
    assert not refused.sentence.endswith(".")


def test_a_difference_is_no_temperature() -> None:
    refused = parse_entry("20 K", DEGC)
    assert isinstance(refused, Refused)
    assert refused.sentence == "'K' is not a temperature; degC is asked for"


@pytest.mark.parametrize(
    ("typed", "value"), [("0,15", "0.15"), (",15", "0.15"), ("1,250", "1.25"), ("3/8", "0.375")]
)
def test_a_shop_that_writes_the_comma_types_the_comma(typed: str, value: str) -> None:
    quantity = parse_entry(typed, MM, ",")
    assert isinstance(quantity, Quantity)
    assert quantity.number == Fraction(value)


@pytest.mark.parametrize("typed", ["0.15", "1.250", "1.250,5", "1,2,3", ","])
def test_a_shop_that_writes_the_comma_is_never_read_by_the_point(typed: str) -> None:
    assert isinstance(parse_entry(typed, MM, ","), Refused)


decimals = st.builds(
    lambda whole, places, digits: f"{whole}.{digits:0{places}d}" if places else str(whole),
    st.integers(0, 10**6),
    st.integers(0, 6),
    st.integers(0, 9),
)
fractions = st.integers(1, 6).flatmap(
    lambda power: st.integers(1, 2**power - 1).map(lambda over: f"{over}/{2**power}")
)
signs = st.sampled_from(["", "+", "-", "\u2212"])
units = st.sampled_from(["", " mm", "mm", " in", " thou", " µm", '"', " um"])


def _worth(text: str) -> Fraction:
    """By hand: the number that a sign, digits and a point, or a mixed number say."""
    sign = -1 if text[0] in "-\u2212" else 1
    text = text.lstrip("+-\u2212")
    if "/" in text:
        whole, _, part = text.rpartition("-")
        return sign * (int(whole or 0) + Fraction(part))
    return sign * Fraction(Decimal(text))


@given(signs, decimals, units, st.sampled_from([".", ","]))
def test_a_decimal_typed_is_the_number_kept(sign: str, number: str, word: str, mark: str) -> None:
    quantity = parse_entry(sign + number.replace(".", mark) + word, MM, mark)
    assert isinstance(quantity, Quantity)
    assert quantity.number == _worth(sign + number)
    assert quantity.unit.symbol == {"": "mm", '"': "in", "µm": "um"}.get(word.strip(), word.strip())


@given(signs, st.one_of(st.just(""), st.integers(0, 99).map(lambda whole: f"{whole}-")), fractions, units)
def test_a_fraction_or_mixed_number_typed_is_the_number_kept(
    sign: str, whole: str, fraction: str, word: str
) -> None:
    quantity = parse_entry(sign + whole + fraction + word, INCH)
    assert isinstance(quantity, Quantity)
    assert quantity.number == _worth(sign + whole + fraction)


@given(st.text(alphabet="0123456789.,-+/ eEOlmin_'\u2212µ\"", max_size=12), st.sampled_from([".", ","]))
def test_whatever_is_accepted_reads_as_digits_sign_and_mark_and_is_worth_just_that(
    text: str, mark: str
) -> None:
    quantity = parse_entry(text, MM, mark)
    if isinstance(quantity, Refused):
        return
    found = re.fullmatch(
        r"([+\u2212-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+|(?:[0-9]+-)?[0-9]+/[0-9]+)) *([^0-9 ]*)",
        text.strip().replace(mark, "."),
    )
    assert found, text
    assert quantity.number == _worth(found[1])


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("42.36 42.37 42.36", ["42.36", "42.37", "42.36"]),
        ("6 thou 7 thou", ["6 thou", "7 thou"]),
        ("1-3/8 in  .15", ["1-3/8 in", ".15"]),
        ("-0.01 \u22120.02 +.03", ["-0.01", "\u22120.02", "+.03"]),
        ("", []),
        ("mm", ["mm"]),
    ],
)
def test_blanks_part_the_readings_of_one_line(line: str, readings: list[str]) -> None:
    assert split_entries(line) == readings
