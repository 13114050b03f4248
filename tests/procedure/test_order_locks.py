"""A value may be used where every order of work that the locks allow has made it, and nowhere else."""

from __future__ import annotations

import pytest

from runner.procedure.model import PartLevel, Stage
from runner.procedure.order import before, path_of
from tests.procedure.texts import kinds_of, problems_of, reading, stage, working

USE = working("twice", "bore * 2")


@pytest.mark.parametrize(
    ("stages", "kinds"),
    [
        ([stage("A", "seat", reading("bore"), USE)], []),
        ([stage("A", "seat", USE, reading("bore"))], ["not-yet-known"]),
        ([stage("A", "seat", working("bore", "bore * 2"))], ["not-yet-known"]),
        ([stage("A", "seat", reading("bore")), stage("B", "seat", USE)], []),
        ([stage("A", "seat", USE), stage("B", "seat", reading("bore"))], ["not-yet-known"]),
        ([stage("A", "seat", reading("bore")), stage("B", "seat", USE, after="[]")], ["not-yet-known"]),
        (
            [stage("A", "seat", reading("bore")), stage("B", "seat", "do: Wash", after="[]"), stage("C", "seat", USE)],
            ["not-yet-known"],
        ),
        (
            [stage("A", "seat", reading("bore")), stage("B", "seat", "do: Wash"), stage("C", "seat", USE)],
            [],
        ),
        (
            [stage("A", "seat", reading("bore")), stage("B", "seat", "do: Wash", after="[]"), stage("C", "seat", USE, after="[A]")],
            [],
        ),
        (
            [stage("A", "seat", reading("bore")), stage("B", "seat", "do: Wash", after="[]"), stage("C", "seat", USE, after="[A, B]")],
            [],
        ),
        ([stage("A", "head", reading("bore")), stage("B", "seat", USE)], []),
        ([stage("A", "job", reading("bore")), stage("B", "seat", USE)], []),
        ([stage("A", "seat", reading("bore")), stage("B", "head", USE)], ["which-part"]),
        ([stage("A", "seat", reading("bore")), stage("B", "job", USE)], ["which-part"]),
        ([stage("A", "seat", reading("bore")), stage("B", "guide", USE)], ["which-part"]),
        (
            [stage("A", "seat", reading("bore")), stage("B", "head", "do: Wash"), stage("C", "seat", USE)],
            [],
        ),
    ],
)  # fmt: skip
def test_a_name_is_known_only_behind_its_lock_and_on_its_own_part(
    stages: list[str], kinds: list[str]
) -> None:
    assert kinds_of(*stages) == kinds


def test_the_way_out_of_a_missing_lock_is_named() -> None:
    (problem,) = problems_of(stage("Measure", "seat", reading("bore")), stage("Cut", "seat", USE, after="[]"))
    assert (
        problem.what
        == "'bore' may not be known yet: nothing makes sure that 'Measure' is done before this stage"
    )
    assert problem.fix == "add 'Measure' to after:"


@pytest.mark.parametrize(
    ("use", "kind"),
    [
        ("check: bore\nat most: allowed\nif not: [scrap]", "not-yet-known"),
        ("do: Cut\nshow: [bore]", "not-yet-known"),
        ("read: depth\nask: Depth\nunit: mm\nplausible: 0 mm to bore", "not-yet-known"),
    ],
)
def test_a_lock_holds_for_checks_ranges_and_what_is_shown_too(use: str, kind: str) -> None:
    assert kinds_of(stage("A", "seat", reading("bore")), stage("B", "seat", use, after="[]")) == [kind]


def test_a_wait_counts_from_a_moment_that_its_lock_makes_sure_of() -> None:
    start = "do: Lay it down\ntimed as: laid"
    wait = "wait: stay\nstarts: laid\nat least: 2 h\nsource: common practice"
    assert kinds_of(stage("A", "seat", start), stage("B", "seat", wait)) == []
    assert kinds_of(stage("A", "seat", start), stage("B", "seat", wait, after="[]")) == ["not-yet-known"]
    assert kinds_of(stage("A", "seat", wait), stage("B", "seat", start)) == ["not-yet-known"]


def _stage(number: int, title: str, *after: str, after_all: tuple[str, ...] = ()) -> Stage:
    return Stage(number, title, "job", after, after_all, "", (), (), number)


def test_what_is_done_before_a_stage_counts_through_other_stages() -> None:
    stages = [
        _stage(1, "A"),
        _stage(2, "B", "A"),
        _stage(3, "C"),
        _stage(4, "D", "B", after_all=("C",)),
        _stage(5, "E", "F"),
    ]
    assert before(stages) == {
        "A": frozenset(), "B": {"A"}, "C": frozenset(), "D": {"A", "B", "C"}, "E": frozenset(),
    }  # fmt: skip


def test_the_path_to_a_part_goes_from_the_job_inward() -> None:
    parts = [PartLevel("head", "job", (), ""), PartLevel("seat", "head", (), "")]
    assert path_of("seat", parts) == ("job", "head", "seat")
    assert path_of("job", parts) == ("job",)
