"""A logger's file at a soak of the job at work: taken for one place, and read on whenever the bench looks, or imported later.

How far a file has been read stands in the job's own entries and nowhere else: a program that was killed reads nothing twice.
"""

from __future__ import annotations

from pathlib import Path

from runner.job.events import Event
from runner.job.intents import ReadLogger, TakeLogger
from runner.job.job import Job, Refusal
from runner.job.passes import is_stopped, next_step
from runner.job.state import Logger, PassKey, State
from runner.procedure.model import Soak
from runner.session.at_work import AtWork, Kept, Outcome
from runner.session.logger import LoggerFile, SoFar


def look(at_work: AtWork, key: PassKey, path: Path, member: str = "", point: str = "") -> Outcome:
    """
    What came since in a file, handed to the soak that a pass stands at: kept (no events where nothing is new), refused, or
    not kept. The first time the file is taken for a place; a part in the soak and a point need be named only where it has
    several. From then on `key` and `path` are enough.
    """
    logger = _logger(at_work.state, key, path)
    events: list[Event] = []
    if logger is None or ((member or point) and not _is_meant(logger, member, point)):
        first = LoggerFile(path, at_work.job.zone).read()
        if logger is None and first.said and not first.rows:
            return Refusal(first.said[0], "name the file that the logger writes")
        taken = at_work.act(TakeLogger(key, path.name, member, point))
        if not isinstance(taken, Kept):
            return taken
        events += taken.events
    while True:
        outcome = _read_on(at_work, key, path)
        if not isinstance(outcome, Kept):
            return outcome
        events += outcome.events
        if not outcome.events or key not in soaks_now(at_work.job, at_work.state):
            return Kept(tuple(events))


def _read_on(at_work: AtWork, key: PassKey, path: Path) -> Outcome:
    before = _logger(at_work.state, key, path) or Logger(("", ""))
    file = LoggerFile(path, at_work.job.zone, SoFar(before.read_bytes, before.read_lines, before.sha256))
    reading = file.read()
    to = file.so_far
    return at_work.act(
        ReadLogger(
            key,
            path.name,
            before.read_bytes,
            to.read_bytes,
            to.read_lines,
            to.sha256,
            reading.rows,
            reading.said,
        )
    )


def _logger(state: State, key: PassKey, path: Path) -> Logger | None:
    """The file as the soak of a pass knows it by its name."""
    found = (soaking.loggers.get(path.name) for soaking in state.at(key).soaks.values())
    return next((one for one in found if one), None)


def _is_meant(logger: Logger, member: str, point: str) -> bool:
    asked = zip((member, point), logger.place, strict=True)
    return all(not one or one.casefold() == there.casefold() for one, there in asked)


def soaks_now(job: Job, state: State) -> dict[PassKey, Soak]:
    """The passes that stand at a soak and go on, each with it: what a logger may write for."""
    found: dict[PassKey, Soak] = {}
    for key, one in state.passes.items():
        step = next_step(job, state, key) if one.started and not (one.done or is_stopped(one)) else None
        if isinstance(step, Soak):
            found[key] = step
    return found
