"""A given may take its value from the table of materials, and is then as any other: value, U, and where it is from."""

from __future__ import annotations

from fractions import Fraction

import pytest

from runner.engineering.materials import merged, read, shipped
from runner.procedure.model import Given
from runner.procedure.reader import read_procedure
from runner.text.problem import Problem
from tests.procedure.texts import HEAD, stage

WASH = stage("Wash", "job", "do: Wash")
OWN = """
[A356-T6]
expansion = [{ to = 200, value = 21.0, U = 0.2, grade = "A", source = "the shop's dilatometer, 3 bars" }]
[our-head]
expansion = [{ to = 200, value = 20.5, U = 0.3, grade = "C", source = "maker's sheet, head castings" }]
"""


def _read(keys: str, own: str = "") -> tuple[Given | None, list[Problem]]:
    lines = "".join(f"    {line}\n" for line in keys.split("\n"))
    text = HEAD.replace("stages:\n", f"  - given: looked_up\n{lines}stages:\n") + WASH
    procedure, problems = read_procedure(text, "small.yaml", merged(shipped(), own) if own else None)
    return (procedure.givens[-1] if procedure else None), problems


def given(material: str, what: str, where: str, own: str = "") -> Given:
    found, problems = _read(f"material: {material}\nproperty: {what}\n{where}", own)
    assert found, problems
    return found


def only(keys: str) -> Problem:
    _, problems = _read(keys)
    assert len(problems) == 1, problems
    return problems[0]


def test_a_given_has_value_and_u_of_the_row_it_names() -> None:
    # materials.toml, A356-T6: mean 23.2 from 20 to 300 degC and 21.4 to 100 degC; half way 22.3, U 0.6 in both
    found = given("A356-T6", "expansion", "over: 20 degC to 200 degC")
    assert (found.value.typed, found.uncertainty and found.uncertainty.typed) == (
        "22.3 um/m/K",
        "0.6 um/m/K",
    )
    assert found.value.si == Fraction(223, 10**7)
    assert len(found.rows) == 2


@pytest.mark.parametrize(
    ("what", "value"),
    [
        ("modulus", "72.4 GPa"),
        ("poisson", "0.33 times"),
        ("conductivity", "151 W/m/K"),
        ("heat capacity", "963 J/kg/K"),
        ("density", "2.67 g/cc"),
        ("yield", "165 MPa"),
    ],
)
def test_each_property_comes_in_a_unit_of_the_shop(what: str, value: str) -> None:
    assert given("A356-T6", what, "at: 20 degC").value.typed == value


def test_the_source_says_what_it_is_of_which_grade_and_whose_rows_it_stands_on() -> None:
    seen = given("A356-T6", "expansion", "over: 20 degC to 200 degC").source
    assert seen.startswith("published, expansion of A356-T6 20 degC to 200 degC: a materials database")
    assert seen.endswith("grade A")
    remembered = given("A356-T6", "modulus", "at: 150 degC").source
    assert remembered.startswith("from memory, modulus of A356-T6 at 150 degC")
    assert "grade C" in remembered and "wrought alloys" in remembered


def test_a_little_outside_its_range_a_value_is_worked_with_a_wider_u_and_says_so() -> None:
    inside = given("A356-T6", "expansion", "over: 20 degC to 300 degC")
    outside = given("A356-T6", "expansion", "over: 20 degC to 345 degC")
    assert inside.uncertainty and outside.uncertainty
    assert outside.uncertainty.number > inside.uncertainty.number
    assert "outside, so U is widened to" in outside.source and "widened" not in inside.source


def test_further_out_it_is_refused_with_the_range_there_is() -> None:
    found = only("material: A356-T6\nproperty: expansion\nover: 20 degC to 351 degC")
    assert found.what.startswith("the expansion of A356-T6 is stated from 20 degC to 300 degC; of 351 degC")


def test_a_mean_starts_at_20_degrees_however_that_is_written() -> None:
    celsius = given("A356-T6", "expansion", "over: 20 degC to 200 degC")
    assert given("A356-T6", "expansion", "over: 68 degF to 392 degF").value == celsius.value
    assert given("gauge-steel", "expansion", "over: 0 degC to 20 degC").value.typed == "11.5 um/m/K"
    for over in ("20 degC to 20 degC", "30 degC to 200 degC", "20 degC to 200 mm", "20 degC"):
        assert only(f"material: A356-T6\nproperty: expansion\nover: {over}").fix.startswith(
            "write over: 20 degC"
        )


def test_a_misspelt_material_or_property_brings_the_nearest_one() -> None:
    wrong = only("material: A365-T6\nproperty: expansion\nover: 20 degC to 200 degC")
    assert (wrong.kind, wrong.fix) == ("unknown-material", "did you mean 'A356-T6'?")
    wrong = only("material: A356-T6\nproperty: heat capasity\nat: 20 degC")
    assert (wrong.kind, wrong.fix) == ("unknown-property", "did you mean 'heat capacity'?")
    wrong = only("material: 319-T6\nproperty: modulus\nat: 20 degC")
    assert wrong.fix == "it has: expansion, yield; else write the value"


def test_a_misspelt_key_is_told_as_such() -> None:
    wrong = only("materiel: A356-T6\nproperty: modulus\nat: 20 degC")
    assert (wrong.kind, wrong.fix) == ("unknown-key", "did you mean 'material'?")


def test_the_shops_own_rows_go_over_ours() -> None:
    ours = given("A356-T6", "expansion", "over: 20 degC to 200 degC", OWN)
    assert ours.value.typed == "21 um/m/K" and "dilatometer" in ours.source
    assert given("our-head", "expansion", "over: 20 degC to 200 degC", OWN).source.startswith(
        "maker's sheet, "
    )
    assert given("A356-T6", "modulus", "at: 20 degC", OWN).value.typed == "72.4 GPa"


def test_read_with_the_rows_it_used_a_procedure_says_the_same() -> None:
    keys = "    material: A356-T6\n    property: modulus\n    at: 170 degC\n"
    again = "  - given: cold\n    material: A356-T6\n    property: modulus\n    at: 20 degC\n"
    text = HEAD.replace("stages:\n", f"  - given: hot\n{keys}{again}stages:\n") + WASH
    first, _ = read_procedure(text, "small.yaml")
    assert first
    second, _ = read_procedure(text, "small.yaml", read(first.materials))
    assert second == first
    assert first.materials.count('["A356-T6"]') == 1 and first.materials.count("grade") == 5


def test_a_procedure_without_such_a_given_keeps_no_rows() -> None:
    first, _ = read_procedure(HEAD + WASH, "small.yaml")
    assert first and first.materials == ""
