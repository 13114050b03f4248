"""A whole job worked from an entries file on a simulated clock, by the same road as at the bench."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from runner.job.events import Event
from runner.job.intents import ConfirmPrerequisite
from runner.job.opening import Opening
from runner.procedure.model import Procedure
from runner.session.acting import ACTING
from runner.session.at_work import AtWork
from runner.session.clock import SimulatedClock
from runner.session.entries import Entries
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.session.hand import Halt, Hand, Stopped
from runner.session.shop_file import read_shop_at, shop_path
from runner.session.told import Act


def run(
    procedure: Procedure, entries: Entries, path: Path, tell: Callable[[Event], None] | None = None
) -> tuple[AtWork, Stopped | None]:
    """
    The job as the entries leave it, still open, and where it stopped if it did not come to its end: its release, or that a
    rehearsal, which nobody releases, is complete. `path` is
    where its file is kept; `tell` hears of every event once it is on disk.
    """
    if entries.procedure_id != procedure.id or entries.revision != procedure.revision:
        mine = f"{procedure.id} revision {procedure.revision}"
        raise RunnerError(
            f"the entries are for {entries.procedure_id} revision {entries.revision}, and this is {mine}",
            "take the entries that belong to it",
            PROBLEMS,
        )
    _keep_shop(entries, path.parent)
    person = next((act.said for act in entries.acts if act.what == "person"), "")
    clock = SimulatedClock(entries.opened)
    asked = Opening(
        entries.job,
        person,
        entries.named,
        entries.alone,
        invented=entries.invented,
        rehearsal=entries.rehearsal,
        zone=entries.zone,
    )
    hand = Hand(AtWork.open(path, procedure, asked, clock), clock, entries, tell)
    try:
        _work(hand)
    except Halt as halt:
        return hand.at_work, halt.stopped
    except BaseException:
        hand.at_work.close()
        raise
    state = hand.at_work.state
    if state.released or (state.is_rehearsal and state.completed):
        return hand.at_work, None
    end = entries.acts[-1].place if entries.acts else entries.place
    short = "not at its end" if state.is_rehearsal else "not released"
    ended = f"the entries end here, and job {entries.job} is {short}: {hand.left_open()}"
    return hand.at_work, Stopped(end.line, ended)


def _keep_shop(entries: Entries, folder: Path) -> None:
    """The shop file of the entries, put where the job looks for one."""
    if not entries.shop:
        return
    path = Path(entries.place.file).parent / entries.shop
    read = read_shop_at(path)
    if read is None:
        what = f"{entries.place.file}: there is no shop file at {path}"
        raise RunnerError(what, "put it beside the entries", PROBLEMS)
    if read.shop is None:
        raise RunnerError(read.report, "mend the shop file", PROBLEMS)
    try:
        shop_path(folder).write_text(read.shop.text, encoding="utf-8")
    except OSError as why:
        raise RunnerError(
            f"{folder} can't be written: {why.strerror}", "look at the disk", NO_JOURNAL
        ) from why


def _work(hand: Hand) -> None:
    """Every item in order. The prerequisites are confirmed by the first person, once it is said who that is."""
    acts = iter(hand.entries.acts)
    confirmed = False
    for act in acts:
        hand.turn_to(act)
        if act.what != "person" and not confirmed:
            _confirm(hand)
            confirmed = True
        if (act.what, act.said) == ("expect", "refused"):
            _refused(hand, act, next(acts))
        else:
            ACTING[act.what](hand, act)
    if not confirmed:
        _confirm(hand)


def _confirm(hand: Hand) -> None:
    for number in range(1, len(hand.at_work.job.procedure.prerequisites) + 1):
        hand.do(ConfirmPrerequisite(number))


def _refused(hand: Hand, expected: Act, act: Act) -> None:
    """An item that the job must refuse, in a sentence with these words in it where some are said."""
    hand.turn_to(act)
    words = expected.keys.get("says", "")
    try:
        ACTING[act.what](hand, act)
    except Halt as halt:
        if halt.refused and words in halt.stopped.sentence:
            return
        if halt.refused:
            what = (
                f"it was expected to be refused with '{words}', and the refusal says: {halt.stopped.sentence}"
            )
            raise hand.halt(what) from halt
        raise
    hand.turn_to(act)
    raise hand.halt(f"'{act.what}: {act.said}' was expected to be refused, and was done")
