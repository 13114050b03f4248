"""The list of a pass's steps: each with its state as a sign and a word, and what it gave so far."""

from __future__ import annotations

from runner.job.branches import blocks_of, is_applicable
from runner.job.events import Ref
from runner.job.job import Job
from runner.job.passes import next_step
from runner.job.state import PassKey, State
from runner.paper.record import says
from runner.procedure.model import Check, Choose, Read, Rung, Step, WorkOut, Write
from runner.screen.rows import Row, cut, spread
from runner.screen.view import out_of_sight


def steps_list(job: Job, state: State, key: PassKey, width: int, height: int) -> list[Row]:
    """Every step of the pass; the part round the current one where not all fit."""
    steps = job.stage_of(key).steps
    current = next_step(job, state, key)
    at = current.about.number if current else len(steps)
    start = max(0, min(at - 1 - height // 2, len(steps) - height))
    hidden = out_of_sight(job, state)
    lines: list[Row] = []
    for step in steps[start : start + height]:
        sign, word = glyph_of(job, state, key, step, at)
        ref = Ref(stage=key[0], part=key[1], step=step.about.number)
        value = "out of sight" if ref in hidden else value_of(job, state, key, step)
        style = {">": "ask", "!": "bad", "~": "bad", "·": "dim", "–": "dim"}.get(sign, "")
        tail = cut(value if value and sign in "✓·>!" else "" if sign in "✓·" else word, width // 2)
        text = cut(f"{sign} {step.about.number:>2} {says(step)}", width - len(tail) - 1)
        lines.append(spread([(text, style)], [(tail, style)], width))
    return lines


def glyph_of(job: Job, state: State, key: PassKey, step: Step, current: int) -> tuple[str, str]:
    """A step's state as a sign and a word, with why where it isn't done here."""
    found, number = state.at(key), step.about.number
    stage = job.stage_of(key)
    if not is_applicable(stage, found, step):
        block = next(
            one for one in blocks_of(stage, step) if one in found.branches and not found.branches[one].taken
        )
        if out_of_sight(job, state):
            return "–", "not applicable"
        return "–", f"not applicable, not {found.branches[block].with_values}"
    if number in found.out_of_date:
        return "~", "out of date"
    if number in found.skipped:
        return "✓", "skipped"
    if number in found.done_steps:
        return "✓", "completed"
    if number == current:
        return ("!", "held") if found.stop or found.failed else (">", "in progress")
    return "·", "not yet performed"


def value_of(job: Job, state: State, key: PassKey, step: Step) -> str:
    """What a step gave so far, in a few letters."""
    part, found = job.part_of(key).path, state.at(key)
    if step.about.number in found.skipped:
        return "skipped"
    match step:
        case Read(name=name) if (part, name) in state.known:
            points = state.known[(part, name)].points
            return points[-1].typed if len(step.points) == 1 else f"{len(points)}/{len(step.points)}"
        case WorkOut(name=name) | Choose(name=name) | Write(name=name) if (part, name) in state.known:
            return state.known[(part, name)].shown
        case Rung(ladder=ladder) if (part, ladder) in state.rungs and step.about.number in found.done_steps:
            return f"rung {state.rungs[(part, ladder)]}"
        case Check() if step.about.number in found.checked:
            return "met" if found.checked[step.about.number].met else "NOT MET"
        case _:
            return ""
