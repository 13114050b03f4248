"""What a trial found: faults of a procedure that no rule can prove from its text, and what is worth knowing beside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from runner.procedure.model import (
    AgainstTheClock,
    Check,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Procedure,
    Read,
    Routed,
    Rung,
    SignOff,
    Soak,
    Stage,
    Step,
    Wait,
    WitnessPoint,
    Zero,
)
from runner.trial.tally import Spot, Tally

FEW = 5
"""Failures from which on a way out that was never open is said to be one."""
_GATES = Zero | HoldPoint | WitnessPoint | SignOff | Wait | NotBefore | Soak | AgainstTheClock


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: its sort as a stable word, the line it is about (0 for none), and one sentence."""

    sort: str
    line: int
    sentence: str


def found_in(procedure: Procedure, tally: Tally) -> list[Finding]:
    """Every finding, what keeps a job from its end first, then by the lines of the file."""
    found = [*_dead_ends(procedure, tally), *_circles(procedure, tally)]
    return found + sorted(_by_step(procedure, tally), key=lambda one: one.line)


def worth_knowing(procedure: Procedure, tally: Tally) -> list[Finding]:
    """What is no fault by itself: checks that lead to nothing but a concession, ways out that were open and never drawn."""
    found = []
    for stage in procedure.every_stage:
        for step in stage.steps:
            spot, line = (stage.title, step.about.number), step.about.line
            if not isinstance(step, Routed) or not tally.failed[spot]:
                continue
            if step.routes == ("concession",):
                sentence = f"{called(step)} leads to nothing but a concession, by the sheet's own word"
                found.append(Finding("concession-by-the-sheet", line, sentence))
            for way in step.routes:
                if tally.open_ways[(*spot, way)] and not tally.taken[(*spot, way)]:
                    sentence = f"'{way}' after {called(step)} was open and never drawn; walk more jobs"
                    found.append(Finding("way-not-drawn", line, sentence))
    return found


def _dead_ends(procedure: Procedure, tally: Tally) -> Iterator[Finding]:
    for spot, seen in tally.dead_ends.items():
        where = f"'{spot[0]}'" if spot[0] else "the job"
        sentence = (
            f"{where} came to a stand that nothing leads out of, in {_jobs(seen.jobs)}: {seen.sentence}"
        )
        yield Finding("dead-end", _line(procedure, spot), f"{sentence} (first in job {seen.first})")


def _circles(procedure: Procedure, tally: Tally) -> Iterator[Finding]:
    for circle, seen in tally.circles.items():
        lines = [_line(procedure, spot) for spot in circle]
        steps = ", ".join(
            f"{called(_step(procedure, spot))} (line {line})"
            for spot, line in zip(circle, lines, strict=True)
        )
        sentence = (
            f"{_jobs(seen.jobs)} went round and round without an end: {steps or 'nothing was done at all'}"
        )
        yield Finding("no-end", min(lines, default=0), f"{sentence} (first in job {seen.first})")


def _by_step(procedure: Procedure, tally: Tally) -> Iterator[Finding]:
    for stage in procedure.every_stage:
        reached = [step for step in stage.steps if tally.reached[stage.title, step.about.number]]
        if not reached:
            what = "stage" if stage.number else "the own steps of the rework"
            yield Finding("never-reached", stage.line, f"{what} '{stage.title}' was never begun")
            continue
        for step in stage.steps:
            yield from _at(stage, step, tally)


def _at(stage: Stage, step: Step, tally: Tally) -> Iterator[Finding]:
    spot, line, name = (stage.title, step.about.number), step.about.line, called(step)
    if not tally.reached[spot]:
        yield Finding("never-reached", line, f"{name} was never reached")
        return
    if isinstance(step, _GATES) and not tally.passed[spot]:
        yield Finding("never-passed", line, f"{name} was never passed")
    if isinstance(step, Check | Rung | Routed) and not isinstance(step, Soak | AgainstTheClock):
        if not tally.met[spot]:
            yield Finding("never-met", line, f"{name} was never met")
        if not tally.failed[spot] and tally.met[spot]:
            yield Finding("never-failed", line, f"{name} never failed: nothing that may be read brings it to")
    if isinstance(step, Routed) and tally.failed[spot] >= FEW and spot not in tally.dead_ends:
        for way in step.routes:
            if not tally.open_ways[(*spot, way)]:
                sentence = f"'{way}' after {name} was never open, in {tally.failed[spot]} failures"
                yield Finding("way-never-open", line, sentence)
    if spot in tally.only_conceded:
        seen = tally.only_conceded[spot]
        sentence = f"{name} left no way out of the sheet's own but a concession, in {_jobs(seen.jobs)}: {seen.sentence}"
        yield Finding("only-a-concession", line, f"{sentence} (first in job {seen.first})")
    if isinstance(step, Choose):
        for option in step.options:
            if not tally.drawn[(*spot, option)]:
                yield Finding("option-never-drawn", line, f"'{option}' of {name} was never picked")


def called(step: Step) -> str:
    """A step in a few words, as a report names it."""
    match step:
        case Do(text=text) | SignOff(text=text):
            return f"'{text}'"
        case Zero(instrument=instrument):
            return f"the zero of the {instrument}"
        case Read(name=name):
            return f"the reading '{name}'"
        case Check(name=name):
            return f"the check of '{name}'"
        case Rung(ladder=ladder):
            return f"the rung of '{ladder}'"
        case HoldPoint(title=title):
            return f"hold point '{title}'"
        case WitnessPoint(title=title):
            return f"witness point '{title}'"
        case _:
            return f"'{step.name}'"


def _step(procedure: Procedure, spot: Spot) -> Step:
    return procedure.stage(spot[0]).steps[spot[1] - 1]


def _line(procedure: Procedure, spot: Spot) -> int:
    if not spot[0]:
        return 0
    return _step(procedure, spot).about.line if spot[1] else procedure.stage(spot[0]).line


def _jobs(count: int) -> str:
    return "one job" if count == 1 else f"{count} jobs"
