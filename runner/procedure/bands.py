"""Between which two values each name of a procedure must lie, as long as every reading is a plausible one.

Readings have the band they are asked in, worked values what follows from it, table columns and ladders all their rows
and rungs. What can't be told is None, and nothing is then proved from it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction

from runner.formula.bounds import Bounds, Known, bounds, truth
from runner.formula.tree import Comparison, Is, Logic, Name, Tree
from runner.procedure.model import Formula, Procedure, Read, WorkOut
from runner.quantities.quantity import Quantity, fine_step, show
from runner.quantities.units import Unit
from runner.text.problem import Place


class Bands:
    """
    The bands of one procedure's names. Formulas on the lines of files in `wrong` have problems of their own, and are left alone,
    with all that comes from them.
    """

    def __init__(self, procedure: Procedure, wrong: Collection[tuple[str, int]] = ()) -> None:
        self.wrong = wrong
        self._fixed: dict[str, Bounds] = {}
        self._made: dict[str, Read | WorkOut] = {}
        self._worked: dict[str, Bounds | None] = {}
        self._twice: set[str] = set()
        self._parts = {part for level in procedure.parts for part in (level.name, *level.named)}
        for name, band in _said(procedure):
            if name in self._fixed:  # given twice: which one is meant can't be told
                self._twice.add(name)
            self._fixed[name] = band
        for stage in procedure.every_stage:
            for step in stage.steps:
                if isinstance(step, Read | WorkOut):
                    if step.name in self._made or step.name in self._fixed:
                        self._twice.add(step.name)
                    self._made[step.name] = step

    def known(self, name: Name) -> Bounds | None:
        """The band of a name, of whichever part it is; for a grouped reading the band of each value in it."""
        return self._of_name(self._meant(name))

    def made(self, name: Name) -> Read | WorkOut | None:
        """The step that makes a name, where one alone does."""
        meant = self._meant(name)
        return None if meant in self._twice else self._made.get(meant)

    def _meant(self, name: Name) -> str:
        """The name that is given in the procedure, without the part or with the column, and without the level."""
        owner, value = name.path
        if owner in self._parts:
            owner = ""
        whole = f"{owner}.{value}" if owner else value
        return whole if whole in self._fixed else owner or value

    def under(self, conditions: Sequence[Formula]) -> Known | None:
        """As `known`, where these conditions hold; None where they can't hold together."""
        narrower: dict[str, Bounds] = {}

        def known(name: Name) -> Bounds | None:
            return narrower.get(name.name) or self.known(name)

        for condition in conditions:
            if self.is_wrong(condition.place):
                continue
            if truth(condition.tree, known) is False:
                return None
            for part in _together(condition.tree):
                for name, band in _narrowed(part, known):
                    narrower[name.name] = band
        return None if has_no_option_left(conditions) else known

    def of(self, formula: Formula, known: Known | None = None) -> Bounds | None:
        """Between what a formula lies."""
        return None if self.is_wrong(formula.place) else bounds(formula.tree, known or self.known)

    def is_wrong(self, place: Place) -> bool:
        """Whether there is a problem on the line of a place, so that nothing is proved from what stands there."""
        return (place.file, place.line) in self.wrong

    def unit_of(self, name: str) -> Unit | None:
        """What a reading or a worked value is shown in."""
        made = self._made.get(name)
        return made.unit if made else None

    def _of_name(self, name: str) -> Bounds | None:
        if name not in self._worked:
            self._worked[name] = None  # a value that comes from itself has no band
            if name not in self._twice:
                made = self._made.get(name)
                self._worked[name] = self._of_step(made) if made else self._fixed.get(name)
        return self._worked[name]

    def _of_step(self, step: Read | WorkOut) -> Bounds | None:
        if isinstance(step, WorkOut):
            return self.of(step.formula)
        low, high = step.plausible.low, step.plausible.high
        lowest, highest = (self.of(low) if low else None), (self.of(high) if high else None)
        return Bounds(lowest.low, highest.high) if lowest and highest else None


def told(value: float, unit: Unit) -> str:
    """An end of a band as the bench would show it."""
    return show(Fraction(value), unit, fine_step(unit)) if math.isfinite(value) else "without end"


def _of(values: Sequence[Quantity]) -> Bounds:
    return Bounds(float(min(one.si for one in values)), float(max(one.si for one in values)))


def _said(procedure: Procedure) -> Iterator[tuple[str, Bounds]]:
    """The band of each name whose values stand in the head."""
    for given in procedure.givens:
        yield given.name, _of([given.value])
    for ladder in procedure.ladders:
        yield ladder.name, _of(ladder.rungs)
    for table in procedure.tables:
        for at, column in enumerate(table.columns):
            yield f"{table.name}.{column}", _of([row.values[at] for row in table.rows])


def _together(condition: Tree) -> Iterator[Tree]:
    """The conditions that must all hold for this one to hold."""
    if isinstance(condition, Logic) and condition.word == "and":
        for one in condition.conditions:
            yield from _together(one)
    else:
        yield condition


def _narrowed(condition: Tree, known: Known) -> Iterator[tuple[Name, Bounds]]:
    """What a name compared with a value can still be where the comparison holds."""
    if not isinstance(condition, Comparison):
        return
    less, more = condition.left, condition.right
    if condition.sign.startswith(">"):
        less, more = more, less
    lower, upper = bounds(less, known), bounds(more, known)
    if lower is None or upper is None:
        return
    if isinstance(less, Name):
        yield less, Bounds(lower.low, min(lower.high, upper.high))
    if isinstance(more, Name):
        yield more, Bounds(max(upper.low, lower.low), upper.high)


def has_no_option_left(conditions: Sequence[Formula]) -> bool:
    """Whether conditions that hold together ask two different options of one choice."""
    asked: dict[str, set[str]] = {}
    barred: set[tuple[str, str]] = set()
    for part in (part for condition in conditions for part in _together(condition.tree)):
        if isinstance(part, Is) and part.negated:
            barred.add((part.name.name, part.option))
        elif isinstance(part, Is):
            asked.setdefault(part.name.name, set()).add(part.option)
    return any(
        len(options) > 1 or any((name, option) in barred for option in options)
        for name, options in asked.items()
    )
