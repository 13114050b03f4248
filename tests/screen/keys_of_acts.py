"""The keys by which what an act left in a job's file is done at the screen, as a person would press them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from runner.job import events as e
from runner.job.events import Event
from runner.job.rows import kind_of
from runner.procedure.model import Choose, Procedure

NOBODYS = (
    e.JobOpened | e.SittingBegun | e.ClockNoticed | e.ShopSeen | e.AlarmRaised | e.HeldDown | e.ClockHurried
)
"""What no key does."""
LETTERS = "adefgijort"
"""The letters of a choice's options in their order: those that do nothing else at such a step."""
Options = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Act:
    """
    What one act of a person left, when, and the keys that do it: each a letter, the name of a special key, or a text with
    its Enter.
    """

    kinds: tuple[str, ...]
    at: datetime
    keys: tuple[str, ...]


def options_of(procedure: Procedure) -> Options:
    """The options of each choice of a procedure."""
    steps = (step for stage in procedure.every_stage for step in stage.steps)
    return {step.name: step.options for step in steps if isinstance(step, Choose)}


def acts_of(events: Iterable[Event], options: Options) -> Iterator[Act]:
    """The acts of a job with their keys. All events of one act carry one moment."""
    in_hand = False
    by_people = (event for event in events if not isinstance(event, NOBODYS))
    for at, together in groupby(by_people, key=lambda event: event.at.utc):
        happened = list(together)
        kinds = tuple(kind_of(event) for event in happened)
        if kinds not in (("pass-done",), ("pass-done", "job-completed")):
            yield Act(kinds, at, tuple(_keys(happened, in_hand, options)))
        in_hand = (in_hand or "pass-started" in kinds) and "pass-done" not in kinds


def _keys(events: Sequence[Event], in_hand: bool, options: Options) -> list[str]:
    match events[0]:
        case e.PassStarted(part=part):
            return [*(["p"] if in_hand else []), f"{part}\r"]
        case e.PrerequisiteConfirmed() | e.TickMade() | e.StepDone() | e.WaitPassed() | e.TimeCame():
            return [" "]
        case e.HazardsAcknowledged():
            return ["a"]
        case e.ReadingTaken() | e.SoakPoint():
            return [" ".join(one.typed for one in events if isinstance(one, type(events[0]))) + "\r"]
        case e.ZeroRead(typed=typed):
            return [f"{typed}\r"]
        case e.SignedOff(name=name):
            return ["g", f"{name}\r"]
        case e.AnswerGiven(name=name, answer=answer):
            return [LETTERS[options[name].index(answer)] if name in options else f"{answer}\r"]
        case e.StepSkipped(by=by, because=because):
            return ["f12", f"{by}\r", f"{because}\r"]
        case e.WitnessCalled():
            return ["e"]
        case e.WitnessPassed(by=by):
            return ["g", f"{by}\r"]
        case e.HoldReleased(by=by, saw=saw, second=second):
            return [
                "r",
                f"{by}\r",
                *"v" * len(saw),
                *([f"{' '.join(second)}\r"] if second else []),
                "release\r",
            ]
        case e.JobReleased(by=by, statement=statement):
            return ["r", f"{by}\r", f"{statement}\r", "release\r"]
        case e.LoadMade(kind=kind, name=name, parts=parts):
            return [*(["p"] if in_hand else []), f"{kind}\r", f"{name}\r", f"{' '.join(parts)}\r"]
        case e.ClockArmed():
            return ["y"]
        case e.ClockStarted() | e.ClockStopped():
            return [" "]
        case e.PersonChanged(who=who):
            return ["f2", f"{who}\r"]
        case other:
            raise AssertionError(f"the demo has a {other}, and nobody knows its keys")
