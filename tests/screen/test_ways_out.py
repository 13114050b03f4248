"""From wherever the work is blocked an honest way out is near, and leaving it again changes nothing."""

from __future__ import annotations

import resource
from datetime import timedelta
from pathlib import Path

from runner.job.intents import Acknowledge, Confirm, Intent, Release, StartPass, Tick, Type
from runner.session.clock import SimulatedClock
from tests.screen.a_screen import FITTER, INSPECTOR, MORNING, A, a_job, bench, glued, measured, resumed

SAW = ("no burr left", "shim beside its hole")
BLOCKED: dict[str, tuple[list[Intent | timedelta], tuple[str, ...]]] = {
    "a warning not yet read": ([StartPass(A)], ()),
    "ticks not made": ([StartPass(A), Acknowledge(), Tick(1)], ()),
    "a reading wanted": ([*measured("bore")], ()),
    "a reading refused": ([*measured("bore")], ("10.0o\r",)),
    "a reading asked again": ([*measured("bore"), Type("12.5")], ()),
    "a zero that failed": ([*measured("bore gauge"), Type("10.05")], ()),
    "a check not met": ([*measured("wall", play="0.06")], ()),
    "an act not done": ([*measured()], ()),
    "a hold point": ([*measured(), Confirm(), Confirm()], ()),
    "a hold point being released": ([*measured(), Confirm(), Confirm()], ("r", f"{INSPECTOR}\r", "v")),
    "a sign-off": ([*measured(), Confirm(), Confirm(), Release(INSPECTOR, SAW)], ()),
    "a signature refused": ([*measured(), Confirm(), Confirm(), Release(INSPECTOR, SAW)], ("g", "Nobody\r")),
    "a wait": ([*glued(), StartPass(("Cure", "F1/A"))], (" ",)),
    "the working in view": ([*measured("play")], ("k",)),
    "the steps in view": ([*measured("play")], ("l",)),
    "the board in view": ([*measured("play")], ("p",)),
    "which reading is taken again": ([*measured("wall")], ("m",)),
}
EXITS = {
    "n": "nonconforming on F1/A: why?",
    "c": "cannot measure on F1/A: why?",
    "w": "cannot do as written on F1/A: why?",
    "s": "Stop note: what is loose, hot or half done?",
}


async def test_from_every_blocked_state_every_way_out_asks_for_its_reason_within_three_keys(
    tmp_path: Path,
) -> None:
    clock = SimulatedClock(MORNING)
    async with bench(tmp_path / "none", clock) as seen:
        for number, (state, (acts, keys)) in enumerate(BLOCKED.items()):
            at_work = a_job(tmp_path / f"{number}.db", clock, *acts)
            before = list(at_work.events)
            await seen.show(at_work)
            for key, asks in EXITS.items():
                await seen.keys(*keys, "escape", key)
                question = seen.job_screen.question
                assert question and question.ask == asks and not question.keys, state
                await seen.keys("escape", "escape")
                assert at_work.events == before, state
            await seen.keys("c")
            assert EXITS["c"] in await seen.words(), state
            await seen.keys("no gauge fits\r")
            assert at_work.state.at(at_work.state.in_hand or A).stop, state
            await seen.keys("q")
            await seen.settle()


async def test_a_job_is_suspended_from_where_no_part_is_in_hand(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    async with resumed(a_job(tmp_path / "41.db", clock), clock) as seen:
        await seen.keys("f4", "the oven is on\r")
        assert seen.at_work.state.suspended
        await seen.keys("t", "f2", "Eve Marsh\r")
        assert seen.at_work.state.person == "Eve Marsh"
        await seen.keys("f9")
        assert "Procedures to start" in await seen.text()


async def test_a_job_is_suspended_before_its_prerequisites_are_so(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    async with resumed(a_job(tmp_path / "41.db", clock, ready=False), clock) as seen:
        await seen.keys("s", "the gauges are cold\r")
        assert seen.at_work.state.suspended


async def test_without_colour_every_state_is_a_word_or_a_sign(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    acts: list[Intent | timedelta] = [*glued(), StartPass(("Cure", "F1/A")), timedelta(hours=3), Confirm()]
    async with resumed(a_job(tmp_path / "41.db", clock, *acts), clock, size=(120, 40), colour=False) as seen:
        await seen.keys("c", "no mallet\r", "p")
        drawn = await seen.text()
        for state in ("✓ done", "! held", "· not started", "× scrapped"):
            assert state in drawn
        for strip in seen.app.screen._compositor.render_strips():
            for segment in strip:
                for colour in (segment.style.color, segment.style.bgcolor) if segment.style else ():
                    assert colour is None or colour.is_default, segment


async def test_hundreds_of_keys_leave_no_memory_behind(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    mixed = (
        "k",
        "down",
        "escape",
        "l",
        "escape",
        "p",
        "up",
        "escape",
        "n",
        "escape",
        "10.0o\r",
        "backspace",
        "x",
        "escape",
    )
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("bore")), clock) as seen:
        before = list(seen.at_work.events)

        async def rounds(count: int) -> int:
            for _ in range(count):
                for key in mixed:
                    clock.run(timedelta(seconds=1))
                    await seen.burst(key)
            return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss

        warm = await rounds(10)
        assert await rounds(33) - warm < 4_000, "kilobytes"
        assert seen.at_work.events == before
        assert FITTER in await seen.text()
