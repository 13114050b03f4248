"""The state of a job from its events. Fold only applies what an event says; it works nothing out.

Every prefix of a job's events folds, and an event is never taken back: what no longer counts stays in the events.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import TypeVar

from runner.job import events as e
from runner.job.events import Event
from runner.job.moments import same_boot
from runner.job.parts import Load
from runner.job.state import Failure, Known, Pass, PassKey, State, Stop, Timed
from runner.shop.people import person_key

K = TypeVar("K")
V = TypeVar("V")


def fold(events: Iterable[Event], state: State | None = None) -> State:
    """The state after these events, from the beginning or from an earlier state."""
    state = state or State()
    for event in events:
        state = apply(state, event)
    return state


def apply(state: State, event: Event) -> State:
    """The state after one more event."""
    state = _APPLY[type(event)](state, event) if type(event) in _APPLY else state
    marks, last = state.marks, state.last_at
    if not isinstance(event, e.SittingBegun | e.ShopSeen | e.ClockNoticed | e.WentOutOfDate):
        state = replace(state, acted_at=event.at)
    if last is not None and not same_boot(last, event.at):
        marks = (*marks, last, event.at)
    return replace(state, positions=state.positions + 1, marks=marks, last_at=event.at)


def _key(event: e.PassEvent) -> PassKey:
    return event.stage, event.part


def _with_pass(state: State, key: PassKey, **changes: object) -> State:
    return replace(state, passes={**state.passes, key: replace(state.at(key), **changes)})  # type: ignore[arg-type]


def _entry(state: State, event: e.PassEvent, **changes: object) -> State:
    """The pass with changes, and whoever made them among those who have entries in it."""
    people = state.at(_key(event)).people | {person_key(event.who)}
    return _with_pass(state, _key(event), **{"people": people, **changes})


def _complete(state: State, event: e.StepEvent, **changes: object) -> State:
    """The step done, and standing."""
    found = state.at(_key(event))
    return _with_pass(
        state,
        _key(event),
        done_steps=found.done_steps | {event.step},
        out_of_date=_without(found.out_of_date, event.step),
        done_at={**found.done_at, event.step: Timed(event.at, len(state.marks))},
        **{"questioned": None, "failed": _other_failure(found, event.step), **changes},
    )


def _other_failure(found: Pass, step: int) -> Failure | None:
    """What stopped the pass, unless it was this step."""
    return None if found.failed and found.failed.step == step else found.failed


def _step_done(state: State, event: e.StepEvent, words: str) -> State:
    state = _complete(_entry(state, event), event)
    return replace(state, last_done=f"{words} ({event.part}, {event.stage}, step {event.step})")


def _timed(state: State, event: e.StepEvent, name: str) -> State:
    timed = Timed(event.at, len(state.marks))
    return replace(state, times={**state.times, (event.part, name): timed}) if name else state


def _without(found: Mapping[K, V], *keys: K) -> dict[K, V]:
    return {key: value for key, value in found.items() if key not in keys}


def _put_out_of_date(state: State, refs: Iterable[e.Ref], because: str) -> State:
    """What was done at these steps no longer stands; what was read there stays known, as out of date."""
    for ref in refs:
        key = (ref.stage, ref.part)
        found = state.at(key)
        stood = ref.step in found.done_steps or (found.failed is not None and found.failed.step == ref.step)
        state = _with_pass(
            state,
            key,
            done=False,
            done_steps=found.done_steps - {ref.step},
            out_of_date={**found.out_of_date, ref.step: because} if stood else found.out_of_date,
            ticks=_without(found.ticks, ref.step),
            called=_without(found.called, ref.step),
            checked=_without(found.checked, ref.step),
            failed=_other_failure(found, ref.step),
        )
        state = replace(state, completed=False)
    return state


def _undo(state: State, refs: Iterable[e.Ref]) -> State:
    """These steps as if they had not been begun; what was read there is forgotten here and stays in the events."""
    for ref in refs:
        key = (ref.stage, ref.part)
        found = state.at(key)
        known = {
            name: one
            for name, one in state.known.items()
            if (one.stage, one.part, one.step) != (ref.stage, ref.part, ref.step)
        }
        state = replace(state, known=known, completed=False)
        state = _with_pass(
            state,
            key,
            done=False,
            done_steps=found.done_steps - {ref.step},
            skipped=found.skipped - {ref.step},
            acknowledged=found.acknowledged - {ref.step},
            out_of_date=_without(found.out_of_date, ref.step),
            ticks=_without(found.ticks, ref.step),
            called=_without(found.called, ref.step),
            checked=_without(found.checked, ref.step),
            branches={at: one for at, one in found.branches.items() if at[0] != ref.step},
            questioned=None,
            failed=None,
        )
    return state


# the job and its people


def _opened(state: State, event: e.JobOpened) -> State:
    return replace(state, opened=event, person=event.who)


def _sitting(state: State, event: e.SittingBegun) -> State:
    """Who sat there last may not be who has the job open now."""
    return replace(state, acted_at=None)


def _shop(state: State, event: e.ShopSeen) -> State:
    return replace(state, shop=event.sha256)


def _gauge(state: State, event: e.GaugeTaken) -> State:
    return replace(state, gauges={**state.gauges, event.kind: event})


def _load(state: State, event: e.LoadMade) -> State:
    loads = {**state.loads, event.name: Load(event.kind, event.parts)}
    return replace(state, loads=loads, completed=False)


def _left(state: State, event: e.LoadLeft) -> State:
    load = state.loads[event.name]
    left = replace(load, parts=tuple(one for one in load.parts if one != event.part))
    return replace(state, loads={**state.loads, event.name: left}, completed=False)


def _person(state: State, event: e.PersonChanged) -> State:
    return replace(state, person=event.who, roles=event.roles)


def _prerequisite(state: State, event: e.PrerequisiteConfirmed) -> State:
    return replace(state, prerequisites=event.number, last_done=event.text)


def _suspended(state: State, event: e.JobSuspended) -> State:
    return replace(state, suspended=event)


def _resumed(state: State, event: e.JobResumed) -> State:
    return replace(state, suspended=None)


def _handed_over(state: State, event: e.HandoverGiven) -> State:
    return replace(state, handed_over=event)


def _accepted(state: State, event: e.HandoverAccepted) -> State:
    return replace(state, handed_over=None)


def _completed(state: State, event: e.JobCompleted) -> State:
    return replace(state, completed=True, in_hand=None)


def _released(state: State, event: e.JobReleased) -> State:
    return replace(state, released=event)


# passes


def _started(state: State, event: e.PassStarted) -> State:
    return replace(_with_pass(state, _key(event), started=True), in_hand=_key(event))


def _done(state: State, event: e.PassDone) -> State:
    key = _key(event)
    state = _with_pass(state, key, done=True)
    reworking = {part: one for part, one in state.reworking.items() if one != key}
    return replace(state, in_hand=None if state.in_hand == key else state.in_hand, reworking=reworking)


def _stopped(state: State, event: e.PassStopped) -> State:
    stop = Stop(event.exit, event.step, event.because, event.who)
    if event.exit == e.NONCONFORMING:
        state = replace(state, nonconforming={**state.nonconforming, event.part: event.because})
    return _entry(state, event, stop=stop)


def _taken_up(state: State, event: e.PassTakenUp) -> State:
    return _entry(state, event, stop=None)


def _permitted(state: State, event: e.PermitGiven) -> State:
    state = replace(_complete(state, event, stop=None), allowed=(*state.allowed, event))
    return _timed(state, event, event.timed_as)


def _disposed(state: State, event: e.Disposed) -> State:
    state = replace(state, nonconforming=_without(state.nonconforming, event.part))
    if event.way == "concession":
        return replace(_complete(state, event, stop=None), allowed=(*state.allowed, event))
    in_hand = None if state.in_hand == _key(event) else state.in_hand
    return replace(state, gone={**state.gone, event.part: event.way}, in_hand=in_hand)


def _rework(state: State, event: e.ReworkBegun) -> State:
    part, key = event.part, _key(event)
    state = replace(
        state,
        nonconforming=_without(state.nonconforming, part),
        reworks={**state.reworks, (part, event.title): event.count},
        reworking=_without(state.reworking, part),
        in_hand=None,
    )
    if event.ladder:
        state = replace(state, rungs={**state.rungs, (event.rung_part, event.ladder): event.rung})
    state = _with_pass(state, key, stop=None, failed=None)
    state = _undo(state, event.done_again)
    why = f"'{event.title}' was begun on {part}"
    return _put_out_of_date(state, event.out_of_date, why)


def _rework_steps(state: State, event: e.ReworkStepsBegun) -> State:
    key = _key(event)
    state = replace(
        state,
        passes={**state.passes, key: Pass(started=True)},
        origins={**state.origins, key: event.origin},
        in_hand=key,
    )
    return replace(state, reworking={**state.reworking, event.part: key})


# steps


def _acknowledged(state: State, event: e.HazardsAcknowledged) -> State:
    return _entry(state, event, acknowledged=state.at(_key(event)).acknowledged | {event.step})


def _tick(state: State, event: e.TickMade) -> State:
    ticks = state.at(_key(event)).ticks
    made = ticks.get(event.step, frozenset()) | {event.number}
    return replace(_entry(state, event, ticks={**ticks, event.step: made}), last_done=event.text)


def _step(state: State, event: e.StepDone) -> State:
    return _timed(_step_done(state, event, event.text), event, event.timed_as)


def _skipped(state: State, event: e.StepSkipped) -> State:
    found = state.at(_key(event))
    state = _complete(_entry(state, event), event)
    return _with_pass(state, _key(event), skipped=found.skipped | {event.step})


def _questioned(state: State, event: e.EntryQuestioned) -> State:
    return _entry(state, event, questioned=event)


def _reading(state: State, event: e.ReadingTaken) -> State:
    before = state.known.get((event.part, event.name))
    known = Known(
        event.name,
        event.stage,
        event.part,
        event.step,
        points=(*(before.points if before else ()), event),
        position=state.positions,
        gauge=event.gauge or event.instrument,
    )
    state = replace(state, known={**state.known, (event.part, event.name): known})
    if not event.last:
        state = _entry(state, event, questioned=None)
        return replace(
            state, last_done=f"{event.name} {event.point} {event.typed} {event.unit} ({event.part})"
        )
    words = f"{event.name} {' '.join(point.typed for point in known.points)} {event.unit}"
    return _timed(_step_done(state, event, words), event, event.timed_as)


def _superseded(state: State, event: e.ReadingSuperseded) -> State:
    again = state.at(_key(event)).again
    here = e.Ref(stage=event.stage, part=event.part, step=event.step)
    acknowledged = state.at(_key(event)).acknowledged
    state = _undo(state, [here])
    if event.counts:
        again = {**again, event.step: again.get(event.step, 0) + 1}
    state = _entry(state, event, again=again, acknowledged=acknowledged)
    return _put_out_of_date(state, event.out_of_date, f"{event.name} on {event.part} is read again")


def _corrected(state: State, event: e.ReadingCorrected) -> State:
    known = state.known[(event.part, event.name)]
    points = tuple(
        replace(point, typed=event.typed, number=event.number, unit=event.unit, si=event.si)
        if point.point == event.point
        else point
        for point in known.points
    )
    state = replace(
        state, known={**state.known, (event.part, event.name): replace(known, points=points)}, completed=False
    )
    why = f"{event.name} on {event.part} was corrected from {event.was} to {event.typed}"
    return _put_out_of_date(_entry(state, event), event.out_of_date, why)


def _answer(state: State, event: e.AnswerGiven) -> State:
    known = Known(event.name, event.stage, event.part, event.step, shown=event.answer, answer=event.answer)
    state = replace(state, known={**state.known, (event.part, event.name): known})
    return _timed(_step_done(state, event, f"{event.name}: {event.answer}"), event, event.timed_as)


def _answer_corrected(state: State, event: e.AnswerCorrected) -> State:
    known = replace(state.known[(event.part, event.name)], shown=event.answer, answer=event.answer)
    state = replace(state, known={**state.known, (event.part, event.name): known}, completed=False)
    why = f"{event.name} on {event.part} was corrected from {event.was} to {event.answer}"
    return _put_out_of_date(_entry(state, event), event.out_of_date, why)


def _still_stands(state: State, event: e.StillStands) -> State:
    return _step_done(state, event, "looked at again")


def _went(state: State, event: e.WentOutOfDate) -> State:
    here = e.Ref(stage=event.stage, part=event.part, step=event.step)
    return _put_out_of_date(state, [here], event.because)


def _zero(state: State, event: e.ZeroRead) -> State:
    if not event.good:
        state = _entry(state, event, failed=event, questioned=None)
        why = f"the {event.gauge or event.instrument} did not read back what it should"
        return _put_out_of_date(state, event.out_of_date, why)
    state = replace(state, zeroed={**state.zeroed, event.gauge or event.instrument: state.positions})
    words = f"{event.instrument} read back {event.typed} {event.unit}"
    return _timed(_step_done(state, event, words), event, event.timed_as)


def _worked(state: State, event: e.ValueWorked) -> State:
    known = Known(
        event.name,
        event.stage,
        event.part,
        event.step,
        worked=event.si,
        shown=event.shown,
        shares=event.shares,
        uncertainty=event.uncertainty,
        position=state.positions,
    )
    state = replace(state, known={**state.known, (event.part, event.name): known})
    return _complete(state, event)


def _branch(state: State, event: e.BranchDecided) -> State:
    branches = {**state.at(_key(event)).branches, (event.step, event.depth): event}
    state = _with_pass(state, _key(event), branches=branches, done=False)
    return _put_out_of_date(state, event.out_of_date, "this branch was left, and is open again")


def _rung(state: State, event: e.RungTaken) -> State:
    state = replace(state, rungs={**state.rungs, (event.part, event.ladder): event.rung})
    return _complete(state, event)


def _not_worked(state: State, event: e.NotWorked) -> State:
    out_of_date = _without(state.at(_key(event)).out_of_date, event.step)
    return _with_pass(state, _key(event), failed=event, done=False, out_of_date=out_of_date)


def _checked(state: State, event: e.CheckDecided) -> State:
    found = state.at(_key(event))
    checked = {**found.checked, event.step: event}
    if event.met:
        return _complete(state, event, checked=checked)
    out_of_date = _without(found.out_of_date, event.step)
    return _with_pass(state, _key(event), failed=event, checked=checked, done=False, out_of_date=out_of_date)


def _waited(state: State, event: e.WaitPassed) -> State:
    return _timed(_step_done(state, event, f"waited for {event.name}"), event, event.name)


def _hold(state: State, event: e.HoldReleased) -> State:
    state = _complete(state, event)
    words = f"hold point '{event.title}' released by {event.by}"
    state = replace(state, last_done=f"{words} ({event.part}, {event.stage}, step {event.step})")
    return _timed(state, event, event.timed_as)


def _disagrees(state: State, event: e.SecondReadingDisagrees) -> State:
    return _with_pass(state, _key(event), failed=event)


def _called(state: State, event: e.WitnessCalled) -> State:
    called = {**state.at(_key(event)).called, event.step: Timed(event.at, len(state.marks))}
    return _entry(state, event, called=called)


def _witnessed(state: State, event: e.WitnessPassed) -> State:
    return _complete(state, event)


def _signed(state: State, event: e.SignedOff) -> State:
    state = _step_done(state, event, f"'{event.text}' signed by {event.name}")
    return _timed(state, event, event.timed_as)


_APPLY: Mapping[type[Event], Callable[..., State]] = {
    e.JobOpened: _opened,
    e.SittingBegun: _sitting,
    e.ShopSeen: _shop,
    e.GaugeTaken: _gauge,
    e.LoadMade: _load,
    e.LoadLeft: _left,
    e.PersonChanged: _person,
    e.PrerequisiteConfirmed: _prerequisite,
    e.JobSuspended: _suspended,
    e.JobResumed: _resumed,
    e.HandoverGiven: _handed_over,
    e.HandoverAccepted: _accepted,
    e.JobCompleted: _completed,
    e.JobReleased: _released,
    e.PassStarted: _started,
    e.PassDone: _done,
    e.PassStopped: _stopped,
    e.PassTakenUp: _taken_up,
    e.PermitGiven: _permitted,
    e.Disposed: _disposed,
    e.ReworkBegun: _rework,
    e.ReworkStepsBegun: _rework_steps,
    e.HazardsAcknowledged: _acknowledged,
    e.TickMade: _tick,
    e.StepDone: _step,
    e.StepSkipped: _skipped,
    e.EntryQuestioned: _questioned,
    e.ReadingTaken: _reading,
    e.ReadingSuperseded: _superseded,
    e.ReadingCorrected: _corrected,
    e.AnswerGiven: _answer,
    e.AnswerCorrected: _answer_corrected,
    e.StillStands: _still_stands,
    e.WentOutOfDate: _went,
    e.ZeroRead: _zero,
    e.ValueWorked: _worked,
    e.BranchDecided: _branch,
    e.RungTaken: _rung,
    e.NotWorked: _not_worked,
    e.CheckDecided: _checked,
    e.WaitPassed: _waited,
    e.HoldReleased: _hold,
    e.SecondReadingDisagrees: _disagrees,
    e.WitnessCalled: _called,
    e.WitnessPassed: _witnessed,
    e.SignedOff: _signed,
}
