"""What most likely is wrong with a procedure that has no problem: warnings, only where they are sure."""

from __future__ import annotations

from runner.procedure.findings import Findings
from runner.procedure.model import Procedure, Rung
from runner.procedure.scope import Scope
from runner.text.problem import Problem


def doubts(procedure: Procedure, scope: Scope, findings: Findings) -> list[Problem]:
    """The warnings of a procedure whose every name has been looked up in its scope."""
    for made in scope.made.values():
        if made.what == "choice" and made.name not in scope.used:
            what = f"nothing checks '{made.name}', asks for it in a condition or shows it"
            fix = f"add - check: {made.name} with is: and what it must be, or take the choice out"
            findings.doubt("unused-choice", made.step.about.place, what, fix, made.name, "choose")
    steps = [step for stage in procedure.every_stage for step in stage.steps]
    climbed = {step.ladder for step in steps if isinstance(step, Rung)}
    climbed |= {rework.climb for rework in procedure.reworks}
    for ladder in procedure.ladders:
        if ladder.name not in climbed:
            what = f"nobody climbs '{ladder.name}' or takes a rung of it, so every part stays on the lowest"
            fix = f"add climb: {ladder.name} to a rework or - rung: {ladder.name} to a stage"
            findings.doubt("unused-ladder", ladder.line, what, fix, ladder.name, "ladder")
    _unused_times(procedure, scope, findings)
    _unnamed_hazards(procedure, findings)
    if procedure.approved_by and procedure.approved_by == procedure.written_by:
        what = f"'{procedure.approved_by}' wrote this procedure and approved it"
        fix = "let somebody else read it at the bench and approve it"
        findings.doubt("approved-by-author", 1, what, fix, procedure.approved_by, "approved by")
    return findings.problems


def _unused_times(procedure: Procedure, scope: Scope, findings: Findings) -> None:
    """A time that is recorded is there for somebody who waits for it, or is shown; the record has every time anyway."""
    pointed = {
        scalar.text.strip()
        for places in findings.every_file
        for scalar in places.said("starts", "ends", "back to")
    }
    for stage in procedure.every_stage:
        for step in stage.steps:
            name = step.about.timed_as
            if step.about.taken:  # whoever takes shared steps in needs not all of them
                continue
            if name and name not in pointed and name not in scope.used:
                what = f"nothing waits for '{name}' or counts from it"
                fix = f"add a wait or a window with starts: {name}, or take timed as: out"
                findings.doubt("unused-time", step.about.place, what, fix, name, "timed as")


def _unnamed_hazards(procedure: Procedure, findings: Findings) -> None:
    """A hazard stands before the steps that name it; one that none names is told when a job opens, and never again."""
    named = {scalar.text.strip() for scalar in findings.places.said("beware")}
    for hazard in procedure.hazards:
        is_own = findings.said_at(1, hazard.title, hazard.word) is not None
        if is_own and hazard.title not in named:
            what = f"no stage and no step says beware: [{hazard.title}], so it stands before none"
            fix = "name it at the step or the stage where it can hurt"
            findings.doubt("unused-hazard", 1, what, fix, hazard.title, hazard.word)
