"""A procedure as a trial sees it: what makes each name, what the values decide, and which reading decides it last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from runner.formula.tree import EVERY, Call, Tree, names_in, parts_of
from runner.job.branches import blocks_of
from runner.job.dependence import names_used
from runner.procedure.model import (
    AgainstTheClock,
    Check,
    Choose,
    Do,
    Formula,
    NotBefore,
    Procedure,
    Read,
    Rung,
    Soak,
    Stage,
    Step,
    WorkOut,
    Write,
)

MET, UNDER, OVER = "met", "under", "over"
"""How a decision may come out: as wanted, beyond its lower end, or beyond its upper one."""
Making = tuple[Stage, Step]
Spot = tuple[str, int, str, str]
"""A stage's title, a step's number, what sort of decision, and its condition where it is one."""


@dataclass(frozen=True, slots=True)
class Deciding:
    """
    Something that values decide at a step: 'check', 'rung', 'worked' (whether a value has an answer), 'so' (a condition: of
    a block `depth` deep, or one waited for), 'armed' (whether a clock has any time) or 'total'. `fails` are the ways in
    which it may not be met; `readings` what it stands on, the nearest first, and `last` the one that is read last.
    """

    stage: Stage
    step: Step
    sort: str
    condition: Formula | None
    fails: tuple[str, ...]
    readings: tuple[str, ...]
    last: str

    @property
    def spot(self) -> Spot:
        condition = self.condition.text if self.condition else ""
        return self.stage.title, self.step.about.number, self.sort, condition


class Sheet:
    """What a trial looks up in one procedure again and again."""

    def __init__(self, procedure: Procedure) -> None:
        self.procedure = procedure
        self.makers: dict[str, Making] = {}
        self.rungs: dict[str, Making] = {}
        self._order: dict[str, int] = {}
        self._standing: dict[str, frozenset[str]] = {}
        for stage in procedure.every_stage:
            for step in stage.steps:
                self._note(stage, step)
        self._used = {
            name for stage in procedure.every_stage for step in stage.steps for name in _leading_on(step)
        }
        self.deciding = tuple(self._all_deciding())
        self.decided_by: dict[str, list[Deciding]] = {}
        """The decisions that stand on a reading, by its name."""
        for one in self.deciding:
            for name in one.readings:
                self.decided_by.setdefault(name, []).append(one)

    def stands_on(self, name: str, reading: str) -> bool:
        """Whether what is known by a name may be another if a reading is."""
        if name not in self._standing:
            self._standing[name] = frozenset(self.roots({name}))
        return reading in self._standing[name]

    def _note(self, stage: Stage, step: Step) -> None:
        match step:
            case Read(name=name) | Choose(name=name):
                self._order[name] = len(self._order)
                self.makers[name] = stage, step
            case WorkOut(name=name) | Write(name=name) | Soak(name=name) | AgainstTheClock(name=name):
                self.makers[name] = stage, step
            case Rung(ladder=ladder):
                self.rungs[ladder] = stage, step

    def roots(self, names: set[str]) -> list[str]:
        """
        The readings and choices that names stand on, through values, tables, ladders and plausible bands: those that are
        nearest to the names first.
        """
        found: dict[str, None] = {}
        todo, seen = sorted(names), set[str]()
        while todo:
            inputs: set[str] = set()
            for word in dict.fromkeys(word for name in todo for word in name.removeprefix(EVERY).split(".")):
                if word in seen:
                    continue
                seen.add(word)
                if word in self._order:
                    found[word] = None
                inputs |= self._inputs(word)
            todo = sorted(inputs, key=lambda name: (-self._order.get(name, -1), name))
        return list(found)

    def _inputs(self, word: str) -> set[str]:
        """The names that a name is worked out from, or that its plausible band stands on."""
        table = next((one for one in self.procedure.tables if one.name == word), None)
        if table:
            return {table.looked_up_by}
        if word in self.rungs:
            return names_used(self.rungs[word][1])
        step = self.makers[word][1] if word in self.makers else None
        if isinstance(step, Read):
            return {one.name for end in step.plausible.written for one in names_in(end.tree)}
        return names_used(step) if step else set()

    def _all_deciding(self) -> Iterator[Deciding]:
        for stage in self.procedure.every_stage:
            for step in stage.steps:
                for condition, (first, _) in zip(step.about.only_if, blocks_of(stage, step), strict=True):
                    if first == step.about.number:
                        yield self._one(stage, step, "so", (UNDER,), _names(condition), condition)
                yield from self._at(stage, step)

    def _at(self, stage: Stage, step: Step) -> Iterator[Deciding]:
        match step:
            case Check(options=options) if options:
                yield self._one(stage, step, "check", (OVER,), names_used(step))
            case Check(limits=limits):
                low = bool(limits.low)
                fails = ((UNDER,) if low else ()) + ((OVER,) if limits.high else ())
                yield self._one(stage, step, "check", fails, names_used(step))
            case Rung():
                yield self._one(stage, step, "rung", (OVER,), names_used(step))
            case WorkOut(name=name) if name not in self._used:
                yield self._one(stage, step, "worked", (), names_used(step))
            case NotBefore(condition=condition) if condition:
                yield self._one(stage, step, "so", (), names_used(step), condition)
            case AgainstTheClock():
                yield self._one(stage, step, "armed", (), names_used(step))
            case Read(adds_to=total) if total:
                yield self._one(stage, step, "total", (OVER,), {step.name})
            case _:
                return

    def _one(
        self,
        stage: Stage,
        step: Step,
        sort: str,
        fails: tuple[str, ...],
        names: set[str],
        condition: Formula | None = None,
    ) -> Deciding:
        readings = tuple(self.roots(names))
        last = max(readings, key=lambda name: self._order[name], default="")
        return Deciding(stage, step, sort, condition, fails, readings, last)


def _leading_on(step: Step) -> set[str]:
    """The names whose having an answer shows in whatever stands on them."""
    return set() if isinstance(step, Do) else {name.rpartition(".")[2] for name in names_used(step)}


def blocks_round(stage: Stage, step: Step) -> list[Spot]:
    """The blocks that a step stands in, as the decisions whether they are done."""
    blocks = zip(blocks_of(stage, step), step.about.only_if, strict=True)
    return [(stage.title, first, "so", condition.text) for (first, _), condition in blocks]


def _names(formula: Formula) -> set[str]:
    return {one.name for one in names_in(formula.tree)}


def without_doubts(procedure: Procedure) -> Procedure:
    """
    The procedure with no uncertainty in its instruments and givens where nothing is decided by one, for working U out is
    most of the time that a value takes; as it is where a check is guarded or a formula asks for `low` or `high`.
    """
    if is_guarded(procedure) or any(_bounded(one.tree) for one in _formulas(procedure)):
        return procedure
    givens = tuple(replace(one, uncertainty=None) for one in procedure.givens)
    return replace(procedure, instruments=(), givens=givens)


def is_guarded(procedure: Procedure) -> bool:
    checks = (step for stage in procedure.every_stage for step in stage.steps if isinstance(step, Check))
    return any((step.decision or procedure.decision) == "guarded" for step in checks)


def _bounded(tree: Tree) -> bool:
    if isinstance(tree, Call) and tree.function in ("low", "high"):
        return True
    return any(_bounded(part) for part in parts_of(tree))


def _formulas(procedure: Procedure) -> Iterator[Formula]:
    for rework in procedure.reworks:
        yield from (rework.only_if,) if rework.only_if else ()
    for stage in procedure.every_stage:
        for step in stage.steps:
            yield from step.about.only_if
            match step:
                case WorkOut(formula=formula) | Rung(least=formula):
                    yield formula
                case Check(limits=limits):
                    yield from limits.written
                case NotBefore(condition=condition) if condition:
                    yield condition
                case Soak(within=within, never_over=over):
                    yield from (*within.written, over)
                case AgainstTheClock(useful=useful, last=last):
                    yield from (useful, last)
