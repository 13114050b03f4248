"""What the screen's tests share: a clock that stands, and looks at two sizes."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import pytest

from runner.session.clock import SimulatedClock
from tests.screen.a_screen import MORNING, Seen

SIZES = ((120, 40), (80, 24))
Look = Callable[[Seen, str], Awaitable[None]]


@pytest.fixture
def clock() -> SimulatedClock:
    return SimulatedClock(MORNING)


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
