"""What the disk or the machine did to us, in the reader's words. Raised, and caught once where a command ends."""

from __future__ import annotations


class RunnerError(Exception):
    """One sentence without a full stop, one thing to do, and the exit code it ends a command with."""

    def __init__(self, what: str, fix: str, code: int) -> None:
        super().__init__(what)
        self.what, self.fix, self.code = what, fix, code


FINE, PROBLEMS, WRONG_COMMAND, NO_JOURNAL, STOPPED, NOT_VERIFIED, INTERRUPTED = 0, 1, 2, 3, 4, 5, 130
"""The exit codes: fine; problems in a file; wrong command line; a journal that can't be read or kept; the job stopped
at a gate; a record that doesn't verify; interrupted."""
