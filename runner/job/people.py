"""Who may do what: the roles that the shop file gives, and nobody deciding on their own work."""

from __future__ import annotations

from runner.job.job import Job, Refusal
from runner.job.state import PassKey, State
from runner.shop.people import is_name, is_shared, person_key


def refuse_role(job: Job, name: str, role: str, what: str) -> Refusal | None:
    """
    Why a named person doesn't hold the role for something, such as 'a hold point is released', or nothing. Where the shop
    file names nobody, whoever is named holds it.
    """
    if not is_name(name) or is_shared(name):
        return Refusal(
            f"{what} by a named {role}, and '{name.strip()}' is nobody's own name", "type the name"
        )
    if not job.shop.people:
        return None
    person = job.shop.person(name)
    if person is None:
        return Refusal(f"the shop file has nobody called '{name}'", "`benchhand shop person` enters somebody")
    if role not in person.roles:
        holders = [one.name for one in job.shop.people if role in one.roles]
        held = f"it is {', '.join(holders)}" if holders else f"nobody in the shop file is {_a(role)}"
        return Refusal(f"{person.name} is not {_a(role)}", held)
    return None


def refuse_own(job: Job, state: State, key: PassKey, name: str, what: str, role: str) -> Refusal | None:
    """Why somebody can't decide on a pass they have entries in, or nothing; alone, they can, and it says so."""
    if job.alone or not has_entries(state, name, key):
        return None
    return Refusal(
        f"{name.strip()} has entries in this pass; {what} by somebody who hasn't", f"fetch another {role}"
    )


def has_entries(state: State, name: str, key: PassKey | None = None) -> bool:
    """Whether a person has entries in a pass, or in any pass of the job."""
    passes = [state.at(key)] if key else state.passes.values()
    return any(person_key(name) in found.people for found in passes)


def _a(role: str) -> str:
    return f"{'an' if role[:1] in 'aeiou' else 'a'} {role}"
