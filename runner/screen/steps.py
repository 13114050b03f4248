"""The step in hand as a page: what to do, in what unit, with what, on which points, and what speaks against going on."""

from __future__ import annotations

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.job import Job
from runner.job.moments import Moment, clock_words, span_words
from runner.job.state import PassKey, State
from runner.job.values import find
from runner.job.waits import time_left
from runner.job.working import band_words, limits_for
from runner.paper.words import bounds
from runner.procedure.model import Check, Do, HoldPoint, Range, Read, SignOff, Step, Wait, WorkOut, Zero
from runner.quantities.units import Unit
from runner.screen.big import big
from runner.screen.hazards import boxes, in_one_line
from runner.screen.rows import EMPTY, Row, cut, row, width_of, wrapped


def page(job: Job, state: State, key: PassKey, step: Step, now: Moment, width: int) -> list[Row]:
    """The step with its hazards before it. What stopped the pass, if anything did, stands first."""
    found = state.at(key)
    if found.stop or isinstance(found.failed, e.CheckDecided | e.NotWorked):
        return _stopped(job, state, key, step, width)
    stage = job.stage_of(key)
    fresh = not found.done_steps
    told = stage.beware if fresh else ()
    lines = boxes(told, width) + in_one_line(
        [one for one in stage.beware if one not in (*told, *step.about.beware)], width
    )
    lines += boxes([one for one in step.about.beware if one not in told], width)
    if lines:
        lines.append(EMPTY)
    open_hazards = any(one.asks for one in step.about.beware) and step.about.number not in found.acknowledged
    if open_hazards:
        lines += [
            row(
                ("Read the warning above, then press ", "strong"),
                ("a", "mark"),
                (" to say that you have.", "strong"),
            ),
            EMPTY,
        ]
    if fresh and stage.reason:
        lines += wrapped(stage.reason, width, "dim", first="why  ")
    lines += _step(job, state, key, step, now, width)
    if step.about.key_point:
        lines += wrapped(step.about.key_point, width, "strong", first="key point  ")
    if step.about.reason and step.about.key_point:
        lines += wrapped(step.about.reason, width, "dim", first="   because  ")
    return lines


def _step(job: Job, state: State, key: PassKey, step: Step, now: Moment, width: int) -> list[Row]:
    shown = _shown(job, state, key, step)
    match step:
        case Read():
            return [*_read(job, state, key, step, width), *shown]
        case Zero():
            return [*_zero(job, state, key, step, width), *shown]
        case Do():
            return [*_do(state, key, step, width), *shown]
        case Wait():
            return [*_wait(job, state, key, step, now, width), *shown]
        case HoldPoint(title=title, by=by, must_see=must_see):
            lines = [row((" HOLD POINT ", "mark"), (f" {title}", "strong"))]
            who = f"you, as {by}, alone" if job.alone else f"{_a(by)} with no entry in this pass"
            lines += wrapped(f"Stop. To be released by {who}.", width)
            seen = [line for one in must_see for line in wrapped(one, width, "strong", first="  · ")]
            return [*lines, *shown, EMPTY, row("must be seen"), *seen]
        case SignOff(text=text):
            return [*wrapped(f"Sign off: {text}", width, "strong"), *shown]
        case _:
            return []


def _read(job: Job, state: State, key: PassKey, step: Read, width: int) -> list[Row]:
    lines = wrapped(step.ask, width, "strong")
    gauge = f" · with the {step.instrument}" if step.instrument else ""
    lines.append(
        row(
            "in ",
            (step.unit.symbol, "ask"),
            gauge,
            (f" · plausible {_band(job, state, key, step.plausible, step.unit)}", "dim"),
        )
    )
    lines.append(EMPTY)
    part = job.part_of(key).path
    known = state.known.get((part, step.name))
    typed = [point.typed for point in known.points] if known else []
    lines += _points(step, typed, width)
    asked = state.at(key).questioned
    if asked:
        why = asked.why if asked.why.endswith("?") else f"{asked.why}."
        lines += wrapped(f"{why} Type it again if it is so.", width, "bad", first="? ")
    return lines


def _points(step: Read, typed: list[str], width: int) -> list[Row]:
    """The points of a reading with what is typed so far; the one wanted next is marked with a word's sign, not by colour."""
    if len(step.points) == 1:
        return []
    cells = [
        typed[at] if at < len(typed) else ">?" if at == len(typed) else "·" for at in range(len(step.points))
    ]
    if not step.levels:
        lines: list[Row] = []
        for label, cell in zip(step.points, cells, strict=True):
            style = "ask" if cell == ">?" else "strong" if cell != "·" else "dim"
            lines.append(row((f"  {cut(label, 20):<20} ", "dim"), (cell, style)))
        return lines if len(lines) <= 8 else _in_columns(lines, width)
    span = max(9, *(len(axis) + 2 for axis in step.axes))
    head = row((" " * 14 + "".join(f"{cut(axis, span - 1):<{span}}" for axis in step.axes), "dim"))
    lines = [head]
    for at, level in enumerate(step.levels):
        mine = cells[at * len(step.axes) : (at + 1) * len(step.axes)]
        pieces = [
            (f"{cell:<{span}}", "ask" if cell == ">?" else "strong" if cell != "·" else "dim")
            for cell in mine
        ]
        lines.append([(f"  {cut(level, 11):<12}", "dim"), *pieces])
    return lines


def _in_columns(lines: list[Row], width: int) -> list[Row]:
    columns = max(1, min(4, width // 34))
    height = -(-len(lines) // columns)
    result: list[Row] = []
    for at in range(height):
        line: Row = []
        for one in lines[at::height]:
            used = sum(len(text) for text, _ in one)
            line += [*one, (" " * max(1, 34 - used), "")]
        result.append(line)
    return result


def _band(job: Job, state: State, key: PassKey, written: Range, unit: Unit) -> str:
    """Written limits with their numbers, or why they have none."""
    try:
        limits = limits_for(job, state, job.part_of(key), written)
    except CannotBeWorked as why:
        return str(why)
    return band_words(limits, unit)


def _zero(job: Job, state: State, key: PassKey, step: Zero, width: int) -> list[Row]:
    lines = wrapped(f"Set the {step.instrument} on {step.on} and type what it reads", width, "strong")
    wanted = _band(job, state, key, step.within, step.unit)
    lines.append(
        row("in ", (step.unit.symbol, "ask"), (f" · within {step.within.text}, which is {wanted}", "dim"))
    )
    failed = state.at(key).failed
    if isinstance(failed, e.ZeroRead):
        lines += [EMPTY, *wrapped(failed.sentence, width, "bad", first="✗ ")]
    return lines


def _do(state: State, key: PassKey, step: Do, width: int) -> list[Row]:
    lines = wrapped(step.text, width, "strong")
    made = state.at(key).ticks.get(step.about.number, frozenset())
    first_open = next((number for number in range(1, len(step.ticks) + 1) if number not in made), 0)
    for number, text in enumerate(step.ticks, 1):
        sign = "[x]" if number in made else "[ ]"
        mark = ">" if number == first_open else " "
        lines.append(
            row(
                (f" {mark} {sign} ", "ask" if mark == ">" else ""),
                (text, "dim" if number in made else "strong"),
            )
        )
    return lines


def _wait(job: Job, state: State, key: PassKey, step: Wait, now: Moment, width: int) -> list[Row]:
    lines = wrapped(f"Wait: {step.name}, at least {step.least.typed} from {step.starts}", width, "strong")
    lines += wrapped(step.source, width, "dim", first="source  ")
    left = time_left(job, state, key, step, now)
    if left is None:
        return [*lines, row((f"'{step.starts}' has not been done", "bad"))]
    lasted, rest, note = left
    if rest.total_seconds() > 0:
        lines += [EMPTY, *big(span_digits(rest.total_seconds()), "part"), EMPTY]
        lines.append(
            row(
                "over at ",
                (clock_words(now.utc + rest, job.zone, now.utc), "strong"),
                f", {span_words(lasted)} have passed; other parts may be worked on meanwhile",
            )
        )
    else:
        lines += [
            EMPTY,
            row(
                ("✓ over ", "good"),
                f"since {clock_words(now.utc + rest, job.zone, now.utc)}; {span_words(lasted)} have passed. ",
                ("space", "mark"),
                " goes on",
            ),
        ]
    return [*lines, *(wrapped(note, width, "bad", first="! ") if note else [])]


def span_digits(seconds: float) -> str:
    """A countdown in digits, rounded up so that it never shows nil early: '1:59:59', '14:59'."""
    whole = -int(-seconds // 1)
    hours, rest = divmod(whole, 3600)
    return f"{hours}:{rest // 60:02}:{rest % 60:02}" if hours else f"{rest // 60}:{rest % 60:02}"


def _shown(job: Job, state: State, key: PassKey, step: Step) -> list[Row]:
    """The values that the procedure wants in view beside the step."""
    lines: list[Row] = []
    for name in step.about.show:
        try:
            value = find(job, state, job.part_of(key), name)
            lines.append(row((f"  {name:<22} ", ""), (value.whole, "part")))
        except CannotBeWorked as why:
            lines.append(row((f"  {name:<22} ", ""), (str(why), "bad")))
    return [EMPTY, *lines] if lines else []


def _stopped(job: Job, state: State, key: PassKey, step: Step, width: int) -> list[Row]:
    found = state.at(key)
    lines: list[Row] = []
    failed = found.failed
    if isinstance(failed, e.CheckDecided):
        word = "NOT MET" if failed.proven else "NOT PROVEN"
        lines.append(row((f" ✗ {word} ", "mark"), (f"  {failed.name}", "strong")))
        lines += wrapped(failed.sentence, width, "bad")
        lines += [_bar_row(failed), EMPTY]
    elif isinstance(failed, e.NotWorked):
        lines += [row((" ✗ CAN'T BE WORKED OUT ", "mark")), *wrapped(failed.sentence, width, "bad"), EMPTY]
    if found.stop:
        lines.append(
            row(
                (f" ! {found.stop.exit.upper()} ", "mark"),
                f"  on step {found.stop.step}, said {found.stop.who}",
            )
        )
        lines += wrapped(found.stop.because, width, "strong", first="  ")
        lines.append(EMPTY)
    lines += _ways_on(job, state, key, step, width)
    return lines


def _ways_on(job: Job, state: State, key: PassKey, step: Step, width: int) -> list[Row]:
    stop = state.at(key).stop
    if stop is None:
        routes = ", ".join(step.routes) if isinstance(step, Check) else ""
        lines = [row(("m", "mark"), "  measure again, with a reason; the first reading stays on the record")]
        lines.append(
            row(
                ("n", "mark"),
                f"  nonconforming, which locks this part{f': then {routes} is decided' if routes else ''}",
            )
        )
        lines.append(
            row(
                ("c", "mark"),
                "  cannot measure      ",
                ("w", "mark"),
                "  cannot do as written      ",
                ("s", "mark"),
                "  suspend the job",
            )
        )
        return lines
    if stop.exit == e.NONCONFORMING:
        routes = ", ".join(step.routes) if isinstance(step, Check) else "scrap, return"
        who = "" if job.alone else " by somebody with no entry in this pass"
        return wrapped(
            f"This part is locked; other parts go on. What becomes of it is decided{who}: {routes}. Press d.",
            width,
        )
    return [
        row(("t", "mark"), "  take it up again when it can be done, saying what has changed"),
        row("Other parts go on meanwhile."),
    ]


def _bar_row(check: e.CheckDecided) -> Row:
    return [(limit_bar(check, 40), ""), (f"  {bounds(check)}", "dim")]


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
                (f" {bounds(event):<23}", "dim"),
            )
            bar = limit_bar(event, 20)
            lines.append([*line, (bar, "")] if width_of(line) + len(bar) <= width else line)
    return lines


def _a(word: str) -> str:
    return f"{'an' if word[:1].lower() in 'aeiou' else 'a'} {word}"


def glyph_of(state: State, key: PassKey, step: Step, current: int) -> tuple[str, str]:
    """A step's state as a sign and a word."""
    found = state.at(key)
    number = step.about.number
    if number in found.done_steps:
        return "✓", "completed"
    if number == current:
        return (">", "in progress") if not (found.stop or found.failed) else ("!", "held")
    return "·", "not yet performed"


def value_of(job: Job, state: State, key: PassKey, step: Step) -> str:
    """What a step gave so far, in a few letters."""
    part = job.part_of(key).path
    match step:
        case Read(name=name) if (part, name) in state.known:
            points = state.known[(part, name)].points
            return points[-1].typed if len(step.points) == 1 else f"{len(points)}/{len(step.points)}"
        case WorkOut(name=name) if (part, name) in state.known:
            return state.known[(part, name)].shown
        case Check() if step.about.number in state.at(key).checked:
            return "met" if state.at(key).checked[step.about.number].met else "NOT MET"
        case _:
            return ""
