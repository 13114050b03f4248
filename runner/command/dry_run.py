"""`benchhand dry-run PROCEDURE --entries FILE`: a whole job without a screen, on a simulated clock."""

from __future__ import annotations

import tempfile
from argparse import Namespace, _SubParsersAction
from pathlib import Path
from typing import Any

from runner.command.out import complain, say
from runner.command.record import write
from runner.job.events import Event, PassDone, PassStarted
from runner.paper.words import line
from runner.session import dry_run
from runner.session.at_work import read_job
from runner.session.entries import Entries, read_entries
from runner.session.faults import FINE, PROBLEMS, STOPPED, RunnerError
from runner.session.library import procedure_at
from runner.session.shop_file import without_pin
from runner.text.problem import render_all
from runner.text.yaml_nodes import decode


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser("dry-run", help="work a whole job from an entries file, without a screen")
    parser.add_argument(
        "procedure", metavar="PROCEDURE", help="a procedure file, or the name of a shipped one"
    )
    parser.add_argument("--entries", metavar="FILE", required=True, help="what was typed and done, in order")
    parser.add_argument(
        "--record", metavar="FILE", help="write the record as JSON (or as text, if FILE ends in .txt)"
    )
    parser.add_argument("--quiet", action="store_true", help="print only how it ended")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    procedure = procedure_at(asked.procedure)
    entries = _entries(Path(asked.entries))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "dry-run.db"
        at_work, stopped = dry_run.run(procedure, entries, path, None if asked.quiet else _tell)
        count, head = at_work.chain
        at_work.close()
        if asked.record:
            write(read_job(path), Path(asked.record), as_json_=not asked.record.endswith(".txt"))
    if stopped:
        complain(f"{asked.entries}:{stopped.line}: the job stopped here: {stopped.sentence}", stopped.fix)
        return STOPPED
    ended = "rehearsed to its end, and never released" if entries.rehearsal else "released"
    say(f"job {entries.job} {ended}; {count} entries, head {head[:16]}")
    return FINE


def _entries(path: Path) -> Entries:
    try:
        text, problems = decode(path.read_bytes(), str(path))
    except OSError as why:
        raise RunnerError(f"there is no entries file at {path}", "look at the name", PROBLEMS) from why
    entries = None
    if text is not None:
        entries, problems = read_entries(text, str(path))
    if entries is None:
        lines = [without_pin(line) for line in (text or "").split("\n")]
        raise RunnerError(render_all(problems, {str(path): lines}), "", PROBLEMS)
    return entries


def _tell(event: Event) -> None:
    if isinstance(event, PassStarted):
        say(f"{event.part}  {event.stage}")
    elif not isinstance(event, PassDone):
        say(f"    {line(event)}")
