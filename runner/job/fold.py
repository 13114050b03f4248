"""The state of a job from its events. Fold only applies what an event says; it works nothing out.

Every prefix of a job's events folds, and an event is never taken back: what no longer counts stays in the events.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import timedelta
from typing import TypeVar

from runner.job import events as e
from runner.job.events import Event
from runner.job.moments import Moment, same_boot, set_back, span_words
from runner.job.parts import Load
from runner.job.state import (
    Clock,
    Failure,
    Known,
    Logger,
    Pass,
    PassKey,
    Sample,
    Soaking,
    State,
    Stop,
    Timed,
)
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
    state = _reopened(state, event)
    marks, last = state.marks, state.last_at
    if last is not None and not same_boot(last, event.at):
        marks = (*marks, last, event.at)
    acted_at = event.at if event.who and not isinstance(event, _NOBODYS) else state.acted_at
    return replace(state, positions=state.positions + 1, marks=marks, last_at=event.at, acted_at=acted_at)


_NOBODYS = e.SittingBegun | e.ShopSeen | e.ClockNoticed | e.WentOutOfDate | e.JobSuspended
"""What happens without a person, or may be done by anybody who passes: none of it shows who is at the bench."""


def _key(event: e.PassEvent) -> PassKey:
    return event.stage, event.part


def _with_pass(state: State, key: PassKey, **changes: object) -> State:
    return replace(state, passes={**state.passes, key: replace(state.at(key), **changes)})  # type: ignore[arg-type]


def _entry(state: State, event: e.PassEvent, **changes: object) -> State:
    """The pass with changes, and whoever made them among those who have entries in it; what is noticed is nobody's."""
    people = state.at(_key(event)).people | ({person_key(event.who)} if event.who else set())
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
        failed = found.failed
        asked = isinstance(failed, e.NotWorked) and not failed.name
        stood = ref.step in found.done_steps or (failed is not None and failed.step == ref.step and not asked)
        state = _with_pass(
            state,
            key,
            done=False,
            done_steps=found.done_steps - {ref.step},
            out_of_date={**found.out_of_date, ref.step: because} if stood else found.out_of_date,
            ticks=_without(found.ticks, ref.step),
            called=_without(found.called, ref.step),
            soaks=_without(found.soaks, ref.step),
            clocks=found.clocks if _runs(found, ref.step) else _without(found.clocks, ref.step),
            checked=_without(found.checked, ref.step),
            failed=_other_failure(found, ref.step),
        )
        state = replace(state, completed=False, allowed=_still_allowed(state, ref))
    return state


def _runs(found: Pass, step: int) -> bool:
    """Whether a clock is between its two keys, where no correction can reach it."""
    clock = found.clocks.get(step, Clock())
    return clock.started is not None and clock.stopped is None


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
        times = {
            place: one
            for place, one in state.times.items()
            if place[0] != ref.part or one != found.done_at.get(ref.step)
        }
        state = replace(state, known=known, times=times, completed=False, allowed=_still_allowed(state, ref))
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
            soaks=_without(found.soaks, ref.step),
            clocks=_without(found.clocks, ref.step),
            checked=_without(found.checked, ref.step),
            branches={at: one for at, one in found.branches.items() if at[0] != ref.step},
            rounds=_without(found.rounds, ref.step),
            questioned=None,
            failed=_other_failure(found, ref.step) if found.stop else None,
        )
    return state


def _reopened(state: State, event: Event) -> State:
    """The passes in which an event undid something, open from its moment on."""
    undone = (*getattr(event, "done_again", ()), *getattr(event, "out_of_date", ()))
    for key in {(ref.stage, ref.part) for ref in undone}:
        state = _with_pass(state, key, open_from=Timed(event.at, len(state.marks)))
    return state


def _still_allowed(state: State, ref: e.Ref) -> tuple[e.Disposed | e.PermitGiven, ...]:
    """The concessions and permits but for those on one step: they end when what they were given for changes."""
    return tuple(
        one for one in state.allowed if (one.stage, one.part, one.step) != (ref.stage, ref.part, ref.step)
    )


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


def _hurried(state: State, event: e.ClockHurried) -> State:
    return replace(state, hurried_s=state.hurried_s + event.seconds)


def _raised(state: State, event: e.AlarmRaised) -> State:
    return replace(state, alarms={**dict.fromkeys(event.alarms, False), **state.alarms})


def _answered(state: State, event: e.AlarmAnswered) -> State:
    return replace(state, alarms={**state.alarms, **dict.fromkeys(event.alarms, True)})


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
    key = _key(event)
    since = state.at(key).open_from or Timed(event.at, len(state.marks))
    return replace(_with_pass(state, key, started=True, open_from=since), in_hand=key)


def _done(state: State, event: e.PassDone) -> State:
    key = _key(event)
    state = _with_pass(state, key, done=True)
    return replace(state, in_hand=None if state.in_hand == key else state.in_hand)


def _stopped(state: State, event: e.PassStopped) -> State:
    failed = state.at(_key(event)).failed
    on_verdict = failed is not None and not isinstance(failed, e.ZeroRead)
    stop = Stop(event.exit, event.step, event.because, event.who, on_verdict)
    if event.exit == e.NONCONFORMING:
        state = replace(state, nonconforming={**state.nonconforming, event.part: event.because})
    return _entry(state, event, stop=stop)


def _taken_up(state: State, event: e.PassTakenUp) -> State:
    stopped = state.at(_key(event)).stop
    if stopped and stopped.exit == e.NONCONFORMING:
        state = replace(state, nonconforming=_without(state.nonconforming, event.part))
    return _entry(state, event, stop=None)


def _permitted(state: State, event: e.PermitGiven) -> State:
    state = replace(_complete(state, event, stop=None), allowed=(*state.allowed, event))
    return _timed(state, event, event.timed_as)


def _disposed(state: State, event: e.Disposed) -> State:
    state = replace(state, nonconforming=_without(state.nonconforming, event.part))
    found = state.at(_key(event))
    failed = found.failed
    if event.way == "concession" and (
        isinstance(failed, e.SoakStopped | e.ClockStopped)
        or (isinstance(failed, e.TotalOver) and not failed.completed)
    ):
        # What was over is allowed; the time that it still has to be in, or to be held down, is not.
        state = _with_pass(state, _key(event), stop=None, failed=None)
        return replace(state, allowed=(*state.allowed, event))
    if event.way == "concession":
        return replace(_complete(state, event, stop=None), allowed=(*state.allowed, event))
    in_hand = None if state.in_hand == _key(event) else state.in_hand
    state = replace(state, gone={**state.gone, event.part: event.way}, in_hand=in_hand)
    return _put_out_of_date(state, event.out_of_date, f"{event.part} is no longer in this job")


def _rework(state: State, event: e.ReworkBegun) -> State:
    part, key = event.part, _key(event)
    state = replace(
        state,
        nonconforming=_without(state.nonconforming, part),
        reworks={**state.reworks, (part, event.title): event.count},
        in_hand=None,
    )
    if event.ladder:
        state = replace(state, rungs={**state.rungs, (event.rung_part, event.ladder): event.rung})
    if (part, event.stage) in state.reworks:
        state = _forget(state, key)
    else:
        state = _with_pass(state, key, stop=None, failed=None)
    state = _undo(state, event.done_again)
    why = f"'{event.title}' was begun on {part}"
    return _put_out_of_date(state, event.out_of_date, why)


def _rework_steps(state: State, event: e.ReworkStepsBegun) -> State:
    key = _key(event)
    state = _with_pass(_forget(state, key), key, started=True, open_from=Timed(event.at, len(state.marks)))
    return replace(state, origins={**state.origins, key: event.origin}, in_hand=key)


def _forget(state: State, key: PassKey) -> State:
    """A rework's own steps as if they had never been begun: it came to nothing, or is begun once more."""
    known = {place: one for place, one in state.known.items() if (one.stage, one.part) != key}
    return replace(state, passes=_without(state.passes, key), known=known)


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
    gauge = event.gauge or event.instrument
    state = replace(state, zeroed={**state.zeroed, gauge: state.positions})
    zeroed = {**state.at(_key(event)).zeroed, event.step: gauge}
    state = _with_pass(state, _key(event), zeroed=zeroed)
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
    found = state.at(_key(event))
    branches = {**found.branches, (event.step, event.depth): event}
    left = not event.taken and found.failed is not None and found.failed.step in event.steps
    failed = None if left else found.failed
    state = _with_pass(state, _key(event), branches=branches, done=False, failed=failed)
    return _put_out_of_date(state, event.out_of_date, "this branch was left, and is open again")


def _round(state: State, event: e.RoundBegun) -> State:
    """Everything in the block as if it had not been begun; the warnings in it were read."""
    key, read = _key(event), state.at(_key(event)).acknowledged
    state = _undo(state, event.done_again)
    found = state.at(key)
    state = _with_pass(
        state,
        key,
        acknowledged=read,
        rounds={**found.rounds, event.step: event.round},
        out_of_date=_without(found.out_of_date, event.step),
        failed=_other_failure(found, event.step),
    )
    return _put_out_of_date(
        state, event.out_of_date, f"{event.name} on {event.part} is in round {event.round}"
    )


def _rung(state: State, event: e.RungTaken) -> State:
    state = replace(state, rungs={**state.rungs, (event.part, event.ladder): event.rung})
    why = f"{event.part} went up to {event.size} of {event.ladder}"
    return _put_out_of_date(_complete(state, event), event.out_of_date, why)


def _not_worked(state: State, event: e.NotWorked) -> State:
    here = (event.stage, event.part, event.step)
    known = {place: one for place, one in state.known.items() if (one.stage, one.part, one.step) != here}
    if event.name:
        state = replace(state, known=known)
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


def _time_came(state: State, event: e.TimeCame) -> State:
    return _timed(_step_done(state, event, f"waited for {event.name}"), event, event.name)


def _soak_point(state: State, event: e.SoakPoint) -> State:
    soaks = state.at(_key(event)).soaks
    soaking = soaks.get(event.step, Soaking())
    soaking = replace(soaking, points=(*soaking.points, event))
    state = _entry(state, event, soaks={**soaks, event.step: soaking}, questioned=None)
    return replace(state, last_done=f"{event.name} {event.typed} {event.unit} ({event.member})")


def _soak_round(state: State, event: e.SoakRound) -> State:
    """A round that was typed whole is so at its own moment, and so are all of its points."""
    soaks = state.at(_key(event)).soaks
    soaking = soaks.get(event.step, Soaking())
    upto = Timed(event.upto, len(state.marks))
    traces = dict(soaking.traces)
    if soaking.points and soaking.points[-1].last:
        for place, one in {(one.member, one.point): one for one in soaking.points}.items():
            sample = Sample(Timed(event.at, len(state.marks)), one.si, False, one.shares)
            traces[place] = (*traces.get(place, ()), sample)
        soaking = replace(soaking, points=(), rounds=(*soaking.rounds, soaking.points))
    traces = {place: _from(upto.at, samples) for place, samples in traces.items()}
    soaking = replace(soaking, traces=traces, last=event, last_at=upto, total_s=event.total_s)
    return _with_pass(state, _key(event), soaks={**soaks, event.step: soaking})


def _from(upto: Moment, samples: tuple[Sample, ...]) -> tuple[Sample, ...]:
    """What was read at a place but for what is behind the count, of which the newest is kept: the next is held against it."""
    behind = [one for one in samples if same_boot(one.at.at, upto)]
    newest = max(behind, key=lambda one: one.at.at.boot, default=None)
    return tuple(one for one in samples if one is newest or not same_boot(one.at.at, upto))


def _logger_taken(state: State, event: e.LoggerTaken) -> State:
    soaks = state.at(_key(event)).soaks
    soaking = soaks.get(event.step, Soaking())
    logger = Logger((event.member, event.point), shares=event.shares)
    soaking = replace(soaking, loggers={**soaking.loggers, event.file: logger})
    return _entry(state, event, soaks={**soaks, event.step: soaking})


def _logger_read(state: State, event: e.LoggerRead) -> State:
    """A row is as much older than this moment as its clock says, and never younger: so it is set on the bench's own clock."""
    soaks = state.at(_key(event)).soaks
    soaking, place = soaks.get(event.step, Soaking()), (event.member, event.point)
    shares = soaking.loggers[event.file].shares if event.file in soaking.loggers else ()
    logger = Logger(place, event.read_bytes, event.read_lines, event.sha256, event.said, shares)
    read = tuple(
        Sample(Timed(set_back(event.at, row.utc), len(state.marks)), row.si, True, shares)
        for row in event.rows
    )
    soaking = replace(
        soaking,
        traces={**soaking.traces, place: (*soaking.traces.get(place, ()), *read)},
        loggers={**soaking.loggers, event.file: logger},
    )
    return _with_pass(state, _key(event), soaks={**soaks, event.step: soaking})


def _soak_done(state: State, event: e.SoakDone) -> State:
    known = Known(
        event.name,
        event.stage,
        event.part,
        event.step,
        worked=event.total_s,
        shown=span_words(timedelta(seconds=event.total_s)),
        position=state.positions,
    )
    state = replace(state, known={**state.known, (event.part, event.name): known})
    return _step_done(state, event, f"{event.name} for {known.shown}")


def _soak_stopped(state: State, event: e.SoakStopped) -> State:
    return _with_pass(state, _key(event), failed=event)


def _total(state: State, event: e.TotalGrew) -> State:
    """A total that a correction brought back under its limit stops nothing any more."""
    state = replace(state, totals={**state.totals, (event.part, event.total): event.sum_si})
    for key, found in state.passes.items():
        failed = found.failed
        if event.over or not isinstance(failed, e.TotalOver) or failed.name != event.total:
            continue
        left = tuple(one for one in failed.bearers if one != event.part)
        if left:
            state = _with_pass(state, key, failed=replace(failed, bearers=left))
        elif failed.completed and failed.step not in found.out_of_date:
            state = _with_pass(state, key, failed=None, done_steps=found.done_steps | {failed.step})
        else:
            state = _with_pass(state, key, failed=None)
    return state


def _total_over(state: State, event: e.TotalOver) -> State:
    found = state.at(_key(event))
    state = _with_pass(
        state, _key(event), failed=event, done=False, done_steps=found.done_steps - {event.step}
    )
    return replace(state, completed=False)


def _clock(state: State, event: e.StepEvent, clock: Clock, **changes: object) -> State:
    clocks = {**state.at(_key(event)).clocks, event.step: clock}
    return _entry(state, event, clocks=clocks, **changes)


def _armed(state: State, event: e.ClockArmed) -> State:
    return _clock(state, event, Clock(armed=event))


def _stood_down(state: State, event: e.ClockStoodDown) -> State:
    return _clock(state, event, Clock())


def _clock_started(state: State, event: e.ClockStarted) -> State:
    clock = state.at(_key(event)).clocks[event.step]
    return _clock(state, event, replace(clock, started=Timed(event.at, len(state.marks))))


def _clock_stopped(state: State, event: e.ClockStopped) -> State:
    clock = state.at(_key(event)).clocks[event.step]
    clock = replace(clock, stopped=event, stopped_at=Timed(event.at, len(state.marks)))
    return _clock(state, event, clock, failed=None if event.met else event)


def _held_down(state: State, event: e.HeldDown) -> State:
    known = Known(
        event.name,
        event.stage,
        event.part,
        event.step,
        worked=event.taken_s,
        shown=f"{event.taken_s:.1f} s",
        position=state.positions,
    )
    state = replace(state, known={**state.known, (event.part, event.name): known})
    return _timed(_step_done(state, event, f"{event.name} in {known.shown}"), event, event.timed_as)


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
    e.ClockHurried: _hurried,
    e.AlarmRaised: _raised,
    e.AlarmAnswered: _answered,
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
    e.RoundBegun: _round,
    e.RungTaken: _rung,
    e.NotWorked: _not_worked,
    e.CheckDecided: _checked,
    e.WaitPassed: _waited,
    e.TimeCame: _time_came,
    e.SoakPoint: _soak_point,
    e.SoakRound: _soak_round,
    e.LoggerTaken: _logger_taken,
    e.LoggerRead: _logger_read,
    e.SoakDone: _soak_done,
    e.SoakStopped: _soak_stopped,
    e.TotalGrew: _total,
    e.TotalOver: _total_over,
    e.ClockArmed: _armed,
    e.ClockStoodDown: _stood_down,
    e.ClockStarted: _clock_started,
    e.ClockStopped: _clock_stopped,
    e.HeldDown: _held_down,
    e.HoldReleased: _hold,
    e.SecondReadingDisagrees: _disagrees,
    e.WitnessCalled: _called,
    e.WitnessPassed: _witnessed,
    e.SignedOff: _signed,
}
