"""One job worked from its opening to its release, for every test that only reads it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.session.a_bench_hand import BenchClock, demo_sheet, opened, work_on


@pytest.fixture(scope="session")
def released_job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its file. Copy it before writing to it."""
    path = tmp_path_factory.mktemp("released") / "done.db"
    with opened(path, clock := BenchClock(), number="done") as at_work:
        while work_on(at_work, clock, demo_sheet()):
            pass
    return path
