"""What time rules, by keys: soaks, windows, times of day, acts against the clock, and a rehearsal whose clock is hurried."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

from runner.job import events as e
from runner.job.intents import Confirm, Hurry, Intent, MakeLoad, StartPass, Tick, Type
from runner.session.at_work import AtWork
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.screen.a_screen import Seen, a_job, resumed

Look = Callable[[Seen, str], Awaitable[None]]
FIT, COAT, BAKE = ("Fit", "F1"), ("Coat", "F1"), ("Bake", "batch 1")


def oven(path: Path, clock: SimulatedClock, *acts: Intent | timedelta, rehearsal: bool = False) -> AtWork:
    """Two frames that are coated, baked in one batch, and driven against the clock."""
    named = ("F1", "F2")
    return a_job(path, clock, *acts, of=procedure(OVEN), named=named, ready=False, rehearsal=rehearsal)


def loaded() -> list[Intent]:
    return [MakeLoad("batch", "batch 1", ("F1", "F2")), StartPass(BAKE)]


def ready() -> list[Intent]:
    """Ten seconds useful, twenty at the last, and the driver cold."""
    return [StartPass(FIT), Type("10"), Tick(1)]


async def test_a_soak_is_read_round_by_round_and_says_when_the_next_is_due(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *loaded()), clock) as seen:
        await look(seen, "time-soak-not-begun")
        await seen.keys("200\r", "199\r")
        await seen.keys("201\r")
        await look(seen, "time-soak-half-a-round")
        clock.run(timedelta(minutes=20))
        await seen.keys("199\r", "escape")
        assert "READ NOW" not in await seen.text() and "next round" in await seen.text()
        clock.run(timedelta(minutes=21))
        await seen.keys("escape")
        assert "▲ READ NOW" in await seen.text()
        clock.run(timedelta(minutes=6))
        await seen.keys("escape")
        await look(seen, "time-soak-late")
        await seen.keys("200 200\r")
        assert "a gap of" in await seen.words()


async def test_a_soak_over_its_limit_stops_and_names_its_ways_on(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *loaded(), Type("200 221")), clock) as seen:
        await look(seen, "time-soak-over")
        assert isinstance(seen.at_work.state.at(BAKE).failed, e.SoakStopped)


async def test_an_oven_opened_and_a_part_taken_out_are_told_by_a_key_and_a_reason(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *loaded(), Type("200 200")), clock) as seen:
        await seen.keys("d", "the lamp is out\r")
        assert [one.because for one in seen.at_work.events if isinstance(one, e.DoorOpened)] == [
            "the lamp is out"
        ]
        await seen.keys("o", "b", "a crack was seen\r")
        left = [one for one in seen.at_work.events if isinstance(one, e.LoadLeft)]
        assert [(one.part, one.because) for one in left] == [("F2", "a crack was seen")]


async def test_the_clock_is_armed_and_told_by_one_key(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *ready()[:2]), clock) as seen:
        await look(seen, "time-clock-ready")
        await seen.keys(" ")
        await look(seen, "time-clock-all-ready")
        await seen.keys("y")
        await look(seen, "time-clock-armed")
        await seen.keys(" ")
        clock.run(timedelta(seconds=4.5))
        seen.job_screen.tick()
        await look(seen, "time-clock-running")
        clock.run(timedelta(seconds=8))
        seen.job_screen.tick()
        await look(seen, "time-clock-late")
        await seen.keys("\r")
        stopped = next(one for one in seen.at_work.events if isinstance(one, e.ClockStopped))
        assert (stopped.act, stopped.taken_s, stopped.met) == ("home", 13.5, True)
        await look(seen, "time-clock-held")
        clock.run(timedelta(seconds=20))
        for _ in range(10):
            seen.job_screen.tick()
        assert any(isinstance(one, e.HeldDown) for one in seen.at_work.events)
        await look(seen, "time-clock-let-go")


async def test_armed_or_running_nothing_but_its_keys_does_anything(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *ready()), clock) as seen:
        await seen.keys("y")
        before = len(seen.at_work.events)
        for key in (*"abcdefghijklmnopqrstuvwz0123456789.,", "up", "escape", "f4", "f9", "f10"):
            await seen.keys(key)
        await seen.burst("25.401", "\r")
        assert len(seen.at_work.events) == before and seen.line == ""
        await seen.keys("x", "the phone rang\r")
        assert isinstance(seen.at_work.events[-1], e.ClockStoodDown)
        await seen.keys("y", " ")
        begun = len(seen.at_work.events)
        for key in (*"xqsncwp1", "f4", "escape"):
            await seen.keys(key)
        assert len(seen.at_work.events) == begun


async def test_a_held_key_is_one_key_and_the_least_time_is_kept(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *ready()), clock) as seen:
        await seen.keys("y", " ")
        for _ in range(30):
            clock.run(timedelta(seconds=0.1))
            await seen.burst(" ")
        assert isinstance(seen.at_work.events[-1], e.ClockStarted)
        await seen.keys(" ")
        assert next(one for one in seen.at_work.events if isinstance(one, e.ClockStopped)).taken_s == 4.0


async def test_a_missed_key_is_said_large_and_may_be_put_in_as_an_estimate(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *ready()), clock) as seen:
        await seen.keys("y", " ")
        clock.run(timedelta(seconds=21))
        seen.job_screen.tick()
        await look(seen, "time-clock-missed")
        await seen.keys("e", "9\r", "Cora counted aloud\r")
        stopped = [one for one in seen.at_work.events if isinstance(one, e.ClockStopped)][-1]
        assert (stopped.taken_s, stopped.met, stopped.estimated) == (9.0, True, "Cora counted aloud")


async def test_a_missed_window_takes_its_route_by_itself_and_leaves_an_open_question_open(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *ready()), clock) as seen:
        await seen.keys("y", " ")
        clock.run(timedelta(seconds=21))
        seen.job_screen.tick()
        await seen.keys("s", "hot")
        clock.run(timedelta(seconds=121))
        for _ in range(10):
            seen.job_screen.tick()
        assert isinstance(
            next(one for one in reversed(seen.at_work.events) if isinstance(one, e.ReworkBegun)),
            e.ReworkBegun,
        )
        assert seen.line == "hot" and seen.job_screen.question is not None


async def test_the_seconds_on_the_screen_are_those_the_engineering_works_out(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    text = OVEN.replace("useful limit: open_for", "useful limit: open_for / 3")
    at_work = a_job(tmp_path / "41.db", clock, *ready(), of=procedure(text), named=("F1", "F2"), ready=False)
    async with resumed(at_work, clock) as seen:
        assert "useful 3.3 s" in await seen.words()
        await seen.keys("y")
        armed = next(one for one in seen.at_work.events if isinstance(one, e.ClockArmed))
        assert armed.useful_s == 3.333 and armed.last_s == 20.0
        assert "useful 3.3 s ┤ last 20.0 s" in await seen.words()


async def test_a_window_that_runs_is_in_view_at_every_step_on_its_part(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, StartPass(COAT), Confirm()), clock) as seen:
        await look(seen, "time-window")
        clock.run(timedelta(minutes=61))
        await seen.keys("escape")
        assert "overdue since 08:30 still_clean on F1: coated by then" in await seen.words()


async def test_a_time_of_day_says_when_it_comes(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, StartPass(COAT), Confirm(), Confirm()), clock) as seen:
        await look(seen, "time-not-before")
        await seen.keys(" ")
        assert "is not before Tue 4 Mar 06:00" in await seen.words()
        clock.run(timedelta(hours=23))
        await seen.keys("escape")
        assert "✓ over since" in await seen.text()
        await seen.keys(" ")
        assert isinstance(seen.at_work.events[-1], e.TimeCame)


async def test_a_condition_is_waited_for_and_its_reading_read_again(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    acts = [StartPass(("Skim", "F1")), Type("0.1"), Type("40")]
    async with resumed(oven(tmp_path / "41.db", clock, *acts), clock) as seen:
        await look(seen, "time-condition")
        await seen.keys("m", "a", "cooled an hour\r", "21\r", " ")
        assert isinstance(seen.at_work.events[-1], e.TimeCame)


async def test_a_rehearsal_says_so_on_every_screen_and_is_hurried_by_a_key(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, rehearsal=True), clock) as seen:
        assert "REHEARSAL" in await seen.text()
        await seen.keys("f11", "soon\r")
        assert "'soon' is no length of time" in await seen.words()
        await seen.keys("escape", "f11", "2 h\r")
        assert [one.seconds for one in seen.at_work.events if isinstance(one, e.ClockHurried)] == [7200.0]
        seen.at_work.act(StartPass(COAT))
        for key in ("escape", "k", "l", "escape", "p"):
            await seen.keys(key)
            assert "REHEARSAL" in await seen.text()
    async with resumed(oven(tmp_path / "42.db", clock), clock) as seen:
        assert "REHEARSAL" not in await seen.text() and "hurry" not in await seen.text()
        await seen.keys("f11")
        assert seen.job_screen.question is None
        assert "only a rehearsal" in str(seen.at_work.act(Hurry(60)))
