"""`benchhand resume NO`: a job taken up again at the step where it was left."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command import bench
from runner.session.shelf import find_job, jobs_folder


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("resume", help="take a job up again where it was left")
    parser.add_argument("job", metavar="NO", help="the job's number, or its file")
    parser.add_argument("--who", metavar="NAME", help="who is at the bench now")
    bench.add_signals(parser)
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    path = find_job(jobs_folder(asked.jobs), asked.job)
    from runner.screen.start import TakeUp

    return bench.screen(asked, TakeUp(path, asked.who or ""))
