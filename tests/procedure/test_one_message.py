"""One fault gives one message: what follows from it is left unsaid until it is mended."""

from __future__ import annotations

import pytest

from runner.procedure.reader import read_procedure
from tests.procedure.texts import HEAD, SHIPPED, kinds_of, reading, stage, working

LATER = [working("y1", "x1 * 2"), "check: y1\nat most: allowed\nif not: [scrap]", "do: Look\nshow: [x1, y1]"]


@pytest.mark.parametrize(
    ("step", "kind"),
    [
        (working("x1", "bohr * 2"), "unknown-name"),
        (working("x1", "bore * 20 degC"), "temperature"),
        (working("x1", "bore +"), "unfinished"),
        (working("x1", "bore > 1 mm"), "condition"),
        (working("x-1", "bore").replace("x-1", "x 1"), "bad-name"),
        ("work out: x1\nas: bore\nto the nearest: 0.001 mmm", "unknown-unit"),
        ("work out: x1\nas: bore", "missing-key"),
        ("wrok out: x1\nas: bore\nto the nearest: 0.001 mm", "unknown-step"),
        ("work out: x1\nsa: bore\nto the nearest: 0.001 mm", "unknown-key"),
        ("read: x1\nask: Size\nunit: m m\nplausible: 0 mm to 1 mm", "unknown-unit"),
        ("read: x1\nask: Size\nunit: mm\nplausible: 0 mm", "range-form"),
        ("read: x1\nask: Size\nunit: mm\nplausible: 0 mm to 90 mm\npoints: []", "empty"),
        ("as: bore\nwork out: x1\nto the nearest: 0.001 mm", "unknown-step"),
    ],
)
def test_a_name_whose_own_step_is_wrong_is_not_complained_of_where_it_is_used(step: str, kind: str) -> None:
    later = [one.replace("x1", "x_1") for one in LATER] if kind == "bad-name" else LATER
    assert kinds_of(stage("A", "seat", reading("bore"), step, *later)) == [kind]


def test_a_forgotten_dash_is_one_message_whatever_stands_behind_it() -> None:
    text = HEAD + stage("A", "seat", reading("bore"), reading("x1"), *LATER)
    cut = text.replace("      - read: x1", "        read: x1")
    assert [one.kind for one in read_procedure(cut, "x")[1]] == ["duplicate-key"]
    cut = text.replace("      - work out: y1", "        work out: y1")
    assert [one.kind for one in read_procedure(cut, "x")[1]] == ["missing-dash"]


def test_the_same_unknown_name_is_told_at_each_place_it_stands_but_not_in_what_is_made_of_it() -> None:
    found = kinds_of(stage("A", "seat", reading("bore"), working("x1", "bohr + bohr"), *LATER))
    assert found == ["unknown-name", "unknown-name"]


@pytest.mark.parametrize(
    ("old", "new", "kind"),
    [
        ("parts:\n", "partz:\n", "unknown-key"),
        ("instruments:\n", "instrument:\n", "unknown-key"),
        ("hazards:\n", "hazard:\n", "unknown-key"),
        ("givens:\n", "given:\n", "unknown-key"),
        ("tables:\n", "table:\n", "unknown-key"),
        ("roles: [", "role: [", "unknown-key"),
        ("stages:\n", "stage:\n", "unknown-key"),
        ("concessions by:", "concession by:", "unknown-key"),
        ("  - part: seat\n    in: head", "  - part: seat\n    in: hed", "unknown-part"),
        ("    reads to: 0.001 mm\n    uncertainty: 0.003 mm\n  - instrument: bore", "    reads to: 0.001 nmm\n    uncertainty: 0.003 mm\n  - instrument: bore", "unknown-unit"),
        ("  - warning: rotating cutter\n", "  - warnng: rotating cutter\n", "hazard-word"),
        ("    avoid: Wear closed goggles; close the guard\n", "", "missing-key"),
        ("    value: 210 GPa\n", "    value: 210 GPA\n", "unknown-unit"),
        ("    material: A356-T6\n", "    material: A365-T6\n", "unknown-material"),
        ("    property: modulus\n", "    property: modulos\n", "unknown-property"),
        ("    over: 20 degC to 200 degC\n", "    over: 20 degC to 2000 degC\n", "outside-range"),
        ("        values: [42.50 mm, 6.00 mm, 58 mm]\n", "        values: [42.50 mm, 6,00 mm, 58 mm]\n", "decimal-comma"),
        ("        values: [50.50 mm, 6.00 mm, 66 mm]\n", "        values: [50.50 mm, 6.00 mm, 66 m m]\n", "bad-number"),
        ("        values: [50.50 mm, 6.00 mm, 66 mm]\n", "        values: [50.50 mm, 6.00 mm]\n", "table-rows"),
        ("      - read: insert_od\n", "      - raed: insert_od\n", "unknown-step"),
        ("      - read: insert_od\n", "      - read: insert od\n", "bad-name"),
        ("        axes: [a, b, c]\n", "", "points-form"),
        ("    after: [Plan the fit]\n", "    after: [Plan teh fit]\n", "unknown-stage"),
        ("  - stage: Fit card\n    for each: seat", "  - stage: Fit card\n    for each: saet", "not-an-option"),
        ("        timed as: into_freezer\n", "        timed at: into_freezer\n", "unknown-key"),
        ("  - stage: Counterbore\n", "    stage: Counterbore\n", "duplicate-key"),
    ],
)  # fmt: skip
def test_one_slip_in_the_shipped_procedure_gives_one_message(old: str, new: str, kind: str) -> None:
    text = SHIPPED.read_text(encoding="utf-8")
    assert old in text
    procedure, problems = read_procedure(text.replace(old, new, 1), "x")
    assert [one.kind for one in problems] == [kind]
    assert procedure is None
