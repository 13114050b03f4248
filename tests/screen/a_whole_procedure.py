"""An invented procedure with every sort of step that a person meets on the screen, and an invented shop with PINs.

A block has two holes (A, B). Nothing of it exists; the numbers are chosen to be easy to follow.
"""

from __future__ import annotations

from pathlib import Path

from runner.job.intents import Acknowledge, CallWitness, Confirm, Intent, StartPass, Type
from runner.session.at_work import AtWork
from runner.session.clock import Clock
from tests.job.a_small_procedure import procedure
from tests.screen.a_screen import a_job
from tests.shop.a_shop import KEPT

HOLE, OTHER = ("Bore", "K1/A"), ("Bore", "K1/B")
TEXT = """\
procedure: Holes bored in a block that does not exist
id: whole-block
revision: 1
changed: invented for tests
status: approved
written by: nobody
approved by: an invented approver
approved on: 2031-01-15
scope: Blocks that do not exist
not for: Real blocks
decision: simple
roles: [fitter, inspector, owner]
released by: inspector
concessions by: owner
prerequisites:
  - Block and gauges in one room since the morning
parts:
  - part: block
    tag: stamped number
  - part: hole
    in: block
    named: [A, B]
    tag: paint mark
instruments:
  - instrument: bore gauge
    reads to: 0.001 mm
    uncertainty: 0.002 mm
hazards:
  - warning: turning cutter
    hazard: A cutter that runs on after the switch
    consequence: cut hand
    avoid: Wait until it stands
ladders:
  - ladder: oversize
    for each: hole
    rungs: [0 mm, 0.25 mm, 0.50 mm]
    source: common practice
reworks:
  - rework: hone again
    at most: 2 times
    back to: bore
stages:
  - stage: Bore
    for each: hole
    after: []
    beware: [turning cutter]
    steps:
      - do: Wipe the hole
        may skip: fitter
      - zero: bore gauge
        on: the ring
        within: 0.002 mm of 10.000 mm
        good for: 4 h
      - read: bore
        ask: Bore, three places round
        unit: mm
        points: 3
        with: bore gauge
        plausible: 9 mm to 11 mm
      - work out: bore_mean
        as: mean(bore)
        to the nearest: 0.001 mm
      - check: bore_mean
        within: 10.000 mm to 10.020 mm
        source: common practice
        if not: [hone again, concession, scrap]
      - rung: oversize
        at least: bore_mean - 10 mm
        if not: [scrap]
      - choose: finish
        ask: How does the wall look?
        options: [bright, dull, torn]
      - check: finish
        is: [bright, dull]
        source: common practice
        if not: [concession, scrap]
      - write: remark
        ask: What else is to be said of the hole?
      - only if: bore_mean > 10.015 mm
        steps:
          - do: Mark the hole blue
      - witness point: first hole
        by: inspector
        goes on after: 15 min
      - hold point: hole released
        by: inspector
        must see:
          - no burr left
        measures again: bore
        agree within: 0.004 mm
      - sign off: hole done
  - stage: Close
    for each: block
    after: [Bore]
    steps:
      - do: Close the block
      - work out: largest
        as: max(every hole.bore_mean)
        to the nearest: 0.001 mm
      - do: Write the size on the lid
        show: [largest]
"""
SHOP = f"""\
shop: Blocks that do not exist
idle: 20 min
people:
  - person: Ada Fitch
    roles: [fitter]
    pin: {KEPT}
  - person: Ben Stone
    roles: [fitter, inspector, owner]
    pin: {KEPT}
  - person: Eve Marsh
    roles: [inspector, owner]
instruments:
  - instrument: BG-1
    kind: bore gauge
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: 2031-06-30
  - instrument: BG-2
    kind: bore gauge
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: 2032-01-31
"""


def a_block(path: Path, clock: Clock, *acts: Intent) -> AtWork:
    """A job on one block, these acts done."""
    return a_job(path, clock, *acts, of=procedure(TEXT), level="block", named=("K1",))


def bored(upto: str = "", bore: str = "10.009 10.010 10.011") -> list[Intent]:
    """The acts that bore hole A, up to before a reading, answer or gate."""
    named: list[tuple[str, list[Intent]]] = [
        ("wipe", [StartPass(HOLE), Acknowledge(), Confirm()]),
        ("zero", [Type("10.000")]),
        ("bore", [Type(bore)]),
        ("finish", [Type("bright")]),
        ("remark", [Type("nothing else")]),
        ("witness", [CallWitness()]),
    ]
    acts: list[Intent] = []
    for name, some in named:
        if name == upto:
            break
        acts += some
    return acts


def with_a_shop(folder: Path) -> None:
    """The folder of jobs has a shop file with people, their PINs and two gauges of a kind."""
    folder.mkdir(exist_ok=True)
    (folder / "shop.yaml").write_text(SHOP, encoding="utf-8")
