"""A value of a brother or a child is known where the locks make sure that it is made there, and nowhere else."""

from __future__ import annotations

import pytest

from runner.formula.check import check
from runner.formula.tree import Name
from runner.formula.values import Shape
from runner.procedure.head import HEAD_MAY, HEAD_MUST, read_lists
from runner.procedure.items import Item
from runner.procedure.model import PartLevel, Stage
from runner.procedure.order import done_within, innermost
from runner.procedure.reader import read_procedure
from runner.procedure.said import Context
from runner.procedure.scope import Scope, Spot
from runner.procedure.stages import read_stages
from runner.text.problem import Problem
from runner.text.yaml_nodes import Mapping, read_yaml
from tests.procedure.texts import HEAD, kinds_of, problems_of, reading, stage, working

MEASURE = stage("Measure", "seat", reading("bore"))
EX = working("other", "EX.bore * 2")
ALL = "[]\n    after all: [Measure]"


@pytest.mark.parametrize(
    ("stages", "kinds"),
    [
        ([MEASURE, stage("B", "head", EX)], []),
        ([MEASURE, stage("B", "seat", EX)], ["not-yet-known"]),
        ([MEASURE, stage("B", "seat", EX, after=ALL)], []),
        ([MEASURE, stage("B", "guide", EX, after=ALL)], []),
        ([MEASURE, stage("B", "guide", EX)], []),
        ([MEASURE, stage("B", "job", EX)], ["which-part"]),
        ([MEASURE, stage("B", "head", "do: Wash"), stage("C", "seat", EX)], []),
        ([MEASURE, stage("B", "head", "do: Wash"), stage("C", "seat", EX, after="[Measure]")], ["not-yet-known"]),
        ([MEASURE, stage("B", "head", EX, after="[]")], ["not-yet-known"]),
        ([stage("Measure", "seat", reading("bore"), EX)], ["not-yet-known"]),
        ([stage("Measure", "head", reading("bore")), stage("B", "head", EX)], ["which-part"]),
        ([MEASURE, stage("B", "head", working("x1", "G1.bore * 2"))], ["which-part"]),
        ([MEASURE, stage("B", "head", working("x1", "seat.bore * 2"))], ["which-part"]),
        ([MEASURE, stage("B", "head", working("x1", "EX.bohr * 2"))], ["unknown-name"]),
        ([MEASURE, stage("B", "head", working("x1", "XE.bore * 2"))], ["unknown-name"]),
        ([stage("Measure", "seat", reading("bore") + "\nmay skip: machinist"), stage("B", "head", EX)], ["may-be-missing"]),
        (
            [stage("Measure", "seat", reading("wall"), "only if: wall > 1 mm\nsteps:\n  - " + reading("bore").replace("\n", "\n    ")), stage("B", "head", EX)],
            ["maybe-unknown"],
        ),
    ],
)  # fmt: skip
def test_a_brothers_value_is_known_only_once_the_locks_make_sure_of_it(
    stages: list[str], kinds: list[str]
) -> None:
    assert kinds_of(*stages) == kinds


def test_a_brothers_value_is_known_where_such_parts_are_put_into_loads_too() -> None:
    tray = HEAD.replace("givens:\n", "  - load: tray\n    of: seat\ngivens:\n")
    _, problems = read_procedure(tray + MEASURE + stage("B", "head", EX), "small.yaml")
    assert problems == []


def test_what_is_missing_for_a_brothers_value_is_named() -> None:
    (problem,) = problems_of(MEASURE, stage("B", "seat", EX))
    assert problem.fix == "add 'Measure' to after all:"


def _looked_up(name: str, each: str, after: str = "", first: str = MEASURE) -> object:
    """What a name stands for at the second step of a stage behind the first."""
    text = HEAD + first + stage("B", each, "do: Wash", after=after)
    root, _ = read_yaml(text, "x")
    assert isinstance(root, Mapping)
    problems: list[Problem] = []
    head = Item(root, "procedure", HEAD_MUST, HEAD_MAY, problems)
    lists = read_lists(head)
    stages = read_stages(head, Context(lists, ("inspector", "machinist"), (), problems))
    assert problems == []
    known = Scope(lists, stages, (), frozenset()).at(Spot(stages[-1], 2))
    typed, wrong = check(Name(name, 0, len(name), every=name.startswith("every ")), known)
    return wrong[0].kind if wrong else typed and typed.shape


@pytest.mark.parametrize(
    ("name", "each", "after", "gives"),
    [
        ("every seat.bore", "head", "", Shape.POINTS),
        ("every seat.bore", "job", "", Shape.POINTS),
        ("every EX.bore", "job", "", Shape.POINTS),
        ("every seat.bore", "head", "[]", "not-yet-known"),
        ("every seat.bore", "seat", "", "which-part"),
        ("every seat.bore", "guide", "", "which-part"),
        ("every guide.bore", "head", "", "which-part"),
        ("every saet.bore", "head", "", "unknown-name"),
        ("every seat.bohr", "head", "", "unknown-name"),
        ("seat", "seat", "", Shape.CHOICE),
        ("head", "seat", "", Shape.CHOICE),
        ("seat", "head", "", "which-part"),
    ],
)
def test_the_values_of_every_part_inside_are_known_behind_their_lock(
    name: str, each: str, after: str, gives: object
) -> None:
    assert _looked_up(name, each, after) == gives


PARTS = [
    PartLevel("head", "job", (), ""),
    PartLevel("seat", "head", (), ""),
    PartLevel("guide", "head", (), ""),
]


def _stage(number: int, title: str, each: str, *after: str, after_all: tuple[str, ...] = ()) -> Stage:
    return Stage(number, title, each, after, after_all, "", (), (), number)


def test_how_far_a_lock_reaches_counts_through_other_stages() -> None:
    stages = [
        _stage(1, "A", "seat"),
        _stage(2, "B", "seat", "A"),
        _stage(3, "C", "head", "B"),
        _stage(4, "D", "seat", "C"),
        _stage(5, "E", "guide", "B"),
        _stage(6, "F", "seat", after_all=("B",)),
    ]
    found = done_within(stages, PARTS)
    assert found["B"] == {"A": "seat"}
    assert found["C"] == {"A": "head", "B": "head"}
    assert found["D"] == {"A": "head", "B": "head", "C": "head"}
    assert found["E"] == {"A": "head", "B": "head"}
    assert found["F"] == {"A": "job", "B": "job"}
    assert innermost("seat", "guide", PARTS) == "head"


def test_one_value_of_every_part_is_taken_together_and_no_groups() -> None:
    grouped = stage("Measure", "seat", reading("bore") + "\npoints: 3")
    assert _looked_up("every seat.bore", "head", first=grouped) == "group"
    assert _looked_up("EX.bore", "head", first=grouped) == Shape.POINTS
