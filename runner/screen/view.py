"""What stands before a person at a moment: the job and its state, which page is in view, what is kept out of sight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from runner.job import events as e
from runner.job.decide import has_lapsed
from runner.job.dependence import made_by, standing_on
from runner.job.events import Event, Ref
from runner.job.job import Job
from runner.job.moments import Moment
from runner.job.passes import is_stopped, next_step, to_acknowledge
from runner.job.state import Clock, PassKey, State
from runner.procedure.model import AgainstTheClock, HoldPoint, Read, Step, Write

OVER = ("working", "steps")
"""Pages that are laid over the step and only read."""


@dataclass(frozen=True, slots=True)
class View:
    """`over` is a page laid over the step; `marked` the line marked on the board; `last_events` what the last act gave."""

    job: Job
    state: State
    now: Moment
    events: Sequence[Event] = ()
    over: str = ""
    marked: int = 0
    last_events: tuple[Event, ...] = ()

    @property
    def key(self) -> PassKey | None:
        return self.state.in_hand

    @property
    def step(self) -> Step | None:
        return next_step(self.job, self.state, self.key) if self.key else None

    @property
    def shows(self) -> str:
        """Which page is in view."""
        state = self.state
        if self.is_racing:
            return "race"
        if self.over in OVER:
            return self.over
        if state.released:
            return "released"
        if state.handed_over:
            return "handed over"
        if state.suspended:
            return "suspended"
        if state.prerequisites < len(self.job.procedure.prerequisites):
            return "prerequisites"
        if self.over == "board" or (state.in_hand is None and not state.completed):
            return "board"
        return "completed" if state.completed else "step"

    @property
    def clock(self) -> tuple[AgainstTheClock, Clock]:
        """The act against the clock in hand, and how far it has come; only where one is in hand."""
        step = self.step
        assert isinstance(step, AgainstTheClock) and self.key
        return step, self.state.at(self.key).clocks.get(step.about.number, Clock())

    @property
    def is_racing(self) -> bool:
        """Whether the act in hand is armed or runs against the clock, so that only its keys do anything."""
        if not isinstance(self.step, AgainstTheClock) or self.is_stopped:
            return False
        _, clock = self.clock
        return clock.armed is not None and clock.stopped is None

    @property
    def is_nobody_there(self) -> bool:
        """Whether it isn't known any more who is at the bench."""
        return not self.state.released and has_lapsed(self.job, self.state, self.now)

    @property
    def is_stopped(self) -> bool:
        """Whether the pass in hand stands at an exit or a verdict, and not at a step."""
        return self.key is not None and is_stopped(self.state.at(self.key))

    @property
    def out_of_date(self) -> str:
        """Why the step in hand, once done, no longer stands; nothing where it wasn't done or stands."""
        step = self.step
        why = self.state.at(self.key).out_of_date.get(step.about.number, "") if self.key and step else ""
        return unless_out_of_sight(self.job, self.state, why)

    @property
    def must_read(self) -> bool:
        """Whether a danger or a warning is to be read before the step."""
        key, step = self.key, self.step
        if key is None or step is None or self.is_stopped:
            return False
        return bool(to_acknowledge(self.job.stage_of(key), self.state.at(key), step))

    @property
    def takes_text(self) -> bool:
        """Whether letters typed here are a text, so that acts are on function keys."""
        if self.shows == "board":
            return True
        writes = self.shows == "step" and isinstance(self.step, Write)
        return writes and not (self.is_stopped or self.must_read or self.out_of_date)


def out_of_sight(job: Job, state: State) -> frozenset[Ref]:
    """
    What must not be seen at a hold point that measures again: the reading that is taken again there, and all that was
    worked from it. Nothing anywhere else, nor once the two have been found to disagree.
    """
    key = state.in_hand
    step = next_step(job, state, key) if key else None
    if key is None or not isinstance(step, HoldPoint) or not step.measures_again:
        return frozenset()
    if isinstance(state.at(key).failed, e.SecondReadingDisagrees):
        return frozenset()
    reading = next(
        one for one in job.stage_of(key).steps if isinstance(one, Read) and one.name == step.measures_again
    )
    here = Ref(stage=key[0], part=key[1], step=reading.about.number)
    return frozenset({here, *standing_on(job, state, made_by(job.part_of(key), reading), {here})})


def in_sight(events: Sequence[Event], hidden: frozenset[Ref]) -> tuple[Event, ...]:
    """The events that tell nothing of what is kept out of sight."""
    if not hidden:
        return tuple(events)
    return tuple(
        one
        for one in events
        if not isinstance(one, e.BranchDecided)
        and not (
            isinstance(one, e.StepEvent) and Ref(stage=one.stage, part=one.part, step=one.step) in hidden
        )
    )


def unless_out_of_sight(job: Job, state: State, why: str) -> str:
    """Why something is out of date; not so fully where that would tell a figure that must not be seen."""
    return "what it stood on was changed" if why and out_of_sight(job, state) else why


def last_done(job: Job, state: State) -> str:
    """The last completed step with its value, which is left out where it must not be seen."""
    hidden = out_of_sight(job, state)
    typed = [
        point.typed
        for one in state.known.values()
        if Ref(stage=one.stage, part=one.part, step=one.step) in hidden
        for point in one.points
    ]
    if any(one in state.last_done for one in typed):
        return "a reading that is out of sight until the hold point is released"
    return state.last_done or "none"
