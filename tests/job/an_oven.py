"""An invented procedure that time rules: a window, a time of day, a soak, totals and an act against the clock.

A frame has two pins. Nothing of it exists; the numbers are chosen to be easy to follow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from runner.job.intents import Confirm, StartPass
from tests.job.a_bench import Bench
from tests.job.a_small_procedure import TEXT, procedure

HEAD = TEXT[: TEXT.index("prerequisites:")]
OVEN = (
    HEAD
    + """\
parts:
  - part: frame
    tag: stamped number
  - load: batch
    of: frame
    tag: chalk on the tray

totals:
  - total: heat
    for each: frame
    over: 150 degC
    at most: 3 h
    source: shop's own, invented
    if not: [concession, scrap]
  - total: stock
    for each: frame
    at most: 0.50 mm
    source: shop's own, invented
    if not: [concession, scrap]

reworks:
  - rework: clean again
    back to: cleaned
    at most: 2 times
  - rework: chill again
    back to: open_for
    at most: 1 times

stages:
  - stage: Coat
    for each: frame
    after: []
    steps:
      - do: Clean it
        timed as: cleaned
      - do: Coat it
        timed as: coated
      - window: still_clean
        starts: cleaned
        ends: coated
        at most: 60 min
        source: maker's sheet, the coat's tin
        if not: [clean again, concession]
      - not before: rested
        clock: 06:00
        starts: coated
        source: shop's own, invented
      - do: Turn it over

  - stage: Skim
    for each: frame
    after: []
    steps:
      - read: cut
        ask: Depth of this cut
        unit: mm
        plausible: 0 mm to 1 mm
        adds to: stock
      - read: room
        ask: Temperature of the frame
        unit: degC
        plausible: 5 degC to 90 degC
        again at most: 1 times
      - not before: cool
        when: room <= 22 degC
        source: shop's own, invented
      - do: Wipe it

  - stage: Bake
    for each: batch
    after: []
    steps:
      - soak: bake
        ask: Temperature of each
        unit: degC
        plausible: 0 degC to 300 degC
        within: 195 degC to 205 degC
        at least: 60 min
        at most: 120 min
        reading every: 20 min
        grace: 5 min
        never over: 220 degC
        source: shop's own, invented
        adds to: heat
        if not: [concession, scrap]

  - stage: Fit
    for each: frame
    after: []
    steps:
      - read: open_for
        ask: Seconds it stays open
        unit: s
        plausible: 0 s to 100 s
      - against the clock: drive
        ready:
          - Driver cold
        first key: door
        second key: home
        useful limit: open_for
        last limit: 2 * open_for
        at least: 2 s
        hold down: 20 s
        tell:
          - one firm drive
        if stuck: pull it out
        if not: [chill again, concession]
      - do: Look all round
"""
)


def oven(frames: Sequence[str] = ("F1", "F2"), text: str = OVEN, **more: bool) -> Bench:
    named: Mapping[str, Sequence[str]] = {"frame": list(frames)}
    bench = Bench(procedure(text), named, ready=False, **more)
    return bench


def cleaned(bench: Bench, frame: str = "F1") -> Bench:
    """The frame cleaned a moment ago; it is to be coated."""
    bench.do(StartPass(("Coat", frame)), Confirm())
    return bench
