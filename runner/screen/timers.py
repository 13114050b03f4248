"""Pages of what time rules: a wait, a time of day or a condition, a soak; and what else runs on the part in hand."""

from __future__ import annotations

from pathlib import Path

from runner.formula.explain import with_values
from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.due import due_at, running
from runner.job.limits import band_words, limits_for
from runner.job.moments import clock_words, span_words
from runner.job.soaks import places, wanted_now
from runner.job.state import PassKey, Soaking
from runner.job.totals import amount, bearer
from runner.job.values import find_all
from runner.job.waits import time_left, time_of_day
from runner.paper import soak_traces, trace
from runner.procedure.model import NotBefore, Range, Soak, Step, Wait
from runner.quantities.quantity import fine_step, show_number
from runner.screen.big import big
from runner.screen.reading import asked_again, with_instrument
from runner.screen.rows import EMPTY, Row, cut, row, width_of, wrapped
from runner.screen.view import View
from runner.session.at_work import ReadJob
from runner.session.shelf import due_words

CELL = 39
"""Cells of one place where the readings of a soak stand side by side: two in the small window."""


def wait(view: View, key: PassKey, step: Wait, width: int) -> list[Row]:
    lines = wrapped(f"Wait: {step.name}, at least {step.least.typed} from {step.starts}", width, "strong")
    lines += wrapped(step.source, width, "dim", first="source  ")
    left = time_left(view.job, view.state, key, step, view.now)
    if left is None:
        return [*lines, row((f"'{step.starts}' has not been done", "bad"))]
    lasted, rest, note = left
    over = clock_words(view.now.utc + rest, view.job.zone, view.now.utc)
    passed = f"{span_words(lasted)} have passed"
    return [*lines, *_until(rest.total_seconds(), over, passed), *_doubt(note, width)]


def not_before(view: View, key: PassKey, step: NotBefore, width: int) -> list[Row]:
    job, state = view.job, view.state
    if step.condition:
        lines = wrapped(f"Not before {step.condition.text}", width, "strong")
        lines += wrapped(step.source, width, "dim", first="source  ")
        try:
            found = find_all(job, state, job.part_of(key), [step.condition.tree])
            shown = {name: one.shown for name, one in found.items()}
            lines += wrapped(with_values(step.condition.text, step.condition.tree, shown), width, "part")
        except CannotBeWorked as why:
            lines += wrapped(str(why), width, "bad")
        return [*lines, row(("space", "mark"), " goes on where it is so; else read again later")]
    lines = wrapped(
        f"Not before {step.clock}: {step.name}, the first one after {step.starts}", width, "strong"
    )
    lines += wrapped(step.source, width, "dim", first="source  ")
    due, rest, note = time_of_day(job, state, key, step, view.now)
    if due is None:
        return [*lines, row((f"'{step.starts}' has not been done", "bad"))]
    over = clock_words(due, job.zone, view.now.utc)
    return [*lines, *_until(rest.total_seconds(), over, ""), *_doubt(note, width)]


def _until(left_s: float, over: str, passed: str) -> list[Row]:
    """A countdown while there is one; that it is over, and the key that goes on, after it."""
    if left_s > 0:
        also = f", {passed}" if passed else ""
        rest = f"{also}; other parts may be worked on meanwhile"
        return [EMPTY, *big(span_digits(left_s), "part"), EMPTY, row("over at ", (over, "strong"), rest)]
    also = f"; {passed}" if passed else ""
    return [EMPTY, row(("✓ over ", "good"), f"since {over}{also}. ", ("space", "mark"), " goes on")]


def _doubt(note: str, width: int) -> list[Row]:
    return wrapped(note, width, "bad", first="! ") if note else []


def soak(view: View, key: PassKey, step: Soak, width: int) -> list[Row]:
    """How much is counted of what is wanted, when the next round is due, and what was read at each place."""
    job, state = view.job, view.state
    soaking = state.at(key).soaks.get(step.about.number, Soaking())
    lines = wrapped(step.ask, width, "strong")
    band, plausible = (_band(view, key, step, one) for one in (step.within, step.plausible))
    lines.append(
        row("in ", (step.unit.symbol, "ask"), f" · counts {band}", (f" · plausible {plausible}", "dim"))
    )
    lines += with_instrument(job, state, step.instrument, width)
    lines += _counted(view, key, step, soaking, width)
    lines += _read_so_far(view, key, step, soaking, width)
    return [*lines, *_heat(view, key, step, width), *asked_again(state, key, width)]


def _band(view: View, key: PassKey, step: Soak, written: Range) -> str:
    try:
        return band_words(limits_for(view.job, view.state, view.job.part_of(key), written), step.unit)
    except CannotBeWorked as why:
        return str(why)


def _counted(view: View, key: PassKey, step: Soak, soaking: Soaking, width: int) -> list[Row]:
    """The time that is still wanted in figures, and when the next round is due."""
    due = due_at(view.job, view.state, key, step, view.now)
    if due is None or due.earliest is None or due.latest is None:
        text = f"{step.least.typed} wanted; it begins with the first round that is inside everywhere"
        return [EMPTY, *wrapped(text, width), EMPTY]
    first, latest = (clock_words(at, view.job.zone, view.now.utc) for at in (due.earliest, due.latest))
    left_s = max(0.0, float(step.least.si) - soaking.total_s)
    if view.now.utc > due.latest:
        word, text = ("✗ LATE", "bad"), f"due at {first}; read now, the gap proves nothing"
    elif view.now.utc >= due.earliest:
        word, text = ("▲ READ NOW", "ask"), f"due since {first}, and counts until {latest}"
    else:
        word, text = ("next round", "dim"), f"{first}, counts until {latest}"
    figures = big(span_digits(left_s), "part")
    room = width - width_of(figures[0]) - 3
    facts = [
        row(("still to be counted", "dim"), f" of {step.least.typed}"),
        row(word, cut(f"  {text}", room - len(word[0]))),
        row((cut(due.then, room), "dim")),
    ]
    side = [[*line, ("   ", ""), *fact] for line, fact in zip(figures, facts, strict=True)]
    note = soaking.last.note if soaking.last else ""
    return [EMPTY, *side, *_doubt(note, width), EMPTY]


def _read_so_far(view: View, key: PassKey, step: Soak, soaking: Soaking, width: int) -> list[Row]:
    """Each place with its last round and this one; the place that is wanted next is marked. Many stand side by side."""
    wanted = wanted_now(view.job, view.state, key, step, view.now)
    typed = {(one.member, one.point): one.typed for one in soaking.points}
    before = {
        place: show_number(read[-1].si, step.unit, fine_step(step.unit))
        for place, read in soaking.traces.items()
        if read and read[-1].logged
    }
    if soaking.rounds:
        before = {(one.member, one.point): one.typed for one in soaking.rounds[-1]} | before
    logged = {logger.place for logger in soaking.loggers.values()}
    every = places(view.job, view.state, key, step)
    side_by_side = max(1, width // CELL) if len(every) > 2 else 1
    room = CELL if side_by_side > 1 else CELL + 10
    cells: list[Row] = []
    for place in every:
        is_next = wanted and place == wanted[0]
        now = (
            ">?"
            if is_next
            else "·"
            if place in wanted
            else typed.get(place, "logger" if place in logged else "·")
        )
        label = cut(" ".join(place).strip(), room - 25)
        cells.append(
            row(
                (f" {'>' if is_next else ' '} {label:<{room - 24}}", ""),
                (f"{now:<9} ", "ask" if is_next else "strong"),
                (f"{f'before {before[place]}' if place in before else '':<11}", "dim"),
            )
        )
    return [
        [piece for cell in cells[at : at + side_by_side] for piece in cell]
        for at in range(0, len(cells), side_by_side)
    ]


def traces(view: View, key: PassKey, step: Soak, width: int) -> list[Row]:
    """What was read so far as a drawing, one for each run, and what its marks mean; nothing where it is too wide."""
    read = ReadJob(Path(), view.job, view.state, tuple(view.events), ())
    happened = [
        (number, one)
        for number, one in enumerate(view.events)
        if isinstance(one, e.StepEvent) and (one.stage, one.part, one.step) == (*key, step.about.number)
    ]
    lines: list[Row] = []
    for one in soak_traces.traces(read, key, step, happened):
        plot = trace.drawn(one)
        if plot and max(map(len, plot)) <= width:
            lines += [*(row(line) for line in plot), *wrapped(trace.key(one), width, "dim"), EMPTY]
    return lines


def _heat(view: View, key: PassKey, step: Soak, width: int) -> list[Row]:
    """What the soak adds to, on each part in it, against what it may come to."""
    job, state, lines = view.job, view.state, list[Row]()
    members = job.parts.members(job.part_of(key)) or (job.part_of(key),)
    for total in filter(None, map(job.procedure.total, step.adds_to)):
        paths = dict.fromkeys(bearer(job, one, total) for one in members)
        so_far = ", ".join(
            f"{path} {amount(total, state.totals.get((path, total.name), 0.0))}" for path in paths
        )
        lines += wrapped(f"{total.name}: {so_far} of at most {total.most.typed}", width, "dim")
    return lines


def strip(view: View, key: PassKey, step: Step, width: int) -> list[Row]:
    """What else runs on the part in hand or what it lies in, a line each: its time, and what to do then."""
    part = view.job.part_of(key)
    near = {one.path for one in view.job.parts.outward(part)}
    mine = getattr(step, "name", "")
    lines = []
    for due in running(view.job, view.state, view.now):
        if due.part in near and due.what != mine and due.sort in ("window", "soak"):
            words = f"{due_words(due, view.job.zone, view.now)}: {due.then}"
            lines.append(row(("▲ ", "bad"), (cut(words, width - 2), "bad" if due.is_over else "ask")))
    return lines


def span_digits(seconds: float) -> str:
    """A countdown in digits, rounded up so that it never shows nil early: '1:59:59', '14:59'."""
    whole = -int(-seconds // 1)
    hours, rest = divmod(whole, 3600)
    return f"{hours}:{rest // 60:02}:{rest % 60:02}" if hours else f"{rest // 60}:{rest % 60:02}"
