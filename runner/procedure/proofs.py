"""Limits that no plausible reading can meet, checks that none can fail, and steps that nobody ever comes to.

Each is proved by intervals (`bands`): where that can't be told, nothing is said.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from runner.formula.bounds import Bounds, Known, truth
from runner.formula.tree import Name
from runner.procedure.bands import Bands, has_no_option_left, told
from runner.procedure.findings import Findings
from runner.procedure.model import (
    AgainstTheClock,
    Check,
    Formula,
    NotBefore,
    Procedure,
    Rung,
    Soak,
    Stage,
    Step,
    Wait,
    Window,
)
from runner.quantities.units import Unit
from runner.text.problem import Place, Problem

_LOOK = "look at the limit, at the formula, and at plausible: of what it stands on"


def proofs(procedure: Procedure, bands: Bands, findings: Findings) -> list[Problem]:
    """What can never be met or come to (problems), and what can't fail (warnings)."""
    proof = _Proofs(procedure, bands, findings)
    for stage in procedure.every_stage:
        for step in stage.steps:
            proof.step(step, stage)
    for rework in procedure.reworks:
        if rework.only_if:
            proof.condition([rework.only_if], f"'{rework.title}' is never offered")
    return proof.findings.problems


class _Proofs:
    def __init__(self, procedure: Procedure, bands: Bands, findings: Findings) -> None:
        self.procedure, self.bands, self.findings = procedure, bands, findings
        self.seen: dict[Place, bool] = {}

    def step(self, step: Step, stage: Stage) -> None:
        conditions = step.about.only_if
        for depth in range(1, len(conditions) + 1):
            if not self.condition(conditions[:depth], "the steps under it are never come to"):
                return
        known = self.bands.under(conditions)
        if known is None or self.bands.is_wrong(step.about.place):
            return
        match step:
            case Check():
                self.check(step, known)
            case Rung():
                self.rung(step, known)
            case NotBefore(condition=Formula() as condition):
                self.waited_for(step, condition, known)
            case Soak():
                self.soak(step, known)
            case AgainstTheClock():
                self.clock(step, known)
            case Window():
                self.window(step, stage)
            case _:
                pass

    def condition(self, conditions: Sequence[Formula], so: str) -> bool:
        """Whether the last of these conditions can be so where those before it are; told where it never or always is."""
        last = conditions[-1]
        if last.place in self.seen:
            return self.seen[last.place]
        before = self.bands.under(conditions[:-1])
        open_ = before is None or self.bands.under(conditions) is not None
        self.seen[last.place] = open_
        if has_no_option_left(conditions):
            what, fix = (
                f"this is never so inside the block round it, and {so}",
                "ask for the same option, or part the two blocks",
            )
            self.findings.wrong_at("unreachable", last.place, what, fix)
        elif (
            not open_
        ):  # a reading that isn't plausible is kept where it is typed twice, and may still come here
            what = f"this is not so for any plausible reading, and {so}"
            fix = "look at the condition, at those round it, and at plausible: of what it stands on"
            self.findings.doubt_at("unreachable", last.place, what, fix)
        elif before and not self.bands.is_wrong(last.place) and truth(last.tree, before):
            what, fix = (
                "this is so for every plausible reading",
                "leave the condition out, or look at it again",
            )
            self.findings.doubt_at("always-so", last.place, what, fix)
        return open_

    def check(self, step: Check, known: Known) -> None:
        value, unit = known(Name(step.name, 0, 0)), self.bands.unit_of(step.name)
        if value is None or unit is None or not step.limits.written:
            return
        low, high = step.limits.low, step.limits.high
        least, most = self.of(low, known), self.of(high, known)
        place = step.limits.written[0].place
        if (least and value.is_below(least)) or (most and most.is_below(value)):
            what = f"no plausible reading can meet this: {_lies(step.name, value, unit)}"
            self.findings.wrong_at("never-met", place, what, _LOOK)
        elif low and high and least and most and most.is_below(least):
            what = "no value can meet this: the upper limit always lies below the lower one"
            self.findings.wrong_at("never-met", place, what, _LOOK)
        elif self.is_simple(step) and _always(low, least, value) and _always(high, value, most):
            what = f"no plausible reading can fail this: {_lies(step.name, value, unit)}"
            fix = "look at the limit, or widen plausible: where worse readings do come"
            self.findings.doubt_at("cannot-fail", place, what, fix)

    def of(self, limit: Formula | None, known: Known) -> Bounds | None:
        return self.bands.of(limit, known) if limit else None

    def is_simple(self, step: Check) -> bool:
        return (step.decision or self.procedure.decision) == "simple"

    def rung(self, step: Rung, known: Known) -> None:
        ladder, least = self.procedure.ladder(step.ladder), self.bands.of(step.least, known)
        if ladder is None or least is None:
            return
        top = ladder.rungs[-1]
        if Bounds(float(top.si), float(top.si)).is_below(least):
            what = f"no rung is ever high enough: the highest is {top.typed}, and this is at least {told(least.low, top.unit)}"
            self.findings.wrong_at("never-met", step.least.place, what, _LOOK)

    def waited_for(self, step: NotBefore, condition: Formula, known: Known) -> None:
        so = None if self.bands.is_wrong(condition.place) else truth(condition.tree, known)
        if so is False:
            what = f"this is never so for any plausible reading, and '{step.name}' would wait for ever"
            self.findings.wrong_at("never-met", condition.place, what, _LOOK)
        elif so:
            what = f"this is always so for any plausible reading, and '{step.name}' waits for nothing"
            self.findings.doubt_at("always-so", condition.place, what, _LOOK)

    def soak(self, step: Soak, known: Known) -> None:
        low, high = step.within.low, step.within.high
        least, most, over = self.of(low, known), self.of(high, known), self.bands.of(step.never_over, known)
        coldest, hottest = self.of(step.plausible.low, known), self.of(step.plausible.high, known)
        if (least and hottest and hottest.is_below(least)) or (most and coldest and most.is_below(coldest)):
            what = f"no plausible reading lies inside this, so '{step.name}' never begins to count"
            self.findings.wrong_at("never-met", step.within.written[0].place, what, _LOOK)
        elif over and least and over.is_below(least):
            what = f"every reading inside the band of '{step.name}' is over this"
            fix = "write a limit above the band"
            self.findings.wrong_at("never-met", step.never_over.place, what, fix)

    def clock(self, step: AgainstTheClock, known: Known) -> None:
        useful, last = self.bands.of(step.useful, known), self.bands.of(step.last, known)
        soonest = Bounds(float(step.least.si), float(step.least.si))
        if useful and useful.is_not_above(Bounds(0.0, 0.0)):
            what = f"this is never more than nothing, so '{step.name}' can't be begun"
            self.findings.wrong_at("never-met", step.useful.place, what, _LOOK)
        elif last and last.is_below(soonest):
            what = f"the second key counts after {step.least.typed}, and this limit is always over by then"
            self.findings.wrong_at("never-met", step.last.place, what, "look at the limit and at at least:")

    def window(self, step: Window, stage: Stage) -> None:
        """A wait of the same stage that lies whole inside the window and is longer."""
        made = {one.about.timed_as: one.about.number for one in stage.steps if one.about.timed_as}
        made |= {one.name: one.about.number for one in stage.steps if isinstance(one, Wait | NotBefore)}
        starts, ends = made.get(step.starts), made.get(step.ends)
        if starts is None or ends is None:
            return
        for one in stage.steps:
            if not isinstance(one, Wait) or one.about.only_if or one.least.si <= step.most.si:
                continue
            if starts <= made.get(one.starts, 0) and starts < one.about.number <= ends:
                what = f"'{one.name}' ({one.about.where}) waits {one.least.typed} inside this window of {step.most.typed}"
                fix = "let the window begin after the wait, or look at the two times"
                self.findings.wrong("never-met", step.about.place, what, fix, step.most.typed, "at most")


def _always(limit: Formula | None, lower: Bounds | None, upper: Bounds | None) -> bool:
    """Whether one side of a range is always met: there is none, or what must be lower never lies above the other."""
    return limit is None or bool(lower and upper and lower.is_not_above(upper))


def _lies(name: str, value: Bounds, unit: Unit) -> str:
    if value.low == -math.inf:
        return f"'{name}' is at most {told(value.high, unit)}"
    if value.high == math.inf:
        return f"'{name}' is at least {told(value.low, unit)}"
    return f"'{name}' lies between {told(value.low, unit)} and {told(value.high, unit)}"
