"""`benchhand` alone: the bench, with open jobs and procedures to start."""

from __future__ import annotations

import sys
from argparse import Namespace
from typing import TYPE_CHECKING

from runner.command.out import complain
from runner.session.faults import WRONG_COMMAND
from runner.session.shelf import jobs_folder

if TYPE_CHECKING:
    from runner.screen.start import Start


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
    drop_settings()
    from runner.screen.app import open_bench

    return open_bench(jobs_folder(asked.jobs), start)
