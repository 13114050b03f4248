"""
A second invented procedure, with what the first has not: choices, blocks, a ladder, reworks, a witness, a second reading.

A plate has two rings (P, Q). Nothing of it exists; the numbers are chosen to be easy to follow.
"""

from __future__ import annotations

from runner.job.intents import Attend, CallWitness, Confirm, Release, Sign, StartPass
from runner.job.state import PassKey
from runner.procedure.model import Procedure
from tests.job.a_bench import FITTER, INSPECTOR, Bench
from tests.job.a_small_procedure import procedure

TEXT = """\
procedure: Two rings bored in a plate that does not exist
id: ringed-plate
revision: 1
changed: invented for tests
status: approved
written by: nobody
approved by: an invented approver
approved on: 2031-01-15
scope: Plates that do not exist
not for: Real plates
decision: simple
roles: [fitter, inspector, owner]
released by: inspector
concessions by: owner

parts:
  - part: plate
    tag: stamped number
  - part: ring
    in: plate
    named: [P, Q]
    tag: paint mark

instruments:
  - instrument: dial
    reads to: 0.001 mm
    uncertainty: 0.002 mm
  - instrument: rule
    reads to: 0.1 mm
    uncertainty: 0.1 mm

hazards:
  - warning: sharp edge
    hazard: A burr at the lip
    consequence: cut finger
    avoid: Gloves

ladders:
  - ladder: oversize
    for each: ring
    rungs: [0.0 mm, 0.2 mm, 0.4 mm]
    source: shop's own, reamers that do not exist

reworks:
  - rework: cut again
    only if: bore_mean < 10 mm + oversize
    at most: 2 times
    steps:
      - read: feed
        ask: Feed set on the machine
        unit: mm
        with: rule
        plausible: 0 mm to 5 mm
      - do: Cut the ring
        show: [feed]
      - sign off: cut
  - rework: next oversize
    climb: oversize
    at most: 2 times
  - repair: weld it up
    back to: Receive
    at most: 1 times

stages:
  - stage: Receive
    for each: plate
    after: []
    steps:
      - choose: finish
        ask: Finish of the face
        options: [bright, dull, torn]
      - check: finish
        is: [bright, dull]
        source: common practice
        if not: [concession]
      - write: remark
        ask: What else shows
        may skip: inspector
      - read: thickness
        ask: Thickness
        unit: mm
        with: rule
        plausible: 10 mm to 30 mm
      - check: thickness
        at least: 12 mm
        source: common practice
        if not: [concession]
      - do: Stamp it
        show: [thickness]
      - sign off: received

  - stage: Bore
    for each: ring
    after: [Receive]
    steps:
      - do: Wipe it
        beware: [sharp edge]
        good for: 20 min
      - zero: dial
        on: the block
        within: 0.010 mm of 10 mm
      - read: bore
        ask: Bore, twice
        unit: mm
        points: 2
        with: dial
        plausible: 9 mm to 11 mm
        again at most: 2 times
      - work out: bore_mean
        as: mean(bore)
        to the nearest: 0.001 mm
      - only if: bore_mean > 10.010 mm + oversize
        steps:
          - read: wall
            ask: Wall left
            unit: mm
            plausible: 0 mm to 9 mm
          - check: wall
            at least: 2 mm
            source: common practice
            if not: [concession]
          - only if: wall < 3 mm
            steps:
              - do: Mark the thin place
      - only if: finish is "dull"
        steps:
          - do: Polish it
      - check: bore_mean
        within: 0.020 mm of 10 mm + oversize
        source: common practice
        if not: [cut again, next oversize, weld it up, concession, scrap]
      - work out: depth
        as: thickness - bore_mean
        to the nearest: 0.001 mm
      - do: Lay the ring
        show: [depth]
        timed as: laid
      - wait: settled
        starts: laid
        at least: 10 min
        source: common practice
      - witness point: first look
        by: inspector
        goes on after: 15 min
      - hold point: ring released
        by: inspector
        must see:
          - no burr
        measures again: bore
        agree within: 0.004 mm

  - stage: Match
    for each: plate
    after: [Bore]
    steps:
      - work out: apart
        as: spread(every ring.bore_mean)
        to the nearest: 0.001 mm
      - check: apart
        at most: 0.500 mm
        source: common practice
        if not: [concession]
      - work out: first_over
        as: P.bore_mean - 10 mm
        to the nearest: 0.001 mm
      - do: Press them home
        show: [apart, first_over]

  - stage: Pack
    for each: plate
    after: [Match]
    steps:
      - do: Pack it
      - sign off: packed

  - stage: Close
    for each: job
    after all: [Pack]
    steps:
      - sign off: all packed
"""

P, Q = ("Bore", "1/P"), ("Bore", "1/Q")
RECEIVE, MATCH, PACK, CLOSE = ("Receive", "1"), ("Match", "1"), ("Pack", "1"), ("Close", "job")
FEED = ("cut again", "1/P")
STEPS = (
    "wipe zero bore bore_mean wall wall_check mark polish bore_check depth lay settled witness hold".split()
)
"""The steps of 'Bore' in their order."""
NUMBER = {name: at for at, name in enumerate(STEPS, 1)}


def plates(text: str = TEXT) -> Procedure:
    return procedure(text)


class PlateBench(Bench):
    """A bench with one plate (or more), and the usual ways through its stages."""

    def __init__(self, text: str = TEXT, names: tuple[str, ...] = ("1",), *, alone: bool = False) -> None:
        super().__init__(plates(text), {"plate": names}, alone=alone)

    def receive(self, *, finish: str = "bright", thickness: str = "20.0", plate: str = "1") -> PlateBench:
        self.do(StartPass(("Receive", plate)))
        for text in (finish, "no dents", thickness):
            self.type(text)
        self.do(Confirm(), Sign(self.state.person))
        return self

    def bored(self, key: PassKey = P, bore: str = "10.000 10.002", *, upto: str = "") -> PlateBench:
        """A ring from its start to before a step, or to its end."""
        from runner.job.intents import Acknowledge

        if self.state.in_hand != key:
            self.do(StartPass(key))
        acts = {
            "wipe": (Acknowledge(), Confirm()),
            "zero": "10.000",
            "bore": bore,
            "lay": (Confirm(),),
            "settled": (Confirm(),),
            "witness": (CallWitness(), Attend(INSPECTOR)),
            "hold": (Release(INSPECTOR, ("no burr",), bore),),
        }
        for name, act in acts.items():
            if name == upto or (self.at(key).failed and name not in ("wipe", "zero", "bore")):
                return self
            if name == "settled":
                self.later(minutes=10)
            if isinstance(act, str):
                self.type(act)
            else:
                self.do(*act)
        return self

    def matched(self) -> PlateBench:
        self.receive().bored(P).bored(Q)
        self.do(StartPass(MATCH), Confirm())
        return self

    def packed(self) -> PlateBench:
        self.matched().do(StartPass(PACK), Confirm(), Sign(FITTER), StartPass(CLOSE), Sign(FITTER))
        return self

    def dated(self, key: PassKey) -> set[str] | set[int]:
        """What is out of date in a pass: by name in 'Bore', by number elsewhere."""
        out = set(self.at(key).out_of_date)
        return {STEPS[one - 1] for one in out} if key[0] == "Bore" else out
