"""The README says what is so: its commands, its screen, its procedure."""

from __future__ import annotations

import re
from pathlib import Path

from runner.procedure.reader import read_procedure
from runner.text.problem import render_all

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def _commands() -> list[str]:
    return re.findall(r"^    (python3 -m venv .+)$", README, re.MULTILINE)


def test_two_commands_do_all_the_set_up() -> None:
    assert len(_commands()) == 2
    assert _commands()[0].endswith("/benchhand")


def test_ci_runs_the_readmes_test_command() -> None:
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8").split("\n")
    assert _commands()[1] in ci


def test_the_readmes_procedure_has_no_problem() -> None:
    block = re.search(r"```yaml\n(.*?)```", README, re.DOTALL)
    assert block
    procedure, problems = read_procedure(block[1], "README.md")
    assert procedure is not None, render_all(problems, {"README.md": block[1].split("\n")})


def test_the_readmes_screen_is_a_golden_one() -> None:
    block = re.search(r"<!-- screen: (\S+) -->\n```\n(.*?)```", README, re.DOTALL)
    assert block
    golden = (ROOT / "tests" / "golden" / f"{block[1]}.txt").read_text(encoding="utf-8")
    assert block[2].strip(), "the README shows no screen"
    assert block[2].rstrip("\n") in golden


def test_whose_word_stands_above_the_tool_is_said() -> None:
    assert "hazard assessment, local codes and licensed practice stand above" in README
