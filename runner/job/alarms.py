"""Alarms: what somebody must do in time, and how long is left for it. Worked out from the state and the moment.

An alarm is raised only where waiting longer costs something: metal, a proof, or the choice. What is merely over is told
once (`notices`) and never rings again. That an alarm was raised, and answered, are events; that one stands never is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from runner.job.against_the_clock import left_for_estimate, own_route
from runner.job.due import soak_left, timed_steps, window_left
from runner.job.events import AlarmRef, SoakPoint
from runner.job.job import Job
from runner.job.moments import Moment, clock_words, span_words
from runner.job.parts import Part
from runner.job.passes import is_live, is_stopped, next_step, nonconforming_part, refusal_to_begin
from runner.job.soaks import places
from runner.job.state import Clock, PassKey, Soaking, State, Timed
from runner.job.totals import bearer
from runner.job.waits import longest_since, since, time_left, time_of, time_of_day
from runner.procedure.model import (
    AgainstTheClock,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    SignOff,
    Soak,
    Step,
    Wait,
    Window,
    WitnessPoint,
)

TOGETHER_S = 60.0
"""Seconds within which alarms come due together: one is raised for all of them when the first of them is."""
_SHARE, _SOONEST_S, _LONGEST_S = 1 / 6, 60.0, 900.0


@dataclass(frozen=True, slots=True)
class Sort:
    """`large` is what is shown in large letters; `costs` is what waiting longer costs, and so why it rings."""

    large: str
    costs: str


SORTS: Mapping[str, Sort] = {
    "reading due": Sort("READ", "after its grace the time since the reading before proves nothing"),
    "reading late": Sort("READ", "no time counts for the soak, and all of it towards the heat"),
    "soak too long": Sort("TAKE OUT", "time that a part was hot can't be taken back"),
    "heat": Sort("TAKE OUT", "a total only grows"),
    "window closing": Sort("ACT", "what comes after it is not met, and is done over"),
    "window missed": Sort("MISSED", "what stands on it is still worked on"),
    "key missed": Sort("TELL", "its way out is taken by itself"),
    "let go": Sort("LET GO", "hands are held where they needn't be any more"),
    "wait over": Sort("GO ON", "a window, a soak or a heat total runs against it"),
}
"""Every sort of alarm there is. Nothing else rings; a wait that nothing runs against isn't among them."""
OVER = "over"
"""The sort of a notice."""


@dataclass(frozen=True, slots=True)
class Alarm:
    """
    One thing to be done in time. It stands from `begins_s` seconds on, which are nil or less where it stands; `left_s` are
    those that are left to do it, below nil where it is overdue, None where it is for now.
    """

    ref: AlarmRef
    what: str
    do: str
    begins_s: float
    left_s: float | None

    @property
    def part(self) -> str:
        return self.ref.part

    @property
    def large(self) -> str:
        return SORTS[self.ref.sort].large


Timer = list[Alarm]
"""What one timer comes to, in the order of time; the last one that has begun is what it is at."""


def lead(most_s: float) -> float:
    """
    How many seconds before its end a limit of time rings: a sixth of it, at least a minute and at most a quarter of an
    hour, and never more than half of it.
    """
    return min(max(most_s * _SHARE, _SOONEST_S), _LONGEST_S, most_s / 2)


def standing(job: Job, state: State, now: Moment) -> list[Alarm]:
    """What stands now, the most pressing first, raised or not."""
    return _pressing(one for timer in _timers(job, state, now) if (one := _at(timer, 0.0)))


def in_sight(job: Job, state: State, now: Moment) -> list[Alarm]:
    """What stands now, and what was raised with it a little ahead; the most pressing first."""
    found = []
    for timer in _timers(job, state, now):
        one = _at(timer, 0.0)
        ahead = _at(timer, TOGETHER_S)
        if one is None and ahead is not None and ahead.ref in state.alarms:
            one = ahead
        found += [one] if one else []
    return _pressing(found)


def to_raise(job: Job, state: State, now: Moment) -> list[Alarm]:
    """What stands and was not raised yet, and what else comes due within a minute of it; nothing where nothing new stands."""
    timers = _timers(job, state, now)
    new = [one for timer in timers if (one := _at(timer, 0.0)) and one.ref not in state.alarms]
    if not new:
        return []
    ahead = [_at(timer, TOGETHER_S) for timer in timers if _at(timer, 0.0) not in new]
    return _pressing([*new, *(one for one in ahead if one and one.ref not in state.alarms)])


def notices(job: Job, state: State, now: Moment) -> list[Alarm]:
    """Waits that are over and that nothing runs against: good to know, and nobody need do anything in time."""
    against = _against(job, state, now)
    timers = (_wait(job, state, key, step, against, now) for key, step in timed_steps(job, state))
    return _pressing(one for timer in timers if (one := _at(timer, 0.0)) and one.ref.sort == OVER)


def words(job: Job, alarm: Alarm, now: Moment) -> str:
    """One alarm in a line: what to do, where, and how long is left."""
    return f"{alarm.do} on {alarm.part}: {left_words(job, alarm, now)}"


def left_words(job: Job, alarm: Alarm, now: Moment) -> str:
    """How long is left and until when, or by how much it is overdue."""
    if alarm.left_s is None:
        return "now"
    left, at = timedelta(seconds=alarm.left_s), now.utc + timedelta(seconds=alarm.left_s)
    when = clock_words(at, job.zone, now.utc)
    if alarm.left_s < 0:
        return f"overdue by {span_words(-left)}, since {when}"
    return f"{span_words(left)} left, until {when}"


def group_words(job: Job, alarms: Sequence[Alarm], now: Moment) -> str:
    """Alarms that came due together in one text, which says how many there are."""
    if len(alarms) == 1:
        return words(job, alarms[0], now)
    parts: dict[str, list[str]] = {}
    for one in alarms:
        parts.setdefault(one.do, []).append(one.part)
    told = "; ".join(f"{do} on {', '.join(where)}" for do, where in parts.items())
    return f"{len(alarms)} at once: {told}; the first: {left_words(job, alarms[0], now)}"


def _pressing(alarms: Iterable[Alarm]) -> list[Alarm]:
    return sorted(alarms, key=lambda one: 0.0 if one.left_s is None else one.left_s)


def _at(timer: Timer, in_s: float) -> Alarm | None:
    """What a timer is at in so many seconds."""
    return next((one for one in reversed(timer) if one.begins_s <= in_s), None)


def _timers(job: Job, state: State, now: Moment) -> list[Timer]:
    against = _against(job, state, now)
    found: list[Timer] = [*_clocks(job, state, now)]
    for key, step in timed_steps(job, state):
        match step:
            case Window():
                found.append(_window(job, state, key, step, now))
            case Soak():
                found += _soak(job, state, key, step, now)
            case Wait() | NotBefore() | WitnessPoint():
                waits = _wait(job, state, key, step, against, now)
                found.append([one for one in waits if one.ref.sort != OVER])
    return found


def _ref(sort: str, key: PassKey, number: int, began: datetime, part: str = "") -> AlarmRef:
    return AlarmRef(sort=sort, stage=key[0], part=part or key[1], step=number, since=began)


def _window(job: Job, state: State, key: PassKey, step: Window, now: Moment) -> Timer:
    """A window about to run out, and one that has; none on a part that waits for a decision anyway."""
    found = window_left(job, state, key, step, now)
    if found is None or nonconforming_part(job, state, job.part_of(key)):
        return []
    began, left = found
    most, number = float(step.most.si), step.about.number
    routes = f": {', '.join(step.routes)}" if step.routes else ""
    closing, missed = (_ref(sort, key, number, began) for sort in ("window closing", "window missed"))
    return [
        Alarm(closing, step.name, _act(job, step.ends), left - lead(most), left),
        Alarm(missed, step.name, f"{step.name} was missed, decide{routes}", left, left),
    ]


def _act(job: Job, name: str) -> str:
    """What is done where a time of this name is kept."""
    for stage in job.procedure.every_stage:
        for step in stage.steps:
            if step.about.timed_as == name:
                match step:
                    case Do(text=text):
                        return text
                    case Read(ask=ask):
                        return f"read: {ask}"
                    case HoldPoint(title=title) | SignOff(text=title):
                        return f"release '{title}'"
    return f"come to '{name}'"


def _soak(job: Job, state: State, key: PassKey, step: Soak, now: Moment) -> list[Timer]:
    """The next reading, due and then too late; the longest that the soak may last; the totals of heat of the parts in it."""
    soaking = state.at(key).soaks.get(step.about.number, Soaking())
    times = soak_left(state, key, step, now)
    if times is None or soaking.last is None or soaking.last_at is None:
        return []
    next_s, late_s, over_s = times
    number, began = step.about.number, soaking.last_at.at.utc
    is_held = is_stopped(state.at(key))
    do = f"decide on {step.name}, which can't be read until then" if is_held else f"read {step.name} again"
    due, late = (_ref(sort, key, number, began) for sort in ("reading due", "reading late"))
    readings = [
        Alarm(due, step.name, do, min(next_s, over_s), late_s),
        Alarm(late, step.name, do, late_s, late_s),
    ]
    age = longest_since(state, soaking.last_at, now).total_seconds()
    timers = [readings, *_heat(job, state, key, step, soaking, age)]
    if step.most is not None and soaking.last.inside and soaking.last.longest_s <= float(step.most.si):
        most = float(step.most.si)
        left = most - soaking.last.longest_s - age
        long = _ref("soak too long", key, number, began)
        timers.append([Alarm(long, step.name, f"read {step.name} and take it out", left - lead(most), left)])
    return timers


def _heat(job: Job, state: State, key: PassKey, step: Soak, soaking: Soaking, age: float) -> Iterable[Timer]:
    """The total of heat of each part that was read over its temperature, as it grows until the next reading."""
    total = job.procedure.total(step.adds_to)
    if total is None or total.over is None or soaking.last_at is None or not soaking.rounds:
        return
    most, part = float(total.most.si), job.part_of(key)
    members = {one.path: one for one in (job.parts.members(part) or (part,))}
    live = {member for member, _ in places(job, state, key, step)}
    hot: dict[str, SoakPoint] = {
        bearer(job, members[one.member], total): one
        for one in soaking.rounds[-1]
        if one.member in live and one.si > total.over.si
    }
    for path in hot:
        sofar = state.totals.get((path, total.name), 0.0)
        if sofar <= most:
            left = most - sofar - age
            ref = _ref("heat", key, step.about.number, soaking.last_at.at.utc, path)
            do = f"take it out, its {total.name} may be at most {total.most.typed}"
            yield [Alarm(ref, total.name, do, left - lead(most), left)]


Race = tuple[Part, float]
"""A part on which something runs that can't be waited out, and the seconds until it has."""


def _against(job: Job, state: State, now: Moment) -> list[Race]:
    found: list[Race] = []
    for key, step in timed_steps(job, state):
        if isinstance(step, Window) and (window := window_left(job, state, key, step, now)):
            found += [(job.part_of(key), window[1])] if window[1] > 0 else []
        elif isinstance(step, Soak) and (times := soak_left(state, key, step, now)):
            found.append((job.part_of(key), times[1]))
    return found


def _wait(
    job: Job,
    state: State,
    key: PassKey,
    step: Step,
    against: Sequence[Race],
    now: Moment,
) -> Timer:
    """A wait, a time of day or a witness that is over where somebody can go on: an alarm where something runs against it."""
    found = _wait_left(job, state, key, step, now)
    if found is None or is_stopped(state.at(key)) or next_step(job, state, key) != step:
        return []
    if refusal_to_begin(job, state, key):
        return []
    number, began, left, what, do = found
    part = job.part_of(key)
    races = [end for other, end in against if _belong(job, part, other)]
    sort = "wait over" if races else OVER
    return [Alarm(_ref(sort, key, number, began), what, do, left, min(races, default=None))]


def _wait_left(
    job: Job, state: State, key: PassKey, step: Step, now: Moment
) -> tuple[int, datetime, float, str, str] | None:
    """The step's number, since when it runs, the seconds it still has, what it is called, and what is done then."""
    match step:
        case Wait(about=about, name=name, starts=starts):
            timed, lasts = (
                time_of(job, state, job.part_of(key), starts),
                time_left(job, state, key, step, now),
            )
            left = lasts[1] if lasts else timedelta(0)
        case NotBefore(about=about, name=name, starts=starts, condition=None):
            timed, left = (
                time_of(job, state, job.part_of(key), starts),
                time_of_day(job, state, key, step, now)[1],
            )
        case WitnessPoint(about=about, title=name, goes_on_after=after):
            timed = state.at(key).called.get(about.number)
            lasted = since(state, timed, now).lasted if timed else timedelta(0)
            left = timedelta(seconds=float(after.si)) - lasted
        case _:
            return None
    do = f"go on, {name} is over"
    return (about.number, timed.at.utc, left.total_seconds(), name, do) if timed else None


def _belong(job: Job, one: Part, other: Part) -> bool:
    """Whether one of two parts lies in the other, or in a load with it."""
    return one in job.parts.outward(other) or other in job.parts.outward(one)


def _clocks(job: Job, state: State, now: Moment) -> Iterable[Timer]:
    """A second key that was missed, before its way out is taken; a hold-down that was long enough."""
    for key, found in state.passes.items():
        for number, clock in found.clocks.items():
            step = job.step(key, number)
            if isinstance(step, AgainstTheClock) and clock.stopped and is_live(job, state, job.part_of(key)):
                made = _held(state, key, step, clock, now) or _missed(job, state, key, step, clock, now)
                yield [made] if made else []


def _missed(
    job: Job, state: State, key: PassKey, step: AgainstTheClock, clock: Clock, now: Moment
) -> Alarm | None:
    route = own_route(job, state, key, step)
    if clock.stopped is None or clock.stopped.act or clock.stopped_at is None or route is None:
        return None
    if state.at(key).stop:
        return None
    left = left_for_estimate(state, clock, now)
    ref = _ref("key missed", key, step.about.number, clock.stopped_at.at.utc)
    return Alarm(ref, step.name, f"tell when '{step.second_key}' was, or '{route.title}' begins", 0.0, left)


def _held(state: State, key: PassKey, step: AgainstTheClock, clock: Clock, now: Moment) -> Alarm | None:
    """Let go: until whoever holds it down has done something else."""
    found, number = state.at(key), step.about.number
    if step.hold_down is None or clock.stopped_at is None or found.failed or found.stop:
        return None
    if number in found.done_steps and _has_acted(state, found.done_at[number]):
        return None
    left = float(step.hold_down.si) - since(state, clock.stopped_at, now).lasted.total_seconds()
    return Alarm(_ref("let go", key, number, clock.stopped_at.at.utc), step.name, "let go", left, None)


def _has_acted(state: State, done: Timed) -> bool:
    """Whether a person did anything since, as far as this sitting knows."""
    acted = state.acted_at
    if acted is None or acted.boot_id != done.at.boot_id:
        return True
    return acted.boot > done.at.boot
