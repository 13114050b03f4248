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


async def test_a_loggers_file_is_named_by_a_key_and_read_on_while_it_grows(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    file = tmp_path / "oven.csv"
    rows = "".join(f"2031-03-03T07:{minute:02}:00Z;200.{minute}\n" for minute in range(31, 45, 2))
    async with resumed(oven(tmp_path / "41.db", clock, *loaded(), Type("200 200")), clock) as seen:
        await seen.keys("g", "b", f"{tmp_path}/none.csv\r")
        assert "can't be read" in await seen.words()
        await seen.keys("escape")
        file.write_text(rows)
        clock.run(timedelta(minutes=16))
        await seen.keys("g", "b", f"{file}\r")
        read = [one for one in seen.at_work.events if isinstance(one, e.LoggerRead)]
        assert sum(len(one.rows) for one in read) == 7
        await look(seen, "time-soak-logger")
        with file.open("a") as more:
            more.write("2031-03-03T07:46:00Z;201\n2031-03-03T07:4")
        await seen.keys("s", "half a wor")
        for _ in range(100):
            seen.job_screen.tick()
        read = [one for one in seen.at_work.events if isinstance(one, e.LoggerRead)]
        assert sum(len(one.rows) for one in read) == 8
        assert seen.line == "half a wor" and seen.job_screen.question is not None


async def every_key(seen: Seen, clock: SimulatedClock) -> None:
    """Every key that doesn't leave the job, half a second apart and what it asks left again, in twenty seconds."""
    keys = [
        *"abcdefghijklmnoprtvwxyz",
        " ",
        "\r",
        "tab",
        *(f"f{number}" for number in range(2, 13) if number != 9),
    ]
    for key in keys:
        clock.run(timedelta(seconds=0.5))
        await seen.burst(key)
        await seen.burst("escape", "escape")
    clock.run(timedelta(seconds=20 - 0.5 * len(keys)))


async def test_in_the_last_second_no_key_passes_a_wait_or_ends_a_soak(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    text = OVEN.replace(
        "      - do: Coat it\n",
        "      - wait: dry\n        starts: cleaned\n        at least: 60 min\n        source: shop's own, invented\n"
        "      - do: Coat it\n",
    )
    acts: list[Intent] = [StartPass(COAT), Confirm()]
    at_work = a_job(tmp_path / "41.db", clock, *acts, of=procedure(text), named=("F1", "F2"), ready=False)
    async with resumed(at_work, clock) as seen:
        clock.run(timedelta(minutes=59, seconds=39))
        await every_key(seen, clock)
        await seen.burst(" ")
        assert "'dry' has 1 s of 60 min left" in await seen.words()
        await seen.burst("\r")
        assert not any(isinstance(one, e.WaitPassed) for one in seen.at_work.events)
        await seen.keys(" ")
        assert any(isinstance(one, e.WaitPassed) for one in seen.at_work.events)
    rounds: list[Intent | timedelta] = [
        Type("200 200"),
        timedelta(minutes=20),
        Type("200 200"),
        timedelta(minutes=20),
        Type("200 200"),
    ]
    baked = oven(tmp_path / "42.db", clock, *loaded(), *rounds)
    async with resumed(baked, clock) as seen:
        clock.run(timedelta(minutes=19, seconds=39))
        await every_key(seen, clock)
        await seen.burst(" ", "\r", "200 200\r")
        rest = [one for one in seen.at_work.events if isinstance(one, e.SoakRound)][-1]
        assert rest.left_s == 1.0 and not seen.at_work.state.at(BAKE).done
        await seen.keys("200 200\r")
        assert seen.at_work.state.at(BAKE).done


async def test_a_tall_window_shows_what_was_read_here_that_the_limits_stand_on(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    text = OVEN.replace(
        "      - against the clock: drive\n",
        "      - read: hot\n        ask: Temperature of the frame\n        unit: degC\n        plausible: 0 degC to 300 degC\n"
        "      - work out: useful\n        as: open_for * 2\n        to the nearest: 0.1 s\n"
        "      - work out: warm\n        as: max(hot, 20 degC)\n        to the nearest: 1 degC\n"
        "      - against the clock: drive\n",
    ).replace("useful limit: open_for", "useful limit: useful if warm > 100 degC else 1 s")
    acts: list[Intent] = [StartPass(FIT), Type("10"), Type("200"), Tick(1)]
    at_work = a_job(tmp_path / "41.db", clock, *acts, of=procedure(text), named=("F1", "F2"), ready=False)
    async with resumed(at_work, clock, size=(80, 24)) as seen:
        await seen.keys("y")
        assert "limits by" not in await seen.text()
        await seen.pilot.resize_terminal(120, 50)
        assert "limits by open_for 10 s, hot 200 degC" in await seen.words()


async def test_a_missed_key_and_a_stopped_soak_fit_the_small_window_with_every_way_on(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(oven(tmp_path / "41.db", clock, *ready()), clock) as seen:
        await seen.keys("y", " ")
        clock.run(timedelta(seconds=21))
        seen.job_screen.tick()
        assert "w cannot do as written" in await seen.words() and "more lines" not in await seen.text()
    stopped: list[Intent | timedelta] = [
        *loaded(),
        Type("200 200"),
        timedelta(hours=2, minutes=40),
        Type("221 221"),
    ]
    async with resumed(oven(tmp_path / "42.db", clock, *stopped), clock) as seen:
        assert "STOPPED" in await seen.text() and "more lines" not in await seen.text()
        assert "w cannot do as written" in await seen.words()
