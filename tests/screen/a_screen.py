"""The application without a terminal: keys go in as one burst, and what is drawn comes back as text."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from textual import events
from textual.pilot import Pilot

import runner.screen
from runner.job.events import Event
from runner.job.intents import (
    Acknowledge,
    Confirm,
    ConfirmPrerequisite,
    Dispose,
    Intent,
    Release,
    Sign,
    StartPass,
    Stop,
    Tick,
    Type,
)
from runner.job.opening import Opening
from runner.job.state import PassKey
from runner.procedure.model import Procedure
from runner.screen.app import BenchApp
from runner.screen.entry import Entry
from runner.screen.job import JobScreen
from runner.screen.pulse import SHAPES
from runner.screen.signals import EVERY, Signals
from runner.screen.start import Start, TakeUp
from runner.session.at_work import AtWork, Kept
from runner.session.clock import Clock, SimulatedClock
from tests.job.a_small_procedure import procedure

FITTER, INSPECTOR = "Ada Fitch", "Ben Stone"
MORNING = datetime(2031, 3, 3, 7, 30, tzinfo=UTC)
A, B = ("Measure", "F1/A"), ("Measure", "F1/B")
GOOD = {
    "ring_size": "10.000",
    "bore gauge": "10.000",
    "bore": "10.009 10.010 10.011",
    "play": "0.01",
    "wall": "4.01 4.02 4.03 4.04",
}
"""What is typed at hole A of a frame when all is well, in the order in which it is asked for."""
_NAMES = {
    "\r": "enter", "\n": "ctrl+j", "\t": "tab", " ": "space", ".": "full_stop", ",": "comma", "-": "minus", "/": "slash",
    "[": "left_square_bracket", "]": "right_square_bracket", "'": "apostrophe",
}  # fmt: skip
SPECIAL = (
    "escape",
    "up",
    "down",
    "pageup",
    "pagedown",
    "backspace",
    "left",
    "right",
    "home",
    *(f"f{number}" for number in range(2, 13)),
    "delete",
)


def a_job(
    path: Path,
    clock: Clock,
    *acts: Intent | timedelta,
    of: Procedure | None = None,
    level: str = "frame",
    named: Sequence[str] = ("F1",),
    alone: bool = False,
    invented: bool = False,
    ready: bool = True,
    rehearsal: bool = False,
) -> AtWork:
    """A job on the small frame, open for work, its prerequisites confirmed, these acts done and times gone by."""
    made = of or procedure()
    asked = Opening(path.stem, FITTER, {level: tuple(named)}, alone, invented, rehearsal=rehearsal)
    at_work = AtWork.open(path, made, asked, clock)
    if ready:
        do(at_work, *(ConfirmPrerequisite(at) for at in range(1, len(made.prerequisites) + 1)))
    for act in acts:
        if isinstance(act, timedelta):
            assert isinstance(clock, SimulatedClock)
            clock.run(act)
        else:
            do(at_work, act)
    return at_work


def do(at_work: AtWork, *acts: Intent) -> list[Event]:
    """The events of acts that are all kept."""
    made: list[Event] = []
    for act in acts:
        outcome = at_work.act(act)
        assert isinstance(outcome, Kept), outcome
        made += outcome.events
    return made


def measured(upto: str = "", key: PassKey = A, **typed: str) -> list[Intent]:
    """The acts that measure a hole, up to before a reading or instrument."""
    said = {**GOOD, **typed}
    acts: list[Intent] = [StartPass(key), Acknowledge(), Tick(1), Tick(2)]
    for name, text in said.items():
        if name == upto:
            return acts
        acts.append(Type(text))
    return acts


def glued() -> list[Intent]:
    """One hole finished, the other scrapped, both feet faced, and the frame glued."""
    return [
        *measured(),
        Confirm(),
        Confirm(),
        Release(INSPECTOR, ("no burr left", "shim beside its hole")),
        Sign(FITTER),
        StartPass(B),
        Acknowledge(),
        Tick(1),
        Stop("nonconforming", "scored by the pin"),
        Dispose("scrap", INSPECTOR, "too deep to hone"),
        *(act for foot in "LR" for act in (StartPass(("Face", f"F1/{foot}")), Confirm())),
        StartPass(("Glue", "F1")),
        Confirm(),
    ]


def to_the_end() -> list[Intent | timedelta]:
    """Every pass on every live part done."""
    return [
        *glued(),
        StartPass(("Cure", "F1/A")),
        timedelta(hours=3),
        Confirm(),
        Confirm(),
        *(act for foot in "LR" for act in (StartPass(("Level", f"F1/{foot}")), Confirm())),
        StartPass(("Put away", "job")),
        Sign(FITTER),
    ]


class HeardApp(BenchApp):
    """The application, with what it told the terminal beside its picture."""

    CSS_PATH = Path(runner.screen.__file__).with_name("bench.tcss")
    heard: list[str]

    def write_out(self, text: str) -> None:
        self.heard = [*getattr(self, "heard", []), text]


class Seen:
    """The application while it is shown, and the keys of whoever stands before it."""

    def __init__(self, app: HeardApp, pilot: Pilot[None], clock: Clock) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock

    @property
    def heard(self) -> list[str]:
        return getattr(self.app, "heard", [])

    async def keys(self, *pressed: str) -> None:
        """Keys a second apart: names of keys, and texts typed letter by letter."""
        for one in pressed:
            self._later(1.0)
            await self.burst(one)

    async def burst(self, *pressed: str) -> None:
        """Keys in no time at all."""
        for one in pressed:
            for key in [one] if one in SPECIAL else one:
                name = _NAMES.get(key, key)
                sign = key if len(key) == 1 else None
                driver = self.app._driver
                assert driver
                driver.send_message(events.Key(name, sign))
        await self.settle()

    async def show(self, at_work: AtWork) -> None:
        """A job in memory shown as it is."""
        self.app.push_screen(JobScreen(at_work, self.app.look))
        await self.pilot.pause()

    async def settle(self) -> None:
        """Until every key so far has been acted on."""
        done = asyncio.Event()
        self.app.call_later(lambda: (self.app.focused or self.app.screen).call_later(done.set))
        await asyncio.wait_for(done.wait(), 10)

    def _later(self, seconds: float) -> None:
        if isinstance(self.clock, SimulatedClock):
            self.clock.run(timedelta(seconds=seconds))

    async def text(self) -> str:
        """What is drawn, with what differs between machines made the same."""
        await self.pilot.pause()
        strips = self.app.screen._compositor.render_strips()
        first, *others = (strip.text.rstrip() for strip in strips)
        drawn = "\n".join([first.rstrip(SHAPES).rstrip(), *others])
        return re.sub(r"head [0-9a-f]{16}", "head 0123456789abcdef", drawn)

    async def words(self) -> str:
        """What is drawn as words, wherever its lines end."""
        return " ".join((await self.text()).split())

    @property
    def line(self) -> str:
        """What stands on the entry line."""
        return self.app.screen.query_one(Entry).value

    @property
    def job_screen(self) -> JobScreen:
        screen = self.app.screen
        assert isinstance(screen, JobScreen)
        return screen

    @property
    def at_work(self) -> AtWork:
        return self.job_screen.at_work


@asynccontextmanager
async def bench(
    folder: Path,
    clock: Clock,
    start: Start | None = None,
    *,
    size: tuple[int, int] = (80, 24),
    colour: bool = True,
    signals: Signals = EVERY,
    pulse: Clock | None = None,
) -> AsyncIterator[Seen]:
    """The bench of a folder of jobs, shown. Its pulse stands still with its clock, so that no busy machine makes it late."""
    still = pulse or SimulatedClock(MORNING)
    app = HeardApp(folder, clock, start, colour=colour, signals=signals, pulse=still)
    async with app.run_test(size=size) as pilot:
        seen = Seen(app, pilot, clock)
        await pilot.pause()
        yield seen
        if isinstance(app.screen, JobScreen):
            app.screen.at_work.close()


@asynccontextmanager
async def resumed(
    at_work: AtWork,
    clock: Clock,
    *,
    size: tuple[int, int] = (80, 24),
    colour: bool = True,
    signals: Signals = EVERY,
    pulse: Clock | None = None,
) -> AsyncIterator[Seen]:
    """A job put down and taken up again on the screen by who worked on it."""
    start = TakeUp(at_work.path, at_work.state.person)
    at_work.close()
    folder = at_work.path.parent
    async with bench(folder, clock, start, size=size, colour=colour, signals=signals, pulse=pulse) as seen:
        yield seen
