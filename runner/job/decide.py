"""The one way to change a job: an intent, the state and the moment give events, or a refusal. Pure.

An act that completes a step carries everything that follows by itself in the same list: values worked, checks decided,
the pass done, the job completed. So one act is one transaction, and a restart can't fall between them.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from runner.job import events as e
from runner.job import gates, readings
from runner.job.events import Event
from runner.job.intents import (
    Acknowledge,
    BeginSitting,
    ChangePerson,
    Confirm,
    ConfirmPrerequisite,
    Dispose,
    Intent,
    MeasureAgain,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    StartPass,
    Stop,
    Suspend,
    TakeUp,
    Tick,
    Type,
)
from runner.job.job import Job, Refusal
from runner.job.moments import Moment, clock_step, same_boot, span_words
from runner.job.passes import is_complete, is_live, next_step, refusal_to_begin
from runner.job.state import PassKey, State, apply, fold
from runner.job.working import decide_check, work_out
from runner.procedure.model import Check, Do, HoldPoint, Read, SignOff, Step, Wait, WorkOut, Zero
from runner.shop.people import is_name

Answer = list[Event] | Refusal


def decide(job: Job, state: State, intent: Intent, now: Moment) -> Answer:
    """What an intent does to a job at this moment: its events, clock notices first, or why it can't be done now."""
    clock = _clock(state, now)
    answer = _decide(job, fold(clock, state), intent, now)
    return answer if isinstance(answer, Refusal) else [*clock, *answer]


def _clock(state: State, now: Moment) -> list[Event]:
    """What is to be noted of the clock since the last event: a restart, or a clock that was set."""
    if state.last_at is None:
        return []
    notes = []
    step = clock_step(state.last_at, now)
    if not same_boot(state.last_at, now):
        notes.append((0.0, "the machine was restarted since the last entry"))
    if step:
        way = "back" if step < 0 else "forward"
        notes.append((step, f"the clock was set {way} by {span_words(timedelta(seconds=abs(step)))}"))
    return [
        e.ClockNoticed(at=now, who=state.person, seconds=round(seconds, 3), what=what)
        for seconds, what in notes
    ]


def _decide(job: Job, state: State, intent: Intent, now: Moment) -> Answer:
    stamp: dict[str, Any] = {"at": now, "who": state.person}
    if state.released:
        return Refusal(f"job {job.number} is released and can only be read")
    match intent:
        case BeginSitting(machine):
            return [e.SittingBegun(**stamp, program=job.program, machine=machine)]
        case ChangePerson(name):
            return _change_person(state, name, now)
        case Suspend(because):
            return _suspend(state, because, stamp)
        case Resume():
            return _resume(state, stamp)
    if state.suspended:
        return Refusal(f"the job is suspended: {state.suspended.because}", "take it up again first")
    match intent:
        case ConfirmPrerequisite(number):
            return _prerequisite(job, state, number, stamp)
        case ReleaseJob():
            return gates.release_job(job, state, intent, stamp)
    if state.prerequisites < len(job.procedure.prerequisites):
        return Refusal(f"a prerequisite is not confirmed: {job.procedure.prerequisites[state.prerequisites]}")
    if isinstance(intent, StartPass):
        return _start(job, state, intent.key, stamp)
    if state.in_hand is None:
        return Refusal("no pass is in hand", "begin one first")
    return _in_hand(job, state, state.in_hand, intent, now, stamp)


def _in_hand(
    job: Job, state: State, key: PassKey, intent: Intent, now: Moment, stamp: dict[str, Any]
) -> Answer:
    """Acts on the pass in hand, on its next step."""
    step = next_step(job, state, key)
    if step is None:
        return Refusal("every step of this pass is done")
    here = {**stamp, "stage": key[0], "part": key[1], "step": step.about.number}
    found = state.at(key)
    if isinstance(intent, Dispose):
        return _follow(job, state, key, gates.dispose(job, state, key, intent, here), stamp)
    if isinstance(intent, TakeUp):
        return _take_up(job, state, key, intent, here)
    if found.stop:
        return Refusal(
            f"this pass stands: {found.stop.exit} ({found.stop.because})", _way_on(found.stop.exit)
        )
    if isinstance(intent, Stop):
        return gates.stop(job, state, key, intent, here)
    if locked := refusal_to_begin(job, state, key):
        return locked
    if isinstance(intent, MeasureAgain):
        return _again(job, state, key, intent, here)
    if isinstance(found.failed, e.CheckDecided | e.NotWorked):
        return Refusal(found.failed.sentence, "measure again, or take one of the ways out")
    return _at_step(job, state, key, step, intent, now, here)


def _at_step(
    job: Job, state: State, key: PassKey, step: Step, intent: Intent, now: Moment, here: dict[str, Any]
) -> Answer:
    """Acts that complete the step in hand, once its hazards are acknowledged."""
    warned = tuple(hazard.title for hazard in step.about.beware if hazard.asks)
    open_hazards = bool(warned) and step.about.number not in state.at(key).acknowledged
    if isinstance(intent, Acknowledge):
        if not open_hazards:
            return Refusal("there is no danger or warning to acknowledge here")
        return [e.HazardsAcknowledged(**here, hazards=warned)]
    if open_hazards:
        return Refusal(f"read the warning first: {', '.join(warned)}", "acknowledge it, then go on")
    answer: Answer
    match step, intent:
        case Read(), Type(text):
            answer = readings.take(job, state, key, step, text, here)
        case Zero(), Type(text):
            answer = readings.read_zero(job, state, key, step, text, here)
        case Do(), Tick(number):
            answer = _tick(state, key, step, number, here)
        case Do(), Confirm():
            answer = _confirm(state, key, step, here)
        case Wait(), Confirm():
            answer = gates.pass_wait(job, state, key, step, now, here)
        case HoldPoint(), Release():
            answer = gates.release(job, state, key, step, intent, here)
        case SignOff(), Sign(name):
            answer = gates.sign(state, step, name, here)
        case _:
            answer = Refusal(_wanted(step))
    stamp = {"at": here["at"], "who": here["who"]}
    return _follow(job, state, key, answer, stamp)


def _follow(job: Job, state: State, key: PassKey, answer: Answer, stamp: dict[str, Any]) -> Answer:
    """The answer with all that follows from it by itself."""
    if isinstance(answer, Refusal):
        return answer
    return [*answer, *_run_on(job, fold(answer, state), key, stamp)]


def _run_on(job: Job, state: State, key: PassKey, stamp: dict[str, Any]) -> list[Event]:
    """Values worked and checks decided up to the next step that needs a person; the pass and the job done."""
    events: list[Event] = []
    part = job.part_of(key)
    if state.in_hand == key and not state.at(key).stop:
        while isinstance(step := next_step(job, state, key), WorkOut | Check):
            here = {**stamp, "stage": key[0], "part": key[1], "step": step.about.number}
            event: Event
            if isinstance(step, WorkOut):
                event = work_out(job, state, part, step, here)
            else:
                event = decide_check(job, state, part, step, here)
            events.append(event)
            state = apply(state, event)
            if state.at(key).failed:
                return events
        if step is None:
            events.append(e.PassDone(**stamp, stage=key[0], part=key[1]))
            state = apply(state, events[-1])
    if is_complete(job, state) and not state.completed:
        events.append(e.JobCompleted(**stamp))
    return events


def _start(job: Job, state: State, key: PassKey, stamp: dict[str, Any]) -> Answer:
    if key not in job.keys():
        return Refusal(f"there is no '{key[0]}' on {key[1]} in this job")
    if state.in_hand == key:
        return Refusal(f"'{key[0]}' on {key[1]} is in hand already")
    found = state.at(key)
    if not (found.started and found.stop and is_live(job, state, job.part_of(key))):
        refusal = refusal_to_begin(job, state, key)
        if refusal:
            return refusal
    begun = e.PassStarted(**stamp, stage=key[0], part=key[1])
    if found.started:
        return [begun]
    return _follow(job, state, key, [begun], stamp)


def _prerequisite(job: Job, state: State, number: int, stamp: dict[str, Any]) -> Answer:
    wanted = job.procedure.prerequisites
    if state.prerequisites >= len(wanted):
        return Refusal("every prerequisite is confirmed")
    if number != state.prerequisites + 1:
        return Refusal(
            f"prerequisites are confirmed one by one; the next is number {state.prerequisites + 1}"
        )
    return [e.PrerequisiteConfirmed(**stamp, number=number, text=wanted[number - 1])]


def _change_person(state: State, name: str, now: Moment) -> Answer:
    name = " ".join(name.split())
    if not is_name(name):
        return Refusal(f"'{name}' is no name", "type the name of whoever is at the bench now")
    if name == state.person:
        return Refusal(f"{name} is at the bench already")
    return [e.PersonChanged(at=now, who=name, before=state.person)]


def _suspend(state: State, because: str, stamp: dict[str, Any]) -> Answer:
    if state.suspended:
        return Refusal("the job is suspended already")
    if not because.strip():
        return Refusal("a stop needs a note: what is loose, hot or half done", "one line is enough")
    return [e.JobSuspended(**stamp, because=because.strip())]


def _resume(state: State, stamp: dict[str, Any]) -> Answer:
    if not state.suspended:
        return Refusal("the job is not suspended")
    return [e.JobResumed(**stamp, last=state.last_done)]


def _take_up(job: Job, state: State, key: PassKey, asked: TakeUp, here: dict[str, Any]) -> Answer:
    stop = state.at(key).stop
    if stop is None:
        return Refusal("this pass is not stopped")
    if stop.exit == e.NONCONFORMING:
        return Refusal(f"{key[1]} is nonconforming ({stop.because})", _way_on(stop.exit))
    if locked := refusal_to_begin(job, state, key):
        return locked
    if not asked.because.strip():
        return Refusal("what has changed, so that it can go on?", "one line is enough")
    return [e.PassTakenUp(**here, because=asked.because.strip())]


def _again(job: Job, state: State, key: PassKey, asked: MeasureAgain, here: dict[str, Any]) -> Answer:
    if not asked.because.strip():
        return Refusal("measuring again needs its reason", "one line is enough")
    return readings.again(job, state, key, asked.name, asked.because.strip(), here)


def _tick(state: State, key: PassKey, step: Do, number: int, here: dict[str, Any]) -> Answer:
    made = state.at(key).ticks.get(step.about.number, frozenset())
    if not 1 <= number <= len(step.ticks):
        return Refusal(
            f"this step has {len(step.ticks)} lines to tick"
            if step.ticks
            else "this step has nothing to tick"
        )
    if number in made:
        return Refusal(f"'{step.ticks[number - 1]}' is ticked already")
    events: list[Event] = [e.TickMade(**here, number=number, text=step.ticks[number - 1])]
    if len(made) + 1 == len(step.ticks):
        events.append(e.StepDone(**here, text=step.text, timed_as=step.about.timed_as))
    return events


def _confirm(state: State, key: PassKey, step: Do, here: dict[str, Any]) -> Answer:
    made = state.at(key).ticks.get(step.about.number, frozenset())
    left = [text for number, text in enumerate(step.ticks, 1) if number not in made]
    if left:
        return Refusal(f"not ticked yet: {', '.join(left)}", "tick each line by itself")
    return [e.StepDone(**here, text=step.text, timed_as=step.about.timed_as)]


def _wanted(step: Step) -> str:
    match step:
        case Read(ask=ask, unit=unit):
            return f"a reading is wanted here: {ask}, in {unit.symbol}"
        case Zero(instrument=instrument, on=on):
            return f"what the {instrument} reads on {on} is wanted here"
        case Do(text=text):
            return f"this step is done and then confirmed: {text}"
        case Wait(name=name):
            return f"'{name}' is waited for here"
        case HoldPoint(title=title, by=by):
            return f"hold point '{title}' is released by {'an' if by[0] in 'aeiou' else 'a'} {by}"
        case SignOff(text=text):
            return f"'{text}' is signed here with a name"
        case _:
            return "this step works itself out"


def _way_on(exit_: str) -> str:
    if exit_ == e.NONCONFORMING:
        return "somebody else decides: concession, scrap or return"
    return "take it up again when it can be done, saying what has changed"
