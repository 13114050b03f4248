"""The machine's clock, and a simulated one for dry runs. The only places where time is asked for."""

from __future__ import annotations

import os
import re
import time
import uuid
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from typing import Protocol
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from runner.job.moments import Moment

_THIS_PROCESS = uuid.uuid4().hex
"""Stands for the boot's identity on machines that don't tell it: then each start counts as a restart."""


class Clock(Protocol):
    def now(self) -> Moment: ...


class MachineClock:
    """UTC from the wall clock, seconds since boot from a clock that nobody can set and that runs while asleep."""

    def __init__(self) -> None:
        self.boot_id = _boot_id()

    def now(self) -> Moment:
        return Moment(datetime.now(UTC), _since_boot(), self.boot_id)


class SimulatedClock:
    """A clock that runs only when it is told to. Never used on a job with real parts."""

    def __init__(self, start: datetime) -> None:
        self._at = start.astimezone(UTC)
        self._since_boot = timedelta(0)
        self._boots = 1
        self.lasted = timedelta(0)
        """How much time has gone by in all, however the clock was set."""

    def now(self) -> Moment:
        boot_id = "simulated" if self._boots == 1 else f"simulated {self._boots}"
        return Moment(self._at, self._since_boot.total_seconds(), boot_id)

    def run(self, lasted: timedelta) -> None:
        lasted = max(lasted, timedelta(0))
        self._at += lasted
        self._since_boot += lasted
        self.lasted += lasted

    def run_to(self, at: datetime) -> None:
        self.run(at.astimezone(UTC) - self._at)

    def set(self, by: timedelta) -> None:
        """The wall clock is set, forward or back; how long the machine runs is not."""
        self._at += by

    def restart(self, lasted: timedelta) -> None:
        """The machine was off for so long, and begins to count anew."""
        lasted = max(lasted, timedelta(0))
        self._at += lasted
        self.lasted += lasted
        self._since_boot = timedelta(0)
        self._boots += 1


def _since_boot() -> float:
    boot_clock = getattr(time, "CLOCK_BOOTTIME", None)
    return time.clock_gettime(boot_clock) if boot_clock is not None else time.monotonic()


def _boot_id() -> str:
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        return _THIS_PROCESS


def zone_here() -> str:
    """The machine's zone by its name, or its present offset as 'UTC+01:00' where it has no name."""
    name = os.environ.get("TZ", "").lstrip(":")
    if not name:
        link = os.path.realpath("/etc/localtime")
        name = link.partition("zoneinfo/")[2]
    if name and _named(name):
        return name
    offset = datetime.now().astimezone().strftime("%z")
    return f"UTC{offset[:3]}:{offset[3:5]}"


def zone_of(name: str) -> tzinfo:
    """The zone that a job fixed at its opening; UTC where this machine doesn't know it."""
    return _fixed(name) or _named(name) or UTC


def is_zone(name: str) -> bool:
    """Whether this machine knows a zone by that name."""
    return bool(_fixed(name) or _named(name))


def _fixed(name: str) -> tzinfo | None:
    fixed = re.fullmatch(r"UTC([+-])([01]\d|2[0-3]):([0-5]\d)", name, re.ASCII)
    if not fixed:
        return None
    lasted = timedelta(hours=int(fixed[2]), minutes=int(fixed[3]))
    return timezone(-lasted if fixed[1] == "-" else lasted)


def _named(name: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None
