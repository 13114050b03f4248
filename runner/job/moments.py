"""Moments, and how long lies between two of them when clocks are set, machines restart and nobody watched.

Within one start of the machine its boot clock decides; it runs on while the machine sleeps and nobody can set it.
Over a restart only the wall clock is left: forward it is believed and the restart noted, backward it proves nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise

SLACK_S = 2.0
"""Seconds by which wall and boot clock may part before it is called a set clock."""
DRIFT = 500e-6
"""Seconds a second: how far a poor clock may drift from the other, and a network may pull it back."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in time as the machine saw it: aware UTC, seconds since boot, and which boot that was."""

    utc: datetime
    boot: float
    boot_id: str


@dataclass(frozen=True, slots=True)
class Elapsed:
    """How long, and what there is to say about it: nothing, a noted restart, or a doubt that time can't settle."""

    lasted: timedelta
    note: str = ""
    unknown: bool = False
    """Whether the clock stood behind after a restart, so that nobody knows how much longer it was."""


def hurried(moment: Moment, seconds: float) -> Moment:
    """A moment on both clocks of a rehearsal that was hurried by so much."""
    return Moment(moment.utc + timedelta(seconds=seconds), moment.boot + seconds, moment.boot_id)


def set_back(now: Moment, utc: datetime) -> Moment:
    """
    A moment that a clock of its own told, set on the bench's clocks as they run at `now`: as much before it as the two UTC
    lie apart, and never after it. Where that is before the machine was started it is as if it had run by then.
    """
    return hurried(now, min(0.0, (utc - now.utc).total_seconds()))


def same_boot(one: Moment, two: Moment) -> bool:
    return one.boot_id == two.boot_id and two.boot >= one.boot


def elapsed(start: Moment, now: Moment, marks: Sequence[Moment] = ()) -> Elapsed:
    """
    The time proved between two moments. `marks` are the last and first moments seen round each restart since the start.
    A restart adds what the wall clock went on by over it, and never so much that all together is more than the wall
    clock went on by since the start: so one that stood behind for a while, and was put right, makes no wait shorter.
    """
    seconds, restarts, behind, unknown = 0.0, 0, 0.0, False
    for before, after in pairwise([start, *marks, now]):
        if same_boot(before, after):
            seconds += after.boot - before.boot
            continue
        restarts += 1
        gap = (after.utc - before.utc).total_seconds()
        left = (after.utc - start.utc).total_seconds() - seconds
        counted = max(0.0, min(gap, left))
        uncounted = abs(gap) if gap < 0 else gap - counted
        if gap < 0 or uncounted > SLACK_S + DRIFT * seconds:
            behind = max(behind, uncounted)
        seconds += counted
        unknown = unknown or gap < -SLACK_S
    note = ""
    if behind:
        behind_words = span_words(timedelta(seconds=behind))
        note = f"the clock stood {behind_words} behind after a restart; that time is not counted"
    elif restarts:
        note = "the machine was restarted in between; that part is by its wall clock alone"
    return Elapsed(timedelta(seconds=max(0.0, seconds)), note, unknown)


def longest(start: Moment, now: Moment, marks: Sequence[Moment] = ()) -> timedelta:
    """
    The longest that can have gone by, for what must not last too long. Within one start of the machine that is what its
    boot clock says, however the wall clock was set; over a restart it is the most that either clock allows, unless that is unknown.
    """
    if all(same_boot(before, after) for before, after in pairwise([start, *marks, now])):
        return timedelta(seconds=now.boot - start.boot)
    return max(elapsed(start, now, marks).lasted, now.utc - start.utc)


def clock_step(before: Moment, now: Moment) -> float:
    """By how many seconds the wall clock was set between two moments, as far as it can be told; 0 where it can't."""
    wall = (now.utc - before.utc).total_seconds()
    if not same_boot(before, now):
        return min(0.0, wall)
    boot = now.boot - before.boot
    step = wall - boot
    return step if abs(step) > SLACK_S + DRIFT * boot else 0.0


def clock_words(utc: datetime, zone: tzinfo, today: datetime) -> str:
    """A time of day as the shop's clock shows it, with the day where it is another one: '14:32', 'Thu 26 Nov 07:30'."""
    local, here = utc.astimezone(zone), today.astimezone(zone)
    return f"{local:%H:%M}" if local.date() == here.date() else f"{local:%a} {local.day} {local:%b %H:%M}"


def span_words(lasted: timedelta) -> str:
    """A length of time in words, rounded up, over an hour to the minute: '12 min 40 s', '2 h 0 min', '59 s'."""
    seconds = -(-lasted // timedelta(seconds=1)) if lasted > timedelta(0) else 0
    if seconds > 3600:
        seconds = -(-seconds // 60) * 60
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    if hours >= 48:
        return f"{hours // 24} days {hours % 24} h"
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {left} s" if minutes else f"{left} s"


def utc_text(utc: datetime) -> str:
    """A moment as records write it: 2031-03-03T06:30:00.000000Z."""
    return utc.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def utc_from(text: str) -> datetime:
    return datetime.strptime(text, "%Y-%m-%dT%H:%M:%S.%fZ").replace(tzinfo=UTC)
