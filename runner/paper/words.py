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
            return (
                f"job {event.job} opened on {event.procedure_id} revision {event.revision}"
                + (", one person working alone" if event.alone else "")
                + (", as a REHEARSAL" if event.rehearsal else "")
            )
        case e.SittingBegun():
            return f"taken up on {event.machine} with {event.program}"
        case e.ClockNoticed(what=what):
            return what
        case e.AlarmRaised(text=text):
            return f"alarm: {text}"
        case e.AlarmAnswered(text=text):
            return f"alarm answered: {text}"
        case e.PersonChanged():
            known = f" (known by {event.identified})" if event.identified else ""
            return f"{event.who} took over from {event.before}{known}"
        case e.ShopSeen():
            return (
                f"the shop file was changed, to {event.sha256[:12] or 'none'}"
                if event.before
                else "shop file seen"
            )
        case e.GaugeTaken():
            return f"{event.kind}: {event.gauge}, U {event.uncertainty}, calibrated until {event.calibrated_until}"
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
        case e.ClockHurried(seconds=seconds):
            return f"hurried by {span_words(timedelta(seconds=seconds))}"
        case e.LoadMade():
            return f"{event.name} ({event.kind}): {', '.join(event.parts)}"
        case e.LoadLeft(name=name, part=part, because=because):
            return f"{part} taken out of {name}: {because}"
        case e.HandoverGiven(note=note):
            return f"handed over: {note}"
        case e.HandoverAccepted(given_by=given_by):
            return f"taken on from {given_by}"
        case e.JobCompleted():
            return "every pass is done"
        case e.JobReleased():
            return f"released by {event.by} as {event.role}: {event.statement}" + _solo(event.solo)
        case _:
            return _of_a_value(event) or _of_a_gate(event) or _of_time(event) or _of_going_back(event)


def _of_a_value(event: Event) -> str:
    match event:
        case e.EntryQuestioned():
            return f"{event.typed} asked again: {event.why}"
        case e.ReadingTaken():
            point = f" {event.point}" if event.point else ""
            unit = "" if event.typed.endswith(event.unit) else f" {event.unit}"
            gauge = f", {_which(event.instrument, event.gauge)}" if event.instrument else ""
            twice = f" (typed twice: {event.questioned})" if event.questioned else ""
            late = f" (late: {event.late})" if event.late else ""
            return f"{event.name}{point} {event.typed}{unit}{gauge}{twice}{late}"
        case e.AnswerGiven(name=name, answer=answer):
            return f"{name}: {answer}"
        case e.BranchDecided():
            return f"{event.condition}: {'yes' if event.taken else 'no'}, for {event.with_values}" + (
                "" if event.taken else f"; steps {_numbers(event.steps)} are not applicable"
            )
        case e.RoundBegun():
            return f"{event.name}: round {event.round} of at most {event.at_most}, as {event.with_values} is not so"
        case e.RungTaken():
            return f"{event.ladder}: {event.size}, rung {event.rung}, the lowest not below {event.least}"
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
            if not (event.low or event.high):
                return f"{event.name} {event.shown}, {event.limits} ({event.source}): {'met' if event.met else 'NOT MET'}"
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
            second = f"; read again {' '.join(event.second)}, {event.apart} apart" if event.second else ""
            saw = f"; saw: {'; '.join(event.saw)}" if event.saw else ""
            by = _by(event.by, event.role, event.identified)
            return f"hold point '{event.title}' released{by}{saw}{second}" + _solo(event.solo)
        case e.SecondReadingDisagrees(by=by, second=read_again, sentence=sentence):
            return f"{by} read {' '.join(read_again)}: {sentence}"
        case e.WitnessCalled(title=title, role=role):
            return f"witness point '{title}': the {role} was called"
        case e.WitnessPassed():
            came = f"attended{_by(event.by, event.role, event.identified)}" if event.by else "not attended"
            after = span_words(timedelta(seconds=event.lasted_s))
            note = f" ({event.note})" if event.note else ""
            return f"witness point '{event.title}': {came}, {after} after the call{note}"
        case e.StepSkipped():
            return f"skipped{_by(event.by, event.role, event.identified)}: {event.because}"
        case e.SignedOff():
            return f"'{event.text}' signed{_by(event.name, '', event.identified)}"
        case e.PassStopped(exit=exit_, because=because):
            return f"{exit_}: {because}"
        case e.PassTakenUp(because=because):
            return f"taken up again: {because}"
        case e.Disposed():
            return f"{event.way}{_by(event.by, event.role, event.identified)}: {event.because}" + _solo(
                event.solo
            )
        case e.PermitGiven():
            by = _by(event.by, event.role, event.identified)
            return f"deviation permit{by}: {event.because}" + _solo(event.solo)
        case e.ReworkBegun():
            by = _by(event.by, event.role, event.identified)
            rung = f"; {event.ladder} on rung {event.rung}, {event.size}" if event.ladder else ""
            return f"{rework_words(event)}{by}: {event.because}{rung}" + _solo(event.solo)
        case e.ReworkStepsBegun(stage=title):
            return f"'{title}' in hand"
        case _:
            return ""


def _of_time(event: Event) -> str:
    match event:
        case e.TimeCame():
            return f"{event.name}: {event.due}" + (f" ({event.note})" if event.note else "")
        case e.SoakPoint():
            where = f"{event.member} {event.point}".strip()
            unit = "" if event.typed.endswith(event.unit) else f" {event.unit}"
            gauge = f", {_which(event.instrument, event.gauge)}" if event.instrument else ""
            twice = f" (typed twice: {event.questioned})" if event.questioned else ""
            return f"{event.name} {where} {event.typed}{unit}{gauge}{twice}"
        case e.SoakRound():
            verdict = "inside" if event.inside else "NOT INSIDE"
            note = f" ({event.note})" if event.note else ""
            counted = (
                f"{_span(event.counted_s)} counted, {_span(event.total_s)} in all, {_span(event.left_s)} left"
            )
            band = f"{event.coldest} to {event.hottest}, {verdict} {event.limits}"
            return f"{event.name} round {event.round}: {band}; {counted}{note}"
        case e.LoggerTaken():
            gauge = f", {_which(event.instrument, event.gauge)}" if event.instrument else ""
            return f"{event.file} stands for {' '.join((event.member, event.point)).strip()} in {event.name}, by the logger's own clock{gauge}"
        case e.LoggerRead():
            return _of_a_logger(event)
        case e.SoakDone():
            return f"{event.name} soaked {_span(event.total_s)} of at least {event.least} ({event.source})"
        case e.SoakStopped(sentence=sentence) | e.TotalOver(sentence=sentence):
            return f"STOPPED: {sentence}"
        case e.DoorOpened(because=because):
            return f"the oven was opened: {because}"
        case e.TotalGrew():
            over = "OVER the" if event.over else "of the"
            return f"{event.total} on {event.part} is {event.shown}, {over} {event.most} it may add up to: {event.because}"
        case e.ClockArmed():
            limits = (
                f"useful {event.useful_s:.1f} s ({event.useful}), last {event.last_s:.1f} s ({event.last})"
            )
            inputs = ", ".join(f"{one.name} {one.shown}" for one in event.inputs)
            return f"{event.name} armed: {limits}" + (f", for {inputs}" if inputs else "")
        case e.ClockStoodDown():
            return f"{event.name} stood down: {event.because}"
        case e.ClockStarted():
            return f"{event.name} begun: {event.act}"
        case e.ClockStopped():
            allowed = f"useful {event.useful_s:.1f} s, last {event.last_s:.1f} s"
            estimate = f"; AN ESTIMATE put in later: {event.estimated}" if event.estimated else ""
            return f"{event.act or 'MISSED'}: {event.sentence} ({allowed}){estimate}"
        case e.HeldDown():
            return f"{event.name} held down {event.held_s:.1f} s after {event.taken_s:.1f} s"
        case _:
            return ""


def _of_a_logger(event: e.LoggerRead) -> str:
    """What was read of a logger's file: how many rows, from when to when, how cold and how hot; and what was said of it."""
    where, rows = f"{event.member} {event.point}".strip(), event.rows
    found = f"{event.file} on {where}: {len(rows)} {'row' if len(rows) == 1 else 'rows'}"
    if rows:
        by_heat = sorted(rows, key=lambda row: row.si)
        first, last = rows[0].utc, rows[-1].utc
        until = f"{last:%H:%M:%S}" if first.date() == last.date() else f"{last:%Y-%m-%d %H:%M:%S}"
        span = f"{first:%Y-%m-%d %H:%M:%S} to {until} UTC"
        found += f", {span}, {by_heat[0].typed} to {by_heat[-1].typed} {event.unit}"
    return "; ".join([found, *event.said])


def _span(seconds: float) -> str:
    return span_words(timedelta(seconds=seconds))


def _of_going_back(event: Event) -> str:
    match event:
        case e.ReadingSuperseded():
            what = "measured again" if event.counts else "no longer counts, and is taken anew"
            return f"{event.name} {what}: {event.because}"
        case e.ReadingCorrected():
            point = f" {event.point}" if event.point else ""
            return f"{event.name}{point} corrected from {event.was} to {event.typed}: {event.because}"
        case e.AnswerCorrected():
            return f"{event.name} corrected from '{event.was}' to '{event.answer}': {event.because}"
        case e.StillStands(because=because):
            return f"looked at again, still stands: {because}"
        case e.WentOutOfDate(because=because):
            return f"out of date: {because}"
        case _:
            return ""


def _by(name: str, role: str, identified: str) -> str:
    """' by Ben Stone as inspector', with how it is known that it was he; ' by itself' where nobody chose."""
    if not name:
        return " by itself"
    known = f" (known by {identified})" if identified else ""
    return f" by {name}{f' as {role}' if role else ''}{known}"


def _which(instrument: str, gauge: str) -> str:
    return f"{instrument} {gauge}" if gauge else instrument


def rework_words(event: e.ReworkBegun) -> str:
    """A rework by its title, and how often it was begun on the part."""
    return f"{event.kind} '{event.title}', {event.count} of at most {event.at_most}"


def _numbers(steps: tuple[int, ...]) -> str:
    return f"{steps[0]} to {steps[-1]}" if len(steps) > 1 else str(steps[0])


def bounds(event: e.CheckDecided) -> str:
    """The limits of a check with their numbers: '42.360 mm to 42.380 mm', 'at most 0.010 mm'."""
    if event.low and event.high:
        return f"{event.low} to {event.high}"
    return f"at least {event.low}" if event.low else f"at most {event.high}"


def _solo(solo: bool) -> str:
    return " (worked and released by the same person, alone)" if solo else ""
