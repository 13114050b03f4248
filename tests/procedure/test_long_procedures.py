"""What checking costs grows with the steps and no faster."""

from __future__ import annotations

import time

from runner.procedure.reader import read_procedure
from tests.procedure.long_ones import long_one


def _seconds(text: str) -> float:
    found = []
    for _ in range(3):
        began = time.process_time()
        procedure, problems = read_procedure(text, "x")
        found.append(time.process_time() - began)
        assert procedure and not problems
    return min(found)


def test_ten_times_the_steps_take_about_ten_times_as_long() -> None:
    read_procedure(long_one(20), "x")  # units and calculations are loaded once
    assert _seconds(long_one(1_000)) < 25 * _seconds(long_one(100))
