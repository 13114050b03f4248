"""Parts put together at the bench: the load's word on the board, its name, what goes in."""

from __future__ import annotations

from pathlib import Path

from runner.job.intents import Confirm, StartPass
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import procedure
from tests.job.test_loads import OVEN
from tests.screen.a_screen import a_job, resumed


async def test_a_load_is_made_by_its_word_and_taken_in_hand_by_its_name(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    washed = [act for plate in ("P1", "P2") for act in (StartPass(("Wash", plate)), Confirm())]
    job = a_job(tmp_path / "41.db", clock, *washed, of=procedure(OVEN), level="plate", named=("P1", "P2"))
    async with resumed(job, clock) as seen:
        assert "To put parts together, type the load's word: batch" in await seen.words()
        await seen.keys("batch\r", "oven 1\r")
        assert "Which plates go into oven 1?" in await seen.words()
        await seen.keys("P1 P9\r")
        assert "no plate is tagged 'P9'" in await seen.words()
        assert seen.line == "P1 P9" and not seen.at_work.state.loads
        await seen.keys("backspace", "2\r")
        assert seen.at_work.state.loads["oven 1"].parts == ("P1", "P2")
        await seen.keys("oven 1\r")
        assert seen.at_work.state.in_hand == ("Heat", "oven 1")
        assert "Heat step 1 of 3" in await seen.words()
