"""What time did, in one plain line for the record, with what was allowed and what it took; and what is told first."""

from __future__ import annotations

from runner.job import events as e
from runner.job.events import Event
from runner.job.intents import (
    Arm,
    ClockKey,
    Confirm,
    Estimate,
    MakeLoad,
    Notice,
    OpenDoor,
    StandDown,
    StartPass,
    Tick,
    Type,
)
from runner.paper.deviations import AROUND, TIMED, sort_of
from runner.paper.words import line
from tests.job.a_bench import Bench
from tests.job.an_oven import cleaned, oven


def told(bench: Bench, *kinds: type[Event]) -> list[str]:
    return [line(one) for one in bench.events if isinstance(one, kinds)]


def baked() -> Bench:
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(("Bake", "tray 1")), Type("200 201"))
    bench.do(OpenDoor("a probe had slipped"))
    bench.later(minutes=30)
    bench.do(Type("200 221"))
    return bench


def driven() -> Bench:
    bench = oven()
    bench.do(
        StartPass(("Fit", "F1")), Type("10"), Tick(1), Arm(), StandDown("the phone rang"), Arm(), ClockKey()
    )
    bench.later(seconds=21)
    bench.do(Notice(), Estimate("12", "Cora counted"))
    bench.later(seconds=20)
    bench.do(Notice())
    return bench


def test_a_soak_tells_each_reading_and_what_each_round_proved() -> None:
    assert told(baked(), e.SoakPoint)[1] == "bake F2 201 degC"
    assert told(baked(), e.SoakRound) == [
        "bake round 1: 200.0 degC to 201.0 degC, inside 195 degC to 205 degC; 0 s counted, 0 s in all, 1 h 0 min left",
        "bake round 2: 200.0 degC to 221.0 degC, NOT INSIDE 195 degC to 205 degC; 0 s counted, 0 s in all, "
        "1 h 0 min left (not inside; the time since the reading before does not count)",
    ]
    assert told(baked(), e.SoakStopped, e.DoorOpened) == [
        "the oven was opened: a probe had slipped",
        "STOPPED: F2 was at 221 degC, over 220 degC (shop's own, invented)",
    ]
    assert told(baked(), e.TotalGrew)[0] == (
        "heat on F1 is 30.0 min, of the 3 h it may add up to: bake, 30 min 0 s by the hotter of two readings"
    )


def test_a_clock_tells_the_seconds_allowed_and_taken_and_marks_an_estimate() -> None:
    assert told(driven(), e.ClockArmed)[0] == (
        "drive armed: useful 10.0 s (open_for), last 20.0 s (2 * open_for), for open_for 10 s"
    )
    assert told(driven(), e.ClockStoodDown, e.ClockStarted, e.ClockStopped, e.HeldDown) == [
        "drive stood down: the phone rang",
        "drive begun: door",
        "MISSED: F1: 20.0 s went by, and 'home' was not told (useful 10.0 s, last 20.0 s)",
        "home: F1: drive took 12.0 s, over the useful 10.0 s and inside the last 20.0 s "
        "(useful 10.0 s, last 20.0 s); AN ESTIMATE put in later: Cora counted",
        "drive held down 20.0 s after 12.0 s",
    ]


def test_a_time_of_day_tells_when_it_came() -> None:
    bench = cleaned(oven())
    bench.do(Confirm())
    bench.later(hours=23)
    bench.do(Confirm())
    assert told(bench, e.TimeCame) == ["rested: 06:00"]


def test_every_event_of_time_has_its_line() -> None:
    for bench in (baked(), driven()):
        assert all(line(one) for one in bench.events)


def test_what_went_wrong_with_time_is_among_the_deviations() -> None:
    events = (*baked().events, *driven().events)
    assert [(type(one), sort_of(one)) for one in events if sort_of(one)] == [
        (e.DoorOpened, TIMED),
        (e.SoakRound, TIMED),
        (e.SoakStopped, TIMED),
        (e.ClockStoodDown, AROUND),
        (e.ClockStopped, TIMED),
        (e.ClockStopped, TIMED),
    ]


def test_the_way_up_into_the_band_is_no_deviation_and_a_gap_after_it_is_one() -> None:
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(("Bake", "tray 1")), Type("120 118"))
    bench.later(minutes=5).do(Type("190 186"))
    bench.later(minutes=5).do(Type("200 196"))
    assert not [one for one in bench.events if sort_of(one)]
    bench.later(minutes=30).do(Type("200 199"))
    assert [type(one) for one in bench.events if sort_of(one)] == [e.SoakRound]
