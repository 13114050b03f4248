"""`benchhand calc` and `calculations`: formulas outside a job, with uncertainty and the working; hostile texts refused at once."""

from __future__ import annotations

import time

import pytest

from runner.command.line import main
from runner.engineering.calculations import CALCULATIONS

Capture = pytest.CaptureFixture[str]


def _calc(capsys: Capture, *words: str) -> tuple[int, str, str]:
    code = main(["calc", *words])
    out, err = capsys.readouterr()
    return code, out, err


def test_a_result_has_its_uncertainty_and_the_working(capsys: Capture) -> None:
    code, out, _ = _calc(capsys, "od - bore", "od=42.510 mm +/- 0.003 mm", "bore=42.370 mm +/- 0.004 mm")
    assert code == 0
    # 3 and 4 in squares make 5, by hand
    assert out.startswith("0.1400 mm ± 0.0050 mm")
    assert "42.510 mm - 42.370 mm" in out and "64.0% of the uncertainty from bore" in out


def test_several_results_are_given_on_request(capsys: Capture) -> None:
    code, out, _ = _calc(capsys, "mean(b)", "spread(b)", "max(b) < 42.4 mm", "b=42.371 42.372 42.369 mm")
    assert code == 0
    assert "42.3707 mm" in out and "0.0030" in out and "max(b) < 42.4 mm: yes" in out


def test_a_published_number_comes_out_of_a_formula_string(capsys: Capture) -> None:
    # Strength of Materials, Ex. 8.17 p.350, and Advanced Strength and Applied Elasticity, Ex. 3 p.243: 12.3 MPa. Grade A.
    code, out, _ = _calc(
        capsys,
        "contact_pressure(interference=0.2 mm, diameter=400 mm, ring_bore=300 mm, hub_od=500 mm, ring_modulus=e, "
        "hub_modulus=e, ring_poisson=nu, hub_poisson=nu)",
        "e=200 GPa",
        "nu=0.3",
    )
    assert code == 0 and out.startswith("12.30")


def test_another_unit_is_shown_where_it_is_asked_for(capsys: Capture) -> None:
    assert _calc(capsys, "a * 2", "a=25.4 mm", "--in", "in")[1].startswith("2.000")
    code, _, err = _calc(capsys, "a * 2", "a=25.4 mm", "--in", "degC")
    assert code == 1 and "not a unit for a length" in err


def test_the_uncertainty_s_unit_may_stand_for_both(capsys: Capture) -> None:
    assert _calc(capsys, "a", "a=42.370 ± 0.003 mm")[1].startswith("42.3700 mm ± 0.0030 mm")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["od - bore", "od=42.5 mm"], "'bore' has no value here"),
        (["od - rise", "od=42.5 mm", "rise=5 K"], "can't take"),
        (["ln(a)", "a=0"], "can't be worked out"),
        (["interference(1 mm, 0 mm)"], "is not a size"),
        (["a"], "give it a value: a=…"),
        (["a", "a=4 5 mm"], "a is several readings; take mean(…)"),
        (["seat", 'seat="EX"'], "seat is a choice; ask it with is"),
        (["seat is EX", 'seat="EX"'], 'write seat is "EX"'),
        (["every seat.bore", "bore=4 mm"], "here are no parts and tables"),
        (["3 / 8 in"], "write 3 / (8 in), or 3/8 in without blanks for a fraction"),
        (["a", "a=1 3/8 in"], "write 1-3/8, or each reading with a point"),
        (["a", "a=1 mm +/- 1 mm /0"], "write 1 or more behind the /"),
        (["sqrt(a)", "a=0 +/- 1"], "its uncertainty has no answer at these values"),
    ],
)
def test_what_can_t_be_worked_is_told_in_a_sentence(capsys: Capture, words: list[str], says: str) -> None:
    code, out, err = _calc(capsys, *words)
    assert code == 1 and says in out + err and "Traceback" not in out + err


@pytest.mark.parametrize(
    "text",
    [
        "().__class__",
        "9**9**9**9",
        "9^9^9^9",
        "(" * 10_000,
        "a+" * 500_000,
        "__import__('os')",
        "\x1b]0;x\x07",
        "1 if 1 else",
        "",
    ],
)
def test_hostile_text_is_refused_within_two_seconds(capsys: Capture, text: str) -> None:
    began = time.process_time()
    code, out, err = _calc(capsys, text)
    assert code == 1 and time.process_time() - began < 2
    assert "\x1b" not in out + err


def test_values_without_a_formula_are_a_wrong_command_line(capsys: Capture) -> None:
    assert _calc(capsys, "a=1 mm")[0] == 2


def test_every_calculation_is_listed_and_told_with_its_source(capsys: Capture) -> None:
    assert main(["calculations"]) == 0
    listed = capsys.readouterr().out
    assert all(f"{name}(" in listed for name in CALCULATIONS)
    assert main(["calculations", "it_grade"]) == 0
    told = capsys.readouterr().out
    assert "Source:" in told and "ISO 286" in told and ">>>" in told


def test_a_calculation_that_is_none_gets_the_nearest(capsys: Capture) -> None:
    assert main(["calculations", "interferance"]) == 1
    assert "did you mean 'interference'?" in capsys.readouterr().err


def test_a_fraction_of_an_inch_is_one(capsys: Capture) -> None:
    # 3/8 of 25.4 mm is 9.525 mm, by hand
    assert _calc(capsys, "3/8 in")[1].startswith("9.52500 mm")
    assert _calc(capsys, "a - 3/8 in", "a=1-3/8 in", "--in", "in")[1].startswith("1.00000 in")


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        (["a / 3", "a=1 mm"], "0.333333 mm"),
        (["a * 1", "a=1.2345678 mm"], "1.2345678 mm"),
        (["a * 1", "a=123456789"], "123456789"),
        (["a * 1", "a=1.23456789012345 mm"], "1.23457 mm"),
        (["sqrt(a)", "a=2"], "1.41421"),
        (["a^6 * a^6", "a=123456789"], "1.25366 × 10^97"),
        (["a * b", "a=0.000000001 mm", "b=0.0003"], "3.00000 × 10^-13 mm"),
        (["a^3 * b", "a=0.000002 +/- 0.0000001", "b=0.5"], "4.00 × 10^-18 ± 0.60 × 10^-18"),
        (["a - a", "a=5 mm"], "0.000 mm"),
    ],
)
def test_no_more_digits_are_shown_than_mean_something(capsys: Capture, words: list[str], shown: str) -> None:
    code, out, _ = _calc(capsys, *words)
    assert code == 0 and out.split("   ")[0].split("\n")[0] == shown


def test_few_degrees_of_freedom_behind_an_uncertainty_are_counted(capsys: Capture) -> None:
    # 5^4 / (3^4 / 9 + 4^4 / 4) = 8.56 by hand; t for 95 % with 8 degrees is 2.31 (JCGM 100:2008, table G.2)
    given = ("od=42.510 mm +/- 0.003 mm /9", "bore=42.370 mm ± 0.004 mm / 4")
    code, out, _ = _calc(capsys, "od - bore", *given)
    assert code == 0 and out.startswith("0.1400 mm ± 0.0058 mm   (U, k = 2.31, ")
    assert (
        "Student's t for 95 % with 8 degrees of freedom" in out and "8.6 degrees of freedom in effect" in out
    )
    assert "(U, k = 2, by derivatives)" in _calc(capsys, "od", "od=42.510 mm +/- 0.003 mm /99")[1]


def test_a_choice_is_given_in_quotes(capsys: Capture) -> None:
    code, out, _ = _calc(capsys, '0.12 mm if seat is "EX" else 0.10 mm', 'seat="IN"')
    assert code == 0 and out.startswith("0.100000 mm") and 'if "IN" is "EX" else' in out
    code, out, _ = _calc(capsys, 'seat is not "EX"', 'seat="IN"')
    assert code == 0 and 'seat is not "EX": yes' in out and '= "IN" is not "EX"' in out


def test_the_safe_side_of_a_value_is_shown_without_a_second_uncertainty(capsys: Capture) -> None:
    code, out, _ = _calc(capsys, "low(a)", "a=4 mm +/- 0.1 mm")
    assert code == 0 and out.startswith("3.90000 mm\n")


def test_a_calculation_is_told_without_a_word_of_the_program(capsys: pytest.CaptureFixture[str]) -> None:
    for name in CALCULATIONS:
        assert main(["calculations", name]) == 0
        said = capsys.readouterr().out
        assert "OutOfDomain" not in said and "signature" not in said, name
