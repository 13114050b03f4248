"""`benchhand jobs`: every job in the folder in a line, with what is due next; or every reading taken with an instrument."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from pathlib import Path
from typing import Any

from runner.command.out import say
from runner.session.clock import MachineClock
from runner.session.faults import FINE, NO_JOURNAL
from runner.session.shelf import jobs_folder, lines
from runner.session.shop_file import shop_beside
from runner.session.taken_with import NotRead, Taken, taken_with


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("jobs", help="list the jobs, what is due soonest first")
    parser.add_argument(
        "--with",
        dest="instrument",
        metavar="ID",
        help="list every reading taken with this instrument, by its id or its title",
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    folder, now = jobs_folder(asked.jobs), MachineClock().now()
    if asked.instrument:
        return _readings(folder, asked.instrument)
    found = lines(folder, now)
    for line in found:
        if line.problem:
            say(f"{line.number:<12} can't be read: {line.problem}")
            continue
        due = f", due {line.due_words}" if line.due else ""
        mark = "REHEARSAL " if line.rehearsal else ""
        say(f"{line.number:<12} {line.standing:<11} {line.progress:<18} {mark}{line.title}{due}")
    if not found:
        say(f"no jobs in {folder.absolute()}; `benchhand open PROCEDURE --job NO` opens one")
    return FINE


def _readings(folder: Path, instrument: str) -> int:
    """Every reading with an instrument; code 3 where a job can't be read, for then there may be more of them."""
    found = taken_with(folder, instrument)
    for one in found:
        if isinstance(one, NotRead):
            say(f"{one.job:<12} can't be read: {one.why}")
            continue
        at = f"{one.at.astimezone(one.zone):%Y-%m-%d %H:%M}"
        again = "   superseded" if one.superseded else ""
        points, people = ", ".join(one.points), ", ".join(one.who)
        say(f"{one.job:<12} {one.part}   {one.stage}   {one.name} {points}   {at} {people}{again}")
    if not any(isinstance(one, Taken) for one in found):
        say(f"no reading with '{instrument}' in {folder.absolute()}{_by_kind(folder, instrument)}")
    return NO_JOURNAL if any(isinstance(one, NotRead) for one in found) else FINE


def _by_kind(folder: Path, instrument: str) -> str:
    """The way to readings that tell only what kind of instrument they were taken with."""
    gauge = shop_beside(folder).gauge(instrument)
    return f'; `benchhand jobs --with "{gauge.kind}"` lists those of its kind' if gauge else ""
