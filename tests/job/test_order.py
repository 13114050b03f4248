"""Order locks: on the same part, the one it lies in, all inside it, those beside it, and on every part there is."""

from __future__ import annotations

import pytest

from runner.job.intents import Confirm, Dispose, Sign, StartPass, Stop
from runner.job.job import Refusal
from runner.job.parts import Part, Parts
from runner.job.passes import may_begin, next_step
from runner.job.state import PassKey
from runner.procedure.model import Do, PartLevel
from tests.job.a_bench import FITTER, Bench
from tests.job.a_small_procedure import procedure

HEAD = """\
procedure: An order that does not exist
id: order
revision: 1
changed: invented for tests
status: approved
written by: nobody
approved by: an invented approver
approved on: 2031-01-15
scope: Nothing
not for: Anything
decision: simple
roles: [owner]
released by: owner
concessions by: owner
prerequisites:
  - Nothing
parts:
  - part: box
    tag: label
  - part: lid
    in: box
    named: [top, base]
    tag: label
  - part: pin
    in: lid
    named: [p, q]
    tag: label
  - part: foot
    in: box
    named: [l, r]
    tag: label
stages:
"""


def stages(*said: tuple[str, str, str]) -> str:
    """A procedure of stages that only do something: title, level, lock."""
    return HEAD + "".join(
        f"  - stage: {title}\n    for each: {level}\n    {lock}\n    steps:\n      - do: {title} it\n"
        for title, level, lock in said
    )


def bench(level_before: str, level_after: str, lock: str = "after: [First]") -> Bench:
    text = stages(("First", level_before, "after: []"), ("Then", level_after, lock))
    return Bench(procedure(text), {"box": ["X", "Y"]})


def does(at: Bench, *keys: PassKey) -> None:
    for key in keys:
        at.do(StartPass(key), Confirm())


@pytest.mark.parametrize(
    ("before", "after", "part", "needed"),
    [
        ("lid", "lid", "X/top", ["X/top"]),
        ("box", "pin", "X/top/p", ["X"]),
        ("job", "pin", "X/top/p", ["job"]),
        ("pin", "box", "X", ["X/top/p", "X/top/q", "X/base/p", "X/base/q"]),
        ("pin", "lid", "X/top", ["X/top/p", "X/top/q"]),
        (
            "pin",
            "job",
            "job",
            [f"{box}/{lid}/{pin}" for box in "XY" for lid in ("top", "base") for pin in "pq"],
        ),
        ("foot", "lid", "X/top", ["X/l", "X/r"]),
        ("lid", "foot", "X/l", ["X/top", "X/base"]),
        ("foot", "pin", "X/top/p", ["X/l", "X/r"]),
        ("pin", "foot", "X/l", ["X/top/p", "X/top/q", "X/base/p", "X/base/q"]),
    ],
)
def test_a_stage_begins_when_the_one_before_is_done_on_what_belongs_to_its_part_and_not_sooner(
    before: str, after: str, part: str, needed: list[str]
) -> None:
    at = bench(before, after)
    for left in range(len(needed), 0, -1):
        waiting = ", ".join(needed[-left:])
        sentence = at.refused(StartPass(("Then", part)))
        assert sentence == f"'Then' on {part} comes after 'First', which is not done on {waiting}"
        does(at, ("First", needed[len(needed) - left]))
    at.do(StartPass(("Then", part)))


def test_after_all_waits_for_every_part_there_is() -> None:
    at = bench("lid", "lid", "after all: [First]")
    does(at, ("First", "X/top"), ("First", "X/base"), ("First", "Y/top"))
    assert at.refused(StartPass(("Then", "X/top"))) == (
        "'Then' on X/top comes after 'First', which is not done on Y/base"
    )
    does(at, ("First", "Y/base"), ("Then", "X/top"))


def test_after_all_waits_for_no_part_that_was_taken_out() -> None:
    at = bench("lid", "lid", "after all: [First]")
    does(at, ("First", "X/top"), ("First", "X/base"), ("First", "Y/top"))
    at.do(StartPass(("First", "Y/base")), Stop("nonconforming", "bent"))
    assert "is not done on Y/base" in at.refused(StartPass(("Then", "X/top")))
    at.do(Dispose("scrap", "Olga Prince", "bent"))
    does(at, ("Then", "X/top"))


def test_a_stage_without_a_word_on_order_comes_after_the_one_above() -> None:
    text = stages(("First", "lid", "after: []"), ("Then", "lid", "reason: none"))
    at = Bench(procedure(text), {"box": ["X"]})
    assert "comes after 'First'" in at.refused(StartPass(("Then", "X/top")))


def test_a_stage_with_two_locks_names_the_one_that_is_open() -> None:
    text = stages(
        ("First", "lid", "after: []"),
        ("Second", "foot", "after: []"),
        ("Then", "box", "after: [First, Second]"),
    )
    at = Bench(procedure(text), {"box": ["X"]})
    does(at, ("First", "X/top"), ("First", "X/base"), ("Second", "X/l"))
    assert (
        at.refused(StartPass(("Then", "X"))) == "'Then' on X comes after 'Second', which is not done on X/r"
    )


def test_work_goes_part_by_part_or_stage_by_stage_as_one_likes() -> None:
    for order in (lambda key: (key[1], key[0]), lambda key: key):
        at = bench("lid", "lid")
        for key in sorted(at.job.keys(), key=order):
            does(at, key)
        assert at.state.completed


def test_what_may_begin_is_what_is_not_refused() -> None:
    at = Bench().frame_glued()
    may = set(may_begin(at.job, at.state))
    for key in at.job.keys():
        trial = Bench().frame_glued()
        assert (key in may) is not isinstance(trial.ask(StartPass(key)), Refusal)


def test_the_last_pass_completes_the_job_in_the_same_act() -> None:
    at = bench("job", "job")
    does(at, ("First", "job"))
    assert not at.state.completed
    does(at, ("Then", "job"))
    assert at.state.completed and at.state.in_hand is None


def test_the_steps_of_a_pass_come_one_after_another() -> None:
    at = Bench()
    at.do(StartPass(("Face", "F1/L")))
    first = next_step(at.job, at.state, ("Face", "F1/L"))
    assert isinstance(first, Do) and first.about.number == 1
    assert at.refused(Sign(FITTER)) == "this step is done and then confirmed: Face the foot"
    at.do(Confirm())
    assert next_step(at.job, at.state, ("Face", "F1/L")) is None


LEVELS = (
    PartLevel("box", "job", (), "t"),
    PartLevel("lid", "box", ("top",), "t"),
    PartLevel("foot", "box", ("l", "r"), "t"),
)


def test_parts_are_found_by_their_path_whatever_the_case() -> None:
    parts = Parts(LEVELS, {"box": ["X1"]})
    assert parts.find("lid", " x1/TOP ") == Part("lid", ("X1", "top"))
    assert parts.find("lid", "X1/l") is None and parts.find("nothing", "X1") is None
    assert [one.path for one in parts.outward(Part("lid", ("X1", "top")))] == ["X1/top", "X1", "job"]
