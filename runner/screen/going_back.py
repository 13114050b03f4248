"""What is asked for going back: a slip put right, a reading measured again, readings that belong to another part.

Before any of it is done, what will go out of date with it is shown, and one more key does it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.corrections import stands_on
from runner.job.decide import decide
from runner.job.events import Ref
from runner.job.intents import Correct, Intent, MeasureAgain, MoveReadings
from runner.job.job import Job, Refusal
from runner.job.limits import limits_for
from runner.job.readings import question
from runner.job.reworks import stood_on
from runner.job.state import Known, PassKey, State
from runner.paper.record import says
from runner.procedure.model import Choose, Read
from runner.quantities.entry import parse_entry
from runner.quantities.quantity import Quantity
from runner.screen.asking import Answer, Question, confirm, pick, text
from runner.screen.view import View, out_of_sight

Choice = Callable[[View, Known], Answer]
"""What is asked next of the reading or answer that was chosen."""
_SHOWN = 3
"""Steps that go out of date, told one by one; the rest is a count."""


def go_back(view: View) -> Question:
    """What is to be put right."""
    ways = {
        "a": ("a slip: it was typed wrong", _correct),
        "b": ("measure again: it was measured wrong", _again),
        "c": ("another part's: it was measured on another part", _move),
    }
    return Question(
        "Go back: what was wrong?",
        lambda key: _which(view, ways[key][0].partition(":")[0], ways[key][1]),
        {key: words for key, (words, _) in ways.items()},
    )


def again(view: View) -> Question | None:
    """Which reading of the pass in hand is taken again, and why. After a failed check, one that the value stood on."""
    job, state, key = view.job, view.state, view.key
    assert key
    names = _readings(job, state, key)
    if not names:
        return None
    if len(names) == 1:
        return _why_again(names[0])
    return pick("Which reading is taken again?", [(one, one) for one in names], _why_again)


def _why_again(name: str) -> Question:
    return text(f"Why is {name} measured again?", "reason", lambda because: MeasureAgain(name, because))


def _readings(job: Job, state: State, key: PassKey) -> list[str]:
    failed = state.at(key).failed
    if isinstance(failed, e.CheckDecided) and (stood := stood_on(job, state, key, failed.name)):
        return stood
    if isinstance(failed, e.SecondReadingDisagrees):
        return [failed.name]
    if isinstance(failed, e.NotWorked | e.CheckDecided) and failed.inputs:
        found = [
            name
            for one in failed.inputs
            for name in stood_on(job, state, key, job.procedure.parted(one.name)[0])
        ]
        return list(dict.fromkeys(found))
    part = job.part_of(key).path
    here = [
        step.name
        for step in job.stage_of(key).steps
        if isinstance(step, Read) and (part, step.name) in state.known
    ]
    dated = [name for name in here if state.known[(part, name)].step in state.at(key).out_of_date]
    return dated or list(reversed(here))


# which reading or answer


def _which(view: View, what: str, then: Choice) -> Question:
    """The readings of the pass in hand, newest first, and a way to those of any other part."""
    answers = then is _correct
    if view.key is None:
        return _other_part(view, what, then)
    here = [one for one in _entered(view, view.key[1], answers) if (one.stage, one.part) == view.key]
    other = {"z": ("on another part, or in another stage", lambda: _other_part(view, what, then))}
    return pick(
        f"{what}: which one?", _worded(view, here, with_stage=False), lambda one: then(view, one), other
    )


def _other_part(view: View, what: str, then: Choice) -> Question:
    def on(tag: str) -> Answer:
        part = next((one.part for one in view.state.known.values() if one.part.lower() == tag.lower()), "")
        found = _entered(view, part, then is _correct)
        if not found:
            return f"nothing was entered on a part tagged '{tag}'"
        return pick(
            f"{what}, on {part}: which one?",
            _worded(view, found, with_stage=True),
            lambda one: then(view, one),
        )

    return Question(f"{what}: on which part? Type its tag", on)


def _entered(view: View, part: str, answers: bool) -> list[Known]:
    """What was read on a part, answers too where they are wanted, newest first."""
    known = [one for one in view.state.known.values() if one.part == part]
    return [one for one in reversed(known) if one.points or (answers and one.answer is not None)]


def _worded(view: View, found: Sequence[Known], *, with_stage: bool) -> list[tuple[str, Known]]:
    hidden = out_of_sight(view.job, view.state)
    worded = []
    for one in found:
        is_hidden = Ref(stage=one.stage, part=one.part, step=one.step) in hidden
        value = "" if is_hidden else one.answer or " ".join(point.typed for point in one.points)
        worded.append((f"{one.name}  {value}" + (f"  ({one.stage})" if with_stage else ""), one))
    return worded


# what is done with it


def _again(view: View, known: Known) -> Answer:
    key = (known.stage, known.part)
    return text(
        f"Why is {known.name} on {known.part} measured again?",
        "reason",
        lambda because: _last_look(
            view,
            f"{known.name} on {known.part} is measured again",
            [known],
            MeasureAgain(known.name, because, key),
        ),
    )


def _correct(view: View, known: Known) -> Answer:
    if known.answer is not None:
        step = view.job.step((known.stage, known.part), known.step)
        if isinstance(step, Choose):
            options = [(one, one) for one in step.options if one != known.answer]
            return pick(f"{step.ask}: which is right?", options, lambda one: _reason(view, known, "", one))
        return Question(f"{known.name}: what is right?", lambda said: _reason(view, known, "", said))
    if len(known.points) == 1:
        return _figure(view, known, known.points[0])
    is_hidden = not _value_of(view, known, known.points[0])
    choices = [(f"{one.point}  {'' if is_hidden else one.typed}", one) for one in known.points]
    return pick(f"{known.name}: which point?", choices, lambda one: _figure(view, known, one))


def _value_of(view: View, known: Known, point: e.ReadingTaken) -> str:
    hidden = out_of_sight(view.job, view.state)
    return "" if Ref(stage=known.stage, part=known.part, step=known.step) in hidden else point.typed


def _figure(view: View, known: Known, point: e.ReadingTaken) -> Question:
    was = _value_of(view, known, point)
    name = f"{known.name} {point.point}".strip()
    step = view.job.step((known.stage, known.part), known.step)
    unit = step.unit.symbol if isinstance(step, Read) else point.unit
    said = f" says {was}" if was else ""
    return Question(
        f"{name} on {known.part}{said}: what is the right figure, in {unit}?",
        lambda figure: _reason(view, known, point.point, figure),
    )


def _reason(view: View, known: Known, point: str, right: str) -> Answer:
    """Why it is another one; a figure that can't be taken is said before anything more is asked."""
    asked = Correct((known.stage, known.part), known.name, point, right, "to see")
    refused = decide(view.job, view.state, asked, view.now)
    if isinstance(refused, Refusal):
        return f"{refused.sentence}; {refused.fix}" if refused.fix else refused.sentence
    name = f"{known.name} {point}".strip()
    doubt = _doubt(view, known, right)
    return text(
        f"{name} on {known.part} becomes {right}: why?",
        "reason",
        lambda because: _last_look(
            view,
            f"{name} on {known.part} becomes {right}{doubt}",
            [known],
            Correct((known.stage, known.part), known.name, point, right, because),
        ),
    )


def _doubt(view: View, known: Known, right: str) -> str:
    """What looks like a slip in the right figure too."""
    key = (known.stage, known.part)
    step = view.job.step(key, known.step)
    if not isinstance(step, Read):
        return ""
    quantity = parse_entry(right, step.unit, view.job.mark)
    if not isinstance(quantity, Quantity):
        return ""
    try:
        plausible = limits_for(view.job, view.state, view.job.part_of(key), step.plausible)
    except CannotBeWorked:
        return ""
    why = question(view.job, view.state, key, quantity, step, plausible)
    return f" ({why})" if why else ""


def _move(view: View, known: Known) -> Answer:
    """The right part by its tag, and why; every reading of that pass may go with it."""
    key = (known.stage, known.part)
    mine = [one for one in view.state.known.values() if (one.stage, one.part) == key and one.points]
    names = tuple(one.name for one in mine)

    def to(moved: Sequence[Known]) -> Question:
        named = ", ".join(one.name for one in moved)
        return Question(
            f"{named} of {known.part}: tag of the part it was taken on?", lambda tag: why(moved, tag)
        )

    def why(moved: Sequence[Known], tag: str) -> Answer:
        level = view.job.stage_of(key).for_each
        part = view.job.parts.find(level, tag)
        if part is None:
            return f"no {level} is tagged '{tag}'"
        taken = tuple(one.name for one in moved)
        refused = decide(view.job, view.state, MoveReadings(key, taken, part.path, "to see"), view.now)
        if isinstance(refused, Refusal):
            return f"{refused.sentence}; {refused.fix}" if refused.fix else refused.sentence
        return text(
            f"{', '.join(taken)} goes from {known.part} to {part.path}: why?",
            "reason",
            lambda because: _last_look(
                view,
                f"{', '.join(taken)} goes from {known.part} to {part.path}",
                moved,
                MoveReadings(key, taken, part.path, because),
            ),
        )

    if len(names) == 1:
        return to(mine)
    return Question(
        f"{known.name} alone, or every reading of {known.stage} on {known.part}?",
        lambda pressed: to([known] if pressed == "a" else mine),
        {"a": f"{known.name} alone", "b": f"all {len(names)}: {', '.join(names)}"},
    )


def _last_look(view: View, what: str, changed: Sequence[Known], intent: Intent) -> Question:
    """What will go out of date, the first of it by name and the rest as a count, and the key that does it."""
    refs: dict[Ref, None] = {}
    for one in changed:
        refs |= dict.fromkeys(stands_on(view.job, view.state, (one.stage, one.part), one.name))
    return confirm(f"{what}. {_out_of_date(view.job, list(refs))}", "do it", lambda: intent)


def _out_of_date(job: Job, refs: Sequence[Ref]) -> str:
    if not refs:
        return "Nothing done so far stands on it."
    named = "; ".join(
        f"{says(job.step((ref.stage, ref.part), ref.step))} ({ref.part})" for ref in refs[:_SHOWN]
    )
    more = f"; and {len(refs) - _SHOWN} more" if len(refs) > _SHOWN else ""
    count = "One step goes" if len(refs) == 1 else f"{len(refs)} steps go"
    return f"{count} out of date: {named}{more}."
