"""Hold points, sign-offs, exits and what is decided on a nonconforming part. Nothing here counts as a pass by itself."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from runner.formula.tree import names_in
from runner.job import events as e
from runner.job.events import Event
from runner.job.intents import Dispose, Release, ReleaseJob, Stop
from runner.job.job import Job, Refusal
from runner.job.moments import Moment, clock_words, elapsed, span_words
from runner.job.passes import is_complete, is_live, nonconforming_part
from runner.job.state import PassKey, State
from runner.job.values import known_outward
from runner.procedure.model import Check, HoldPoint, SignOff, Wait, WorkOut
from runner.shop.people import is_name, person_key, same_person


def release(
    job: Job, state: State, key: PassKey, step: HoldPoint, asked: Release, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """A hold point released by somebody with no entry in this pass; in a job declared alone, by the same, and it says so."""
    by = asked.by.strip()
    refusal = refuse_releaser(job, state, key, step, by)
    if refusal:
        return refusal
    seen = tuple(line for line in asked.saw if line.strip())
    if len(seen) < len(step.must_see):
        return Refusal(
            f"{len(step.must_see)} things must be seen, and {len(seen)} were said to be",
            "look at each line and say so",
        )
    own = person_key(by) in state.at(key).people
    return [
        e.HoldReleased(
            **stamp, title=step.title, by=by, role=step.by, saw=seen, solo=own, timed_as=step.about.timed_as
        )
    ]


def refuse_releaser(job: Job, state: State, key: PassKey, step: HoldPoint, by: str) -> Refusal | None:
    """Why this person can't release a hold point, or nothing."""
    if not is_name(by):
        return Refusal(
            f"a hold point is released by a named {step.by}, and '{by}' is no name", "type the name"
        )
    if person_key(by) in state.at(key).people and not job.alone:
        what = f"{by} has entries in this pass, and '{step.title}' is released by somebody who hasn't"
        return Refusal(what, f"fetch another {step.by}")
    return None


def sign(state: State, step: SignOff, name: str, stamp: dict[str, Any]) -> list[Event] | Refusal:
    """A sign-off by the person at the bench, who types the name as a signature."""
    if not name.strip():
        return Refusal("a sign-off is a typed name", "type yours")
    if not same_person(name, state.person):
        return Refusal(
            f"{state.person} is at the bench, and '{name.strip()}' was typed",
            "change the person first, or type your own name",
        )
    return [e.SignedOff(**stamp, text=step.text, name=name.strip(), timed_as=step.about.timed_as)]


def pass_wait(
    job: Job, state: State, key: PassKey, step: Wait, now: Moment, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """A wait that is over. Before that no key passes it."""
    left = time_left(job, state, key, step, now)
    if left is None:
        return Refusal(f"'{step.name}' runs from '{step.starts}', which has not been done")
    lasted, rest, note = left
    if rest.total_seconds() > 0:
        least = step.least.typed
        due = clock_words(now.utc + rest, job.zone, now.utc)
        doubt = f" ({note})" if note else ""
        return Refusal(
            f"'{step.name}' has {span_words(rest)} of {least} left; it is done at {due}{doubt}",
            "other parts may be worked on meanwhile",
        )
    timed = next(
        state.times[(outer.path, step.starts)]
        for outer in job.parts.outward(job.part_of(key))
        if (outer.path, step.starts) in state.times
    )
    return [
        e.WaitPassed(
            **stamp,
            name=step.name,
            started=timed.at,
            lasted_s=round(lasted.total_seconds(), 3),
            least=step.least.typed,
            note=note,
        )
    ]


def time_left(
    job: Job, state: State, key: PassKey, step: Wait, now: Moment
) -> tuple[timedelta, timedelta, str] | None:
    """How long a wait has lasted, how long it still has (nil or less when over), and what is to be said of its clock."""
    for outer in job.parts.outward(job.part_of(key)):
        timed = state.times.get((outer.path, step.starts))
        if timed:
            marks = list(state.marks[timed.marks :])
            if state.last_at is not None and state.last_at.boot_id != now.boot_id:
                marks.append(state.last_at)
            spent = elapsed(timed.at, now, marks)
            return spent.lasted, timedelta(seconds=float(step.least.si)) - spent.lasted, spent.note
    return None


def stop(job: Job, state: State, key: PassKey, asked: Stop, stamp: dict[str, Any]) -> list[Event] | Refusal:
    """An honest exit, with its reason. The pass stands from here on; the entry in progress stays as it was."""
    if asked.exit not in (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING):
        return Refusal(
            f"'{asked.exit}' is no way out", f"{e.CANNOT_MEASURE}, {e.CANNOT_DO}, {e.NONCONFORMING}"
        )
    if not asked.because.strip():
        return Refusal(f"'{asked.exit}' needs its reason", "one line is enough")
    part = job.part_of(key)
    if asked.exit == e.NONCONFORMING and not part.names:
        return Refusal(
            "this stage is for the whole job; a part is nonconforming, not the job",
            "say 'cannot do as written'",
        )
    return [e.PassStopped(**stamp, exit=asked.exit, because=asked.because.strip())]


def dispose(
    job: Job, state: State, key: PassKey, asked: Dispose, stamp: dict[str, Any]
) -> list[Event] | Refusal:
    """What becomes of a nonconforming part. A concession opens one check on one part and nothing else."""
    found, part = state.at(key), job.part_of(key)
    if part.path not in state.nonconforming or found.stop is None:
        return Refusal(f"{part.path} is not nonconforming", "say so first, with the reason")
    lock = nonconforming_part(job, state, job.parts.outward(part)[1])
    if lock and asked.way == "concession":
        return Refusal(
            f"{lock.path} is nonconforming: {state.nonconforming[lock.path]}",
            "decide what becomes of it first",
        )
    step = job.step(key, found.stop.step)
    routes = step.routes if isinstance(step, Check) else ("scrap", "return")
    if asked.way not in routes:
        return Refusal(f"'{asked.way}' is not offered here", f"the procedure offers {', '.join(routes)}")
    if not is_name(asked.by) or not asked.because.strip():
        return Refusal(f"'{asked.way}' is decided by a named person for a reason", "type both")
    role = job.procedure.concessions_by if asked.way == "concession" else job.procedure.released_by
    refusal = refuse_decider(job, state, key, asked.way, asked.by)
    if refusal:
        return refusal
    own = person_key(asked.by) in found.people
    if asked.way == "concession" and (
        not isinstance(found.failed, e.CheckDecided) or found.failed.step != found.stop.step
    ):
        return Refusal("a concession opens a check that was not met, and none stands here")
    stamp = {**stamp, "step": found.stop.step}
    return [
        e.Disposed(
            **stamp, way=asked.way, by=asked.by.strip(), role=role, because=asked.because.strip(), solo=own
        )
    ]


def release_job(job: Job, state: State, asked: ReleaseJob, stamp: dict[str, Any]) -> list[Event] | Refusal:
    """The finished job released by a named person, who in a shop of two has not done the work."""
    if not is_complete(job, state):
        left = [key for key in job.keys() if not state.at(key).done and is_live(job, state, job.part_of(key))]
        stage, part = left[0]
        return Refusal(f"{len(left)} passes are not done, the first is '{stage}' on {part}")
    by = asked.by.strip()
    if not is_name(by) or not asked.statement.strip():
        return Refusal(
            f"a job is released by a named {job.procedure.released_by}, who says what is released",
            "type both",
        )
    refusal = refuse_job_releaser(job, state, by)
    if refusal:
        return refusal
    own = _has_entries(state, by)
    return [
        e.JobReleased(
            **stamp, by=by, role=job.procedure.released_by, statement=asked.statement.strip(), solo=own
        )
    ]


def refuse_decider(job: Job, state: State, key: PassKey, way: str, by: str) -> Refusal | None:
    """Why this person can't decide on a nonconforming part, or nothing."""
    if person_key(by) not in state.at(key).people or job.alone:
        return None
    role = job.procedure.concessions_by if way == "concession" else job.procedure.released_by
    return Refusal(
        f"{by.strip()} has entries in this pass; '{way}' is decided by somebody who hasn't",
        f"fetch the {role}",
    )


def refuse_job_releaser(job: Job, state: State, by: str) -> Refusal | None:
    """Why this person can't release the job, or nothing."""
    if not _has_entries(state, by) or job.alone:
        return None
    return Refusal(
        f"{by} has entries in this job; it is released by somebody who hasn't",
        f"fetch another {job.procedure.released_by}",
    )


def _has_entries(state: State, person: str) -> bool:
    return any(person_key(person) in found.people for found in state.passes.values())


def stood_on(job: Job, state: State, key: PassKey, name: str) -> list[str]:
    """The readings of this pass that a value was worked from, through other values, in the order they were read."""
    part = job.part_of(key)
    known = known_outward(job, state, part, name)
    if known is None:
        return []
    if known.points:
        return [name] if (known.stage, known.part) == key else []
    return list(
        dict.fromkeys(
            one for inner in _inputs(job, known.stage, known.step) for one in stood_on(job, state, key, inner)
        )
    )


def _inputs(job: Job, stage: str, number: int) -> list[str]:
    step = job.procedure.stage(stage).steps[number - 1]
    return (
        [name.name.partition(".")[0] for name in names_in(step.formula.tree)]
        if isinstance(step, WorkOut)
        else []
    )
