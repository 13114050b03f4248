"""Whose act it is, who may, and with which of the shop's instruments."""

from __future__ import annotations

from dataclasses import replace

import pytest

from runner.job.events import EntryQuestioned, GaugeTaken, HoldReleased, PersonChanged, ReadingTaken, ZeroRead
from runner.job.intents import (
    Acknowledge,
    ChangePerson,
    Confirm,
    Release,
    Resume,
    SeeShop,
    Sign,
    StartPass,
    StillStand,
    Stop,
    Suspend,
    TakeGauge,
    Type,
)
from tests.job.a_bench import FITTER, INSPECTOR, named
from tests.job.a_ringed_plate import NUMBER, TEXT, P, PlateBench, Q
from tests.shop.a_shop import a_shop

SHOP = """\
shop: Plates that do not exist
idle: 20 min
people:
  - person: Ada Fitch
    roles: [fitter]
  - person: Ben Stone
    roles: [fitter, inspector]
  - person: Olga Prince
    roles: [owner]
instruments:
"""
DIAL = """\
  - instrument: {id}
    kind: dial
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: {until}
"""
RULE = """\
  - instrument: R-1
    kind: rule
    reads to: 0.1 mm
    uncertainty: 0.1 mm
    calibrated until: 2031-06-30
"""
LASTING = TEXT.replace("        good for: 20 min\n", "")


def shop_with(*dials: tuple[str, str], people: bool = False) -> str:
    text = "".join(DIAL.format(id=id_, until=until) for id_, until in dials) + RULE
    head = SHOP if people else "shop: Plates that do not exist\ninstruments:\n"
    return head + text


def with_shop(text: str, bench: PlateBench | None = None) -> PlateBench:
    bench = bench or PlateBench(LASTING)
    bench.job = replace(bench.job, shop=a_shop(text))
    bench.do(SeeShop())
    return bench


GOOD, ALSO, PAST = ("D-1", "2031-06-30"), ("D-2", "2031-06-30"), ("D-3", "2031-03-02")
LAST_DAY = ("D-4", "2031-03-03")


def at_zero(*dials: tuple[str, str]) -> PlateBench:
    bench = with_shop(shop_with(*dials)).receive()
    bench.do(StartPass(P), Acknowledge(), Confirm())
    return bench


def test_every_reading_keeps_which_gauge_it_was_taken_with_and_until_when_that_was_calibrated() -> None:
    bench = at_zero(GOOD)
    bench.type("10.000")
    bench.type("10.000 10.002")
    taken = [one for one in bench.events if isinstance(one, ReadingTaken) and one.name == "bore"]
    assert {(one.gauge, one.calibrated_until, one.instrument) for one in taken} == {
        ("D-1", "2031-06-30", "dial")
    }


def test_an_instrument_past_its_calibration_is_refused_and_on_its_last_day_it_is_not() -> None:
    assert at_zero(PAST).refused(Type("10.000")) == "D-3 was calibrated until 2031-03-02, which is past"
    at_zero(LAST_DAY).do(Type("10.000"))
    bench = at_zero(GOOD, PAST)
    assert bench.refused(TakeGauge("dial", "D-3")) == "D-3 was calibrated until 2031-03-02, which is past"


def test_two_of_a_kind_must_be_told_apart_before_one_is_used() -> None:
    bench = at_zero(GOOD, ALSO)
    assert bench.refused(Type("10.000")) == "which dial is it? The shop has D-1, D-2"
    bench.do(TakeGauge("dial", "d-2"))
    bench.type("10.000")
    assert bench.only(ZeroRead).gauge == bench.only(GaugeTaken).gauge == "D-2"


@pytest.mark.parametrize("mark", ["D-9", "", "R-1"])
def test_a_mark_that_the_shop_does_not_have_is_no_gauge(mark: str) -> None:
    assert at_zero(GOOD, ALSO).refused(TakeGauge("dial", mark)) == f"no dial of the shop is marked '{mark}'"


def test_another_gauge_than_the_one_zeroed_is_zeroed_first() -> None:
    bench = at_zero(GOOD, ALSO)
    bench.do(TakeGauge("dial", "D-1"), Type("10.000"), TakeGauge("dial", "D-2"))
    assert bench.step == NUMBER["zero"]
    bench.do(Type("10.000"))
    assert bench.step == NUMBER["bore"]


def test_the_gauge_that_was_zeroed_may_be_said_afterwards() -> None:
    bench = at_zero(GOOD)
    bench.do(Type("10.000"), TakeGauge("dial", "D-1"))
    assert bench.step == NUMBER["bore"]


def test_a_gauge_exchanged_in_the_shop_file_is_zeroed_before_it_reads() -> None:
    bench = at_zero(GOOD)
    bench.do(Type("10.000"))
    with_shop(shop_with(ALSO), bench)
    assert bench.step == NUMBER["zero"]


def test_a_failed_zero_doubts_every_reading_with_that_gauge_since_its_last_good_one_on_all_parts() -> None:
    bench = at_zero(GOOD, ALSO)
    bench.do(TakeGauge("dial", "D-1"))
    bench.type("10.000")
    bench.type("10.000 10.002")
    bench.do(StartPass(Q), Acknowledge(), Confirm())
    asked = bench.do(Type("10.200"))
    assert isinstance(asked[0], EntryQuestioned)
    assert asked[0].why.endswith("one reading with it since its last good zero go out of date")
    assert bench.dated(P) == set()
    bench.do(Type("10.200"))
    assert bench.dated(P) == {"zero", "bore", "bore_mean", "bore_check", "depth"}
    bench.do(StartPass(P))
    assert bench.step == NUMBER["zero"]


def test_the_other_gauge_of_the_shop_keeps_its_readings() -> None:
    bench = at_zero(GOOD, ALSO)
    bench.do(TakeGauge("dial", "D-1"), Type("10.000"))
    bench.type("10.000 10.002")
    bench.do(StartPass(Q), Acknowledge(), Confirm(), TakeGauge("dial", "D-2"))
    bench.do(Type("10.200"))
    assert bench.dated(P) == {"zero"}, "only the zero, for D-2 is in use now"
    assert bench.state.known[("1/P", "bore_mean")].shown == "10.001 mm"


def test_half_a_reading_on_a_doubted_zero_is_begun_anew() -> None:
    bench = at_zero(GOOD)
    bench.do(Type("10.000"), Type("10.000"))
    bench.do(StartPass(Q), Acknowledge(), Confirm(), Type("10.200"), Type("10.200"))
    assert ("1/P", "bore") not in bench.state.known
    bench.do(StartPass(P))
    assert bench.step == NUMBER["zero"]


def test_what_a_good_zero_proved_stays_proved_by_a_later_bad_one() -> None:
    bench = with_shop(shop_with(GOOD), PlateBench(LASTING, ("1", "2"))).receive().receive(plate="2")
    bench.bored(P, upto="lay").bored(Q, upto="bore")
    bench.do(StartPass(("Bore", "2/P")), Acknowledge(), Confirm(), Type("10.200"))
    assert bench.dated(P) == {"zero"}, "it is set anew before anything more is read on it"
    assert bench.state.known[("1/P", "bore_mean")].shown == "10.001 mm"


def test_a_second_reading_wants_an_instrument_in_date_too() -> None:
    bench = with_shop(shop_with(LAST_DAY)).receive().bored(P, upto="hold")
    bench.later(days=1)
    assert bench.refused(Release(INSPECTOR, ("no burr",), "10.000 10.002")) == (
        "D-4 was calibrated until 2031-03-03, which is past"
    )
    assert not any(isinstance(one, HoldReleased) for one in bench.events)


# people


def in_shop() -> PlateBench:
    bench = with_shop(shop_with(GOOD, people=True))
    bench.do(ChangePerson(FITTER))
    return bench


def test_only_people_of_the_shop_file_stand_at_the_bench() -> None:
    bench = in_shop()
    assert bench.refused(ChangePerson("Cora Lind")) == "the shop file has nobody called 'Cora Lind'"
    bench.do(ChangePerson(" ben  STONE "))
    assert bench.state.person == INSPECTOR and bench.only(PersonChanged, len(bench.events) - 1).roles == (
        "fitter", "inspector",
    )  # fmt: skip


def test_after_a_while_without_an_act_nobody_is_known_to_be_there() -> None:
    bench = in_shop().receive()
    bench.do(StartPass(P))
    bench.later(minutes=20).do(Acknowledge())
    bench.later(minutes=20, seconds=1)
    for intent in (Confirm(), Stop("cannot measure", "why"), Sign(FITTER), StillStand("why")):
        assert bench.refused(intent) == "who is at the bench is not known any more"
    bench.do(Suspend("night"))
    assert bench.refused(Resume()) == "who is at the bench is not known any more"
    bench.do(ChangePerson(FITTER), Resume())


def test_a_release_is_by_somebody_who_holds_the_role() -> None:
    bench = in_shop().receive().bored(P, upto="hold")
    assert (
        bench.refused(Release("Olga Prince", ("no burr",), "10.000 10.002"))
        == "Olga Prince is not an inspector"
    )
    assert bench.refused(Release("Cora Lind", ("no burr",), "10.000 10.002")).startswith(
        "the shop file has nobody"
    )
    bench.do(Release("ben stone", ("no burr",), "10.000 10.002"))


@pytest.mark.parametrize("name", ["shop", "The Shop", "everybody", "7", "", "  ", "operator"])
def test_a_name_that_many_go_by_is_nobodys(name: str) -> None:
    bench = PlateBench()
    assert "is nobody's own name" in bench.refused(ChangePerson(name))
    assert named(bench.do(ChangePerson("Cora Lind"))) == ["person-changed"]
