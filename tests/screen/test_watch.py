"""The watch: every timer of every open job, soonest first; it writes nothing and its silence is its own."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job.intents import (
    AnswerAlarm,
    Confirm,
    Intent,
    MakeLoad,
    Notice,
    ReleaseJob,
    StartPass,
    Suspend,
    Type,
)
from runner.screen.start import Watch
from runner.screen.watch import WatchScreen
from runner.session.at_work import AtWork
from runner.session.clock import SimulatedClock
from runner.session.watched import Watched, timers
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.screen.a_screen import MORNING, Seen, a_job, bench, do, glued, to_the_end

Look = Callable[[Seen, str], Awaitable[None]]
FRAMES = [f"F{number}" for number in range(1, 10)]
SIZES = ((200, 60), (80, 24))


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TZ", "UTC")
    return Path("jobs")


@pytest.fixture
def look(golden: Callable[[str, str], None]) -> Look:
    """Holds what is drawn at both sizes against the golden pages of that name."""

    async def at_both(seen: Seen, name: str) -> None:
        for columns, rows in SIZES:
            await seen.pilot.resize_terminal(columns, rows)
            drawn = await seen.text()
            assert all(len(line) <= columns for line in drawn.split("\n")) and "\x1b" not in drawn
            golden(f"{name}-{columns}x{rows}.txt", drawn)

    return at_both


def oven(path: Path, clock: SimulatedClock, *acts: Intent | timedelta) -> AtWork:
    return a_job(path, clock, *acts, of=procedure(OVEN), named=FRAMES, ready=False)


def busy(jobs: Path, clock: SimulatedClock) -> None:
    """Two jobs with timers, one that waits for nothing, one released, one that is no job."""
    a_job(jobs / "44.db", clock, *to_the_end(), ReleaseJob("Ben Stone", "one frame, glued")).close()
    first = oven(jobs / "41.db", clock, StartPass(("Coat", "F9")), Confirm(), Confirm())
    for frame in FRAMES[:6]:
        do(first, StartPass(("Coat", frame)), Confirm())
        clock.run(timedelta(minutes=2))
    baked = MakeLoad("batch", "tray 1", ("F7", "F8"))
    do(first, baked, StartPass(("Bake", "tray 1")), Type("200 200"), Suspend("lunch"))
    first.close()
    a_job(jobs / "42.db", clock, *glued()).close()
    a_job(jobs / "43.db", clock).close()
    (jobs / "45.db").write_bytes(b"no job at all")


def tick(seen: Seen) -> None:
    screen = seen.app.screen
    assert isinstance(screen, WatchScreen)
    screen.tick()


async def test_every_timer_of_every_open_job_soonest_first(
    jobs: Path, clock: SimulatedClock, look: Look
) -> None:
    busy(jobs, clock)
    async with bench(jobs, clock, Watch()) as seen:
        await look(seen, "watch")


async def test_an_alarm_on_the_watch_and_one_that_was_answered(
    jobs: Path, clock: SimulatedClock, look: Look
) -> None:
    first = oven(jobs / "41.db", clock, StartPass(("Coat", "F1")), Confirm())
    second = oven(jobs / "42.db", clock, StartPass(("Coat", "F1")), Confirm())
    clock.run(timedelta(minutes=52, seconds=10))
    do(second, Notice(), AnswerAlarm())
    first.close(), second.close()
    async with bench(jobs, clock, Watch()) as seen:
        await look(seen, "watch-alarm")


async def test_where_nothing_runs_it_says_so(jobs: Path, clock: SimulatedClock) -> None:
    async with bench(jobs, clock, Watch()) as seen:
        assert "there is no open job here" in await seen.words()
        a_job(jobs / "43.db", clock).close()
        tick(seen)
        assert "nothing runs in any open job" in await seen.words()


async def test_the_watch_writes_nothing_and_reads_beside_whoever_writes(
    jobs: Path, clock: SimulatedClock
) -> None:
    at_work = oven(jobs / "41.db", clock)

    def kept() -> dict[str, tuple[bytes, int]]:
        return {one.name: (one.read_bytes(), one.stat().st_mtime_ns) for one in jobs.iterdir()}

    async with bench(jobs, clock, Watch()) as seen:
        before = kept()
        for _ in range(3):
            clock.run(timedelta(minutes=30))
            tick(seen)
        await seen.keys("m", "down", "up")
        assert kept() == before
        assert "nothing runs" in await seen.words()
        do(at_work, StartPass(("Coat", "F3")), Confirm())
        tick(seen)
        assert "job 41 F3 still_clean until 10:00 coated by then" in await seen.words()
    at_work.close()


def test_a_file_is_read_again_only_once_it_was_changed(jobs: Path, clock: SimulatedClock) -> None:
    at_work = oven(jobs / "41.db", clock)
    watched = Watched(jobs)
    (first,) = watched.look()
    assert watched.look()[0] is first
    do(at_work, StartPass(("Coat", "F3")))
    assert watched.look()[0] is not first
    at_work.close()


def test_a_job_that_cannot_be_read_is_said_until_it_can(jobs: Path, clock: SimulatedClock) -> None:
    oven(jobs / "41.db", clock).close()
    whole = (jobs / "41.db").read_bytes()
    (jobs / "41.db").write_bytes(whole[:1000])
    watched = Watched(jobs)
    assert watched.look() == [] and [one.number for one in watched.not_read] == ["41"]
    (jobs / "41.db").write_bytes(whole)
    assert len(watched.look()) == 1 and watched.not_read == []
    (jobs / "41.db").unlink()
    assert watched.look() == []


def test_what_has_no_timer_of_its_own_is_told_too(jobs: Path, clock: SimulatedClock) -> None:
    load = MakeLoad("batch", "tray 1", ("F7", "F8"))
    at_work = oven(jobs / "41.db", clock, load, StartPass(("Bake", "tray 1")), Type("200 200"))
    clock.run(timedelta(minutes=106))
    found = timers(Watched(jobs).look(), clock.now())
    assert [(one.due.sort, one.alarm.ref.sort if one.alarm else "") for one in found] == [
        ("soak", "reading late"),
        ("soak too long", "soak too long"),
    ]
    at_work.close()


async def test_its_silence_is_its_own_and_what_is_new_rings_again(jobs: Path, clock: SimulatedClock) -> None:
    at_work = oven(jobs / "41.db", clock, StartPass(("Coat", "F1")), Confirm())
    clock.run(timedelta(minutes=10))
    do(at_work, StartPass(("Coat", "F2")), Confirm())
    clock.run(timedelta(minutes=41))
    pulse = SimulatedClock(MORNING)
    async with bench(jobs, clock, Watch(), pulse=pulse) as seen:
        assert seen.heard.count("\a") == 1
        await seen.keys("m")
        pulse.run(timedelta(minutes=2))
        tick(seen)
        assert seen.heard.count("\a") == 1 and "silent here" in await seen.words()
        assert "▲ ALARM" in await seen.words(), "silence takes nothing out of sight"
        assert not any(at_work.state.alarms.values())
        clock.run(timedelta(minutes=10))
        tick(seen)
        assert seen.heard.count("\a") == 2
    at_work.close()


async def test_without_colour_every_state_on_the_watch_is_a_word_or_a_sign(
    jobs: Path, clock: SimulatedClock
) -> None:
    busy(jobs, clock)
    clock.run(timedelta(minutes=22))
    async with bench(jobs, clock, Watch(), colour=False) as seen:
        words = await seen.words()
        assert "▲ ALARM" in words and "! 45 can't be read" in words and "· job" in words


async def test_a_dead_tick_of_the_watch_is_said(jobs: Path, clock: SimulatedClock) -> None:
    pulse = SimulatedClock(MORNING)
    async with bench(jobs, clock, Watch(), pulse=pulse) as seen:
        screen = seen.app.screen
        assert isinstance(screen, WatchScreen)
        screen.ticking.stop()
        pulse.run(timedelta(seconds=4))
        await seen.keys("x")
        assert "✗ STALLED this screen's clock has stood still for 4 s" in await seen.words()


async def test_more_timers_than_lines_are_scrolled_to(jobs: Path, clock: SimulatedClock) -> None:
    at_work = oven(jobs / "41.db", clock)
    for frame in FRAMES:
        do(at_work, StartPass(("Coat", frame)), Confirm())
        clock.run(timedelta(minutes=1))
    at_work.close()
    other = oven(jobs / "42.db", clock)
    for frame in FRAMES:
        do(other, StartPass(("Coat", frame)), Confirm())
    other.close()
    async with bench(jobs, clock, Watch()) as seen:
        assert "more lines below" in await seen.words()
        await seen.keys("pagedown")
        assert "more lines above" in await seen.words()
        await seen.pilot.resize_terminal(40, 10)
        assert "the watch needs 80 by 24" in await seen.words()
        await seen.keys("q")
        assert seen.app.return_code == 0


async def test_a_rehearsal_is_marked_on_the_watch_beside_a_job_with_real_parts(
    jobs: Path, clock: SimulatedClock
) -> None:
    acts: list[Intent] = [StartPass(("Coat", "F1")), Confirm()]
    oven(jobs / "41.db", clock, *acts).close()
    tried = a_job(jobs / "42.db", clock, *acts, of=procedure(OVEN), named=FRAMES, ready=False, rehearsal=True)
    tried.close()
    async with bench(jobs, clock, Watch()) as seen:
        words = await seen.words()
        assert "REHEARSAL job 42 F1" in words and "REHEARSAL job 41" not in words and "job 41 F1" in words
        assert {one.job_words for one in timers(Watched(jobs).look(), clock.now())} == {
            "job 41",
            "REHEARSAL job 42",
        }
