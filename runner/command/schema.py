"""`benchhand schema`: the language's keys for editors, as a JSON Schema, or for people, as a page of text."""

from __future__ import annotations

import json
from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import say
from runner.procedure.grammar import items
from runner.procedure.reference import reference, reference_of
from runner.procedure.schema import schema
from runner.session.faults import FINE, WRONG_COMMAND, RunnerError
from runner.text.nearest import suggestion

_ALL = ""


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "schema",
        help="print what a procedure may say: for editors, or with --reference for people",
        description="A JSON Schema (draft 2020-12), with which an editor completes keys, tells what each is for and marks wrong ones.",
    )
    parser.add_argument(
        "--reference",
        nargs="?",
        const=_ALL,
        metavar="ITEM",
        help="every item of a procedure and its keys, as a page to read; or one item (read, check, …) key by key",
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    if asked.reference is None:
        say(json.dumps(schema(), indent=1, ensure_ascii=False))
    elif asked.reference == _ALL:
        say(reference().rstrip("\n"))
    elif asked.reference in items():
        say(reference_of(asked.reference).rstrip("\n"))
    else:
        raise RunnerError(
            f"no item of a procedure is called '{asked.reference}'",
            suggestion(asked.reference, items()),
            WRONG_COMMAND,
        )
    return FINE
