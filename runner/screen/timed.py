"""What is asked where time rules: an oven opened, a part taken out of a load, a clock stood down, a key put in later."""

from __future__ import annotations

from pathlib import Path

from runner.job.intents import Estimate, Hurry, LeaveLoad, OpenDoor, StandDown
from runner.job.job import Job
from runner.job.parts import Part
from runner.quantities.kinds import TIME
from runner.quantities.quantity import NotAQuantity, parse_quantity
from runner.screen.asking import Answer, FromLogger, Question, pick, text


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


def logger(found: list[tuple[str, str]]) -> Question:
    """For which place of a soak a logger writes, where there are several, and into which file."""

    def file(place: tuple[str, str]) -> Answer:
        where = " ".join(place).strip() or "the soak"
        ask = f"Which file does the logger write for {where}? Its path, such as logs/oven.csv."
        return Question(ask, lambda path: FromLogger(Path(path).expanduser(), *place))

    if len(found) == 1:
        answer = file(found[0])
        assert isinstance(answer, Question)
        return answer
    return pick("For which place does the logger write?", [(" ".join(one), one) for one in found], file)


def hurry() -> Question:
    """In a rehearsal: by how much its clocks go on at once."""

    def by(said: str) -> Answer:
        span = parse_quantity(said)
        if isinstance(span, NotAQuantity) or span.kind != TIME:
            return f"'{said}' is no length of time; write it like 2 h, 90 min or 1 h 30 min"
        return Hurry(float(span.si))

    return Question("This is a rehearsal. As if how much time had gone by? Such as 2 h or 45 min.", by)
