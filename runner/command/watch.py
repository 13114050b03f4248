"""`benchhand watch`: every running timer of every open job, soonest first. It only reads."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command import bench
from runner.command.out import say
from runner.screen.terminal import why_not
from runner.session.clock import MachineClock
from runner.session.faults import FINE
from runner.session.shelf import due_words, jobs_folder
from runner.session.watched import Watched, timers


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("watch", help="one screen with every running timer of every open job")
    bench.add_signals(parser)
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    """The full screen; without a terminal the list, once."""
    if why_not():
        return _list(asked)
    from runner.screen.start import Watch

    return bench.screen(asked, Watch())


def _list(asked: Namespace) -> int:
    watched = Watched(jobs_folder(asked.jobs))
    found = timers(watched.look(), MachineClock().now())
    for one in watched.not_read:
        say(f"{one.number:<12} can't be read: {one.why}")
    for timer in found:
        alarm = "ALARM: " if timer.alarm and not timer.is_answered else ""
        mark = "REHEARSAL " if timer.read.state.is_rehearsal else ""
        say(
            f"{timer.number:<12} {mark}{alarm}{due_words(timer.due, timer.read.job.zone, timer.now)}: {timer.do}"
        )
    if not found:
        say(f"nothing runs in any open job in {watched.folder.absolute()}")
    return FINE
