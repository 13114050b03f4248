"""The entry line: what is typed, what gauges send, what is refused, and what the disk refuses."""

from __future__ import annotations

import resource
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job.events import ReadingTaken, TickMade
from runner.job.intents import StartPass, Stop
from runner.session.at_work import AtWork, NotKept, Outcome, read_job
from runner.session.clock import SimulatedClock
from tests.screen.a_screen import MORNING, A, Seen, a_job, bench, measured, resumed


@pytest.fixture
def clock() -> SimulatedClock:
    return SimulatedClock(MORNING)


@contextmanager
def a_full_disk() -> Iterator[None]:
    """No file of this process can grow any more."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def readings(path: Path) -> list[str]:
    return [one.typed for one in read_job(path).events if isinstance(one, ReadingTaken)]


def typed(seen: Seen) -> list[str]:
    return [one.typed for one in seen.at_work.events if isinstance(one, ReadingTaken)]


async def test_a_gauge_that_sends_three_readings_at_once_enters_three(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        await seen.burst("10.009\r10.010\r\n10.011\t")
        assert typed(seen)[1:] == ["10.009", "10.010", "10.011"]


async def test_a_refused_text_stays_in_view_and_can_be_mended(tmp_path: Path, clock: SimulatedClock) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        await seen.burst("10.0o\r")
        assert seen.line == "10.0o"
        assert "10.0o" in await seen.text()
        await seen.burst("backspace", "9\r")
        assert typed(seen)[-1] == "10.09"


async def test_the_next_reading_takes_the_place_of_a_refused_one_and_never_joins_it(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    before_the_warning = a_job(tmp_path / "41.db", clock, StartPass(A))
    async with resumed(before_the_warning, clock) as seen:
        await seen.burst("12\r", "13\r")
        assert seen.line == "13"
        assert "'13' was typed, and no reading is wanted here" in await seen.text()


async def test_a_refused_text_leaves_the_keys_free(tmp_path: Path, clock: SimulatedClock) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, StartPass(A)), clock) as seen:
        await seen.burst("42.5\r")
        await seen.keys("a", " ")
        assert seen.line == ""
        assert any(isinstance(one, TickMade) for one in seen.at_work.events)


async def test_escape_leaves_a_question_and_what_was_typed_at_it(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        before = len(seen.at_work.events)
        await seen.keys("n", "scored", "escape")
        assert seen.line == ""
        assert "left as it was; nothing was entered" in await seen.text()
        await seen.burst("10.009\r")
        assert len(seen.at_work.events) == before + 1


async def test_a_gauge_can_neither_give_a_reason_nor_a_name_nor_press_a_key(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("wall")), clock) as seen:
        before = list(seen.at_work.events)
        for key in "ncwsu":
            await seen.keys(key, "10.009\r", "escape")
        await seen.keys("m", "10.009\r")
        assert "one of the keys below answers" in await seen.text()
        assert seen.at_work.events == before


async def test_a_reading_is_not_taken_behind_a_page_that_hides_its_step(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        before = list(seen.at_work.events)
        for view in "kl":
            await seen.keys(view, "10.009\r")
            assert "Esc goes back to the step first" in await seen.text()
            await seen.keys("escape", "escape")
        assert seen.at_work.events == before


async def test_no_act_is_done_behind_a_page_that_hides_its_step(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    acts = [*measured(), StartPass(("Face", "F1/L"))]
    async with resumed(a_job(tmp_path / "41.db", clock, *acts), clock) as seen:
        before = list(seen.at_work.events)
        await seen.keys("l", " ")
        assert "does nothing here" in await seen.text()
        assert seen.at_work.events == before
        await seen.keys("escape", " ")
        assert len(seen.at_work.events) > len(before)


async def test_a_held_key_makes_one_tick_however_slow_the_disk_is(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    class OnASlowDisk(AtWork):
        def act(self, intent: object, pin: str = "") -> Outcome:
            outcome = super().act(intent, pin)  # type: ignore[arg-type]
            clock.run(timedelta(seconds=3))
            return outcome

    async with resumed(a_job(tmp_path / "41.db", clock, *measured()[:2]), clock) as seen:
        seen.at_work.__class__ = OnASlowDisk
        await seen.burst(" " * 90)
        assert sum(isinstance(one, TickMade) for one in seen.at_work.events) == 1
        await seen.keys(" ")
        assert sum(isinstance(one, TickMade) for one in seen.at_work.events) == 2


async def test_enter_held_down_enters_nothing(tmp_path: Path, clock: SimulatedClock) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        before = list(seen.at_work.events)
        await seen.burst("\r" * 90)
        await seen.keys("n")
        await seen.burst("\r" * 90)
        assert seen.at_work.events == before


async def test_a_name_typed_where_letters_are_keys_does_nothing(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("play")), clock) as seen:
        before = list(seen.at_work.events)
        # A refused a is followed by m, which would ask why the bore is measured again, and the rest would be the reason.
        for name in ("Tam Oakley", "Amanda"):
            await seen.keys(f"{name}\r")
            assert "that looked like a text" in await seen.text()
            assert seen.at_work.events == before and seen.line == ""
        await seen.keys("m", "a", "the gauge was tilted\r")
        assert len(seen.at_work.events) > len(before)


async def test_an_implausible_reading_is_typed_twice_and_a_held_enter_does_not_do_it(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        await seen.burst("12.009" + "\r" * 30)
        assert typed(seen) == ["10.000"]
        assert "Type it again if it is so" in await seen.words()
        await seen.burst("12.009\r")
        assert typed(seen) == ["10.000", "12.009"]


async def test_what_the_disk_refuses_is_said_with_its_reading_and_kept_when_the_disk_takes_it(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    path = tmp_path / "41.db"
    async with resumed(a_job(path, clock, *measured("bore")), clock) as seen:
        with a_full_disk():
            await seen.burst("10.009\r")
        shown = await seen.text()
        assert "NOT KEPT: 10.009" in shown
        assert "kept  " not in shown and ">?" in shown
        assert readings(path) == ["10.000"]
        # Neither another reading nor any key takes that from view.
        await seen.burst("10.010\r", "7", "up")
        await seen.keys("s", " ")
        shown = await seen.text()
        assert "NOT KEPT: 10.009" in shown and seen.line == ""
        assert readings(path) == ["10.000"]
        await seen.keys("r")
        assert "kept  bore 1 10.009 mm" in await seen.text()
        assert readings(path) == ["10.000", "10.009"]
        await seen.burst("10.010\r")
        assert readings(path)[-1] == "10.010"


async def test_an_answer_that_the_disk_refuses_leaves_the_key_that_tries_again(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    path = tmp_path / "41.db"
    async with resumed(a_job(path, clock, *measured("bore")), clock) as seen:
        with a_full_disk():
            await seen.keys("c", "no gauge fits\r")
        assert "NOT KEPT: cannot measure, no gauge fits" in await seen.text()
        await seen.keys("r")
        stop = read_job(path).state.at(A).stop
        assert stop and stop.because == "no gauge fits"


async def test_a_job_can_be_left_without_what_is_not_kept_by_two_keys(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    path = tmp_path / "41.db"
    async with resumed(a_job(path, clock, *measured("bore")), clock) as seen:
        with a_full_disk():
            await seen.burst("10.009\r")
        await seen.keys("x", "q", "q")
        assert "press x to leave without it" in await seen.text()
        await seen.keys("x")
        assert "Procedures to start" in await seen.text()
    AtWork.resume(path, clock).close()


async def test_a_job_that_somebody_else_wrote_to_takes_nothing_more_and_can_be_left(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    path = tmp_path / "41.db"
    async with resumed(a_job(path, clock, *measured("bore")), clock) as seen:
        (tmp_path / "41.lock").unlink()
        with AtWork.resume(path, clock) as other:
            assert not isinstance(other.act(Stop("cannot measure", "no gauge fits")), NotKept)
        await seen.burst("10.009\r")
        assert "NOT KEPT: 10.009" in await seen.text()
        await seen.keys("r")
        assert "somebody else wrote to it" in await seen.words()
        await seen.keys("q", "x")
        assert "Procedures to start" in await seen.text()


async def test_text_typed_in_a_window_too_small_is_not_on_the_line_later(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        await seen.pilot.resize_terminal(40, 10)
        await seen.burst("10.009\r", " ", "n")
        assert "40 columns by 10 rows" in await seen.words()
        await seen.pilot.resize_terminal(80, 24)
        assert seen.line == ""
        assert typed(seen) == ["10.000"]
        await seen.burst("10.009\r")
        assert typed(seen) == ["10.000", "10.009"]


async def test_a_click_beside_the_entry_line_does_not_take_the_keys_away(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        await seen.pilot.click(offset=(10, 8))
        await seen.burst("10.009\r")
        assert typed(seen)[-1] == "10.009"


async def test_a_question_that_keys_answer_says_so_to_a_gauge_on_the_bench(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with bench(tmp_path, clock) as seen:
        await seen.keys(" ", "41\r", "Ada Fitch\r", "42.5\r")
        assert "one of the keys below answers" in await seen.text()
        assert list(tmp_path.iterdir()) == []
