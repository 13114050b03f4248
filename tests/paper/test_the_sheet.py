"""A procedure as people read it: nothing that the bench would show is missing, and what the file leaves out is said."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from runner.command.line import main
from runner.paper.record import kind_words
from runner.paper.sheet import WIDTH, as_sheet
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_small_procedure import TEXT as SMALL
from tests.job.an_oven import OVEN
from tests.procedure.every_other_key import TEXT as EVERY_OTHER_KEY
from tests.procedure.texts import HEAD, SHIPPED, reading, stage

TEXTS = {
    "shipped": SHIPPED.read_text(encoding="utf-8"),
    "small": SMALL,
    "oven": OVEN,
    "keys": EVERY_OTHER_KEY,
}


def read(text: str) -> Procedure:
    procedure, problems = read_procedure(text, "sheet.yaml")
    assert procedure is not None, problems
    return procedure


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", ["oven", "keys"])
def test_the_sheet_reads_as_it_did(name: str, golden: Callable[[str, str], None]) -> None:
    golden(f"sheet-{name}.txt", as_sheet(read(TEXTS[name])))


@pytest.mark.parametrize("name", TEXTS)
def test_every_line_fits_a_small_screen_and_a_page(name: str) -> None:
    lines = as_sheet(read(TEXTS[name])).split("\n")
    unbroken = [line for line in lines if len(line) > WIDTH and " " in line.strip()]
    assert unbroken == []


@pytest.mark.parametrize("name", TEXTS)
def test_every_step_stands_under_the_number_that_the_bench_shows(name: str) -> None:
    procedure = read(TEXTS[name])
    text = as_sheet(procedure)
    for one in procedure.stages:
        begin = text.index(f"\n{one.number}  {one.title.upper()[:20]}")
        end = text.find("\n\n", begin)
        told = re.findall(r"^ {1,4}(\d+)  (\S.{13})", text[begin : end if end > 0 else None], re.MULTILINE)
        assert [(int(number), kind.strip()[:14]) for number, kind in told] == [
            (step.about.number, kind_words(step)[:14]) for step in one.steps
        ]


@pytest.mark.parametrize("name", TEXTS)
def test_every_text_of_the_file_is_on_the_sheet(name: str) -> None:
    told = flat(as_sheet(read(TEXTS[name]))).lower()
    keys = "ask|key point|reason|source|hazard|consequence|avoid|scope|tag|first key|second key|if stuck"
    said = re.findall(rf"^ *(?:- )?(?:{keys}): (.+?)(?: +#.*)?$", TEXTS[name], re.MULTILINE)
    assert said
    for one in said:
        assert flat(one).lower() in told, one


def test_what_a_stage_comes_after_is_said_where_the_file_leaves_it_out() -> None:
    text = HEAD + stage("One", "head", reading("a")) + stage("Two", "seat", reading("b"))
    text += stage("Three", "head", reading("c")) + stage("Four", "guide", reading("d"), after="[]")
    text += stage("Five", "guide", reading("e"), after="[Two]")
    told = flat(as_sheet(read(text)))
    assert "ONE, for each head comes after nothing" in told
    assert "comes after the stage above, 'One', done on the head it is in" in told
    assert "comes after the stage above, 'Two', done on every seat in it" in told
    assert "FOUR, for each guide comes after nothing" in told
    assert "FIVE, for each guide comes after 'Two', done on every seat in its head" in told


def test_a_rework_stands_at_each_check_that_leads_to_it_with_where_it_goes_back() -> None:
    reworks = "reworks:\n  - rework: cut again\n    only if: a < 5 mm\n    steps:\n      - do: Set it up\n    back to: a\n    at most: 3 times\n"
    check = "check: a\nat most: allowed\nif not: [cut again]"
    text = HEAD.replace("givens:", f"{reworks}givens:") + stage("One", "head", reading("a"), check)
    told = flat(as_sheet(read(text + stage("Two", "head", check))))
    again = "if not: cut again (rework): only if a < 5 mm; first its own steps, which stand at the end; back to a, step 1 of 'One'; at most 3 times"
    assert told.count(again) == 2
    assert told.endswith("REWORK CUT AGAIN: its own steps 1 do Set it up")


def test_a_limit_that_is_only_a_name_says_where_that_comes_from() -> None:
    text = HEAD + stage("One", "head", reading("a"), "check: a\nat most: allowed\nif not: [scrap]")
    assert "a: at most allowed source: common practice (that of allowed)" in flat(as_sheet(read(text)))


def test_a_rework_that_says_no_place_goes_back_to_the_first_reading_of_its_check() -> None:
    steps = (
        reading("other"),
        reading("a"),
        "work out: b\nas: a * 2\nto the nearest: 1 mm",
        "check: b\nat most: allowed\nif not: [again, scrap]",
    )
    text = HEAD.replace("givens:", "reworks:\n  - rework: again\n    at most: 1 times\ngivens:")
    assert "again (rework): back to step 2; at most 1 time" in flat(
        as_sheet(read(text + stage("One", "head", *steps)))
    )


def test_show_prints_the_sheet_and_a_wrong_file_is_told_as_check_tells_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["show", "head-seats"]) == 0
    assert "COUNTERBORE, for each seat" in capsys.readouterr().out
    bad = tmp_path / "bad.yaml"
    bad.write_text(SMALL.replace("mean(bore)", "maen(bore)"), encoding="utf-8")
    assert main(["show", str(bad)]) == 1
    assert "did you mean 'mean'?" in capsys.readouterr().err
    assert main(["show", "head-seats", "head-seats"]) == 2
    assert "with --changes two are compared" in capsys.readouterr().err


@pytest.mark.parametrize("name", TEXTS)
def test_a_number_is_never_parted_from_its_unit(name: str) -> None:
    lines = as_sheet(read(TEXTS[name])).split("\n")
    ends = [line for line, after in pairwise(lines) if re.match(r" +(mm|degC|min|K)\b", after)]
    assert [line for line in ends if line[-1:].isdecimal()] == []
