"""`benchhand` alone: the bench, with open jobs and procedures to start."""

from __future__ import annotations

import os
import sys
from argparse import SUPPRESS, ArgumentParser, Namespace
from typing import TYPE_CHECKING

from runner.command.out import complain
from runner.session.faults import WRONG_COMMAND
from runner.session.shelf import jobs_folder

if TYPE_CHECKING:
    from runner.screen.start import Start


def add_signals(parser: ArgumentParser) -> None:
    """How a screen calls somebody to an alarm; said after the verb or before it."""
    parser.add_argument("--no-bell", action="store_true", default=SUPPRESS, help="an alarm rings no bell")
    parser.add_argument(
        "--no-title",
        action="store_true",
        default=SUPPRESS,
        help="an alarm is not shown in the terminal's title",
    )
    parser.add_argument(
        "--notify",
        metavar="HOW",
        default=SUPPRESS,
        help="an alarm is told to the desktop too, as osc9 or osc777; which one the terminal passes on, its manual says",
    )


def run(asked: Namespace) -> int:
    return screen(asked, None)


def screen(asked: Namespace, start: Start | None) -> int:
    """The full screen, where there is a terminal for it; without one the help, and never a spin."""
    from runner.screen.terminal import drop_settings, why_not

    no = why_not()
    if no:
        from runner.command.line import parser

        complain(no, "the verbs below work without one")
        parser().print_help(sys.stderr)
        return WRONG_COMMAND
    from runner.screen.signals import signals

    used = signals(
        os.environ,
        no_bell=getattr(asked, "no_bell", False),
        no_title=getattr(asked, "no_title", False),
        notify=getattr(asked, "notify", None),
    )
    drop_settings()
    from runner.screen.app import open_bench

    return open_bench(jobs_folder(asked.jobs), start, used)
