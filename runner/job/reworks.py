"""Reworks and repairs: a named loop back from a check that wasn't met, with its own steps, counted, up to a maximum.

Metal changed, so everything on the part is done again from where the rework goes back to, up to that check. Brothers keep
theirs. Totals and ladders never go back.
"""

from __future__ import annotations

from typing import Any

from runner.formula.explain import with_values
from runner.formula.values import CannotBeWorked
from runner.job.dependence import is_begun, made_by, names_used, standing_on
from runner.job.events import (
    Event,
    LoadLeft,
    PassStarted,
    Ref,
    ReworkBegun,
    ReworkStepsBegun,
)
from runner.job.intents import Dispose
from runner.job.job import Job, Refusal
from runner.job.parts import WHOLE_JOB, Part
from runner.job.people import has_entries
from runner.job.state import PassKey, State
from runner.job.values import find_all, is_so, known_outward
from runner.procedure.model import Check, Rework, Stage, Step
from runner.procedure.order import before

Stamp = dict[str, Any]


def refuse_rework(job: Job, state: State, key: PassKey, number: int, title: str) -> Refusal | None:
    """Why a rework can't be begun after this check, or nothing."""
    rework, part = job.procedure.rework(title), job.part_of(key)
    if rework is None:
        return Refusal(f"no rework is called '{title}'")
    done = state.reworks.get((part.path, title), 0)
    if done >= rework.at_most:
        return Refusal(
            f"'{title}' was done {done} times on {part.path}, which is the most", "take another way out"
        )
    if rework.climb:
        ladder = job.procedure.ladder(rework.climb)
        assert ladder
        if _rung(job, state, part, rework) >= len(ladder.rungs):
            return Refusal(f"{part.path} is on the last rung of {ladder.name}", "take another way out")
    if rework.only_if:
        return _refuse_condition(job, state, part, rework)
    return None


def _refuse_condition(job: Job, state: State, part: Part, rework: Rework) -> Refusal | None:
    assert rework.only_if
    tree, text = rework.only_if.tree, rework.only_if.text
    try:
        found = find_all(job, state, part, [tree])
        if is_so(tree, found):
            return None
    except CannotBeWorked as why:
        return Refusal(f"'{rework.title}' is only if {text}, and that can't be worked out: {why}")
    shown = with_values(text, tree, {name: one.shown for name, one in found.items()})
    return Refusal(f"'{rework.title}' is only if {text}, and here it is {shown}", "take another way out")


def _rung(job: Job, state: State, part: Part, rework: Rework) -> int:
    return state.rungs.get((_owner(job, part, rework).path, rework.climb), 1)


def _owner(job: Job, part: Part, rework: Rework) -> Part:
    """The part whose ladder is climbed: this one, or one it lies in."""
    ladder = job.procedure.ladder(rework.climb)
    assert ladder
    return next(one for one in job.parts.outward(part) if one.level == ladder.for_each)


def begin(job: Job, state: State, key: PassKey, rework: Rework, asked: Dispose, stamp: Stamp) -> list[Event]:
    """The events that begin a rework which may be begun: what is done again, and the pass that comes next."""
    part = job.part_of(key)
    back = where_back(job, state, key, rework)
    again = done_again(job, state, key, back)
    if not job.stage_of(key).number:
        again += _steps_of(job, key)
    moved = {place for ref in again for place in _made(job, ref)}
    rung, size, owner = 0, "", ""
    if rework.climb:
        ladder, rung = job.procedure.ladder(rework.climb), _rung(job, state, part, rework) + 1
        assert ladder
        size, owner = ladder.rungs[rung - 1].typed, _owner(job, part, rework).path
        moved.add((owner, rework.climb))
    origin = _origin(state, key)
    begun = ReworkBegun(
        **stamp,
        title=rework.title,
        kind=rework.kind,
        by=asked.by.strip(),
        role=_role(job, rework),
        identified=asked.identified,
        because=asked.because.strip(),
        solo=state.at(key).stop is not None and has_entries(state, asked.by, key),
        count=state.reworks.get((part.path, rework.title), 0) + 1,
        at_most=rework.at_most,
        ladder=rework.climb,
        rung=rung,
        rung_part=owner,
        size=size,
        done_again=tuple(again),
        out_of_date=standing_on(job, state, moved, set(again)),
    )
    who = {"at": stamp["at"], "who": stamp["who"]}
    events: list[Event] = [begun, *_loads_left(job, state, key, back, rework.title, who)]
    if rework.stage.steps:
        return [*events, ReworkStepsBegun(**who, stage=rework.title, part=part.path, origin=origin)]
    if job.parts.is_load(job.procedure.stage(back.stage).for_each):
        return events
    return [*events, PassStarted(**who, stage=back.stage, part=back.part)]


def _origin(state: State, key: PassKey) -> str:
    """The stage that a check stands in, or from which its rework's own steps were come to."""
    return state.origins.get(key, key[0])


def _steps_of(job: Job, key: PassKey) -> list[Ref]:
    return [Ref(stage=key[0], part=key[1], step=step.about.number) for step in job.stage_of(key).steps]


def _loads_left(job: Job, state: State, key: PassKey, back: Ref, title: str, who: Stamp) -> list[Event]:
    """The loads on the road back: the part is in them no longer, and goes into another; its brothers stay where they are."""
    events: list[Event] = []
    for stage in _road(job, state, key, back):
        if not job.parts.is_load(stage.for_each):
            continue
        for member in _own(job, job.part_of(key), job.parts.put_in(stage.for_each)):
            load = job.parts.load_of(member, stage.for_each)
            left = load and LoadLeft(**who, name=load.path, part=member.path, because=f"'{title}' was begun")
            if left and left not in events:
                events.append(left)
    return events


def _role(job: Job, rework: Rework) -> str:
    return job.procedure.concessions_by if rework.kind == "repair" else ""


def where_back(job: Job, state: State, key: PassKey, rework: Rework) -> Ref:
    """The step that a rework goes back to, seen from the check that failed."""
    part = job.part_of(key)
    if not rework.back_to:
        return _first_reading(job, state, key)
    for stage in job.procedure.stages:
        if stage.title == rework.back_to:
            return Ref(stage=stage.title, part=_at(job, part, stage.for_each).path, step=1)
        for step in stage.steps:
            if rework.back_to in _names(step):
                path = _at(job, part, stage.for_each).path
                return Ref(stage=stage.title, part=path, step=step.about.number)
    raise AssertionError(f"a rework that goes back to nothing: {rework.title}")


def _names(step: Step) -> set[str]:
    return {getattr(step, "name", ""), step.about.timed_as} if _is_named(step) else {step.about.timed_as}


def _is_named(step: Step) -> bool:
    return bool(made_by(WHOLE_JOB, step))


def _at(job: Job, part: Part, level: str) -> Part:
    """The part of a level that a rework on this part goes back to: itself, one it lies in, or the first inside it."""
    found = job.parts.around(part, level)
    return found[0] if found else part  # a load that the part has left is nowhere


def _first_reading(job: Job, state: State, key: PassKey) -> Ref:
    """The first reading or choice of this pass that the failed check stands on; the checker makes sure there is one."""
    failed, names = state.at(key).failed, []
    if failed:
        step = job.step(key, failed.step)
        own = {step.name} if isinstance(step, Check) else names_used(step)
        names = [one for name in sorted(own) for one in stood_on(job, state, key, name)]
    numbers = [step.about.number for step in job.stage_of(key).steps if getattr(step, "name", "") in names]
    return Ref(stage=key[0], part=key[1], step=min(numbers, default=1))


def done_again(job: Job, state: State, key: PassKey, back: Ref) -> list[Ref]:
    """Every step begun from where it goes back to, on this part, on those it lies in and inside it, up to the failed check."""
    part = job.part_of(key)
    found: list[Ref] = []
    for stage in _road(job, state, key, back):
        if job.parts.is_load(stage.for_each):
            continue
        for one in _own(job, part, stage.for_each):
            for step in stage.steps:
                number = step.about.number
                late_enough = stage.title != back.stage or number >= back.step
                here = (stage.title, one.path)
                touched = is_begun(job, state, here, step) or number in state.at(here).out_of_date
                if late_enough and touched:
                    found.append(Ref(stage=stage.title, part=one.path, step=number))
    return found


def _road(job: Job, state: State, key: PassKey, back: Ref) -> list[Stage]:
    """The stages from the one a rework goes back to, up to the one whose check led to it, as the locks have them."""
    locks, origin = before(job.procedure.stages), _origin(state, key)
    return [
        stage
        for stage in job.procedure.stages
        if (stage.title == back.stage or back.stage in locks[stage.title])
        and (stage.title == origin or stage.title in locks[origin])
    ]


def _own(job: Job, part: Part, level: str) -> tuple[Part, ...]:
    """The parts of a level on the same road: the one this lies in, itself, or all inside it; never a brother."""
    levels = job.procedure.levels_down_to(part.level)
    if level in levels or part.level in job.procedure.levels_down_to(level):
        return job.parts.around(part, level)
    return ()


def _made(job: Job, ref: Ref) -> set[tuple[str, str]]:
    key = (ref.stage, ref.part)
    return made_by(job.part_of(key), job.step(key, ref.step))


def stood_on(job: Job, state: State, key: PassKey, name: str) -> list[str]:
    """The readings of this pass that a value was worked from, through other values and tables, in the order they were read."""
    owner = job.procedure.parted(name)[0]
    table = next((one for one in job.procedure.tables if one.name == owner), None)
    if table:
        return stood_on(job, state, key, table.looked_up_by)
    known = known_outward(job, state, job.part_of(key), owner)
    if known is None:
        return []
    if known.points or known.answer is not None:
        return [owner] if (known.stage, known.part) == key else []
    step = job.procedure.stage(known.stage).steps[known.step - 1]
    found = {one for inner in names_used(step) for one in stood_on(job, state, key, inner)}
    order = {getattr(one, "name", ""): one.about.number for one in job.stage_of(key).steps}
    return sorted(found, key=lambda one: order.get(one, 0))
