"""Who is at the bench, by PIN, and how slowly it can be guessed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from runner.job.moments import Moment
from runner.session.identity import FREE_TRIES, PinPad, Standing
from runner.shop.model import NO_SHOP, Person
from tests.shop.a_shop import KEPT, PIN, a_shop

SHOP = a_shop()
ADA, BEN = "Ada Fitch", "Ben Stone"


def at(seconds: float) -> Moment:
    return Moment(datetime(2031, 3, 3, tzinfo=UTC) + timedelta(seconds=seconds), seconds, "boot")


def test_a_pin_identifies_whose_it_is_however_the_name_is_typed() -> None:
    pad = PinPad()
    answer = pad.enter(SHOP, " ada  FITCH", PIN, at(0))
    assert (answer.standing, answer.sentence) == (Standing.IDENTIFIED, "Ada Fitch by PIN")
    assert pad.asks(SHOP, ADA) and not pad.asks(SHOP, BEN)


def test_who_has_no_pin_or_is_not_in_the_file_is_told_so() -> None:
    pad = PinPad()
    assert pad.enter(SHOP, BEN, PIN, at(0)).standing is Standing.NO_PIN
    for shop in (SHOP, NO_SHOP):
        answer = pad.enter(shop, "Cora Lind", PIN, at(0))
        assert (answer.standing, answer.sentence) == (Standing.UNKNOWN, "'Cora Lind' is not in the shop file")


def test_after_three_wrong_pins_each_further_try_waits_twice_as_long() -> None:
    pad, now = PinPad(), 0.0
    for number in range(FREE_TRIES):
        answer = pad.enter(SHOP, ADA, "0000", at(now))
        assert answer.standing is Standing.WRONG
        assert answer.wait == timedelta(seconds=30 if number == 2 else 0)
    for wait in (30, 60, 120, 240, 480, 900, 900):
        early = pad.enter(SHOP, ADA, PIN, at(now + wait - 1))
        assert (early.standing, early.wait) == (Standing.TOO_EARLY, timedelta(seconds=1))
        now += wait
        assert pad.enter(SHOP, ADA, "0000", at(now)).standing is Standing.WRONG
    assert pad.enter(SHOP, ADA, PIN, at(now + 900)).standing is Standing.IDENTIFIED


def test_a_try_that_comes_too_early_counts_for_nothing() -> None:
    pad = PinPad()
    for _ in range(FREE_TRIES):
        pad.enter(SHOP, ADA, "0000", at(0))
    for second in range(1, 30):
        assert pad.enter(SHOP, ADA, "0000", at(second)).standing is Standing.TOO_EARLY
    assert pad.enter(SHOP, ADA, PIN, at(30)).standing is Standing.IDENTIFIED


def test_the_right_pin_forgets_the_wrong_ones() -> None:
    pad = PinPad()
    for _ in range(4):
        for _ in range(FREE_TRIES - 1):
            pad.enter(SHOP, ADA, "0000", at(0))
        assert pad.enter(SHOP, ADA, PIN, at(0)).standing is Standing.IDENTIFIED


def test_one_persons_slips_keep_nobody_else_waiting() -> None:
    shop = replace(SHOP, people=(*SHOP.people, Person("Cora Lind", ("fitter",), KEPT)))
    pad = PinPad()
    for name in (ADA, "ADA FITCH", "ada  fitch"):
        pad.enter(shop, name, "0000", at(0))
    assert pad.enter(shop, ADA, PIN, at(1)).standing is Standing.TOO_EARLY
    assert pad.enter(shop, "Cora Lind", PIN, at(1)).standing is Standing.IDENTIFIED


def test_a_set_clock_makes_no_wait_shorter() -> None:
    pad = PinPad()
    for _ in range(FREE_TRIES):
        pad.enter(SHOP, ADA, "0000", at(0))
    forward = replace(at(1), utc=at(10**6).utc)
    assert pad.enter(SHOP, ADA, PIN, forward).standing is Standing.TOO_EARLY


@pytest.mark.parametrize("pin", ["7731", "not digits", "73" * 5000])
def test_a_typed_pin_stands_in_no_answer_and_is_not_kept(pin: str) -> None:
    pad = PinPad()
    answer = pad.enter(SHOP, ADA, pin, at(0))
    assert answer.standing is Standing.WRONG
    assert pin not in repr(answer) + repr(vars(pad))
