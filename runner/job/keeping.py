"""What has to be kept so, or kept off, till something is done: it stays in view on every screen of the job until then."""

from __future__ import annotations

from runner.job.dependence import made_by
from runner.job.job import Job
from runner.job.parts import WHOLE_JOB, Part
from runner.job.passes import is_live
from runner.job.state import State
from runner.procedure.model import Do


def kept(job: Job, state: State) -> list[str]:
    """Each thing to be kept, with its part and till when, in the order of the work."""
    return [
        f"{step.text} ({part.path}, until {step.ends})"
        for stage in job.procedure.every_stage
        for step in stage.steps
        if isinstance(step, Do) and step.ends
        for part in job.parts.at(stage.for_each)
        if step.about.number in state.at((stage.title, part.path)).done_steps
        and is_live(job, state, part)
        and not _is_over(job, state, part, step.ends)
    ]


def _is_over(job: Job, state: State, part: Part, ends: str) -> bool:
    """Whether a time is recorded: on this part, on the one it lies in, or on every one inside it that is still there."""
    level = next(
        stage.for_each
        for stage in job.procedure.stages
        for step in stage.steps
        if (WHOLE_JOB.path, ends) in made_by(WHOLE_JOB, step)
    )
    parts = job.parts.around(part, level)
    return bool(parts) and all((one.path, ends) in state.times for one in parts if is_live(job, state, one))
