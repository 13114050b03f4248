"""`benchhand schema`: the language's keys for editors, as a JSON Schema, or for people, as a page of text."""

from __future__ import annotations

import json
from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import say
from runner.procedure.grammar import LISTS, items
from runner.procedure.reference import reference, reference_of
from runner.procedure.schema import schema
from runner.session.faults import FINE, WRONG_COMMAND, RunnerError
from runner.text.nearest import suggestion


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "schema",
        help="print what a procedure may say: for editors, or with --reference for people",
        description="A JSON Schema (draft 2020-12), with which an editor completes keys, tells what each is for and marks wrong ones.",
    )
    parser.add_argument(
        "--reference",
        nargs="*",
        metavar="ITEM",
        help="every item of a procedure and its keys, as a page to read; or one item (read, hold point, …) key by key",
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    if asked.reference is None:
        say(json.dumps(schema(), indent=1, ensure_ascii=False))
    elif not asked.reference:
        say(reference().rstrip("\n"))
    else:
        say("\n\n".join(reference_of(word).rstrip("\n") for word in _items_called(" ".join(asked.reference))))
    return FINE


def _items_called(word: str) -> tuple[str, ...]:
    """The item of this name, the items of the list of this name, or a refusal that names the items with such a key."""
    known = items()
    if word in known:
        return (word,)
    if word in LISTS:
        return LISTS[word]
    what, having = (
        f"no item of a procedure is called '{word}'",
        [one for one in known if word in known[one].keys],
    )
    if not having:
        raise RunnerError(what, suggestion(word, [*known, *LISTS]), WRONG_COMMAND)
    raise RunnerError(what, f"it is a key of {', '.join(having)}; ask for one of these", WRONG_COMMAND)
