"""A new job: its number, its parts, who opens it, and everything it stands on, as its first event."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from runner.job.events import JobOpened, TakenIn
from runner.job.job import Job, Refusal
from runner.job.moments import Moment
from runner.job.parts import Parts
from runner.procedure.model import APPROVED, GRAMMAR, Procedure
from runner.shop.model import NO_SHOP, Shop
from runner.shop.people import is_name

MOST_PARTS = 500


@dataclass(frozen=True, slots=True)
class Opening:
    """What is asked when a job opens. `named` gives names to the levels whose names the procedure leaves open."""

    number: str
    who: str
    named: Mapping[str, Sequence[str]]
    alone: bool
    invented: bool = False
    rehearsal: bool = False
    zone: str = "UTC"
    decimal_mark: str = "."


def names_to_ask(procedure: Procedure) -> list[str]:
    """The levels whose parts are named at opening, outermost first."""
    return [level.name for level in procedure.parts if not (level.named or level.of)]


def open_job(
    procedure: Procedure, asked: Opening, now: Moment, program: str, shop: Shop = NO_SHOP
) -> JobOpened | Refusal:
    """The first event of a job, or why it can't be opened so."""
    bad_number = refuse_number(asked.number)
    if bad_number:
        return bad_number
    who = " ".join(asked.who.split())
    if not is_name(who):
        return Refusal(f"'{who}' is no name" if who else "nobody was named", "say who is at the bench")
    if shop.people and shop.person(who) is None:
        return Refusal(f"the shop file has nobody called '{who}'", "`benchhand shop person` enters somebody")
    if not (asked.rehearsal or asked.invented) and (refusal := refuse_status(procedure)):
        return refusal
    wanted = names_to_ask(procedure)
    for level in asked.named:
        if level not in wanted:
            return Refusal(
                f"'{level}' is not a part that is named at opening",
                f"named are {', '.join(wanted)}" if wanted else "",
            )
    for level in wanted:
        refusal = refuse_names(level, asked.named.get(level, ()))
        if refusal:
            return refusal
    parts = Parts(procedure.parts, asked.named)
    count = sum(len(parts.at(level.name)) for level in procedure.parts)
    if count > MOST_PARTS:
        return Refusal(f"{count} parts in one job", f"{MOST_PARTS} is the most; open several jobs")
    refusal = _called_the_same(parts)
    if refusal:
        return refusal
    return JobOpened(
        at=now,
        who=who,
        job=asked.number,
        procedure_id=procedure.id,
        revision=procedure.revision,
        procedure_text=procedure.text,
        procedure_sha256=_hash(procedure.text),
        taken_in=tuple(
            TakenIn(path=one.path, text=one.text, sha256=_hash(one.text)) for one in procedure.taken_in
        ),
        materials=procedure.materials,
        grammar=GRAMMAR,
        program=program,
        named=tuple((level, tuple(asked.named[level])) for level in wanted),
        alone=asked.alone,
        invented=asked.invented,
        rehearsal=asked.rehearsal,
        zone=asked.zone,
        decimal_mark=asked.decimal_mark,
    )


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def job_of(opened: JobOpened, procedure: Procedure, zone: tzinfo, program: str) -> Job:
    """What an opened job fixes, for deciding on it; `program` is the one deciding now."""
    parts = Parts(procedure.parts, dict(opened.named))
    return Job(opened.job, procedure, parts, zone, opened.decimal_mark, opened.alone, program)


def refuse_status(procedure: Procedure) -> Refusal | None:
    """Why a procedure can't have real parts go through it: it is not approved. A rehearsal and invented data may use any."""
    if procedure.status == APPROVED:
        return None
    what = f"'{procedure.id}' revision {procedure.revision} is {status_words(procedure)}, not approved"
    fix = "open it as a rehearsal (--rehearsal), or have it approved"
    if procedure.status == "withdrawn":
        what, fix = what.partition(",")[0], "open the revision that replaced it, or this one as a rehearsal"
    return Refusal(what, fix)


def status_words(procedure: Procedure) -> str:
    """What a procedure's status makes it: 'a draft', 'in review'."""
    return "a draft" if procedure.status == "draft" else procedure.status


def refuse_number(number: str) -> Refusal | None:
    """Why a text can't be a job's number, which is also its file's name."""
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}", number) and not number.endswith("."):
        return None
    return Refusal(
        f"'{number}' can't be a job number", "write letters, digits, dashes and points, such as 41 or DEMO-1"
    )


def refuse_names(level: str, names: Sequence[str]) -> Refusal | None:
    """Why these can't be the names of the parts of a level."""
    if not names:
        return Refusal(f"no {level} was named", f"give each {level} a name, as on its tag")
    seen: set[str] = set()
    for name in names:
        if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,11}", name):
            return Refusal(
                f"'{name}' can't be the name of a {level}",
                "write at most 12 letters and digits, as they fit on a tag",
            )
        if name.lower() in seen or name.lower() == "job":
            return Refusal(
                f"two parts can't both be called '{name}'"
                if name.lower() in seen
                else "'job' means the whole job",
                "give each its own name",
            )
        seen.add(name.lower())
    return None


def _called_the_same(parts: Parts) -> Refusal | None:
    """Two parts of one path, which could be told apart neither on a tag nor in what was decided on them."""
    seen: dict[str, str] = {}
    for level in parts.levels:
        for part in parts.at(level.name):
            other = seen.setdefault(part.path.lower(), level.name)
            if other != level.name:
                return Refusal(
                    f"a {other} and a {level.name} are both called {part.path}",
                    "give parts that stand side by side different names",
                )
    return None
