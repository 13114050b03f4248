"""Where a pass stands: the verdict that isn't met, or the exit that was taken, and every way on, each told once."""

from __future__ import annotations

from collections.abc import Sequence

from runner.job import events as e
from runner.paper.words import bounds
from runner.procedure.model import AgainstTheClock
from runner.screen.against_the_clock import missed
from runner.screen.big import big, big_width, huge
from runner.screen.hints import told
from runner.screen.keys import Act
from runner.screen.rows import EMPTY, Row, beside, cut, row, width_of, wrapped
from runner.screen.view import View

WIDE = 100
"""Columns from which a missed act is told in letters for the other end of the shop."""


def stopped(view: View, acts: Sequence[Act], width: int) -> list[Row]:
    assert view.key
    found = view.state.at(view.key)
    lines: list[Row] = []
    match found.failed:
        case e.CheckDecided() as failed:
            word = "NOT MET" if failed.proven else "NOT PROVEN"
            lines.append(row((f" ✗ {word} ", "mark"), (f"  {failed.name}", "strong")))
            lines += wrapped(failed.sentence, width, "bad")
            bar = limit_bar(failed, 40)
            lines += [*([[(bar, ""), (f"  {_limits(failed)}", "dim")]] if bar else []), EMPTY]
        case e.NotWorked(sentence=sentence):
            lines += [row((" ✗ CAN'T BE WORKED OUT ", "mark")), *wrapped(sentence, width, "bad"), EMPTY]
        case e.SoakStopped(sentence=sentence) | e.TotalOver(sentence=sentence):
            lines += [row((" ✗ STOPPED ", "mark")), *wrapped(sentence, width, "bad"), EMPTY]
        case e.ClockStopped() as stopped_at:
            lines += [*_clock(view, stopped_at, width), EMPTY]
        case e.SecondReadingDisagrees() as failed:
            lines.append(
                row((" ✗ READ OTHERWISE ", "mark"), (f"  '{failed.title}' is not released", "strong"))
            )
            lines += wrapped(failed.sentence, width, "bad")
            lines += [*wrapped(f"{failed.by} read {' '.join(failed.second)}", width, first="  "), EMPTY]
    if found.stop:
        who = f"  on step {found.stop.step}, said {found.stop.who}"
        lines.append(row((f" ! {found.stop.exit.upper()} ", "mark"), who))
        lines += [*wrapped(found.stop.because, width, "strong", first="  "), EMPTY]
        if found.stop.exit == e.NONCONFORMING:
            lines.append(row("This part is locked; other parts go on meanwhile."))
        else:
            lines.append(row("This pass stands; other parts go on meanwhile."))
    return [*lines, *told(acts, width)]


def _clock(view: View, stopped_at: e.ClockStopped, width: int) -> list[Row]:
    """LATE or MISSED, large, and what came of it: below it in a wide window, beside it in a small one, where lines are few."""
    word = "LATE" if stopped_at.act else "MISSED"
    if width >= WIDE:
        told = [*wrapped(stopped_at.sentence, width, "bad"), *_by_itself(view, width)]
        return [*huge(word, 2, "bad"), EMPTY, *told]
    room = width - big_width(word) - 1
    told = [*wrapped(stopped_at.sentence, room, "bad"), *_by_itself(view, room)]
    return beside(big(word, "bad"), told, big_width(word), 1)


def _by_itself(view: View, width: int) -> list[Row]:
    step = view.step
    return missed(view, view.clock[1], step.routes, width) if isinstance(step, AgainstTheClock) else []


def _limits(check: e.CheckDecided) -> str:
    return bounds(check) if check.low or check.high else check.limits


def limit_bar(check: e.CheckDecided, width: int) -> str:
    """A value on its limits: '├────┼──●─┤'. Outside, the mark stands beyond the end. Empty where there is nothing to draw."""
    low, high, value = (_number(text) for text in (check.low, check.high, check.shown))
    if value is None or (low is None and high is None):
        return ""
    if low is None:
        low = min(0.0, value) if high is not None and high > 0 else None
    if high is None:
        high = max(value, (low or 0.0) * 2) if low is not None and low > 0 else None
    if low is None or high is None or high <= low:
        return ""
    inner = width - 6
    at = round((value - low) / (high - low) * (inner - 1))
    line = list("   ├" + "─" * (inner - 2) + "┤   ")
    line[min(len(line) - 1, max(0, at + 3))] = "●"
    return "".join(line)


def _number(text: str) -> float | None:
    try:
        return float(text.split()[0]) if text else None
    except ValueError:
        return None


def just_worked(events: tuple[e.Event, ...], width: int) -> list[Row]:
    """What the last act worked out and decided, newest last: each value, each verdict on its limits."""
    lines: list[Row] = []
    for event in events:
        if isinstance(event, e.ValueWorked):
            lines.append(row(("  = ", "dim"), f"{cut(event.name, 20):<20} ", (event.shown, "strong")))
        elif isinstance(event, e.CheckDecided) and event.met:
            line = row(
                ("  ✓ ", "good"),
                f"{cut(event.name, 20):<20} ",
                (f"{event.shown:<11}", "strong"),
                (f" {_limits(event):<23}", "dim"),
            )
            bar = limit_bar(event, 20)
            lines.append([*line, (bar, "")] if width_of(line) + len(bar) <= width else line)
    return lines
