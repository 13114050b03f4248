"""What all tests share: golden texts, and how hypothesis looks for counterexamples."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

import hypothesis
import pytest

# Jobs of tests live in memory where the machine has a place for it: thousands of acts, each forced to the disk, would
# be most of the time. What is tested is that a killed program loses nothing, which needs no disk; a power cut we can't test.
if os.access("/dev/shm", os.W_OK):
    os.environ["TMPDIR"] = tempfile.tempdir = "/dev/shm"

GOLDEN = Path(__file__).parent / "golden"

# The same examples each time, and no deadline: a busy machine is no counterexample.
hypothesis.settings.register_profile("shop", derandomize=True, deadline=None, database=None)
hypothesis.settings.load_profile("shop")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--regold", action="store_true", help="write the golden texts anew; look at the diff")


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compares a text with the golden file of that name, or writes the file anew under --regold."""

    def compare(name: str, text: str) -> None:
        path = GOLDEN / name
        text = text.rstrip("\n") + "\n"
        if request.config.getoption("--regold"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        assert path.exists(), f"there is no golden {name}; write it with --regold and look at it"
        assert text == path.read_text(encoding="utf-8")

    return compare
