"""`benchhand procedures`: what a shop can start with."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import complain, say
from runner.session.faults import FINE, RunnerError
from runner.session.library import folders, procedure_files, read


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("procedures", help="list the procedures that can be started")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    for path in procedure_files():
        try:
            found = read(path)
        except RunnerError as why:
            say(f"{path.stem:<18} {why.what}")
            continue
        if found.procedure:
            one = found.procedure
            say(f"{path.stem:<18} revision {one.revision:<3} {one.status:<10} {one.title}")
        else:
            say(f"{path.stem:<18} has problems: benchhand check {path}")
    if not procedure_files():
        complain("there is no procedure", f"put one into {folders()[0]}")
    return FINE
