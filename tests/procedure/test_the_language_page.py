"""procedures/README.md names every key, step, calculation and function there is, and none that isn't."""

from __future__ import annotations

import re
from pathlib import Path

from runner.engineering.calculations import CALCULATIONS
from runner.formula.functions import FUNCTIONS
from runner.procedure import reworks, stages, steps
from runner.procedure.grammar import LISTS, items
from runner.procedure.head import HEAD_MAY, HEAD_MUST
from runner.session import told

WHOLE = (Path(__file__).parents[2] / "procedures" / "README.md").read_text(encoding="utf-8")
PAGE = WHOLE[WHOLE.index("## How it is written") :]
"""What stands behind the lesson, which `test_the_lesson` holds."""
WORDS = set(re.findall(r"`([^`]+)`", PAGE))
SPOKEN = {word for text in WORDS for word in re.split(r"[^A-Za-z0-9_]+", text)}


def test_every_key_of_the_head_is_on_the_page() -> None:
    assert not (set(HEAD_MUST) | set(HEAD_MAY)) - WORDS - {"stages"}


def test_every_step_and_its_keys_are_on_the_page() -> None:
    for step, (must, may) in steps.KEYS.items():
        row = next(line for line in PAGE.split("\n") if line.startswith(f"| `{step}` "))
        for key in (*must, *may):
            assert f"`{key}`" in row, f"{key} of {step}"


def test_every_item_of_the_heads_lists_and_its_keys_are_in_the_row_of_its_list() -> None:
    known = items()
    for name, words in LISTS.items():
        if name in ("reworks", "stages", "steps", "rows"):
            continue  # told in a table or a paragraph of their own
        row = next(line for line in PAGE.split("\n") if line.startswith(f"| `{name}` |"))
        for word in words:
            for key in known[word].keys:
                assert f"`{key}`" in row, f"{key} of {word}"
    table = next(line for line in PAGE.split("\n") if line.startswith("| `tables` |"))
    assert all(f"`{key}`" in table for key in known["row"].keys)


def test_every_key_of_a_stage_is_in_its_paragraph() -> None:
    paragraph = PAGE[PAGE.index("A stage: `stage`") :].split("\n\n")[0]
    assert all(f"`{key}`" in paragraph for key in items()["stage"].keys)


def test_the_page_and_the_printed_reference_tell_of_the_same_items() -> None:
    for word in items():
        assert re.search(rf"\b{word}\b", PAGE) or word == "row", word


def test_every_key_of_a_rework_a_ladder_and_a_block_is_on_the_page() -> None:
    assert not {*reworks.KINDS, *reworks.MAY, "at most", "ladder", "rungs", stages.BLOCK} - WORDS


def test_the_calculations_on_the_page_take_the_inputs_it_names() -> None:
    told = re.findall(r"^\| `(\w+)\(([^)…]*)\)` \|", PAGE, re.MULTILINE)
    assert len(told) >= 5
    for name, inputs in told:
        assert ", ".join(argument.name for argument in CALCULATIONS[name].arguments) == inputs, name


def test_every_function_is_on_the_page() -> None:
    assert not set(FUNCTIONS) - SPOKEN


def test_every_item_of_an_entries_file_is_on_the_page() -> None:
    below = PAGE[PAGE.index("add `stage`") :]
    assert "`pin`" in below
    for item, (must, may) in told.ITEMS.items():
        rows = [line for line in PAGE.split("\n") if line.startswith("| `") and f"`{item}`" in line]
        row = " ".join(rows)
        for key in {*must, *may} - {"stage", "pin"}:  # told once for all, below the table
            assert f"`{key}`" in row, f"{key} of {item}"
        assert row, item
