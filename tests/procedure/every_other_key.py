"""A procedure with the keys that no other procedure of the tests has. Nothing of it exists."""

from __future__ import annotations

TEXT = """\
procedure: Every other key, invented
id: keys
revision: 1
changed: first issue
status: approved
written by: the shop
approved by: somebody else
approved on: 2031-03-03
scope: nothing real
not for: anything
decision: guarded
roles: [machinist, inspector]
released by: inspector
concessions by: inspector
parts:
  - part: head
    tag: wired tag
instruments:
  - instrument: rule
    reads to: 1 mm
    uncertainty: 0.1 mm
  - instrument: probe
    reads to: 1 K
    uncertainty: 1 K
hazards:
  - danger: press
    hazard: A press that closes
    consequence: crushed hand
    avoid: Use both buttons
givens:
  - given: allowed
    value: 50 mm
    uncertainty: 0.01 mm
    source: common practice
ladders:
  - ladder: size
    for each: head
    rungs: [0 mm, 10 mm, 20 mm]
    source: common practice
reworks:
  - repair: sleeve it
    only if: wide > 10 mm
    climb: size
    steps:
      - do: Press a sleeve in
        beware: [press]
    back to: wide
    at most: 1 times
totals:
  - total: ageing
    for each: head
    ageing at: 195 degC
    energy: 128.7 kJ/mol
    at most: 8 h
    source: common practice
    if not: [concession]
stages:
  - stage: Measure
    for each: head
    prerequisites:
      - The lamp is on
    steps:
      - keep: Keep the door shut
        ends: measured
        timed as: shut
        may skip: inspector
        good for: 1 h
        explain: Why is it shut
      - do: Wipe the head
        explain: Why is it wiped
      - repeat: rounds
        until: thin < 5 mm
        at most: 3 times
        source: common practice
        steps:
          - read: thin
            ask: Measure the lip
            unit: mm
            plausible: 0 mm to 90 mm
        if not: [scrap]
      - work out: twice
        as: thin * 2
        to the nearest: 1 mm
        predict: What will it be
        explain: Why twice
      - zero: rule
        on: its end
        within: 1 mm of 0 mm
        timed as: zeroed
        may skip: inspector
        explain: Why is it set
      - read: wide
        ask: Measure the width
        predict: How wide
        explain: Why there
        unit: mm
        with: rule
        plausible: 0 mm to 90 mm
        timed as: measured
      - rung: size
        at least: wide - 80 mm
        if not: [scrap]
      - check: wide
        at most: allowed
        decision: simple
        if not: [sleeve it, concession]
      - read: deep
        ask: Measure the depth
        unit: mm
        plausible: 0 mm to 90 mm
        may skip: inspector
      - choose: looks
        ask: Pick what you see
        options: [good, bad]
        predict: Which
        explain: Why
        timed as: looked
        may skip: inspector
      - write: note
        ask: Type what you saw
        explain: Why
        timed as: noted
        may skip: inspector
      - rung: size
        at least: 1 mm
        if not: [scrap]
        predict: Which
        explain: Why
        may skip: inspector
      - soak: warm
        ask: Read the probe
        unit: degC
        points: [left, right]
        predict: How long
        explain: Why
        with: probe
        plausible: 0 degC to 90 degC
        within: 30 degC to 40 degC
        at least: 5 min
        reading every: 5 min
        never over: 50 degC
        source: common practice
        adds to: ageing
        if not: [concession]
      - against the clock: dip
        first key: in
        second key: out
        useful limit: 10 s
        last limit: 20 s
        at least: 1 s
        tell:
          - keep it level
        if stuck: leave it
        timed as: dipped
        if not: [concession]
      - hold point: head seen
        by: inspector
        must see:
          - The head
        timed as: seen
        good for: 1 h
        show: [looks]
      - sign off: measured
        timed as: signed
        may skip: inspector
"""

REASONS = """\
procedure: Every reason
id: every-reason
revision: 1
changed: first issue
status: draft
written by: somebody
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
    tag: paint
instruments:
  - instrument: rule
    reads to: 0.1 mm
    uncertainty: 0.1 mm
hazards:
  - caution: edge
    hazard: A sharp edge
    consequence: cut finger
    avoid: Wear gloves
givens:
  - given: grows
    material: A356-T6
    property: expansion
    over: 20 degC to 200 degC
  - given: stiff
    material: A356-T6
    property: modulus
    at: 20 degC
ladders:
  - ladder: size
    for each: seat
    rungs: [0 mm, 10 mm]
    source: common practice
stages:
  - stage: Measure
    for each: seat
    order: [EX, IN]
    reason: The small one first
    steps:
      - do: Wipe the seat
        key point: No oil on it
        reason: oil reads as metal
      - read: wide
        ask: Measure the width
        unit: mm
        with: rule
        plausible: 0 mm to 20 mm
        beware: [edge]
        show: [grows, stiff]
        key point: Hold the rule square
        reason: a slant reads long
      - work out: double
        as: 2 * wide
        to the nearest: 0.1 mm
        reason: Both sides count
      - check: double
        at most: 30 mm
        source: common practice
        key point: Look twice
        reason: it is the last look
        if not: [concession]
      - rung: size
        at least: wide - 15 mm
        reason: The next size up
        if not: [concession]
      - choose: looks
        ask: Pick what you see
        options: [bright, dull]
        key point: Under the lamp
      - check: looks
        is: bright
        source: common practice
        if not: [concession]
"""
