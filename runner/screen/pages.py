"""The pages of the job screen around the step: head, steps of the pass, board of passes, prerequisites, the working, the ends."""

from __future__ import annotations

from runner.job import events as e
from runner.job.job import Job
from runner.job.moments import Moment, clock_words
from runner.job.passes import Standing, is_live, may_begin, next_step, standing
from runner.job.state import PassKey, State
from runner.paper.record import says
from runner.screen.big import big, big_width
from runner.screen.rows import EMPTY, Row, beside, cut, row, spread, wrapped
from runner.screen.steps import glyph_of, value_of

GLYPHS = {
    Standing.NOT_STARTED: "·",
    Standing.IN_PROGRESS: ">",
    Standing.HELD: "!",
    Standing.DONE: "✓",
    Standing.NOT_APPLICABLE: "–",
}


def head(job: Job, state: State, due: str, width: int) -> list[Row]:
    """Always in view: procedure and revision, job, part in large, stage, step n of m, who, and what is due next."""
    procedure = job.procedure
    marks = [f"job {job.number}"]
    if state.opened and state.opened.invented:
        marks.append("INVENTED DATA")
    if job.alone:
        marks.append("ALONE")
    right = " · ".join(marks)
    title = cut(f" {procedure.title}", width - len(right) - 22)
    status = f" · rev {procedure.revision} {procedure.status}"
    top = spread([(title + status, "bar")], [(right + " ", "bar")], width)
    top = [(text, "bar") for text, _ in top]
    key = state.in_hand
    part = key[1] if key else "job"
    facts = [
        row(*_where(job, state)),
        row("at the bench ", (cut(state.person, 30), "strong")),
        row(*_due(due)),
    ]
    if big_width(part) > width // 2:
        return [top, row((part, "part")), *facts]
    return [top, *beside(big(part), facts, big_width(part))]


def _where(job: Job, state: State) -> list[tuple[str, str]]:
    if state.released:
        return [("RELEASED", "good")]
    if state.suspended:
        return [("SUSPENDED", "bad")]
    key = state.in_hand
    if key is None:
        done = sum(state.at(one).done for one in job.keys())
        return [(f"{done} of {len(job.keys())} passes done", "strong")]
    step = next_step(job, state, key)
    count = len(job.stage_of(key).steps)
    number = step.about.number if step else count
    return [(key[0], "strong"), (f"   step {number} of {count}", "")]


def _due(due: str) -> list[tuple[str, str]]:
    return [("next due ", "dim"), (due, "strong")] if due else [("no wait is running", "dim")]


def steps_list(job: Job, state: State, key: PassKey, width: int, height: int) -> list[Row]:
    """Every step of the pass with its state as sign and word; the part round the current one where not all fit."""
    steps = job.stage_of(key).steps
    current = next_step(job, state, key)
    at = current.about.number if current else len(steps)
    start = max(0, min(at - 1 - height // 2, len(steps) - height))
    lines: list[Row] = []
    for step in steps[start : start + height]:
        sign, word = glyph_of(state, key, step, at)
        value = value_of(job, state, key, step)
        style = "ask" if step.about.number == at else "dim" if sign == "·" else ""
        tail = value or ("" if sign in "✓·" else word)
        text = cut(f"{sign} {step.about.number:>2} {says(step)}", width - len(tail) - 1)
        lines.append(spread([(text, style)], [(tail, style)], width))
    return lines


def board(job: Job, state: State, marked: int, width: int, height: int) -> list[Row]:
    """The passes that may be worked on now, and the parts by stages below, each state a sign and a word."""
    keys = open_passes(job, state)
    lines = [row(("Which part is in your hand? Type what is on its tag.", "strong")), EMPTY]
    for at, key in enumerate(keys):
        mark = ">" if at == marked else " "
        found = standing(job, state, key)
        word = "" if found is Standing.NOT_STARTED else f"  {GLYPHS[found]} {found.value}"
        lines.append(
            row(
                (f" {mark} ", "ask"),
                (f"{key[1]:<12}", "part" if at == marked else "strong"),
                f" {cut(key[0], 40)}",
                (word, "bad" if found is Standing.HELD else "dim"),
            )
        )
    if not keys:
        lines.append(row(("Nothing may be begun now.", "bad")))
    room = height - len(lines) - 2
    grid = _grid(job, state, width)
    return lines + ([EMPTY, *grid] if len(grid) <= room else [])


def open_passes(job: Job, state: State) -> list[PassKey]:
    """What can be taken in hand: passes that may begin or go on, and held ones, for somebody must decide there."""
    free = set(may_begin(job, state))
    held = {key for key in job.keys() if standing(job, state, key) is Standing.HELD}
    return [key for key in job.keys() if key in free | held]


def _grid(job: Job, state: State, width: int) -> list[Row]:
    span = 14
    parts = [part for level in job.procedure.parts for part in job.parts.at(level.name)]
    columns = max(1, (width - 24) // span)
    lines: list[Row] = []
    for start in range(0, len(parts), columns):
        some = parts[start : start + columns]
        lines.append(row((" " * 24 + "".join(f"{cut(part.path, span - 1):<{span}}" for part in some), "dim")))
        for stage in job.procedure.stages:
            cells = []
            for part in some:
                if part.level != stage.for_each:
                    cells.append((" " * span, ""))
                    continue
                found = standing(job, state, (stage.title, part.path))
                style = {Standing.DONE: "good", Standing.HELD: "bad"}.get(found, "dim")
                cells.append((f"{GLYPHS[found]} {found.value:<{span - 2}}"[:span], style))
            if any(text.strip() for text, _ in cells):
                lines.append([(f"{cut(stage.title, 23):<24}", ""), *cells])
    return lines


def prerequisites(job: Job, state: State, width: int) -> list[Row]:
    """What must be so before the first step, each confirmed by itself."""
    lines = [row(("Before anything else, each of these must be so.", "strong")), EMPTY]
    for number, text in enumerate(job.procedure.prerequisites, 1):
        sign = "[x]" if number <= state.prerequisites else "[ ]"
        mark = ">" if number == state.prerequisites + 1 else " "
        lines += wrapped(
            text, width, "dim" if number <= state.prerequisites else "strong", first=f" {mark} {sign} "
        )
    return [*lines, EMPTY, row(("space", "mark"), " confirms the marked one")]


def suspended(job: Job, state: State, now: Moment, width: int) -> list[Row]:
    assert state.suspended
    since = clock_words(state.suspended.at.utc, job.zone, now.utc)
    lines = [
        row((" SUSPENDED ", "mark"), f"  by {state.suspended.who} since {since}"),
        *wrapped(state.suspended.because, width, "strong", first="  "),
    ]
    lines += [
        EMPTY,
        row("last completed step"),
        *wrapped(state.last_done or "none", width, "strong", first="  "),
        EMPTY,
    ]
    return [
        *lines,
        *wrapped(
            "Look at the part: is that so? Then press t to take the job up again. Suspending stops people, not waits.",
            width,
        ),
    ]


def completed(job: Job, state: State, width: int) -> list[Row]:
    gone = [f"{part} {way}" for part, way in state.gone.items()]
    lines = [row((" COMPLETED ", "mark"), "  every pass on every live part is done")]
    if gone:
        lines += wrapped(f"no longer in the job: {', '.join(gone)}", width)
    who = (
        "you release it yourself, and the record says so first"
        if job.alone
        else "by somebody who has no entry in it"
    )
    return [
        *lines,
        EMPTY,
        *wrapped(f"The job is released by {job.procedure.released_by}, {who}. Press r.", width),
    ]


def released(job: Job, state: State, chain: tuple[int, str], width: int) -> list[Row]:
    assert state.released
    one = state.released
    lines = [
        row(
            (" ✓ RELEASED ", "mark"),
            f"  by {one.by} as {one.role}, {one.at.utc.astimezone(job.zone):%Y-%m-%d %H:%M}",
        )
    ]
    lines += [*wrapped(one.statement, width, "strong", first="  "), EMPTY]
    lines += wrapped(
        f"{chain[0]} entries, head {chain[1][:16]}. Write both down: a cut or rebuilt file can be told only against them.",
        width,
    )
    return [
        *lines,
        EMPTY,
        *wrapped(f"benchhand record {job.number} prints the record. Nothing more can be entered.", width),
    ]


def working(job: Job, events: tuple[e.Event, ...], key: PassKey, width: int) -> list[Row]:
    """Every value worked out and check decided in this pass: formula, the same with its numbers, and where each came from."""
    lines: list[Row] = []
    for event in events:
        if isinstance(event, e.ValueWorked) and (event.stage, event.part) == key:
            u = f" ± {event.uncertainty}" if event.uncertainty else ""
            how = f"   U, k = 2, by {event.method}" if event.uncertainty else ""
            lines += [row((f"{event.name} = {event.shown}{u}", "strong"), (how, "dim"))]
            lines += wrapped(event.formula, width, "", first="  formula  ", then="           ")
            lines += wrapped(event.with_values, width, "part", first="  numbers  ", then="           ")
            lines += [
                line
                for one in event.inputs
                for line in wrapped(
                    f"{one.name} = {one.shown}: {one.origin}", width, "dim", first="    ", then="      "
                )
            ]
            lines.append(EMPTY)
        elif isinstance(event, e.CheckDecided) and (event.stage, event.part) == key:
            lines += wrapped(
                event.sentence, width, "good" if event.met else "bad", first="✓ " if event.met else "✗ "
            )
            lines.append(EMPTY)
    return lines or [row("Nothing has been worked out in this pass yet.")]


def live_parts(job: Job, state: State) -> int:
    return sum(
        is_live(job, state, part) for level in job.procedure.parts for part in job.parts.at(level.name)
    )
