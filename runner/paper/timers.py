"""What time ruled in a job, each thing as it came out: what was allowed, from when it ran, what it took, and what is doubtful."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from runner.job import events as e
from runner.job.fold import apply
from runner.job.moments import span_words, utc_text
from runner.job.state import State
from runner.job.waits import since, time_of
from runner.procedure.model import AgainstTheClock, NotBefore, Soak, Wait, Window, WitnessPoint
from runner.session.at_work import ReadJob

Told = dict[str, Any]


def timers(read: ReadJob) -> list[Told]:
    """
    Every wait, window, time of day, witness, soak and act against the clock that came to an end, in that order: its sort,
    name, part and entry; `allowed` and `took` in words; what it ran `from`, and the moment of that (UTC); how it came out;
    and a `note` where a clock was doubtful.
    """
    state, found = State(), []
    for row, event in zip(read.rows, read.events, strict=True):
        if isinstance(event, e.StepEvent):
            found += [{**one, "part": event.part, "entry": row.seq} for one in _told(read, state, event)]
        state = apply(state, event)
    return found


def _told(read: ReadJob, state: State, event: e.StepEvent) -> Iterator[Told]:
    """What comes to an end with an event, in the state before it."""
    step = read.job.step((event.stage, event.part), event.step)
    match event, step:
        case e.WaitPassed(), Wait():
            yield {
                **_from(read, state, event, step.starts),
                **_out("wait", event.name, f"at least {event.least}", _span(event.lasted_s), "over"),
                "note": event.note,
            }
        case e.CheckDecided(), Window():
            doubt = event.sentence.partition(f"({event.source})")[2].strip(" ()")
            came = "in time" if event.met else "MISSED"
            yield {
                **_from(read, state, event, step.starts),
                **_out("window", event.name, f"{event.limits} to {step.ends}", event.shown, came),
                "note": doubt,
            }
        case e.TimeCame(), NotBefore():
            yield _hour(read, state, event, step)
        case e.WitnessPassed(), WitnessPoint():
            allowed = f"goes on alone after {step.goes_on_after.typed}"
            came = f"{event.by} came" if event.by else "nobody came"
            yield {
                **_began("the call", event.called.utc),
                **_out("witness", event.title, allowed, _span(event.lasted_s), came),
                "note": event.note,
            }
        case ((e.SoakDone() | e.SoakStopped()), Soak()):
            yield _soak(state, event, step)
        case e.ClockStopped(), AgainstTheClock():
            yield _clock(state, event, step)
        case e.HeldDown(), AgainstTheClock():
            least = f"at least {step.hold_down.typed}" if step.hold_down else "not held"
            yield {
                **_began(step.second_key, None),
                **_out("hold down", event.name, least, f"{event.held_s:.1f} s", "let go"),
            }


def _out(sort: str, name: str, allowed: str, took: str, came: str) -> Told:
    return {"sort": sort, "name": name, "allowed": allowed, "took": took, "came out": came, "note": ""}


def _began(what: str, utc: Any) -> Told:
    return {"from": what, "at": utc_text(utc) if utc else ""}


def _from(read: ReadJob, state: State, event: e.StepEvent, name: str) -> Told:
    """What something ran from, and when that had been done by then."""
    job = read.job.as_loaded(state.loads)
    timed = time_of(job, state, job.part_of((event.stage, event.part)), name)
    return _began(name, timed.at.utc if timed else None)


def _hour(read: ReadJob, state: State, event: e.TimeCame, step: NotBefore) -> Told:
    if step.condition:
        allowed = f"not before {step.condition.text}"
        return {**_began("", None), **_out("not before", event.name, allowed, event.due, "so")}
    job = read.job.as_loaded(state.loads)
    timed = time_of(job, state, job.part_of((event.stage, event.part)), step.starts)
    took = span_words(since(state, timed, event.at).lasted) if timed else ""
    return {
        **_from(read, state, event, step.starts),
        **_out("not before", event.name, f"not before {event.due}", took, "come"),
        "note": event.note,
    }


def _soak(state: State, event: e.SoakDone | e.SoakStopped, step: Soak) -> Told:
    soaking = state.at((event.stage, event.part)).soaks.get(event.step)
    last = soaking.last if soaking else None
    most = f", at most {step.most.typed}" if step.most else ""
    took = f"{_span(last.total_s)} counted in {last.round} rounds" if last else ""
    took += f", may have lasted {_span(last.longest_s)}" if last else ""
    came = "done" if isinstance(event, e.SoakDone) else f"STOPPED: {event.sentence}"
    allowed = f"{step.within.text} for at least {step.least.typed}{most}"
    return {**_began("", None), **_out("soak", event.name, allowed, took, came)}


def _clock(state: State, event: e.ClockStopped, step: AgainstTheClock) -> Told:
    clock = state.at((event.stage, event.part)).clocks.get(event.step)
    started = clock.started.at.utc if clock and clock.started else None
    allowed = f"useful {event.useful_s:.1f} s, last {event.last_s:.1f} s"
    estimate = (
        f" (an estimate: {event.estimated})" if event.estimated else " gone by" if not event.act else ""
    )
    if not event.act:
        came = "MISSED"
    elif event.met:
        came = "in the useful time" if event.taken_s <= event.useful_s else "LATE, and inside the last limit"
    else:
        came = "OVER the last limit"
    took = f"{event.taken_s:.1f} s{estimate}"
    return {**_began(step.first_key, started), **_out("against the clock", event.name, allowed, took, came)}


def _span(seconds: float) -> str:
    return span_words(timedelta(seconds=seconds))
