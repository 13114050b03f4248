"""`benchhand open PROCEDURE --job NO`: a new job, on the screen. What is not said here is asked there."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from collections.abc import Mapping
from typing import Any

from runner.command import bench
from runner.job.job import Refusal
from runner.job.opening import names_to_ask, refuse_names, refuse_number, refuse_status
from runner.procedure.model import Procedure
from runner.session.faults import WRONG_COMMAND, RunnerError
from runner.session.library import procedure_at
from runner.session.shelf import job_path, jobs_folder
from runner.shop.people import is_name


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("open", help="open a new job on a procedure")
    parser.add_argument(
        "procedure", metavar="PROCEDURE", help="a procedure file, or the name of a shipped one"
    )
    parser.add_argument("--job", metavar="NO", help="the new job's number")
    parser.add_argument("--who", metavar="NAME", help="who is at the bench")
    parser.add_argument(
        "--alone", action="store_true", help="declare that one person works and releases alone"
    )
    parser.add_argument(
        "--rehearsal",
        action="store_true",
        help="no real parts: the clock may be hurried, and nothing is ever released",
    )
    parser.add_argument(
        "--named",
        action="append",
        default=[],
        metavar="PART=A,B",
        help="the names of parts, such as head=H1,H2",
    )
    bench.add_signals(parser)
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    procedure = procedure_at(asked.procedure)
    if asked.job and job_path(jobs_folder(asked.jobs), asked.job).exists():
        raise RunnerError(
            f"job {asked.job} exists already", f"`benchhand resume {asked.job}` takes it up", WRONG_COMMAND
        )
    named = dict(_named(one) for one in asked.named)
    refusal = _refuse(procedure, asked, named)
    if refusal:
        raise RunnerError(refusal.sentence, refusal.fix or "leave it out and it is asked for", WRONG_COMMAND)
    from runner.screen.start import OpenNew

    return bench.screen(
        asked,
        OpenNew(
            procedure,
            asked.job or "",
            asked.who or "",
            True if asked.alone else None,
            named,
            asked.rehearsal,
        ),
    )


def _refuse(procedure: Procedure, asked: Namespace, named: Mapping[str, tuple[str, ...]]) -> Refusal | None:
    """Why a job can't be opened with what was said so far; what was not said is asked on the screen."""
    if asked.job and (refusal := refuse_number(asked.job)):
        return refusal
    if asked.who and not is_name(asked.who):
        return Refusal(f"'{asked.who}' is no name", "say who is at the bench")
    wanted = names_to_ask(procedure)
    for level, names in named.items():
        if level not in wanted:
            return Refusal(
                f"'{level}' is not a part that is named at opening",
                f"named are {', '.join(wanted)}" if wanted else "this procedure names all its parts",
            )
        if refusal := refuse_names(level, names):
            return refusal
    return None if asked.rehearsal else refuse_status(procedure)


def _named(text: str) -> tuple[str, tuple[str, ...]]:
    level, equals, names = text.partition("=")
    if not equals or not names:
        raise RunnerError(f"'{text}' names no part", "write it like head=H1,H2", WRONG_COMMAND)
    return level.strip(), tuple(name.strip() for name in names.split(","))
