"""What stands on what: which steps, on all parts, were done on values, acts and zeros that no longer hold.

Values stand on what their formulas use, checks on what they compare, acts on what they show, readings on the
zero of their gauge, waits on the act they run from, and releases, witnessing and sign-offs on all before them in their pass.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from runner.formula.tree import Tree, names_in
from runner.job.events import NotWorked, Ref
from runner.job.job import Job
from runner.job.parts import Part
from runner.job.state import PassKey, State
from runner.job.values import places_of
from runner.procedure.model import (
    AgainstTheClock,
    Check,
    Choose,
    Do,
    HoldPoint,
    NotBefore,
    Read,
    Repeat,
    Rung,
    SignOff,
    Soak,
    Stage,
    Step,
    Wait,
    Window,
    WitnessPoint,
    WorkOut,
    Write,
    Zero,
)

Place = tuple[str, str]
"""A part's path and the name of something known or timed there."""


def standing_on(
    job: Job, state: State, moved: Iterable[Place], changed: Collection[Ref] = ()
) -> tuple[Ref, ...]:
    """
    The steps begun anywhere that stand on these values, or on these steps having been done as they were; not the
    changed steps themselves. In the order of the work.
    """
    places, found = set(moved), []
    places |= {total for path, name in places for total in _added_to(job, path, name)}
    for stage in job.procedure.every_stage:
        for part in job.parts.at(stage.for_each):
            if (stage.title, part.path) in state.passes:
                found += _in_pass(job, state, stage, part, places, changed)
    return tuple(found)


def _added_to(job: Job, path: str, name: str) -> set[Place]:
    """The total that a reading on a part adds to, where it is kept."""
    for stage in job.procedure.every_stage:
        for step in stage.steps:
            total = (
                job.procedure.total(step.adds_to) if isinstance(step, Read) and step.name == name else None
            )
            part = job.parts.find(stage.for_each, path) if total else None
            if total and part:
                return {
                    (one.path, total.name) for one in job.parts.outward(part) if one.level == total.for_each
                }
    return set()


def made_by(part: Part, step: Step) -> set[Place]:
    """What a step makes known or times, where it is kept."""
    names = {step.about.timed_as} - {""}
    match step:
        case WorkOut(name=name) | Read(name=name) | Choose(name=name) | Write(name=name):
            names.add(name)
        case Wait(name=name) | NotBefore(name=name) | Soak(name=name) | AgainstTheClock(name=name):
            names.add(name)
        case Rung(ladder=ladder):
            names.add(ladder)
    return {(part.path, name) for name in names}


def is_begun(job: Job, state: State, key: PassKey, step: Step) -> bool:
    """Whether anything of a step was done that could be undone: all of it, some ticks or points, or a verdict."""
    found, number = state.at(key), step.about.number
    if number in found.done_steps or any(
        number in begun for begun in (found.ticks, found.called, found.soaks, found.clocks, found.rounds)
    ):
        return True
    if found.failed and found.failed.step == number:
        return True
    return isinstance(step, Read) and is_partly_read(state, key, step)


def is_partly_read(state: State, key: PassKey, step: Read) -> bool:
    """Whether some points of a reading are taken and some are not."""
    known = state.known.get((key[1], step.name))
    return known is not None and not known.points[-1].last


def _in_pass(
    job: Job, state: State, stage: Stage, part: Part, places: set[Place], changed: Collection[Ref]
) -> list[Ref]:
    key, found = (stage.title, part.path), []
    gauges: set[str] = set()
    touched = False
    for step in stage.steps:
        ref = Ref(stage=stage.title, part=part.path, step=step.about.number)
        if ref in changed:
            touched = True
        elif not is_begun(job, state, key, step):
            continue
        elif _stands(job, part, step, places, gauges, touched) or _asked_of(job, state, key, step, places):
            found.append(ref)
            touched = True
            places |= made_by(part, step)
            places |= {total for _, name in made_by(part, step) for total in _added_to(job, part.path, name)}
        else:
            if isinstance(step, Zero):
                gauges.discard(step.instrument)
            continue
        if isinstance(step, Zero):
            gauges.add(step.instrument)
    return found


def _stands(job: Job, part: Part, step: Step, places: set[Place], gauges: set[str], touched: bool) -> bool:
    if isinstance(step, HoldPoint | WitnessPoint | SignOff) and touched:
        return True
    if isinstance(step, Read) and step.instrument in gauges:
        return True
    return any(place in places for name in names_used(step) for place in places_of(job, part, name))


def _asked_of(job: Job, state: State, key: PassKey, step: Step, places: set[Place]) -> bool:
    """Whether a pass stands at a step because the condition of a block round it had no answer for these values."""
    failed = state.at(key).failed
    if not isinstance(failed, NotWorked) or failed.name or failed.step != step.about.number:
        return False
    names = _in_trees([one.tree for one in step.about.only_if])
    return any(place in places for name in names for place in places_of(job, job.part_of(key), name))


def names_used(step: Step) -> set[str]:
    """The names that a step stands on, as its formulas write them."""
    match step:
        case WorkOut(formula=formula):
            return _in_trees([formula.tree])
        case Rung(least=least):
            return _in_trees([least.tree])
        case Check(name=checked, limits=limits):
            return {checked} | _in_trees([one.tree for one in limits.written])
        case Zero(within=limits):
            return _in_trees([one.tree for one in limits.written])
        case Do(about=about):
            return set(about.show)
        case Wait(starts=starts) | NotBefore(starts=starts, condition=None):
            return {starts}
        case Window(starts=starts, ends=ends):
            return {starts, ends}
        case NotBefore(condition=condition) if condition:
            return _in_trees([condition.tree])
        case Repeat(until=until):
            return _in_trees([until.tree])
        case Soak(within=within, never_over=over):
            return _in_trees([*(one.tree for one in within.written), over.tree])
        case AgainstTheClock(useful=useful, last=last):
            return _in_trees([useful.tree, last.tree])
        case _:
            return set()


def roots(job: Job, step: Step) -> set[str]:
    """The names that a step stands on, through every value worked out on the way."""
    worked = {
        one.name: one
        for stage in job.procedure.every_stage
        for one in stage.steps
        if isinstance(one, WorkOut)
    }
    todo, found = list(names_used(step)), set[str]()
    while todo:
        name = job.procedure.parted(todo.pop())[0]
        if name not in found:
            found.add(name)
            todo += names_used(worked[name]) if name in worked else ()
    return found


def _in_trees(trees: Sequence[Tree]) -> set[str]:
    return {name.name for tree in trees for name in names_in(tree)}
