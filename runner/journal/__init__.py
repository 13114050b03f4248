"""
One durable file per job: append at an expected position, read, lock, chain, verify.

It knows rows, not steps: what a row means is the business of whoever hands it over.
"""

from __future__ import annotations

from runner.journal.faults import AlreadyThere, CannotRead, JournalError, JournalLocked, NotKept, OutOfStep
from runner.journal.file import Journal, read_rows, sync_folder
from runner.journal.rows import NO_HEAD, KeptRow, Row
from runner.journal.verdict import Verdict, verify

__all__ = [
    "NO_HEAD",
    "AlreadyThere",
    "CannotRead",
    "Journal",
    "JournalError",
    "JournalLocked",
    "KeptRow",
    "NotKept",
    "OutOfStep",
    "Row",
    "Verdict",
    "read_rows",
    "sync_folder",
    "verify",
]
