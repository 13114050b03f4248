"""`check` for editors and CI: the same problems as data, and again whenever a file is saved."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from runner.command.line import main
from runner.command.watching import Stamp, stamp_of, watch
from runner.session.library import read, stands_on
from tests.job.a_small_procedure import TEXT

ROOT = Path(__file__).resolve().parents[2]
BAD = sorted((ROOT / "tests" / "bad").glob("*.yaml"))
A_PROBLEM = {"kind", "warning", "file", "line", "column", "end_column", "what", "fix"}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def as_json(capsys: pytest.CaptureFixture[str], *files: str) -> tuple[int, Any]:
    code = main(["check", "--format", "json", *files])
    said = capsys.readouterr()
    assert said.err == ""
    return code, json.loads(said.out)


def test_every_problem_is_given_with_the_words_that_it_marks(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("one.yaml").write_text(TEXT.replace("mean(bore)", "maen(bore)"), encoding="utf-8")
    code, data = as_json(capsys, "one.yaml")
    [file] = data["files"]
    [problem] = file["problems"]
    line = Path("one.yaml").read_text(encoding="utf-8").split("\n")[problem["line"] - 1]
    assert (code, data["check"], file["fine"]) == (1, 1, False)
    assert line[problem["column"] - 1 : problem["end_column"] - 1] == "maen"
    assert problem["file"] == "one.yaml" and problem["fix"] == "did you mean 'mean'?"
    assert problem["warning"] is False


def test_a_program_reads_the_same_problems_as_a_person(capsys: pytest.CaptureFixture[str]) -> None:
    _, data = as_json(capsys, *map(str, BAD))
    assert [file["file"] for file in data["files"]] == [str(path) for path in BAD]
    for path, file in zip(BAD, data["files"], strict=True):
        told = [(one["kind"], one["line"], one["what"], one["fix"]) for one in file["problems"]]
        assert told == [(one.kind, one.place.line, one.what, one.fix) for one in read(path).problems]
        assert all(set(one) == A_PROBLEM and one["column"] < one["end_column"] for one in file["problems"])


def test_a_file_that_cannot_be_read_is_a_problem_without_a_line(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("good.yaml").write_text(TEXT, encoding="utf-8")
    code, data = as_json(capsys, "gone.yaml", "good.yaml")
    gone, good = data["files"]
    assert code == 1
    assert set(gone["problems"][0]) == A_PROBLEM and gone["problems"][0]["line"] is None
    assert gone["problems"][0]["kind"] == "not-read" and not gone["fine"]
    assert good["fine"] and good["problems"] == [] and good["steps"] > 0


def test_an_unknown_format_is_refused_with_those_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--format", "xml", "one.yaml"]) == 2
    assert "'xml' is none of text, json for --format" in capsys.readouterr().err


class Saving:
    """A folder in which something is done at each look, and an end to the looking."""

    def __init__(self, *acts: Callable[[], object]) -> None:
        self.acts, self.slept = list(acts), 0
        self.told: list[tuple[str, ...]] = []

    def sleep(self, seconds: float) -> None:
        assert seconds > 0.1, "it would keep the machine busy"
        self.slept += 1
        if not self.acts:
            raise KeyboardInterrupt
        self.acts.pop(0)()

    def tell(self, words: Sequence[str]) -> None:
        self.told.append(tuple(words))


def watched(
    files: dict[str, Stamp], words: Sequence[str], *acts: Callable[[], object]
) -> list[tuple[str, ...]]:
    """What was told of while these acts were done, one before each look."""
    shop = Saving(*acts)
    with pytest.raises(KeyboardInterrupt):
        watch(words, lambda word: [Path(word)], shop.tell, lambda path: files[str(path)], shop.sleep)
    assert shop.slept == len(acts) + 1
    return shop.told


def nothing() -> None:
    """Nobody saves anything."""


def test_all_files_are_told_of_first_and_then_only_the_one_that_was_saved() -> None:
    files: dict[str, Stamp] = {"a": (1, 1, 1), "b": (1, 1, 2)}
    saved = watched(files, ["a", "b"], nothing, lambda: files.update(b=(2, 1, 2)), nothing, nothing, nothing)
    assert saved == [("a", "b"), ("b",)]


def test_a_file_that_is_still_being_written_is_not_told_of_yet() -> None:
    for left_alone, told in ((), [("a",)]), ((nothing, nothing), [("a",), ("a",)]):
        files: dict[str, Stamp] = {"a": (1, 1, 1)}
        longer = [lambda size=size, files=files: files.update(a=(size, size, 1)) for size in (2, 3, 4)]
        assert watched(files, ["a"], *longer, *left_alone) == told


def test_a_file_that_an_editor_puts_another_in_the_place_of_is_told_of_once() -> None:
    files: dict[str, Stamp] = {"a": (1, 1, 1)}
    acts = [lambda: files.update(a=None), lambda: files.update(a=(2, 1, 9)), nothing, nothing]
    assert watched(files, ["a"], *acts) == [("a",), ("a",)]


def test_a_file_that_does_not_exist_is_waited_for(here: Path) -> None:
    assert stamp_of(Path("later.yaml")) is None
    Path("later.yaml").write_text(TEXT, encoding="utf-8")
    assert stamp_of(Path("later.yaml"))
    assert stamp_of(Path("no\0name")) is None


def test_what_a_procedure_takes_in_is_watched_with_it(here: Path) -> None:
    Path("one.yaml").write_text(TEXT + "\n# \n", encoding="utf-8")
    assert Path("materials.toml") in stands_on("one.yaml")
    Path("two.yaml").write_text("stages:\n  - take steps: x\n    from: shared/steps.yaml\n", encoding="utf-8")
    assert Path("shared/steps.yaml") in stands_on("two.yaml")
    assert stands_on("gone.yaml") == [Path("gone.yaml")]


def test_watching_ends_by_an_interrupt_with_130_and_has_told_what_it_saw(here: Path) -> None:
    Path("one.yaml").write_text(TEXT, encoding="utf-8")
    command = [sys.executable, "-m", "runner", "check", "--watch", "--format", "json", "one.yaml"]
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=env) as program:
        assert program.stdout and program.stderr
        assert json.loads(program.stdout.readline())["files"][0]["fine"] is True
        Path("one.yaml").write_text(TEXT.replace("mean(bore)", "maen(bore)"), encoding="utf-8")
        again = json.loads(program.stdout.readline())
        assert [one["kind"] for one in again["files"][0]["problems"]] == ["unknown-function"]
        program.send_signal(signal.SIGINT)
        assert program.stdout.read() == b"" and program.stderr.read() == b""
        assert program.wait() == 130
