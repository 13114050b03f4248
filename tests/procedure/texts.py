"""A small procedure as text, and changes to it, for tests of what the reader says."""

from __future__ import annotations

from pathlib import Path

from runner.procedure.reader import read_procedure
from runner.text.problem import Problem

SHIPPED = Path(__file__).parents[2] / "procedures" / "head-seats.yaml"

HEAD = """procedure: A small one, invented
id: small
revision: 1
changed: first issue
status: approved
written by: the shop
approved by: an invented approver
approved on: 2031-01-15
scope: nothing real
decision: simple
roles: [machinist, inspector]
released by: inspector
concessions by: inspector
parts:
  - part: head
    tag: wired tag
  - part: seat
    in: head
    named: [EX, IN]
    tag: bag
  - part: guide
    in: head
    named: [G1, G2]
    tag: bag
givens:
  - given: allowed
    value: 0.05 mm
    source: common practice
stages:
"""


def stage(title: str, each: str, *steps: str, after: str = "") -> str:
    """One stage as text; each step is one line a key."""
    lines = [f"  - stage: {title}", f"    for each: {each}"]
    if after:
        lines.append(f"    after: {after}")
    lines.append("    steps:")
    for step in steps:
        first, *rest = step.split("\n")
        lines += [f"      - {first}", *(f"        {line}" for line in rest)]
    return "\n".join(lines) + "\n"


def reading(name: str) -> str:
    return f"read: {name}\nask: Size\nunit: mm\nplausible: 0 mm to 90 mm"


def working(name: str, formula: str) -> str:
    return f"work out: {name}\nas: {formula}\nto the nearest: 0.001 mm"


def problems_of(*stages: str) -> list[Problem]:
    return read_procedure(HEAD + "".join(stages), "small.yaml")[1]


def kinds_of(*stages: str) -> list[str]:
    return [problem.kind for problem in problems_of(*stages)]
