"""A logger's rows in a soak: readings at their own moments, never of another time, and never counted twice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.job import events as e
from runner.job.due import running
from runner.job.intents import (
    BeginSitting,
    Confirm,
    Correct,
    Dispose,
    Hurry,
    Intent,
    LeaveLoad,
    LoggerRow,
    MakeLoad,
    ReadLogger,
    Resume,
    StartPass,
    Stop,
    Suspend,
    TakeLogger,
    Type,
)
from runner.job.job import Refusal
from runner.job.moments import hurried
from runner.job.soaks import wanted_now
from runner.procedure.model import Soak
from tests.job.a_bench import MORNING, Bench
from tests.job.an_oven import OVEN, oven

KEY = ("Bake", "tray 1")
FILE = "oven.csv"
Row = tuple[float, str]
"""Minutes since the morning, and what the logger wrote."""


def baking(*frames: str, text: str = OVEN, **more: bool) -> Bench:
    """Frames in the oven from the morning on, and a logger's file for the first of them."""
    bench = oven(frames=frames or ("F1",), text=text, **more)
    bench.do(MakeLoad("batch", "tray 1", frames or ("F1",)), StartPass(KEY))
    bench.do(TakeLogger(KEY, FILE, (frames or ("F1",))[0], ""))
    return bench


def every(step: float, first: float, last: float, typed: str = "200.0") -> list[Row]:
    """The same temperature again and again, from one minute to another."""
    return [(first + at * step, typed) for at in range(int((last - first) / step) + 1)]


def rows(*found: Row) -> tuple[LoggerRow, ...]:
    return tuple(
        LoggerRow(line, MORNING.utc + timedelta(minutes=at), typed, Fraction(typed.replace(",", ".")))
        for line, (at, typed) in enumerate(found, 1)
    )


def reads(bench: Bench, found: Sequence[Row], file: str = FILE, *said: str) -> Intent:
    """The intent of a bench that found these rows since it looked last."""
    logger = bench.at(KEY).soaks[1].loggers[file]
    to = logger.read_bytes + 30 * len(found)
    return ReadLogger(KEY, file, logger.read_bytes, to, 0, f"{file} to {to}", rows(*found), said)


def read(bench: Bench, found: Sequence[Row], file: str = FILE) -> list[e.Event]:
    return bench.do(reads(bench, found, file))


def at(bench: Bench, minutes: float) -> Bench:
    """The bench so many minutes after the morning, if nobody set its clock."""
    return bench.later(seconds=round(minutes * 60 - (bench.now.utc - MORNING.utc).total_seconds(), 6))


def last(bench: Bench) -> e.SoakRound:
    return next(one for one in reversed(bench.events) if isinstance(one, e.SoakRound))


def counted(bench: Bench) -> float:
    """Minutes that count."""
    return bench.at(KEY).soaks[1].total_s / 60


def heat(bench: Bench, frame: str = "F1") -> float:
    return round(bench.state.totals.get((frame, "heat"), 0.0) / 60, 3)


def kept(bench: Bench) -> list[e.LoggerRead]:
    return [one for one in bench.events if isinstance(one, e.LoggerRead)]


# rows at their own moments


def test_a_soak_is_done_by_rows_alone_each_at_its_own_moment() -> None:
    bench = at(baking(), 90)
    read(bench, [(0, "150"), *every(10, 20, 90)])
    done = bench.only(e.SoakDone)
    assert (done.total_s, done.at, bench.at(KEY).done) == (3600, bench.now, True)


def test_a_soak_ends_in_the_middle_of_an_imported_file_and_the_rows_after_it_are_only_counted() -> None:
    bench = at(baking(), 600)
    read(bench, [*every(10, 0, 90), *every(10, 100, 590, "280")])
    assert bench.at(KEY).done and bench.at(KEY).failed is None and heat(bench) == 60
    (found,) = kept(bench)
    assert len(found.rows) == 7 and found.said == ("53 rows add nothing, of after bake was done",)


def test_a_file_that_grows_counts_as_it_is_read_and_tells_one_round_a_look() -> None:
    bench = baking()
    for minute in range(10, 70, 10):
        read(at(bench, minute), every(1, minute - 9, minute))
        assert counted(bench) == pytest.approx(min(minute - 1, 59))
    assert not bench.at(KEY).done and last(bench).round == 6 and last(bench).left_s == 60
    read(at(bench, 61), [(61, "200.0")])
    assert bench.only(e.SoakDone).total_s == 3600


def test_nothing_new_in_the_file_is_no_event() -> None:
    bench = at(baking(), 10)
    read(bench, every(1, 0, 10))
    assert read(bench, []) == []


def test_a_comma_is_kept_as_it_was_written_and_told_at_its_minute() -> None:
    bench = at(baking(), 30)
    read(bench, [(0, "200,5"), (10, "221,5")])
    assert [row.typed for row in kept(bench)[0].rows] == ["200,5", "221,5"]
    sentence = "F1 was at 221,5 degC at 07:40, over 220 degC (shop's own, invented)"
    assert bench.only(e.SoakStopped).sentence == sentence


def test_nobody_answers_for_a_row_and_it_shows_nobody_at_the_bench() -> None:
    bench = at(baking(), 30)
    acted, people = bench.state.acted_at, bench.at(KEY).people
    read(bench, every(10, 0, 30))
    assert {one.who for one in bench.events if isinstance(one, e.LoggerRead | e.SoakRound)} == {""}
    assert bench.state.acted_at == acted and bench.at(KEY).people == people


# gaps


def test_a_gap_proves_nothing_and_its_heat_counts_in_full_at_the_hotter_neighbour() -> None:
    bench = at(baking(), 70)
    read(bench, [*every(10, 0, 20, "140"), (60, "200.0"), (70, "200.0")])
    assert counted(bench) == 10 and heat(bench) == 50
    assert last(bench).note == "1 h 0 min not inside and not counted"
    bench = at(baking(), 70)
    read(bench, [*every(10, 0, 20), (60, "200.0"), (70, "200.0")])
    assert counted(bench) == 30 and heat(bench) == 70
    assert last(bench).note == "a gap of 40 min 0 s proves nothing, and does not count"


def test_rows_exactly_as_far_apart_as_may_be_count_and_a_little_further_do_not() -> None:
    bench = at(baking(), 60)
    read(bench, [(0, "200"), (25, "200")])
    assert counted(bench) == 25
    bench = at(baking(), 60)
    read(bench, [(0, "200"), (25.05, "200")])
    assert counted(bench) == 0


def test_what_is_not_inside_breaks_the_time_on_both_sides_of_it() -> None:
    bench = at(baking(), 30)
    read(bench, [(0, "200"), (10, "200"), (15, "194.9"), (20, "200"), (30, "200")])
    assert counted(bench) == 20 and not last(bench).inside
    assert (last(bench).coldest, last(bench).hottest) == ("194.9 degC", "200.0 degC")


# rows of another time


def test_rows_of_before_the_soak_began_count_for_nothing_and_are_not_kept() -> None:
    bench = at(baking(), 30)
    read(bench, [*every(10, -600, -10, "280"), *every(10, 0, 30)])
    assert counted(bench) == 30 and bench.at(KEY).failed is None
    (found,) = kept(bench)
    assert len(found.rows) == 4 and found.said == ("60 rows add nothing, of before bake could begin",)


def test_rows_of_before_the_step_before_was_done_count_for_nothing() -> None:
    text = OVEN.replace("      - soak: bake\n", "      - do: Close the door\n      - soak: bake\n")
    bench = oven(frames=("F1",), text=text)
    bench.do(MakeLoad("batch", "tray 1", ("F1",)), StartPass(KEY))
    assert "does not stand at a soak" in bench.refused(TakeLogger(KEY, FILE, "", ""))
    at(bench, 30).do(Confirm(), TakeLogger(KEY, FILE, "", ""))
    at(bench, 60)
    found = ReadLogger(KEY, FILE, 0, 400, 7, "hash", rows(*every(10, 0, 60)), ())
    bench.do(found)
    assert bench.at(KEY).soaks[2].total_s == 1800


def test_rows_of_a_time_still_to_come_count_for_nothing() -> None:
    bench = at(baking(), 30)
    read(bench, [*every(10, 0, 30), *every(10, 40, 120)])
    assert counted(bench) == 30
    assert kept(bench)[0].said == (
        "9 rows add nothing, for being ahead of the bench's clock, by up to 1 h 30 min",
    )


def test_a_logger_a_little_ahead_of_the_bench_counts_no_second_that_the_bench_has_not_lived() -> None:
    bench = at(baking(), 30)
    read(bench, [*every(10, 0, 20), (30.5, "200.0")])
    assert counted(bench) == 30 and kept(bench)[0].said == ()
    read(at(bench, 31), [(31.5, "200.0")])
    assert counted(bench) == 31


# doubled, out of order, mixed


def test_rows_out_of_order_are_counted_in_the_order_of_time() -> None:
    bench = at(baking(), 30)
    read(bench, [(20, "200"), (0, "200"), (30, "200"), (10, "150")])
    assert counted(bench) == 10


def test_rows_read_once_more_and_older_ones_are_kept_told_and_add_nothing() -> None:
    bench = at(baking(), 30)
    read(bench, every(10, 0, 30))
    was = heat(bench)
    assert read(bench, [(5, "120"), *every(10, 0, 30)])[-1] == kept(bench)[-1]
    assert counted(bench) == 30 and heat(bench) == was
    assert len(kept(bench)[-1].aside) == 5 and kept(bench)[-1].rows == ()
    assert kept(bench)[-1].said == ("5 rows add nothing, of a time that was counted already",)
    read(at(bench, 40), [(40, "200")])
    assert counted(bench) == 40


def test_a_gap_at_two_places_is_one_gap() -> None:
    bench = baking("F1", "F2")
    bench.do(Type("200 201"))
    at(bench, 40).do(Type("199 200"))
    assert last(bench).note == "a gap of 40 min 0 s proves nothing, and does not count"


def test_a_copy_of_the_file_adds_nothing() -> None:
    bench = at(baking(), 30)
    bench.do(TakeLogger(KEY, "copy.csv", "F1", ""))
    for file in (FILE, "copy.csv"):
        read(bench, every(10, 0, 30), file)
    assert counted(bench) == 30 and heat(bench) == 30


def test_typed_rounds_and_rows_are_counted_together_and_no_minute_twice() -> None:
    bench = baking()
    bench.do(Type("200"))
    at(bench, 20).do(Type("200"))
    assert counted(bench) == 20
    read(at(bench, 40), every(10, 0, 40))
    assert counted(bench) == 40 and len(kept(bench)[0].aside) == 3
    at(bench, 50).do(Type("200"))
    assert counted(bench) == 50 and heat(bench) == 50
    read(at(bench, 60), every(10, 50, 60))
    assert bench.at(KEY).done


def test_a_row_hotter_than_may_be_stops_even_where_its_time_was_counted() -> None:
    bench = baking()
    bench.do(Type("200"))
    at(bench, 20).do(Type("200"))
    read(bench, [(10, "230")])
    assert "F1 was at 230 degC at 07:40" in bench.only(e.SoakStopped).sentence and counted(bench) == 20


# several places


def test_of_two_parts_the_one_without_a_logger_is_typed_and_both_must_be_inside() -> None:
    bench = baking("F1", "F2")
    read(at(bench, 5), every(1, 0, 5))
    assert counted(bench) == 0 and not bench.state.totals
    step = bench.job.step(KEY, 1)
    assert isinstance(step, Soak)
    assert wanted_now(bench.job, bench.state, KEY, step) == [("F2", "")]
    bench.do(Type("200"))
    assert bench.refused(Type("200 200")).startswith("2 readings were typed, and 1 are wanted")
    read(at(bench, 25), every(1, 6, 25))
    assert counted(bench) == 0  # what F2 is by now nobody knows yet
    bench.do(Type("194"))
    assert counted(bench) == 0 and heat(bench, "F1") == 25 and heat(bench, "F2") == 20
    assert "not inside and not counted" in last(bench).note


def test_the_count_goes_as_far_as_every_place_was_read_and_the_rest_waits() -> None:
    bench = baking("F1", "F2")
    at(bench, 0).do(Type("200 200"))
    read(at(bench, 10), every(1, 1, 10))
    assert counted(bench) == 0 and heat(bench, "F1") == 0
    read(at(bench, 20), every(1, 11, 18))
    bench.do(Type("200"))
    assert counted(bench) == 18 and (heat(bench, "F1"), heat(bench, "F2")) == (18, 18)
    read(at(bench, 21), [(19, "200"), (21, "200")])
    assert counted(bench) == 20


def test_two_loggers_of_which_one_stops_count_until_it_stopped_and_then_a_person_reads() -> None:
    bench = baking("F1", "F2")
    bench.do(TakeLogger(KEY, "other.csv", "F2", ""))
    read(at(bench, 30), every(1, 0, 30))
    read(bench, every(1, 0, 20), "other.csv")
    assert counted(bench) == 20
    read(at(bench, 42), every(1, 31, 42))
    assert counted(bench) == 20
    bench.do(Type("200"))
    assert counted(bench) == 42


def test_a_place_whose_logger_fell_silent_is_read_by_hand_again() -> None:
    bench = baking("F1", "F2")
    step = bench.job.step(KEY, 1)
    assert isinstance(step, Soak)
    read(at(bench, 5), every(1, 0, 5))
    assert wanted_now(bench.job, bench.state, KEY, step, bench.now) == [("F2", "")]
    at(bench, 26)
    assert wanted_now(bench.job, bench.state, KEY, step, bench.now) == [("F1", ""), ("F2", "")]


def test_a_part_with_a_logger_that_is_taken_out_takes_its_heat_with_it() -> None:
    bench = baking("F1", "F2")
    bench.do(Type("200 200"))
    read(at(bench, 10), every(1, 1, 10))
    at(bench, 12).do(LeaveLoad("tray 1", "F1", "its tag had come off"))
    assert heat(bench, "F1") == 12
    assert "F1 is no longer in this soak" in bench.refused(reads(bench, [(13, "200")]))


def test_which_place_a_file_stands_for_is_asked_where_there_are_several_and_it_keeps_it() -> None:
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(KEY))
    assert bench.refused(TakeLogger(KEY, FILE, "", "")) == "which place does oven.csv stand for?"
    assert bench.refused(TakeLogger(KEY, FILE, "F9", "")) == "'bake' is not read at 'F9'"
    bench.do(TakeLogger(KEY, FILE, "f2", ""))
    assert bench.only(e.LoggerTaken).member == "F2"
    assert bench.refused(TakeLogger(KEY, FILE, "F1", "")) == "oven.csv stands for F2 already"


def test_one_file_does_not_stand_for_two_parts_under_two_names() -> None:
    bench = at(baking("F1", "F2"), 30)
    bench.do(TakeLogger(KEY, "copy.csv", "F2", ""))
    found = rows(*every(10, 0, 30))
    bench.do(ReadLogger(KEY, FILE, 0, 100, 4, "one hash", found, ()))
    answer = bench.refused(ReadLogger(KEY, "copy.csv", 0, 100, 4, "one hash", found, ()))
    assert answer == "copy.csv holds the same as oven.csv, which stands for F1"


# stops


def test_over_its_temperature_in_the_rows_a_soak_stops_and_is_done_after_a_concession() -> None:
    bench = at(baking(), 100)
    read(bench, [*every(10, 0, 30), (35, "221"), *every(10, 40, 100)])
    assert "F1 was at 221 degC at 08:05" in bench.only(e.SoakStopped).sentence
    assert counted(bench) == 60 and not bench.at(KEY).done
    assert "F1 was at 221" in bench.refused(reads(bench, [(100, "200")]))
    bench.do(Stop("nonconforming", "the thermostat ran away"))
    bench.do(Dispose("concession", "Olga Rand", "hardness was read and holds"))
    assert bench.only(e.SoakDone).total_s == 3600 and bench.at(KEY).done


def test_heat_is_over_its_limit_by_rows_as_by_typed_rounds() -> None:
    bench = at(baking(), 240)
    read(bench, every(10, 0, 210, "190"))
    assert counted(bench) == 0 and heat(bench) == 210
    assert bench.only(e.TotalOver).bearers == ("F1",)


def test_a_soak_that_may_have_been_too_long_stops() -> None:
    bench = at(baking(), 200)
    read(bench, [(0, "200"), (130, "200"), (140, "200")])
    assert "may have lasted 2 h 20 min, over 120 min" in bench.only(e.SoakStopped).sentence


def test_a_row_that_cannot_be_is_told_by_its_line_and_proves_nothing() -> None:
    bench = at(baking(), 30)
    read(bench, [(0, "200"), (10, "-40"), (20, "200"), (30, "200")])
    assert counted(bench) == 30
    assert kept(bench)[0].said == (
        "1 row adds nothing, for not being plausible, the first -40 degC in line 2",
    )
    bench = at(baking(), 30)
    read(bench, [(0, "200"), (10, "850")])
    assert "F1 was at 850 degC" in bench.only(e.SoakStopped).sentence


# clocks


@pytest.mark.parametrize("minutes", [-90.0, -5.0, 3.0, 15.0, 90.0])
def test_a_clock_set_between_two_looks_makes_no_minute_more_than_there_were(minutes: float) -> None:
    """The logger runs on the bench's own clock, so its rows jump when that is set."""
    bench = baking()
    read(at(bench, 10), every(1, 0, 10))
    bench.later(minutes=5)
    bench.clock_set(minutes=minutes).later(minutes=5)
    read(bench, [*every(1, 11, 15), *every(1, 16 + minutes, 20 + minutes)])
    assert counted(bench) <= 20 and heat(bench) <= 20


@pytest.mark.parametrize("minutes", [-90.0, -5.0, 3.0, 15.0, 90.0])
def test_a_set_clock_makes_no_minute_more_of_a_logger_with_a_clock_of_its_own(minutes: float) -> None:
    bench = baking()
    read(at(bench, 10), every(1, 0, 10))
    bench.clock_set(minutes=minutes).later(minutes=10)
    read(bench, every(1, 11, 20))
    assert counted(bench) <= 20


def test_rows_bridge_a_power_cut_by_the_wall_clock_and_that_is_said() -> None:
    bench = baking()
    read(at(bench, 10), every(5, 0, 10))
    bench.later(minutes=1).restart(minutes=29)
    bench.do(BeginSitting("bench"))
    read(bench, every(5, 15, 40))
    assert counted(bench) == 40 and heat(bench) == 40
    assert last(bench).note == "the machine was restarted in between; that part is by its wall clock alone"


def test_a_machine_that_wakes_with_its_clock_behind_proves_nothing_by_rows() -> None:
    bench = baking()
    read(at(bench, 40), every(5, 0, 40))
    bench.restart(minutes=-30).do(BeginSitting("bench"))
    bench.later(minutes=5)
    read(bench, [(12, "200"), (15, "200")])
    assert counted(bench) == 43 and last(bench).note.endswith(
        "the time since the reading before proves nothing"
    )


def test_what_is_due_is_reckoned_from_the_row_that_was_counted_last() -> None:
    bench = baking()
    read(at(bench, 15), every(1, 0, 10))
    (due,) = running(bench.job, bench.state, bench.now)
    assert due.earliest == MORNING.utc + timedelta(minutes=30)
    assert due.then == "read again; over at 08:30 at the soonest"


# what is refused


def test_rows_are_not_read_into_a_rehearsal_that_was_hurried() -> None:
    bench = at(baking(rehearsal=True), 10)
    read(bench, every(1, 0, 10))
    bench.do(Hurry(3600))
    bench.now = hurried(bench.now, 3600)
    assert "was hurried, and a logger's clock was not" in bench.refused(reads(bench, [(70, "200")]))
    assert "was hurried" in bench.refused(TakeLogger(KEY, "other.csv", "F1", ""))


def test_while_the_job_is_suspended_the_rows_wait_and_count_afterwards() -> None:
    bench = at(baking(), 10)
    read(bench, every(1, 0, 10))
    bench.do(Suspend("for the night"))
    at(bench, 30)
    assert "the job is suspended" in bench.refused(reads(bench, every(1, 11, 30)))
    bench.do(Resume())
    read(bench, every(1, 11, 30))
    assert counted(bench) == 30


def test_a_logger_is_read_while_another_pass_is_in_hand() -> None:
    bench = at(baking(), 60)
    bench.do(StartPass(("Coat", "F1")))
    read(bench, every(10, 0, 60))
    assert bench.at(KEY).done and bench.state.in_hand == ("Coat", "F1")


def test_what_was_read_stays_where_it_is_and_is_not_read_from_elsewhere() -> None:
    bench = at(baking(), 30)
    read(bench, every(10, 0, 10))
    twice = ReadLogger(KEY, FILE, 0, 60, 2, "hash", rows(*every(10, 0, 10)), ())
    assert "was read on meanwhile" in bench.refused(twice)
    assert "stands for no place" in bench.refused(ReadLogger(KEY, "x\x1b.csv", 0, 1, 1, "", (), ()))
    assert "there is no" in bench.refused(TakeLogger(("Bake", "tray 9"), FILE, "", ""))


def test_a_long_file_is_kept_in_several_entries_and_counts_once() -> None:
    bench = at(baking(), 59)
    read(bench, every(0.05, 0, 58))
    assert [len(one.rows) for one in kept(bench)] == [500, 500, 161]
    assert counted(bench) == pytest.approx(58) and heat(bench) == 58


def test_texts_of_a_file_are_bounded_and_never_reach_a_terminal_as_they_are() -> None:
    bench = baking()
    for name in ("", "a" * 101, "x\x1b[2J.csv", "two\nlines"):
        assert "a name that can be read" in bench.refused(TakeLogger(KEY, name, "F1", ""))
    said = ["\x1b[2J" + "x" * 5000] * 90
    bench.do(ReadLogger(KEY, FILE, 0, 9, 9, "hash", (), tuple(said)))
    found = kept(bench)[0].said
    assert len(found) == 30 and all(len(one) == 200 and "\x1b" not in one for one in found)


def test_a_file_with_one_fault_is_told_once() -> None:
    bench = baking()
    gone = ReadLogger(KEY, FILE, 0, 0, 0, "", (), ("oven.csv can't be read: it is gone",))
    assert len(bench.do(gone)) == 1 and bench.do(gone) == []


def test_too_many_rows_at_once_are_refused() -> None:
    bench = baking()
    row = LoggerRow(1, datetime(2031, 3, 3, tzinfo=MORNING.utc.tzinfo), "1", Fraction(1))
    answer = bench.ask(ReadLogger(KEY, FILE, 0, 1, 1, "h", (row,) * 30_001, ()))
    assert isinstance(answer, Refusal) and "too many at once" in answer.sentence


def test_rows_of_before_a_soak_was_begun_anew_count_for_nothing_in_the_new_one() -> None:
    text = OVEN.replace(
        "      - soak: bake\n",
        "      - read: target\n        ask: What the oven is set to\n        unit: degC\n"
        "        plausible: 100 degC to 300 degC\n      - soak: bake\n",
    ).replace("within: 195 degC to 205 degC", "within: target - 5 K to target + 5 K")
    bench = oven(frames=("F1",), text=text)
    bench.do(MakeLoad("batch", "tray 1", ("F1",)), StartPass(KEY), Type("210"))
    bench.do(TakeLogger(KEY, FILE, "", ""))
    at(bench, 30).do(ReadLogger(KEY, FILE, 0, 99, 4, "hash", rows(*every(10, 0, 30)), ()))
    assert bench.at(KEY).soaks[2].total_s == 0
    bench.do(Correct(KEY, "target", "", "200", "it was set to 200"))
    bench.do(TakeLogger(KEY, FILE, "", ""))
    at(bench, 60).do(ReadLogger(KEY, FILE, 0, 199, 7, "hash", rows(*every(10, 0, 60)), ()))
    assert bench.at(KEY).soaks[2].total_s == 1800
    assert kept(bench)[-1].said == ("3 rows add nothing, of before bake could begin",)


# laws

LONG = OVEN.replace("at least: 60 min", "at least: 600 min").replace("at most: 120 min", "at most: 1200 min")
LOOKS = st.lists(
    st.tuples(
        st.integers(1, 9),
        st.lists(st.sampled_from(["200", "200", "200", "196", "150", "207"]), min_size=9, max_size=9),
        st.booleans(),
    ),
    min_size=1,
    max_size=9,
)
"""Minutes until the next look, what the logger writes in each, and whether it writes at all."""
RUNS = settings(max_examples=25, deadline=None, derandomize=True, database=None)


@RUNS
@given(LOOKS, LOOKS)
def test_however_often_the_bench_looks_what_counts_is_the_same(
    one: list[tuple[int, list[str], bool]], two: list[tuple[int, list[str], bool]]
) -> None:
    found: dict[str, list[list[Row]]] = {FILE: [], "other.csv": []}
    for file, looks in ((FILE, one), ("other.csv", two)):
        minute = 0.0
        for lasted, typed, writes in looks:
            wrote = [(minute + ahead + 1, typed[ahead]) for ahead in range(lasted if writes else 0)]
            found[file].append(wrote)
            minute += lasted
    totals = set()
    for at_once in (True, False):
        bench = baking("F1", "F2", text=LONG)
        bench.do(TakeLogger(KEY, "other.csv", "F2", ""))
        for number in range(9):
            for file, written in found.items():
                if not at_once and number < len(written):
                    at(
                        bench,
                        max([(bench.now.utc - MORNING.utc).seconds / 60, *(m for m, _ in written[number])]),
                    )
                    bench.do(reads(bench, written[number], file))
        at(bench, 100)
        for file, written in found.items():
            if at_once:
                bench.do(reads(bench, [row for rows_ in written for row in rows_], file))
        totals.add((round(bench.at(KEY).soaks[1].total_s), heat(bench, "F1"), heat(bench, "F2")))
    assert len(totals) == 1


@RUNS
@given(
    st.lists(
        st.tuples(st.integers(0, 12), st.integers(-30, 30), st.booleans(), st.integers(-20, 20)), max_size=12
    )
)
def test_no_clock_set_and_no_row_makes_a_minute_more_than_the_bench_has_lived(
    turns: list[tuple[int, int, bool, int]],
) -> None:
    bench, lived = baking(text=LONG), 0
    for lasted, by, is_set, shift in turns:
        bench.later(minutes=lasted)
        lived += lasted
        if is_set:
            bench.clock_set(minutes=by)
        now = (bench.now.utc - MORNING.utc).total_seconds() / 60
        bench.do(reads(bench, every(1, now + shift - 6, now + shift)))
        assert counted(bench) <= lived + 1e-6 and heat(bench) <= lived + 1e-3
        assert last(bench).longest_s <= lived * 60 + 1e-3 if bench.at(KEY).soaks[1].last else True
