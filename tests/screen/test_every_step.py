"""Every sort of step by its keys, and a hold point whose reader must not see what was read before."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

from runner.job.events import HoldReleased, StepSkipped, WitnessPassed
from runner.job.intents import Confirm, MeasureAgain, StartPass
from runner.session.clock import SimulatedClock
from tests.screen.a_screen import FITTER, INSPECTOR, Seen, resumed
from tests.screen.a_whole_procedure import HOLE, a_block, bored

Look = Callable[[Seen, str], Awaitable[None]]


async def test_each_further_kind_of_step(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, StartPass(HOLE)), clock) as seen:
        await look(seen, "whole-warning")
        await seen.keys("a", "x", f"{FITTER}\r", "it is clean\r")
        assert any(isinstance(one, StepSkipped) for one in seen.at_work.events)
        await seen.keys("10.000\r", "10.009 10.010 10.011\r")
        await look(seen, "whole-choose")
        await seen.keys("a")
        await look(seen, "whole-write")
        await seen.keys("n burrs, none left\r")
        await look(seen, "whole-witness")
        await seen.keys("e")
        await look(seen, "whole-witness-called")
        clock.run(timedelta(minutes=16))
        await seen.keys("escape")
        await look(seen, "whole-witness-over")
        await seen.keys(" ")
        assert [one.by for one in seen.at_work.events if isinstance(one, WitnessPassed)] == [""]
        await look(seen, "whole-hold-blind")
        await seen.keys("l")
        await look(seen, "whole-steps")
        await seen.keys("escape", "r", f"{INSPECTOR}\r", "v", "10.009\r")
        await look(seen, "whole-second-reading")


async def test_a_choice_takes_one_letter_and_nothing_is_picked_beforehand(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored("finish")), clock) as seen:
        before = len(seen.at_work.events)
        await seen.keys("\r", " ", "10.009\r")
        assert len(seen.at_work.events) == before
        assert "a d e  one of these is wanted" in await seen.text()
        await seen.keys("escape", "d")
        assert seen.at_work.state.known[("K1/A", "finish")].answer == "dull"


async def test_a_text_may_begin_with_any_letter_and_the_exits_are_on_function_keys(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored("remark")), clock) as seen:
        for key, asks in (("f6", "cannot measure"), ("f7", "cannot do as written"), ("f8", "nonconforming")):
            await seen.keys(key)
            assert f"{asks} on K1/A: why?" in await seen.words()
            await seen.keys("escape")
        await seen.keys("no more to say\r")
        assert seen.at_work.state.known[("K1/A", "remark")].answer == "no more to say"
        assert seen.at_work.state.at(HOLE).stop is None


async def test_a_witness_is_called_by_a_key_and_attends_by_name(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    async with resumed(a_block(tmp_path / "41.db", clock, *bored("witness")), clock) as seen:
        await seen.keys("e", " ")
        assert "left to come; the work may go on at 07:45" in await seen.words()
        await seen.keys("g", f"{FITTER}\r")
        assert "has entries in this pass" in await seen.words()
        await seen.keys("escape", "g", f"{INSPECTOR}\r")
        assert [one.by for one in seen.at_work.events if isinstance(one, WitnessPassed)] == [INSPECTOR]


async def test_whoever_releases_sees_neither_the_first_reading_nor_anything_worked_from_it(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    odd = "10.0131 10.0132 10.0133"
    at_work = a_block(tmp_path / "41.db", clock, *bored(bore=odd))
    clock.run(timedelta(minutes=16))
    assert at_work.act(Confirm())
    secrets = ("10.013", "10.0131", "0.0132", "0.25")

    async def blind(seen: Seen, *keys: str) -> None:
        await seen.keys(*keys)
        drawn = await seen.text()
        assert not [one for one in secrets if one in drawn], drawn

    async with resumed(at_work, clock, size=(160, 50)) as seen:
        await blind(seen)
        await blind(seen, "k")
        await blind(seen, "escape", "l")
        await blind(seen, "escape", "p")
        await blind(seen, "escape", "h", "read it yourself\r")
        await blind(seen, "t", f"{INSPECTOR}\r")
        await blind(seen, "s", "noon\r")
        await blind(seen, "t")
        await blind(seen, "r", "Eve Marsh\r")
        await blind(seen, "v", "10.0140 10.0141\r")
        await blind(seen, "escape", "b", "a")
        await seen.keys("escape", "r", "Eve Marsh\r", "v")
        for one in ("10.0110", "10.0111 10.0112"):
            await blind(seen, f"{one}\r")
        await seen.keys("release\r")
        [released] = [one for one in seen.at_work.events if isinstance(one, HoldReleased)]
        assert released.second == ("10.0110", "10.0111", "10.0112")
        await seen.keys("l")
        assert "10.013 mm" in await seen.text()


async def test_a_second_reading_far_from_the_first_leaves_the_pass_standing_with_its_ways_on(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock, *bored())
    clock.run(timedelta(minutes=16))
    at_work.act(Confirm())
    async with resumed(at_work, clock) as seen:
        await seen.keys("r", f"{INSPECTOR}\r", "v", "10.019 10.019 10.019\r", "release\r")
        await look(seen, "whole-read-otherwise")
        await seen.keys("m", "the gauge was dirty\r")
        assert "Bore, three places round" in await seen.text()


async def test_a_block_that_is_not_done_says_why_and_a_step_out_of_date_says_what_closes_it(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = a_block(tmp_path / "41.db", clock, *bored())
    clock.run(timedelta(minutes=16))
    at_work.act(Confirm())
    at_work.act(MeasureAgain("bore", "the gauge was tilted"))
    async with resumed(at_work, clock) as seen:
        await seen.keys("l")
        await look(seen, "whole-steps-out-of-date")
        await seen.keys("escape", "10.017 10.017 10.018\r")
        await look(seen, "whole-block-opened")
        await seen.keys(" ")
        await look(seen, "whole-witness-out-of-date")
