"""Questions asked one after another on the entry line, each answered by a text or by one key, until an act is whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from runner.job import events as e
from runner.job.holds import refuse_job_releaser, refuse_releaser
from runner.job.intents import (
    ChangePerson,
    Dispose,
    Intent,
    MeasureAgain,
    Release,
    ReleaseJob,
    Sign,
    Stop,
    Suspend,
    TakeUp,
)
from runner.job.job import Job
from runner.job.nonconformance import refuse_decider, role_for, ways_out
from runner.job.reworks import stood_on
from runner.job.state import PassKey, State
from runner.procedure.model import HoldPoint, Read, SignOff
from runner.shop.people import is_name


@dataclass(frozen=True, slots=True)
class Question:
    """
    What is asked. With `keys` it is answered by one of them, else by a text and Enter. `then` gives the next question
    or the intent that the answers make, or a sentence why the answer won't do.
    """

    ask: str
    then: Callable[[str], Question | Intent | str]
    keys: Mapping[str, str] = field(default_factory=dict)


def text(ask: str, wanted: str, make: Callable[[str], Question | Intent | str]) -> Question:
    """A question for a name or a reason; a gauge's number is neither."""
    return Question(
        ask,
        lambda answer: make(answer) if is_name(answer) else f"'{answer}' is no {wanted}; write it in words",
    )


def stop(exit_: str, part: str) -> Question:
    return text(f"{exit_} on {part}: why?", "reason", lambda because: Stop(exit_, because))


def suspend() -> Question:
    return text("Stop note: what is loose, hot or half done?", "note", Suspend)


def take_up() -> Question:
    return text("What has changed, so that it can go on?", "reason", TakeUp)


def person() -> Question:
    return text("Who is at the bench now?", "name", ChangePerson)


def sign(step: SignOff) -> Question:
    return text(f"Type your name to sign: {step.text}", "name", Sign)


def again(job: Job, state: State, key: PassKey) -> Question | None:
    """Which reading is taken again, and why. After a failed check only what the checked value stood on is offered."""
    names = _readings(job, state, key)
    if not names:
        return None
    if len(names) == 1:
        return _why_again(names[0])
    # Letters, because a gauge sends digits whenever its button is pressed.
    keys = dict(zip("abcdefghij", names, strict=False))
    return Question("Which reading is taken again?", lambda answer: _why_again(keys[answer]), keys)


def _why_again(name: str) -> Question:
    return text(f"Why is {name} measured again?", "reason", lambda because: MeasureAgain(name, because))


def _readings(job: Job, state: State, key: PassKey) -> list[str]:
    failed = state.at(key).failed
    if isinstance(failed, e.CheckDecided):
        return stood_on(job, state, key, failed.name)
    if isinstance(failed, e.NotWorked) and failed.inputs:
        found = [
            name for one in failed.inputs for name in stood_on(job, state, key, one.name.partition(".")[0])
        ]
        return list(dict.fromkeys(found))
    part = job.part_of(key).path
    here = [
        step.name
        for step in job.stage_of(key).steps
        if isinstance(step, Read) and (part, step.name) in state.known
    ]
    return list(reversed(here))


def release(job: Job, state: State, key: PassKey, step: HoldPoint) -> Question:
    """The name of whoever releases, each line that must be seen, and the word that releases."""

    def who(by: str) -> Question | str:
        refusal = refuse_releaser(job, state, key, step, by)
        return refusal.sentence if refusal else _seen(step, by, ())

    return text(f"Name of the {step.by} who releases '{step.title}'?", "name", who)


def _seen(step: HoldPoint, by: str, saw: Sequence[str]) -> Question:
    if len(saw) == len(step.must_see):
        what = Release(by, tuple(saw))
        return Question(
            f"Type the word release, then Enter, to release '{step.title}'",
            lambda answer: what if answer.lower() == "release" else f"'{answer}' is not the word release",
        )
    line = step.must_see[len(saw)]
    return Question(f"{by}, look: {line}?", lambda _: _seen(step, by, [*saw, line]), {"v": "seen"})


_OWN_KEYS = {"concession": "o", "scrap": "s", "return": "r"}


def decide(job: Job, state: State, key: PassKey) -> Question:
    """What becomes of a nonconforming part, who decides it, and why."""
    # Letters, because a gauge sends digits whenever its button is pressed.
    ways = ways_out(job, state, key)
    own = zip("abcdefghij", (way for way in ways if way not in _OWN_KEYS), strict=False)
    keys = {**dict(own), **{_OWN_KEYS[way]: way for way in ways if way in _OWN_KEYS}}

    def who(way: str) -> Question:
        role = role_for(job, way)
        return text(f"{way} on {key[1]}: name of the {role} who decides?", "name", lambda by: why(way, by))

    def why(way: str, by: str) -> Question | str:
        refusal = refuse_decider(job, state, key, way, by)
        if refusal:
            return refusal.sentence
        return text(f"{by}, why {way}?", "reason", lambda because: Dispose(way, by, because))

    return Question(f"What becomes of {key[1]}?", lambda pressed: who(keys[pressed]), keys)


def release_job(job: Job, state: State) -> Question:
    """Who releases the finished job, what is said of it, and the word that releases."""

    def what(by: str) -> Question | str:
        refusal = refuse_job_releaser(job, state, by)
        if refusal:
            return refusal.sentence
        return text(f"{by}, what is released? One line.", "statement", lambda said: word(by, said))

    def word(by: str, said: str) -> Question:
        whole = ReleaseJob(by, said)
        return Question(
            f"Type the word release, then Enter, to release job {job.number}",
            lambda answer: whole if answer.lower() == "release" else f"'{answer}' is not the word release",
        )

    return text(f"Name of the {job.procedure.released_by} who releases the job?", "name", what)
