"""Not before: a time of day of the shop's own clock, or a condition. No key brings the morning nearer."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from runner.job.events import ReadingSuperseded, TimeCame
from runner.job.intents import ChangePerson, Confirm, MeasureAgain, StartPass, Type
from runner.job.waits import first_at
from tests.job.a_bench import Bench
from tests.job.an_oven import cleaned, oven

BERLIN = ZoneInfo("Europe/Berlin")
SKIM = ("Skim", "F1")


def coated() -> Bench:
    """Coated at 07:30 on a Monday; it is to rest till 06:00, which is Tuesday's."""
    bench = cleaned(oven())
    bench.do(Confirm())
    return bench


def test_the_first_such_hour_after_the_act_is_meant_and_not_a_second_earlier() -> None:
    bench = coated().later(hours=22, minutes=29, seconds=59)
    assert bench.refused(Confirm()) == "'rested' is not before 06:00, in 1 s"
    bench.later(seconds=1)
    bench.do(Confirm())
    assert bench.only(TimeCame).due == "06:00"


def test_a_refusal_in_the_evening_names_the_day() -> None:
    assert (
        coated().later(hours=10).refused(Confirm())
        == "'rested' is not before Tue 4 Mar 06:00, in 12 h 30 min"
    )


def test_a_clock_set_forward_brings_no_morning() -> None:
    bench = coated().later(hours=1).clock_set(days=1)
    assert "in 21 h 30 min" in bench.refused(Confirm())


def test_a_clock_set_back_never_shortens_the_rest() -> None:
    bench = coated().later(hours=1).clock_set(hours=-1).later(hours=21, minutes=30)
    assert "in 1 h 0 min" in bench.refused(Confirm())


def test_the_night_over_a_restart_counts() -> None:
    bench = coated()
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(hours=22, minutes=30)
    bench.do(Confirm())
    assert "restarted in between" in bench.only(TimeCame).note


# Changes of 2031 in Berlin: 30 March 01:00 UTC and 26 October 01:00 UTC (last Sundays; Directive 2000/84/EC).
@pytest.mark.parametrize(
    ("clock", "after", "wanted"),
    [
        ("06:00", "2031-03-29T20:00", "2031-03-30T04:00"),  # 21:00 winter to 06:00 summer: eight hours
        ("06:00", "2031-10-25T19:00", "2031-10-26T05:00"),  # 21:00 summer to 06:00 winter: ten hours
        ("02:30", "2031-03-29T20:00", "2031-03-30T01:30"),  # no such time that night; the clock shows 03:30
        ("02:30", "2031-10-25T20:00", "2031-10-26T00:30"),  # shown twice: the first
        ("02:30", "2031-10-26T00:45", "2031-10-26T01:30"),  # after the first, the second comes
        ("02:30", "2031-10-26T01:45", "2031-10-27T01:30"),
        ("00:00", "2031-06-01T22:00", "2031-06-02T22:00"),  # at midnight itself the next one is meant
    ],
)
def test_the_shops_clock_is_followed_over_both_changes(clock: str, after: str, wanted: str) -> None:
    start, due = (datetime.fromisoformat(one).replace(tzinfo=UTC) for one in (after, wanted))
    assert first_at(clock, start, BERLIN) == due


def test_every_hour_of_a_year_comes_within_a_day_and_an_hour_and_never_before() -> None:
    start = datetime(2031, 1, 1, tzinfo=UTC)
    for hours in range(0, 366 * 24, 7):
        after = start + timedelta(hours=hours)
        gone = first_at("02:30", after, BERLIN) - after
        assert timedelta(0) < gone <= timedelta(hours=25)


def warm(room: str = "40") -> Bench:
    bench = oven()
    bench.do(StartPass(SKIM), Type("0.1"), Type(room))
    return bench


def test_a_condition_that_is_not_so_is_refused_with_what_it_is() -> None:
    assert warm().refused(Confirm()) == "'cool' waits for room <= 22 degC, and here it is 40 degC <= 22 degC"


def test_what_a_condition_waits_for_is_read_again_as_often_as_it_takes() -> None:
    bench = warm()
    for room in ("35", "30", "25", "22"):
        again = bench.do(MeasureAgain("room", "later"))
        assert isinstance(again[0], ReadingSuperseded) and not again[0].counts
        bench.do(Type(room))
    bench.do(Confirm())
    assert bench.only(TimeCame).due == "22 degC <= 22 degC"


def test_any_other_reading_counts_against_its_maximum_meanwhile_and_that_one_does_afterwards() -> None:
    bench = warm("20")
    assert bench.do(MeasureAgain("cut", "the stop slipped"))[0].counts  # type: ignore[attr-defined]
    bench.do(Type("0.1"), Confirm())
    bench.do(MeasureAgain("room", "doubtful"), Type("20"), Confirm())
    assert "which is the most" in bench.refused(MeasureAgain("room", "doubtful"))
