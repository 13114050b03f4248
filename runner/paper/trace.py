"""A soak drawn as text: what each place read against minutes, with the band, what counted, and when the door was open. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from string import ascii_uppercase

COLUMNS = 61
"""Of the drawing itself, so that a sixth of an hour or a quarter falls on a whole column."""
_MOST_ROWS = 16
_SEVERAL, _SEVERAL_OUTSIDE, _BAND, _WHOLE, _PART = "*", "!", ".", "=", "-"
_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True, slots=True)
class Sample:
    """What one place read, so many minutes after the first, in the unit of the drawing."""

    minutes: float
    place: str
    value: float


@dataclass(frozen=True, slots=True)
class Counted:
    """From one minute to another, and whether all of that counted or only a part."""

    start: float
    end: float
    whole: bool = True


@dataclass(frozen=True, slots=True)
class Trace:
    """
    One run of a soak: its samples by time, the band it was to be in (an end that is open is None), when it counted, and
    when the door was opened, in minutes.
    """

    samples: tuple[Sample, ...]
    unit: str
    low: float | None = None
    high: float | None = None
    counted: tuple[Counted, ...] = ()
    doors: tuple[float, ...] = ()

    def is_inside(self, value: float) -> bool:
        return (self.low is None or self.low <= value) and (self.high is None or value <= self.high)


def drawn(trace: Trace) -> list[str]:
    """The drawing, hottest row first, then what counted, the door, and the minutes."""
    if not trace.samples:
        return []
    last = max(
        [one.minutes for one in trace.samples] + [one.end for one in trace.counted] + list(trace.doors)
    )
    rows = _rows(trace)
    width = max(len(f"{row:g}") for row in rows)
    letters = dict(zip(_places(trace), _letters(), strict=False))
    lines = [f"{trace.unit:>{width}}"]
    for row in rows:
        cells = [_BAND if _is_band(trace, rows, row) else " "] * COLUMNS
        for sample in trace.samples:
            if _nearest(rows, sample.value) == row:
                at = _column(sample.minutes, last)
                cells[at] = _over(cells[at], letters[sample.place], trace.is_inside(sample.value))
        lines.append(f"{row:>{width}g} |{''.join(cells)}".rstrip())
    lines.append(" " * width + " +" + "-" * COLUMNS)
    lines += _beneath("counts", _counting(trace, last), width)
    lines += _beneath("door", _marked(trace.doors, last), width)
    return [*lines, " " * (width + 2) + _minutes(last)]


def key(trace: Trace) -> str:
    """What the marks of a drawing mean, in a sentence."""
    places = ", ".join(
        f"{letter} {place}" if place else letter
        for place, letter in zip(_places(trace), _letters(), strict=False)
    )
    band = (
        ""
        if (trace.low, trace.high) == (None, None)
        else f"; small letters and {_SEVERAL_OUTSIDE} outside the band of dots"
    )
    part = "" if all(one.whole for one in trace.counted) else f", {_PART} in part"
    door = "; D the door was opened" if trace.doors else ""
    return f"{places}{band}; {_SEVERAL} several; {_WHOLE} counted{part}{door}"


def _places(trace: Trace) -> list[str]:
    return list(dict.fromkeys(one.place for one in trace.samples))


def _letters() -> Iterator[str]:
    while True:
        yield from ascii_uppercase


def _rows(trace: Trace) -> list[float]:
    """Round values from the hottest to the coldest, never more than fit."""
    values = [one.value for one in trace.samples]
    values += [one for one in (trace.low, trace.high) if one is not None]
    for step in _STEPS:
        first, last = math.floor(min(values) / step), math.ceil(max(values) / step)
        if last - first < _MOST_ROWS:
            break
    return [round(number * step, 1) for number in range(last, first - 1, -1)]


def _nearest(rows: Sequence[float], value: float) -> float:
    return min(rows, key=lambda row: abs(row - value))


def _is_band(trace: Trace, rows: Sequence[float], row: float) -> bool:
    """A row in the band; where none is, the one nearest to its middle."""
    if trace.low is None and trace.high is None:
        return False
    if any(trace.is_inside(one) for one in rows):
        return trace.is_inside(row)
    ends = [one for one in (trace.low, trace.high) if one is not None]
    return row == _nearest(rows, sum(ends) / len(ends))


def _column(minutes: float, last: float) -> int:
    return round(minutes / last * (COLUMNS - 1)) if last > 0 else 0


def _over(there: str, letter: str, inside: bool) -> str:
    """The mark of a cell that holds one more reading."""
    mine = letter if inside else letter.lower()
    if there in (" ", _BAND, mine):
        return mine
    is_outside = not inside or there == _SEVERAL_OUTSIDE or there.islower()
    return _SEVERAL_OUTSIDE if is_outside else _SEVERAL


def _counting(trace: Trace, last: float) -> str:
    cells = [" "] * COLUMNS
    for one in trace.counted:
        for at in range(_column(one.start, last), _column(one.end, last) + 1):
            cells[at] = _WHOLE if one.whole else _PART
    return "".join(cells).rstrip()


def _marked(minutes: Sequence[float], last: float) -> str:
    at = {_column(one, last) for one in minutes}
    return "".join("D" if column in at else " " for column in range(COLUMNS)).rstrip()


def _beneath(title: str, marks: str, width: int) -> list[str]:
    return [f"{' ' * (width + 2)}{marks}   {title}"] if marks else []


def _minutes(last: float) -> str:
    """The axis in quarters, in minutes, with as many decimals as tell them apart."""
    if last <= 0:
        return "0 min"
    text, decimals = "", 0 if last >= 10 else 1 if last >= 1 else 2
    for quarter in range(5):
        said = f"{last * quarter / 4:.{decimals}f}" + (" min" if quarter == 4 else "")
        at = quarter * (COLUMNS - 1) // 4
        text = text.ljust(at) + said
    return text
