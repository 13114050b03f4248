"""Each event of a job in one line, as the record and the screen say it."""

from __future__ import annotations

from datetime import timedelta

from runner.job import events as e
from runner.job.events import Event
from runner.job.moments import span_words


def line(event: Event) -> str:
    """What happened, in one line without who and when."""
    match event:
        case e.JobOpened():
            return f"job {event.job} opened on {event.procedure_id} revision {event.revision}" + (
                ", one person working alone" if event.alone else ""
            )
        case e.SittingBegun():
            return f"taken up on {event.machine} with {event.program}"
        case e.ClockNoticed(what=what):
            return what
        case e.PersonChanged():
            return f"{event.who} took over from {event.before}"
        case e.PrerequisiteConfirmed(text=text):
            return f"confirmed: {text}"
        case e.PassStarted():
            return "in hand"
        case e.PassDone():
            return "done"
        case e.HazardsAcknowledged(hazards=hazards):
            return f"warning read: {', '.join(hazards)}"
        case e.TickMade(text=text):
            return f"ticked: {text}"
        case e.StepDone(text=text):
            return text
        case e.JobSuspended(because=because):
            return f"suspended: {because}"
        case e.JobResumed(last=last):
            return f"taken up again after: {last}" if last else "taken up again"
        case e.JobCompleted():
            return "every pass is done"
        case e.JobReleased():
            return f"released by {event.by} as {event.role}: {event.statement}" + _solo(event.solo)
        case _:
            return _of_a_value(event) or _of_a_gate(event)


def _of_a_value(event: Event) -> str:
    match event:
        case e.EntryQuestioned():
            return f"{event.typed} asked again: {event.why}"
        case e.ReadingTaken():
            point = f" {event.point}" if event.point else ""
            unit = "" if event.typed.endswith(event.unit) else f" {event.unit}"
            gauge = f", {event.instrument}" if event.instrument else ""
            twice = f" (typed twice: {event.questioned})" if event.questioned else ""
            return f"{event.name}{point} {event.typed}{unit}{gauge}{twice}"
        case e.ReadingSuperseded():
            return f"{event.name} measured again: {event.because}"
        case e.ZeroRead(sentence=sentence):
            return sentence
        case e.ValueWorked():
            u = f" ± {event.uncertainty} (U, k = 2, by {event.method})" if event.uncertainty else ""
            return f"{event.name} = {event.shown}{u} = {event.with_values}"
        case e.CheckDecided():
            verdict = (
                f"met, {event.margin} inside" if event.met else "NOT MET" if event.proven else "NOT PROVEN"
            )
            if event.risk and not event.risk.startswith("under"):
                verdict += f", {event.risk} likely to lie outside (U {event.uncertainty})"
            said = "" if event.limits == bounds(event) else f"{event.limits}; "
            return f"{event.name} {event.shown}, {bounds(event)} ({said}{event.source}): {verdict}"
        case e.NotWorked(sentence=sentence):
            return sentence
        case _:
            return ""


def _of_a_gate(event: Event) -> str:
    match event:
        case e.WaitPassed():
            note = f" ({event.note})" if event.note else ""
            return f"{event.name} waited {span_words(timedelta(seconds=event.lasted_s))} of at least {event.least}{note}"
        case e.HoldReleased():
            return (
                f"hold point '{event.title}' released by {event.by} as {event.role}; saw: {'; '.join(event.saw)}"
                + _solo(event.solo)
            )
        case e.SignedOff():
            return f"'{event.text}' signed by {event.name}"
        case e.PassStopped(exit=exit_, because=because):
            return f"{exit_}: {because}"
        case e.PassTakenUp(because=because):
            return f"taken up again: {because}"
        case e.Disposed():
            return f"{event.way} by {event.by} as {event.role}: {event.because}" + _solo(event.solo)
        case _:
            return ""


def bounds(event: e.CheckDecided) -> str:
    """The limits of a check with their numbers: '42.360 mm to 42.380 mm', 'at most 0.010 mm'."""
    if event.low and event.high:
        return f"{event.low} to {event.high}"
    return f"at least {event.low}" if event.low else f"at most {event.high}"


def _solo(solo: bool) -> str:
    return " (worked and released by the same person, alone)" if solo else ""
