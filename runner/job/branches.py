"""Blocks of steps that are done only if something is so: which one is open, decided once by values and kept with them.

The block that isn't done stays readable as not applicable. A corrected value that turns a condition opens the other one.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from runner.formula.explain import with_values
from runner.formula.values import CannotBeWorked
from runner.job.dependence import standing_on
from runner.job.events import BranchDecided, NotWorked, Ref
from runner.job.job import Job
from runner.job.state import Pass, PassKey, State
from runner.job.values import NotKnownYet, find_all, inputs_of, is_so
from runner.procedure.model import Formula, Stage, Step

Block = tuple[int, int]
"""The first step of a block, and how deep it lies in others."""


def blocks_of(stage: Stage, step: Step) -> list[Block]:
    """The blocks that a step stands in, outermost first."""
    return [(_steps_in(stage, step, depth)[0], depth) for depth in range(len(step.about.only_if))]


def _steps_in(stage: Stage, step: Step, depth: int) -> tuple[int, ...]:
    """The numbers of all steps in the block round a step."""
    conditions = step.about.only_if[: depth + 1]
    return tuple(one.about.number for one in stage.steps if one.about.only_if[: depth + 1] == conditions)


def is_applicable(stage: Stage, found: Pass, step: Step) -> bool:
    """Whether a step is to be done as far as is decided: no block it stands in was decided against."""
    return all(found.branches[block].taken for block in blocks_of(stage, step) if block in found.branches)


def undecided(stage: Stage, found: Pass, step: Step) -> Block | None:
    """The outermost block round a step of which nobody has decided yet whether it is done."""
    return next((block for block in blocks_of(stage, step) if block not in found.branches), None)


def decide_branch(
    job: Job, state: State, key: PassKey, block: Block, stamp: dict[str, Any]
) -> BranchDecided | NotWorked:
    """Whether a block is done, by the values as they are. Raises NotKnownYet where one of them isn't there."""
    stage, part = job.stage_of(key), job.part_of(key)
    number, depth = block
    step = stage.steps[number - 1]
    condition: Formula = step.about.only_if[depth]
    steps = _steps_in(stage, step, depth)
    here = {**stamp, "stage": key[0], "part": key[1], "step": number}
    try:
        found = find_all(job, state, part, [condition.tree])
        taken = is_so(condition.tree, found)
    except NotKnownYet:
        raise
    except CannotBeWorked as why:
        sentence = f"{part.path}: whether {condition.text} can't be worked out: {why}"
        return NotWorked(**here, name="", formula=condition.text, inputs=(), sentence=sentence)
    return BranchDecided(
        **here,
        depth=depth,
        steps=steps,
        condition=condition.text,
        inputs=inputs_of(found),
        with_values=with_values(
            condition.text, condition.tree, {name: one.shown for name, one in found.items()}
        ),
        taken=taken,
        out_of_date=_turned_with(job, state, key, block, steps, taken),
    )


def _turned_with(
    job: Job, state: State, key: PassKey, block: Block, steps: tuple[int, ...], taken: bool
) -> tuple[Ref, ...]:
    """Where a decision turns: what was done in a block that opens again, and what stood on either having been as it was."""
    before = state.at(key).branches.get(block)
    if before is None or before.taken == taken:
        return ()
    inside = {Ref(stage=key[0], part=key[1], step=number) for number in steps}
    done = tuple(
        ref for ref in sorted(inside, key=lambda ref: ref.step) if ref.step in state.at(key).done_steps
    )
    return (*(done if taken else ()), *standing_on(job, state, (), inside))


def turned(
    job: Job, state: State, keys: Iterable[PassKey], stamp: dict[str, Any]
) -> BranchDecided | NotWorked | None:
    """The first block of these passes whose condition is another one now than when it was decided, or has no answer now."""
    for key in keys:
        for block, decided in state.at(key).branches.items():
            try:
                now = decide_branch(job, state, key, block, stamp)
            except NotKnownYet:
                continue
            if isinstance(now, BranchDecided):
                if now.taken != decided.taken:
                    return now
            elif not isinstance(state.at(key).failed, NotWorked):
                return now
    return None
