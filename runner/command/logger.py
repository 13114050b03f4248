"""`benchhand logger NO FILE`: the rows of a temperature logger's file, read into the soak of a job."""

from __future__ import annotations

from argparse import Namespace, _SubParsersAction
from pathlib import Path
from typing import Any

from runner.command.out import complain, say
from runner.command.questions import typed_pin
from runner.job.decide import has_lapsed
from runner.job.events import Event, LoggerRead, SoakDone, SoakRound
from runner.job.intents import ChangePerson
from runner.job.job import Refusal
from runner.job.loggers import words
from runner.job.soaks import places
from runner.job.state import PassKey
from runner.paper.words import line
from runner.session.at_work import AtWork, NotKept, Outcome
from runner.session.clock import MachineClock
from runner.session.faults import FINE, NO_JOURNAL, PROBLEMS, STOPPED, WRONG_COMMAND, RunnerError
from runner.session.shelf import find_job, jobs_folder
from runner.session.soak_log import look, soaks_now
from runner.shop.people import same_person


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "logger",
        help="read a temperature logger's file into a soak",
        description="Each row, a date, a time and a temperature in the unit of the soak, counts as a reading at its own moment; a moment without a zone is the shop's. The same file may be read again when it has grown: nothing counts twice.",
    )
    parser.add_argument("job", metavar="NO", help="the job's number, or its file")
    parser.add_argument("file", metavar="FILE", help="what the logger wrote, of one channel")
    parser.add_argument("--stage", metavar="TITLE", help="the stage of the soak, where several soaks run")
    parser.add_argument("--part", metavar="PART", help="the part that the channel was on")
    parser.add_argument("--point", metavar="POINT", help="the point on it, where the soak has several")
    parser.add_argument("--who", metavar="NAME", help="who is at the bench now")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    with AtWork.resume(find_job(jobs_folder(asked.jobs), asked.job), MachineClock()) as at_work:
        _say_who(at_work, asked.who or "")
        key = _soak(at_work, asked.stage or "", asked.part or "")
        member, point = asked.part or "", asked.point or ""
        events = _kept(look(at_work, key, Path(asked.file), member, point))
        for event in events:
            if text := line(event):
                say(text)
        return _ended(at_work, key, events)


def _say_who(at_work: AtWork, name: str) -> None:
    lapsed = has_lapsed(at_work.job, at_work.state, at_work.now)
    if lapsed and not name:
        raise RunnerError("nobody is known to be at the bench", "add --who NAME", WRONG_COMMAND)
    if name and (lapsed or not same_person(name, at_work.state.person)):
        change = ChangePerson(name)
        asks = at_work.asks_pin(change)
        _kept(at_work.act(change, typed_pin(asks) if asks else ""))


def _soak(at_work: AtWork, stage: str, part: str) -> PassKey:
    """The pass whose soak is meant; the only one there is need not be named."""
    job, state = at_work.job, at_work.state
    running = soaks_now(job, state)
    if not running:
        raise RunnerError(
            f"no soak of job {job.number} waits for readings", "begin its pass at the bench first", STOPPED
        )
    meant = [
        key
        for key, step in running.items()
        if stage.casefold() in ("", key[0].casefold())
        and part.casefold() in ("", *(one.casefold() for one, _ in places(job, state, key, step)))
    ]
    if len(meant) == 1:
        return meant[0]
    there = "; ".join(
        f"'{key[0]}' with {', '.join(words(one) for one in places(job, state, key, step))}"
        for key, step in running.items()
    )
    what = "which soak is meant?" if meant else "no soak that runs is that one"
    raise RunnerError(what, f"say --stage and --part; there is {there}", WRONG_COMMAND)


def _kept(outcome: Outcome) -> tuple[Event, ...]:
    if isinstance(outcome, Refusal):
        raise RunnerError(outcome.sentence, outcome.fix, STOPPED)
    if isinstance(outcome, NotKept):
        raise RunnerError(outcome.sentence, outcome.fix, NO_JOURNAL)
    return outcome.events


def _ended(at_work: AtWork, key: PassKey, events: tuple[Event, ...]) -> int:
    """How the soak stands after it, and the exit code that says so."""
    read = [one for one in events if isinstance(one, LoggerRead)]
    failed = at_work.state.at(key).failed
    if failed:
        complain(f"the soak stopped: {failed.sentence}", "see to it at the bench")
        return STOPPED
    if any(isinstance(one, SoakDone) for one in events):
        return FINE
    if not any(one.rows for one in read):
        complain("no row of this file counts", "; ".join(text for one in read for text in one.said))
        return PROBLEMS if read else FINE
    if not any(isinstance(one, SoakRound) for one in events):
        say("kept; it counts once every place of the soak has been read")
    return FINE
