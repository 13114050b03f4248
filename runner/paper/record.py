"""The record of a job as plain data: deviations first, then every pass with every step, then every entry as kept."""

from __future__ import annotations

import json
from collections import defaultdict
from typing import Any

from runner.job import events as e
from runner.job.branches import is_applicable
from runner.job.events import Event
from runner.job.moments import utc_text
from runner.job.opening import status_words
from runner.job.passes import Standing, standing
from runner.job.rows import kind_of
from runner.job.state import PassKey
from runner.journal import NO_HEAD
from runner.paper.deviations import deviations, out_of_date_by
from runner.paper.summary import instruments, parts_in_short
from runner.paper.words import line
from runner.procedure.model import (
    APPROVED,
    AgainstTheClock,
    Check,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    Repeat,
    Rung,
    SignOff,
    Soak,
    Step,
    Wait,
    Window,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)
from runner.session.at_work import ReadJob
from runner.session.shelf import job_standing

FORMAT = 1
"""The number of the record's layout; it changes when a reader of records would have to."""


def record(read: ReadJob) -> dict[str, Any]:
    """The whole record as JSON values. Everything in it comes from the job's own file."""
    opened = read.state.opened
    assert opened is not None
    return {
        "record": FORMAT,
        "job": read.job.number,
        "standing": job_standing(read.state, read),
        "invented": opened.invented,
        "alone": opened.alone,
        "deviations": deviations(read),
        "honesty": honesty(read),
        "in short": parts_in_short(read),
        "instruments": instruments(read),
        "procedure": _procedure(read),
        "parts": [part.path for level in read.job.procedure.parts for part in read.job.parts.at(level.name)],
        "passes": [_pass(read, key) for key in _keys(read)],
        "entries": [
            {"seq": row.seq, "at": row.at, "kind": row.kind, **row.body, "hash": row.hash}
            for row in read.rows
        ],
        "times": _times(read),
        "chain": {"count": len(read.rows), "head": read.rows[-1].hash if read.rows else NO_HEAD},
    }


def as_json(read: ReadJob) -> str:
    return json.dumps(record(read), ensure_ascii=False, indent=1) + "\n"


def honesty(read: ReadJob) -> list[str]:
    """Plain lines that are printed when they are true."""
    lines = []
    opened, procedure = read.state.opened, read.job.procedure
    if opened and opened.invented:
        lines.append("invented data: no part of this job exists")
    if opened and opened.rehearsal:
        lines.append(
            "REHEARSAL: no real part went through this, the clock may have been hurried, never for release"
        )
    if opened and opened.alone:
        lines.append("declared at opening: one person working alone; nobody else looked at the work")
    lines += _who_they_are(read)
    if procedure.status != APPROVED:
        lines.append(f"procedure {procedure.id} revision {procedure.revision} is {status_words(procedure)}")
    if not read.state.released:
        lines.append("not released")
    lines.append(
        "a cut tail or a file rebuilt from its start can be told only against the count and head printed here"
    )
    return lines


def _who_they_are(read: ReadJob) -> list[str]:
    """How it is known that a name is that person's."""
    named: dict[str, bool] = {}
    from_a_file = bool(read.state.shop) and any(getattr(one, "roles", ()) for one in read.events)
    if not from_a_file:
        return ["people are typed names: no shop file said who they are, or which roles they hold"]
    for one in read.events:
        if isinstance(one, e.PersonChanged):
            named[one.who] = named.get(one.who, False) or bool(one.identified)
        elif by := getattr(one, "by", ""):
            named[by] = named.get(by, False) or bool(getattr(one, "identified", ""))
    typed = sorted(name for name, known in named.items() if not known)
    return [f"known by a typed name alone, without a PIN: {', '.join(typed)}"] if typed else []


def _procedure(read: ReadJob) -> dict[str, Any]:
    procedure, opened = read.job.procedure, read.state.opened
    assert opened is not None
    return {
        "title": procedure.title,
        "id": procedure.id,
        "revision": procedure.revision,
        "status": procedure.status,
        "written by": procedure.written_by,
        "approved by": procedure.approved_by,
        "approved on": procedure.approved_on,
        "decision": procedure.decision,
        "grammar": opened.grammar,
        "sha256": opened.procedure_sha256,
        "text": opened.procedure_text,
        "taken in": [{"file": one.path, "sha256": one.sha256, "text": one.text} for one in opened.taken_in],
    }


def _keys(read: ReadJob) -> list[PassKey]:
    """Every pass of the job, and behind them the steps of each rework that was begun."""
    keys = read.job.keys()
    return [*keys, *(key for key in read.state.passes if key not in keys)]


def _times(read: ReadJob) -> dict[str, Any]:
    opened, released = read.state.opened, read.state.released
    assert opened is not None
    return {
        "zone": opened.zone,
        "opened": utc_text(opened.at.utc),
        "sittings": [utc_text(one.at.utc) for one in read.events if isinstance(one, e.SittingBegun)],
        "released": utc_text(released.at.utc) if released else "",
    }


def _pass(read: ReadJob, key: PassKey) -> dict[str, Any]:
    by_step: dict[int, list[tuple[int, Event]]] = defaultdict(list)
    for row, event in zip(read.rows, read.events, strict=True):
        if isinstance(event, e.StepEvent) and (event.stage, event.part) == key:
            by_step[event.step].append((row.seq, event))
    undone: dict[int, int] = {}
    for row, event in zip(read.rows, read.events, strict=True):
        for ref in _no_longer_counts(event):
            if (ref.stage, ref.part) == key:
                undone[ref.step] = row.seq
    stage = read.job.stage_of(key)
    gone = standing(read.job, read.state, key) is Standing.NOT_APPLICABLE
    return {
        "stage": key[0],
        "part": key[1],
        "standing": standing(read.job, read.state, key).value,
        "steps": [
            _step(read, key, step, by_step[step.about.number], gone, undone.get(step.about.number, 0))
            for step in stage.steps
        ],
    }


def _no_longer_counts(event: Event) -> tuple[e.Ref, ...]:
    """The steps whose earlier entries an event leaves on the record as superseded."""
    away = out_of_date_by(event)
    if isinstance(event, e.ReadingSuperseded | e.WentOutOfDate):
        return (e.Ref(stage=event.stage, part=event.part, step=event.step), *away)
    return (*event.done_again, *away) if isinstance(event, e.ReworkBegun | e.RoundBegun) else away


def _step(
    read: ReadJob, key: PassKey, step: Step, happened: list[tuple[int, Event]], gone: bool, undone: int
) -> dict[str, Any]:
    """One step with all that happened at it; what stands before the entry `undone` was superseded by it."""
    state = read.state.at(key)
    done = step.about.number in state.done_steps
    struck = {
        _point(event): seq
        for seq, event in happened
        if isinstance(event, e.ReadingCorrected | e.AnswerCorrected)
    }
    return {
        "step": step.about.number,
        "what": kind_words(step),
        "says": says(step),
        "standing": "completed"
        if done
        else "not applicable"
        if gone or not is_applicable(read.job.stage_of(key), state, step)
        else "in progress"
        if happened
        else "not yet performed",
        "happened": [
            {
                "entry": seq,
                "kind": kind_of(event),
                "at": utc_text(event.at.utc),
                "who": event.who,
                "superseded": not isinstance(event, e.ReworkBegun)
                and (seq < undone or seq < struck.get(_point(event), 0)),
                "line": line(event),
            }
            for seq, event in happened
        ],
    }


def _point(event: Event) -> str | None:
    """Which point of a step an entry tells of, so that a corrected one is struck; nothing where it tells of none."""
    if isinstance(event, e.ReadingTaken | e.ReadingCorrected):
        return f"{event.name} {event.point}"
    return event.name if isinstance(event, e.AnswerGiven | e.AnswerCorrected) else None


def kind_words(step: Step) -> str:
    """What a step is, by the key it has in the file."""
    match step:
        case Do(ends=ends):
            return "keep" if ends else "do"
        case Zero():
            return "zero"
        case Read():
            return "read"
        case Choose():
            return "choose"
        case Write():
            return "write"
        case Rung():
            return "rung"
        case WorkOut():
            return "work out"
        case Check():
            return "check"
        case Wait():
            return "wait"
        case Window():
            return "window"
        case NotBefore():
            return "not before"
        case Soak():
            return "soak"
        case AgainstTheClock():
            return "against the clock"
        case Repeat():
            return "repeat"
        case HoldPoint():
            return "hold point"
        case WitnessPoint():
            return "witness point"
        case SignOff():
            return "sign off"


def says(step: Step) -> str:
    """What a step asks for, in a line."""
    match step:
        case Do(text=text, ends=ends) if ends:
            return f"{text}, until {ends}"
        case Do(text=text) | SignOff(text=text):
            return text
        case Zero(instrument=instrument, on=on, within=within):
            return f"{instrument} on {on}, within {within.text}"
        case Read(ask=ask, unit=unit):
            return f"{ask}, {unit.symbol}"
        case Choose(ask=ask) | Write(ask=ask):
            return ask
        case Rung(ladder=ladder, least=least):
            return f"{ladder}: the lowest rung not below {least.text}"
        case WorkOut(name=name, formula=formula):
            return f"{name} = {formula.text}"
        case Check(name=name, limits=limits):
            return f"{name}: {limits.text}"
        case Wait(name=name, starts=starts, least=least):
            return f"{name}: at least {least.typed} from {starts}"
        case Window(name=name, starts=starts, ends=ends, most=most):
            return f"{name}: at most {most.typed} from {starts} to {ends}"
        case NotBefore(name=name, clock=clock, condition=condition):
            return f"{name}: not before {clock or (condition.text if condition else '')}"
        case Soak(ask=ask, unit=unit, within=within, least=least):
            return f"{ask}, {unit.symbol}: {within.text} for at least {least.typed}"
        case AgainstTheClock(name=name, first_key=first, second_key=second):
            return f"{name}: from '{first}' to '{second}'"
        case Repeat(name=name, until=until, at_most=most):
            return f"{name}: until {until.text}, at most {most} times"
        case HoldPoint(title=title, by=by) | WitnessPoint(title=title, by=by):
            return f"{title}, by {by}"
