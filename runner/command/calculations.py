"""`benchhand calculations [NAME]`: every calculation that formulas can call, or one with its source and an example."""

from __future__ import annotations

import inspect
import re
from argparse import Namespace, _SubParsersAction
from typing import Any

from runner.command.out import say
from runner.engineering.calculations import CALCULATIONS
from runner.engineering.described import described
from runner.engineering.signature import Signature
from runner.formula.functions import FUNCTIONS
from runner.session.faults import FINE, PROBLEMS, RunnerError
from runner.text.nearest import suggestion


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "calculations", help="list the calculations, or tell one with source and example"
    )
    parser.add_argument("name", nargs="?", metavar="NAME")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    if asked.name:
        return _tell(asked.name)
    for name, signature in CALCULATIONS.items():
        say(f"{name}({', '.join(argument.name for argument in signature.arguments)})")
        say(f"    {_first_line(signature)}")
    say()
    say("and of values and readings: " + ", ".join(FUNCTIONS))
    return FINE


def _tell(name: str) -> int:
    if name in FUNCTIONS:
        say(f"{name}: {FUNCTIONS[name].says}")
        return FINE
    signature = CALCULATIONS.get(name)
    if signature is None:
        raise RunnerError(
            f"no calculation is called '{name}'", suggestion(name, [*CALCULATIONS, *FUNCTIONS]), PROBLEMS
        )
    say(
        f"{name}({', '.join(argument.name for argument in signature.arguments)}) gives {signature.gives.words}"
    )
    for argument in signature.arguments:
        say(f"    {argument.name}: {argument.kind.words}")
    say()
    for_people = re.sub(r"Refuses \(\w+\)( by its signature only)?", _refuses, described(signature))
    say(re.sub(r"\n{3,}", "\n\n", for_people))
    return FINE


def _refuses(found: re.Match[str]) -> str:
    """How a docstring says what is refused, without the name of a class."""
    return "Refuses what lies outside what is said of each input" if found[1] else "Refuses"


def _first_line(signature: Signature) -> str:
    return (inspect.getdoc(signature.function) or "").split("\n", 1)[0]
