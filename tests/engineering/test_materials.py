"""The table of materials: what it answers, what it widens, what it refuses, how a shop's goes over it, how a job keeps it."""

from __future__ import annotations

import importlib.resources
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering.materials import (
    OUTSIDE,
    WHAT,
    LookedUp,
    Materials,
    NotATable,
    as_text,
    merged,
    property_at,
    read,
    rows_used,
    shipped,
)
from runner.engineering.signature import OutOfDomain

ZERO = 273.15
PAIRS = sorted(shipped().rows)
pairs = st.sampled_from(PAIRS)
laws = settings(derandomize=True, deadline=None, max_examples=80)


def span(pair: tuple[str, str]) -> tuple[float, float]:
    rows = shipped().rows[pair]
    return min(row.lowest for row in rows), max(row.highest for row in rows)


def at(pair: tuple[str, str], temperature: float) -> LookedUp:
    return property_at(shipped(), *pair, temperature)


def test_the_table_is_found_beside_the_program() -> None:
    text = (
        importlib.resources.files("runner.engineering").joinpath("materials.toml").read_text(encoding="utf-8")
    )
    assert read(text) == shipped()
    assert len(shipped().names) > 25


def test_every_row_says_its_range_its_doubt_its_source_and_how_sure_it_is() -> None:
    for rows in shipped().rows.values():
        for row in rows:
            assert 0 < row.uncertainty < row.value
            assert row.lowest <= row.highest
            assert len(row.source) > 10
            assert row.grade in "ABCD"
            assert row.grade != "C" or "memory" in row.source + row.note


def test_every_material_has_words_for_what_it_is() -> None:
    assert set(shipped().described) == set(shipped().names) == {material for material, _ in PAIRS}


def test_a_value_between_two_rows_stands_on_both() -> None:
    found = at(("A356-T6", "expansion"), ZERO + 200)
    assert found.value == pytest.approx((21.4e-6 + 23.2e-6) / 2)
    assert [row.highest for row in found.rows] == [ZERO + 100, ZERO + 300]
    assert found.note == ""


def test_a_mean_holds_from_20_degrees_to_its_own_end() -> None:
    assert at(("410", "expansion"), ZERO + 60).value == at(("410", "expansion"), ZERO + 100).value == 10.5e-6


@laws
@given(pairs, st.floats(0.001, 1.0))
def test_up_to_50_kelvin_outside_is_worked_widened_and_said(pair: tuple[str, str], share: float) -> None:
    low, high = span(pair)
    for edge, outside in ((low, low - share * OUTSIDE), (high, high + share * OUTSIDE)):
        if outside <= 0:
            continue
        found = at(pair, outside)
        assert found.uncertainty > at(pair, edge).uncertainty or found.uncertainty == found.value
        assert "lies outside, so U is widened" in found.note
        assert 0 < found.value


@laws
@given(pairs, st.floats(0.001, 1000.0))
def test_further_out_the_table_says_nothing(pair: tuple[str, str], further: float) -> None:
    low, high = span(pair)
    for outside in (low - OUTSIDE - further, high + OUTSIDE + further):
        with pytest.raises(OutOfDomain, match=r"says nothing|is none for"):
            at(pair, outside)


@laws
@given(pairs, st.floats(-OUTSIDE, OUTSIDE))
def test_no_value_jumps_anywhere(pair: tuple[str, str], place: float) -> None:
    low, high = span(pair)
    for edge in (low, high):
        there = max(edge + place, 1.0)
        one = at(pair, there)
        near = at(pair, min(max(there * (1 + 1e-9), low - OUTSIDE), high + OUTSIDE))
        assert near.value == pytest.approx(one.value, rel=1e-5)
        assert near.uncertainty == pytest.approx(one.uncertainty, rel=1e-5)


@pytest.mark.parametrize("temperature", [math.nan, math.inf, -math.inf, 0.0, -20.0, 3.0])
def test_a_temperature_that_is_none_is_refused(temperature: float) -> None:
    with pytest.raises(OutOfDomain, match=r"is none for A356-T6|says nothing"):
        at(("A356-T6", "expansion"), temperature)


def test_sentences_name_the_range_and_what_is_near() -> None:
    def refusal(material: str, what: str, temperature: float) -> str:
        with pytest.raises(OutOfDomain) as caught:
            property_at(shipped(), material, what, temperature)
        return str(caught.value)

    assert refusal("A356-T6", "expansion", 3.0) == (
        "the expansion of A356-T6 is stated from 20 degC to 300 degC; of -270.15 degC the table says nothing"
    )
    assert refusal("C17200", "modulus", ZERO + 200) == (
        "the modulus of C17200 is stated at 20 degC only; of 200 degC the table says nothing"
    )
    assert refusal("A356T6", "modulus", 300.0).startswith(
        "no material in the table is called 'A356T6'; near it are A356-T6"
    )
    assert refusal("440", "yield", 300.0) == "the table has no yield of 440, only: expansion, modulus"


SHOP = """
[sources]
sheet = "insert maker's sheet, lot 4711, invented"

[seat-lot-4711]
is = "sintered insert, this lot"
expansion = [
    { to = 200, value = 12.1, U = 0.3, grade = "A", source = "sheet" },
]

[A356-T6]
yield = [
    { at = 20, value = 210, U = 10, grade = "A", source = "own test bars, invented" },
]
"""


def test_a_shops_table_goes_over_ours_and_never_mixes_with_it() -> None:
    both = merged(shipped(), SHOP)
    found = property_at(both, "seat-lot-4711", "expansion", ZERO + 150)
    assert found.value == pytest.approx(12.1e-6)
    assert found.rows[0].source == "insert maker's sheet, lot 4711, invented"
    own = property_at(both, "A356-T6", "yield", ZERO + 20)
    assert own.value == 210e6
    assert [row.value for row in own.rows] == [210e6]
    assert property_at(both, "A356-T6", "modulus", ZERO + 20) == at(("A356-T6", "modulus"), ZERO + 20)
    assert both.described["A356-T6"] == shipped().described["A356-T6"]
    assert shipped().rows["A356-T6", "yield"][0].value == 165e6


def test_the_rows_a_job_keeps_answer_as_the_whole_table_did() -> None:
    wanted = [("A356-T6", "expansion"), ("410", "expansion"), ("410", "modulus"), ("410", "expansion")]
    kept = rows_used(shipped(), wanted)
    assert len(kept) == 2 + 4 + 5
    alone = read(as_text(kept))
    assert rows_used(alone, wanted) == kept
    for pair in wanted:
        for degrees in (-25.0, 20.0, 83.3, 200.0, 317.0):
            assert property_at(alone, *pair, ZERO + degrees) == at(pair, ZERO + degrees)


def test_the_whole_table_comes_back_to_the_last_digit() -> None:
    assert read(as_text(rows_used(shipped(), PAIRS))).rows == dict(sorted(shipped().rows.items()))


def test_a_job_that_wants_what_isnt_there_is_told() -> None:
    with pytest.raises(OutOfDomain, match="no yield of 440"):
        rows_used(shipped(), [("440", "yield")])


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('{ to = 100, value = 0.0000114, U = 0.6, grade = "A", source = "s" }', "between 0.1 and 200 um/m/K"),
        ('{ to = 100, value = nan, U = 0.6, grade = "A", source = "s" }', "between 0.1 and 200"),
        ('{ to = 100, value = true, U = 0.6, grade = "A", source = "s" }', "between 0.1 and 200"),
        ('{ to = 100, value = 11.4, grade = "A", source = "s" }', "U is what the value may be out by"),
        (
            '{ to = 100, value = 11.4, U = -1, grade = "A", source = "s" }',
            "U is what the value may be out by",
        ),
        ('{ to = 100, value = 11.4, U = 1, grade = "E", source = "s" }', "the grade is A, B, C or D"),
        ('{ to = 100, value = 11.4, U = 1, grade = "A" }', "say where the value is from"),
        ('{ to = 100, value = 11.4, U = 1, grade = "A", source = "s", alpha = 1 }', "'alpha' is not one of"),
        ('{ at = 20, value = 11.4, U = 1, grade = "A", source = "s" }', "is between two temperatures"),
        (
            '{ from = 50, to = 90, value = 11.4, U = 1, grade = "A", source = "s" }',
            "starts or ends at 20 degC",
        ),
        (
            '{ from = 20, to = inf, value = 11.4, U = 1, grade = "A", source = "s" }',
            "say at which temperature",
        ),
        ("11.4", "write it as { to = 100"),
    ],
)
def test_a_slip_in_a_shops_table_is_told_with_its_line(line: str, said: str) -> None:
    with pytest.raises(NotATable) as told:
        read(f"[lot]\nexpansion = [{line}]\n")
    assert len(told.value.problems) == 1
    assert told.value.problems[0].startswith("lot, expansion, line 1: ")
    assert said in told.value.problems[0]


def test_all_slips_are_told_at_once() -> None:
    good = 'value = 11, U = 1, grade = "A", source = "s" }'
    with pytest.raises(NotATable) as told:
        read(f"[lot]\nexpansion = [{{ to = 100, {good}, {{ to = 100, {good}]\nhardness = []\nmodulus = []\n")
    places = {problem.split(":")[0] for problem in told.value.problems}
    assert len(told.value.problems) == 3
    assert places == {"lot, expansion", "lot", "lot, modulus"}


def test_what_is_no_table_is_refused() -> None:
    for text in (
        "[lot",
        "a = 1",
        "lot = 3\n",
        "sources = 3",
        "x = " + "[" * 5000,
        "\x00",
        "v = 1e999999999999",
    ):
        with pytest.raises(NotATable):
            read(text)


def test_an_empty_table_is_a_table_without_materials() -> None:
    assert read("") == Materials({}, {})
    assert merged(shipped(), "") == shipped()


def test_every_property_has_a_unit_and_a_kind() -> None:
    assert {what for _, what in PAIRS} == set(WHAT)
