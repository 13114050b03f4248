"""Steps that several procedures take in: their names, what they need, and where a mistake in them is told."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from runner.procedure.model import Check, NotBefore, Procedure, Read, WorkOut
from runner.procedure.reader import read_procedure
from runner.procedure.taken_in import NotShared
from runner.text.problem import Problem
from tests.procedure.texts import HEAD, reading, stage, working

SHARED = (Path(__file__).parents[1] / "bad" / "shared" / "steps.yaml").read_text(encoding="utf-8")
COLD = "take steps: at one temperature\nfrom: shared/steps.yaml\ncalled: cold"
WARM = "take steps: at one temperature\nfrom: shared/steps.yaml\ncalled: warm"
WALL = "take steps: wall left\nfrom: shared/steps.yaml\ncalled: boss"


def beside(text: str = SHARED) -> Callable[[str], bytes | NotShared]:
    def fetch(path: str) -> bytes | NotShared:
        found = text.encode() if path == "shared/steps.yaml" else None
        return found or NotShared("no-shared-file", f"there is no file {path}", "look at the name")

    return fetch


def read(*stages: str, text: str = SHARED) -> tuple[Procedure | None, list[Problem]]:
    return read_procedure(HEAD + "".join(stages), "folder/small.yaml", None, beside(text))


def read_well(*stages: str, text: str = SHARED) -> Procedure:
    procedure, problems = read(*stages, text=text)
    assert procedure is not None, problems
    return procedure


def told(*stages: str, text: str = SHARED) -> list[tuple[str, str]]:
    return [(problem.kind, problem.place.file) for problem in read(*stages, text=text)[1]]


def test_steps_taken_in_stand_where_they_are_taken_and_keep_their_names_behind_the_takings() -> None:
    first, *_ = read_well(stage("Measure", "head", "do: Wash", COLD, "do: Dry")).stages
    assert [type(step).__name__ for step in first.steps] == ["Do", "Read", "Read", "NotBefore", "Do"]
    assert [step.about.number for step in first.steps] == [1, 2, 3, 4, 5]
    reading_, wait = first.steps[1], first.steps[3]
    assert isinstance(reading_, Read) and reading_.name == "cold.part_temp"
    assert reading_.instrument == "contact probe"
    assert [hazard.title for hazard in reading_.about.beware] == ["warm gauge"]
    assert isinstance(wait, NotBefore) and wait.condition
    assert wait.condition.text == "abs(part_temp - gauge_temp) <= 1 K"


def test_a_procedure_keeps_the_shared_file_whole_and_its_instruments_and_hazards() -> None:
    procedure = read_well(stage("Measure", "head", COLD))
    assert [(one.path, one.text) for one in procedure.taken_in] == [("shared/steps.yaml", SHARED)]
    assert procedure.instrument("contact probe") is not None
    assert [hazard.title for hazard in procedure.hazards] == ["warm gauge"]


def test_two_takings_of_one_group_are_two_sets_of_values() -> None:
    procedure = read_well(
        stage(
            "Measure",
            "head",
            COLD,
            WARM,
            working("rise", "warm.part_temp - cold.part_temp").replace("mm", "K"),
        )
    )
    rise = procedure.stages[0].steps[-1]
    assert isinstance(rise, WorkOut)
    assert procedure.called == {"cold", "warm"}


def test_a_level_of_a_reading_taken_in_and_a_need_are_known_by_their_names() -> None:
    procedure = read_well(
        stage("Measure", "seat", reading("bore"), WALL, working("play", "spread(boss.outside.top)")),
        stage("Whole", "head", working("thinnest", "min(every seat.boss.wall)"), after="Measure"),
    )
    check = procedure.stages[0].steps[3]
    assert isinstance(check, Check) and check.name == "boss.wall"


def test_a_brothers_value_that_was_taken_in_is_called_behind_his_name() -> None:
    read_well(
        stage("Measure", "seat", reading("bore"), WALL),
        stage("Compare", "head", working("apart", "EX.boss.wall - IN.boss.wall"), after="Measure"),
    )


def test_what_a_group_makes_is_not_known_by_its_bare_name_outside() -> None:
    assert told(stage("Measure", "head", COLD, working("a", "part_temp - 20 degC"))) == [
        ("unknown-name", "folder/small.yaml")
    ]
    assert told(stage("Measure", "head", COLD, working("a", "cold.part_tmp - cold.gauge_temp"))) == [
        ("unknown-name", "folder/small.yaml")
    ]


def test_what_a_group_needs_is_looked_for_where_it_is_taken_in() -> None:
    assert told(stage("Measure", "seat", WALL)) == [("unknown-name", "folder/small.yaml")]
    hot = "read: bore\nask: How warm\nunit: degC\nplausible: 0 degC to 90 degC"
    assert told(stage("Measure", "seat", hot, WALL)) == [("kinds", "folder/small.yaml")]


def test_a_group_knows_nothing_of_the_procedure_but_what_it_needs() -> None:
    text = SHARED.replace("needs: [bore mm]", "needs: [hole mm]")
    found, problems = read(stage("Measure", "seat", reading("bore"), reading("hole"), WALL), text=text)
    assert found is None
    (problem,) = problems
    assert problem.kind == "outside-group" and problem.place.file == "folder/shared/steps.yaml"
    line = text.split("\n")[problem.place.line - 1]
    assert line[problem.place.column - 1 :].startswith("bore")


def test_a_mistake_in_a_group_is_told_once_in_its_own_file_however_often_it_is_taken() -> None:
    text = SHARED.replace("<= 1 K", "<= 1 degC")
    problems = read(stage("Measure", "head", COLD, WARM), text=text)[1]
    assert [(one.kind, one.place.file) for one in problems] == [("kinds", "folder/shared/steps.yaml")]
    assert "1 degC" in text.split("\n")[problems[0].place.line - 1]


def test_a_way_out_of_a_group_is_the_procedures_own() -> None:
    text = SHARED.replace("if not: [scrap]", "if not: [weld it up]")
    assert told(stage("Measure", "seat", reading("bore"), WALL), text=text) == [
        ("unknown-route", "folder/shared/steps.yaml")
    ]


def test_a_path_is_followed_only_in_the_procedures_own_folder() -> None:
    for path in (
        "../steps.yaml",
        "/etc/steps.yaml",
        "shared/../../x.yaml",
        "C:/steps.yaml",
        "a\\\\b.yaml",
        "~/x",
    ):
        taking = COLD.replace("shared/steps.yaml", path)
        assert told(stage("Measure", "head", taking)) == [("leads-out", "folder/small.yaml")], path


def test_a_file_that_is_not_there_is_told_at_its_name_once() -> None:
    takings = [one.replace("shared/steps.yaml", "shared/stps.yaml") for one in (COLD, WARM)]
    found, problems = read(stage("Measure", "head", *takings, working("a", "cold.part_temp - 20 degC")))
    assert [problem.kind for problem in problems] == ["no-shared-file"]
    assert found is None


def test_a_group_takes_in_no_group() -> None:
    text = SHARED.replace(
        "      - read: outside\n",
        "      - take steps: at one temperature\n        from: shared/steps.yaml\n        called: inner\n      - read: outside\n",
    )
    assert told(stage("Measure", "seat", reading("bore"), WALL), text=text) == [
        ("group-in-group", "folder/shared/steps.yaml")
    ]


def test_one_title_says_one_thing_in_both_files() -> None:
    head = HEAD.replace(
        "givens:",
        "instruments:\n  - instrument: contact probe\n    reads to: 1 K\n    uncertainty: 3 K\ngivens:",
    )
    text = head + stage("Measure", "head", COLD)
    problems = read_procedure(text, "small.yaml", None, beside())[1]
    assert [(one.kind, one.place.file) for one in problems] == [("said-otherwise", "shared/steps.yaml")]
    same = text.replace("uncertainty: 3 K", "uncertainty: 2 K")
    assert read_procedure(same, "small.yaml", None, beside())[1] == []


def test_a_rework_may_lead_back_to_a_reading_that_was_taken_in() -> None:
    head = HEAD.replace(
        "stages:\n",
        "reworks:\n  - rework: dress it\n    back to: boss.outside\n    at most: 2 times\nstages:\n",
    )
    text = SHARED.replace("if not: [scrap]", "if not: [dress it]")
    problems = read_procedure(
        head + stage("Measure", "seat", reading("bore"), WALL), "small.yaml", None, beside(text)
    )[1]
    assert problems == []


def test_checking_a_shared_file_alone_says_what_it_is() -> None:
    assert [one.kind for one in read_procedure(SHARED, "steps.yaml")[1]] == ["not-a-procedure"]
