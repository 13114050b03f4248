"""The state of a job: the fold of its events. Fold only applies what an event says; it works nothing out.

Every prefix of a job's events folds, and an event is never taken back: what is undone is kept as superseded.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from types import MappingProxyType

from runner.job import events as e
from runner.job.events import Event
from runner.job.moments import Moment, same_boot
from runner.shop.people import person_key

PassKey = tuple[str, str]
"""A stage's title and a part's path."""
NOTHING: Mapping[object, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a reading as it stands."""

    label: str
    typed: str
    unit: str
    si: Fraction
    shares: tuple[e.Share, ...]
    questioned: str
    who: str


@dataclass(frozen=True, slots=True)
class Known:
    """A value that formulas may use: the points of a reading (exact), or a worked value (one float)."""

    name: str
    stage: str
    part: str
    step: int
    points: tuple[Point, ...] = ()
    worked: float | None = None
    shown: str = ""
    shares: tuple[e.Share, ...] = ()
    uncertainty: str = ""


@dataclass(frozen=True, slots=True)
class Timed:
    """When something was done, and how many restarts had been seen by then."""

    at: Moment
    marks: int


@dataclass(frozen=True, slots=True)
class Stop:
    """Why a pass stands: an honest exit taken on a step."""

    exit: str
    step: int
    because: str
    who: str


@dataclass(frozen=True, slots=True)
class Pass:
    """One stage on one part. `done_steps` are complete; `failed` holds the verdict or the sentence that stopped it."""

    started: bool = False
    done: bool = False
    done_steps: frozenset[int] = frozenset()
    acknowledged: frozenset[int] = frozenset()
    ticks: Mapping[int, frozenset[int]] = field(default_factory=dict)
    questioned: e.EntryQuestioned | None = None
    checked: Mapping[int, e.CheckDecided] = field(default_factory=dict)
    failed: e.CheckDecided | e.NotWorked | e.ZeroRead | None = None
    stop: Stop | None = None
    people: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class State:
    """Where a job stands. `positions` is how many events made it so."""

    positions: int = 0
    opened: e.JobOpened | None = None
    person: str = ""
    prerequisites: int = 0
    suspended: e.JobSuspended | None = None
    completed: bool = False
    released: e.JobReleased | None = None
    in_hand: PassKey | None = None
    passes: Mapping[PassKey, Pass] = field(default_factory=dict)
    known: Mapping[tuple[str, str], Known] = field(default_factory=dict)
    times: Mapping[tuple[str, str], Timed] = field(default_factory=dict)
    nonconforming: Mapping[str, str] = field(default_factory=dict)
    gone: Mapping[str, str] = field(default_factory=dict)
    last_done: str = ""
    last_at: Moment | None = None
    marks: tuple[Moment, ...] = ()

    def at(self, key: PassKey) -> Pass:
        return self.passes.get(key, Pass())


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
    if last is not None and not same_boot(last, event.at):
        marks = (*marks, last, event.at)
    return replace(state, positions=state.positions + 1, marks=marks, last_at=event.at)


def _with_pass(state: State, event: e.PassEvent, **changes: object) -> State:
    key = (event.stage, event.part)
    found = state.at(key)
    changes.setdefault("people", found.people | {person_key(event.who)})
    return replace(state, passes={**state.passes, key: replace(found, **changes)})  # type: ignore[arg-type]


def _step_done(state: State, event: e.StepEvent, words: str, **changes: object) -> State:
    done = state.at((event.stage, event.part)).done_steps | {event.step}
    state = _with_pass(state, event, done_steps=done, questioned=None, failed=None, **changes)
    return replace(state, last_done=f"{words} ({event.part}, {event.stage}, step {event.step})")


def _timed(state: State, part: str, name: str, at: Moment) -> State:
    return replace(state, times={**state.times, (part, name): Timed(at, len(state.marks))}) if name else state


def _opened(state: State, event: e.JobOpened) -> State:
    return replace(state, opened=event, person=event.who)


def _person(state: State, event: e.PersonChanged) -> State:
    return replace(state, person=event.who)


def _prerequisite(state: State, event: e.PrerequisiteConfirmed) -> State:
    return replace(state, prerequisites=event.number, last_done=event.text)


def _started(state: State, event: e.PassStarted) -> State:
    key = (event.stage, event.part)
    found = replace(state.at(key), started=True)
    return replace(state, in_hand=key, passes={**state.passes, key: found})


def _done(state: State, event: e.PassDone) -> State:
    state = _with_pass(state, event, done=True)
    return replace(state, in_hand=None)


def _acknowledged(state: State, event: e.HazardsAcknowledged) -> State:
    return _with_pass(
        state, event, acknowledged=state.at((event.stage, event.part)).acknowledged | {event.step}
    )


def _tick(state: State, event: e.TickMade) -> State:
    ticks = state.at((event.stage, event.part)).ticks
    made = ticks.get(event.step, frozenset()) | {event.number}
    return replace(_with_pass(state, event, ticks={**ticks, event.step: made}), last_done=event.text)


def _step(state: State, event: e.StepDone) -> State:
    return _timed(_step_done(state, event, event.text), event.part, event.timed_as, event.at)


def _questioned(state: State, event: e.EntryQuestioned) -> State:
    return _with_pass(state, event, questioned=event)


def _reading(state: State, event: e.ReadingTaken) -> State:
    before = state.known.get((event.part, event.name))
    point = Point(event.point, event.typed, event.unit, event.si, event.shares, event.questioned, event.who)
    points = (*(before.points if before else ()), point)
    known = Known(event.name, event.stage, event.part, event.step, points=points)
    state = replace(state, known={**state.known, (event.part, event.name): known})
    if not event.last:
        state = _with_pass(state, event, questioned=None)
        return replace(
            state, last_done=f"{event.name} {event.point} {event.typed} {event.unit} ({event.part})"
        )
    words = f"{event.name} {' '.join(point.typed for point in points)} {event.unit}"
    return _timed(_step_done(state, event, words), event.part, event.timed_as, event.at)


def _superseded(state: State, event: e.ReadingSuperseded) -> State:
    found = state.at((event.stage, event.part))
    undone = {event.step, *event.undone}
    known = {
        key: value
        for key, value in state.known.items()
        if not (value.part == event.part and value.stage == event.stage and value.step in undone)
    }
    ticks = {step: made for step, made in found.ticks.items() if step not in undone}
    checked = {step: verdict for step, verdict in found.checked.items() if step not in undone}
    state = replace(state, known=known)
    left = found.done_steps - undone
    return _with_pass(
        state, event, done_steps=left, ticks=ticks, checked=checked, questioned=None, failed=None
    )


def _zero(state: State, event: e.ZeroRead) -> State:
    if not event.good:
        return _with_pass(state, event, failed=event)
    words = f"{event.instrument} read back {event.typed} {event.unit}"
    return _timed(_step_done(state, event, words), event.part, event.timed_as, event.at)


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
    )
    state = replace(state, known={**state.known, (event.part, event.name): known})
    done = state.at((event.stage, event.part)).done_steps | {event.step}
    return _with_pass(state, event, done_steps=done)


def _not_worked(state: State, event: e.NotWorked) -> State:
    return _with_pass(state, event, failed=event)


def _checked(state: State, event: e.CheckDecided) -> State:
    found = state.at((event.stage, event.part))
    checked = {**found.checked, event.step: event}
    if not event.met:
        return _with_pass(state, event, failed=event, checked=checked)
    return _with_pass(state, event, checked=checked, failed=None, done_steps=found.done_steps | {event.step})


def _waited(state: State, event: e.WaitPassed) -> State:
    return _timed(_step_done(state, event, f"waited for {event.name}"), event.part, event.name, event.at)


def _hold(state: State, event: e.HoldReleased) -> State:
    found = state.at((event.stage, event.part))
    state = _step_done(
        state, event, f"hold point '{event.title}' released by {event.by}", people=found.people
    )
    return _timed(state, event.part, event.timed_as, event.at)


def _signed(state: State, event: e.SignedOff) -> State:
    state = _step_done(state, event, f"'{event.text}' signed by {event.name}")
    return _timed(state, event.part, event.timed_as, event.at)


def _stopped(state: State, event: e.PassStopped) -> State:
    stop = Stop(event.exit, event.step, event.because, event.who)
    if event.exit == e.NONCONFORMING:
        state = replace(state, nonconforming={**state.nonconforming, event.part: event.because})
    return _with_pass(state, event, stop=stop)


def _taken_up(state: State, event: e.PassTakenUp) -> State:
    return _with_pass(state, event, stop=None)


def _disposed(state: State, event: e.Disposed) -> State:
    left = {part: why for part, why in state.nonconforming.items() if part != event.part}
    state = replace(state, nonconforming=left)
    if event.way == "concession":
        found = state.at((event.stage, event.part))
        done = found.done_steps | {event.step}
        return _with_pass(state, event, stop=None, failed=None, done_steps=done, people=found.people)
    in_hand = None if state.in_hand == (event.stage, event.part) else state.in_hand
    return replace(state, gone={**state.gone, event.part: event.way}, in_hand=in_hand)


def _suspended(state: State, event: e.JobSuspended) -> State:
    return replace(state, suspended=event)


def _resumed(state: State, event: e.JobResumed) -> State:
    return replace(state, suspended=None)


def _completed(state: State, event: e.JobCompleted) -> State:
    return replace(state, completed=True, in_hand=None)


def _released(state: State, event: e.JobReleased) -> State:
    return replace(state, released=event)


_APPLY: Mapping[type[Event], Callable[..., State]] = {
    e.JobOpened: _opened,
    e.PersonChanged: _person,
    e.PrerequisiteConfirmed: _prerequisite,
    e.PassStarted: _started,
    e.PassDone: _done,
    e.HazardsAcknowledged: _acknowledged,
    e.TickMade: _tick,
    e.StepDone: _step,
    e.EntryQuestioned: _questioned,
    e.ReadingTaken: _reading,
    e.ReadingSuperseded: _superseded,
    e.ZeroRead: _zero,
    e.ValueWorked: _worked,
    e.NotWorked: _not_worked,
    e.CheckDecided: _checked,
    e.WaitPassed: _waited,
    e.HoldReleased: _hold,
    e.SignedOff: _signed,
    e.PassStopped: _stopped,
    e.PassTakenUp: _taken_up,
    e.Disposed: _disposed,
    e.JobSuspended: _suspended,
    e.JobResumed: _resumed,
    e.JobCompleted: _completed,
    e.JobReleased: _released,
}
