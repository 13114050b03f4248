"""Loads: parts put together at the bench for one oven or freezer run, and taken out of it again."""

from __future__ import annotations

import re
from typing import Any

from runner.job.events import Event, LoadLeft, LoadMade
from runner.job.intents import LeaveLoad, MakeLoad
from runner.job.job import Job, Refusal
from runner.job.moments import Moment
from runner.job.parts import Part
from runner.job.passes import is_live, nonconforming_part
from runner.job.soaks import taken_out
from runner.job.state import State
from runner.shop.people import is_name

Answer = list[Event] | Refusal


def make(job: Job, state: State, asked: MakeLoad, stamp: dict[str, Any]) -> Answer:
    """A load of parts that are in the job, in order, and in no load of that kind that is still under way."""
    name = " ".join(asked.name.split())
    level = job.procedure.level(asked.kind)
    if level is None or not level.of:
        kinds = ", ".join(one.name for one in job.procedure.parts if one.of)
        return Refusal(f"'{asked.kind}' is no load of this procedure", f"loads are {kinds}" if kinds else "")
    if refusal := _refuse_name(job, name):
        return refusal
    if not asked.parts:
        return Refusal(f"nothing was put into {name}", f"name each {level.of} by its tag")
    parts: list[Part] = []
    for path in asked.parts:
        part = job.parts.find(level.of, path)
        if part is None:
            there = ", ".join(one.path for one in job.parts.at(level.of))
            return Refusal(f"no {level.of} is tagged '{path}'", f"there are {there}")
        if part in parts:
            return Refusal(f"{part.path} is named twice")
        if refusal := _refuse_part(job, state, part, asked.kind):
            return refusal
        parts.append(part)
    return [LoadMade(**stamp, kind=asked.kind, name=name, parts=tuple(one.path for one in parts))]


def _refuse_name(job: Job, name: str) -> Refusal | None:
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,15}", name) or name.lower() == "job":
        return Refusal(
            f"'{name}' can't be the name of a load", "write at most 16 letters and digits, such as fit 1"
        )
    paths = {part.path.lower() for level in job.procedure.parts for part in job.parts.at(level.name)}
    if name.lower() in paths:
        return Refusal(f"something is called '{name}' already", "give the load another name")
    return None


def _refuse_part(job: Job, state: State, part: Part, kind: str) -> Refusal | None:
    if not is_live(job, state, part):
        return Refusal(f"{part.path} is no longer in this job")
    lock = nonconforming_part(job, state, part)
    if lock:
        return Refusal(f"{lock.path} is nonconforming: {state.nonconforming[lock.path]}")
    load = job.parts.load_of(part, kind)
    stages = [stage.title for stage in job.procedure.stages if stage.for_each == kind]
    if load and not all(state.at((title, load.path)).done for title in stages):
        return Refusal(f"{part.path} is in {load.path}, which isn't through", "take it out of that one first")
    return None


def leave(job: Job, state: State, asked: LeaveLoad, now: Moment, stamp: dict[str, Any]) -> Answer:
    """A part taken out of a load before it is through, and why."""
    name = next((one for one in state.loads if one.lower() == asked.name.strip().lower()), None)
    if name is None:
        return Refusal(f"no load is called '{asked.name.strip()}'")
    path = next((one for one in state.loads[name].parts if one.lower() == asked.part.strip().lower()), None)
    if path is None:
        return Refusal(
            f"{asked.part.strip()} is not in {name}", f"in it are {', '.join(state.loads[name].parts)}"
        )
    if not is_name(asked.because):
        return Refusal("taking a part out of a load needs its reason", "one line is enough")
    heat = taken_out(job, state, name, path, now, stamp)
    return [*heat, LoadLeft(**stamp, name=name, part=path, because=asked.because.strip())]
