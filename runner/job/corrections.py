"""Going back: a reading measured again, a slip corrected, readings moved to the part they were taken on, a thing looked at
again. Whatever stood on what changed goes out of date; nothing is overwritten.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.branches import is_applicable
from runner.job.dependence import is_partly_read, made_by, roots, standing_on
from runner.job.events import Event, Ref
from runner.job.intents import Correct, MeasureAgain, MoveReadings
from runner.job.job import Job, Refusal
from runner.job.limits import limits_for
from runner.job.passes import is_live, next_step, refusal_to_begin
from runner.job.readings import is_asked_again, question, worded
from runner.job.state import Known, PassKey, State
from runner.procedure.model import Choose, Do, HoldPoint, NotBefore, Read, SignOff, Step, Write
from runner.quantities.entry import Refused, parse_entry

Answer = list[Event] | Refusal
Stamp = dict[str, Any]


def again(job: Job, state: State, key: PassKey, asked: MeasureAgain, stamp: Stamp) -> Answer:
    """
    A reading is taken anew. That counts against its maximum, unless it was out of date, when it must be, or was left
    unread by a permit or skipped, when it is taken after all, or the pass waits for what it says.
    """
    if not asked.because.strip():
        return Refusal("measuring again needs its reason", "one line is enough")
    step = _reading_of(job, state, key, asked.name)
    if isinstance(step, Refusal):
        return step
    found, number = state.at(key), step.about.number
    waiting = next_step(job, state, key)
    awaited = isinstance(waiting, NotBefore) and step.name in roots(job, waiting)
    is_known = (key[1], step.name) in state.known
    counts = number not in found.out_of_date and is_known and not awaited
    if counts and found.again.get(number, 0) >= step.again_at_most:
        return Refusal(
            f"'{step.name}' was measured again {step.again_at_most} times, which is the most",
            "correct a slip, or take one of the ways out",
        )
    here = Ref(stage=key[0], part=key[1], step=number)
    refs = standing_on(job, state, made_by(job.part_of(key), step), {here})
    return [
        e.ReadingSuperseded(
            **{**stamp, "stage": key[0], "part": key[1], "step": number},
            name=step.name,
            because=asked.because.strip(),
            counts=counts,
            out_of_date=refs,
        )
    ]


def begun_anew(job: Job, state: State, event: Event, stamp: Stamp) -> list[Event]:
    """Readings of which only some points were taken, on what an event puts out of date: the rest would be read on another."""
    return [
        let_go(ref, step.name, "it was half read, and what it stood on changed", stamp)
        for ref in getattr(event, "out_of_date", ())
        if isinstance(step := job.step((ref.stage, ref.part), ref.step), Read)
        and is_partly_read(state, (ref.stage, ref.part), step)
    ]


def left_unread(state: State, key: PassKey, step: Step, stamp: Stamp) -> list[Event]:
    """The points of a reading that is left before it is whole: nothing is worked out from some of them."""
    if not (isinstance(step, Read) and is_partly_read(state, key, step)):
        return []
    ref = Ref(stage=key[0], part=key[1], step=step.about.number)
    return [let_go(ref, step.name, "it was left half read", stamp)]


def let_go(ref: Ref, name: str, because: str, stamp: Stamp) -> e.ReadingSuperseded:
    """The points of a reading that was not whole, or was not read, no longer count; nothing stood on them."""
    where = {"stage": ref.stage, "part": ref.part, "step": ref.step}
    return e.ReadingSuperseded(**{**stamp, **where}, name=name, because=because, counts=False, out_of_date=())


def correct(job: Job, state: State, asked: Correct, stamp: Stamp) -> Answer:
    """A figure, an option or a text that was typed wrong, put right by what it should have been. Nothing is measured anew."""
    key = asked.key
    if not asked.because.strip():
        return Refusal("a correction needs its reason", "one line is enough")
    if not is_live(job, state, job.part_of(key)):
        return Refusal(f"{key[1]} is no longer in this job")
    known = state.known.get((key[1], asked.name))
    step = next((one for one in job.stage_of(key).steps if getattr(one, "name", "") == asked.name), None)
    if known is None or known.stage != key[0] or not isinstance(step, Read | Choose | Write):
        return Refusal(f"nothing called '{asked.name}' was entered in '{key[0]}' on {key[1]}")
    here = {**stamp, "stage": key[0], "part": key[1], "step": step.about.number}
    changed = {Ref(stage=key[0], part=key[1], step=step.about.number)}
    refs = standing_on(job, state, {(key[1], asked.name)}, changed)
    if isinstance(step, Read):
        return _correct_point(job, state, step, known, asked, refs, here)
    return _correct_answer(step, known, asked, refs, here)


def _correct_point(
    job: Job, state: State, step: Read, known: Known, asked: Correct, refs: tuple[Ref, ...], here: Stamp
) -> Answer:
    point = next((one for one in known.points if one.point == asked.point), None)
    if point is None:
        labels = ", ".join(one.point for one in known.points)
        return Refusal(f"'{step.name}' has no point '{asked.point}' read", f"read are {labels}")
    quantity = parse_entry(asked.text, step.unit, job.mark)
    if isinstance(quantity, Refused):
        return Refusal(quantity.sentence)
    if quantity.typed == point.typed:
        return Refusal(f"'{step.name}' says {point.typed} already")
    try:
        plausible = limits_for(job, state, job.part_of(asked.key), step.plausible)
    except CannotBeWorked as cannot:
        return Refusal(f"the plausible band of '{step.name}' can't be worked out: {cannot}")
    why = question(job, state, asked.key, quantity, step, plausible)
    if why and not is_asked_again(state.at(asked.key).questioned, step, point.point, quantity):
        return [e.EntryQuestioned(**here, point=point.point, typed=quantity.typed, why=why)]
    return [
        e.ReadingCorrected(
            **here,
            name=step.name,
            point=point.point,
            was=point.typed,
            typed=quantity.typed,
            number=quantity.number,
            unit=quantity.unit.symbol,
            si=quantity.si,
            because=asked.because.strip(),
            out_of_date=refs,
        )
    ]


def _correct_answer(
    step: Choose | Write, known: Known, asked: Correct, refs: tuple[Ref, ...], here: Stamp
) -> Answer:
    answer = worded(step, asked.text)
    if isinstance(answer, Refusal):
        return answer
    if answer == known.answer:
        return Refusal(f"'{step.name}' says '{known.answer}' already")
    return [
        e.AnswerCorrected(
            **here,
            name=step.name,
            was=known.answer or "",
            answer=answer,
            because=asked.because.strip(),
            out_of_date=refs,
        )
    ]


def stands_on(job: Job, state: State, key: PassKey, name: str) -> tuple[Ref, ...]:
    """What would go out of date if a reading or an answer were corrected: for showing before it is confirmed."""
    known = state.known.get((key[1], name))
    if known is None:
        return ()
    return standing_on(job, state, {(key[1], name)}, {Ref(stage=key[0], part=key[1], step=known.step)})


def move(job: Job, state: State, asked: MoveReadings, stamp: Stamp) -> Answer:
    """
    Readings taken on the wrong part: superseded there, and entered here as late entries, in one act. What isn't plausible
    on the right part is refused, for then it was not taken there either.
    """
    source, target = asked.key, (asked.key[0], asked.to)
    if not asked.because.strip():
        return Refusal("moving readings needs its reason", "one line is enough")
    if not is_live(job, state, job.part_of(source)):
        return Refusal(f"{source[1]} is no longer in this job")
    if target not in job.keys() or target == source:
        return Refusal(
            f"'{source[0]}' is not done on {asked.to}" if target != source else "that is the same part"
        )
    locked = refusal_to_begin(job, state, target)
    if locked:
        return locked
    if stopped := state.at(target).stop:
        return Refusal(f"'{target[0]}' on {target[1]} stands: {stopped.exit} ({stopped.because})")
    if not asked.names:
        return Refusal("no reading was named")
    leaving: list[Event] = []
    arriving: list[Event] = []
    for name in dict.fromkeys(asked.names):
        moved = _moved(job, state, source, target, name, asked.because.strip(), stamp)
        if isinstance(moved, Refusal):
            return moved
        leaving += moved[0]
        arriving += moved[1]
    return [*leaving, *arriving]


def _moved(
    job: Job, state: State, source: PassKey, target: PassKey, name: str, because: str, stamp: Stamp
) -> tuple[list[Event], list[Event]] | Refusal:
    step = _reading_of(job, state, source, name)
    if isinstance(step, Refusal):
        return step
    if (target[1], name) in state.known:
        return Refusal(f"'{name}' was read on {target[1]} already", "measure it again, or correct it, there")
    there = state.at(target)
    if step.about.number in there.done_steps or not is_applicable(job.stage_of(target), there, step):
        return Refusal(f"'{name}' is not wanted on {target[1]}", "it was left there, or is not applicable")
    known, number = state.known.get((source[1], name)), step.about.number
    if known is None:
        return Refusal(f"'{name}' was left unread on {source[1]}")
    if number not in state.at(source).done_steps:
        return Refusal(f"'{name}' is not whole yet on {source[1]}")
    try:
        plausible = limits_for(job, state, job.part_of(target), step.plausible)
    except CannotBeWorked as why:
        return Refusal(f"what is plausible for '{name}' on {target[1]} can't be worked out: {why}")
    for point in known.points:
        if not plausible.meets(float(point.si), point.si):
            return Refusal(f"{point.typed} {point.unit} is not plausible on {target[1]}")
    here = Ref(stage=source[0], part=source[1], step=number)
    refs = standing_on(job, state, made_by(job.part_of(source), step), {here})
    leaving: list[Event] = [
        e.ReadingSuperseded(
            **{**stamp, "stage": source[0], "part": source[1], "step": number},
            name=name,
            because=f"it was taken on {target[1]}: {because}",
            counts=False,
            out_of_date=refs,
        )
    ]
    taken = known.points[-1].at.utc.astimezone(job.zone)
    late = f"entered on {source[1]} on {taken:%Y-%m-%d at %H:%M:%S}, and moved: {because}"
    arriving: list[Event] = [
        replace(point, **stamp, part=target[1], timed_as="", late=late) for point in known.points
    ]
    return leaving, arriving


def still_stands(job: Job, state: State, key: PassKey, number: int, because: str, stamp: Stamp) -> Answer:
    """
    Something out of date, looked at again by the person at the bench, who says why it holds. Never a release: that is
    given anew by somebody who may; and never a value or a verdict, which are worked anew by themselves.
    """
    step = job.step(key, number)
    why = state.at(key).out_of_date.get(number)
    if why is None:
        return Refusal("this step is not out of date")
    if isinstance(step, HoldPoint):
        return Refusal(f"'{step.title}' is released anew", "r releases it")
    if not isinstance(step, Do | Read | Choose | Write | SignOff):
        return Refusal("this step is done anew", "it goes on by itself, or by its own key")
    if not because.strip():
        return Refusal("why it still stands needs its reason", "one line is enough")
    return [e.StillStands(**stamp, because=because.strip())]


def _reading_of(job: Job, state: State, key: PassKey, name: str) -> Read | Refusal:
    """The reading of that name in a pass, if it was read; else why not."""
    part, steps = job.part_of(key), job.stage_of(key).steps
    step = next((one for one in steps if isinstance(one, Read) and one.name == name), None)
    if step is None:
        here = ", ".join(
            one.name for one in steps if isinstance(one, Read) and (part.path, one.name) in state.known
        )
        return Refusal(f"no reading of this pass is called '{name}'", f"read so far: {here}" if here else "")
    if (part.path, name) not in state.known and step.about.number not in state.at(key).done_steps:
        return Refusal(f"'{name}' has not been read yet")
    return step
