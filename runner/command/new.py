"""`benchhand new NAME`: a first procedure from a few questions, which `check` finds nothing wrong with."""

from __future__ import annotations

import re
from argparse import Namespace, _SubParsersAction
from pathlib import Path
from typing import Any

from runner.command.out import say
from runner.command.questions import Question, filled, has_terminal
from runner.procedure.first_draft import KEYS, first_draft, offered
from runner.procedure.reader import read_procedure
from runner.session.faults import FINE, NO_JOURNAL, WRONG_COMMAND, RunnerError
from runner.shop.writer import Keys
from runner.text.problem import Place, Problem

_WORDS = {
    "title": "What is the work, in a few words",
    "scope": "What is it for",
    "part": "What is worked on, in a word",
    "tag": "Where is its name or number read",
    "named": "What are they called, if always the same (EX, IN)",
    "measured": "What is measured on it",
    "unit": "In which unit",
    "instrument": "With which instrument",
    "reads to": "Its smallest step",
    "uncertainty": "What it may be out by",
    "places": "At how many places",
    "limit": "The limit, such as 5 mm to 6 mm, at most 0.02 mm or at least 2 mm",
    "plausible": "What it could read at all, far outside the limit",
    "source": "Where the limit comes from (common practice; shop's own, and why; published, and where)",
    "if not": "What may be decided where it isn't met: concession, scrap, return",
    "released by": "Who releases it: a role",
}
_FOLDER = Path("procedures")


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "new",
        help="write a first procedure from a few questions",
        description="Asks what is worked on, what is measured and what its limit is; Enter takes what stands in brackets. Nothing is overwritten.",
    )
    parser.add_argument("name", metavar="NAME", help="what it is called by: letters, digits and dashes")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    name: str = asked.name.removesuffix(".yaml")
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9-]{0,39}", name):
        fix = "write letters, digits and dashes, such as bush-ream; it goes into ./procedures"
        raise RunnerError(f"'{asked.name}' can't be the name of a procedure", fix, WRONG_COMMAND)
    path = _FOLDER / f"{name}.yaml"
    if path.exists() or path.is_symlink():
        raise RunnerError(
            f"there is a {path} already", "take another name; it was left as it is", WRONG_COMMAND
        )
    if not has_terminal():
        what = "a new procedure is asked for on a terminal, and this is none"
        raise RunnerError(what, "run it on one; or copy a shipped procedure and change that", WRONG_COMMAND)
    say("Enter takes what stands in brackets; Ctrl+C leaves without writing anything.")
    _write(path, first_draft(name, _asked(name)))
    say()
    say(f"written to {path}; change it in any editor")
    say(f"  benchhand check --watch {path}    tells what is wrong at each save")
    say(f"  benchhand show {path}             how it reads at the bench")
    return FINE


def _asked(name: str) -> dict[str, str]:
    """The answers to all questions, each right by itself and with those before it."""

    def wrong(keys: Keys) -> list[Problem]:
        answers = {key: str(value) for key, value in keys.items()}
        places = answers.get("places", "1")
        if not places.isdecimal():
            what, fix = f"'{places}' is no number of places", "write how many, such as 1 or 4"
            return [Problem("points-form", Place(name, 1, 1), what, fix)]
        # An answer may stand in two places of the file; what is wrong with it is said once.
        problems = [one for one in read_procedure(first_draft(name, answers), name)[1] if not one.warning]
        return list({problem.what: problem for problem in problems}.values())

    answers: dict[str, str] = {}
    for key in KEYS:
        question = Question(key, _WORDS[key], "", must=key != "named")
        now = {**answers, key: offered(key, answers, name)}
        answers[key] = str(filled(now, {}, [question], wrong, asks=True)[key])
    return answers


def _write(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(exist_ok=True)
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise RunnerError(f"there is a {path} already", "take another name", WRONG_COMMAND) from None
    except OSError as why:
        what = f"{path} can't be written: {why.strerror}"
        raise RunnerError(what, "look at who may write there", NO_JOURNAL) from why
