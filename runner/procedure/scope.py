"""Which value a name means, and whether every order of work that the locks allow has made it by then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from runner.formula.check import LookUp
from runner.formula.tree import FormulaProblem, Name
from runner.formula.values import Shape, Typed
from runner.procedure.head import Lists
from runner.procedure.model import JOB, Read, Stage, Step, Table, Wait, WorkOut
from runner.procedure.order import before, path_of
from runner.quantities.kinds import TEMPERATURE, TIME
from runner.text.nearest import nearest


@dataclass(frozen=True, slots=True)
class Made:
    """A name that a step makes. `typed` is None where the step's own problem leaves it unknown."""

    name: str
    stage: Stage
    step: int
    typed: Typed | None
    what: str
    line: int
    levels: tuple[str, ...] = ()

    @property
    def is_time(self) -> bool:
        return self.what == "time"


class Scope:
    """The names of one procedure. Worked values are added as their formulas are checked, in the order of the file."""

    def __init__(self, lists: Lists, stages: Sequence[Stage], attempted: frozenset[str]) -> None:
        self.lists, self.stages, self.attempted = lists, stages, attempted
        self.before = before(stages)
        self.made: dict[str, Made] = {}
        self.tables: Mapping[str, Table] = {table.name: table for table in lists.tables}
        self.givens = {given.name: given for given in lists.givens}
        for stage in stages:
            for step in stage.steps:
                self._note(stage, step)

    def _note(self, stage: Stage, step: Step) -> None:
        number, line = step.about.number, step.about.line
        match step:
            case Read(name=name, unit=unit, points=points, levels=levels):
                shape = Shape.LEVELS if levels else Shape.POINTS if len(points) > 1 else Shape.ONE
                self.made.setdefault(
                    name, Made(name, stage, number, Typed(unit.kind, shape), "reading", line, levels)
                )
            case WorkOut(name=name):
                self.made.setdefault(name, Made(name, stage, number, None, "worked value", line))
            case Wait(name=name):
                self.made.setdefault(name, Made(name, stage, number, Typed(TIME), "time", line))
            case _:
                pass
        if step.about.timed_as:
            name = step.about.timed_as
            self.made.setdefault(name, Made(name, stage, number, Typed(TIME), "time", line))

    def settle(self, name: str, typed: Typed | None) -> None:
        """Say what a worked value is, once its formula has been checked."""
        made = self.made[name]
        self.made[name] = Made(made.name, made.stage, made.step, typed, made.what, made.line, made.levels)

    def typed(self, name: str) -> tuple[bool, Typed | None]:
        """Whether anything bears this name wherever it is made, and its type where that is known."""
        owner, _, column = name.partition(".")
        if name in self.givens:
            return True, Typed(self.givens[name].value.kind)
        if name in self.made:
            return True, self.made[name].typed
        if table := self.tables.get(owner):
            if column not in table.columns:
                return False, None
            return True, Typed(table.rows[0].values[table.columns.index(column)].kind)
        if made := self.made.get(owner):
            return column in made.levels, Typed(made.typed.kind, Shape.POINTS) if made.typed else None
        return owner in self.attempted, None

    def at(self, stage: Stage, step: int) -> LookUp:
        """What names stand for in a formula of this step."""
        return lambda name: self._find(name, stage, step, ())

    def reachable(self, name: str, stage: Stage, step: int) -> Made | FormulaProblem | None:
        """The step that made a name, if it is known here."""
        made = self.made.get(name)
        if made is None:
            return None if name in self.attempted else self._unknown(name)
        problem = self._order(made, stage, step)
        return problem or made

    def _find(
        self, name: Name, stage: Stage, step: int, asked: tuple[str, ...]
    ) -> Typed | FormulaProblem | None:
        found = self._look(name.name, stage, step, asked)
        if isinstance(found, FormulaProblem):
            return FormulaProblem(found.kind, found.what, found.fix, name.offset, name.length)
        return found

    def _look(
        self, name: str, stage: Stage, step: int, asked: tuple[str, ...]
    ) -> Typed | FormulaProblem | None:
        owner, dot, value = name.partition(".")
        if dot:
            return self._dotted(owner, value, stage, step, asked)
        if name in self.givens:
            return Typed(self.givens[name].value.kind)
        if name in self.tables:
            columns = ", ".join(f"{name}.{column}" for column in self.tables[name].columns)
            return _problem("table", f"'{name}' is a table", f"take one of its columns: {columns}")
        made = self.reachable(name, stage, step)
        if not isinstance(made, Made):
            return made
        if made.is_time:
            return _problem(
                "time", f"'{name}' is a moment, not a value", "a wait counts from it; formulas don't use it"
            )
        return made.typed

    def _dotted(
        self, owner: str, value: str, stage: Stage, step: int, asked: tuple[str, ...]
    ) -> Typed | FormulaProblem | None:
        table = self.tables.get(owner)
        if table:
            return self._column(table, value, stage, step, asked)
        made = self.made.get(owner)
        if made and made.levels:
            reached = self.reachable(owner, stage, step)
            if not isinstance(reached, Made):
                return reached
            if value not in made.levels:
                return _problem(
                    "unknown-name",
                    f"'{owner}' has no level called '{value}'",
                    f"its levels are {', '.join(made.levels)}",
                )
            return Typed(made.typed.kind, Shape.POINTS) if made.typed else None
        if owner in self.attempted:
            return None
        if any(owner == part.name or owner in part.named for part in self.lists.parts):
            return _problem(
                "out-of-reach",
                f"'{owner}.{value}' is a value of another part",
                "a formula uses the part in hand and the parts it lies in; work it out in a stage for each of those",
            )
        known = [*self.tables, *(made.name for made in self.made.values() if made.levels)]
        near = nearest(owner, known)
        return _problem(
            "unknown-name",
            f"no table and no reading with levels is called '{owner}'",
            f"did you mean '{near}'?" if near else "before a dot stands a table or a reading with levels",
        )

    def _column(
        self, table: Table, column: str, stage: Stage, step: int, asked: tuple[str, ...]
    ) -> Typed | FormulaProblem | None:
        if column not in table.columns:
            near = nearest(column, table.columns)
            fix = (
                f"did you mean '{table.name}.{near}'?"
                if near
                else f"its columns are {', '.join(table.columns)}"
            )
            return _problem("unknown-name", f"the table '{table.name}' has no column called '{column}'", fix)
        if table.name in asked:
            return _problem(
                "circular",
                f"'{table.name}' is looked up by a value that comes from '{table.name}' itself",
                "look it up by another value",
            )
        key = self.key_of(table, stage, step, asked)
        if isinstance(key, FormulaProblem):
            return None if not self.typed(table.looked_up_by)[0] and key.kind == "unknown-name" else key
        return Typed(table.rows[0].values[table.columns.index(column)].kind)

    def key_of(
        self, table: Table, stage: Stage, step: int, asked: tuple[str, ...] = ()
    ) -> Typed | FormulaProblem | None:
        """What a table is looked up by, seen from a step: None for a level of parts."""
        by = table.looked_up_by
        if any(by == part.name for part in self.lists.parts):
            if by in path_of(stage.for_each, self.lists.parts):
                return None
            return _problem(
                "which-part",
                f"'{table.name}' is looked up by {by}, and this stage is for each {stage.for_each}: which {by}?",
                f"use it in a stage for each {by}",
            )
        return self._look(by, stage, step, (*asked, table.name))

    def _order(self, made: Made, stage: Stage, step: int) -> FormulaProblem | None:
        if made.stage.title == stage.title:
            if made.step < step:
                return None
            when = "in this very step" if made.step == step else f"later, on line {made.line}"
            return _problem(
                "not-yet-known",
                f"'{made.name}' isn't known yet: it is made {when}",
                "move this step after it",
            )
        if made.stage.for_each not in path_of(stage.for_each, self.lists.parts):
            each = made.stage.for_each
            here = "the whole job" if stage.for_each == JOB else f"each {stage.for_each}"
            return _problem(
                "which-part",
                f"every {each} has its own '{made.name}', and this stage is for {here}: which {each}?",
                f"use it in a stage for each {each}",
            )
        if made.stage.title in self.before[stage.title]:
            return None
        if made.stage.number > stage.number:
            return _problem(
                "not-yet-known",
                f"'{made.name}' isn't known yet: it is made later, in '{made.stage.title}' (line {made.line})",
                "use a value made before, or move this stage after that one",
            )
        return _problem(
            "not-yet-known",
            f"'{made.name}' may not be known yet: nothing makes sure that '{made.stage.title}' is done before this stage",
            f"add '{made.stage.title}' to after:",
        )

    def _unknown(self, name: str) -> FormulaProblem:
        known = [
            *self.made,
            *self.givens,
            *(f"{table.name}.{column}" for table in self.lists.tables for column in table.columns),
        ]
        near = nearest(name, known)
        if near is None:
            return _problem(
                "unknown-name",
                f"nothing is called '{name}'",
                "names are made by read:, work out:, givens: and tables:",
            )
        made = self.made.get(near)
        where = f", the {made.what} on line {made.line}" if made else ""
        return _problem(
            "unknown-name", f"nothing before this step is called '{name}'", f"did you mean '{near}'{where}?"
        )


def is_scale(typed: Typed | None) -> bool:
    return typed is not None and typed.kind == TEMPERATURE


def _problem(kind: str, what: str, fix: str) -> FormulaProblem:
    return FormulaProblem(kind, what, fix, 0, 1)
