"""What a new revision changes is told in words, once and at its place; what only moved is not called new."""

from __future__ import annotations

import copy
import re
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.command.line import main
from runner.paper.changes import as_changes
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_small_procedure import TEXT as SMALL
from tests.job.an_oven import OVEN
from tests.procedure.every_other_key import TEXT as EVERY_OTHER_KEY
from tests.procedure.texts import HEAD, SHIPPED, reading, stage

NOTHING = "nothing that anybody at the bench would see is otherwise"
WIPE, DRY, TURN = "do: Wipe the seat", "do: Dry the seat", "do: Turn it over"


def read(text: str) -> Procedure:
    procedure, problems = read_procedure(text, "changes.yaml")
    assert procedure is not None, problems
    return procedure


def told(old: str, new: str) -> list[str]:
    """What is told, a line each, without its first line."""
    joined = re.sub(r"\n {4,}", " ", as_changes(read(old), read(new)))
    return [line.strip() for line in joined.split("\n")[1:] if line.strip()]


def steps(*lines: str) -> str:
    return HEAD + stage("One", "head", *lines)


def check(limit: str, source: str = "common practice") -> str:
    return f"check: a\nat most: {limit}\nsource: {source}\nif not: [scrap]"


def test_a_file_changes_nothing_of_itself() -> None:
    for text in (SHIPPED.read_text(encoding="utf-8"), SMALL, OVEN, EVERY_OTHER_KEY):
        assert told(text, text) == [NOTHING]
        assert told(text, text.replace("\nstages:", "\n# a note\n\nstages:")) == [NOTHING]


def test_a_limit_is_told_with_what_it_was_and_what_it_is() -> None:
    assert told(steps(reading("a"), check("5 mm")), steps(reading("a"), check("6 mm"))) == [
        "STAGE 1 'One'",
        "step 2 (check a): the limit changed from 'at most 5 mm' to 'at most 6 mm'",
    ]


def test_a_step_put_in_and_one_taken_out_are_told_and_those_behind_them_are_not() -> None:
    assert told(steps(WIPE, TURN), steps(WIPE, DRY.replace("Dry", "Blow off"), reading("a"), TURN)) == [
        "STAGE 1 'One'",
        "step 2 added: do Blow off the seat",
        "step 3 added: read Size, mm",
    ]
    assert told(steps(WIPE, reading("a"), TURN), steps(WIPE, TURN)) == [
        "STAGE 1 'One'",
        "step 2 taken out: read Size, mm",
    ]


def test_a_text_that_was_changed_is_the_same_step() -> None:
    assert told(steps(WIPE, TURN), steps("do: Wipe the seat dry", TURN)) == [
        "STAGE 1 'One'",
        "step 1 (do Wipe the seat dry): the text changed from 'Wipe the seat' to 'Wipe the seat dry'",
    ]


def test_a_step_that_stands_elsewhere_in_its_stage_is_called_moved() -> None:
    assert told(steps(WIPE, DRY, TURN), steps(TURN, WIPE, DRY)) == [
        "STAGE 1 'One'",
        "step 1 (do Turn it over): moved, and was step 3",
    ]


def test_a_step_that_went_to_another_stage_is_called_moved_at_both() -> None:
    old = HEAD + stage("One", "head", WIPE, TURN) + stage("Two", "head", DRY)
    new = HEAD + stage("One", "head", WIPE) + stage("Two", "head", TURN, DRY)
    assert told(old, new) == [
        "STAGE 1 'One'",
        "step 2 moved, and is step 1 of 'Two' now: do Turn it over",
        "STAGE 2 'Two'",
        "step 1 moved here from step 2 of 'One': do Turn it over",
    ]


def test_a_stage_that_was_moved_is_not_taken_out_and_put_in() -> None:
    one, two, three = (stage(name, "head", f"do: Do {name}", after="[]") for name in ("One", "Two", "Three"))
    assert told(HEAD + one + two + three, HEAD + three + one + two) == [
        "STAGE 1 'Three'",
        "moved: it is number 1 now, and was number 3",
    ]


def test_a_stage_with_another_title_and_the_same_steps_is_called_so_now() -> None:
    assert told(
        steps(WIPE, DRY, reading("a")), steps(WIPE, DRY, reading("a")).replace("stage: One", "stage: Uno")
    ) == [
        "STAGE 1 'Uno'",
        "is called so now, and was 'One'",
    ]


def test_what_a_stage_waits_for_is_told_with_its_parts() -> None:
    old = HEAD + stage("One", "head", WIPE) + stage("Two", "seat", DRY)
    lines = told(old, HEAD + stage("One", "head", WIPE) + stage("Two", "seat", DRY, after="[]"))
    assert lines[0] == "STAGE 2 'Two'"
    assert lines[1].startswith("comes after nothing") and "it came after the stage above, 'One'" in lines[1]


def test_the_lists_of_the_head_are_told_by_their_names() -> None:
    new = HEAD.replace("value: 0.05 mm", "value: 0.06 mm").replace(
        "stages:\n", "  - given: more\n    value: 1 mm\n    source: common practice\nstages:\n"
    )
    assert told(HEAD + stage("One", "head", WIPE), new + stage("One", "head", WIPE)) == [
        "GIVENS",
        "allowed: value changed from '0.05 mm' to '0.06 mm'",
        "added: more (1 mm, common practice)",
    ]


def test_two_files_that_say_the_same_revision_are_told_of() -> None:
    assert "two files that both say revision 1, and differ" in as_changes(read(steps(WIPE)), read(steps(DRY)))
    assert "what revision 2 changes of revision 1" in as_changes(
        read(steps(WIPE)), read(steps(DRY).replace("revision: 1", "revision: 2"))
    )


@settings(max_examples=40)
@given(st.permutations(range(6)))
def test_stages_in_any_other_order_are_moved_as_few_as_can_be(order: list[int]) -> None:
    stages = [stage(f"S{at}", "head", f"do: Do {at}", after="[]") for at in range(6)]
    lines = told(HEAD + "".join(stages), HEAD + "".join(stages[at] for at in order))
    assert not any("added" in line or "taken out" in line for line in lines)
    longest = max(
        sum(1 for bit in range(6) if mask >> bit & 1)
        for mask in range(64)
        if (row := [order[bit] for bit in range(6) if mask >> bit & 1]) == sorted(row)
    )
    assert sum(line.startswith("moved") for line in lines) == 6 - longest


def texts(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Where every sentence of a procedure stands that any other sentence could stand for."""
    free = {
        "ask",
        "key point",
        "reason",
        "hazard",
        "consequence",
        "avoid",
        "do",
        "sign off",
        "tag",
        "scope",
        "on",
    }
    found: list[tuple[Any, ...]] = []
    entries = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in entries:
        if key in free and isinstance(value, str):
            found.append((*path, key))
        found += texts(value, (*path, key))
    return found


def test_no_changed_sentence_goes_untold() -> None:
    text = SHIPPED.read_text(encoding="utf-8")
    data, old = yaml.load(text, yaml.BaseLoader), read(text)
    places = texts(data)
    assert len(places) > 60
    for path in places[::7]:
        changed = copy.deepcopy(data)
        at = changed
        for step in path[:-1]:
            at = at[step]
        at[path[-1]] += " sevenfold"
        new = read(yaml.dump(changed, sort_keys=False, width=9999))
        assert "sevenfold" in as_changes(old, new), path


def test_changes_wants_two_files(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "--changes", "head-seats", "head-seats"]) == 0
    assert NOTHING in capsys.readouterr().out
    assert main(["show", "--changes", "head-seats"]) == 2
    assert "name the old one and then the new one" in capsys.readouterr().err
