"""The one way to change a job: an intent, the state and the moment give events, or a refusal. Pure.

An act that completes a step carries everything that follows by itself in the same list (`following.py`). So one act is one
transaction, and a restart can't fall between them.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from runner.job import (
    against_the_clock,
    alarms,
    corrections,
    holds,
    instruments,
    loads,
    loggers,
    nonconformance,
    readings,
    soaks,
)
from runner.job import events as e
from runner.job.events import Event
from runner.job.fold import fold
from runner.job.following import follow, waits_for
from runner.job.intents import (
    AcceptHandover,
    Acknowledge,
    AnswerAlarm,
    Arm,
    Attend,
    BeginSitting,
    CallWitness,
    ChangePerson,
    ClockKey,
    Confirm,
    ConfirmPrerequisite,
    Correct,
    Dispose,
    Estimate,
    HandOver,
    Hurry,
    Intent,
    LeaveLoad,
    MakeLoad,
    MeasureAgain,
    MoveReadings,
    Notice,
    OpenDoor,
    Permit,
    ReadLogger,
    Release,
    ReleaseJob,
    Resume,
    SeeShop,
    Sign,
    Skip,
    StandDown,
    StartPass,
    StillStand,
    Stop,
    Suspend,
    TakeGauge,
    TakeLogger,
    TakeUp,
    Tick,
    Type,
)
from runner.job.job import Job, Refusal
from runner.job.moments import Moment, clock_step, same_boot, span_words
from runner.job.passes import is_live, next_step, refusal_to_begin, refuse_part, to_acknowledge
from runner.job.people import refuse_role
from runner.job.state import Clock, PassKey, Soaking, State
from runner.job.waits import pass_not_before, pass_wait, since
from runner.procedure.model import (
    AgainstTheClock,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    SignOff,
    Soak,
    Step,
    Wait,
    WitnessPoint,
    Write,
    Zero,
)
from runner.shop.people import is_name, is_shared, same_person

Answer = list[Event] | Refusal
LONGEST_HURRY_S = 7 * 24 * 3600


def decide(job: Job, state: State, intent: Intent, now: Moment) -> Answer:
    """
    What an intent does to a job at this moment: its events, what was noticed first, or why it can't be done now. Where
    something went out of date meanwhile, that alone is the answer to an act that it stands in the way of.
    """
    job = job.as_loaded(state.loads)
    noticed = _clock(state, now)
    noticed += _too_old(job, fold(noticed, state), now)
    seen = fold(noticed, state)
    answer = _decide(job, seen, intent, now)
    dated = any(isinstance(one, e.WentOutOfDate) for one in noticed)
    if dated and (isinstance(answer, Refusal) or _is_for_another_step(job, state, seen, intent)):
        return noticed
    return answer if isinstance(answer, Refusal) else [*noticed, *answer]


def _is_for_another_step(job: Job, before: State, after: State, intent: Intent) -> bool:
    """Whether an act was meant for the step that was in hand before something went out of date, and another one is now."""
    key = before.in_hand
    meant = Acknowledge | Confirm | Tick | Type | Skip | StillStand | Sign | Release | CallWitness | Attend
    return (
        key is not None
        and isinstance(intent, meant)
        and next_step(job, before, key) != next_step(job, after, key)
    )


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


def _too_old(job: Job, state: State, now: Moment) -> list[Event]:
    """Steps of the pass in hand that stand only so long, and have stood longer."""
    key = state.in_hand
    if key is None or state.released or state.suspended or state.handed_over:
        return []
    found = state.at(key)
    old: list[Event] = []
    for step in job.stage_of(key).steps:
        number, lasts = step.about.number, step.about.good_for
        if lasts is None or number not in found.done_steps or number not in found.done_at:
            continue
        if since(state, found.done_at[number], now).lasted > timedelta(seconds=float(lasts.si)):
            where: dict[str, Any] = {
                "at": now,
                "who": state.person,
                "stage": key[0],
                "part": key[1],
                "step": number,
            }
            old.append(e.WentOutOfDate(**where, because=f"it is good for {lasts.typed}"))
    return old


def _decide(job: Job, state: State, intent: Intent, now: Moment) -> Answer:
    stamp: dict[str, Any] = {"at": now, "who": state.person}
    if state.released:
        return Refusal(f"job {job.number} is released and can only be read")
    match intent:
        case BeginSitting(machine):
            return [e.SittingBegun(**stamp, program=job.program, machine=machine)]
        case SeeShop():
            return _see_shop(job, state, stamp)
        case ChangePerson():
            return _change_person(job, state, intent, now)
        case Suspend(because):
            return _suspend(state, because, stamp)
        case Notice():
            return _notice(job, state, now)
        case ReadLogger() if _goes_on(state) and has_pass(job, intent.key):
            nobody = {**stamp, "who": ""}
            return follow(job, state, loggers.read(job, state, intent, now, nobody), nobody)
    if has_lapsed(job, state, now):
        if not isinstance(intent, ClockKey | AnswerAlarm):
            return Refusal("who is at the bench is not known any more", "say who it is first")
        # Physics doesn't wait until somebody has said a name; whose hand it was stays open, and shows nobody at the bench.
        stamp["who"] = ""
    match intent:
        case AnswerAlarm():
            return _answer_alarm(job, state, now, stamp)
        case Hurry(seconds):
            return _hurry(state, seconds, stamp)
        case Resume():
            return _resume(state, stamp)
        case HandOver(note):
            return _hand_over(state, note, stamp)
        case AcceptHandover():
            return _accept(state, stamp)
    if state.suspended:
        return Refusal(f"the job is suspended: {state.suspended.because}", "take it up again first")
    if state.handed_over:
        return Refusal(
            f"{state.handed_over.who} handed the job over: {state.handed_over.note}",
            "whoever takes it on accepts that first",
        )
    return _at_work(job, state, intent, now, stamp)


def _hurry(state: State, seconds: float, stamp: dict[str, Any]) -> Answer:
    if not state.is_rehearsal:
        return Refusal("only a rehearsal can be hurried; here time takes its time")
    if not 0 < seconds <= LONGEST_HURRY_S:
        return Refusal("a rehearsal is hurried by up to a week at once")
    return [e.ClockHurried(**stamp, seconds=seconds)]


def _goes_on(state: State) -> bool:
    return not (state.suspended or state.handed_over)


def _at_work(job: Job, state: State, intent: Intent, now: Moment, stamp: dict[str, Any]) -> Answer:
    """Acts on the work itself."""
    match intent:
        case ConfirmPrerequisite(number):
            return _prerequisite(job, state, number, stamp)
        case ReleaseJob():
            return holds.release_job(job, state, intent, stamp)
    if state.prerequisites < len(job.procedure.prerequisites):
        return Refusal(f"a prerequisite is not confirmed: {job.procedure.prerequisites[state.prerequisites]}")
    if isinstance(intent, Correct | MoveReadings | TakeLogger | ReadLogger) and not has_pass(job, intent.key):
        return Refusal(f"there is no '{intent.key[0]}' on {intent.key[1]} in this job")
    match intent:
        case StartPass(key):
            return _start(job, state, key, stamp)
        case MakeLoad():
            return loads.make(job, state, intent, stamp)
        case LeaveLoad():
            return loads.leave(job, state, intent, now, stamp)
        case TakeGauge(kind, gauge):
            return instruments.take(job, state, kind, gauge, now, stamp)
        case TakeLogger():
            return loggers.take(job, state, intent, now, stamp)
        case Correct():
            return follow(job, state, corrections.correct(job, state, intent, stamp), stamp)
        case MoveReadings():
            return follow(job, state, corrections.move(job, state, intent, stamp), stamp)
        case MeasureAgain(key=other) if other is not None and other != state.in_hand:
            return _again_elsewhere(job, state, intent, stamp)
    if state.in_hand is None:
        return Refusal("no pass is in hand", "begin one first")
    return _in_hand(job, state, state.in_hand, intent, now, stamp)


def has_pass(job: Job, key: PassKey) -> bool:
    """Whether a job has such a pass; the steps of a rework are one too."""
    stage = next((one for one in job.procedure.every_stage if one.title == key[0]), None)
    found = job.parts.find(stage.for_each, key[1]) if stage else None
    return found is not None and found.path == key[1]


def has_lapsed(job: Job, state: State, now: Moment) -> bool:
    """
    Whether it isn't known any more who is at the bench: in a shop that names its people, after a time without an act, and
    when a job is taken up again.
    """
    if not job.shop.people:
        return False
    if state.acted_at is None:
        return True
    idle = job.shop.lapses_after
    if idle is None:
        return False
    if same_boot(state.acted_at, now):
        return now.boot - state.acted_at.boot > idle.total_seconds()
    return True


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
        return follow(job, state, nonconformance.dispose(job, state, key, intent, here), stamp)
    if isinstance(intent, TakeUp):
        return follow(job, state, nonconformance.take_up(job, state, key, intent, here), stamp)
    if isinstance(intent, Permit):
        return follow(job, state, nonconformance.permit(job, state, key, intent, here), stamp)
    if found.stop:
        return Refusal(
            f"this pass stands: {found.stop.exit} ({found.stop.because})",
            nonconformance.way_on(found.stop.exit),
        )
    if isinstance(intent, Stop):
        if found.failed:
            here["step"] = found.failed.step
        return nonconformance.stop(job, state, key, intent, here)
    if locked := refusal_to_begin(job, state, key):
        return locked
    if isinstance(intent, MeasureAgain):
        return follow(job, state, corrections.again(job, state, key, intent, stamp), stamp)
    if isinstance(intent, Estimate) and isinstance(step, AgainstTheClock):
        answer = against_the_clock.estimate(job, state, key, step, intent, here)
        return follow(job, state, answer, stamp)
    stands = found.failed is not None and not isinstance(found.failed, e.ZeroRead)
    if found.failed and stands and found.failed.step <= step.about.number:
        return Refusal(found.failed.sentence, "measure again, or take one of the ways out")
    return follow(job, state, _at_step(job, state, key, step, intent, now, here), stamp)


def _again_elsewhere(job: Job, state: State, asked: MeasureAgain, stamp: dict[str, Any]) -> Answer:
    """A reading of another pass, done or not, is taken again: that pass is in hand then."""
    assert asked.key
    if not has_pass(job, asked.key):
        return Refusal(f"there is no '{asked.key[0]}' on {asked.key[1]} in this job")
    found = state.at(asked.key)
    if found.stop:
        return Refusal(f"that pass stands: {found.stop.exit} ({found.stop.because})")
    if locked := refuse_part(job, state, asked.key) or (
        None if found.done else refusal_to_begin(job, state, asked.key)
    ):
        return locked
    answer = corrections.again(job, state, asked.key, asked, stamp)
    if isinstance(answer, Refusal):
        return answer
    begun = e.PassStarted(**stamp, stage=asked.key[0], part=asked.key[1])
    return follow(job, state, [*answer, begun], stamp)


def _at_step(
    job: Job, state: State, key: PassKey, step: Step, intent: Intent, now: Moment, here: dict[str, Any]
) -> Answer:
    """Acts that complete the step in hand, once its hazards are acknowledged."""
    if isinstance(intent, StillStand):
        return corrections.still_stands(job, state, key, step.about.number, intent.because, here)
    if waiting := waits_for(job, state, key):
        return Refusal(f"this pass waits: {waiting}", "see to that first; other parts may be worked on")
    warned = tuple(hazard.title for hazard in to_acknowledge(job.stage_of(key), state.at(key), step))
    if isinstance(intent, Acknowledge):
        if not warned:
            return Refusal("there is no danger or warning to acknowledge here")
        return [e.HazardsAcknowledged(**here, hazards=warned)]
    if warned:
        return Refusal(f"read the warning first: {', '.join(warned)}", "acknowledge it, then go on")
    if isinstance(intent, Skip):
        return _skip(job, state, key, step, intent, here)
    match step, intent:
        case Read(), Type(text):
            return readings.take(job, state, key, step, text, now, here)
        case Zero(), Type(text):
            return readings.read_zero(job, state, key, step, text, now, here)
        case ((Choose() | Write()), Type(text)):
            return readings.answer(state, key, step, text, here)
        case Do(), Tick(number):
            return _tick(state, key, step, number, here)
        case Do(), Confirm():
            return _confirm(state, key, step, here)
        case Wait(), Confirm():
            return pass_wait(job, state, key, step, now, here)
        case NotBefore(), Confirm():
            return pass_not_before(job, state, key, step, now, here)
        case Soak(), Type(text):
            return soaks.take(job, state, key, step, text, now, here)
        case Soak(), OpenDoor(because):
            return soaks.door(step, state.at(key).soaks.get(step.about.number, Soaking()), because, here)
        case AgainstTheClock(), _:
            return _against_the_clock(job, state, key, step, intent, now, here)
        case HoldPoint(), Release():
            return holds.release(job, state, key, step, intent, here)
        case WitnessPoint(), CallWitness():
            return holds.call(state, key, step, here)
        case WitnessPoint(), Attend():
            return holds.attend(job, state, key, step, intent, now, here)
        case WitnessPoint(), Confirm():
            return holds.go_on(job, state, key, step, now, here)
        case SignOff(), Sign():
            return holds.sign(state, step, intent, here)
    return Refusal(wanted(step))


def _against_the_clock(
    job: Job,
    state: State,
    key: PassKey,
    step: AgainstTheClock,
    intent: Intent,
    now: Moment,
    here: dict[str, Any],
) -> Answer:
    clock = state.at(key).clocks.get(step.about.number, Clock())
    match intent:
        case Tick(number):
            return _tick(state, key, step, number, here)
        case Arm() if clock.armed is None:
            return against_the_clock.arm(job, state, key, step, here)
        case StandDown(because) if clock.armed:
            return against_the_clock.stand_down(clock, step, because, here)
        case ClockKey():
            return against_the_clock.press(job, state, key, step, now, here)
    return Refusal(wanted(step))


def _notice(job: Job, state: State, now: Moment) -> Answer:
    """
    What time alone has brought about, and nobody did: a missed key or a hold that was long enough, unless the work stands
    still, and the alarms that are to be raised.
    """
    stamp: dict[str, Any] = {"at": now, "who": ""}
    made = _notice_clocks(job, state, now, stamp) if _goes_on(state) else []
    if isinstance(made, Refusal):
        return made
    seen = fold(made, state)
    raised = alarms.to_raise(job.as_loaded(seen.loads), seen, now)
    if not raised:
        return made
    refs = tuple(one.ref for one in raised)
    return [*made, e.AlarmRaised(**stamp, alarms=refs, text=alarms.group_words(job, raised, now))]


def _answer_alarm(job: Job, state: State, now: Moment, stamp: dict[str, Any]) -> Answer:
    raised = [one for one in alarms.in_sight(job, state, now) if state.alarms.get(one.ref) is False]
    if not raised:
        return Refusal("no alarm is waiting for an answer")
    refs = tuple(one.ref for one in raised)
    return [e.AlarmAnswered(**stamp, alarms=refs, text=alarms.group_words(job, raised, now))]


def _notice_clocks(job: Job, state: State, now: Moment, stamp: dict[str, Any]) -> Answer:
    """The first missed key, or hold that was long enough."""
    for key, found in state.passes.items():
        clock = any(one.started for one in found.clocks.values())
        if clock and not found.stop and (made := _notice_clock(job, state, key, now, stamp)):
            return made
    return []


def _notice_clock(job: Job, state: State, key: PassKey, now: Moment, stamp: dict[str, Any]) -> Answer:
    step = next_step(job, state, key)
    if not isinstance(step, AgainstTheClock) or refusal_to_begin(job, state, key):
        return []
    here = {**stamp, "stage": key[0], "part": key[1], "step": step.about.number}
    noticed = (
        against_the_clock.missed(state, key, step, now, here)
        or against_the_clock.held(job, state, key, step, now, here)
        or against_the_clock.route_by_itself(job, state, key, step, now, here)
    )
    return follow(job, state, noticed, stamp)


def _skip(job: Job, state: State, key: PassKey, step: Step, asked: Skip, here: dict[str, Any]) -> Answer:
    """A step left out, where the procedure lets somebody of a role say so."""
    role = step.about.may_skip
    if not role:
        return Refusal("this step may not be skipped", "say 'cannot do as written' if it can't be done")
    if refusal := refuse_role(job, asked.by, role, "a step is skipped"):
        return refusal
    if not is_name(asked.because):
        return Refusal("a step is skipped for a reason", "one line is enough")
    return [
        *corrections.left_unread(state, key, step, here),
        e.StepSkipped(
            **here, by=asked.by.strip(), role=role, because=asked.because.strip(), identified=asked.identified
        ),
    ]


def _start(job: Job, state: State, key: PassKey, stamp: dict[str, Any]) -> Answer:
    if not has_pass(job, key):
        return Refusal(f"there is no '{key[0]}' on {key[1]} in this job")
    if state.in_hand == key:
        return Refusal(f"'{key[0]}' on {key[1]} is in hand already")
    found = state.at(key)
    if not (found.started and found.stop and is_live(job, state, job.part_of(key))):
        refusal = refusal_to_begin(job, state, key)
        if refusal:
            return refusal
    return follow(job, state, [e.PassStarted(**stamp, stage=key[0], part=key[1])], stamp)


def _prerequisite(job: Job, state: State, number: int, stamp: dict[str, Any]) -> Answer:
    wanted = job.procedure.prerequisites
    if state.prerequisites >= len(wanted):
        return Refusal("every prerequisite is confirmed")
    if number != state.prerequisites + 1:
        return Refusal(
            f"prerequisites are confirmed one by one; the next is number {state.prerequisites + 1}"
        )
    return [e.PrerequisiteConfirmed(**stamp, number=number, text=wanted[number - 1])]


def _see_shop(job: Job, state: State, stamp: dict[str, Any]) -> Answer:
    if job.shop.sha256 == state.shop:
        return []
    seen = e.ShopSeen(**stamp, sha256=job.shop.sha256, before=state.shop)
    return [seen, *instruments.zeros_of_others(job, state, stamp)]


def _change_person(job: Job, state: State, asked: ChangePerson, now: Moment) -> Answer:
    name = " ".join(asked.name.split())
    if not is_name(name) or is_shared(name):
        return Refusal(f"'{name}' is nobody's own name", "type the name of whoever is at the bench now")
    person = job.shop.person(name)
    if job.shop.people and person is None:
        return Refusal(f"the shop file has nobody called '{name}'", "`benchhand shop person` enters somebody")
    if same_person(name, state.person) and not has_lapsed(job, state, now):
        return Refusal(f"{name} is at the bench already")
    roles = person.roles if person else ()
    name = person.name if person else name
    return [e.PersonChanged(at=now, who=name, before=state.person, roles=roles, identified=asked.identified)]


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


def _hand_over(state: State, note: str, stamp: dict[str, Any]) -> Answer:
    if state.handed_over:
        return Refusal(f"{state.handed_over.who} handed the job over already")
    if not is_name(note):
        return Refusal(
            "a handover needs a note: what isn't ordinary, and what comes next", "one line is enough"
        )
    return [e.HandoverGiven(**stamp, note=note.strip(), last=state.last_done)]


def _accept(state: State, stamp: dict[str, Any]) -> Answer:
    if state.handed_over is None:
        return Refusal("nobody handed the job over")
    return [e.HandoverAccepted(**stamp, given_by=state.handed_over.who)]


def _tick(
    state: State, key: PassKey, step: Do | AgainstTheClock, number: int, here: dict[str, Any]
) -> Answer:
    made = state.at(key).ticks.get(step.about.number, frozenset())
    lines = step.ticks if isinstance(step, Do) else step.ready
    if not 1 <= number <= len(lines):
        return Refusal(
            f"this step has {len(lines)} lines to tick" if lines else "this step has nothing to tick"
        )
    if number in made:
        return Refusal(f"'{lines[number - 1]}' is ticked already")
    events: list[Event] = [e.TickMade(**here, number=number, text=lines[number - 1])]
    if isinstance(step, Do) and len(made) + 1 == len(lines):
        events.append(e.StepDone(**here, text=step.text, timed_as=step.about.timed_as))
    return events


def _confirm(state: State, key: PassKey, step: Do, here: dict[str, Any]) -> Answer:
    made = state.at(key).ticks.get(step.about.number, frozenset())
    left = [text for number, text in enumerate(step.ticks, 1) if number not in made]
    if left:
        return Refusal(f"not ticked yet: {', '.join(left)}", "tick each line by itself")
    return [e.StepDone(**here, text=step.text, timed_as=step.about.timed_as)]


def wanted(step: Step) -> str:
    """What a step asks of whoever is at it, in a sentence."""
    match step:
        case Read(ask=ask, unit=unit):
            return f"a reading is wanted here: {ask}, in {unit.symbol}"
        case Zero(instrument=instrument, on=on):
            return f"what the {instrument} reads on {on} is wanted here"
        case Do(text=text):
            return f"this step is done and then confirmed: {text}"
        case Wait(name=name) | NotBefore(name=name):
            return f"'{name}' is waited for here"
        case Soak(ask=ask, unit=unit):
            return f"readings of a soak are wanted here: {ask}, in {unit.symbol}"
        case AgainstTheClock(name=name):
            return f"'{name}' is armed here, and then told by its key"
        case Choose(ask=ask, options=options):
            return f"one of the options is wanted here: {ask} ({', '.join(options)})"
        case Write(ask=ask):
            return f"a text is wanted here: {ask}"
        case HoldPoint(title=title, by=by):
            return f"hold point '{title}' is released by {'an' if by[0] in 'aeiou' else 'a'} {by}"
        case WitnessPoint(title=title, by=by):
            return f"witness point '{title}': the {by} is called, and comes or doesn't"
        case SignOff(text=text):
            return f"'{text}' is signed here with a name"
        case _:
            return "this step works itself out"
