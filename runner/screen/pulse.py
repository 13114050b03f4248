"""Whether a screen's own tick is alive: a sign that changes with it, and a sentence where it has stood still.

Nobody may read 'no alarm' where the truth is that nothing looks at the clock any more.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import timedelta

from runner.job.moments import span_words
from runner.screen.rows import Row, wrapped
from runner.session.clock import Clock

LATE_S = 3.0
"""Seconds since the last beat after which the tick is called dead."""
LOOKED_AT_S = 1.0
"""Seconds from one look at the pulse to the next, so that a dead tick is said within five."""
_SAID_S = 60.0
"""Seconds for which it stays in view that the tick had stood still."""
SHAPES = "▘▝▗▖"
"""One after another, a beat each: a corner that goes round."""
_STEP_S = 0.9
"""Seconds after which the shape changes, so that a tick that comes oftener doesn't make it whirl."""


class Pulse:
    """The beats of one screen by a clock that nobody can set."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._last = self._turned = self._boot()
        self._turns = 0
        self._stood_s, self._stood_until = 0.0, float("-inf")

    def beat(self) -> None:
        """The tick was there."""
        now = self._boot()
        if now - self._last > LATE_S:
            self._stood_s, self._stood_until = now - self._last, now
        if now - self._turned >= _STEP_S:
            self._turns, self._turned = self._turns + 1, now
        self._last = now

    @property
    def at_s(self) -> float:
        """Seconds of its clock."""
        return self._boot()

    @property
    def shape(self) -> str:
        return SHAPES[self._turns % len(SHAPES)]

    @property
    def is_dead(self) -> bool:
        return self._boot() - self._last > LATE_S

    def said(self, width: int) -> list[Row]:
        """What is to be said of the tick; nothing where it is well."""
        now = self._boot()
        if now - self._last > LATE_S:
            lasted = span_words(timedelta(seconds=now - self._last))
            told = f"this screen's clock has stood still for {lasted}: no alarm comes from it. Look at the work; leave with q and open it again"
        elif now - self._stood_until < _SAID_S:
            lasted = span_words(timedelta(seconds=self._stood_s))
            told = f"this screen's clock stood still for {lasted} and goes on; alarms may have come late"
        else:
            return []
        lines = wrapped(told, width - 12, "bad")
        return [[("✗ ", "bad"), ("STALLED", "mark"), (" ", ""), *lines[0][1:]], *lines[1:]]

    def _boot(self) -> float:
        return self._clock.now().boot


async def guard(pulse: Pulse, repaint: Callable[[], object], every_s: float = LOOKED_AT_S) -> None:
    """Looks at the pulse by another way than the tick itself, and repaints where it is dead."""
    while True:
        await asyncio.sleep(every_s)
        if pulse.is_dead:
            repaint()


def with_shape(head: list[Row], shape: str) -> list[Row]:
    """A head whose bar ends in the shape."""
    if not head or not head[0]:
        return head
    *before, (text, style) = head[0]
    return [[*before, (text[:-1] + shape, style)], *head[1:]] if text.endswith(" ") else head
