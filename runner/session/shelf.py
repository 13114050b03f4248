"""The folder of all jobs: where a job's file is, and every job in a line, read without touching any."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, tzinfo
from pathlib import Path

from runner.job.due import Due, running
from runner.job.moments import Moment, clock_words, hurried
from runner.job.passes import Standing, standing
from runner.job.state import State
from runner.session.at_work import ReadJob, read_job
from runner.session.faults import NO_JOURNAL, RunnerError
from runner.text.nearest import nearest


@dataclass(frozen=True, slots=True)
class Line:
    """
    A job on the shelf. `due` is what time runs for soonest, `due_in_s` how many seconds it is until then, and `due_words`
    says it on the job's own clock. `problem` says why it can't be read, if it can't.
    """

    number: str
    path: Path
    title: str = ""
    standing: str = ""
    progress: str = ""
    due: Due | None = None
    due_in_s: float = 0.0
    due_words: str = ""
    zone: tzinfo = UTC
    problem: str = ""
    invented: bool = False
    rehearsal: bool = False


def jobs_folder(given: str | None = None) -> Path:
    """Where jobs live: as asked, as BENCHHAND_JOBS says, else ./jobs."""
    return Path(given or os.environ.get("BENCHHAND_JOBS") or "jobs")


def job_path(folder: Path, number: str) -> Path:
    return folder / f"{number}.db"


def find_job(folder: Path, word: str) -> Path:
    """The file of a job given by its number or its path. Raises RunnerError where there is none."""
    path = Path(word)
    if path.suffix == ".db" and path.exists():
        return path
    path = job_path(folder, word)
    if path.exists():
        return path
    numbers = [one.stem for one in job_files(folder)]
    near = nearest(word, numbers)
    fix = f"did you mean {near}? " if near else ""
    raise RunnerError(
        f"there is no job {word} in {folder}", f"{fix}`benchhand jobs` shows all there are", NO_JOURNAL
    )


def job_files(folder: Path) -> list[Path]:
    return sorted(folder.glob("*.db")) if folder.is_dir() else []


def lines(folder: Path, now: Moment, read: Callable[[Path], ReadJob] = read_job) -> list[Line]:
    """Every job in the folder, those with something due soonest first, released ones last. `read` gives a job's file."""
    found = [_line(path, now, read) for path in job_files(folder)]

    def rank(line: Line) -> tuple[int, float, str]:
        order = {"released": 2}.get(line.standing, 1)
        return (0, line.due_in_s, line.number) if line.due else (order, 0.0, line.number)

    return sorted(found, key=rank)


def _line(path: Path, now: Moment, read_one: Callable[[Path], ReadJob]) -> Line:
    try:
        read = read_one(path)
    except RunnerError as why:
        return Line(path.stem, path, problem=why.what)
    except OSError as why:
        return Line(path.stem, path, problem=why.strerror or "it can't be read")
    done = sum(read.state.at(key).done for key in read.job.keys())
    held = sum(standing(read.job, read.state, key) is Standing.HELD for key in read.job.keys())
    opened, now = read.state.opened, hurried(now, read.state.hurried_s)
    due = next(iter(waits(read, now)), None)
    return Line(
        number=path.stem,
        path=path,
        title=read.job.procedure.title,
        standing=job_standing(read.state, read),
        progress=f"{done} of {len(read.job.keys())} passes" + (f", {held} held" if held else ""),
        due=due,
        due_in_s=(due.at - now.utc).total_seconds() if due else 0.0,
        due_words=due_words(due, read.job.zone, now) if due else "",
        zone=read.job.zone,
        invented=bool(opened and opened.invented),
        rehearsal=read.state.is_rehearsal,
    )


def job_standing(state: State, read: ReadJob) -> str:
    """The state of a job in the words of the trade."""
    if state.released:
        return "released"
    if state.suspended:
        return "suspended"
    if state.completed:
        return "completed"
    standings = [standing(read.job, state, key) for key in read.job.keys()]
    if (
        Standing.HELD in standings
        and Standing.IN_PROGRESS not in standings
        and Standing.NOT_STARTED not in standings
    ):
        return "held"
    return "running"


def waits(read: ReadJob, now: Moment) -> list[Due]:
    """Everything of a job that time runs for, soonest first, at a moment on the job's own clock."""
    return running(read.job, read.state, now)


def due_words(due: Due, zone: tzinfo, now: Moment) -> str:
    """
    What time runs for in a line, its time first: '14:32 freezer_stay on H1/EX', 'by 14:32 transfer on H1/EX'. Overdue it is
    only from when it must have been done by; what may be done since then is due.
    """
    when = clock_words(due.at, zone, now.utc)
    if due.latest and due.latest < now.utc:
        when = f"overdue since {clock_words(due.latest, zone, now.utc)}"
    elif due.earliest is None:
        when = f"by {when}"
    elif due.is_over:
        when = f"{'due' if due.latest else 'over'} since {when}"
    return f"{when} {due.what} on {due.part}"
