"""One job at work: an intent goes to the job, its events to the disk, and only then into the state that is shown."""

from __future__ import annotations

import hashlib
import platform
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import runner
from runner.engineering.materials import NotATable
from runner.engineering.materials import read as read_materials
from runner.job.decide import decide, has_pass
from runner.job.events import Event, JobOpened, LoadLeft, LoadMade, PassEvent, StepEvent
from runner.job.fold import fold
from runner.job.intents import BeginSitting, Intent, SeeShop, whose
from runner.job.job import Job, Refusal
from runner.job.moments import Moment, hurried, utc_text
from runner.job.opening import Opening, job_of, open_job
from runner.job.rows import UnknownEvent, from_row, kind_of, to_body
from runner.job.state import State
from runner.journal import Journal, JournalError, KeptRow, OutOfStep, Row, read_rows
from runner.journal.rows import text_of
from runner.procedure.model import GRAMMAR, Procedure
from runner.procedure.reader import read_procedure
from runner.procedure.taken_in import nothing_beside
from runner.session.clock import Clock, zone_of
from runner.session.faults import NO_JOURNAL, STOPPED, RunnerError
from runner.session.identity import PinPad, Standing
from runner.session.shop_file import shop_beside
from runner.shop.model import NO_SHOP

PROGRAM = f"benchhand {runner.__version__}"


@dataclass(frozen=True, slots=True)
class Kept:
    """The events of one act, on disk."""

    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class NotKept:
    """The disk refused an act: nothing of it counts. It can be tried again, unchanged; until then nothing else is taken."""

    sentence: str
    fix: str


Outcome = Kept | Refusal | NotKept


class AtWork:
    """A job open for work in this program, and in no other. Close it, or use it in a `with`."""

    def __init__(self, journal: Journal, job: Job, state: State, clock: Clock, pad: PinPad) -> None:
        self.job, self.state, self.clock, self.pad = job, state, clock, pad
        self._journal = journal
        self._waiting: list[Row] = []
        self._waiting_events: list[Event] = []
        self.events: list[Event] = []

    @classmethod
    def open(
        cls, path: Path, procedure: Procedure, asked: Opening, clock: Clock, pad: PinPad | None = None
    ) -> AtWork:
        """
        A new job in a new file, by the shop file beside it. Raises RunnerError where it can't be opened so, or can't be
        kept. `pad` counts wrong PINs for as long as the program runs.
        """
        now = clock.now()
        shop = shop_beside(path.parent)
        if shop != NO_SHOP:
            asked = replace(asked, zone=shop.zone or asked.zone, decimal_mark=shop.decimal_mark)
        opened = open_job(procedure, asked, now, PROGRAM, shop)
        if isinstance(opened, Refusal):
            raise RunnerError(opened.sentence, opened.fix or "change it and try again", STOPPED)
        try:
            journal = Journal.create(path, now=utc_text(now.utc))
        except JournalError as why:
            raise _no_journal(why) from why
        job = replace(job_of(opened, procedure, zone_of(asked.zone), PROGRAM), shop=shop)
        return cls(journal, job, State(), clock, pad or PinPad())._begin([opened])

    @classmethod
    def resume(cls, path: Path, clock: Clock, pad: PinPad | None = None) -> AtWork:
        """A job taken up again, at the step where it was left. Raises RunnerError where it can't be read or written."""
        shop = shop_beside(path.parent)
        try:
            journal = Journal.open(path, now=utc_text(clock.now().utc))
        except JournalError as why:
            raise _no_journal(why) from why
        try:
            rows = journal.read()
            job, state = _job_and_state(path, rows)
            at_work = cls(journal, replace(job, shop=shop), state, clock, pad or PinPad())
            at_work.events = _events(path, rows)
            return at_work._begin([])
        except BaseException:
            journal.close()
            raise

    def _begin(self, first: list[Event]) -> AtWork:
        state, begun = fold(first, self.state), list(first)
        for intent in () if state.released else (BeginSitting(platform.node() or "unnamed"), SeeShop()):
            answer = decide(self.job, state, intent, hurried(self.clock.now(), state.hurried_s))
            assert not isinstance(answer, Refusal)
            state, begun = fold(answer, state), [*begun, *answer]
        outcome = self._keep(begun)
        if not isinstance(outcome, Kept):
            self.close()
            raise RunnerError(outcome.sentence, outcome.fix, NO_JOURNAL)
        return self

    def asks_pin(self, intent: Intent) -> str:
        """Whose PIN is wanted for an act, by name; nobody's where the person has none, or the act is nobody's in particular."""
        name = whose(intent, self.state)
        person = self.job.shop.person(name) if name else None
        return person.name if person and self.pad.asks(self.job.shop, person.name) else ""

    def act(self, intent: Intent, pin: str = "") -> Outcome:
        """What came of an intent: kept on disk and in `state`, refused with a sentence, or not kept. No PIN is kept."""
        if self._waiting:
            return NotKept("the entry before this one is not kept yet", "try that one again first")
        if name := self.asks_pin(intent):
            told = self.pad.enter(self.job.shop, name, pin, self.clock.now())
            if told.standing is not Standing.IDENTIFIED:
                return Refusal(told.sentence, "" if told.wait else "type it again")
            intent = replace(intent, identified="PIN")  # type: ignore[arg-type]
        answer = decide(self.job, self.state, intent, self.now)
        return answer if isinstance(answer, Refusal) else self._keep(answer)

    def try_again(self) -> Outcome:
        """The act that the disk refused, handed to it once more, unchanged."""
        if not self._waiting:
            return Refusal("everything is kept")
        return self._append()

    @property
    def is_waiting(self) -> bool:
        """Whether an act stands that the disk has not taken."""
        return bool(self._waiting)

    @property
    def now(self) -> Moment:
        """Now, as the job has it: a rehearsal may have been hurried."""
        return hurried(self.clock.now(), self.state.hurried_s)

    @property
    def path(self) -> Path:
        return self._journal.path

    @property
    def chain(self) -> tuple[int, str]:
        """How many entries there are, and the hash of the last."""
        return self._journal.count, self._journal.head

    def close(self) -> None:
        self._journal.close()

    def __enter__(self) -> AtWork:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _keep(self, events: Sequence[Event]) -> Outcome:
        rows = [Row(utc_text(event.at.utc), kind_of(event), to_body(event)) for event in events]
        try:
            for row in rows:
                text_of(row)
        except JournalError as why:
            # No disk would ever take it, so it does not wait to be tried again.
            return Refusal(why.what, why.fix)
        self._waiting, self._waiting_events = rows, list(events)
        return self._append() if events else Kept(())

    def _append(self) -> Kept | NotKept:
        try:
            self._journal.append(self.state.positions, self._waiting)
        except OutOfStep as why:
            raise _no_journal(why) from why
        except JournalError as why:
            return NotKept(why.what, why.fix)
        events, self._waiting, self._waiting_events = tuple(self._waiting_events), [], []
        self.state = fold(events, self.state)
        self.job = self.job.as_loaded(self.state.loads)
        self.events += events
        return Kept(events)


@dataclass(frozen=True, slots=True)
class ReadJob:
    """A job as its file tells it, read without touching it."""

    path: Path
    job: Job
    state: State
    events: tuple[Event, ...]
    rows: tuple[KeptRow, ...]


def read_job(path: Path) -> ReadJob:
    """A job read from its file beside whoever writes it. Raises RunnerError where it can't be read or is no job."""
    try:
        rows = read_rows(path)
    except JournalError as why:
        raise _no_journal(why) from why
    job, state = _job_and_state(path, rows)
    return ReadJob(path, job, state, tuple(_events(path, rows)), tuple(rows))


def _job_and_state(path: Path, rows: Sequence[KeptRow]) -> tuple[Job, State]:
    events = _events(path, rows)
    if not events or not isinstance(events[0], JobOpened):
        raise RunnerError(
            f"job file {path.name} does not begin with the opening of a job", "open another", NO_JOURNAL
        )
    opened = events[0]
    if opened.grammar != GRAMMAR:
        raise RunnerError(
            f"job {opened.job} is written in grammar {opened.grammar}, and this program reads {GRAMMAR}",
            f"read it with {opened.program}",
            NO_JOURNAL,
        )
    texts = [(opened.procedure_text, opened.procedure_sha256)]
    texts += [(one.text, one.sha256) for one in opened.taken_in]
    if any(hashlib.sha256(text.encode()).hexdigest() != sha256 for text, sha256 in texts):
        raise RunnerError(
            f"the procedure inside job file {path.name} is not the one that the job was opened with",
            "fetch the last good copy of the file",
            NO_JOURNAL,
        )
    try:
        materials = read_materials(opened.materials)
    except NotATable as why:
        raise RunnerError(
            f"the rows of materials inside job file {path.name} can't be read: {why.problems[0]}",
            "fetch the last good copy of the file",
            NO_JOURNAL,
        ) from why
    inside = {one.path: one.text.encode() for one in opened.taken_in}
    procedure, _ = read_procedure(
        opened.procedure_text,
        f"the procedure inside {path.name}",
        materials,
        lambda taken: inside.get(taken) or nothing_beside(taken),
    )
    if procedure is None:
        raise RunnerError(
            f"the procedure inside job file {path.name} can't be read by this program",
            f"read it with {opened.program}",
            NO_JOURNAL,
        )
    job = job_of(opened, procedure, zone_of(opened.zone), PROGRAM)
    _fit(path, job, events)
    state = fold(events)
    return job.as_loaded(state.loads), state


def _fit(path: Path, job: Job, events: Sequence[Event]) -> None:
    """Raises RunnerError where an entry is of a stage, part or step that the job doesn't have, or opens it again."""
    steps = {stage.title: len(stage.steps) for stage in job.procedure.every_stage}
    for number, event in enumerate(events, 1):
        fits = not isinstance(event, JobOpened) or number == 1
        if isinstance(event, LoadMade | LoadLeft):
            fits = _fits_load(job, event)
            job = job.as_loaded(fold([event], State(loads=job.parts.loads)).loads) if fits else job
        if isinstance(event, PassEvent):
            fits = has_pass(job, (event.stage, event.part))
        if fits and isinstance(event, StepEvent):
            fits = 1 <= event.step <= steps[event.stage]
        if not fits:
            raise RunnerError(
                f"job file {path.name}, entry {number}: it tells of something that this job doesn't have",
                "fetch the last good copy of the file",
                NO_JOURNAL,
            )


def _fits_load(job: Job, event: LoadMade | LoadLeft) -> bool:
    """Whether a load is of a kind and of parts that the job has, or is there to be left."""
    if isinstance(event, LoadLeft):
        return event.name in job.parts.loads
    return job.parts.is_load(event.kind) and all(
        job.parts.find(job.parts.put_in(event.kind), path) for path in event.parts
    )


def _events(path: Path, rows: Sequence[KeptRow]) -> list[Event]:
    events = []
    for row in rows:
        try:
            events.append(from_row(row.kind, row.body))
        except UnknownEvent as why:
            raise RunnerError(
                f"job file {path.name}, entry {row.seq}: {why}",
                "read it with the program that wrote it",
                NO_JOURNAL,
            ) from why
    return events


def _no_journal(why: JournalError) -> RunnerError:
    return RunnerError(why.what, why.fix, NO_JOURNAL)
