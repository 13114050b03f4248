"""`benchhand check FILE…`: every problem of procedure files, in one run. Editors call it, so it loads no screen."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import complain_of, say
from runner.session.faults import FINE, PROBLEMS, RunnerError
from runner.session.library import find, read


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "check",
        help="look for problems in procedure files",
        description="Every problem of the files, with its line, a caret and one fix.",
    )
    parser.add_argument(
        "files", nargs="+", metavar="FILE", help="a procedure file, or the name of a shipped one"
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    code = FINE
    for word in asked.files:
        try:
            found = read(find(word))
        except RunnerError as why:
            code = complain_of(why)
            continue
        if found.problems:
            say(found.report)
            say()
        wrong = sum(not problem.warning for problem in found.problems)
        warned = len(found.problems) - wrong
        extra = f", {warned} {'warning' if warned == 1 else 'warnings'}" if warned else ""
        if wrong:
            code = PROBLEMS
            say(f"{found.name}: {wrong} {'problem' if wrong == 1 else 'problems'}{extra}")
        else:
            procedure = found.procedure
            assert procedure is not None
            steps = sum(len(stage.steps) for stage in procedure.stages)
            say(f"{found.name}: no problem in {len(procedure.stages)} stages, {steps} steps{extra}")
    return code
