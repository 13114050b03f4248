"""What a rework must keep to: somebody leads to it, it is for one level, it climbs a ladder of its parts, it goes back."""

from __future__ import annotations

from collections.abc import Mapping

from runner.formula.tree import names_in
from runner.procedure.findings import Findings, Near
from runner.procedure.items import MOST_PROBLEMS
from runner.procedure.model import Check, Ladder, Procedure, Repeat, Rework, Rung, Stage, Step, WorkOut
from runner.procedure.routes import levels_of
from runner.procedure.scope import Made, Scope, Spot
from runner.text.nearest import suggestion

_KINDS = ("rework", "repair")


def ways_back(procedure: Procedure, scope: Scope, findings: Findings) -> None:
    levels = levels_of(procedure.stages, procedure.reworks, procedure.totals)
    for rework in procedure.reworks:
        if len(findings.problems) < MOST_PROBLEMS:
            _way_back(rework, levels[rework.title], procedure, scope, findings)


def _way_back(
    rework: Rework, levels: Mapping[str, Step], procedure: Procedure, scope: Scope, findings: Findings
) -> None:
    line = rework.stage.line
    if not levels:
        _nobody_leads(rework, scope, findings)
        return
    if len(levels) > 1:
        where = " and ".join(f"for {level} ({step.about.where})" for level, step in levels.items())
        what = f"checks lead to '{rework.title}' {where}"
        fix = "write one rework for each, with its own title"
        findings.wrong("rework-level", line, what, fix, rework.title, *_KINDS)
        return
    if rework.climb and (ladder := known_ladder(rework.climb, line, "climb", scope, findings)):
        level = rework.stage.for_each
        if ladder.for_each not in scope.path(level):
            what = f"'{ladder.name}' is a ladder for each {ladder.for_each}, and checks for {level} lead here"
            fix = "climb a ladder of the same part, or of one it lies in"
            findings.wrong("rework-level", line, what, fix, rework.climb, "climb")
    if rework.back_to:
        _goes_back(rework, procedure, scope, findings)
    else:
        _has_a_reading_here(rework, scope, findings)


def known_ladder(name: str, near: Near, key: str, scope: Scope, findings: Findings) -> Ladder | None:
    ladder = scope.ladders.get(name)
    if ladder is None and name not in scope.attempted:
        what, fix = f"no ladder is called '{name}'", suggestion(name, scope.ladders)
        findings.wrong("unknown-ladder", near, what, fix, name, key)
    return ladder


def _nobody_leads(rework: Rework, scope: Scope, findings: Findings) -> None:
    """Unless a step that names it was complained of where it stands, or it is come to only from a rework told here too."""
    said = [scalar.text.strip() for scalar in findings.places.said("if not")]
    through = _come_through(rework.title, scope)
    if said.count(rework.title) > len(scope.leads.get(rework.title, ())):
        return
    if any(rework.title not in _come_through(other, scope) for other in through):
        return
    what = f"no check leads to '{rework.title}'"
    fix = f"add it to an if not: of a check: if not: [{rework.title}]"
    findings.wrong("no-check-leads", rework.stage.line, what, fix, rework.title, *_KINDS)


def _come_through(title: str, scope: Scope) -> set[str]:
    """The reworks whose own checks lead to this one, directly or through others."""
    found: set[str] = set()
    todo = [title]
    while todo:
        leading = {stage.title for stage, _ in scope.leads.get(todo.pop(), ()) if not stage.number}
        todo += leading - found
        found |= leading
    return found


def _goes_back(rework: Rework, procedure: Procedure, scope: Scope, findings: Findings) -> None:
    """`back to` stands before every check that leads to the rework, on its part, one it lies in or one inside it."""

    def wrong(kind: str, what: str, fix: str) -> None:
        findings.wrong(kind, rework.stage.line, what, fix, rework.back_to, "back to")

    stage = next((one for one in procedure.stages if one.title == rework.back_to), None)
    made = scope.made.get(rework.back_to)
    if stage and made:
        wrong("back-to", f"'{rework.back_to}' is both a stage and a name", "rename one of the two")
        return
    if not (stage or made):
        tried = findings.places.has(rework.back_to, "stage") or rework.back_to in scope.attempted
        if not tried:
            known = [*(one.title for one in procedure.stages), *scope.made]
            what = f"no stage, reading, value or time is called '{rework.back_to}'"
            wrong("back-to", what, suggestion(rework.back_to, known))
        return
    for spot, where in scope.arrivals(Spot(rework.stage, 1), made.stage.title if made else ""):
        here = made.stage if made else stage
        assert here
        if not _stands_before(made, here, spot, scope):
            what = f"'{rework.title}' goes back to '{rework.back_to}', which nothing makes sure is before {where}"
            wrong("back-to", what, "go back to a stage or a name that is before every check that leads here")
            return
        levels = (here.for_each, spot.stage.for_each)
        if levels[0] not in scope.path(levels[1]) and levels[1] not in scope.path(levels[0]):
            what = f"'{rework.back_to}' is for each {levels[0]}, and the check on {where} is for each {levels[1]}"
            wrong("back-to", what, "go back on the same part, one it lies in or one inside it")
            return


def _stands_before(made: Made | None, here: Stage, spot: Spot, scope: Scope) -> bool:
    if here.title == spot.stage.title:
        return made is None or made.number < spot.step
    return here.title in scope.within.get(spot.stage.title, {})


def _has_a_reading_here(rework: Rework, scope: Scope, findings: Findings) -> None:
    """Without `back to`, work goes on at the first reading of the pass that the check stands on, so there must be one."""
    for stage, step in scope.leads.get(rework.title, ()):
        if not any(made.stage.title == stage.title for made in read_for(step, scope)):
            what = f"'{rework.title}' doesn't say where to go back to, and {step.about.where} stands on no reading of its stage"
            fix = "add back to: and a stage or a name before that check"
            findings.wrong("back-to", rework.stage.line, what, fix, rework.title, *_KINDS)
            return


def read_for(step: Step, scope: Scope) -> list[Made]:
    """The readings and choices that a verdict comes from, through worked values and tables."""
    todo = [step.name] if isinstance(step, Check) else []
    if isinstance(step, Rung):
        todo = [name.name for name in names_in(step.least.tree)]
    if isinstance(step, Repeat):
        todo = [name.name for name in names_in(step.until.tree)]
    found, seen = [], set(todo)
    while todo:
        name = todo.pop()
        owner = scope.parted(name)[0]
        made, table = scope.made.get(name) or scope.made.get(owner), scope.tables.get(owner)
        further = [table.looked_up_by] if table else []
        if made and isinstance(made.step, WorkOut):
            further += [one.name for one in names_in(made.step.formula.tree)]
        elif made and made.what in ("reading", "choice", "text"):
            found.append(made)
        todo += [one for one in further if one not in seen]
        seen.update(further)
    return found
