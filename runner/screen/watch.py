"""The watch: one screen over every open job of a folder, which writes nothing, and whose silence is its own."""

from __future__ import annotations

import asyncio
from pathlib import Path

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from runner.screen.door import content
from runner.screen.hints import laid
from runner.screen.look import Look
from runner.screen.pulse import Pulse, guard
from runner.screen.rows import EMPTY, Row, wrapped
from runner.screen.signals import Caller
from runner.screen.watching import bar, page
from runner.session.clock import Clock, zone_here, zone_of
from runner.session.watched import Timer, Watched, timers

_SCROLLING = {"up": -1, "down": 1, "pageup": -8, "pagedown": 8}
_LEAVING = ("q", "f9")
Sounding = tuple[str, object]
"""A job's number and one of its alarms."""


class WatchScreen(Screen[None]):
    """Every running timer, soonest first. An alarm is answered in the job's own window; here it is only made silent."""

    def __init__(self, folder: Path, clock: Clock, look: Look) -> None:
        super().__init__()
        self.folder, self.clock, self.look = folder, clock, look
        self.watched, self.zone = Watched(folder), zone_of(zone_here())
        self.pulse = Pulse(look.clock)
        self.caller = Caller(look.signals, look.write)
        self.timers: list[Timer] = []
        self.muted: set[Sounding] = set()
        self.scrolled = 0
        self.has_jobs = False
        self._drawn: dict[str, list[Row]] = {}

    def compose(self) -> ComposeResult:
        for name in ("head", "body", "hints"):
            yield Static(id=name)

    def on_mount(self) -> None:
        self.tick()
        self.ticking = self.set_interval(1.0, self.tick)
        self._guard = asyncio.create_task(guard(self.pulse, self.paint))

    def on_unmount(self) -> None:
        self._guard.cancel()
        self.caller.leave()

    def on_resize(self) -> None:
        self.paint()

    def tick(self) -> None:
        """Looks at the files that were changed, and at the clock."""
        self.pulse.beat()
        jobs = self.watched.look()
        self.has_jobs = any(not one.state.released for one in jobs)
        self.timers = timers(jobs, self.clock.now())
        self.muted &= self.sounding
        ringing = self.sounding - self.muted
        first = next((one for one in self.timers if _sounding(one) in ringing), None)
        more = f" (and {len(ringing) - 1} more)" if len(ringing) > 1 else ""
        text = f"{first.do} on {first.due.part}{more} · {first.job_words}" if first else ""
        self.caller.call(ringing, text, self.pulse.at_s)
        self.paint()

    @property
    def sounding(self) -> set[Sounding]:
        """Every alarm that nobody answered."""
        return {_sounding(one) for one in self.timers if one.alarm and not one.is_answered}

    def on_key(self, event: events.Key) -> None:
        key = event.key.lower()
        if key in _LEAVING:
            self.app.exit()
        elif key == "m":
            self.muted |= self.sounding
        elif key in _SCROLLING:
            self.scrolled += _SCROLLING[key]
        self.paint()

    # painting

    def paint(self) -> None:
        if not self.is_attached or not self.query("#body"):
            return
        width = max(40, self.size.width)
        if self.look.is_too_small(self.app.size):
            small = f"This window is {self.app.size.width} columns by {self.app.size.height} rows; the watch needs 80 by 24."
            self.put("head", wrapped(small, max(10, self.size.width - 2)))
            self.put("body", [])
            self.put("hints", [])
            return
        now = self.clock.now()
        said = self.pulse.said(width)
        head = [bar(self.folder, f"{now.utc.astimezone(self.zone):%H:%M:%S}", self.pulse.shape, width), *said]
        foot = self._foot(width)
        height = self.size.height - len(head) - 1 - len(foot)
        body, self.scrolled = page(
            self.timers, self.watched.not_read, (width, height), self.scrolled, self.has_jobs
        )
        for name, lines in (("head", head), ("body", body), ("hints", foot)):
            self.put(name, lines or [EMPTY])

    def put(self, name: str, lines: list[Row]) -> None:
        if self._drawn.get(name) != lines:
            self._drawn[name] = lines
            self.query_one(f"#{name}", Static).update(content(lines, self.look.styles))

    def _foot(self, width: int) -> list[Row]:
        loud = self.sounding - self.muted
        hints = [("m", "silence here; Tab in the job's own window answers")] if loud else []
        if self.sounding and not loud:
            hints = [("silent here", "what is new rings again")]
        return laid([*hints, ("↑ ↓", "scroll"), ("q", "leave")], width)


def _sounding(one: Timer) -> Sounding:
    return one.number, one.alarm.ref if one.alarm else None
