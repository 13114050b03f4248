"""Alarms as rows: the most pressing one in letters that are read from two metres, the others in a line each. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil, floor

from runner.job.alarms import Alarm, group_words, words
from runner.job.events import AlarmRef
from runner.job.job import Job
from runner.job.moments import Moment
from runner.screen.big import big, big_width
from runner.screen.rows import Row, cut, row, spread, wrapped

KEY, KEY_WORD = "tab", "Tab"
"""The key that answers, everywhere: where letters are a text it is none, and no gauge sends it by itself."""
_LINES = 3
"""Lines for what was answered, and notices, at most."""
_BAND = "warning"


def strip(
    job: Job,
    found: Sequence[Alarm],
    answered: Mapping[AlarmRef, bool],
    now: Moment,
    width: int,
    *,
    is_small: bool = False,
) -> list[Row]:
    """
    What stands, between the head and the page: what nobody answered yet large, or in one line where `is_small`; what was
    answered stays below it, a line each.
    """
    ringing = [one for one in found if not answered.get(one.ref)]
    heard = [one for one in found if answered.get(one.ref)]
    lines: list[Row] = []
    if ringing and is_small:
        told = cut(f" ▲ ALARM  {group_words(job, ringing, now)}", width - len(KEY_WORD) - 10)
        lines = [[(text, _BAND) for text, _ in spread(row(told), row(f"{KEY_WORD} answers "), width)]]
    elif ringing:
        lines = [*_large(ringing, width), *wrapped(group_words(job, ringing, now), width, "bad")[:2]]
    shown = heard if len(heard) <= _LINES else heard[: _LINES - 1]
    lines += [row(("△ answered  ", "mark"), " ", cut(words(job, one, now), width - 14)) for one in shown]
    if len(shown) < len(heard):
        lines.append(row(f"△ and {len(heard) - len(shown)} more that were answered"))
    return lines


def notice(job: Job, over: Sequence[Alarm], width: int) -> list[Row]:
    """What has just become good to know."""
    if not over:
        return []
    told = "; ".join(f"{one.do} on {one.part}" for one in over)
    return [row(("○ NOTICE ", "notice"), " ", cut(told, width - 11))]


def _large(ringing: Sequence[Alarm], width: int) -> list[Row]:
    """A band across the screen: what to do and the time left in large letters, and the key that answers."""
    text = large_words(ringing)
    lines = big(text, _BAND)
    count = f"▲ {len(ringing)} ALARMS" if len(ringing) > 1 else "▲ ALARM"
    beside = (count, f"{KEY_WORD} answers", "")
    room = width - big_width(text) - 3
    told = [f"{cut(one, room):<{room}}" if room >= len(count) else " " * max(0, room) for one in beside]
    return [
        [(" ", _BAND), *line, ("  ", _BAND), (side, _BAND)] for line, side in zip(lines, told, strict=True)
    ]


def large_words(ringing: Sequence[Alarm]) -> str:
    """What is done and how long is left, as few letters as can be: 'READ 4:12', '8 ACT 0:40', 'LET GO'."""
    kinds = {one.large for one in ringing}
    word = kinds.pop() if len(kinds) == 1 else "DUE"
    first = ringing[0].left_s
    digits = "" if first is None else f" {time_words(first)}"
    return f"{f'{len(ringing)} ' if len(ringing) > 1 else ''}{word}{digits}"


def time_words(seconds: float) -> str:
    """Time left in figures, never less than there is; by how much it is over with a plus: '4:12', '2:05:09', '+0:31', '3D 4H'."""
    whole = ceil(seconds) if seconds >= 0 else floor(-seconds)
    hours, rest = divmod(whole, 3600)
    sign = "+" if seconds < 0 else ""
    if hours >= 48:
        return f"{sign}{hours // 24}D {hours % 24}H"
    if hours:
        return f"{sign}{hours}:{rest // 60:02}:{rest % 60:02}"
    return f"{sign}{rest // 60}:{rest % 60:02}"
