"""What a command prints: plain text with no control character in it, and a refusal in two lines."""

from __future__ import annotations

import sys

from runner.session.faults import RunnerError
from runner.text.foreign import shown


def say(text: str = "") -> None:
    """A text on standard output, safe for any terminal."""
    print(shown(text))


def complain(what: str, fix: str = "") -> None:
    """What is wrong on standard error, and one thing to do."""
    print(shown(what), file=sys.stderr)
    if fix:
        print(f"  fix: {shown(fix)}", file=sys.stderr)


def complain_of(error: RunnerError) -> int:
    complain(error.what, error.fix)
    return error.code
