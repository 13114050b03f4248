"""`benchhand trial PROCEDURE`: many virtual jobs of a procedure, on all cores, and what they found in it."""

from __future__ import annotations

import json
import os
import sys
from argparse import Namespace, _SubParsersAction
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from typing import Any

from runner.command.out import say
from runner.job.job import Refusal
from runner.procedure.model import Procedure
from runner.session.faults import FINE, PROBLEMS, WRONG_COMMAND, RunnerError
from runner.session.library import find, procedure_at
from runner.trial.findings import found_in
from runner.trial.jobs import tallied, walked
from runner.trial.report import as_data, as_text
from runner.trial.tally import Tally
from runner.trial.walk import Trial, prepared

JOBS, MOST_JOBS = 1000, 100_000
AT_ONCE = 4
"""How many jobs a process is given at a time: few, so that the progress shown moves."""
_trial: Trial | None = None


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "trial",
        help="walk many virtual jobs of a procedure and say what they found in it",
        description="Walks virtual jobs that draw both sides of every limit, every option, every way out and every end of a timer, and reports what none of them reached. The same seed gives the same report.",
    )
    parser.add_argument(
        "procedure", metavar="PROCEDURE", help="a procedure file, or the name of a shipped one"
    )
    parser.add_argument(
        "-n", dest="count", type=int, default=JOBS, metavar="N", help=f"how many jobs (else {JOBS})"
    )
    parser.add_argument(
        "--seed", type=int, default=1, metavar="S", help="another seed walks other jobs (else 1)"
    )
    parser.add_argument(
        "--parts",
        nargs="+",
        default=[],
        metavar="LEVEL=NAMES",
        help="the parts of each job, such as head=H1,H2",
    )
    parser.add_argument(
        "--jobs-at-once", type=int, default=0, metavar="N", help="how many processes (else one a core)"
    )
    parser.add_argument(
        "--format", choices=("text", "json"), default="text", help="text, or json for programs"
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    if not 1 <= asked.count <= MOST_JOBS or asked.jobs_at_once < 0:
        raise RunnerError("a trial walks 1 to 100000 jobs", "write a number of them behind -n", WRONG_COMMAND)
    procedure = procedure_at(asked.procedure)
    trial = prepared(procedure, _parts(asked.parts), asked.seed)
    if isinstance(trial, Refusal):
        raise RunnerError(trial.sentence, trial.fix, WRONG_COMMAND)
    tally = tallied(_shown(_walked(trial, asked.count, asked.jobs_at_once), asked.count))
    return _told(asked, procedure, tally)


def _told(asked: Namespace, procedure: Procedure, tally: Tally) -> int:
    if asked.format == "json":
        say(json.dumps(as_data(procedure, tally, asked.count, asked.seed), indent=2, ensure_ascii=False))
    else:
        for line in as_text(procedure, tally, asked.count, asked.seed, str(find(asked.procedure))):
            say(line)
    return PROBLEMS if found_in(procedure, tally) else FINE


def _parts(words: list[str]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for word in words:
        level, sign, names = word.partition("=")
        if not (level and sign and names):
            raise RunnerError(f"'{word}' names no parts", "write them like head=H1,H2", WRONG_COMMAND)
        found[level] = tuple(names.split(","))
    return found


def _walked(trial: Trial, count: int, at_once: int) -> Iterator[Tally]:
    """The tally of each job in order, from as many processes as are wanted."""
    processes = min(at_once or os.cpu_count() or 1, count)
    if processes == 1:
        yield from (walked(trial, index) for index in range(count))
        return
    with ProcessPoolExecutor(processes, initializer=_begin, initargs=(trial,)) as pool:
        yield from pool.map(_one, range(count), chunksize=AT_ONCE)


def _begin(trial: Trial) -> None:
    global _trial
    _trial = trial


def _one(index: int) -> Tally:
    assert _trial
    return walked(_trial, index)


def _shown(tallies: Iterator[Tally], count: int) -> Iterator[Tally]:
    """The same, with how far it is on a terminal's standard error."""
    watched = sys.stderr.isatty()
    for at, tally in enumerate(tallies, 1):
        if watched:
            print(f"\r{at} of {count} jobs", end="", file=sys.stderr, flush=True)
        yield tally
    if watched:
        print("\r" + " " * 30 + "\r", end="", file=sys.stderr, flush=True)
