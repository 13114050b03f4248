"""`new` writes a first procedure that check finds nothing wrong with, whatever is answered, and overwrites nothing."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from hypothesis import assume, example, given
from hypothesis import strategies as st

from runner.command.line import main
from runner.procedure.first_draft import KEYS, first_draft
from runner.procedure.grammar import items
from runner.procedure.reader import read_procedure
from runner.quantities.units import SYMBOLS
from runner.text.lookalikes import mixed_word
from runner.text.problem import render_all

ROOT = Path(__file__).resolve().parents[2]
WORDS = ("title", "scope", "part", "tag", "measured", "instrument", "released by")
"""The answers that are any words; the others are judged while they are asked."""


FINE = {"reads to": "0.001 mm", "uncertainty": "0.002 mm"}
"""An instrument that is sure enough for every limit here."""


def nothing_wrong(text: str) -> None:
    procedure, problems = read_procedure(text, "new")
    assert procedure is not None and problems == [], render_all(problems, {"new": text.split("\n")})


ODD = ["a: b", "x #1", "'", '"', "it's", "- 5", "@part", "%", "*a", "&a", "!x", "[a", "{a}", "| x", "> x", "? x", "\t", "a\tb",
       "\u202e", "\U0001f527 press", "job", "mm", "mean", "if", "every", "1 2 3", "no", "~", "---", "\x07", "a" * 60, "über"]  # fmt: skip


@given(st.dictionaries(st.sampled_from(WORDS), st.one_of(st.text(max_size=60), st.sampled_from(ODD))))
@example({"part": "width", "measured": "width"})
@example({"part": "x_mean", "measured": "x"})
@example({"part": "a" * 60, "measured": "a" * 60})
@example({"released by": "machinist"})
def test_whatever_is_answered_in_words_the_file_is_right(answers: dict[str, str]) -> None:
    assume(not any(mixed_word(answer) for answer in answers.values()))  # asked again while they are typed
    nothing_wrong(first_draft("new", answers))


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_what_is_offered_is_right_in_every_unit(symbol: str) -> None:
    nothing_wrong(first_draft("new", {"unit": symbol}))


@pytest.mark.parametrize("limit", ["at most 0.02 mm", "at least 2 mm", "0.01 mm of 5 mm", "1-3/8 in to 1-1/2 in", "-2 mm to -1 mm"])  # fmt: skip
@pytest.mark.parametrize("places", ["1", "3"])
def test_every_sort_of_limit_can_be_answered(limit: str, places: str) -> None:
    nothing_wrong(first_draft("new", {**FINE, "limit": limit, "places": places}))


def test_the_words_of_the_answers_stand_in_the_file_as_they_were_typed() -> None:
    text = first_draft("new", {"title": "Bush #3: it's odd", "tag": "- %", "instrument": "gauge [a, b]"})
    data = yaml.load(text, yaml.BaseLoader)
    assert data["procedure"] == "Bush #3: it's odd"
    assert data["parts"][0]["tag"] == "- %"
    assert data["stages"][0]["steps"][1]["with"] == "gauge [a, b]"


def test_the_keys_of_every_item_stand_in_the_order_of_the_grammar() -> None:
    data = yaml.load(first_draft("new", {"named": "A, B"}), yaml.BaseLoader)
    listed = [*data["parts"], *data["instruments"], *data["stages"], *data["stages"][0]["steps"]]
    for item in listed:
        order = items()[next(iter(item))].keys
        assert list(item) == sorted(item, key=order.index)


def test_without_a_terminal_nothing_is_asked_and_nothing_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", "bush"]) == 2
    assert "asked for on a terminal, and this is none" in capsys.readouterr().err
    assert main(["new", "a/b"]) == 2
    assert "letters, digits and dashes" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def typed(folder: Path, *lines: str) -> tuple[int, str]:
    """The exit code and what the terminal showed when these lines were typed at the questions of `new bush`."""
    ours, its = pty.openpty()
    env = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb"}
    command = [sys.executable, "-m", "runner", "new", "bush"]
    with subprocess.Popen(command, stdin=its, stdout=its, stderr=its, cwd=folder, env=env) as program:
        os.close(its)
        # The end of input behind them: a question too many ends the program, and never waits.
        os.write(ours, "".join(f"{line}\n" for line in (*lines, "\x04")).encode())
        shown = b""
        try:
            while more := os.read(ours, 65536):
                shown += more
        except OSError:  # the other end of a pseudo-terminal is gone
            pass
        finally:
            os.close(ours)
        return program.wait(), shown.decode()


def test_enter_at_every_question_writes_a_procedure_that_is_right(tmp_path: Path) -> None:
    code, shown = typed(tmp_path, *[""] * len(KEYS))
    assert code == 0, shown
    nothing_wrong((tmp_path / "procedures" / "bush.yaml").read_text(encoding="utf-8"))
    assert "benchhand check --watch procedures/bush.yaml" in shown


def test_an_answer_that_is_wrong_is_told_and_asked_again(tmp_path: Path) -> None:
    again = {
        "unit": ["furlongs", "in"],
        "reads to": ["1", ""],
        "places": ["22 mm", "3"],
        "source": ["dunno", ""],
    }
    code, shown = typed(tmp_path, *(line for key in KEYS for line in again.get(key, [""])))
    assert code == 0 and "'furlongs' is not one of the shop's units" in shown
    assert shown.count("1 of what?") == 1 and "'22 mm' is no number of places" in shown
    assert "a source begins with what sort it is" in shown
    assert "unit: in\n" in (tmp_path / "procedures" / "bush.yaml").read_text(encoding="utf-8")


def test_a_file_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "bush.yaml").write_text("mine\n", encoding="utf-8")
    code, shown = typed(tmp_path)
    assert code == 2 and "already" in shown
    assert (tmp_path / "procedures" / "bush.yaml").read_text(encoding="utf-8") == "mine\n"


def test_leaving_in_the_middle_writes_nothing(tmp_path: Path) -> None:
    code, _ = typed(tmp_path, "", "", "\x04")
    assert code == 130 and list(tmp_path.iterdir()) == []
