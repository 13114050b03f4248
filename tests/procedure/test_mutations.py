"""The shipped procedure with slips of the hand in it: never an exception, every place inside the file, none passed by."""

from __future__ import annotations

import random
import re
import time

from runner.formula.tree import names_in
from runner.procedure.model import Check, Formula, Procedure, Read, WorkOut
from runner.procedure.reader import read_procedure
from runner.text.problem import render
from tests.job.a_ringed_plate import TEXT as RINGED_PLATE
from tests.job.an_oven import OVEN
from tests.procedure.every_other_key import REASONS
from tests.procedure.texts import SHIPPED

SIGNS = list("[]{}:,#&*!|>'\"%@`-?\\ ~<=()^+./09aZé")

STEP = re.compile(
    r"^ +- (?:do|zero|read|choose|write|work out|rung|check|wait|window|not before|soak|against the clock|hold point"
    r"|witness point|sign off): ",
    re.MULTILINE,
)


def _slip(lines: list[str], dice: random.Random) -> list[str]:
    lines = list(lines)
    at, other = dice.randrange(len(lines)), dice.randrange(len(lines))
    line = lines[at]
    column = dice.randrange(len(line) + 1)
    match dice.randrange(8):
        case 0:
            del lines[at]
        case 1:
            lines.insert(at, line)
        case 2:
            lines[at], lines[other] = lines[other], line
        case 3:
            lines[at] = line[:column] + dice.choice(SIGNS) + line[column:]
        case 4:
            lines[at] = line[:column] + line[column + 1 :]
        case 5:
            lines[at] = (
                line[:column] + line[column + 1 : column + 2] + line[column : column + 1] + line[column + 2 :]
            )
        case 6:
            lines[at] = line.replace("      - ", "        ", 1)
        case _:
            words = line.split(" ")
            words[dice.randrange(len(words))] = dice.choice(
                ["", "mm", "bore", "20", "degC", "[]", "of", "to"]
            )
            lines[at] = " ".join(words)
    return lines


def _whole(procedure: Procedure) -> None:
    """No step of the text was lost, and each name in a formula is one that something gives."""
    steps = [step for stage in procedure.every_stage for step in stage.steps]
    assert len(steps) == len(STEP.findall(procedure.text))
    known = {given.name for given in procedure.givens}
    known |= {f"{table.name}.{column}" for table in procedure.tables for column in table.columns}
    known |= {one.name for one in (*procedure.ladders, *procedure.parts)}
    known |= {step.name for step in steps if isinstance(step, Read | WorkOut)}
    for step in steps:
        formulas: tuple[Formula, ...] = ()
        if isinstance(step, WorkOut):
            assert step.typed.kind == step.nearest.kind
            formulas = (step.formula,)
        elif isinstance(step, Read):
            formulas = step.plausible.written
        elif isinstance(step, Check):
            formulas = step.limits.written
        names = [name for formula in formulas for name in names_in(formula.tree)]
        parts = {name for level in procedure.parts for name in (level.name, *level.named)}
        assert {name.path[1] if name.path[0] in parts else name.name for name in names} <= known


def test_a_procedure_with_a_few_slips_never_raises_and_each_problem_lies_in_its_file() -> None:
    dice = random.Random(1)
    shipped, *small = [
        text.split("\n") for text in (SHIPPED.read_text(encoding="utf-8"), RINGED_PLATE, REASONS, OVEN)
    ]
    began = time.process_time()
    read = 0
    for at in range(600):  # a slip is looked for in the same way whatever the length of the file
        lines = _slip(shipped if at % 10 == 0 else dice.choice(small), dice)
        if dice.random() < 0.3:
            lines = _slip(lines, dice)
        procedure, problems = read_procedure("\n".join(lines), "x")
        assert procedure or problems
        for one in problems:
            place = one.place
            assert 1 <= place.line <= len(lines), one
            assert place.length >= 1 and place.column >= 1, one
            assert place.column + place.length <= max(1, len(lines[place.line - 1])) + 1, (
                one,
                lines[place.line - 1],
            )
            assert render(one, lines).count("\n") == 3
        if procedure:
            read += 1
            _whole(procedure)
    assert 40 < read < 560
    assert time.process_time() - began < 60
