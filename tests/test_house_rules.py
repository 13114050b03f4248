"""Rules of the house that a reader would otherwise have to remember."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
RUNNER = ROOT / "runner"
BELOW: dict[str, set[str]] = {
    "text": set(),
    "quantities": {"text"},
    "engineering": {"text", "quantities"},
    "formula": {"text", "quantities", "engineering"},
    "procedure": {"text", "quantities", "engineering", "formula"},
    "shop": {"text", "quantities", "engineering", "formula", "procedure"},
    "job": {"text", "quantities", "engineering", "formula", "procedure", "shop"},
    "trial": {"text", "quantities", "engineering", "formula", "procedure", "shop", "job"},
    "journal": set(),
    "session": {"text", "quantities", "engineering", "formula", "procedure", "shop", "job", "journal"},
}
BELOW["paper"] = BELOW["session"] | {"session"}
BELOW["screen"] = BELOW["paper"] | {"paper"}
BELOW["command"] = BELOW["screen"] | {"screen", "trial"}
DOORS = {"yaml": "text", "pint": "quantities", "sqlite3": "journal", "textual": "screen", "rich": "screen"}


def _imports(path: Path) -> list[tuple[int, str]]:
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [(node.lineno, name.name) for name in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.append((node.lineno, node.module))
    return found


def _modules() -> list[Path]:
    return sorted(path for path in RUNNER.glob("*/*.py"))


@pytest.mark.parametrize("path", _modules(), ids=lambda path: str(path.relative_to(RUNNER)))
def test_no_import_points_up(path: Path) -> None:
    room = path.parent.name
    for line, module in _imports(path):
        words = module.split(".")
        if words[0] == "runner" and len(words) > 1:
            assert words[1] == room or words[1] in BELOW[room], f"{path}:{line} imports {module}"


@pytest.mark.parametrize("path", _modules(), ids=lambda path: str(path.relative_to(RUNNER)))
def test_each_foreign_package_has_one_door(path: Path) -> None:
    for line, module in _imports(path):
        room = DOORS.get(module.split(".")[0])
        assert room in (None, path.parent.name), f"{path}:{line} imports {module}, whose door is {room}"


@pytest.mark.parametrize("room", ["formula", "procedure", "shop", "job", "trial"])
def test_the_core_asks_for_no_clock_disk_or_environment(room: str) -> None:
    for path in (RUNNER / room).glob("*.py"):
        foreign = {module.split(".")[0] for _, module in _imports(path)}
        assert not foreign & {"os", "time", "pathlib", "socket", "subprocess"}, path
        # A generator seeded from the inputs gives the same draws for the same inputs; the shared one doesn't.
        assert "import random" not in path.read_text(encoding="utf-8"), path
        assert "datetime.now" not in path.read_text(encoding="utf-8"), path


def test_check_never_loads_the_screen() -> None:
    program = (
        "import sys; from runner.command.line import main; code = main(['check', 'procedures/head-seats.yaml']);"
        "assert 'textual' not in sys.modules, 'textual was loaded'; sys.exit(code)"
    )
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_every_module_opens_with_what_it_is_for() -> None:
    for path in _modules():
        assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), path


def test_only_the_door_hands_text_to_the_terminal() -> None:
    for path in (RUNNER / "screen").glob("*.py"):
        for number, line in enumerate(path.read_text(encoding="utf-8").split("\n"), 1):
            if ".update(" in line:
                assert "content(" in line, f"{path}:{number} shows text that did not come through the door"


def test_no_word_of_no_meaning_names_a_module() -> None:
    empty = {"utils", "helpers", "manager", "base", "common", "misc", "data", "info"}
    assert not {path.stem for path in RUNNER.rglob("*.py")} & empty
