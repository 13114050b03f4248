"""What a procedure must keep to beyond its grammar: formulas, limits, tables, times, locks, names."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from runner.formula.check import check
from runner.formula.evaluate import exact
from runner.formula.tree import FormulaProblem, Name, Number
from runner.formula.values import Shape, Typed
from runner.procedure.items import MOST_PROBLEMS, once
from runner.procedure.model import (
    Check,
    Formula,
    PartLevel,
    Procedure,
    Range,
    Read,
    Stage,
    Step,
    Table,
    Wait,
    WorkOut,
    Zero,
)
from runner.procedure.places import NAMING, TITLES, Places
from runner.procedure.scope import Made, Scope
from runner.quantities.kinds import NUMBER, TEMPERATURE, Kind
from runner.quantities.units import of_kind, usual
from runner.text.nearest import suggestion
from runner.text.problem import Problem


def apply(procedure: Procedure, scope: Scope, places: Places) -> tuple[Procedure, list[Problem]]:
    """The procedure with the type of each worked value filled in, and what is wrong with it."""
    rules = _Rules(procedure, scope, places)
    stages = tuple(rules.stage(stage) for stage in procedure.stages)
    rules.names()
    rules.tables()
    return replace(procedure, stages=stages), rules.problems


class _Rules:
    def __init__(self, procedure: Procedure, scope: Scope, places: Places) -> None:
        self.procedure, self.scope, self.places = procedure, scope, places
        self.problems: list[Problem] = []

    def wrong(self, kind: str, line: int, what: str, fix: str, word: str = "", *keys: str) -> None:
        """A problem at a word that stands under one of these keys from a line on, or else at the key on that line."""
        place = (self.places.of(word, line, *keys) if word else None) or self.places.of_key(line)
        assert place
        self.problems.append(Problem(kind, place, what, fix))

    def stage(self, stage: Stage) -> Stage:
        steps = tuple(self.step(step, stage) for step in stage.steps)
        return replace(stage, steps=steps)

    def step(self, step: Step, stage: Stage) -> Step:
        if len(self.problems) >= MOST_PROBLEMS:
            return step
        for name in step.about.show:
            found = self.scope.at(stage, step.about.number)(Name(name, 0, len(name)))
            if isinstance(found, FormulaProblem):
                self.wrong(found.kind, step.about.line, found.what, found.fix, name, "show")
        match step:
            case WorkOut():
                return self.work_out(step, stage)
            case Read():
                self.range(step.plausible, step.unit.kind, "plausible", stage, step)
            case Zero():
                self.range(step.within, step.unit.kind, step.instrument, stage, step)
            case Check():
                self.check(step, stage)
            case Wait():
                self.wait(step, stage)
            case _:
                pass
        return step

    def formula(self, formula: Formula, stage: Stage, step: Step) -> Typed | None:
        typed, found = check(formula.tree, self.scope.at(stage, step.about.number))
        for problem in found:
            place = formula.place.right(problem.offset, problem.length)
            self.problems.append(Problem(problem.kind, place, problem.what, problem.fix))
        return typed

    def work_out(self, step: WorkOut, stage: Stage) -> Step:
        typed = self.formula(step.formula, stage, step)
        if typed is None:
            return step
        place, fix = step.formula.place, ""
        at = self.places.of(step.nearest.typed, step.about.line, "to the nearest") or place
        if typed.is_condition:
            self.problems.append(
                Problem(
                    "condition",
                    place,
                    "this gives yes or no, not a value",
                    "write: value if condition else other value",
                )
            )
            return step
        if typed.shape is not Shape.ONE:
            self.problems.append(
                Problem(
                    "group",
                    place,
                    f"this is {typed.shape.value}",
                    "take mean(…), max(…), min(…) or spread(…) of it",
                )
            )
            return step
        self.scope.settle(step.name, typed)
        if typed.kind != step.nearest.kind:
            if typed.kind == TEMPERATURE or step.nearest.kind == TEMPERATURE:
                fix = "write 1 degC for a temperature, 1 K for a difference"
            units = of_kind(typed.kind)
            fix = fix or (f"use one of {units}" if units else "look at the formula and at the unit")
            what = (
                f"'{step.name}' is {typed.kind.words}, and {step.nearest.typed} is {step.nearest.kind.words}"
            )
            self.problems.append(Problem("kinds", at, what, fix))
        return replace(step, typed=typed)

    def range(self, limits: Range, kind: Kind | None, value: str, stage: Stage, step: Step) -> None:
        for formula in limits.written:
            typed = self.formula(formula, stage, step)
            if typed is None:
                continue
            wanted = Kind(kind.exponents) if kind and formula is limits.tolerance else kind
            if typed.is_condition or typed.shape is not Shape.ONE:
                self.problems.append(
                    Problem(
                        "group", formula.place, "a limit is one value", "take mean(…), max(…) or min(…) of it"
                    )
                )
            elif wanted and typed.kind != wanted:
                self.mismatch(formula, typed.kind, wanted, value)
        self.turned_round(limits)

    def mismatch(self, formula: Formula, kind: Kind, wanted: Kind, value: str) -> None:
        if isinstance(formula.tree, Number) and kind == NUMBER:
            what, fix = (
                f"{formula.text} of what? '{value}' is {wanted.words}",
                f"write it with its unit, such as {formula.text} {usual(wanted)}",
            )
            self.problems.append(Problem("unit-missing", formula.place, what, fix))
            return
        what = f"'{value}' is {wanted.words}, and this is {kind.words}"
        fix = (
            "a difference is written in K"
            if wanted.exponents == kind.exponents
            else "look at which value was meant"
        )
        self.problems.append(Problem("kinds", formula.place, what, fix))

    def turned_round(self, limits: Range) -> None:
        if limits.low is None or limits.high is None:
            return
        low, high = exact(limits.low.tree, {}), exact(limits.high.tree, {})
        if limits.tolerance and (tolerance := exact(limits.tolerance.tree, {})) is not None:
            low, high = Fraction(0), tolerance
        if low is None or high is None or low <= high:
            return
        what, fix = f"{limits.low.text} is more than {limits.high.text}", "write the smaller one first"
        if limits.tolerance:
            what, fix = "a tolerance below nil", "write how far to either side, without a sign"
        self.problems.append(Problem("turned-round", limits.low.place, what, fix))

    def check(self, step: Check, stage: Stage) -> None:
        name = Name(step.name, 0, len(step.name))
        typed = self.scope.at(stage, step.about.number)(name)
        if isinstance(typed, FormulaProblem):
            self.wrong(typed.kind, step.about.line, typed.what, typed.fix, step.name, "check")
            return
        if typed and typed.shape is not Shape.ONE:
            what = f"'{step.name}' is {typed.shape.value}, and a check takes one value"
            fix = "work out one first: mean, max, spread or ovality of it"
            self.wrong("group", step.about.line, what, fix, step.name, "check")
            return
        self.range(step.limits, typed.kind if typed else None, step.name, stage, step)
        if not step.source and any(self._needs_source(formula) for formula in step.limits.written):
            what = f"nobody knows where {' and '.join(formula.text for formula in step.limits.written)} comes from"
            self.problems.append(
                Problem(
                    "no-source",
                    step.limits.written[0].place,
                    what,
                    "add source: published, maker's sheet, calculated, shop's own, from memory, or plainly common practice",
                )
            )
        if self.procedure.status == "approved" and step.source.startswith("from memory"):
            self.wrong(
                "from-memory",
                step.about.line,
                "an approved procedure with a limit from memory",
                "look it up, or leave the procedure a draft",
                step.source,
                "source",
            )
        if "concession" in step.routes and not self.procedure.concessions_by:
            self.wrong(
                "unknown-role",
                step.about.line,
                "nobody is named who may grant a concession",
                "add concessions by: and a role to the head",
                "concession",
                "if not",
            )

    def _needs_source(self, formula: Formula) -> bool:
        """A limit that is only a name has the source of what it names."""
        return not isinstance(formula.tree, Name)

    def wait(self, step: Wait, stage: Stage) -> None:
        made = self.scope.reachable(step.starts, stage, step.about.number)
        times = [name for name, one in self.scope.made.items() if one.is_time and name != step.name]
        if isinstance(made, Made) and made.is_time and step.starts != step.name:
            return
        mine = step.starts == step.name
        if isinstance(made, FormulaProblem) and made.kind != "unknown-name" and not mine:
            self.wrong(made.kind, step.about.line, made.what, made.fix, step.starts, "starts")
        elif made is not None:
            what = f"no step is timed as '{step.starts}', so this wait would never begin"
            self.wrong(
                "never-starts", step.about.line, what, suggestion(step.starts, times), step.starts, "starts"
            )

    def names(self) -> None:
        """Every name is given once in the whole procedure, every title once among its kind."""
        once(
            self.places.said(*NAMING),
            "name",
            "a name is given once in the whole procedure; take another",
            self.problems,
        )
        for what, keys in TITLES.items():
            once(self.places.said(*keys), what, f"give each {what} its own title", self.problems)
        once(self.places.said("roles"), "role", "keep one of the two", self.problems)

    def tables(self) -> None:
        """A table looked up by a part has a row for each fixed name; one looked up by a value has rows of its kind."""
        for table in self.procedure.tables:
            level = self.procedure.level(table.looked_up_by)
            if level:
                self.looked_up_by_part(table, level)
            else:
                self.looked_up_by_value(table)

    def looked_up_by_part(self, table: Table, level: PartLevel) -> None:
        for row in table.rows:
            if not row.is_:
                what = f"'{table.name}' is looked up by {level.name}, and this row is for sizes"
                self.wrong("table-rows", row.line, what, f"write is: and the name of a {level.name}")
            elif level.named and row.is_ not in level.named:
                what = f"no {level.name} is called '{row.is_}'"
                self.wrong("table-rows", row.line, what, suggestion(row.is_, level.named), row.is_, "is")
                return
        rows = [row.is_ for row in table.rows] + [scalar.text for scalar in self.places.said("is")]
        missing = [name for name in level.named if name not in rows]
        if missing and all(row.is_ for row in table.rows):
            what = f"'{table.name}' has no row for {', '.join(missing)}"
            self.wrong("table-cover", table.line, what, "add it", table.name, "table")

    def looked_up_by_value(self, table: Table) -> None:
        by, first = table.looked_up_by, table.rows[0]
        known, typed = self.scope.typed(by)
        if not known:
            options = [*(part.name for part in self.procedure.parts), *self.scope.made, *self.scope.givens]
            what = f"'{table.name}' is looked up by '{by}', and nothing is called that"
            self.wrong("unknown-name", table.line, what, suggestion(by, options), by, "looked up by")
        elif first.is_:
            what = f"'{table.name}' is looked up by a value, and this row is for a part"
            self.wrong("table-rows", first.line, what, "write over: and up to: with sizes")
        elif typed and typed.shape is not Shape.ONE:
            what = f"'{by}' is {typed.shape.value}, and a table is looked up by one value"
            self.wrong("group", table.line, what, "work out one first, such as its mean", by, "looked up by")
        elif typed and first.up_to and typed.kind != first.up_to.kind:
            what = f"'{by}' is {typed.kind.words}, and {first.up_to.typed} is {first.up_to.kind.words}"
            self.wrong(
                "kinds", first.line, what, "write the rows in units of its sort", first.up_to.typed, "up to"
            )
