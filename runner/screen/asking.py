"""Questions asked one after another on the entry line, each answered by a text or by one key, until an act is whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from runner.job.intents import ChangePerson, HandOver, Intent, MakeLoad, Stop, Suspend, TakeGauge, TakeUp
from runner.job.job import Job
from runner.job.moments import Moment
from runner.shop.gauges import is_overdue
from runner.shop.people import is_name

T = TypeVar("T")
PAGE = 10
"""Choices shown at once: letters a to j, for a gauge sends digits whenever its button is pressed."""
_LETTERS = "abcdefghij"


@dataclass(frozen=True, slots=True)
class Question:
    """
    What is asked. With `keys` it is answered by one of them, else by a text and Enter; `is_secret` where nobody may see
    that text. `then` gives the next question or the act that the answers make, or a sentence why the answer won't do.
    """

    ask: str
    then: Callable[[str], Answer]
    keys: Mapping[str, str] = field(default_factory=dict)
    is_secret: bool = False


@dataclass(frozen=True, slots=True)
class WithPin:
    """An act with the PIN of the person by whose name it is done."""

    intent: Intent
    pin: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class InTurn:
    """Two acts, the second only once the first is kept."""

    first: Intent
    second: Intent


@dataclass(frozen=True, slots=True)
class FromLogger:
    """A logger's file that is read for one place of the soak in hand, now and from now on."""

    path: Path
    member: str
    point: str


Answer = Question | Intent | WithPin | InTurn | FromLogger | str


def text(ask: str, wanted: str, make: Callable[[str], Answer]) -> Question:
    """A question for a name or a reason; a gauge's number is neither."""
    return Question(
        ask,
        lambda answer: make(answer) if is_name(answer) else f"'{answer}' is no {wanted}; write it in words",
    )


def pick(
    ask: str,
    choices: Sequence[tuple[str, T]],
    then: Callable[[T], Answer],
    other: Mapping[str, tuple[str, Callable[[], Answer]]] | None = None,
    start: int = 0,
) -> Question:
    """One of several by its letter, ten at a time; `other` has further keys with their words and what they lead to."""
    shown = dict(zip(_LETTERS, choices[start : start + PAGE], strict=False))
    other = other or {}
    keys = {letter: words for letter, (words, _) in shown.items()}
    keys |= {key: words for key, (words, _) in other.items()}
    if len(choices) > PAGE:
        keys["y"] = f"others, {len(choices)} in all"

    def answered(key: str) -> Answer:
        if key in other:
            return other[key][1]()
        if key == "y":
            following = start + PAGE
            return pick(ask, choices, then, other, following if following < len(choices) else 0)
        return then(shown[key][1])

    return Question(ask, answered, keys)


def confirm(ask: str, words: str, make: Callable[[], Answer]) -> Question:
    """A last look before an act; y does it, and no other key."""
    return Question(ask, lambda _: make(), {"y": words})


def stop(exit_: str, part: str) -> Question:
    return text(f"{exit_} on {part}: why?", "reason", lambda because: Stop(exit_, because))


def suspend() -> Question:
    return text("Stop note: what is loose, hot or half done?", "note", Suspend)


def not_so(prerequisite: str) -> Question:
    """A prerequisite that isn't so suspends the job, and the note says which."""
    return text(
        f"Not so: {prerequisite}. What is it then, and who sees to it?",
        "note",
        lambda said: Suspend(f"not so: {prerequisite}: {said}"),
    )


def hand_over() -> Question:
    return text("Handover note: what isn't ordinary, and what comes next?", "note", HandOver)


def take_up() -> Question:
    return text("What has changed, so that it can go on?", "reason", TakeUp)


def person() -> Question:
    return text("Who is at the bench now?", "name", ChangePerson)


def pin(name: str, intent: Intent) -> Question:
    """The PIN of the person by whose name an act is done."""
    return Question(f"PIN of {name}?", lambda typed: WithPin(intent, typed), is_secret=True)


def which_gauge(job: Job, kind: str, now: Moment) -> Question | None:
    """Which of the shop's instruments is used, where it has several in date."""
    today = now.utc.astimezone(job.zone).date()
    choices = [
        (f"{one.id}, calibrated until {one.calibrated_until.isoformat()}", one.id)
        for one in job.shop.of_kind(kind)
        if not is_overdue(one, today)
    ]
    if not choices:
        return None
    return pick(f"Which {kind} do you use?", choices, lambda mark: TakeGauge(kind, mark))


def make_load(kind: str, of: str) -> Question:
    """What the new load is called, and which parts go into it."""

    def parts(name: str) -> Question:
        ask = f"Which {of}s go into {name}? What is on their tags, blanks between, such as H1 H2."
        return Question(ask, lambda tags: MakeLoad(kind, name, tuple(tags.split())))

    return Question(
        f"What is the new {kind} called, as on its label? Such as {kind.partition('_')[0]} 1.", parts
    )
