"""Until when a gauge or a master may be used. The day is the shop's own: whoever asks knows the zone."""

from __future__ import annotations

from datetime import date

from runner.shop.model import Gauge, Master


def days_left(thing: Gauge | Master, day: date) -> int:
    """How many days it may still be used after this one: 0 on its last, below nil once it is overdue."""
    return (thing.calibrated_until - day).days


def is_overdue(thing: Gauge | Master, day: date) -> bool:
    """Whether its calibration has run out: it holds through the whole of the day it says."""
    return day > thing.calibrated_until
