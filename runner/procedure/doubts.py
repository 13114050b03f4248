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
    return findings.problems
