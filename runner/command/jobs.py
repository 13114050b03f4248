"""`benchhand jobs`: every job in the folder in a line, with what is due next."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import say
from runner.session.clock import MachineClock
from runner.session.faults import FINE
from runner.session.shelf import due_words, jobs_folder, lines


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("jobs", help="list the jobs, what is due soonest first")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    folder, now = jobs_folder(asked.jobs), MachineClock().now()
    found = lines(folder, now)
    for line in found:
        if line.problem:
            say(f"{line.number:<12} can't be read: {line.problem}")
            continue
        due = f", due {due_words(line.due, line.zone, now)}" if line.due else ""
        say(f"{line.number:<12} {line.standing:<11} {line.progress:<18} {line.title}{due}")
    if not found:
        say(f"no jobs in {folder.absolute()}; `benchhand open PROCEDURE --job NO` opens one")
    return FINE
