"""What a procedure must keep to beyond its grammar: formulas, limits, tables, times, locks, names."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from runner.formula.check import check
from runner.formula.evaluate import exact
from runner.formula.tree import FormulaProblem, Name, Number
from runner.formula.values import Shape, Typed
from runner.procedure.findings import Findings, Near
from runner.procedure.items import MOST_PROBLEMS
from runner.procedure.model import (
    APPROVED,
    AgainstTheClock,
    Check,
    Choose,
    Do,
    Formula,
    HoldPoint,
    Need,
    NotBefore,
    Procedure,
    Range,
    Read,
    Repeat,
    Rung,
    Soak,
    Stage,
    Step,
    Taking,
    Total,
    Wait,
    Window,
    WorkOut,
    Zero,
)
from runner.procedure.naming import each_once, tables
from runner.procedure.scope import Made, Scope, Spot
from runner.procedure.ways_back import known_ladder, read_for, ways_back
from runner.quantities.kinds import NUMBER, TEMPERATURE, TIME, Kind
from runner.quantities.units import of_kind, usual
from runner.text.nearest import suggestion
from runner.text.problem import Place, Problem


def apply(procedure: Procedure, scope: Scope, findings: Findings) -> tuple[Procedure, list[Problem]]:
    """The procedure with the type of each worked value filled in, and what is wrong with it."""
    rules = _Rules(procedure, scope, findings)
    stages = tuple(rules.stage(stage) for stage in procedure.stages)
    steps = [rules.stage(rework.stage) for rework in procedure.reworks]
    reworks = tuple(replace(one, stage=its) for one, its in zip(procedure.reworks, steps, strict=True))
    for total in procedure.totals:
        rules.from_memory(total.source, total.line)
        rules.concession(total.routes, total.line)
    for rework in reworks:
        if rework.only_if:  # it holds wherever a check leads to it
            rules.condition(rework.only_if, Spot(rework.stage, 1))
    ways_back(procedure, scope, findings)
    each_once(findings)
    tables(procedure, scope, findings)
    return replace(procedure, stages=stages, reworks=reworks), findings.problems


class _Rules:
    def __init__(self, procedure: Procedure, scope: Scope, findings: Findings) -> None:
        self.procedure, self.scope, self.findings = procedure, scope, findings
        self.wrong, self.wrong_at = findings.wrong, findings.wrong_at
        self.conditions: set[Formula] = set()
        self.takings: dict[Place, bool] = {}

    def stage(self, stage: Stage) -> Stage:
        steps = tuple(self.step(step, stage) for step in stage.steps)
        return replace(stage, steps=steps)

    def step(self, step: Step, stage: Stage) -> Step:
        if len(self.findings.problems) >= MOST_PROBLEMS:
            return step
        spot = Spot.of(step, stage)
        if step.about.taken and not self.has_needs(step.about.taken, spot):
            return step
        for at, condition in enumerate(step.about.only_if):
            if condition not in self.conditions:
                self.conditions.add(condition)
                self.condition(condition, replace(spot, only_if=spot.only_if[:at]))
        for name in step.about.show:
            found = self.scope.at(replace(spot, shown=True))(Name(name, 0, len(name)))
            if isinstance(found, FormulaProblem):
                self.wrong(found.kind, step.about.place, found.what, found.fix, name, "show")
        match step:
            case WorkOut():
                return self.work_out(step, spot)
            case Read():
                self.range(step.plausible, step.unit.kind, "plausible", spot)
                self.adds(step, spot)
            case Zero():
                self.range(step.within, step.unit.kind, step.instrument, spot)
            case Rung():
                self.rung(step, spot)
            case Check():
                self.check(step, spot)
            case HoldPoint():
                self.measured_again(step, spot)
            case Do(ends=ends) if ends:
                self.keep(ends, spot)
            case Wait(starts=starts, name=name):
                self.time(starts, name, "starts", "wait", spot)
            case Window():
                self.window(step, spot)
            case NotBefore():
                self.not_before(step, spot)
            case Soak():
                self.soak(step, spot)
            case AgainstTheClock():
                self.clock(step, spot)
            case Repeat():
                self.repeat(step, spot)
            case _:
                pass
        return step

    def has_needs(self, taking: Taking, spot: Spot) -> bool:
        """Whether what a group needs is known where it is taken in; told once, there."""
        if taking.place not in self.takings:
            self.takings[taking.place] = all([self.has_need(taking, need, spot) for need in taking.needs])
        return self.takings[taking.place]

    def has_need(self, taking: Taking, need: Need, spot: Spot) -> bool:
        found = self.scope.at(spot)(Name(need.name, 0, len(need.name)))
        needed = f"'{taking.group}' needs '{need.name}', {need.unit.kind.words}"
        if isinstance(found, FormulaProblem):
            self.wrong_at(found.kind, taking.place, f"{needed}: {found.what}", found.fix)
        elif found and found.kind != need.unit.kind:
            what = f"{needed}, and here that is {found.kind.words}"
            self.wrong_at("kinds", taking.place, what, "look at which value was meant")
        else:
            return found is not None
        return False

    def formula(self, formula: Formula, spot: Spot) -> Typed | None:
        typed, found = check(formula.tree, self.scope.at(spot))
        for problem in found:
            place = formula.place.right(problem.offset, problem.length)
            self.wrong_at(problem.kind, place, problem.what, problem.fix)
        return typed

    def condition(self, condition: Formula, spot: Spot) -> None:
        typed = self.formula(condition, spot)
        if typed and not typed.is_condition:
            what, fix = "this gives a value, and a condition is yes or no", "compare it with < <= > or >="
            if typed.shape is Shape.CHOICE:
                what = "this is a choice, and a condition is yes or no"
                fix = f'ask it with is, such as: {condition.text} is "{next(iter(typed.options), "EX")}"'
            self.wrong_at("condition", condition.place, what, fix)

    def rung(self, step: Rung, spot: Spot) -> None:
        typed = self.formula(step.least, spot)
        ladder = known_ladder(step.ladder, step.about.place, "rung", self.scope, self.findings)
        if ladder is None:
            return
        if problem := self.scope.which(ladder.for_each, ladder.name, spot):
            self.wrong(problem.kind, step.about.place, problem.what, problem.fix, step.ladder, "rung")
        self.one_of_its_kind(step.least, typed, ladder.rungs[0].kind, step.ladder)
        self.concession(step.routes, step.about.place)

    def measured_again(self, step: HoldPoint, spot: Spot) -> None:
        """The reading that is taken twice is one of this stage, and the two may lie a length of its kind apart."""
        name, agree, near = step.measures_again, step.agree_within, step.about.place
        if not name:
            return
        made = self.scope.reachable(name, spot)
        if isinstance(made, FormulaProblem):
            self.wrong(made.kind, near, made.what, made.fix, name, "measures again")
        elif made and (made.what != "reading" or made.stage.title != spot.stage.title):
            what = f"'{name}' is no reading of this stage"
            readings = [one.name for one in self.scope.made.values() if one.what == "reading"]
            here = [one for one in readings if self.scope.made[one].stage.title == spot.stage.title]
            self.wrong("measures-again", near, what, suggestion(name, here), name, "measures again")
        elif made and made.typed and agree:
            wanted = Kind(made.typed.kind.exponents)
            if agree.kind != wanted:
                what = f"'{name}' is {made.typed.kind.words}, and this is {agree.kind.words}"
                fix = "a difference is written in K" if agree.kind.exponents == wanted.exponents else ""
                fix = fix or f"write it in {usual(wanted)}"
                self.wrong("kinds", near, what, fix, agree.typed, "agree within")
            elif agree.si <= 0:
                what, fix = "two readings that agree within nothing", "write how far they may lie apart"
                self.wrong("bad-number", near, what, fix, agree.typed, "agree within")

    def work_out(self, step: WorkOut, spot: Spot) -> Step:
        typed = self.formula(step.formula, spot)
        if typed is None:
            return step
        place, fix = step.formula.place, ""
        at = self.findings.said_at(step.about.place, step.nearest.typed, "to the nearest") or place
        if typed.is_condition:
            self.wrong_at(
                "condition",
                place,
                "this gives yes or no, not a value",
                "write: value if condition else other value",
            )
            return step
        if typed.shape is not Shape.ONE:
            self.wrong_at(
                "group",
                place,
                f"this is {typed.shape.value}",
                "take mean(…), max(…), min(…) or spread(…) of it",
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
            self.wrong_at("kinds", at, what, fix)
        return replace(step, typed=typed)

    def range(self, limits: Range, kind: Kind | None, value: str, spot: Spot) -> None:
        ends = [(formula, self.formula(formula, spot)) for formula in limits.written]
        kinds = {typed.kind for formula, typed in ends if typed and formula is not limits.tolerance}
        if (
            kind is None and NUMBER in kinds and len(kinds) == 2
        ):  # nothing says what the value is, but one end of the two
            kind = next(iter(kinds - {NUMBER}))
        for formula, typed in ends:
            wanted = Kind(kind.exponents) if kind and formula is limits.tolerance else kind
            self.one_of_its_kind(formula, typed, wanted, value)
        if len(kinds) < 2:
            self.turned_round(limits)

    def one_of_its_kind(self, formula: Formula, typed: Typed | None, wanted: Kind | None, value: str) -> None:
        if typed is None:
            return
        if typed.is_condition or typed.shape is not Shape.ONE:
            fix = "take mean(…), max(…) or min(…) of it"
            self.wrong_at("group", formula.place, "a limit is one value", fix)
        elif wanted and typed.kind != wanted:
            self.mismatch(formula, typed.kind, wanted, value)

    def mismatch(self, formula: Formula, kind: Kind, wanted: Kind, value: str) -> None:
        if isinstance(formula.tree, Number) and kind == NUMBER:
            what, fix = (
                f"{formula.text} of what? '{value}' is {wanted.words}",
                f"write it with its unit, such as {formula.text} {usual(wanted)}",
            )
            self.wrong_at("unit-missing", formula.place, what, fix)
            return
        what = f"'{value}' is {wanted.words}, and this is {kind.words}"
        fix = (
            "a difference is written in K"
            if wanted.exponents == kind.exponents
            else "look at which value was meant"
        )
        self.wrong_at("kinds", formula.place, what, fix)

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
        self.wrong_at("turned-round", limits.low.place, what, fix)

    def check(self, step: Check, spot: Spot) -> None:
        typed = self.scope.at(spot)(Name(step.name, 0, len(step.name)))
        if isinstance(typed, FormulaProblem):
            self.wrong(typed.kind, step.about.place, typed.what, typed.fix, step.name, "check")
            return
        made = self.scope.made.get(step.name)
        if typed and not isinstance(made.step if made else None, Read | WorkOut | Choose):
            what = f"a check is of what was read, chosen or worked out, and '{step.name}' is none of that"
            fix = f"work it out first, as: {step.name}, with a name of its own and what it is shown to"
            self.wrong("check-of", step.about.place, what, fix, step.name, "check")
            return
        if typed and bool(step.options) != (typed.shape is Shape.CHOICE) and typed.shape in _ONE:
            self.wrong_form(step, typed)
        elif typed and typed.shape is Shape.CHOICE:
            self.options(step, typed.options)
        elif typed and typed.shape is not Shape.ONE:
            what = f"'{step.name}' is {typed.shape.value}, and a check takes one value"
            fix = "work out one first: mean, max, spread or ovality of it"
            self.wrong("group", step.about.place, what, fix, step.name, "check")
            return
        else:
            self.range(step.limits, typed.kind if typed else None, step.name, spot)
        self.source(step)
        self.concession(step.routes, step.about.place)

    def wrong_form(self, step: Check, typed: Typed) -> None:
        what = f"'{step.name}' is {typed.kind.words}, and 'is' takes an option of a choice"
        fix = "write within: A to B, at least: A or at most: B"
        if typed.shape is Shape.CHOICE:
            what = f"'{step.name}' is a choice, and has no size"
            fix = f"write is: and what it must be: {', '.join(typed.options)}"
        self.wrong("limit-form", step.about.place, what, fix, step.name, "check")

    def options(self, step: Check, options: tuple[str, ...]) -> None:
        unknown = [option for option in step.options if options and option not in options]
        for option in unknown:
            what = f"'{step.name}' has no option '{option}'"
            fix = suggestion(option, options)
            self.wrong("unknown-option", step.about.place, what, fix, option, "is")
        if options and not unknown and set(options) <= set(step.options):
            what = f"every option of '{step.name}' is met, so this check can't fail"
            fix = "take out the options that are not good, or leave out the check"
            self.wrong("cannot-fail", step.about.place, what, fix, step.options[0], "is")

    def source(self, step: Check) -> None:
        """A limit that is only a name has the source of what it names; any other says its own."""
        written = [formula for formula in step.limits.written if not isinstance(formula.tree, Name)]
        if not step.source and (written or step.options):
            limits = " and ".join(one.text for one in step.limits.written) or f"'{step.limits.text}'"
            what = f"nobody knows where {limits} comes from"
            fix = "add source: published, maker's sheet, calculated, shop's own, from memory, or plainly common practice"
            if written:
                self.wrong_at("no-source", step.limits.written[0].place, what, fix)
            else:
                self.wrong("no-source", step.about.place, what, fix, step.options[0], "is")
        self.from_memory(step.source, step.about.place)

    def from_memory(self, source: str, near: Near) -> None:
        if self.procedure.status == APPROVED and source.startswith("from memory"):
            what = "an approved procedure with a limit from memory"
            fix = "look it up, or leave the procedure a draft"
            self.wrong("from-memory", near, what, fix, source, "source")

    def concession(self, routes: tuple[str, ...], near: Near) -> None:
        if "concession" in routes and not self.procedure.concessions_by:
            what = "nobody is named who may grant a concession"
            fix = "add concessions by: and a role to the head"
            self.wrong("unknown-role", near, what, fix, "concession", "if not")

    def time(self, name: str, mine: str, key: str, sort: str, spot: Spot) -> None:
        """A name that a timer points at is a time that some step records before it."""
        near = spot.stage.steps[spot.step - 1].about.place
        made = self.scope.reachable(name, spot)
        if isinstance(made, Made) and made.is_time and name != mine:
            return
        if isinstance(made, FormulaProblem) and made.kind != "unknown-name" and name != mine:
            self.wrong(made.kind, near, made.what, made.fix, name, key)
        elif made is not None:
            times = [one for one, found in self.scope.made.items() if found.is_time and one != mine]
            what = f"no step is timed as '{name}', so this {sort} would never {_NEVER[key]}"
            self.wrong("never-starts", near, what, suggestion(name, times), name, key)

    def keep(self, name: str, spot: Spot) -> None:
        """What a text in view ends with is a time that comes later, whatever happens, on this part or on one of its road."""
        near = spot.stage.steps[spot.step - 1].about.place
        made = self.scope.made.get(name)
        if made is None or not made.is_time:
            times = [one for one, found in self.scope.made.items() if found.is_time]
            what = f"no step is timed as '{name}', so this would stay in view for good"
            self.wrong("never-ends", near, what, suggestion(name, times), name, "ends")
        elif not isinstance(self.scope.reachable(name, replace(spot, shown=True)), FormulaProblem):
            what = f"'{name}' is recorded by then ({made.where}), so this would never be in view"
            self.wrong("never-ends", near, what, "name a time that is recorded later", name, "ends")
        elif why := self.scope.may_never_be(made, spot):
            what, fix = f"this may stay in view for good: {why}", "name a time that is recorded in any case"
            self.wrong("never-ends", near, what, fix, name, "ends")

    def window(self, step: Window, spot: Spot) -> None:
        self.time(step.starts, step.name, "starts", "window", spot)
        self.time(step.ends, step.name, "ends", "window", spot)
        if step.starts == step.ends:
            what = f"'{step.name}' begins and ends with one and the same time"
            fix = "name the time of another step as its end"
            self.wrong("turned-round", step.about.place, what, fix, step.ends, "ends")
        self.from_memory(step.source, step.about.place)
        self.concession(step.routes, step.about.place)

    def not_before(self, step: NotBefore, spot: Spot) -> None:
        if step.condition:
            self.condition(step.condition, spot)
        else:
            self.time(step.starts, step.name, "starts", "not before", spot)
        self.from_memory(step.source, step.about.place)

    def soak(self, step: Soak, spot: Spot) -> None:
        self.range(step.plausible, step.unit.kind, "plausible", spot)
        self.range(step.within, step.unit.kind, step.name, spot)
        over = self.formula(step.never_over, spot)
        self.one_of_its_kind(step.never_over, over, step.unit.kind, step.name)
        for name in step.adds_to:
            self.heat(step, self.total(name, spot, step.about.place))
        self.from_memory(step.source, step.about.place)
        self.concession(step.routes, step.about.place)

    def heat(self, step: Soak, total: Total | None) -> None:
        """A soak adds to totals of heat alone, and reads the temperatures that they count by."""
        if total and total.heat is None:
            what = f"'{total.name}' adds up {total.most.kind.words}, and a soak adds time over a temperature"
            fix = "add over: and a temperature to the total"
            self.wrong("kinds", step.about.place, what, fix, total.name, "adds to")
        elif total and total.heat and total.heat.kind != step.unit.kind:
            what = f"'{total.name}' counts over {total.heat.kind.words}, and this is {step.unit.kind.words}"
            self.wrong(
                "kinds", step.about.place, what, "look at which total was meant", total.name, "adds to"
            )

    def clock(self, step: AgainstTheClock, spot: Spot) -> None:
        for limit in (step.useful, step.last):
            self.one_of_its_kind(limit, self.formula(limit, spot), TIME, step.name)
        self.concession(step.routes, step.about.place)

    def repeat(self, step: Repeat, spot: Spot) -> None:
        self.condition(step.until, spot)
        read = read_for(step, self.scope)
        if not any(one.stage.title == spot.stage.title and one.number >= step.first for one in read):
            what = f"nothing that is read in this block makes {step.until.text} another answer the next time"
            self.wrong_at("never-ends", step.until.place, what, "ask for a value that is read in the block")
        self.from_memory(step.source, step.about.place)
        self.concession(step.routes, step.about.place)

    def adds(self, step: Read, spot: Spot) -> None:
        """One value of the sort that its total adds up."""
        total = self.total(step.adds_to, spot, step.about.place)
        if total is None:
            return
        level = spot.stage.for_each
        if total.for_each not in self.scope.path(level):
            what = (
                f"'{total.name}' is for each {total.for_each}, and here one value is read for a whole {level}"
            )
            fix = f"read it in a stage for each {total.for_each}"
            self.wrong("which-part", step.about.line, what, fix, total.name, "adds to")
        elif len(step.points) > 1:
            what, fix = f"'{step.name}' has several points, and a total grows by one value", "read one value"
            self.wrong("group", step.about.place, what, fix, total.name, "adds to")
        elif total.most.kind != step.unit.kind:
            what = f"'{total.name}' adds up {total.most.kind.words}, and this is {step.unit.kind.words}"
            self.wrong(
                "kinds", step.about.place, what, "look at which total was meant", total.name, "adds to"
            )

    def total(self, name: str, spot: Spot, near: Near) -> Total | None:
        """The total that is added to, if it is one of these parts."""
        if not name:
            return None
        total = self.scope.totals.get(name)
        if total is None:
            if name not in self.scope.attempted:
                what, fix = f"no total is called '{name}'", suggestion(name, self.scope.totals)
                self.wrong("unknown-total", near, what, fix, name, "adds to")
            return None
        here = self.scope.levels.get(spot.stage.for_each)
        level = here.of if here and here.of else spot.stage.for_each
        if total.for_each not in self.scope.path(level):
            what = f"'{name}' is for each {total.for_each}, and this stage is for {spot.stage.for_each}"
            self.wrong("which-part", near, what, "add it in a stage for those parts", name, "adds to")
            return None
        return total


_ONE = (Shape.ONE, Shape.CHOICE)
_NEVER = {"starts": "begin", "ends": "end"}
"""What a timer would never do whose time nobody records, by the key that names the time."""
