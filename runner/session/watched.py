"""Every timer of every open job in a folder, soonest first. It only reads, and a file again only once it was changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from runner.job.alarms import Alarm, in_sight
from runner.job.due import Due, running
from runner.job.moments import Moment, hurried
from runner.session.at_work import ReadJob, read_job
from runner.session.faults import RunnerError
from runner.session.shelf import job_files

_OF = {
    "reading due": ("soak",),
    "reading late": ("soak",),
    "window closing": ("window",),
    "window missed": ("window",),
    "key missed": ("clock",),
    "let go": ("clock",),
    "wait over": ("wait", "not before", "witness"),
}
"""The sorts of timers that a sort of alarm is about; the others run by themselves."""


@dataclass(frozen=True, slots=True)
class Timer:
    """One thing that time runs for in a job, at the job's own moment, and the alarm that stands for it."""

    read: ReadJob
    due: Due
    now: Moment
    alarm: Alarm | None = None

    @property
    def number(self) -> str:
        return self.read.path.stem

    @property
    def job_words(self) -> str:
        """The job by its number, marked where it is a rehearsal."""
        return f"{'REHEARSAL ' if self.read.state.is_rehearsal else ''}job {self.number}"

    @property
    def do(self) -> str:
        """What is to be done, now or then."""
        return self.alarm.do if self.alarm else self.due.then

    @property
    def is_answered(self) -> bool:
        """Whether somebody answered its alarm in the job's own window."""
        return self.alarm is not None and bool(self.read.state.alarms.get(self.alarm.ref))

    @property
    def left_s(self) -> float:
        """Seconds until it may go on, or where that is past until it must have; below nil where that is past too."""
        at = self.due.at
        if self.due.is_over and self.due.latest:
            at = self.due.latest
        return (at - self.now.utc).total_seconds()


@dataclass(frozen=True, slots=True)
class NotRead:
    """A file of the folder that can't be read as a job, and why."""

    number: str
    why: str


class Watched:
    """The jobs of a folder as their files tell them. It holds no lock and no file open."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._read: dict[Path, tuple[tuple[int, int, int], ReadJob]] = {}
        self.not_read: list[NotRead] = []

    def look(self) -> list[ReadJob]:
        """Every job that can be read; what can't be is in `not_read` until it can."""
        found: list[ReadJob] = []
        self.not_read = []
        files = job_files(self.folder)
        for path in files:
            try:
                found.append(self.read(path))
            except RunnerError as fault:
                self.not_read.append(NotRead(path.stem, fault.what))
            except OSError as fault:
                self.not_read.append(NotRead(path.stem, fault.strerror or "it can't be read"))
        self._read = {path: one for path, one in self._read.items() if path in files}
        return found

    def read(self, path: Path) -> ReadJob:
        """A job of the folder, read anew where its file changed. Raises RunnerError, or OSError where the file is gone."""
        # Looked at before it is read: what is written meanwhile makes it look changed the next time.
        told = path.stat()
        mark = (told.st_mtime_ns, told.st_size, told.st_ino)
        known = self._read.get(path)
        if known is None or known[0] != mark:
            self._read[path] = known = (mark, read_job(path))
        return known[1]


def timers(jobs: Sequence[ReadJob], now: Moment) -> list[Timer]:
    """Every timer of the jobs that are not released, soonest first."""
    found = [one for read in jobs if not read.state.released for one in _timers(read, now)]
    return sorted(found, key=lambda one: one.left_s)


def _timers(read: ReadJob, now: Moment) -> list[Timer]:
    now = hurried(now, read.state.hurried_s)
    alarms = in_sight(read.job, read.state, now)
    found = []
    for due in running(read.job, read.state, now):
        mine = next((one for one in alarms if _is_of(one, due)), None)
        alarms = [one for one in alarms if one is not mine]
        found.append(Timer(read, due, now, mine))
    return [*found, *(Timer(read, _due(one, now), now, one) for one in alarms)]


def _is_of(alarm: Alarm, due: Due) -> bool:
    return (alarm.what, alarm.part) == (due.what, due.part) and due.sort in _OF.get(alarm.ref.sort, ())


def _due(alarm: Alarm, now: Moment) -> Due:
    """An alarm that no timer is shown for."""
    is_now = alarm.left_s is None
    at = now.utc + timedelta(seconds=alarm.begins_s if alarm.left_s is None else alarm.left_s)
    earliest, latest = (at, None) if is_now else (None, at)
    return Due(alarm.ref.sort, alarm.what, alarm.part, earliest, latest, alarm.do, at <= now.utc)
