"""A reading taken again: the old one stays on the record, and exactly what stood on it is undone."""

from __future__ import annotations

import pytest

from runner.job.events import (
    CheckDecided,
    HoldReleased,
    PassDone,
    ReadingSuperseded,
    ReadingTaken,
    ValueWorked,
    ZeroRead,
)
from runner.job.intents import Confirm, MeasureAgain, Release, Sign, StartPass, Stop, Tick, Type
from tests.job.a_bench import FITTER, INSPECTOR, A, B, Bench, named, said
from tests.job.a_small_procedure import TEXT, procedure

RING, ZERO, BORE, MEAN, MEAN_CHECK, PLAY, PLAY_CHECK, WALL, WEB, WEB_CHECK, SHIM, LAY, WIPE, HOLD, SIGN = (
    range(2, 17)
)
"""The steps of 'Measure' by number."""


def undone(bench: Bench, name: str) -> set[int]:
    """The steps that measuring again opens: those that were complete before and are not after."""
    before = bench.at(A).done_steps
    bench.again(name)
    return set(before - bench.at(A).done_steps)


def at_sign_off() -> Bench:
    return Bench().measure(upto="sign")


def test_the_reading_and_what_was_worked_from_it_are_open_again_and_the_rest_stands() -> None:
    assert undone(at_sign_off(), "bore") == {BORE, MEAN, MEAN_CHECK, HOLD}


def test_a_value_from_a_table_looked_up_by_the_reading_is_undone_with_what_shows_it() -> None:
    assert undone(at_sign_off(), "play") == {PLAY, PLAY_CHECK, SHIM, LAY, HOLD}


def test_one_reading_of_levels_and_axes_undoes_what_was_worked_from_any_of_it() -> None:
    assert undone(at_sign_off(), "wall") == {WALL, WEB, WEB_CHECK, HOLD}


def test_another_master_undoes_its_zero_and_what_was_read_with_that_gauge_since() -> None:
    bench = at_sign_off()
    assert undone(bench, "ring_size") == {RING, ZERO, BORE, MEAN, MEAN_CHECK, HOLD}
    assert said(bench.only(ReadingSuperseded), "name", "because") == ("ring_size", "the gauge was tilted")
    assert set(bench.at(A).out_of_date) == {ZERO, BORE, MEAN, MEAN_CHECK, HOLD}
    bench.do(Type("10.000"), Type("10.000"))
    assert bench.step == BORE
    assert bench.refused(Type("10.009")).startswith("'bore' is out of date: ring_size on F1/A is read again")


def test_points_read_so_far_go_with_the_zero_they_were_read_on() -> None:
    bench = Bench().measure(upto="bore")
    bench.do(Type("10.009"))
    bench.again("ring_size")
    bench.do(Type("10.001"), Type("10.001"))
    assert bench.step == BORE
    assert [said(one, "name", "counts") for one in bench.events if isinstance(one, ReadingSuperseded)] == [
        ("ring_size", True),
        ("bore", False),
    ]
    assert bench.refused(Type("1 2 3 4")) == "4 readings were typed, and 3 readings are wanted"


def test_a_gauge_zeroed_on_another_master_in_between_keeps_its_readings() -> None:
    text = TEXT.replace(
        "      - read: bore\n",
        "      - read: second_ring\n        ask: Size of the second ring\n        unit: mm\n"
        "        plausible: 5 mm to 50 mm\n"
        "      - zero: bore gauge\n        on: the second ring\n        within: 0.002 mm of second_ring\n"
        "      - read: bore\n",
    )
    bench = Bench(procedure(text)).measure(upto="bore gauge")
    bench.do(Type("10.000"), Type("12.000"), Type("12.000"), Type("10.009 10.010 10.011"))
    bench.again("ring_size")
    assert bench.at(A).done_steps >= {4, 5, 6, 7, 8}
    assert ("F1/A", "bore") in bench.state.known


def test_a_wait_that_ran_from_an_act_done_again_runs_anew() -> None:
    text = TEXT.replace(
        "        show: [shim_size]\n",
        "        show: [shim_size]\n        timed as: laid\n"
        "      - wait: settled\n        starts: laid\n        at least: 10 min\n        source: common practice\n",
    )
    bench = Bench(procedure(text)).measure(upto="shim")
    bench.do(Confirm())
    bench.later(minutes=10).do(Confirm())
    assert undone(bench, "play") == {PLAY, PLAY_CHECK, SHIM, LAY, LAY + 1}
    bench.do(Type("0.02"), Confirm())
    assert "10 min 0 s of 10 min left" in bench.refused(Confirm())


def test_the_first_readings_stay_on_the_record_as_they_were_typed() -> None:
    bench = at_sign_off()
    bench.again("bore")
    bench.do(Type("10.008 10.009 10.010"))
    typed = [one.typed for one in bench.events if isinstance(one, ReadingTaken) and one.name == "bore"]
    assert typed == ["10.009", "10.010", "10.011", "10.008", "10.009", "10.010"]
    assert [
        one.shown for one in bench.events if isinstance(one, ValueWorked) and one.name == "bore_mean"
    ] == [
        "10.010 mm",
        "10.009 mm",
    ]


def test_the_hold_behind_a_changed_reading_is_released_again() -> None:
    bench = at_sign_off()
    bench.again("wall")
    bench.do(Type("4.00 4.00 4.00 4.00"))
    assert bench.step == HOLD
    assert bench.refused(Sign(FITTER)) == "hold point 'hole released' is released by an inspector"
    bench.do(Release(INSPECTOR, ("no burr", "shim there")), Sign(FITTER))
    assert sum(isinstance(one, HoldReleased) for one in bench.events) == 2
    assert named(bench.events[-2:]) == ["signed-off", "pass-done"]


def test_a_failed_check_is_decided_again_against_the_same_limit() -> None:
    bench = Bench().measure(bore="10.025 10.026 10.027")
    failed = bench.only(CheckDecided)
    bench.again("bore")
    assert bench.at(A).failed is None
    bench.do(Type("10.018 10.019 10.020"))
    second = [one for one in bench.events if isinstance(one, CheckDecided)][-1]
    assert (failed.met, second.met) == (False, True)
    assert (failed.low, failed.high, failed.source) == (second.low, second.high, second.source)


def test_a_value_again_over_its_limit_stops_again() -> None:
    bench = Bench().measure(bore="10.025 10.026 10.027")
    for _ in range(3):
        bench.again("bore")
        bench.do(Type("10.025 10.025 10.025"))
        assert "over the limit" in bench.refused(Type("0.01"))
    assert not any(isinstance(one, PassDone) for one in bench.events)


def test_a_concession_ends_when_its_value_is_measured_again() -> None:
    from runner.job.intents import Dispose

    bench = Bench().measure(bore="10.025 10.026 10.027")
    bench.do(Stop("nonconforming", "too large"), Dispose("concession", "Olga Prince", "the pin is large too"))
    assert bench.step == PLAY
    bench.again("bore")
    assert bench.step == BORE
    bench.do(Type("10.030 10.030 10.030"))
    assert "over the limit" in bench.refused(Type("0.01"))


def test_a_list_half_ticked_that_shows_the_changed_value_begins_again() -> None:
    text = TEXT.replace(
        "      - do: Lay the shim beside its hole\n",
        "      - do: Lay the shim beside its hole\n        tick:\n          - Cut\n          - Laid\n",
    )
    bench = Bench(procedure(text)).measure(upto="shim")
    bench.do(Tick(1))
    bench.again("play")
    bench.do(Type("0.03"))
    assert bench.refused(Confirm()) == "not ticked yet: Cut, Laid"


def test_a_reading_half_taken_can_be_begun_again() -> None:
    bench = Bench().measure(upto="bore")
    bench.do(Type("10.009 10.010"))
    bench.again("bore")
    bench.do(Type("10.001 10.002 10.003"))
    assert bench.only(ValueWorked).shown == "10.002 mm"


def test_a_set_question_is_dropped_when_an_earlier_reading_is_taken_again() -> None:
    bench = Bench().measure(upto="play")
    bench.do(Type("3"))
    bench.again("bore")
    bench.do(Type("10.010 10.010 10.010"))
    assert named(bench.do(Type("3"))) == ["entry-questioned"]


def test_a_brother_keeps_all_its_own() -> None:
    bench = at_sign_off()
    bench.measure(B, upto="sign")
    known = {name: one for name, one in bench.state.known.items() if name[0] == "F1/A"}
    bench.again("ring_size")
    assert {name: one for name, one in bench.state.known.items() if name[0] == "F1/A"} == known


@pytest.mark.parametrize(
    ("name", "because", "sentence"),
    [
        ("bore", "  ", "measuring again needs its reason"),
        ("bore_mean", "why", "no reading of this pass is called 'bore_mean'"),
        ("wall", "why", "'wall' has not been read yet"),
        ("", "why", "no reading of this pass is called ''"),
    ],
)
def test_what_was_not_read_or_has_no_reason_is_not_taken_again(
    name: str, because: str, sentence: str
) -> None:
    assert Bench().measure(upto="play").refused(MeasureAgain(name, because)) == sentence


def test_a_pass_that_is_done_is_not_opened_by_measuring_again() -> None:
    bench = Bench().measure()
    assert bench.refused(MeasureAgain("bore", "why")) == "no pass is in hand"
    assert bench.refused(StartPass(A)) == "'Measure' is done on F1/A"


def test_a_gauge_that_does_not_read_back_is_set_again_and_each_try_is_kept() -> None:
    bench = Bench().measure(upto="bore gauge")
    bench.do(Type("10.003"))
    bad = bench.only(ZeroRead)
    assert not bad.good and bench.step == ZERO
    assert bad.sentence == (
        "the bore gauge reads 10.003 mm on the ring and should read 10.000 mm (0.002 mm of ring_size); "
        "set it again and read it back"
    )
    bench.do(Type("10.002"))
    good = [one for one in bench.events if isinstance(one, ZeroRead)][-1]
    assert good.good and good.sentence == "the bore gauge reads 10.002 mm on the ring"


def test_a_gauge_that_reads_back_exactly_is_told_in_its_own_digits() -> None:
    bench = Bench().measure(upto="bore")
    assert bench.only(ZeroRead).sentence == "the bore gauge reads 10.000 mm on the ring"
