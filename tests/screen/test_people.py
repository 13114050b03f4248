"""Two people at one bench: who is there, their PINs, whose gauge it is, and how a job passes from one to the other."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job.events import JobSuspended, ReadingTaken
from runner.screen.entry import Entry
from runner.screen.start import OpenNew
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import procedure
from tests.screen.a_screen import FITTER, INSPECTOR, Seen, a_job, bench, resumed
from tests.screen.a_whole_procedure import TEXT, a_block, bored, with_a_shop
from tests.shop.a_shop import PIN

Look = Callable[[Seen, str], Awaitable[None]]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    with_a_shop(tmp_path / "jobs")
    return tmp_path / "jobs"


def opened() -> OpenNew:
    return OpenNew(procedure(TEXT), "41", FITTER, False, {"block": ("K1",)})


async def test_whoever_opens_a_job_is_asked_for_their_pin_which_is_never_seen(
    shop: Path, clock: SimulatedClock, look: Look
) -> None:
    async with bench(shop, clock, opened()) as seen:
        await seen.keys("o", "2468")
        await look(seen, "pin-typed")
        assert seen.app.screen.query_one(Entry).password
        await seen.keys("\r")
        assert seen.line == "" and "that is not the PIN of Ada Fitch" in await seen.text()
        await seen.keys("2468\r", "1357\r")
        await look(seen, "pin-wait")
        drawn = await seen.text()
        assert "2468" not in drawn and "1357" not in drawn
        clock.run(timedelta(minutes=1))
        await seen.burst(f"{PIN}\r")
        drawn = await seen.text()
        assert "at the bench Ada Fitch" in drawn and PIN not in drawn
        await seen.keys("q")
        assert PIN.encode() not in (shop / "41.db").read_bytes()


async def test_after_a_while_it_is_asked_who_is_there_and_what_was_typed_is_not_lost(
    shop: Path, clock: SimulatedClock, look: Look
) -> None:
    async with bench(shop, clock, opened()) as seen:
        await seen.keys("o", f"{PIN}\r", " ", "K1/A\r", "a", " ", "10.000\r")
        await look(seen, "which-gauge")
        await seen.keys("b")
        await look(seen, "gauge-in-use")
        clock.run(timedelta(minutes=30))
        await seen.keys("10.009\r")
        await look(seen, "who-first")
        await seen.keys("escape")
        assert seen.line == "10.009"
        await seen.keys("\r", "Eve Marsh\r")
        assert [(one.typed, one.who) for one in readings(seen)] == [("10.009", "Eve Marsh")]
        clock.run(timedelta(minutes=30))
        await seen.keys("u", f"{INSPECTOR}\r", f"{PIN}\r", "10.010\r")
        assert [(one.gauge, one.who) for one in readings(seen)][1:] == [("BG-2", INSPECTOR)]


def readings(seen: Seen) -> list[ReadingTaken]:
    return [one for one in seen.at_work.events if isinstance(one, ReadingTaken)]


async def test_what_nobody_can_do_is_said_before_a_pin_is_asked(shop: Path, clock: SimulatedClock) -> None:
    async with bench(shop, clock, opened()) as seen:
        await seen.keys("o", f"{PIN}\r", "u", "Tam Oakley\r")
        assert "the shop file has nobody called 'Tam Oakley'" in await seen.words()
        assert not seen.app.screen.query_one(Entry).password


async def test_a_zero_that_grew_old_comes_first_and_the_reading_stays_on_the_line(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored("bore")), clock) as seen:
        clock.run(timedelta(hours=5))
        await seen.burst("10.009\r")
        assert (
            seen.line == "10.009" and "that comes first, and nothing else was entered" in await seen.words()
        )
        assert not readings(seen)
        await seen.keys("10.000\r", "10.009\r")
        assert len(readings(seen)) == 1


async def test_a_job_is_handed_over_on_a_page_that_the_next_person_takes_on(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored()), clock) as seen:
        await seen.keys("h", "the cutter is loose in its chuck\r")
        clock.run(timedelta(hours=14))
        await look(seen, "handed-over")
        await seen.keys("10.009\r")
        assert "was typed, and no reading is wanted here" in await seen.words()
        await seen.keys("escape", "t", "Eve Marsh\r")
        assert seen.at_work.state.person == "Eve Marsh" and seen.at_work.state.handed_over is None


async def test_after_a_stop_the_last_step_the_time_away_and_what_went_on_are_shown(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored()), clock) as seen:
        await seen.keys("s", "the chuck is hot\r")
        clock.run(timedelta(hours=14))
        await look(seen, "suspended-overnight")
        await seen.keys("t")
        assert seen.at_work.state.suspended is None


async def test_a_prerequisite_that_is_not_so_suspends_the_job_and_says_which(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = a_job(tmp_path / "41.db", clock, ready=False)
    async with resumed(at_work, clock) as seen:
        await seen.keys("n", "they came in an hour ago\r")
        [stop] = [one for one in seen.at_work.events if isinstance(one, JobSuspended)]
        assert stop.because == (
            "not so: Frames and gauges in one room since the morning: they came in an hour ago"
        )
