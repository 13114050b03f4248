"""Alarms on the job's own screen: large, in words and a sign, heard until answered by one key; and a screen that stalled."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job import events as e
from runner.job.intents import Confirm, Intent, StartPass, Suspend
from runner.screen.pulse import LATE_S, LOOKED_AT_S, SHAPES, Pulse, guard
from runner.screen.signals import Caller, Signals, signals
from runner.session.at_work import AtWork
from runner.session.clock import SimulatedClock
from runner.session.faults import RunnerError
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.screen.a_screen import MORNING, Seen, a_job, do, glued, resumed

Look = Callable[[Seen, str], Awaitable[None]]
FRAMES = [f"F{number}" for number in range(1, 10)]


def oven(path: Path, clock: SimulatedClock, *acts: Intent | timedelta) -> AtWork:
    return a_job(path, clock, *acts, of=procedure(OVEN), named=FRAMES, ready=False)


def cleaned(frame: str = "F1") -> list[Intent]:
    return [StartPass(("Coat", frame)), Confirm()]


def tick(seen: Seen) -> None:
    """A second's worth of the screen's own ticks."""
    for _ in range(10):
        seen.job_screen.tick()


def bells(seen: Seen) -> int:
    return seen.heard.count("\a")


def titles(seen: Seen) -> list[str]:
    return [one[4:-1] for one in seen.heard if one.startswith("\x1b]2;")]


# seen


async def test_an_alarm_stands_large_over_the_page_until_it_is_answered_and_then_small(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned(), *cleaned("F2"))
    do(at_work, StartPass(("Skim", "F3")))
    clock.run(timedelta(minutes=51))
    async with resumed(at_work, clock) as seen:
        tick(seen)
        await look(seen, "alarm-large")
        await seen.keys("\t")
        await look(seen, "alarm-answered")
        answered = [one for one in seen.at_work.events if isinstance(one, e.AlarmAnswered)]
        assert len(answered) == 1 and answered[0].who == "Ada Fitch"


async def test_eight_timers_within_a_minute_are_one_alarm_on_the_screen(
    tmp_path: Path, clock: SimulatedClock, look: Look
) -> None:
    at_work = oven(tmp_path / "41.db", clock)
    for frame in FRAMES[:8]:
        do(at_work, *cleaned(frame))
        clock.run(timedelta(seconds=7))
    do(at_work, StartPass(("Skim", "F9")))
    clock.run(timedelta(minutes=50))
    async with resumed(at_work, clock) as seen:
        tick(seen)
        await look(seen, "alarm-eight")
        assert bells(seen) == 1
        assert len([one for one in seen.at_work.events if isinstance(one, e.AlarmRaised)]) == 1


async def test_without_colour_an_alarm_is_a_word_and_a_sign(tmp_path: Path, clock: SimulatedClock) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned())
    clock.run(timedelta(minutes=55))
    async with resumed(at_work, clock, colour=False) as seen:
        tick(seen)
        assert "▲ ALARM" in await seen.words()
        await seen.keys("\t")
        assert "△ answered Coat it on F1: 4 min 59 s left" in await seen.words()


async def test_an_alarm_while_the_job_is_suspended_is_in_view_and_answered(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned(), Suspend("lunch"))
    clock.run(timedelta(minutes=55))
    async with resumed(at_work, clock) as seen:
        tick(seen)
        assert "▲ ALARM" in await seen.words()
        await seen.keys("\t")
        assert "△ answered" in await seen.words() and seen.at_work.state.suspended


# answered by one key, whatever is open


async def test_the_answering_key_leaves_a_question_and_what_was_typed_as_they_were(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned(), StartPass(("Skim", "F2")))
    clock.run(timedelta(minutes=49))
    async with resumed(at_work, clock) as seen:
        await seen.keys("s", "the lathe ru")
        clock.run(timedelta(minutes=2))
        tick(seen)
        assert seen.line == "the lathe ru" and "▲ ALARM" in await seen.words()
        await seen.keys("ns\r")
        assert seen.at_work.state.suspended and "▲ ALARM" in await seen.words()
        await seen.keys("t", "s", "\t")
        assert "△ answered" in await seen.words(), "a question that wants a text does not hinder it"
        assert "? Stop note" in await seen.words()


async def test_the_answering_key_hands_over_what_is_typed_as_it_always_did(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned(), StartPass(("Skim", "F2")))
    clock.run(timedelta(minutes=51))
    async with resumed(at_work, clock) as seen:
        tick(seen)
        await seen.keys("0.1\t")
        assert isinstance(seen.at_work.events[-1], e.ReadingTaken | e.TotalGrew)
        assert "▲ ALARM" in await seen.words()
        count = len(seen.at_work.events)
        await seen.keys("\t", "\t", "\t")
        assert len(seen.at_work.events) == count + 1, "answered once"


async def test_an_alarm_is_answered_on_the_board_too(tmp_path: Path, clock: SimulatedClock) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned())
    clock.run(timedelta(minutes=51))
    async with resumed(at_work, clock) as seen:
        tick(seen)
        await seen.keys("p", "\t")
        assert "△ answered" in await seen.words() and "Which part is in your hand" in await seen.words()


# heard


async def test_the_bell_rings_again_each_half_minute_until_somebody_answers(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned())
    clock.run(timedelta(minutes=51))
    pulse = SimulatedClock(MORNING)
    async with resumed(at_work, clock, pulse=pulse) as seen:
        tick(seen)
        assert bells(seen) == 1 and titles(seen)[-1] == "▲ Coat it on F1 · job 41"
        for _ in range(29):
            pulse.run(timedelta(seconds=1))
            tick(seen)
        assert bells(seen) == 1
        pulse.run(timedelta(seconds=1))
        tick(seen)
        assert bells(seen) == 2
        await seen.keys("\t")
        pulse.run(timedelta(minutes=5))
        tick(seen)
        assert bells(seen) == 2 and titles(seen)[-1] == "benchhand"
        clock.run(timedelta(minutes=10))
        tick(seen)
        assert bells(seen) == 3, "that it was missed is new"


async def test_a_wait_that_is_merely_over_sounds_once(tmp_path: Path, clock: SimulatedClock) -> None:
    at_work = a_job(tmp_path / "41.db", clock, *glued(), StartPass(("Cure", "F1/A")))
    pulse = SimulatedClock(MORNING)
    clock.run(timedelta(hours=2) - timedelta(seconds=5))
    async with resumed(at_work, clock, pulse=pulse) as seen:
        tick(seen)
        assert bells(seen) == 0
        clock.run(timedelta(seconds=6))
        tick(seen)
        assert bells(seen) == 1 and "○ NOTICE go on, cured is over on F1/A" in await seen.words()
        pulse.run(timedelta(minutes=5))
        clock.run(timedelta(minutes=5))
        tick(seen)
        assert bells(seen) == 1 and "NOTICE" not in await seen.words() and titles(seen) == []


async def test_bell_and_title_can_be_turned_off_and_the_screen_alone_tells(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    at_work = oven(tmp_path / "41.db", clock, *cleaned())
    clock.run(timedelta(minutes=51))
    async with resumed(at_work, clock, signals=Signals(bell=False, title=False)) as seen:
        tick(seen)
        assert seen.heard == [] and "▲ ALARM" in await seen.words()


def called(used: Signals, text: str) -> list[str]:
    written: list[str] = []
    Caller(used, written.append).call(["one"], text, 0.0)
    return written


@pytest.mark.parametrize("kind", ["osc9", "osc777"])
def test_the_desktop_is_told_once_and_only_where_it_is_asked_for(kind: str) -> None:
    written: list[str] = []
    caller = Caller(Signals(bell=False, title=False, notify=kind), written.append)
    for at in range(120):
        caller.call(["one"], "read; again", at)
    told = {"osc9": "\x1b]9;read; again\a", "osc777": "\x1b]777;notify;benchhand;read, again\a"}
    assert written == [told[kind]]
    assert called(Signals(bell=False, title=False), "read again") == []


@pytest.mark.parametrize(
    "text", ["F1\x07\x1b]0;gone", "F1\x1b[2J", "\x9b31m\x9c", "a\u202eb\x00c", "a\nb\rc", "F1\x1b\\"]
)
def test_a_hostile_name_in_a_title_tells_the_terminal_nothing(text: str) -> None:
    for written in called(Signals(notify="osc777"), text):
        inside = written.removeprefix("\x1b]2;").removeprefix("\x1b]777;").removesuffix("\a")
        assert not any(sign < " " or "\x7f" <= sign <= "\x9f" for sign in inside), repr(written)


def test_a_title_is_of_a_length_that_every_terminal_takes() -> None:
    assert max(map(len, called(Signals(), "x" * 5000))) < 140


def test_nothing_sounds_while_hands_are_busy_and_what_is_new_sounds_after() -> None:
    written: list[str] = []
    caller = Caller(Signals(title=False), written.append)
    caller.call(["one"], "read", 0.0, hush=True)
    assert written == []
    caller.call(["one"], "read", 20.0)
    assert written == ["\a"]


@pytest.mark.parametrize(
    ("environ", "options", "used"),
    [
        ({}, {}, Signals()),
        ({"BENCHHAND_BELL": "off"}, {}, Signals(bell=False)),
        ({"BENCHHAND_TITLE": "0"}, {}, Signals(title=False)),
        ({"BENCHHAND_NOTIFY": "OSC9"}, {}, Signals(notify="osc9")),
        ({"BENCHHAND_NOTIFY": "off"}, {}, Signals()),
        ({"BENCHHAND_NOTIFY": "osc9"}, {"notify": "osc777"}, Signals(notify="osc777")),
        ({"BENCHHAND_NOTIFY": "osc9"}, {"notify": "off"}, Signals()),
        ({}, {"no_bell": True, "no_title": True}, Signals(bell=False, title=False)),
    ],
)
def test_each_signal_is_turned_on_and_off_by_an_option_or_the_environment(
    environ: dict[str, str], options: dict[str, object], used: Signals
) -> None:
    assert signals(environ, **options) == used  # type: ignore[arg-type]


def test_a_notification_that_is_none_is_said() -> None:
    with pytest.raises(RunnerError) as told:
        signals({"BENCHHAND_NOTIFY": "loud"})
    assert told.value.what == "'loud' is no notification"
    assert told.value.fix == "BENCHHAND_NOTIFY is osc9, osc777 or off"


# alive


def shape(seen: Seen) -> str:
    """The sign at the end of the bar, as it is drawn."""
    drawn = seen.app.screen._compositor.render_strips()[0].text.rstrip()
    assert drawn[-1] in SHAPES
    return drawn[-1]


async def test_the_screen_shows_by_a_shape_that_it_is_alive(tmp_path: Path, clock: SimulatedClock) -> None:
    pulse = SimulatedClock(MORNING)
    async with resumed(oven(tmp_path / "41.db", clock, *cleaned()), clock, pulse=pulse) as seen:
        shapes = []
        for _ in range(4):
            pulse.run(timedelta(seconds=1))
            tick(seen)
            await seen.pilot.pause()
            shapes.append(shape(seen))
        assert len(set(shapes)) == 4
        seen.job_screen.paint()
        await seen.pilot.pause()
        assert shape(seen) == shapes[-1], "only the tick moves it"


async def test_a_dead_tick_is_said_within_five_seconds_by_another_way(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    pulse = SimulatedClock(MORNING)
    async with resumed(oven(tmp_path / "41.db", clock, *cleaned()), clock, pulse=pulse) as seen:
        seen.job_screen.ticking.stop()
        pulse.run(timedelta(seconds=3.5))
        assert seen.job_screen.ringing.pulse.is_dead
        await seen.keys("x")
        assert "✗ STALLED this screen's clock has stood still for 4 s: no alarm comes" in await seen.words()
        pulse.run(timedelta(seconds=7))
        tick(seen)
        assert "stood still for 11 s and goes on; alarms may have come late" in await seen.words()
        for _ in range(30):
            pulse.run(timedelta(seconds=2))
            tick(seen)
        assert "STALLED" not in await seen.words()


async def test_a_dead_tick_is_seen_without_a_key_and_without_the_tick() -> None:
    clock = SimulatedClock(MORNING)
    pulse, said = Pulse(clock), asyncio.Event()
    looking = asyncio.create_task(guard(pulse, said.set, every_s=0.0))
    for _ in range(100):
        await asyncio.sleep(0)
    assert not said.is_set()
    clock.run(timedelta(seconds=LATE_S + 0.1))
    await asyncio.wait_for(said.wait(), 10)
    looking.cancel()
    assert LATE_S + LOOKED_AT_S < 5
