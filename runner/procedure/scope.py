"""Which value a name means, and whether every order of work that the locks allow has made it by then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from runner.formula.check import LookUp
from runner.formula.tree import EVERY, SINCE, FormulaProblem, Name, Tree
from runner.formula.values import Shape, Typed, choice
from runner.procedure.circles import circle_through
from runner.procedure.head import Lists
from runner.procedure.model import (
    JOB,
    MINUTES,
    AgainstTheClock,
    Choose,
    Formula,
    Ladder,
    NotBefore,
    PartLevel,
    Read,
    Repeat,
    Soak,
    Stage,
    Step,
    Table,
    Total,
    Wait,
    Window,
    WorkOut,
    Write,
    parted,
    path_of,
)
from runner.procedure.order import done_within
from runner.procedure.routes import leads_to
from runner.quantities.kinds import TIME
from runner.text.nearest import nearest, suggestion


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a name is used: at a step of a stage or rework, under the conditions round it, and perhaps only to be seen."""

    stage: Stage
    step: int
    only_if: tuple[Formula, ...] = ()
    shown: bool = False

    @classmethod
    def of(cls, step: Step, stage: Stage, *, shown: bool = False) -> Spot:
        return cls(stage, step.about.number, step.about.only_if, shown)


@dataclass(frozen=True, slots=True)
class Made:
    """A name that a step makes. `typed` is None where the step's own problem leaves it unknown, and for a text."""

    name: str
    stage: Stage
    step: Step
    typed: Typed | None
    what: str
    """'reading', 'choice', 'text', 'worked value', 'soak' or 'time'."""
    levels: tuple[str, ...] = ()

    @property
    def is_time(self) -> bool:
        return self.what == "time"

    @property
    def number(self) -> int:
        return self.step.about.number

    @property
    def where(self) -> str:
        return self.step.about.where


class Scope:
    """
    The names of one procedure. Worked values are added as their formulas are checked, in the order of the file.
    `used` gathers every name that was looked up.
    """

    def __init__(
        self,
        lists: Lists,
        stages: Sequence[Stage],
        reworks: Sequence[Stage],
        attempted: frozenset[str],
        totals: Sequence[Total] = (),
    ) -> None:
        self.lists, self.stages = lists, stages
        self.attempted = attempted - _without_a_value((*stages, *reworks))
        self.called = called_in([*stages, *reworks])
        self.within = done_within(stages, lists.parts)
        self.leads = leads_to(stages, reworks, totals)
        self.made: dict[str, Made] = {}
        self.used: set[str] = set()
        self._ordered: dict[tuple[str, str, bool], FormulaProblem | None] = {}
        self.tables: Mapping[str, Table] = {table.name: table for table in lists.tables}
        self.givens = {given.name: given for given in lists.givens}
        self.ladders: Mapping[str, Ladder] = {ladder.name: ladder for ladder in lists.ladders}
        self.totals: Mapping[str, Total] = {total.name: total for total in reversed(totals)}
        self.levels: Mapping[str, PartLevel] = {part.name: part for part in lists.parts}
        for stage in (*stages, *reworks):
            for step in stage.steps:
                self._note(stage, step)

    def _note(self, stage: Stage, step: Step) -> None:
        match step:
            case Read(name=name, unit=unit, points=points, levels=levels):
                shape = Shape.LEVELS if levels else Shape.POINTS if len(points) > 1 else Shape.ONE
                typed = Typed(unit.kind, shape)
                self.made.setdefault(name, Made(name, stage, step, typed, "reading", levels))
            case Choose(name=name, options=options):
                self.made.setdefault(name, Made(name, stage, step, choice(*options), "choice"))
            case Write(name=name):
                self.made.setdefault(name, Made(name, stage, step, None, "text"))
            case WorkOut(name=name):
                self.made.setdefault(name, Made(name, stage, step, None, "worked value"))
            case Wait(name=name) | NotBefore(name=name):
                self.made.setdefault(name, Made(name, stage, step, Typed(TIME), "time"))
            case Soak(name=name, unit=unit, points=points):
                typed = Typed(unit.kind, Shape.POINTS if len(points) > 1 else Shape.ONE)
                self.made.setdefault(name, Made(name, stage, step, typed, "soak"))
            case AgainstTheClock(name=name):
                self.made.setdefault(name, Made(name, stage, step, Typed(TIME), "worked value"))
            case _:
                pass
        if step.about.timed_as:
            name = step.about.timed_as
            self.made.setdefault(name, Made(name, stage, step, Typed(TIME), "time"))

    def settle(self, name: str, typed: Typed | None) -> None:
        """Say what a worked value is, once its formula has been checked."""
        self.made[name] = replace(self.made[name], typed=typed)

    def parted(self, name: str) -> tuple[str, str]:
        return parted(name, self.called)

    def path(self, level: str) -> tuple[str, ...]:
        return path_of(level, self.lists.parts)

    def typed(self, name: str) -> tuple[bool, Typed | None]:
        """Whether anything bears this name wherever it is made, and its type where that is known."""
        owner, column = self.parted(name)
        if name in self.givens:
            return True, Typed(self.givens[name].value.kind)
        if name in self.ladders:
            return True, Typed(self.ladders[name].rungs[0].kind)
        if name in self.totals:
            return True, Typed(self.totals[name].most.kind)
        if name in self.made:
            return True, self.made[name].typed
        if table := self.tables.get(owner):
            if column not in table.columns:
                return False, None
            return True, Typed(table.rows[0].values[table.columns.index(column)].kind)
        if made := self.made.get(owner):
            return column in made.levels, Typed(made.typed.kind, Shape.POINTS) if made.typed else None
        return owner in self.attempted, None

    def at(self, spot: Spot) -> LookUp:
        """What names stand for in a formula here."""
        return lambda name: self._find(name, spot)

    def reachable(self, name: str, spot: Spot) -> Made | FormulaProblem | None:
        """The step that made a name, if it is known here."""
        made = self.made.get(name)
        if made is None:
            return None if name in self.attempted else self._unknown(name)
        return self._order(made, spot) or (None if spot.shown else _skipped(made)) or made

    def _find(self, name: Name, spot: Spot) -> Typed | FormulaProblem | None:
        found = self._look(name.name, spot, ())
        if isinstance(found, FormulaProblem):
            return FormulaProblem(found.kind, found.what, found.fix, name.offset, name.length)
        return found

    def _look(self, name: str, spot: Spot, asked: tuple[str, ...]) -> Typed | FormulaProblem | None:
        if SINCE in name:
            self.used |= set(name.split(SINCE))
            return self._span(name, spot)
        owner, value = self.parted(name)
        self.used |= {owner, value}
        if value:
            return self._dotted(owner, value, spot, asked)
        if name in self.givens:
            return Typed(self.givens[name].value.kind)
        if name in self.tables:
            columns = ", ".join(f"{name}.{column}" for column in self.tables[name].columns)
            return _problem("table", f"'{name}' is a table", f"take one of its columns: {columns}")
        if name in self.ladders:
            ladder = self.ladders[name]
            return self.which(ladder.for_each, name, spot) or Typed(ladder.rungs[0].kind)
        if name in self.totals:
            total = self.totals[name]
            return self.which(total.for_each, name, spot) or Typed(total.most.kind)
        if name in self.levels:
            return self._part(self.levels[name], spot)
        if (made := self.made.get(name)) and (wrong := _not_for_formulas(made, spot)):
            return wrong
        reached = self.reachable(name, spot)
        if not isinstance(reached, Made):
            return reached
        here = self.levels.get(spot.stage.for_each)
        if isinstance(reached.step, Soak) and here and here.of:  # every part in the load was read
            return Typed(reached.step.unit.kind, Shape.POINTS)
        return reached.typed

    def _span(self, name: str, spot: Spot) -> Typed | FormulaProblem | None:
        """How long it was between two times, where both are recorded by then."""
        for one in name.split(SINCE):
            reached = self.reachable(one, spot)
            if not isinstance(reached, Made):
                return reached
        return Typed(TIME)

    def _part(self, level: PartLevel, spot: Spot) -> Typed | FormulaProblem | None:
        """The name of the part in hand, or of one it lies in, as a choice among the names there are."""
        if level.name in self.path(spot.stage.for_each):
            return choice(*level.named)
        what = f"this stage is for {_each(spot.stage.for_each)}: which {level.name}?"
        return _problem("which-part", what, f"use it in a stage for each {level.name}")

    def _dotted(
        self, owner: str, value: str, spot: Spot, asked: tuple[str, ...]
    ) -> Typed | FormulaProblem | None:
        table = self.tables.get(owner)
        if table:
            return self._column(table, value, spot, asked)
        made = self.made.get(owner)
        if made and isinstance(made.step, Soak):
            reached = self.reachable(owner, spot)
            if isinstance(reached, Made) and value != MINUTES:
                what = f"a soak has no '{value}'"
                return _problem("unknown-name", what, f"write {owner}.{MINUTES} for the time that counted")
            return Typed(TIME) if isinstance(reached, Made) else reached
        if made and made.levels:
            reached = self.reachable(owner, spot)
            if not isinstance(reached, Made):
                return reached
            if value not in made.levels:
                what = f"'{owner}' has no level called '{value}'"
                return _problem("unknown-name", what, f"its levels are {', '.join(made.levels)}")
            return Typed(made.typed.kind, Shape.POINTS) if made.typed else None
        every, part = owner.startswith(EVERY), owner.removeprefix(EVERY)
        if part in self.levels or any(part in level.named for level in self.lists.parts):
            return self._of_others(part, value, spot, every=every)
        if owner in self.attempted:
            return None
        names = [name for level in self.lists.parts for name in (level.name, *level.named)]
        if every:
            return _problem("unknown-name", f"no part is called '{part}'", suggestion(part, names))
        known = [*self.tables, *(made.name for made in self.made.values() if made.levels), *names]
        near = nearest(owner, known)
        return _problem(
            "unknown-name",
            f"no table, no part and no reading with levels is called '{owner}'",
            f"did you mean '{near}'?"
            if near
            else "before a dot stands a table, a part's name or a reading with levels",
        )

    def _of_others(self, part: str, value: str, spot: Spot, *, every: bool) -> Typed | FormulaProblem | None:
        """`EX.bore`, a value of a brother or child; `every seat.bore`, the values of all parts inside the one in hand."""
        written = f"{'every ' if every else ''}{part}.{value}"
        ladder, made = self.ladders.get(value), self.made.get(value)
        if ladder is None and made is None:
            return None if value in self.attempted else self._unknown(value)
        home = ladder.for_each if ladder else made.stage.for_each if made else JOB
        level = self.levels.get(home)
        named = level.named if level else ()
        if part != home and part not in named:
            what = f"'{value}' is a value of {_each(home)}, and {part} is none"
            return _problem("which-part", what, suggestion(part, named) if named else f"write {value}")
        if part == home and not every:
            fix = f"write {value} for the {home} in hand, or every {home}.{value} for all there are"
            return _problem("which-part", f"'{written}': which {home}?", fix)
        problem = self._held(home, written, spot, every=every)
        if problem:
            return problem
        if ladder:
            typed: Typed | None = Typed(ladder.rungs[0].kind)
        elif made:
            problem = self._made_on_others(made, written, spot, every=every)
            if problem:
                return problem
            typed = made.typed
        return typed

    def _holder(self, level: str) -> str:
        """The level of the parts that hold those of another, past the loads that these are put into."""
        return self.levels[level].inside if level in self.levels else JOB

    def _held(self, home: str, written: str, spot: Spot, *, every: bool) -> FormulaProblem | None:
        """Whether the parts meant are those of one part: inside the part in hand, or in one that it lies in too."""
        here = spot.stage.for_each
        holder = self._holder(home)
        if every and (here == home or here not in self.path(home)):
            what = (
                f"'{written}' is of every {home} inside the part in hand, and this stage is for {_each(here)}"
            )
            return _problem("which-part", what, f"use it in a stage for {_each(holder)}")
        if not every and holder not in self.path(here):
            what = f"'{written}': this stage is for {_each(here)}, and each {holder} has its own"
            return _problem(
                "which-part", what, f"use it in a stage for each {holder}, or take every {written}"
            )
        return None

    def _made_on_others(self, made: Made, written: str, spot: Spot, *, every: bool) -> FormulaProblem | None:
        if wrong := _not_for_formulas(made, spot):
            return wrong
        if every and made.what == "choice":
            return _problem("choice", f"'{written}' is several choices", "compare the choice of one part")
        if every and made.typed and made.typed.shape is not Shape.ONE:
            what = f"'{written}' is {made.typed.shape.value} of each part, and one of each is wanted"
            return _problem("group", what, "work out one for each first, such as its mean")
        here, title = spot.stage.for_each, made.stage.title
        for one, _ in self.arrivals(spot):
            holder = here if every else self._holder(made.stage.for_each)
            within = self.within.get(one.stage.title, {}).get(title)
            if within is None or within not in self.path(holder):
                what = f"'{written}' may not be known yet: nothing makes sure that '{title}' is done there"
                fix = f"add '{title}' to after all:"
                if title == one.stage.title:
                    fix = f"use it in a later stage, with '{title}' in after all:"
                return _problem("not-yet-known", what, fix)
        bare = replace(spot, only_if=())
        return None if spot.shown else _inside_block(made, bare) or _in_rework(made) or _skipped(made)

    def may_never_be(self, made: Made, spot: Spot) -> str:
        """Why something that is made later may never be made on the parts that belong with the one here, or ''."""
        here, there = spot.stage.for_each, made.stage.for_each
        if here not in self.path(there) and there not in self.path(here):
            return f"'{made.name}' is recorded on each {there}, and this is for {_each(here)}"
        same_pass = made.stage.title == spot.stage.title
        problem = _inside_block(made, spot if same_pass else replace(spot, only_if=()))
        problem = problem or (None if same_pass else _in_rework(made)) or _skipped(made)
        return problem.what if problem else ""

    def arrivals(self, spot: Spot, maker: str = "") -> list[tuple[Spot, str]]:
        """
        From where a spot is come to: itself, with '', or for a step of a rework every check that leads there, with
        its line; through other reworks back to a stage, or to the one that is the maker.
        """
        found, todo, seen = [], [(spot, "")], {spot.stage.title}
        while todo:
            one, where = todo.pop(0)
            if one.stage.number or one.stage.title == maker:
                found.append((one, where))
                continue
            for stage, step in self.leads.get(one.stage.title, ()):
                if stage.number or stage.title == maker or stage.title not in seen:
                    seen.add(stage.title)
                    todo.append((Spot.of(step, stage, shown=spot.shown), step.about.where))
        return found

    def _column(
        self, table: Table, column: str, spot: Spot, asked: tuple[str, ...]
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
        key = self.key_of(table, spot, asked)
        if isinstance(key, FormulaProblem):
            return None if not self.typed(table.looked_up_by)[0] and key.kind == "unknown-name" else key
        return Typed(table.rows[0].values[table.columns.index(column)].kind)

    def key_of(self, table: Table, spot: Spot, asked: tuple[str, ...] = ()) -> Typed | FormulaProblem | None:
        """What a table is looked up by, seen from a step: None for a level of parts."""
        by, each = table.looked_up_by, spot.stage.for_each
        if by not in self.levels:
            return self._look(by, spot, (*asked, table.name))
        if by in self.path(each):
            return None
        what = f"'{table.name}' is looked up by {by}, and this stage is for each {each}: which {by}?"
        return _problem("which-part", what, f"use it in a stage for each {by}")

    def which(self, level: str, name: str, spot: Spot) -> FormulaProblem | None:
        """Whether the part in hand is one of a level, or lies in one."""
        here = spot.stage.for_each
        if level in self.path(here):
            return None
        what = f"every {level} has its own '{name}', and this stage is for {_each(here)}: which {level}?"
        fix = f"use it in a stage for each {level}"
        return _problem("which-part", what, fix)

    def _order(self, made: Made, spot: Spot) -> FormulaProblem | None:
        if spot.stage.number or made.stage.title == spot.stage.title:
            return self._order_at(made, spot)
        asked = (made.name, spot.stage.title, spot.shown)  # the same from each step of a rework
        if asked not in self._ordered:
            self._ordered[asked] = self._order_from_checks(made, spot)
        return self._ordered[asked]

    def _order_from_checks(self, made: Made, spot: Spot) -> FormulaProblem | None:
        """Whether a name is known at every check that leads to the rework that this spot is in."""
        for one, where in self.arrivals(spot, made.stage.title):
            problem = self._order_at(made, one)
            if problem:
                fix = "use what is known at every check that leads here"
                return replace(problem, what=f"{problem.what}, where {where} leads here", fix=fix)
        return None

    def _order_at(self, made: Made, spot: Spot) -> FormulaProblem | None:
        if made.stage.title != spot.stage.title:
            return self._made_before(made, spot)
        if made.number < spot.step:
            return _inside_block(made, spot)
        here = spot.stage.steps[spot.step - 1] if spot.step <= len(spot.stage.steps) else None
        if isinstance(here, WorkOut) and (circle := circle_through(made.name, here.name, self._formula_of)):
            fix = "one of them has to be read or given, or worked from something else"
            return _problem("circular", f"'{made.name}' comes from itself: {circle}", fix)
        when = "in this very step" if made.number == spot.step else f"later, on {made.where}"
        what = f"'{made.name}' isn't known yet: it is made {when}"
        return _problem("not-yet-known", what, "move this step after it")

    def _formula_of(self, name: str) -> Tree | None:
        made = self.made.get(name)
        return made.step.formula.tree if made and isinstance(made.step, WorkOut) else None

    def _made_before(self, made: Made, spot: Spot) -> FormulaProblem | None:
        """Whether a stage before this one has made a name, on the part in hand or one it lies in."""
        stage = spot.stage
        if problem := _in_rework(made) or self.which(made.stage.for_each, made.name, spot):
            return problem
        if made.stage.title in self.within[stage.title]:
            return _inside_block(made, spot)
        if made.stage.number > stage.number:
            return _problem(
                "not-yet-known",
                f"'{made.name}' isn't known yet: it is made later, in '{made.stage.title}' ({made.where})",
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
            *self.ladders,
            *self.totals,
            *(f"{table.name}.{column}" for table in self.lists.tables for column in table.columns),
        ]
        near = nearest(name, known)
        if near is None:
            return _problem(
                "unknown-name",
                f"nothing is called '{name}'",
                "names are made by read:, choose:, work out:, givens:, tables: and ladders:",
            )
        made = self.made.get(near)
        where = f", the {made.what} on {made.where}" if made else ""
        return _problem(
            "unknown-name", f"nothing before this step is called '{name}'", f"did you mean '{near}'{where}?"
        )


def _without_a_value(stages: Iterable[Stage]) -> set[str]:
    """The names of steps that are named for the record alone."""
    return {step.name for stage in stages for step in stage.steps if isinstance(step, Window | Repeat)}


def called_in(stages: Iterable[Stage]) -> frozenset[str]:
    """The names that shared steps were taken in by."""
    return frozenset(step.about.taken.called for stage in stages for step in stage.steps if step.about.taken)


def _not_for_formulas(made: Made, spot: Spot) -> FormulaProblem | None:
    if made.is_time:
        fix = f"subtract another time from it: {made.name} - … is how long it was between the two"
        return _problem("time", f"'{made.name}' is a moment, not a value", fix)
    if made.what == "text" and not spot.shown:
        return _problem("text", f"'{made.name}' is a text, not a value", "show it beside a step with show:")
    return None


def _inside_block(made: Made, spot: Spot) -> FormulaProblem | None:
    """What was made under conditions is there only for what stands under the same ones."""
    conditions = made.step.about.only_if
    if spot.shown or spot.only_if[: len(conditions)] == conditions:
        return None
    text = next(one.text for at, one in enumerate(conditions) if spot.only_if[at : at + 1] != (one,))
    what = f"'{made.name}' is made only if {text} ({made.where}), and may not be known here"
    return _problem("maybe-unknown", what, "move it out of that block, or this step into it")


def _in_rework(made: Made) -> FormulaProblem | None:
    if made.stage.number:
        return None
    what = f"'{made.name}' is made only in the steps of '{made.stage.title}', which most parts never come to"
    return _problem("maybe-unknown", what, "use a value that every part has")


def _skipped(made: Made) -> FormulaProblem | None:
    role = made.step.about.may_skip
    if not role:
        return None
    what = f"'{made.name}' may be missing: {role} may skip the step on {made.where}"
    return _problem("may-be-missing", what, "take may skip: out there, or only show it here")


def _each(level: str) -> str:
    return "the whole job" if level == JOB else f"each {level}"


def _problem(kind: str, what: str, fix: str) -> FormulaProblem:
    return FormulaProblem(kind, what, fix, 0, 1)
