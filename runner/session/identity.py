"""Who is at the bench, by PIN: asked of the shop file, and not as fast as somebody could try numbers out.

A PIN identifies; it doesn't protect. It is compared and forgotten: never kept, never told, never part of an event.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import Enum

from runner.job.moments import Moment, elapsed, span_words
from runner.shop.model import Shop
from runner.shop.people import person_key
from runner.shop.pins import fits

FREE_TRIES = 3
"""Wrong PINs of one person before the next must wait: two slips of a glove and one of memory."""
_FIRST_WAIT, _LONGEST_WAIT = timedelta(seconds=30), timedelta(minutes=15)


class Standing(Enum):
    """What came of a PIN."""

    IDENTIFIED = "identified"
    WRONG = "wrong"
    TOO_EARLY = "too early"
    NO_PIN = "no PIN kept"
    UNKNOWN = "not in the shop file"


@dataclass(frozen=True, slots=True)
class PinAnswer:
    """What came of a PIN, in a sentence, and how long the next try of this person has to wait."""

    standing: Standing
    sentence: str
    wait: timedelta = timedelta(0)


@dataclass(frozen=True, slots=True)
class _Wrong:
    """How often in a row a person's PIN was wrong, and when last."""

    times: int
    at: Moment


class PinPad:
    """Tells whether a PIN is a person's. One for as long as the program runs: it counts the wrong ones, and only them."""

    def __init__(self) -> None:
        self._wrong: dict[str, _Wrong] = {}

    def asks(self, shop: Shop, name: str) -> bool:
        """Whether this person has a PIN to be asked for."""
        person = shop.person(name)
        return bool(person and person.pin)

    def enter(self, shop: Shop, name: str, pin: str, now: Moment) -> PinAnswer:
        """Whether this is that person's PIN. A try that comes too early is not looked at and counts for nothing."""
        person = shop.person(name)
        if person is None:
            return PinAnswer(Standing.UNKNOWN, f"'{name}' is not in the shop file")
        if not person.pin:
            return PinAnswer(Standing.NO_PIN, f"no PIN is kept for {person.name}")
        key = person_key(person.name)
        if left := self._left(key, now):
            sentence = f"too many wrong PINs for {person.name}; the next try is in {span_words(left)}"
            return PinAnswer(Standing.TOO_EARLY, sentence, left)
        if fits(pin, person.pin):
            self._wrong.pop(key, None)
            return PinAnswer(Standing.IDENTIFIED, f"{person.name} by PIN")
        before = self._wrong.get(key)
        self._wrong[key] = _Wrong(before.times + 1 if before else 1, now)
        left = self._left(key, now)
        then = f"; the next try is in {span_words(left)}" if left else ""
        return PinAnswer(Standing.WRONG, f"that is not the PIN of {person.name}{then}", left)

    def _left(self, key: str, now: Moment) -> timedelta:
        """How long the next try has to wait yet."""
        wrong = self._wrong.get(key)
        if wrong is None or wrong.times < FREE_TRIES:
            return timedelta(0)
        doublings = min(wrong.times - FREE_TRIES, 10)
        wait = min(_FIRST_WAIT * 2**doublings, _LONGEST_WAIT)
        return max(wait - elapsed(wrong.at, now).lasted, timedelta(0))
