"""The pages of the job screen around the step: head, prerequisites, the working, the ends of a job."""

from __future__ import annotations

from collections.abc import Sequence

from runner.job import events as e
from runner.job.job import Job
from runner.job.keeping import kept
from runner.job.passes import next_step
from runner.job.state import PassKey, State
from runner.screen.big import big, big_width
from runner.screen.board import GONE
from runner.screen.handover import allowed
from runner.screen.rows import EMPTY, Row, beside, cut, row, spread, wrapped

_MOST_KEPT = 3
"""Lines; the handover page has them all."""


def head(job: Job, state: State, due: Row, is_nobody_there: bool, width: int) -> list[Row]:
    """
    Always in view: procedure and revision, job, part in large, stage, step n of m, who, what is due next, and what was
    allowed on the part.
    """
    procedure = job.procedure
    marks = [f"job {job.number}"]
    if state.is_rehearsal:
        marks.append("REHEARSAL")
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
        row(*_who(state, is_nobody_there)),
        due,
    ]
    marks_on = [*_allowed(job, state, width), *_kept(job, state, width)]
    if big_width(part) > width // 2:
        return [top, row((part, "part")), *facts, *marks_on]
    return [top, *beside(big(part), facts, big_width(part)), *marks_on]


def _who(state: State, is_nobody_there: bool) -> list[tuple[str, str]]:
    if is_nobody_there:
        return [("at the bench ", ""), (f"? who is it; last {cut(state.person, 30)}", "bad")]
    return [("at the bench ", ""), (cut(state.person, 30), "strong")]


def _allowed(job: Job, state: State, width: int) -> list[Row]:
    """The newest concession or permit that touches the part in hand, and how many there are, in one line."""
    found = allowed(job, state, state.in_hand[1] if state.in_hand and state.in_hand[1] != "job" else "")
    if not found:
        return []
    count = f"  (1 of {len(found)})" if len(found) > 1 else ""
    return [row((cut(f"▲ {found[-1]}", width - len(count)) + count, "bad"))]


def _kept(job: Job, state: State, width: int) -> list[Row]:
    """What has to be kept so for now, in a line each; the newest of many."""
    return [row((cut(f"! {line}", width), "bad")) for line in kept(job, state)[-_MOST_KEPT:]]


def _where(job: Job, state: State) -> list[tuple[str, str]]:
    if state.released:
        return [("RELEASED", "good")]
    if state.handed_over:
        return [("HANDED OVER", "bad")]
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


def prerequisites(job: Job, state: State, width: int) -> list[Row]:
    """What must be so before the first step, each confirmed by itself."""
    lines = [row(("Before anything else, each of these must be so.", "strong")), EMPTY]
    for number, text in enumerate(job.procedure.prerequisites, 1):
        sign = "[x]" if number <= state.prerequisites else "[ ]"
        mark = ">" if number == state.prerequisites + 1 else " "
        lines += wrapped(
            text, width, "dim" if number <= state.prerequisites else "strong", first=f" {mark} {sign} "
        )
    return [
        *lines,
        EMPTY,
        row(("space", "mark"), " confirms the marked one, ", ("n", "mark"), " says that it is not so"),
    ]


def completed(job: Job, state: State, width: int) -> list[Row]:
    gone = [f"{part} {GONE[way]}" for part, way in state.gone.items()]
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


def working(job: Job, events: Sequence[e.Event], key: PassKey, width: int) -> list[Row]:
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
