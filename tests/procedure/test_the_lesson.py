"""The procedure that procedures/README.md grows: each stage of it is what check says it is, message for message."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from runner.command.line import main
from runner.paper.sheet import as_sheet
from runner.procedure.reader import read_procedure

PAGE = (Path(__file__).parents[2] / "procedures" / "README.md").read_text(encoding="utf-8")
LESSON = PAGE[PAGE.index("## Growing one") : PAGE.index("## How it is written")]
BLOCK = re.compile(r'(?:<!-- spacer: ([a-z ]+?)(?: "([^"\n]+)")? -->\n)?```(yaml)?\n(.*?)```', re.DOTALL)


def grown(text: str, how: str, at: str, block: str) -> str:
    """The file with a block put where the page says."""
    if how == "whole":
        return block
    if how == "end":
        return text + block
    line = at + "\n"
    assert line in text, f"the file has no line {at!r} yet"
    return text.replace(line, line + block if "behind" in how else block, 1)


def stages() -> Iterator[tuple[str, str]]:
    """The file after each block of the lesson, and what the page says check tells of it ('' where it says nothing)."""
    text, blocks = "", [match.groups() for match in BLOCK.finditer(LESSON)]
    for place, (how, at, yaml, block) in enumerate(blocks):
        if not yaml:
            continue
        assert how, f"where does this go: {block}"
        now = grown(text, how, at, block)
        told = blocks[place + 1] if place + 1 < len(blocks) else (None, None, "yaml", "")
        yield now, "" if told[2] or told[0] else told[3]
        text = text if how.startswith("tried") else now


def test_every_stage_of_growth_is_told_as_the_page_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    said = []
    for text, told in stages():
        Path("spacer.yaml").write_text(text, encoding="utf-8")
        code = main(["check", "spacer.yaml"])
        out = capsys.readouterr().out
        if told:
            said.append(told)
            assert out == told
            assert code == (0 if "no problem" in told else 1)
    assert len(said) == 5


def test_what_is_grown_in_two_places_is_right_once_both_are_there() -> None:
    kinds = [{one.kind for one in read_procedure(text, "spacer.yaml")[1]} for text, _ in stages()]
    unfinished = [at for at, found in enumerate(kinds) if found]
    # the three lines, the first try of a limit, a hazard no step names yet, and a rework that no check names yet
    assert [kinds[at] for at in unfinished] == [
        {"missing-key"},
        {"no-way-out", "group"},
        {"unused-hazard"},
        {"no-check-leads"},
    ]


def test_it_grows_from_three_lines_and_is_shown_as_the_page_says() -> None:
    texts = [text for text, _ in stages()]
    assert texts[0].count("\n") == 3
    shown = [
        block for how, _, _, block in (match.groups() for match in BLOCK.finditer(LESSON)) if how == "shown"
    ]
    sheets = [as_sheet(procedure) for text in texts if (procedure := read_procedure(text, "x")[0])]
    assert shown and all(any(block in sheet for sheet in sheets) for block in shown)


def test_the_lesson_stands_before_the_reference() -> None:
    assert PAGE.index("## Growing one") < PAGE.index("## How it is written") < PAGE.index("## The head")


def test_the_entries_on_the_page_take_a_ring_through_what_was_grown_to_its_release(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    *_, (text, _told) = stages()
    Path("spacer.yaml").write_text(text, encoding="utf-8")
    block = re.search(r"```yaml\n(entries: spacer\n.*?)```", PAGE, re.DOTALL)
    assert block
    Path("spacer.entries.yaml").write_text(block[1], encoding="utf-8")
    assert main(["dry-run", "spacer.yaml", "--entries", "spacer.entries.yaml"]) == 0
    assert "job TRY-2 released" in capsys.readouterr().out
