"""Virtual jobs walked one after another, each by its number alone: on which process and in what order makes no difference."""

from __future__ import annotations

from collections.abc import Iterable

from runner.trial.hand import Hand
from runner.trial.tally import Tally
from runner.trial.walk import Trial, Walk

MOST_TURNS = 20000
"""Turns after which a job is left that neither ends nor gets anywhere; far more than patience with one lasts."""


def walked(trial: Trial, index: int) -> Tally:
    """What one virtual job reached, by its number."""
    walk = Walk(trial, index)
    hand = Hand(walk)
    turns = 0
    try:
        while not walk.ended and turns < MOST_TURNS:
            hand.turn()
            turns += 1
    except Exception as fault:
        fault.add_note(f"in virtual job {index} of seed {trial.seed}")
        raise
    if not walk.ended:
        walk.circles()
    walk.tally.ends[walk.ended] += 1
    return walk.tally


def tallied(tallies: Iterable[Tally]) -> Tally:
    """The tallies of jobs in the order of their numbers, added up."""
    whole = Tally()
    for one in tallies:
        whole.add(one)
    return whole
