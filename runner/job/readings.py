"""A typed text at a reading or a zero: kept as typed, questioned where it looks like a slip, or refused with a sentence."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise
from typing import Any

from runner.formula.uncertain import COVERAGE
from runner.formula.values import CannotBeWorked
from runner.job.events import AnswerGiven, EntryQuestioned, Event, ReadingTaken, Share, ZeroRead
from runner.job.instruments import InUse, instrument_for, since_last_zero
from runner.job.job import Job, Refusal
from runner.job.limits import Limits, band_words, limits_for
from runner.job.moments import Moment
from runner.job.parts import Part
from runner.job.state import PassKey, State
from runner.procedure.model import Choose, Instrument, Read, Write, Zero
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.quantities.quantity import Quantity, fine_step, last_digit, show, show_apart
from runner.quantities.units import Unit

LONGEST_ANSWER = 200
"""Characters of a written answer: three lines of the small screen."""


def take(
    job: Job, state: State, key: PassKey, step: Read, text: str, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """The events of one line typed at a reading. All of the line is taken, or none of it."""
    part = job.part_of(key)
    if why := state.at(key).out_of_date.get(step.about.number):
        return Refusal(f"'{step.name}' is out of date: {why}", "measure it again, or say why it still stands")
    with_ = instrument_for(job, state, step.instrument, now)
    if isinstance(with_, Refusal):
        return with_
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
        why = question(job, state, key, quantity, step, plausible)
        if why and not (at == 0 and is_asked_again(asked, step, label, quantity)):
            if at == 0:
                return [EntryQuestioned(**stamp, point=label, typed=quantity.typed, why=why)]
            return Refusal(f"{why}; type the readings before it first", "then type this one by itself")
        is_last = taken + at + 1 == len(step.points)
        events.append(_taken(step, with_, label, quantity, why, is_last, stamp))
    return events


def _taken(
    step: Read,
    with_: InUse | None,
    label: str,
    quantity: Quantity,
    why: str,
    last: bool,
    stamp: dict[str, Any],
) -> Event:
    return ReadingTaken(
        **stamp,
        name=step.name,
        point=label,
        typed=quantity.typed,
        number=quantity.number,
        unit=quantity.unit.symbol,
        si=quantity.si,
        instrument=step.instrument,
        gauge=with_.gauge if with_ else "",
        calibrated_until=with_.calibrated_until if with_ else "",
        instrument_uncertainty=with_.uncertainty.typed if with_ else "",
        shares=shares_of(with_, f"{step.name} {label}".strip() + f" on {stamp['part']}"),
        questioned=why,
        last=last,
        timed_as=step.about.timed_as,
        late="",
    )


def shares_of(with_: InUse | None, reading: str) -> tuple[Share, ...]:
    """
    What a reading may be out by: its instrument's error, one and the same in all its readings, and the last digit it
    resolves, by itself in each (JCGM 100 F.2.2.1: a step over the root of twelve). A copied figure is taken as it stands.
    """
    if with_ is None:
        return ()
    error = float(with_.uncertainty.number * with_.uncertainty.unit.factor) / COVERAGE
    digit = float(with_.reads_to.number * with_.reads_to.unit.factor) / math.sqrt(12.0)
    return Share(source=with_.called, part=error), Share(source=f"last digit of {reading}", part=digit)


def is_asked_again(asked: EntryQuestioned | None, step: Read, point: str, quantity: Quantity) -> bool:
    """Whether this very text was asked about at this very point."""
    return asked is not None and (asked.step, asked.point, asked.typed) == (
        step.about.number,
        point,
        quantity.typed,
    )


def question(job: Job, state: State, key: PassKey, quantity: Quantity, step: Read, plausible: Limits) -> str:
    """Why an entry is asked for a second time, or nothing: another unit than the one shown, or outside the plausible band."""
    why = plausible_or_not(quantity, step.unit, plausible)
    if why.endswith(")"):
        why += _neighbour(job, state, key, quantity, step)
    return why


def plausible_or_not(quantity: Quantity, unit: Unit, plausible: Limits) -> str:
    """Why an entry is asked for a second time, with the slip that would explain it; nothing where it needs no question."""
    if not plausible.meets(float(quantity.si), quantity.si):
        band = band_words(plausible, unit)
        return f"{quantity.typed} is outside what is plausible here ({band}){_slip(quantity, plausible)}"
    if quantity.unit != unit:
        return f"{quantity.typed} is {show(quantity.si, unit, fine_step(unit))}"
    return ""


_SLIPS = (
    (Fraction(10), "ten times too large"),
    (Fraction(1, 10), "ten times too small"),
    (Fraction(127, 5), "millimetres for inches"),
    (Fraction(5, 127), "inches for millimetres"),
    (Fraction(1000), "a thousand times too large"),
    (Fraction(1, 1000), "a thousand times too small"),
)


def _slip(quantity: Quantity, plausible: Limits) -> str:
    """The slip that would explain an implausible entry; never corrected, only named."""
    for times, words in _SLIPS:
        size = Quantity(quantity.number / times, quantity.unit, quantity.typed).si
        if size and plausible.meets(float(size), size):
            return f"; is it {words}?"
    for text in _swapped(quantity.typed):
        other = parse_entry(text, quantity.unit)
        if isinstance(other, Quantity) and plausible.meets(float(other.si), other.si):
            return f"; were two digits swapped, for {text}?"
    return ""


def _swapped(typed: str) -> list[str]:
    """The text with each two neighbouring digits the other way round, a decimal mark between them left where it is."""
    digits = [at for at, sign in enumerate(typed) if sign.isdigit()]
    found = []
    for one, two in pairwise(digits):
        signs = list(typed)
        signs[one], signs[two] = signs[two], signs[one]
        found.append("".join(signs).replace(",", "."))
    return found


def _neighbour(job: Job, state: State, key: PassKey, quantity: Quantity, step: Read) -> str:
    """The part that such a reading would be plausible on, if it isn't on this one."""
    for other in job.parts.at(job.stage_of(key).for_each):
        if other.path == key[1]:
            continue
        try:
            if limits_for(job, state, other, step.plausible).meets(float(quantity.si), quantity.si):
                return f"; is it {other.path}'s?"
        except CannotBeWorked:
            continue
    return ""


def read_zero(
    job: Job, state: State, key: PassKey, step: Zero, text: str, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """
    The read-back of a gauge on its master: good inside the tolerance; otherwise kept, the zero is set again, and what was
    read with it since its last good one is out of date. So a bad one that would do that is asked for twice.
    """
    part = job.part_of(key)
    with_ = instrument_for(job, state, step.instrument, now)
    if isinstance(with_, Refusal):
        return with_
    gauge = with_.gauge if with_ else ""
    quantity = parse_entry(text, step.unit, job.mark)
    if isinstance(quantity, Refused):
        return Refusal(quantity.sentence)
    try:
        limits = limits_for(job, state, part, step.within)
    except CannotBeWorked as why:
        return Refusal(f"what the {step.instrument} should read can't be worked out: {why}")
    good = limits.meets(float(quantity.si), quantity.si)
    sentence = _zero_sentence(job, part, step, quantity, limits, good)
    doubtful = () if good else since_last_zero(job, state, gauge, step.instrument)
    asked = state.at(key).questioned
    readings = sum(isinstance(job.step((one.stage, one.part), one.step), Read) for one in doubtful)
    if readings and not (asked and (asked.step, asked.typed) == (step.about.number, quantity.typed)):
        count = "one reading" if readings == 1 else f"{readings} readings"
        doubt = f"{sentence}. If it is so, {count} with it since its last good zero go out of date"
        return [EntryQuestioned(**stamp, point="", typed=quantity.typed, why=doubt)]
    event = ZeroRead(
        **stamp,
        instrument=step.instrument,
        gauge=gauge,
        typed=quantity.typed,
        si=quantity.si,
        unit=quantity.unit.symbol,
        limits=step.within.text,
        good=good,
        sentence=sentence,
        timed_as=step.about.timed_as,
        out_of_date=doubtful,
    )
    return [event]


def answer(
    state: State, key: PassKey, step: Choose | Write, text: str, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """An option picked, or a text written and kept as it is."""
    said = worded(step, text)
    if isinstance(said, Refusal):
        return said
    return [AnswerGiven(**stamp, name=step.name, answer=said, timed_as=step.about.timed_as)]


def worded(step: Choose | Write, text: str) -> str | Refusal:
    """What an answer says, in plain blanks, or why it is none."""
    said = " ".join(text.split())
    if isinstance(step, Choose) and said not in step.options:
        return Refusal(f"'{said}' is none of the options", f"they are {', '.join(step.options)}")
    if not said:
        return Refusal("nothing was written", "write it in words")
    if len(said) > LONGEST_ANSWER:
        return Refusal(f"that has {len(said)} letters, and {LONGEST_ANSWER} is the most", "say it shorter")
    return said


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
