"""A right procedure is read whole; what is wrong is told at its own letters, wherever it is written."""

from __future__ import annotations

from fractions import Fraction

import pytest

from runner.procedure.model import (
    AgainstTheClock,
    Check,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    Rung,
    SignOff,
    Soak,
    Wait,
    Window,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)
from runner.procedure.reader import read_bytes, read_procedure
from runner.quantities import kinds
from tests.procedure.texts import HEAD, SHIPPED, problems_of, reading, stage, working


def test_the_shipped_procedure_has_no_problem() -> None:
    procedure, problems, text = read_bytes(SHIPPED.read_bytes(), SHIPPED.name)
    assert problems == []
    assert procedure
    assert procedure.text == text


def test_the_shipped_procedure_says_what_its_file_says() -> None:
    procedure, _ = read_procedure(SHIPPED.read_text(encoding="utf-8"), SHIPPED.name)
    assert procedure
    assert procedure.id == "head-seats" and procedure.roles == ("machinist", "helper", "inspector", "owner")
    loads = {one.name: one.of for one in procedure.parts if one.of}
    assert loads == {"freezer_load": "seat", "oven_load": "head", "bake_load": "head"}
    assert [one for one in procedure.levels_down_to("seat") if one not in loads] == ["job", "head", "seat"]
    measure = procedure.stage("Measure the insert")
    assert {type(step) for one in procedure.stages for step in one.steps} == {
        Read, Choose, Write, Rung, WorkOut, Check, Zero, Do, Wait, Window, NotBefore, Soak, AgainstTheClock, HoldPoint,
        WitnessPoint, SignOff,
    }  # fmt: skip
    od = next(step for step in measure.steps if isinstance(step, Read) and step.name == "insert_od")
    assert od.points == ("1", "2", "3") and od.instrument == "micrometer"
    assert [hazard.title for hazard in od.about.beware] == ["warm insert"]
    bore = next(
        step
        for step in procedure.stage("Measure the pocket").steps
        if isinstance(step, Read) and step.name == "bore"
    )
    assert bore.points == ("upper a", "upper b", "upper c", "lower a", "lower b", "lower c")
    lowest = next(
        step
        for step in procedure.stage("Fit card").steps
        if isinstance(step, WorkOut) and step.name == "head_not_below"
    )
    assert lowest.typed.kind == kinds.TEMPERATURE
    assert procedure.stage("Ready to heat").after == ("Freeze the inserts",)
    assert procedure.stage("Counterbore").after == ("Metal left",)
    assert procedure.stage("Look at the set").after_all == ("Fit card",)
    assert procedure.stage("Drive the insert").order == ("EX", "IN")
    assert procedure.stage("Rehearse cold").after == ("Beside the others",)


def test_each_step_stands_on_the_line_it_says() -> None:
    text = SHIPPED.read_text(encoding="utf-8")
    procedure, _ = read_procedure(text, SHIPPED.name)
    assert procedure
    lines = text.split("\n")
    for one in procedure.stages:
        assert lines[one.line - 1].strip() == f"- stage: {one.title}"
        for step in one.steps:
            assert lines[step.about.line - 1].lstrip().startswith("- ")
            if isinstance(step, Read):
                assert lines[step.about.line - 1] == f"      - read: {step.name}"


def test_a_tolerance_of_a_nominal_is_two_limits() -> None:
    text = HEAD + stage(
        "Measure",
        "seat",
        reading("bore"),
        "check: bore\nwithin: 0.010 mm of 42.36 mm\nsource: common practice\nif not: [scrap]",
    )
    procedure, problems = read_procedure(text, "x")
    assert procedure and problems == []
    check = procedure.stages[0].steps[1]
    assert isinstance(check, Check) and check.limits.tolerance and check.limits.nominal
    assert check.limits.low and check.limits.low.text == "42.36 mm - 0.010 mm"
    assert check.limits.high and check.limits.high.text == "42.36 mm + 0.010 mm"


def test_a_limit_may_carry_the_other_unit_as_its_source_prints_it() -> None:
    text = HEAD + stage(
        "Measure",
        "seat",
        reading("bore"),
        "check: bore\nwithin: 0.05 mm (0.002 in) to 1 mm\nsource: common practice\nif not: [scrap]",
    )
    procedure, problems = read_procedure(text, "x")
    assert procedure and problems == []
    check = procedure.stages[0].steps[1]
    assert isinstance(check, Check) and check.limits.low
    assert check.limits.low.tree.quantity.si == Fraction("0.00005")  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("key", "value", "marked"),
    [
        ("as", "bore - bohr", "bohr"),
        ("as", "'bore - bohr'", "bohr"),
        ("as", '"bore - bohr"', "bohr"),
        ("as", "   bore   -   bohr   ", "bohr"),
        ("as", '"  bore - bohr "', "bohr"),
        ("as", "mean(bore, (bore - bohr))", "bohr"),
        ("as", "bore - bohr # the old one", "bohr"),
        ("as", "bore - 1", "1"),
        ("as", "'bore - (20 degC + bore)'", "bore)"),
    ],
)
def test_a_slip_in_a_formula_is_told_at_its_letters_however_it_is_quoted(
    key: str, value: str, marked: str
) -> None:
    text = HEAD + stage(
        "Measure", "seat", reading("bore"), f"work out: x1\n{key}: {value}\nto the nearest: 0.001 mm"
    )
    _, problems = read_procedure(text, "small.yaml")
    lines = text.split("\n")
    line = next(number for number, line in enumerate(lines, 1) if f"{key}: {value}" in line)
    assert [(one.place.file, one.place.line) for one in problems] == [("small.yaml", line)]
    assert lines[line - 1][problems[0].place.column - 1 :].startswith(marked)


@pytest.mark.parametrize(
    ("plausible", "marked"),
    [
        ("0 mm to bohr", "bohr"),
        ("bohr to 90 mm", "bohr"),
        ("0 mm to 90 K", "90 K"),
        ('"0 mm to   allowed + 2 K"', "2 K"),
        ("'0 mm to 90'", "90"),
        ("2 K of allowed", "2 K"),
        ("0.1 mm of bohr", "bohr"),
        ("0 mm to 0.05 mm (0.003 in)", "0.003 in"),
        ("0.05 mm (0.003 in) to 1 mm", "0.003 in"),
        ("0 mm to 1 mm to 2 mm", "to"),
        ("0 mm to 0,5 mm", ","),
    ],
)
def test_a_slip_in_either_half_of_a_range_is_told_at_its_letters(plausible: str, marked: str) -> None:
    step = f"read: bore\nask: Size\nunit: mm\nplausible: {plausible}"
    text = HEAD + stage("Measure", "seat", step)
    _, problems = read_procedure(text, "x")
    assert len(problems) == 1, problems
    place = problems[0].place
    line = text.split("\n")[place.line - 1]
    assert line[place.column - 1 : place.column - 1 + place.length] == marked
    if marked == "to":
        assert place.column > line.index("1 mm")


def test_a_formula_with_escapes_or_over_two_lines_is_asked_for_on_one() -> None:
    for formula in ('"bore \\u002d 1"', "bore -\n          allowed"):
        found = problems_of(stage("Measure", "seat", reading("bore"), working("x1", formula)))
        assert [one.kind for one in found] == ["formula-form"]


def test_a_procedure_of_another_systems_line_ends_is_the_same_procedure() -> None:
    text = SHIPPED.read_text(encoding="utf-8")
    procedure, problems, _ = read_bytes(text.replace("\n", "\r\n").encode(), "x")
    same, _ = read_procedure(text, "x")
    assert problems == [] and procedure and same
    assert procedure.stages == same.stages


def test_a_list_in_brackets_or_under_dashes_is_the_same_list() -> None:
    dashes = HEAD.replace("roles: [machinist, inspector]", "roles:\n  - machinist\n  - inspector")
    one = read_procedure(HEAD + stage("Wash", "job", "do: Wash"), "x")[0]
    other = read_procedure(dashes + stage("Wash", "job", "do: Wash"), "x")[0]
    assert one and other and one.roles == other.roles


def test_hazards_stand_worst_first() -> None:
    hazard = "hazard: a\n    consequence: b\n    avoid: c\n"
    text = HEAD.replace(
        "givens:\n", f"hazards:\n  - notice: dirt\n    {hazard}  - danger: fire\n    {hazard}givens:\n"
    ) + stage("Wash", "job", "do: Wash\nbeware: [dirt, fire]")
    procedure, problems = read_procedure(text, "x")
    assert procedure and problems == []
    assert [one.word for one in procedure.stages[0].steps[0].about.beware] == ["danger", "notice"]
