"""A typed text at a reading or a zero: kept as typed, questioned where it looks like a slip, or refused with a sentence."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from runner.formula.tree import names_in
from runner.formula.uncertain import COVERAGE
from runner.formula.values import CannotBeWorked
from runner.job.events import EntryQuestioned, Event, ReadingSuperseded, ReadingTaken, Share, ZeroRead
from runner.job.job import Job, Refusal
from runner.job.parts import Part
from runner.job.state import PassKey, State
from runner.job.working import Limits, band_words, limits_for
from runner.procedure.model import (
    Check,
    Do,
    HoldPoint,
    Instrument,
    Read,
    SignOff,
    Step,
    Wait,
    WorkOut,
    Zero,
)
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import Quantity, fine_step, last_digit, show, show_apart
from runner.quantities.units import Unit


def take(
    job: Job, state: State, key: PassKey, step: Read, text: str, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """The events of one line typed at a reading. All of the line is taken, or none of it."""
    part = job.part_of(key)
    before = state.known.get((part.path, step.name))
    taken = len(before.points) if before else 0
    words = split_entries(text)
    left = len(step.points) - taken
    if len(words) > left:
        wanted = "one reading is" if left == 1 else f"{left} readings are"
        return Refusal(
            f"{len(words)} readings were typed, and {wanted} wanted", "a blank separates two readings"
        )
    try:
        plausible = limits_for(job, state, part, step.plausible)
    except CannotBeWorked as cannot:
        return Refusal(f"the plausible band of '{step.name}' can't be worked out: {cannot}")
    asked = state.at(key).questioned
    events: list[Event] = []
    for at, word in enumerate(words or [text]):
        quantity = parse_entry(word, step.unit, job.mark)
        if isinstance(quantity, Refused):
            return Refusal(quantity.sentence)
        label = step.points[taken + at]
        why = _question(quantity, step, plausible)
        if why and not (at == 0 and asked and asked.point == label and asked.typed == quantity.typed):
            if at == 0:
                return [EntryQuestioned(**stamp, point=label, typed=quantity.typed, why=why)]
            return Refusal(f"{why}; type the readings before it first", "then type this one by itself")
        events.append(_taken(job, step, label, quantity, why, taken + at + 1 == len(step.points), stamp))
    return events


def _taken(
    job: Job, step: Read, label: str, quantity: Quantity, why: str, last: bool, stamp: dict[str, Any]
) -> Event:
    instrument = job.procedure.instrument(step.instrument)
    return ReadingTaken(
        **stamp,
        name=step.name,
        point=label,
        typed=quantity.typed,
        number=quantity.number,
        unit=quantity.unit.symbol,
        si=quantity.si,
        instrument=step.instrument,
        instrument_uncertainty=instrument.uncertainty.typed if instrument else "",
        shares=_shares(instrument, f"{step.name} {label}".strip() + f" on {stamp['part']}"),
        questioned=why,
        last=last,
        timed_as=step.about.timed_as,
    )


def _shares(instrument: Instrument | None, reading: str) -> tuple[Share, ...]:
    """
    What a reading may be out by: its instrument's error, one and the same in all its readings, and the last digit it
    resolves, by itself in each (JCGM 100 F.2.2.1: a step over the root of twelve). A copied figure is taken as it stands.
    """
    if instrument is None:
        return ()
    error = float(instrument.uncertainty.number * instrument.uncertainty.unit.factor) / COVERAGE
    digit = float(instrument.reads_to.number * instrument.reads_to.unit.factor) / math.sqrt(12.0)
    return Share(source=instrument.title, part=error), Share(source=f"last digit of {reading}", part=digit)


def _question(quantity: Quantity, step: Read, plausible: Limits) -> str:
    """Why an entry is asked for a second time, or nothing: another unit than the one shown, or outside the plausible band."""
    value = float(quantity.si)
    if not plausible.meets(value, quantity.si):
        return f"{quantity.typed} is outside what is plausible here ({band_words(plausible, step.unit)}){_slip(quantity, step, plausible)}"
    if quantity.unit != step.unit:
        return f"{quantity.typed} is {show(quantity.si, step.unit, fine_step(step.unit))}"
    return ""


_SLIPS = (
    (Fraction(10), "ten times too large"),
    (Fraction(1, 10), "ten times too small"),
    (Fraction(127, 5), "millimetres for inches"),
    (Fraction(5, 127), "inches for millimetres"),
    (Fraction(1000), "a thousand times too large"),
    (Fraction(1, 1000), "a thousand times too small"),
)


def _slip(quantity: Quantity, step: Read, plausible: Limits) -> str:
    """The slip that would explain an implausible entry; never corrected, only named."""
    for times, words in _SLIPS:
        other = Quantity(quantity.number / times, quantity.unit, quantity.typed).si
        if other and plausible.meets(float(other), other):
            return f"; is it {words}?"
    return ""


def read_zero(
    job: Job, state: State, key: PassKey, step: Zero, text: str, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """The read-back of a gauge on its master: good inside the tolerance; otherwise kept, and the zero is set again."""
    part = job.part_of(key)
    quantity = parse_entry(text, step.unit, job.mark)
    if isinstance(quantity, Refused):
        return Refusal(quantity.sentence)
    try:
        limits = limits_for(job, state, part, step.within)
    except CannotBeWorked as why:
        return Refusal(f"what the {step.instrument} should read can't be worked out: {why}")
    good = limits.meets(float(quantity.si), quantity.si)
    sentence = _zero_sentence(job, part, step, quantity, limits, good)
    event = ZeroRead(
        **stamp,
        instrument=step.instrument,
        typed=quantity.typed,
        si=quantity.si,
        unit=quantity.unit.symbol,
        limits=step.within.text,
        good=good,
        sentence=sentence,
        timed_as=step.about.timed_as,
    )
    return [event]


def _zero_sentence(job: Job, part: Part, step: Zero, quantity: Quantity, limits: Limits, good: bool) -> str:
    assert limits.nominal
    nearest = min(
        last_digit(quantity.typed), _resolution(job.procedure.instrument(step.instrument), step.unit)
    )
    if good:
        return f"the {step.instrument} reads {show(quantity.si, step.unit, nearest)} on {step.on}"
    wanted = limits.nominal.exact if limits.nominal.exact is not None else limits.nominal.value
    read, nominal = show_apart(quantity.si, wanted, step.unit, nearest)
    return f"the {step.instrument} reads {read} on {step.on} and should read {nominal} ({step.within.text}); set it again and read it back"


def _resolution(instrument: Instrument | None, shown: Unit) -> Fraction:
    if instrument is None:
        return Fraction(1, 1000)
    return instrument.reads_to.number * instrument.reads_to.unit.factor / shown.factor


def again(
    job: Job, state: State, key: PassKey, name: str, because: str, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """
    A reading of this pass is taken again. What stood on it is undone: values and checks by formula, zeros and shown
    values by name, readings by a gauge that was zeroed by it, waits that ran from an act that is done again, and every
    sign-off and release behind it, for those were given for what was there.
    """
    part, steps = job.part_of(key), job.stage_of(key).steps
    step = next((one for one in steps if isinstance(one, Read) and one.name == name), None)
    if step is None:
        here = ", ".join(
            one.name for one in steps if isinstance(one, Read) and (part.path, one.name) in state.known
        )
        return Refusal(f"no reading of this pass is called '{name}'", f"read so far: {here}" if here else "")
    if (part.path, name) not in state.known:
        return Refusal(f"'{name}' has not been read yet")
    found = state.at(key)
    begun = found.done_steps | found.ticks.keys()
    undone = [
        one
        for one in _standing_on(job, steps, step)
        if one.about.number in begun or (isinstance(one, Read) and (part.path, one.name) in state.known)
    ]
    numbers = tuple(one.about.number for one in undone)
    return [
        ReadingSuperseded(**{**stamp, "step": step.about.number}, name=name, because=because, undone=numbers),
        *(
            ReadingSuperseded(
                **{**stamp, "step": one.about.number},
                name=one.name,
                because=f"the {one.instrument} is zeroed again: {because}",
                undone=(),
            )
            for one in undone
            if isinstance(one, Read)
        ),
    ]


def _standing_on(job: Job, steps: tuple[Step, ...], reading: Read) -> list[Step]:
    """The steps behind a reading that stood on it: on its value, on a gauge zeroed by it, on the time it was taken."""
    moved = {reading.name, reading.about.timed_as} - {""}
    gauges: set[str] = set()
    undone: list[Step] = []
    for step in steps[reading.about.number :]:
        by_gauge = isinstance(step, Read) and step.instrument in gauges
        if by_gauge or isinstance(step, HoldPoint | SignOff) or moved & _owners(job, _names_in(step)):
            undone.append(step)
            moved |= {step.about.timed_as} - {""}
            if isinstance(step, WorkOut | Read | Wait):
                moved.add(step.name)
            elif isinstance(step, Zero):
                gauges.add(step.instrument)
        elif isinstance(step, Zero):
            gauges.discard(step.instrument)
    return undone


def _names_in(step: Step) -> set[str]:
    """The names that a step stands on."""
    match step:
        case WorkOut(formula=formula):
            return {name.name for name in names_in(formula.tree)}
        case Check(name=checked, limits=limits):
            return {checked, *(name.name for one in limits.written for name in names_in(one.tree))}
        case Zero(within=limits):
            return {name.name for one in limits.written for name in names_in(one.tree)}
        case Do(about=about):
            return set(about.show)
        case Wait(starts=starts):
            return {starts}
        case _:
            return set()


def _owners(job: Job, names: set[str]) -> set[str]:
    """The readings and values behind names: a level's reading, and what a table is looked up by."""
    found = set()
    for name in names:
        owner = name.partition(".")[0]
        table = next((one for one in job.procedure.tables if one.name == owner), None)
        found |= _owners(job, {table.looked_up_by}) if table else {owner}
    return found
