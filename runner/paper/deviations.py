"""What a reader of a record must see before anything else, in sorts: worst first, each in the order it happened."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from runner.job import events as e
from runner.job.events import Event
from runner.job.rows import kind_of
from runner.paper.words import line
from runner.procedure.model import APPROVED, Check, Repeat, Rung, Step, WorkOut
from runner.session.at_work import ReadJob
from runner.shop.people import same_person

SOLO, DECIDED, NOT_MET, WENT_BACK, TWICE, AROUND = SORTS = (
    "released or decided by whoever did the work",
    "decided on parts that did not conform, and permits",
    "not met, stopped, skipped, not attended",
    "corrected, moved, read again, out of date",
    "typed twice, because it looked like a slip",
    "clock, restarts, handovers, stops, shop file",
)
"""The sorts of deviations, as the record heads them."""
Numbered = tuple[int, Event]


def deviations(read: ReadJob) -> list[dict[str, str]]:
    """Each with its sort, entry, part, the step it is at, what happened and who entered it; '' for who entered nothing."""
    happened = [(row.seq, event) for row, event in zip(read.rows, read.events, strict=True)]
    found: list[tuple[int, int, dict[str, str]]] = _approved_by_its_writer(read)
    for seq, event in _gathered(happened):
        sort = sort_of(event)
        if sort:
            part = event.part if isinstance(event, e.PassEvent) else ""
            told = {"sort": sort, "entry": str(seq), "part": part, "at": _at(read, event)}
            told |= {"what": line(event), "who": event.who}
            found.append((SORTS.index(sort), seq, told))
        for ref, at, what in _closings(read, happened, seq, event):
            told = {"sort": WENT_BACK, "entry": str(seq), "part": ref.part, "at": at, "what": what, "who": ""}
            found.append((SORTS.index(WENT_BACK), seq, told))
    return [told for _, _, told in sorted(found, key=lambda one: one[:2])]


def _approved_by_its_writer(read: ReadJob) -> list[tuple[int, int, dict[str, str]]]:
    """The first of all deviations, where nobody but its writer has looked at the procedure."""
    procedure = read.job.procedure
    if procedure.status != APPROVED or not same_person(procedure.approved_by, procedure.written_by):
        return []
    what = f"the procedure was approved by whoever wrote it, on {procedure.approved_on}"
    told = {"sort": SOLO, "entry": "1", "part": "", "at": "", "what": what, "who": procedure.approved_by}
    return [(SORTS.index(SOLO), 0, told)]


def sort_of(event: Event) -> str:
    """The sort of deviation that an event is, or nothing."""
    match event:
        case e.HoldReleased(solo=True) | e.JobReleased(solo=True) | e.Disposed(solo=True):
            return SOLO
        case e.PermitGiven(solo=True) | e.ReworkBegun(solo=True):
            return SOLO
        case e.Disposed() | e.PermitGiven() | e.ReworkBegun():
            return DECIDED
        case e.PassStopped() | e.NotWorked() | e.CheckDecided(met=False) | e.SecondReadingDisagrees():
            return NOT_MET
        case e.StepSkipped() | e.WitnessPassed(by=""):
            return NOT_MET
        case e.SoakStopped() | e.TotalOver() | e.ClockStopped(met=False):
            return NOT_MET
        case e.ClockStopped() if event.estimated or event.taken_s > event.useful_s:
            return NOT_MET
        case e.ReadingSuperseded() | e.ReadingCorrected() | e.AnswerCorrected() | e.ZeroRead(good=False):
            return WENT_BACK
        case e.StillStands() | e.WentOutOfDate() | e.PassTakenUp():
            return WENT_BACK
        case e.ReadingTaken(late=late) if late:
            return WENT_BACK
        case e.ReadingTaken(questioned=questioned) if questioned:
            return TWICE
        case e.ShopSeen(before=before) if before:
            return AROUND
        case e.SoakPoint(questioned=questioned) if questioned:
            return TWICE
        case e.SoakRound(round=number, inside=inside, note=note) if note and (number > 1 or not inside):
            return AROUND
        case e.LoggerRead(said=said) if said:
            return AROUND
        case e.DoorOpened() | e.ClockStoodDown() | e.LoadLeft():
            return AROUND
        case e.WaitPassed(note=note) if note:
            return AROUND
        case e.ClockNoticed() | e.HandoverGiven() | e.HandoverAccepted() | e.JobSuspended():
            return AROUND
        case _:
            return ""


def _at(read: ReadJob, event: Event) -> str:
    """The step that a decision or a stop was about, where its own line doesn't say."""
    match event:
        case e.Disposed() | e.PermitGiven() | e.PassStopped() | e.StepSkipped() | e.StillStands():
            return _called(read.job.step((event.stage, event.part), event.step))
        case e.WentOutOfDate():
            return _called(read.job.step((event.stage, event.part), event.step))
        case _:
            return ""


def _gathered(happened: Sequence[Numbered]) -> Iterator[Numbered]:
    """The events, with the points of a reading that was moved told as one."""
    points: list[Numbered] = []
    for seq, event in happened:
        if isinstance(event, e.ReadingTaken) and event.late:
            points.append((seq, event))
            if event.last:
                typed = " ".join(one.typed for _, one in points if isinstance(one, e.ReadingTaken))
                yield points[0][0], replace(event, point="", typed=typed)
                points = []
        else:
            yield seq, event


def out_of_date_by(event: Event) -> tuple[e.Ref, ...]:
    """The steps, elsewhere than at the event itself, that an event left out of date."""
    match event:
        case e.ReadingSuperseded() | e.ReadingCorrected() | e.AnswerCorrected() | e.ZeroRead():
            return event.out_of_date
        case e.BranchDecided() | e.ReworkBegun() | e.RoundBegun():
            return event.out_of_date
        case _:
            return ()


def _closings(
    read: ReadJob, happened: Sequence[Numbered], seq: int, event: Event
) -> Iterator[tuple[e.Ref, str, str]]:
    """What somebody had to see to again because of an event, and how each was closed; values and verdicts see to themselves."""
    for ref in out_of_date_by(event):
        step = read.job.step((ref.stage, ref.part), ref.step)
        if not isinstance(step, WorkOut | Check | Rung | Repeat):
            closed = next(filter(None, (_closed(one, ref, number) for number, one in happened[seq:])), "")
            open_ = "not looked at again" if _is_live(read, ref) else "the part is no longer in the job"
            yield ref, _called(step), f"out of date by entry {seq}; {closed or open_}"


def _closed(event: Event, ref: e.Ref, seq: int) -> str:
    if not (
        isinstance(event, e.StepEvent)
        and (event.stage, event.part, event.step) == (ref.stage, ref.part, ref.step)
    ):
        return ""
    words = {
        "reading-superseded": "measured again",
        "still-stands": "looked at again, still stands",
        "hold-released": "released again",
        "signed-off": "signed again",
        "step-done": "done again",
        "answer-given": "answered again",
        "zero-read": "zeroed again",
        "wait-passed": "waited for again",
        "witness-passed": "witness called again",
        "permit-given": "left by a permit",
        "step-skipped": "skipped",
    }
    word = words.get(kind_of(event), "")
    if isinstance(event, e.ZeroRead) and not event.good:
        return ""
    because = f" ({event.because})" if isinstance(event, e.StillStands) else ""
    by = f" by {event.by}" if isinstance(event, e.HoldReleased) else f" by {event.who}"
    return f"{word}{by}{because}, entry {seq}" if word else ""


def _is_live(read: ReadJob, ref: e.Ref) -> bool:
    part = read.job.part_of((ref.stage, ref.part))
    return not any(outer.path in read.state.gone for outer in read.job.parts.outward(part))


def _called(step: Step) -> str:
    for key in ("title", "name", "text", "instrument"):
        if said := getattr(step, key, ""):
            return str(said)
    return ""
