"""The command line's parser with refusals in the reader's words: what is wrong, and one thing to do."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from typing import NoReturn

from runner.command.out import complain
from runner.session.faults import WRONG_COMMAND
from runner.text.nearest import nearest

_HELP = "`{prog} --help` shows how it is written"
_NOT_A_NUMBER = r"argument (?P<name>\S+): invalid int value: '(?P<word>.*)'"
_SHAPES: list[tuple[str, Callable[[re.Match[str]], str]]] = [
    (r"the following arguments are required: (?P<names>.+)", lambda found: f"{found['names']} is missing"),
    (r"unrecognized arguments: (?P<words>.+)", lambda found: f"nothing is known of '{found['words']}' here"),
    (
        r"argument (?P<name>\S+): not allowed with argument (?P<other>\S+)",
        lambda found: f"{found['name']} and {found['other']} don't go together",
    ),
    (_NOT_A_NUMBER, lambda found: f"'{found['word']}' is no whole number for {found['name']}"),
    (
        r"argument (?P<name>\S+): expected .+",
        lambda found: f"{found['name'].split('/')[-1]} wants something after it",
    ),
]
"""What the library says, and how we say it."""


class Arguments(argparse.ArgumentParser):
    """A parser whose refusals are two lines on standard error, and exit code 2."""

    def error(self, message: str) -> NoReturn:
        what, fix = _in_our_words(message, self.prog)
        complain(what, fix)
        self.exit(WRONG_COMMAND)


def _in_our_words(message: str, prog: str) -> tuple[str, str]:
    fix = _HELP.format(prog=prog)
    choice = re.match(
        r"argument (?P<name>\S+): invalid choice: '(?P<word>.*)' \(choose from (?P<all>.*)\)", message
    )
    if choice:
        known = [word.strip("' ") for word in choice["all"].split(",")]
        near = nearest(choice["word"], known)
        hint = f"did you mean {near}? " if near else ""
        if choice["name"].startswith("-"):
            return f"'{choice['word']}' is none of {', '.join(known)} for {choice['name']}", hint + fix
        return f"'{choice['word']}' is not one of its verbs", hint + fix
    for shape, said in _SHAPES:
        if found := re.fullmatch(shape, message):
            return said(found), fix
    return message, fix
