"""The schema and the reference tell what the reader takes: no key is missing, none is said that isn't there."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from runner.command.line import main
from runner.procedure import reworks, stages, steps, totals
from runner.procedure.grammar import HEAD, LISTS, items
from runner.procedure.head import LISTED
from runner.procedure.meanings import COMMON, ITEM_MEANS, OWN, UNKNOWN, Shape, meaning_of
from runner.procedure.reader import read_procedure
from runner.procedure.reference import WIDTH, reference, reference_of
from runner.procedure.schema import schema
from tests.job.a_ringed_plate import TEXT as RINGED_PLATE
from tests.job.a_small_procedure import TEXT as SMALL
from tests.job.an_oven import OVEN
from tests.procedure.every_other_key import REASONS
from tests.procedure.every_other_key import TEXT as EVERY_OTHER_KEY
from tests.procedure.texts import SHIPPED
from tests.screen.a_whole_procedure import TEXT as WHOLE
from tests.session.test_what_entries_tell import PROCEDURE as TOLD

ROOT = Path(__file__).parents[2]
README = re.findall(r"```yaml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
GOOD = {
    "shipped": SHIPPED.read_text(encoding="utf-8"),
    "ringed plate": RINGED_PLATE,
    "small": SMALL,
    "oven": OVEN,
    "whole": WHOLE,
    "told": TOLD,
    "every other key": EVERY_OTHER_KEY,
    "every reason": REASONS,
    **{f"README {at}": text for at, text in enumerate(README)},
}
BAD = sorted((ROOT / "tests" / "bad").glob("*.yaml"))
VALIDATOR = jsonschema.Draft202012Validator(schema())
Path_ = tuple[str | int, ...]


def as_text(text: str) -> Any:
    return yaml.load(text, yaml.BaseLoader)


def refused(data: Any) -> list[str]:
    return [f"{list(one.path)}: {one.message[:300]}" for one in VALIDATOR.iter_errors(data)]


def test_the_schema_is_one_by_the_standards_own_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())  # json-schema.org, draft 2020-12
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("name", GOOD)
def test_the_schema_takes_what_check_takes(name: str) -> None:
    procedure, problems = read_procedure(GOOD[name], name)
    assert procedure is not None, problems
    assert refused(as_text(GOOD[name])) == []


def test_a_number_that_an_editor_sees_where_we_keep_the_text_is_taken() -> None:
    data = as_text(SMALL)
    data["revision"] = 3
    assert refused(data) == []


NEEDS_A_SECOND_LOOK = {
    "a-given-looked-up-nowhere",
    "an-expansion-at-one-temperature",
    "a-step-that-begins-elsewhere",
    "an-ageing-without-its-energy",
    "an-energy-without-its-ageing",
}
"""Which key is missing hangs on what another says, or the keys are right and only their order is not."""


def test_what_is_wrong_with_the_keys_alone_is_refused() -> None:
    told = {"unknown-key", "missing-key", "unknown-step", "rework-word", "hazard-word"}
    seen = []
    for path in BAD:
        text = re.sub(r" *# !! .*", "", path.read_text(encoding="utf-8", errors="replace"))
        if told & {problem.kind for problem in read_procedure(text, path.name)[1]}:
            seen.append(path.stem)
            assert bool(refused(as_text(text))) != (path.stem in NEEDS_A_SECOND_LOOK), path.stem
    assert len(seen) > 10


# forms: a value put otherwise is refused by the schema where the reader says that it has the wrong form


def places(data: Any, item: str = HEAD, path: Path_ = ()) -> Iterator[tuple[str, str, Path_]]:
    """Every key of every item in a procedure, with the item it is of and where it stands."""
    for key, value in data.items():
        yield item, key, (*path, key)
        if isinstance(value, list) and value and isinstance(value[0], dict):
            for at, one in enumerate(value):
                first = next(iter(one))
                yield from places(one, first if first in items() else "row", (*path, key, at))


def put(data: Any, path: Path_, value: Any) -> Any:
    changed = copy.deepcopy(data)
    at = changed
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return changed


def every_key() -> dict[tuple[str, str], tuple[Any, Path_]]:
    """For every key of every item one procedure in which it stands, and where."""
    found: dict[tuple[str, str], tuple[Any, Path_]] = {}
    for text in sorted(GOOD.values(), key=len):
        data = as_text(text)
        for item, key, path in places(data):
            found.setdefault((item, key), (data, path))
    return found


EVERY_KEY = every_key()


def test_some_procedure_of_the_tests_has_every_key() -> None:
    known = [item for item in items().values() if item.word != stages.TAKE]  # it needs a second file
    whole = {(item.word, key) for item in known for key in item.keys if key not in steps.ANY_STEP}
    assert whole - set(EVERY_KEY) == set()


@pytest.mark.parametrize(("item", "key"), EVERY_KEY)
def test_the_schema_knows_which_keys_take_a_list(item: str, key: str) -> None:
    data, path = EVERY_KEY[item, key]
    for value in ("42", ["one", "two"], [{"nothing": "known"}]):
        changed = put(data, path, value)
        kinds = [one.kind for one in read_procedure(yaml.dump(changed, sort_keys=False, width=9999), "x")[1]]
        if {"wrong-form", "brackets"} & set(kinds):
            assert refused(changed), (item, key, value)
        elif not kinds:
            assert not refused(changed), (item, key, value)


# completeness


def test_every_list_and_every_item_of_the_reader_is_in_the_grammar() -> None:
    assert set(LISTS["steps"]) == stages._BEGINS  # what the reader lets begin a step or a block
    assert {*LISTED, "total", "stage", *reworks.KINDS, *steps.KEYS, *stages.BLOCKS, HEAD, "row"} == set(
        items()
    )
    assert {word for words in LISTS.values() for word in words} == set(items()) - {HEAD}
    assert items()["total"].must == totals.KEYS[0]


def test_every_item_and_every_key_is_told_and_nothing_else_is() -> None:
    known = items()
    assert set(ITEM_MEANS) == set(known) and set(OWN) <= set(known)
    for word, item in known.items():
        untold = [key for key in item.keys if meaning_of(word, key) is UNKNOWN]
        assert not untold, f"say what these keys of {word} mean, in meanings.py: {untold}"
        assert set(OWN.get(word, {})) <= set(item.keys), word
    used = {key for word, item in known.items() for key in item.keys if key not in OWN.get(word, {})}
    assert set(COMMON) == used


def test_a_key_that_holds_items_is_a_list_of_the_grammar() -> None:
    for word, item in items().items():
        for key in item.keys:
            assert (meaning_of(word, key).form.shape is Shape.ITEMS) == (key in LISTS), (word, key)


def test_the_reference_has_every_item_and_every_key_on_a_page_that_fits() -> None:
    page = reference()
    assert max(map(len, page.split("\n"))) <= WIDTH
    assert page.count("\n") < 160
    said = " ".join(page.split())
    for word, item in items().items():
        assert re.search(rf"^  {word} +\S", page, re.MULTILINE), word
        assert all(key in said for key in item.keys)
        told = reference_of(word)
        assert max(map(len, told.split("\n"))) <= WIDTH
        assert all(re.search(rf"^  {key}( |$)", told, re.MULTILINE) for key in item.keys), word


def test_a_word_that_is_no_item_is_refused_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "--reference", "chek"]) == 2
    assert "did you mean 'check'?" in capsys.readouterr().err
    assert main(["schema", "--reference", "check"]) == 0
    assert "within" in capsys.readouterr().out


def test_an_item_of_two_words_and_a_list_of_the_head_are_told_as_they_are_typed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["schema", "--reference", "hold", "point"]) == 0
    assert capsys.readouterr().out.startswith("hold point: ")
    assert main(["schema", "--reference", "hazards"]) == 0
    said = capsys.readouterr().out
    assert all(f"{word}: " in said for word in ("danger", "warning", "caution", "notice"))


def test_a_key_asked_for_as_an_item_is_told_whose_key_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "--reference", "plausible"]) == 2
    assert "it is a key of read, soak" in capsys.readouterr().err
