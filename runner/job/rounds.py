"""Blocks that are gone through until something is so: whether another round is begun, decided once at the end of each.

A round changes metal, so everything in the block is done again; what was read in the rounds before stays on the record.
"""

from __future__ import annotations

from typing import Any

from runner.formula.explain import with_values
from runner.formula.values import CannotBeWorked
from runner.job.dependence import is_begun, made_by, standing_on
from runner.job.events import CheckDecided, NotWorked, Ref, RoundBegun
from runner.job.job import Job
from runner.job.state import Pass, PassKey, State
from runner.job.values import NotKnownYet, find_all, inputs_of, is_so
from runner.procedure.model import Repeat, Stage, Step


def decide_round(
    job: Job, state: State, key: PassKey, step: Repeat, stamp: dict[str, Any]
) -> CheckDecided | RoundBegun | NotWorked:
    """
    What comes at the end of a round: the verdict that it is so by now, the next round, or after the last one that may be
    the verdict that it isn't. Raises NotKnownYet where a value of the condition no longer stands.
    """
    part, done = job.part_of(key), round_number(state.at(key), step)
    text = step.until.text
    try:
        found = find_all(job, state, part, [step.until.tree])
        so = is_so(step.until.tree, found)
    except NotKnownYet:
        raise
    except CannotBeWorked as why:
        sentence = f"{part.path}: whether {text} can't be worked out: {why}"
        return NotWorked(**stamp, name=step.name, formula=text, inputs=(), sentence=sentence)
    shown = with_values(text, step.until.tree, {name: one.shown for name, one in found.items()})
    inputs = inputs_of(found)
    if not so and done < step.at_most:
        again = _in_block(job, state, key, step)
        moved = {place for ref in again for place in made_by(part, job.step(key, ref.step))}
        return RoundBegun(
            **stamp,
            name=step.name,
            round=done + 1,
            at_most=step.at_most,
            until=text,
            with_values=shown,
            inputs=inputs,
            done_again=again,
            out_of_date=standing_on(job, state, moved, set(again)),
        )
    rounds = f"{done} round{'' if done == 1 else 's'}"
    return CheckDecided(
        **stamp,
        name=step.name,
        shown=f"{rounds}, {shown}",
        low="",
        high="",
        nominal="",
        limits=f"until {text}, at most {step.at_most} times",
        inputs=inputs,
        source=step.source,
        decision="simple",
        met=so,
        proven=True,
        uncertainty="",
        risk="",
        margin="",
        sentence=f"{part.path}: after {rounds} of {step.name}, {'' if so else 'which is the most, '}{shown} is "
        f"{'so' if so else 'not so'} ({step.source})",
        routes=step.routes,
        program=job.program,
    )


def _in_block(job: Job, state: State, key: PassKey, step: Repeat) -> tuple[Ref, ...]:
    """Every step of the block that was begun, or no longer stands."""
    inside = job.stage_of(key).steps[step.first - 1 : step.about.number - 1]
    dated = state.at(key).out_of_date
    return tuple(
        Ref(stage=key[0], part=key[1], step=one.about.number)
        for one in inside
        if is_begun(job, state, key, one) or one.about.number in dated
    )


def round_number(found: Pass, step: Repeat) -> int:
    """Which round a block is in, or was done in, from 1."""
    return found.rounds.get(step.about.number, 1)


def repeat_of(stage: Stage, step: Step) -> Repeat | None:
    """The innermost block gone through more than once that a step stands in."""
    round_it = (
        one
        for one in stage.steps
        if isinstance(one, Repeat) and one.first <= step.about.number <= one.about.number
    )
    return next(round_it, None)


def round_words(stage: Stage, found: Pass, step: Step) -> str:
    """'honing, round 2 of at most 12, until stock_left <= 0.003 mm'; nothing for a step in no such block."""
    repeat = repeat_of(stage, step)
    if repeat is None:
        return ""
    number = round_number(found, repeat)
    return f"{repeat.name}, round {number} of at most {repeat.at_most}, until {repeat.until.text}"
