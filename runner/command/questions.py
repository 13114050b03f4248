"""Questions on a plain terminal, one a line. Without a terminal nothing is ever asked: what is missing is refused."""

from __future__ import annotations

import getpass
import secrets
import sys
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from runner.command.out import complain, say
from runner.session.faults import WRONG_COMMAND, RunnerError
from runner.shop.pins import SALT_BYTES, hash_pin, is_pin
from runner.shop.writer import Keys
from runner.text.foreign import shown
from runner.text.problem import Problem

NONE = "none"
"""Takes away what may be left out."""


@dataclass(frozen=True, slots=True)
class Question:
    """One key of an item: how it is asked, the option that says it, and whether the item can do without."""

    key: str
    words: str
    option: str
    must: bool = True
    several: bool = False


def has_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()


def filled(
    now: Keys,
    said: Keys,
    questions: Sequence[Question],
    judge: Callable[[Keys], list[Problem]],
    *,
    asks: bool,
) -> Keys:
    """
    The keys of an item with what was said on the command line and, where it `asks`, the answers to all that wasn't.
    `judge` gives what is wrong with an item so far. Raises RunnerError where nobody can be asked.
    """
    keys: Keys = {**now, **said}
    left = [one for one in questions if one.key not in said]
    if not asks:
        return keys
    if not has_terminal():
        missing = [one.option for one in left if one.must and not keys.get(one.key)]
        if missing:
            what = f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing"
        elif not said and any(now.get(one.key) for one in left):
            what = "nothing was said to change"
        else:
            return keys
        fix = f"say it with {', '.join(one.option for one in left)}, or run this on a terminal, where it is asked"
        raise RunnerError(what, fix, WRONG_COMMAND)
    for question in left:
        keys = _answered(keys, question, judge)
    return keys


def _answered(keys: Keys, question: Question, judge: Callable[[Keys], list[Problem]]) -> Keys:
    """The keys with one more that has nothing wrong with it; asked until it is so."""
    present = keys.get(question.key) or ""
    present = present if isinstance(present, str) else ", ".join(present)
    way_out = "" if question.must else f"{NONE} takes it away" if present else "may be left out"
    hint = "; ".join(one for one in (present, way_out) if one)
    prompt = f"{question.words} [{hint}]: " if hint else f"{question.words}: "
    before = judge(keys)
    while True:
        answer = ask(prompt) or present
        if not answer and question.must:
            continue
        if answer == NONE and not question.must:
            answer = ""
        value = words(answer) if question.several else answer
        wrong = [one for one in judge({**keys, question.key: value}) if one not in before]
        if not wrong:
            return {**keys, question.key: value}
        for problem in wrong:
            complain(problem.what, problem.fix)


def words(answer: str) -> tuple[str, ...]:
    """An answer of several words or names, commas between."""
    return tuple(" ".join(one.split()) for one in answer.split(",") if one.strip())


def ask(prompt: str) -> str:
    """One line typed on the terminal, its blanks made single. The end of input is a way out, as Ctrl-C is."""
    while True:
        try:
            return " ".join(input(shown(prompt)).split())
        except EOFError:
            say()
            raise KeyboardInterrupt from None
        except UnicodeDecodeError:
            complain("that was not text that this terminal can tell", "type it again")


def ask_pin(name: str) -> str:
    """
    What is kept of a PIN typed twice and not shown, or nothing where none is wanted. Raises RunnerError where the
    terminal would show it.
    """
    while True:
        pin = _hidden(f"PIN of {name}, 4 to 12 digits (Enter alone: none): ")
        if not pin:
            return ""
        if not is_pin(pin):
            complain("a PIN has 4 to 12 digits and nothing else", "type another")
        elif _hidden("the same once more: ") == pin:
            return hash_pin(pin, secrets.token_bytes(SALT_BYTES))
        else:
            complain("the two were not the same", "type it twice again")


def typed_pin(name: str) -> str:
    """A PIN typed and not shown, to be compared. Raises RunnerError where nobody can be asked."""
    if not has_terminal():
        raise RunnerError(f"the PIN of {name} is asked for", "run this on a terminal", WRONG_COMMAND)
    return _hidden(f"PIN of {name}: ")


def _hidden(prompt: str) -> str:
    with warnings.catch_warnings():
        warnings.simplefilter("error", getpass.GetPassWarning)
        try:
            return getpass.getpass(shown(prompt))
        except EOFError:
            raise KeyboardInterrupt from None
        except getpass.GetPassWarning:
            raise RunnerError(
                "this terminal would show the PIN", "run this on one that can hide it", WRONG_COMMAND
            ) from None
