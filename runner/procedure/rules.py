"""What a procedure must keep to beyond its grammar: formulas, limits, tables, times, locks, names."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from runner.formula.check import check
from runner.formula.tree import FormulaProblem, Name, Number
from runner.formula.values import Shape, Typed
from runner.procedure.model import Check, Formula, Procedure, Range, Read, Stage, Step, Wait, WorkOut, Zero
from runner.procedure.scope import Made, Scope
from runner.quantities.kinds import NUMBER, TEMPERATURE, Kind
from runner.quantities.units import of_kind
from runner.text.nearest import suggestion
from runner.text.problem import Place, Problem


def apply(procedure: Procedure, scope: Scope, file: str) -> tuple[Procedure, list[Problem]]:
    """The procedure with the type of each worked value filled in, and what is wrong with it."""
    rules = _Rules(procedure, scope, file)
    stages = tuple(rules.stage(stage) for stage in procedure.stages)
    rules.names()
    rules.tables()
    return replace(procedure, stages=stages), rules.problems


class _Rules:
    def __init__(self, procedure: Procedure, scope: Scope, file: str) -> None:
        self.procedure, self.scope, self.file = procedure, scope, file
        self.problems: list[Problem] = []

    def wrong(self, kind: str, line: int, what: str, fix: str, *, warning: bool = False) -> None:
        column = _first_column(self.procedure.text, line)
        self.problems.append(Problem(kind, Place(self.file, line, column), what, fix, warning))

    def stage(self, stage: Stage) -> Stage:
        self.locks(stage)
        steps = tuple(self.step(step, stage) for step in stage.steps)
        return replace(stage, steps=steps)

    def locks(self, stage: Stage) -> None:
        above = [other.title for other in self.procedure.stages if other.number < stage.number]
        for title in (*stage.after, *stage.after_all):
            if title in above:
                continue
            if any(title == other.title for other in self.procedure.stages):
                what = f"'{stage.title}' can't come after '{title}', which stands below it or is itself"
                self.wrong(
                    "order", stage.line, what, "write the stages in an order in which they can be done"
                )
            else:
                self.wrong(
                    "unknown-stage", stage.line, f"no stage is called '{title}'", suggestion(title, above)
                )

    def step(self, step: Step, stage: Stage) -> Step:
        for name in step.about.show:
            found = self.scope.at(stage, step.about.number)(Name(name, 0, len(name)))
            if isinstance(found, FormulaProblem):
                self.wrong(found.kind, step.about.line, found.what, found.fix)
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
            self.problems.append(Problem("kinds", place, what, fix))
        return replace(step, typed=typed)

    def range(self, limits: Range, kind: Kind, value: str, stage: Stage, step: Step) -> None:
        for formula in limits.written:
            typed = self.formula(formula, stage, step)
            if typed is None:
                continue
            tolerance = formula is limits.tolerance
            wanted = Kind(kind.exponents) if tolerance else kind
            if typed.is_condition or typed.shape is not Shape.ONE:
                self.problems.append(
                    Problem(
                        "group", formula.place, "a limit is one value", "take mean(…), max(…) or min(…) of it"
                    )
                )
            elif typed.kind != wanted:
                self.mismatch(formula, typed.kind, wanted, value)
        self.turned_round(limits)

    def mismatch(self, formula: Formula, kind: Kind, wanted: Kind, value: str) -> None:
        if isinstance(formula.tree, Number) and kind == NUMBER:
            what, fix = (
                f"{formula.text} of what? '{value}' is {wanted.words}",
                f"write it with its unit, such as {of_kind(wanted).split(',')[0] or 'N*m'}",
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
        low, high = (one.tree if one else None for one in (limits.low, limits.high))
        if isinstance(low, Number) and isinstance(high, Number) and low.quantity and high.quantity:
            if low.quantity.kind == high.quantity.kind and low.quantity.si > high.quantity.si and limits.low:
                self.problems.append(
                    Problem(
                        "turned-round",
                        limits.low.place,
                        f"{low.quantity.typed} is more than {high.quantity.typed}",
                        "write the smaller one first",
                    )
                )

    def check(self, step: Check, stage: Stage) -> None:
        name = Name(step.name, 0, len(step.name))
        typed = self.scope.at(stage, step.about.number)(name)
        if isinstance(typed, FormulaProblem):
            self.wrong(typed.kind, step.about.line, typed.what, typed.fix)
            return
        if typed and typed.shape is not Shape.ONE:
            what = f"'{step.name}' is {typed.shape.value}, and a check takes one value"
            self.wrong(
                "group", step.about.line, what, "work out one first: mean, max, spread or ovality of it"
            )
            return
        if typed:
            self.range(step.limits, typed.kind, step.name, stage, step)
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
            )
        if not step.routes:
            self.wrong(
                "no-way-out",
                step.about.line,
                f"a value of '{step.name}' outside this limit would stop here for good",
                "say what the shop does then: if not: [concession, scrap]",
            )
        if "concession" in step.routes and not self.procedure.concessions_by:
            self.wrong(
                "unknown-role",
                step.about.line,
                "nobody is named who may grant a concession",
                "add concessions by: and a role to the head",
            )

    def _needs_source(self, formula: Formula) -> bool:
        """A limit that is only a name has the source of what it names."""
        return not isinstance(formula.tree, Name)

    def wait(self, step: Wait, stage: Stage) -> None:
        made = self.scope.reachable(step.starts, stage, step.about.number)
        times = [name for name, one in self.scope.made.items() if one.is_time and name != step.name]
        if isinstance(made, Made) and made.is_time and step.starts != step.name:
            return
        if isinstance(made, FormulaProblem) and made.kind != "unknown-name":
            self.wrong(made.kind, step.about.line, made.what, made.fix)
        elif made is not None:
            what = f"no step is timed as '{step.starts}', so this wait would never begin"
            self.wrong("never-starts", step.about.line, what, suggestion(step.starts, times))

    def names(self) -> None:
        """Every name is given once in the whole procedure, every title once among its kind."""
        procedure = self.procedure
        given: list[tuple[str, int]] = [(part.name, 0) for part in procedure.parts]
        given += [(one.name, one.line) for one in procedure.givens] + [
            (one.name, one.line) for one in procedure.tables
        ]
        for stage in procedure.stages:
            for step in stage.steps:
                if isinstance(step, Read | WorkOut | Wait):
                    given.append((step.name, step.about.line))
                if step.about.timed_as:
                    given.append((step.about.timed_as, step.about.line))
        self.once(given, "name", "a name is given once in the whole procedure; take another")
        self.once(
            [(stage.title, stage.line) for stage in procedure.stages],
            "stage",
            "give each stage its own title",
        )
        for titles, what in (
            ([hazard.title for hazard in procedure.hazards], "hazard"),
            ([one.title for one in procedure.instruments], "instrument"),
            (list(procedure.roles), "role"),
        ):
            self.once([(title, 1) for title in titles], what, "keep one of the two")

    def once(self, given: list[tuple[str, int]], what: str, fix: str) -> None:
        counted = Counter(name for name, _ in given)
        first: dict[str, int] = {}
        for name, line in given:
            if counted[name] > 1 and name in first:
                self.wrong(
                    "said-twice",
                    line,
                    f"the {what} '{name}' is given twice; the first is on line {first[name]}",
                    fix,
                )
            first.setdefault(name, line)

    def tables(self) -> None:
        """A table looked up by a part has a row for each fixed name; one looked up by a value has rows of its kind."""
        for table in self.procedure.tables:
            level = self.procedure.level(table.looked_up_by)
            rows = [row.is_ for row in table.rows]
            if level:
                for row in table.rows:
                    if not row.is_:
                        self.wrong(
                            "table-rows",
                            row.line,
                            f"'{table.name}' is looked up by {level.name}, and this row is for sizes",
                            f"write is: and the name of a {level.name}",
                        )
                    elif level.named and row.is_ not in level.named:
                        self.wrong(
                            "table-rows",
                            row.line,
                            f"no {level.name} is called '{row.is_}'",
                            suggestion(row.is_, level.named),
                        )
                missing = [name for name in level.named if name not in rows]
                if missing and all(rows):
                    self.wrong(
                        "table-cover",
                        table.line,
                        f"'{table.name}' has no row for {', '.join(missing)}",
                        "add it",
                    )
                continue
            first = table.rows[0]
            made = self.scope.made.get(table.looked_up_by)
            known = made or "." in table.looked_up_by or table.looked_up_by in self.scope.givens
            if not known and table.looked_up_by not in self.scope.attempted:
                options = [*(part.name for part in self.procedure.parts), *self.scope.made]
                self.wrong(
                    "unknown-name",
                    table.line,
                    f"'{table.name}' is looked up by '{table.looked_up_by}', and nothing is called that",
                    suggestion(table.looked_up_by, options),
                )
            elif first.is_:
                self.wrong(
                    "table-rows",
                    first.line,
                    f"'{table.name}' is looked up by a value, and this row is for a part",
                    "write over: and up to: with sizes",
                )
            elif made and made.typed and first.up_to and made.typed.kind != first.up_to.kind:
                self.wrong(
                    "kinds",
                    first.line,
                    f"'{table.looked_up_by}' is {made.typed.kind.words}, and {first.up_to.typed} is {first.up_to.kind.words}",
                    "write the rows in units of its sort",
                )


def _first_column(text: str, line: int) -> int:
    lines = text.split("\n")
    if not 1 <= line <= len(lines):
        return 1
    written = lines[line - 1]
    stripped = written.lstrip(" -")
    return len(written) - len(stripped) + 1
