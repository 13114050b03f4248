"""`benchhand record NO`: the record of a job, as text or as JSON."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from pathlib import Path
from typing import Any

from runner.command.out import say
from runner.paper.record import as_json
from runner.paper.text import as_text
from runner.session.at_work import ReadJob, read_job
from runner.session.faults import FINE, NO_JOURNAL, RunnerError
from runner.session.shelf import find_job, jobs_folder


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "record",
        help="print the record of a job",
        description="The record as text, deviations first, or as JSON for other programs.",
    )
    parser.add_argument("job", metavar="NO", help="the job's number, or its file")
    parser.add_argument("--json", action="store_true", help="as JSON")
    parser.add_argument("--to", metavar="FILE", help="write it to a file")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    read = read_job(find_job(jobs_folder(asked.jobs), asked.job))
    if asked.to:
        write(read, Path(asked.to), as_json_=asked.json or asked.to.endswith(".json"))
        say(f"written to {asked.to}")
    else:
        say((as_json(read) if asked.json else as_text(read)).rstrip("\n"))
    return FINE


def write(read: ReadJob, path: Path, *, as_json_: bool) -> None:
    """The record written to a file. Raises RunnerError where it can't be."""
    try:
        path.write_text(as_json(read) if as_json_ else as_text(read), encoding="utf-8")
    except OSError as why:
        raise RunnerError(
            f"the record can't be written to {path}: {why.strerror}", "name another file", NO_JOURNAL
        ) from why
