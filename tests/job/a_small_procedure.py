"""An invented procedure that has every sort of step, for jobs on two levels of parts and one beside them.

A frame has two holes (A, B) and two feet (L, R). Nothing of it exists; the numbers are chosen to be easy to follow.
"""

from __future__ import annotations

from functools import cache

from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from runner.text.problem import render_all

TEXT = """\
procedure: Two pins glued into a frame that does not exist
id: small-frame
revision: 3
changed: invented for tests
status: approved
written by: nobody
approved by: an invented approver
approved on: 2031-01-15
scope: Frames that do not exist
not for: Real frames
decision: simple
roles: [fitter, inspector, owner]
released by: inspector
concessions by: owner

prerequisites:
  - Frames and gauges in one room since the morning
  - Glue inside its date

parts:
  - part: frame
    tag: stamped number
  - part: hole
    in: frame
    named: [A, B]
    tag: paint mark
  - part: foot
    in: frame
    named: [L, R]
    tag: paint mark

instruments:
  - instrument: bore gauge
    reads to: 0.001 mm
    uncertainty: 0.002 mm
  - instrument: feeler
    reads to: 0.01 mm
    uncertainty: 0.01 mm

hazards:
  - warning: sharp edge
    hazard: A burr at the lip of the hole
    consequence: cut finger
    avoid: Gloves
  - notice: warm gauge
    hazard: A gauge held in the hand grows
    consequence: it reads small
    avoid: Hold it by the grip

givens:
  - given: smallest_web
    value: 3.00 mm
    source: maker's sheet, frame drawing 7

tables:
  - table: drawing
    looked up by: hole
    columns: [low, high]
    rows:
      - is: A
        values: [10.000 mm, 10.020 mm]
        source: maker's sheet, frame drawing 7
      - is: B
        values: [12.000 mm, 12.020 mm]
        source: maker's sheet, frame drawing 7
  - table: shim
    looked up by: play
    columns: [thickness]
    rows:
      - over: -1 mm
        up to: 0.0200 mm
        values: [0.10 mm]
        source: shop's own, box of shims
      - over: 0.0200 mm
        up to: 1 mm
        values: [0.20 mm]
        source: shop's own, box of shims

stages:
  - stage: Measure
    for each: hole
    after: []
    steps:
      - do: Ready the hole
        beware: [sharp edge, warm gauge]
        tick:
          - Lip deburred
          - Hole wiped
      - read: ring_size
        ask: Size marked on the ring
        unit: mm
        plausible: 5 mm to 50 mm
      - zero: bore gauge
        on: the ring
        within: 0.002 mm of ring_size
      - read: bore
        ask: Bore, three places round
        unit: mm
        points: 3
        with: bore gauge
        plausible: drawing.low - 1 mm to drawing.high + 1 mm
      - work out: bore_mean
        as: mean(bore)
        to the nearest: 0.001 mm
      - check: bore_mean
        within: drawing.low to drawing.high
        if not: [concession, scrap, return]
      - read: play
        ask: Play of the pin
        unit: mm
        with: feeler
        plausible: 0 mm to 0.5 mm
      - check: play
        at most: 0.0381 mm
        source: published, an invented table 4
        if not: [concession, scrap]
      - read: wall
        ask: Web beside the hole
        unit: mm
        levels: [top, bottom]
        axes: [a, b]
        plausible: 1 mm to 9 mm
      - work out: web
        as: min(wall)
        to the nearest: 0.01 mm
      - check: web
        at least: smallest_web
        if not: [concession]
      - work out: shim_size
        as: shim.thickness + 0 mm
        to the nearest: 0.01 mm
      - do: Lay the shim beside its hole
        show: [shim_size]
      - do: Wipe the bench
      - hold point: hole released
        by: inspector
        must see:
          - no burr left
          - shim beside its hole
      - sign off: hole marked

  - stage: Face
    for each: foot
    after: []
    steps:
      - do: Face the foot

  - stage: Glue
    for each: frame
    after: [Measure, Face]
    steps:
      - do: Glue both pins
        timed as: glued

  - stage: Cure
    for each: hole
    after: [Glue]
    steps:
      - wait: cured
        starts: glued
        at least: 2 h
        source: maker's sheet, the glue's tube
      - do: Tap the pin

  - stage: Level
    for each: foot
    after: [Cure]
    steps:
      - do: Level the foot

  - stage: Put away
    for each: job
    after all: [Level]
    steps:
      - sign off: all put away
"""


@cache
def procedure(text: str = TEXT) -> Procedure:
    """The procedure in a text, which has no problem."""
    found, problems = read_procedure(text, "small.yaml")
    assert found is not None, render_all(problems, {"small.yaml": text.split("\n")})
    return found
