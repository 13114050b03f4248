"""What is asked where only a named person lets something pass: holds, witnesses, sign-offs, decisions, releases."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from runner.job import events as e
from runner.job.holds import reads_again, refuse_job_releaser, refuse_releaser
from runner.job.intents import (
    AcceptHandover,
    Attend,
    ChangePerson,
    Dispose,
    Permit,
    Release,
    ReleaseJob,
    Sign,
    Skip,
    StillStand,
)
from runner.job.job import Job, Refusal
from runner.job.nonconformance import PERMIT, refuse_decider, role_for, ways_out
from runner.job.people import refuse_own, refuse_role
from runner.job.state import PassKey, State
from runner.procedure.model import HoldPoint, Read, SignOff, Step, WitnessPoint
from runner.quantities.entry import Refused, parse_entry, split_entries
from runner.screen.asking import Answer, InTurn, Question, text
from runner.shop.people import same_person


def _named(ask: str, refuse: Callable[[str], Refusal | None], then: Callable[[str], Answer]) -> Question:
    """A name, held against who may before anything more is asked."""

    def who(by: str) -> Answer:
        refusal = refuse(by)
        if refusal:
            return f"{refusal.sentence}; {refusal.fix}" if refusal.fix else refusal.sentence
        return then(by)

    return text(ask, "name", who)


def sign(step: SignOff) -> Question:
    return text(f"Type your name to sign: {step.text}", "name", Sign)


def still_stands(why: str) -> Question:
    return text(f"Out of date, because {why}. You looked again: why does it stand?", "reason", StillStand)


def skip(job: Job, step: Step) -> Question:
    """Who leaves the step out, and why."""
    role = step.about.may_skip
    return _named(
        f"Name of the {role} who says that this step is skipped?",
        lambda by: refuse_role(job, by, role, "a step is skipped"),
        lambda by: text(f"{by}, why is it skipped?", "reason", lambda because: Skip(by, because)),
    )


def attend(job: Job, state: State, key: PassKey, step: WitnessPoint) -> Question:
    """The name of the witness who came."""
    return _named(
        f"Name of the {step.by} who is here for '{step.title}'?",
        lambda by: (
            refuse_role(job, by, step.by, "a witness point is attended")
            or refuse_own(job, state, key, by, f"'{step.title}' is witnessed", step.by)
        ),
        Attend,
    )


def release(job: Job, state: State, key: PassKey, step: HoldPoint) -> Question:
    """Whoever releases, each line that must be seen, the second readings where they are wanted, and the word that releases."""
    reading = reads_again(job, key, step) if step.measures_again else None

    def seen(asked: Release) -> Question:
        if len(asked.saw) < len(step.must_see):
            line = step.must_see[len(asked.saw)]
            return Question(
                f"{asked.by}, look: {line}?",
                lambda _: seen(replace(asked, saw=(*asked.saw, line))),
                {"v": "seen"},
            )
        if reading and len(asked.second.split()) < len(reading.points):
            return _second(job, reading, asked, seen)
        return _word(f"'{step.title}'", asked)

    return _named(
        f"Name of the {step.by} who releases '{step.title}'?",
        lambda by: refuse_releaser(job, state, key, step, by),
        lambda by: seen(Release(by, ())),
    )


def _second(job: Job, reading: Read, asked: Release, then: Callable[[Release], Question]) -> Question:
    """The next of the second readings, typed or sent one by one or several with blanks between; nobody sees the first."""
    taken = asked.second.split()
    label = reading.points[len(taken)]
    count = f", {label} ({len(taken) + 1} of {len(reading.points)})" if label else ""
    so_far = f"; so far {' '.join(taken)}" if taken else ""

    def typed(answer: str) -> Answer:
        words = split_entries(answer)
        if len(taken) + len(words) > len(reading.points):
            return f"{len(words)} readings were typed, and {len(reading.points) - len(taken)} are wanted"
        for word in words:
            quantity = parse_entry(word, reading.unit, job.mark)
            if isinstance(quantity, Refused):
                return quantity.sentence
            if " " in quantity.typed:
                return f"'{word}' is one reading with a blank in it; write it without"
        return then(replace(asked, second=" ".join([*taken, *words])))

    return Question(
        f"{asked.by}, measure it yourself: {reading.ask}{count}, in {reading.unit.symbol}{so_far}",
        typed,
    )


def _word(what: str, whole: Release | ReleaseJob) -> Question:
    return Question(
        f"Type the word release, then Enter, to release {what}",
        lambda answer: whole if answer.lower() == "release" else f"'{answer}' is not the word release",
    )


_OWN_KEYS = {"concession": "o", "scrap": "s", "return": "r"}


def decide(job: Job, state: State, key: PassKey) -> Question:
    """
    What becomes of a part, by its letter: at a check that isn't met the reworks open now, which whoever is at the bench
    begins; of a nonconforming part everything that somebody else may decide.
    """
    ways = ways_out(job, state, key)
    own = zip("abcdefghij", (way for way in ways if way not in _OWN_KEYS), strict=False)
    keys = {**dict(own), **{_OWN_KEYS[way]: way for way in ways if way in _OWN_KEYS}}
    is_stopped = state.at(key).stop is not None

    def why(way: str, by: str) -> Question:
        return text(f"{by}, why {way}?", "reason", lambda because: Dispose(way, by, because))

    def who(way: str) -> Question:
        if not is_stopped:
            return why(way, state.person)
        return _named(
            f"{way} on {key[1]}: name of the {role_for(job, way)} who decides?",
            lambda by: refuse_decider(job, state, key, way, by),
            lambda by: why(way, by),
        )

    return Question(f"What becomes of {key[1]}?", lambda pressed: who(keys[pressed]), keys)


def permit(job: Job, state: State, key: PassKey) -> Question:
    """Who permits the step to be left or done otherwise, and what is done instead."""
    return _named(
        f"Permit on {key[1]}: name of the {role_for(job, PERMIT)} who gives it?",
        lambda by: refuse_decider(job, state, key, PERMIT, by),
        lambda by: text(
            f"{by}, what is done instead, and why is that good?", "reason", lambda said: Permit(by, said)
        ),
    )


def take_on(state: State, is_nobody_there: bool) -> Question:
    """Who takes the job on; they have read the page."""

    def who(name: str) -> Answer:
        if same_person(name, state.person) and not is_nobody_there:
            return AcceptHandover()
        return InTurn(ChangePerson(name), AcceptHandover())

    return text("You have read this page. Who takes the job on?", "name", who)


def release_job(job: Job, state: State) -> Question:
    """Who releases the finished job, what is said of it, and the word that releases."""
    return _named(
        f"Name of the {job.procedure.released_by} who releases the job?",
        lambda by: refuse_job_releaser(job, state, by),
        lambda by: text(
            f"{by}, what is released? One line.",
            "statement",
            lambda said: _word(f"job {job.number}", ReleaseJob(by, said)),
        ),
    )


def failed_reading(state: State, key: PassKey) -> str:
    """The reading that a hold point found otherwise; nothing elsewhere."""
    failed = state.at(key).failed
    return failed.name if isinstance(failed, e.SecondReadingDisagrees) else ""
