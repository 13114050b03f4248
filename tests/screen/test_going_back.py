"""Going back: what was typed wrong, measured wrong or measured on another part, and the ways out of a failed check."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from datetime import timedelta
from pathlib import Path

from runner.job.events import AnswerCorrected, Disposed, ReadingCorrected, ReadingSuperseded, ReworkBegun
from runner.job.intents import Acknowledge, CallWitness, Confirm, Correct, Intent, Release, Sign, StartPass
from runner.job.state import PassKey
from runner.session.clock import SimulatedClock
from tests.screen.a_screen import FITTER, INSPECTOR, Seen, do, resumed
from tests.screen.a_whole_procedure import HOLE, OTHER, a_block, bored

Look = Callable[[Seen, str], Awaitable[None]]


async def test_a_slip_is_put_right_with_a_sight_of_what_goes_out_of_date(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored("witness")), clock) as seen:
        before = len(seen.at_work.events)
        await seen.keys("b")
        await look(seen, "back-what")
        await seen.keys("a")
        await look(seen, "back-which")
        await seen.keys("c")
        await look(seen, "back-point")
        await seen.keys("b", "1o.019\r")
        assert "1o.019" in seen.line
        await seen.keys("12.019\r", "two figures swapped\r")
        await look(seen, "back-implausible")
        await seen.keys("escape")
        assert len(seen.at_work.events) == before
        await seen.keys("b", "a", "c", "b", "10.019\r", "two figures swapped\r")
        await look(seen, "back-last-look")
        await seen.keys("y")
        [put_right] = [one for one in seen.at_work.events if isinstance(one, ReadingCorrected)]
        assert (put_right.point, put_right.was, put_right.typed) == ("2", "10.010", "10.019")
        await look(seen, "back-done")


async def test_an_answer_is_put_right_by_its_letter_and_what_stood_on_it_is_looked_at_again(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored()), clock) as seen:
        await seen.keys("b", "a", "b", "a", "seen in better light\r", "y")
        [put_right] = [one for one in seen.at_work.events if isinstance(one, AnswerCorrected)]
        assert (put_right.was, put_right.answer) == ("bright", "dull")


async def test_a_pass_done_before_is_reached_from_another_part_by_its_tag(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = a_block(tmp_path / "41.db", clock, *bored("witness"), StartPass(OTHER), Acknowledge())
    async with resumed(at_work, clock) as seen:
        await seen.keys("b", "b", "z", "K9\r")
        assert "nothing was entered on a part tagged 'K9'" in await seen.words()
        await seen.keys("k1/a\r", "a", "the gauge was cold\r", "y")
        again = [one for one in seen.at_work.events if isinstance(one, ReadingSuperseded)]
        assert [(one.name, one.part) for one in again] == [("bore", "K1/A")]
        assert seen.at_work.state.in_hand == HOLE


async def test_readings_taken_on_the_wrong_part_go_to_the_right_one(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored("finish")), clock) as seen:
        await seen.keys("b", "c", "a", "K1/Z\r")
        assert "no hole is tagged 'K1/Z'" in await seen.words()
        await seen.keys("K1/B\r", "the blocks lay turned round\r")
        await look(seen, "back-move")
        await seen.keys("y")
        known = seen.at_work.state.known
        assert ("K1/A", "bore") not in known and len(known[("K1/B", "bore")].points) == 3


async def test_from_a_failed_check_a_rework_is_two_keys_and_a_reason(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock, *bored("finish", bore="10.029 10.030 10.031"))
    async with resumed(at_work, clock) as seen:
        await look(seen, "whole-failed")
        drawn = await seen.text()
        assert (
            drawn.count("measure again") == drawn.count("nonconforming") == drawn.count("hone again") - 1 == 1
        )
        await seen.keys("d")
        await look(seen, "whole-decide")
        await seen.keys("a", "it was left too small\r")
        [begun] = [one for one in seen.at_work.events if isinstance(one, ReworkBegun)]
        assert (begun.title, begun.by) == ("hone again", FITTER)


async def test_a_concession_is_given_by_somebody_else_and_stands_above_every_later_page(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock, *bored("finish", bore="10.029 10.030 10.031"))
    async with resumed(at_work, clock) as seen:
        await seen.keys("n", "bored too large\r", "d", "o", f"{FITTER}\r")
        assert "has entries in this pass" in await seen.words()
        await seen.keys("escape", "d", "o", f"{INSPECTOR}\r", "the pin is made to suit\r")
        assert any(isinstance(one, Disposed) for one in seen.at_work.events)
        assert "▲ concession on bore_mean, K1/A: the pin is made to suit" in await seen.text()
        await seen.keys("a", "c", "no light here\r", "t", "a lamp is here\r")
        await seen.keys("f7", "no words for it\r", "o", "Eve Marsh\r", "left out, nothing hangs on it\r")
        await look(seen, "whole-allowed")
        await seen.keys("p")
        await look(seen, "whole-board")
        await seen.keys("K1/B\r")
        assert "▲" not in await seen.text()


async def test_a_nonconformance_that_a_correction_cleared_is_taken_up_by_a_key(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock, *bored("finish", bore="10.009 10.910 10.011"))
    async with resumed(at_work, clock) as seen:
        await seen.keys("n", "bored far too large\r")
        await seen.keys("b", "a", "a", "b", "10.010\r", "a figure was misread\r", "y")
        await look(seen, "whole-cleared")
        await seen.keys("t", "it was misread\r")
        assert not seen.at_work.state.nonconforming


async def test_a_pass_that_waits_for_something_out_of_date_elsewhere_says_for_what(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock)
    for key in (HOLE, OTHER):
        for act in finished(key, clock):
            do(at_work, act)
    do(at_work, StartPass(("Close", "K1")), Confirm())
    async with resumed(at_work, clock) as seen:
        await seen.keys("b", "b", "z", "K1/B\r", "a", "the gauge was cold\r")
        assert "Write the size" not in (await seen.words()).partition("? ")[2]
        await seen.keys("y", "p", "K1\r")
        assert "comes after 'Bore', which is out of date on K1/B" in await seen.words()
        await seen.keys("escape", "escape", "p")
        await look(seen, "whole-board-out-of-date")


def finished(key: PassKey, clock: SimulatedClock) -> Iterator[Intent]:
    """The acts that bring a hole to its end, one after another, for a witness is waited for among them."""
    yield StartPass(key)
    yield from bored()[1:]
    clock.run(timedelta(minutes=16))
    yield Confirm()
    yield Release(INSPECTOR, ("no burr left",), "10.009 10.010 10.011")
    yield Sign(FITTER)


async def test_an_act_out_of_date_is_done_again_or_still_stands_for_a_reason(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock)
    for key in (HOLE, OTHER):
        for act in finished(key, clock):
            do(at_work, act)
    do(at_work, StartPass(("Close", "K1")), Confirm(), Confirm())
    do(at_work, Correct(HOLE, "bore", "1", "10.010", "a figure was misread"))
    clock.run(timedelta(minutes=1))
    do(at_work, StartPass(HOLE), CallWitness())
    clock.run(timedelta(minutes=16))
    do(at_work, Confirm(), Release(INSPECTOR, ("no burr left",), "10.009 10.010 10.011"))
    async with resumed(at_work, clock) as seen:
        await look(seen, "whole-sign-out-of-date")
        await seen.keys("g", f"{FITTER}\r", "K1\r")
        await look(seen, "whole-act-out-of-date")
        await seen.keys("v", "the lid says the same size\r")
        assert seen.at_work.state.completed
