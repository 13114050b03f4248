"""A real YAML language server with our schema: an editor completes keys, tells what each is for and marks wrong ones."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from runner.procedure.meanings import meaning_of
from runner.procedure.schema import schema
from runner.procedure.steps import ANY_STEP, KEYS
from tests.procedure.an_editor import Editor, server
from tests.procedure.texts import SHIPPED

COMMAND, WHY_NOT = server()
pytestmark = pytest.mark.skipif(not COMMAND, reason=WHY_NOT or "it runs")
TEXT = SHIPPED.read_text(encoding="utf-8")
LINES = TEXT.split("\n")
READ = next(number for number, line in enumerate(LINES, 1) if line == "      - read: pilot_rock")


@pytest.fixture(scope="module")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Editor]:
    folder = tmp_path_factory.mktemp("editor")
    (folder / "procedure.schema.json").write_text(json.dumps(schema()), encoding="utf-8")
    with Editor(COMMAND, folder, folder / "procedure.schema.json") as running:
        yield running


def test_nothing_is_marked_in_the_shipped_procedure(editor: Editor) -> None:
    assert editor.messages(editor.open("good.yaml", TEXT)) == []


def test_wrong_keys_and_words_are_marked_on_their_lines(editor: Editor) -> None:
    text = TEXT.replace("        ask: Push", "        aks: Push").replace(
        "decision: simple", "decision: guess"
    )
    marked = editor.messages(editor.open("bad.yaml", text))
    decision = next(number for number, line in enumerate(LINES, 1) if line.startswith("decision:"))
    assert {line for line, _ in marked} == {decision, READ, READ + 1}
    assert any(line == READ + 1 and "aks" in message for line, message in marked)
    assert any(line == decision and "guarded" in message for line, message in marked)


def test_a_key_tells_what_it_is_for(editor: Editor) -> None:
    uri = editor.open("hover.yaml", TEXT)
    first = editor.at("hover", uri, READ, 11)["contents"]["value"]
    plausible = editor.at("hover", uri, READ + 4, 12)["contents"]["value"]
    assert "Something is measured and typed" in first
    assert meaning_of("read", "plausible").says in plausible


def test_the_keys_that_a_step_may_still_have_are_offered_and_no_others(editor: Editor) -> None:
    text = "\n".join(LINES[: READ + 4]) + "\n        \n"
    offered = [
        one["label"] for one in editor.at("completion", editor.open("more.yaml", text), READ + 5, 9)["items"]
    ]
    said = {"ask", "unit", "with", "plausible"}
    assert set(offered) == {*KEYS["read"][0], *KEYS["read"][1], *ANY_STEP} - said


def test_every_sort_of_step_is_offered_for_a_new_one(editor: Editor) -> None:
    text = "\n".join(LINES[: READ + 4]) + "\n      - \n"
    offered = editor.at("completion", editor.open("new.yaml", text), READ + 5, 9)["items"]
    assert set(KEYS) <= {one["label"] for one in offered}


def test_the_words_that_a_key_takes_are_offered(editor: Editor) -> None:
    offered = editor.at("completion", editor.open("words.yaml", "procedure: x\nstatus: \n"), 2, 9)["items"]
    assert [one["label"] for one in offered] == ["draft", "in review", "approved", "withdrawn"]
