"""Alarms: raised once where somebody must act in time, grouped, in sight until what they are about is seen to."""

from __future__ import annotations

from dataclasses import replace

import pytest

from runner.job.alarms import Alarm, group_words, in_sight, lead, notices, standing, to_raise
from runner.job.events import AlarmAnswered, AlarmRaised, ClockStarted, ClockStopped, HeldDown, ReworkBegun
from runner.job.fold import fold
from runner.job.intents import (
    AnswerAlarm,
    Arm,
    BeginSitting,
    CallWitness,
    ChangePerson,
    ClockKey,
    Confirm,
    Dispose,
    Estimate,
    MakeLoad,
    Notice,
    Resume,
    StartPass,
    Stop,
    Suspend,
    Tick,
    Type,
)
from tests.job.a_bench import FITTER, Bench, named
from tests.job.an_oven import OVEN, cleaned, oven
from tests.shop.a_shop import a_shop

FRAMES = [f"F{number}" for number in range(1, 10)]
FIT = ("Fit", "F1")
FLASH = OVEN.replace(
    "      - do: Coat it\n",
    "      - wait: flashed\n        starts: cleaned\n        at least: 20 min\n        source: shop's own, invented\n"
    "      - do: Coat it\n",
)
SHOP = "shop: Frames that do not exist\nidle: 5 min\npeople:\n  - person: Ada Fitch\n    roles: [fitter]\n"


def standing_now(bench: Bench) -> list[Alarm]:
    return standing(bench.job, bench.state, bench.now)


def seen(bench: Bench) -> list[tuple[str, str]]:
    """The sort and the part of everything in sight."""
    return [(one.ref.sort, one.part) for one in in_sight(bench.job, bench.state, bench.now)]


def unanswered(bench: Bench) -> list[str]:
    return [ref.sort for ref, answered in bench.state.alarms.items() if not answered]


def raised(bench: Bench) -> list[AlarmRaised]:
    return [one for one in bench.events if isinstance(one, AlarmRaised)]


def baking(text: str = OVEN) -> Bench:
    bench = oven(text=text)
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(("Bake", "tray 1")), Type("200 200"))
    return bench


def driven() -> Bench:
    """The first key told: the clock runs, useful for 10 s and at last for 20 s."""
    bench = oven()
    bench.do(StartPass(FIT), Type("10"), Tick(1), Arm(), ClockKey())
    return bench


# one alarm for what comes due together


def test_eight_timers_within_a_minute_make_one_alarm_that_says_so() -> None:
    bench = oven(FRAMES)
    for frame in FRAMES[:8]:
        cleaned(bench, frame).later(seconds=7)
    for _ in range(60 * 60):
        bench.later(seconds=1)
        bench.do(Notice())
        if bench.now.boot - 500.0 >= 50 * 60 + 60:
            break
    (one,) = raised(bench)
    assert one.text == (
        "8 at once: Coat it on F1, F2, F3, F4, F5, F6, F7, F8; the first: 10 min 0 s left, until 08:30"
    )
    assert len(one.alarms) == 8 and one.who == ""


def test_what_comes_due_more_than_a_minute_later_is_another_alarm() -> None:
    bench = cleaned(oven())
    bench.later(seconds=61)
    cleaned(bench, "F2").later(minutes=48, seconds=59)
    bench.do(Notice())
    bench.later(seconds=61)
    bench.do(Notice())
    assert [len(one.alarms) for one in raised(bench)] == [1, 1]


def test_what_is_raised_a_little_ahead_is_in_sight_with_its_own_time() -> None:
    bench = cleaned(oven())
    bench.later(seconds=30)
    cleaned(bench, "F2").later(minutes=49, seconds=30)
    assert seen(bench) == [("window closing", "F1")]
    bench.do(Notice())
    assert [(one.part, one.left_s) for one in in_sight(bench.job, bench.state, bench.now)] == [
        ("F1", 600.0),
        ("F2", 630.0),
    ]


# answered, and new


def test_an_answer_stops_no_more_than_the_sound_until_the_work_is_done() -> None:
    bench = cleaned(oven()).later(minutes=50)
    bench.do(Notice(), AnswerAlarm())
    assert bench.only(AlarmAnswered).who == FITTER
    assert seen(bench) == [("window closing", "F1")] and unanswered(bench) == []
    bench.do(Confirm())
    assert seen(bench) == []


def test_what_is_new_after_an_answer_rings_again() -> None:
    bench = cleaned(oven()).later(minutes=5)
    cleaned(bench, "F2").later(minutes=45)
    bench.do(Notice(), AnswerAlarm())
    bench.later(minutes=5)
    bench.do(Notice())
    assert unanswered(bench) == ["window closing"] and len(raised(bench)) == 2
    bench.later(minutes=5, seconds=1)
    bench.do(AnswerAlarm(), Notice())
    assert unanswered(bench) == ["window missed"], "that it was missed is another thing than that it would be"


def test_nothing_is_raised_twice_nor_answered_twice() -> None:
    bench = cleaned(oven()).later(minutes=50)
    assert named(bench.do(Notice())) == ["alarm-raised"]
    assert bench.do(Notice()) == []
    bench.restart(seconds=30)
    bench.do(BeginSitting("bench"))
    assert bench.do(Notice()) == [], "another sitting knows what was raised in the one before"
    bench.do(AnswerAlarm())
    assert bench.refused(AnswerAlarm()) == "no alarm is waiting for an answer"


def test_a_window_that_runs_anew_rings_anew() -> None:
    bench = cleaned(oven()).later(minutes=61)
    bench.do(Notice(), AnswerAlarm(), Confirm())
    assert seen(bench) == []
    bench.do(Dispose("clean again", FITTER, "left too long"), Confirm())
    bench.later(minutes=50)
    bench.do(Notice())
    assert seen(bench) == [("window closing", "F1")] and unanswered(bench) == ["window closing"]


def test_an_alarm_is_no_entry_in_a_pass_and_shows_nobody_at_the_bench() -> None:
    bench = cleaned(oven()).later(minutes=50)
    acted, passes = bench.state.acted_at, bench.state.passes
    bench.do(Notice())
    assert (bench.state.acted_at, bench.state.passes) == (acted, passes)
    bench.do(ChangePerson("Cora Lind"), AnswerAlarm())
    assert bench.state.passes == passes


# nothing rings where nobody must act


def test_nothing_rings_before_its_time_nor_where_nothing_runs() -> None:
    assert oven().do(Notice()) == []
    bench = cleaned(oven()).later(minutes=49, seconds=59)
    assert bench.do(Notice()) == [] and seen(bench) == []


def test_a_wait_that_is_merely_over_is_told_and_never_rings() -> None:
    bench = Bench().frame_glued()
    bench.later(hours=2)
    assert bench.do(Notice()) == []
    assert [one.do for one in notices(bench.job, bench.state, bench.now)] == ["go on, cured is over"] * 2


def test_a_wait_that_a_window_runs_against_rings_with_the_windows_time() -> None:
    bench = cleaned(oven(text=FLASH)).later(minutes=19, seconds=59)
    assert bench.do(Notice()) == []
    bench.later(seconds=1)
    bench.do(Notice())
    assert raised(bench)[0].text == "go on, flashed is over on F1: 40 min 0 s left, until 08:30"
    bench.do(Confirm())
    assert seen(bench) == []


def test_a_window_on_a_part_that_waits_for_a_decision_is_silent() -> None:
    bench = cleaned(oven())
    bench.do(Stop("nonconforming", "a crack shows"))
    bench.later(hours=2)
    assert bench.do(Notice()) == []


def test_a_wait_that_cannot_be_gone_on_from_is_not_told() -> None:
    bench = Bench().frame_glued()
    bench.do(StartPass(("Cure", "F1/A")), Stop("cannot do as written", "the oven is full"))
    bench.later(hours=3)
    assert [one.part for one in notices(bench.job, bench.state, bench.now)] == ["F1/B"]


@pytest.mark.parametrize(
    ("window_s", "lead_s"),
    [(20, 10), (90, 45), (5 * 60, 60), (60 * 60, 600), (8 * 3600, 900), (72 * 3600, 900)],
)
def test_a_window_rings_a_sixth_of_its_time_ahead_within_a_minute_and_a_quarter_of_an_hour(
    window_s: float, lead_s: float
) -> None:
    assert lead(window_s) == pytest.approx(lead_s)


# soaks


def test_a_reading_of_a_soak_rings_when_it_is_due_and_again_when_it_is_too_late() -> None:
    bench = baking().later(minutes=20)
    bench.do(Notice(), AnswerAlarm())
    assert raised(bench)[0].text == "read bake again on tray 1: 5 min 0 s left, until 07:55"
    bench.later(minutes=5)
    bench.do(Notice())
    assert seen(bench) == [("reading late", "tray 1")] and unanswered(bench) == ["reading late"]
    bench.do(Type("200 200"))
    assert seen(bench) == []


def test_a_soak_that_waits_for_a_decision_says_so_for_the_oven_does_not_wait() -> None:
    bench = baking().later(minutes=10)
    bench.do(Type("200 221"))
    bench.later(minutes=20)
    assert standing_now(bench)[0].do == "decide on bake, which can't be read until then"


def test_the_longest_soak_and_the_total_of_heat_ring_before_they_are_over() -> None:
    bench = baking()
    for _ in range(5):
        bench.later(minutes=20)
        bench.do(Type("190 200"))
    assert "heat" not in {one.ref.sort for one in standing_now(bench)}
    bench.later(minutes=20)
    bench.do(Type("200 200"))
    bench.later(minutes=45)
    heats = [one for one in standing_now(bench) if one.ref.sort == "heat"]
    assert [(one.part, one.left_s) for one in heats] == [("F1", 900.0), ("F2", 900.0)]
    bench = baking().later(minutes=105)
    assert ("soak too long", "tray 1") in seen(bench)
    bench.later(minutes=16)
    assert next(one for one in standing_now(bench) if one.ref.sort == "soak too long").left_s == -60.0


# acts against the clock


def test_hands_are_told_when_they_may_let_go_until_they_do_something() -> None:
    bench = driven().later(seconds=8)
    bench.do(ClockKey())
    bench.later(seconds=20)
    assert named(bench.do(Notice())) == ["held-down", "alarm-raised"]
    assert seen(bench) == [("let go", "F1")]
    bench.later(seconds=5)
    bench.do(Confirm())
    assert seen(bench) == []


def test_a_key_that_was_missed_rings_while_it_can_still_be_told() -> None:
    bench = driven().later(seconds=21)
    assert named(bench.do(Notice())) == ["clock-stopped", "alarm-raised"]
    assert raised(bench)[0].text == (
        "tell when 'home' was, or 'chill again' begins on F1: 2 min 0 s left, until 07:32"
    )
    bench.later(seconds=30)
    bench.do(Estimate("9", "Cora counted"))
    assert seen(bench) == []


# suspended, handed over, nobody known to be there


def test_alarms_are_raised_and_answered_while_the_job_is_suspended() -> None:
    bench = cleaned(oven())
    bench.do(Suspend("lunch"))
    bench.later(minutes=50)
    assert named(bench.do(Notice())) == ["alarm-raised"]
    bench.do(AnswerAlarm())
    assert bench.only(AlarmAnswered).who == FITTER and bench.state.suspended


def in_shop() -> Bench:
    bench = oven()
    bench.job = replace(bench.job, shop=a_shop(SHOP))
    bench.do(ChangePerson(FITTER))
    return bench


def test_alarms_ring_where_nobody_is_known_to_be_there_and_an_answer_names_nobody() -> None:
    bench = cleaned(in_shop()).later(minutes=50)
    bench.do(Notice(), AnswerAlarm())
    assert bench.only(AlarmAnswered).who == ""
    assert bench.refused(Confirm()) == "who is at the bench is not known any more"


def test_the_key_against_the_clock_counts_though_nobody_is_known_to_be_there() -> None:
    bench = in_shop()
    bench.do(StartPass(FIT), Type("10"), Tick(1), Arm())
    bench.later(minutes=6)
    bench.do(ClockKey())
    bench.later(seconds=8)
    bench.do(ClockKey())
    bench.later(seconds=20)
    bench.do(Notice())
    told = [one for one in bench.events if isinstance(one, ClockStarted | ClockStopped | HeldDown)]
    assert [one.who for one in told] == ["", "", ""]
    assert bench.only(ClockStopped).taken_s == 8.0
    assert "" not in bench.at(FIT).people
    assert bench.refused(Confirm()) == "who is at the bench is not known any more"


def test_a_missed_key_is_noticed_though_nobody_is_known_to_be_there_and_by_nobody() -> None:
    bench = in_shop()
    bench.do(StartPass(FIT), Type("10"), Tick(1), Arm())
    bench.later(minutes=4, seconds=50)
    bench.do(ClockKey())
    bench.later(minutes=6)
    bench.do(Notice())
    assert bench.only(ClockStopped).who == ""
    assert bench.refused(Tick(1)) == "who is at the bench is not known any more"


# laws


def test_every_beginning_of_a_job_with_alarms_folds_and_works_out_what_stands() -> None:
    bench = cleaned(oven(text=FLASH)).later(minutes=50)
    bench.do(Notice(), AnswerAlarm(), Confirm(), Confirm(), Suspend("night"), Resume())
    for count in range(len(bench.events) + 1):
        state = fold(bench.events[:count])
        job = bench.job.as_loaded(state.loads)
        new = to_raise(job, state, bench.now)
        assert {one.ref for one in new}.isdisjoint(state.alarms)
        assert not new or group_words(job, new, bench.now)


def test_a_witness_who_did_not_come_is_only_told() -> None:
    text = OVEN.replace(
        "      - do: Wipe it\n",
        "      - witness point: wiping seen\n        by: inspector\n        goes on after: 10 min\n      - do: Wipe it\n",
    )
    bench = oven(text=text)
    bench.do(StartPass(("Skim", "F1")), Type("0.1"), Type("20"), Confirm(), CallWitness())
    bench.later(minutes=10)
    assert bench.do(Notice()) == []
    assert [one.what for one in notices(bench.job, bench.state, bench.now)] == ["wiping seen"]


def test_a_way_out_that_is_taken_by_itself_is_nobodys() -> None:
    bench = driven().later(seconds=21)
    bench.do(Notice())
    bench.later(minutes=2)
    bench.do(Notice())
    begun = bench.only(ReworkBegun)
    assert (begun.title, begun.by, begun.who) == ("chill again", "", "")
