"""The command line: verbs, the options they share, and the one place where what went wrong is caught."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence

import runner
from runner.command import (
    bench,
    calc,
    calculations,
    check,
    dry_run,
    jobs,
    logger,
    new,
    open_,
    procedures,
    record,
    resume,
    schema,
    shop,
    show,
    trial,
    verify,
    watch,
)
from runner.command.arguments import Arguments
from runner.command.out import complain, complain_of
from runner.session.faults import FINE, INTERRUPTED, NO_JOURNAL, WRONG_COMMAND, RunnerError

_CODES = """
exit codes: 0 fine · 1 problems in a procedure, formula or other file · 2 wrong command line · 3 the journal can't be
read or kept · 4 the job stopped at a gate · 5 the record doesn't verify · 130 interrupted
"""


def parser() -> argparse.ArgumentParser:
    """The whole command line. `benchhand` alone opens the bench."""
    whole = Arguments(
        prog="benchhand",
        description="Walks a machinist through the shop's own procedures, works the numbers out from what was measured, and keeps a record that can be checked. Alone it opens the bench.",
        epilog=_CODES,
        allow_abbrev=False,
    )
    whole.add_argument("--version", action="version", version=f"benchhand {runner.__version__}")
    whole.add_argument(
        "--jobs", metavar="FOLDER", help="where jobs are kept (else BENCHHAND_JOBS, else ./jobs)"
    )
    whole.add_argument("--traceback", action="store_true", help=argparse.SUPPRESS)
    bench.add_signals(whole)
    whole.set_defaults(run=bench.run)
    verbs = whole.add_subparsers(title="verbs", metavar="VERB")
    for verb in (
        open_,
        resume,
        logger,
        jobs,
        watch,
        procedures,
        new,
        check,
        show,
        schema,
        trial,
        dry_run,
        record,
        verify,
        shop,
        calc,
        calculations,
    ):
        verb.add(verbs)
    for one in verbs.choices.values():
        one.add_argument("--jobs", metavar="FOLDER", default=argparse.SUPPRESS, help="where jobs are kept")
    return whole


def main(words: Sequence[str] | None = None) -> int:
    """Run one command line; the exit code. A traceback is shown only when asked for: it is for bugs of ours."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal set to an older character set shows a sign it lacks as its number, and loses nothing else.
            stream.reconfigure(errors="backslashreplace")
    try:
        asked = parser().parse_args(words)
    except SystemExit as ended:
        return WRONG_COMMAND if ended.code else 0
    try:
        code: int = asked.run(asked)
        if sys.stdout:
            sys.stdout.flush()
        return code
    except RunnerError as why:
        return complain_of(why)
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _write_no_more()
        return FINE
    except OSError as why:
        if asked.traceback:
            raise
        _write_no_more()
        complain(f"something can't be read or written: {why.strerror}", "look at the disk it is on")
        return NO_JOURNAL
    except Exception as bug:
        if asked.traceback:
            raise
        complain(
            f"benchhand itself went wrong ({type(bug).__name__}); what was kept before is safe",
            "run it again with --traceback before the verb and send what it prints",
        )
        return 70


def _write_no_more() -> None:
    """What is still to be written goes nowhere, so that the end of the program doesn't stumble over it again."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
