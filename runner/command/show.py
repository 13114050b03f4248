"""`benchhand show PROCEDURE`: a procedure as people read it; with --changes what one revision changes of another."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import say
from runner.paper.changes import as_changes
from runner.paper.sheet import as_sheet
from runner.session.faults import FINE, WRONG_COMMAND, RunnerError
from runner.session.library import procedure_at


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "show",
        help="print a procedure as people read it, or what a new revision changes",
        description="The procedure with its defaults said, its steps numbered as at the bench, and the ways out beside the checks.",
    )
    parser.add_argument(
        "procedures", nargs="+", metavar="PROCEDURE", help="a procedure file, or the name of a shipped one"
    )
    parser.add_argument(
        "--changes",
        action="store_true",
        help="what the second of two files changes of the first, step by step",
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    wanted = 2 if asked.changes else 1
    if len(asked.procedures) != wanted:
        named = len(asked.procedures)
        count = "one procedure is" if named == 1 else f"{named} procedures are"
        what = f"{count} named, and this takes {'two' if asked.changes else 'one'}"
        fix = "name the old one and then the new one" if asked.changes else "with --changes two are compared"
        raise RunnerError(what, fix, WRONG_COMMAND)
    read = [procedure_at(word) for word in asked.procedures]
    say((as_changes(read[0], read[1]) if asked.changes else as_sheet(read[0])).rstrip("\n"))
    return FINE
