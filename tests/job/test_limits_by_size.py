"""Limits from a table by size class, new and worn, each row with its source; and limits whose source prints two units."""

from __future__ import annotations

import pytest

from runner.job.events import CheckDecided
from runner.job.intents import StartPass, Type
from runner.paper.words import bounds
from runner.procedure.reader import read_procedure
from tests.job.a_bench import Bench
from tests.procedure.texts import HEAD, problems_of, reading, stage

# Sizes and limits invented for the test.
TABLE = """tables:
  - table: skirt
    looked up by: size
    columns: [new_low, new_high, worn_high]
    rows:
      - over: 50 mm
        up to: 80 mm (3.150 in)
        values: [0.02 mm, 0.04 mm, 0.08 mm]
        source: maker's sheet, small ones
      - over: 80 mm
        up to: 120 mm
        values: [0.03 mm (0.0012 in), 0.05 mm (0.0020 in), 0.10 mm (0.004 in)]
        source: maker's sheet, big ones
stages:
"""
CHECK = "check: play\nwithin: skirt.new_low to skirt.worn_high\nif not: [scrap]"
TEXT = HEAD.replace("stages:\n", TABLE) + stage(
    "Measure", "seat", reading("size").replace("90 mm", "150 mm"), reading("play"), CHECK, "do: Wipe it"
)
KEY = ("Measure", "H1/EX")


def checked(size: str, play: str) -> CheckDecided:
    procedure, problems = read_procedure(TEXT, "small.yaml")
    assert procedure is not None, problems
    bench = Bench(procedure, {"head": ["H1"]})
    bench.do(StartPass(KEY), Type(size), Type(play))
    return bench.only(CheckDecided)


def test_the_class_of_the_size_gives_both_ends_and_its_own_source() -> None:
    small = checked("80.00", "0.08")
    assert small.met and small.source == "maker's sheet, small ones"
    assert bounds(small) == "0.02 mm to 0.08 mm"
    assert not checked("80.00", "0.09").met
    big = checked("80.01", "0.09")
    assert big.met and big.source == "maker's sheet, big ones"


def test_a_limit_whose_source_prints_both_units_is_shown_in_both() -> None:
    assert bounds(checked("100.00", "0.06")) == "0.03 mm (0.0012 in) to 0.10 mm (0.004 in)"
    assert "skirt.worn_high" in checked("100.00", "0.11").sentence


BOTH = {
    "a limit": "check: size\nat most: 0.05 mm ({}) + allowed\nsource: common practice\nif not: [scrap]",
    "a range": "check: size\nwithin: 0 mm to 0.05 mm ({})\nsource: common practice\nif not: [scrap]",
    "a tolerance": "check: size\nwithin: 0.05 mm ({}) of allowed\nsource: common practice\nif not: [scrap]",
    "a condition": "only if: size > 0.05 mm ({})\nsteps:\n  - do: Wash it",
    "a formula": "work out: a\nas: size + 2 * 0.05 mm ({})\nto the nearest: 0.01 mm",
    "a step": "work out: a\nas: size + allowed\nto the nearest: 0.05 mm ({})",
    "a plausible band": "read: b\nask: Size\nunit: mm\nplausible: 0 mm to 0.05 mm ({})",
}


@pytest.mark.parametrize("where", BOTH)
def test_two_units_may_stand_wherever_a_quantity_does_and_must_agree(where: str) -> None:
    right, wrong = (BOTH[where].format(other) for other in ("0.002 in", "0.003 in"))
    assert problems_of(stage("Measure", "seat", reading("size"), right)) == []
    (problem,) = problems_of(stage("Measure", "seat", reading("size"), wrong))
    assert problem.kind == "units-disagree" and "0.05 mm is 0.002 in" in problem.what


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("value: 0.05 mm", "value: 0.05 mm (0.003 in)"),
        ("80 mm (3.150 in)", "80 mm (3.180 in)"),
        ("0.05 mm (0.0020 in)", "0.05 mm (0.0023 in)"),
    ],
    ids=["a given", "a size class", "a table's value"],
)
def test_two_units_that_disagree_in_a_given_or_a_table_are_told(old: str, new: str) -> None:
    assert old in TEXT
    assert [one.kind for one in read_procedure(TEXT.replace(old, new, 1), "x")[1]] == ["units-disagree"]


def test_two_units_that_disagree_in_a_ladder_are_told() -> None:
    ladder = "ladders:\n  - ladder: step\n    for each: seat\n    rungs: [0 mm, 0.010 in ({})]\n    source: common practice\nstages:\n"
    rung = "rung: step\nat least: size\nif not: [scrap]"
    text = HEAD.replace("stages:\n", ladder) + stage("Measure", "seat", reading("size"), rung)
    assert read_procedure(text.format("0.25 mm"), "x")[1] == []
    assert [one.kind for one in read_procedure(text.format("0.20 mm"), "x")[1]] == ["units-disagree"]
