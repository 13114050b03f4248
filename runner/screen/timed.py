"""What is asked where time rules: an oven opened, a part taken out of a load, a clock stood down, a key put in later."""

from __future__ import annotations

from runner.job.intents import Estimate, Hurry, LeaveLoad, OpenDoor, StandDown
from runner.job.job import Job
from runner.job.parts import Part
from runner.quantities.kinds import TIME
from runner.quantities.quantity import NotAQuantity, parse_quantity
from runner.screen.asking import Answer, Question, pick, text


def open_door() -> Question:
    return text("The oven is opened: why?", "reason", OpenDoor)


def stand_down() -> Question:
    return text("The clock is stood down: why?", "reason", StandDown)


def estimate(name: str) -> Question:
    """Seconds that nobody's key told, and who counted them."""
    return Question(
        f"How many seconds did '{name}' take, as somebody counted or saw it?",
        lambda seconds: text(
            f"{seconds} s is an estimate, and is marked as one. Who saw or counted it, and how?",
            "reason",
            lambda because: Estimate(seconds, because),
        ),
    )


def take_out(job: Job, load: Part) -> Question:
    """Which part comes out of the load, and why."""
    members = [(one.path, one.path) for one in job.parts.members(load)]
    return pick(
        f"Which part is taken out of {load.path}?",
        members,
        lambda path: text(
            f"{path} is taken out of {load.path}: why?",
            "reason",
            lambda because: LeaveLoad(load.path, path, because),
        ),
    )


def hurry() -> Question:
    """In a rehearsal: by how much its clocks go on at once."""

    def by(said: str) -> Answer:
        span = parse_quantity(said)
        if isinstance(span, NotAQuantity) or span.kind != TIME:
            return f"'{said}' is no length of time; write it like 2 h, 90 min or 1 h 30 min"
        return Hurry(float(span.si))

    return Question("This is a rehearsal. As if how much time had gone by? Such as 2 h or 45 min.", by)
