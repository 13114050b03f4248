"""The page of a reading or a zero: what is read, in what unit, with which instrument, at which points, and what is asked twice."""

from __future__ import annotations

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.instruments import in_use
from runner.job.job import Job, Refusal
from runner.job.limits import band_words, limits_for
from runner.job.state import PassKey, State
from runner.procedure.model import Range, Read, Zero
from runner.quantities.units import Unit
from runner.screen.rows import EMPTY, Row, cut, row, wrapped


def read(job: Job, state: State, key: PassKey, step: Read, width: int) -> list[Row]:
    lines = wrapped(step.ask, width, "strong")
    band = _band(job, state, key, step.plausible, step.unit)
    lines.append(row("in ", (step.unit.symbol, "ask"), (f" · plausible {band}", "dim")))
    lines += with_instrument(job, state, step.instrument, width)
    lines.append(EMPTY)
    part = job.part_of(key).path
    known = state.known.get((part, step.name))
    typed = [point.typed for point in known.points] if known else []
    lines += _points(step, typed, width)
    return [*lines, *asked_again(state, key, width)]


def asked_again(state: State, key: PassKey, width: int) -> list[Row]:
    """An entry that counts only once it is typed again, and why."""
    asked = state.at(key).questioned
    if not asked:
        return []
    why = asked.why if asked.why.endswith("?") else f"{asked.why}."
    return wrapped(f"{why} Type it again if it is so.", width, "bad", first="? ")


def with_instrument(job: Job, state: State, kind: str, width: int) -> list[Row]:
    """The instrument: which one of the shop's, and until when its calibration is good."""
    if not kind:
        return []
    if not job.shop.gauges:
        return [row("with the ", (kind, "strong"))]
    gauge = in_use(job, state, kind)
    if isinstance(gauge, Refusal):
        return wrapped(f"with the {kind}: {gauge.sentence}", width, "ask")
    until = f", calibrated until {gauge.calibrated_until.isoformat()}"
    return [row("with the ", (f"{kind} {gauge.id}", "strong"), (until, "dim"))]


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


def zero(job: Job, state: State, key: PassKey, step: Zero, width: int) -> list[Row]:
    lines = wrapped(f"Set the {step.instrument} on {step.on} and type what it reads", width, "strong")
    wanted = _band(job, state, key, step.within, step.unit)
    lines.append(
        row("in ", (step.unit.symbol, "ask"), (f" · within {step.within.text}, which is {wanted}", "dim"))
    )
    lines += with_instrument(job, state, step.instrument, width)
    failed = state.at(key).failed
    if isinstance(failed, e.ZeroRead):
        lines += [EMPTY, *wrapped(failed.sentence, width, "bad", first="✗ ")]
    return [*lines, *asked_again(state, key, width)]
