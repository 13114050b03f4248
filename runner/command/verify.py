"""`benchhand verify NO`: whether a job's file is as it was written, entry by entry, and against a printed count and head."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import say
from runner.journal import JournalError, verify
from runner.session.at_work import read_job
from runner.session.faults import FINE, NO_JOURNAL, NOT_VERIFIED, RunnerError
from runner.session.shelf import find_job, jobs_folder


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("verify", help="check that a job's file is as it was written")
    parser.add_argument("job", metavar="NO", help="the job's number, or its file")
    parser.add_argument("--count", type=int, metavar="N", help="the number of entries on a print")
    parser.add_argument("--head", metavar="HASH", help="the head on a print, or its first 16 digits")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    path = find_job(jobs_folder(asked.jobs), asked.job)
    try:
        verdict = verify(path, count=asked.count, head=asked.head)
    except JournalError as why:
        raise RunnerError(why.what, why.fix, NO_JOURNAL) from why
    say(verdict.sentence)
    if not verdict.ok:
        return NOT_VERIFIED
    read_job(path)
    say(f"{verdict.count} entries, head {verdict.head}")
    return FINE
