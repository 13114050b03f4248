"""The runs of a soak as they are drawn: typed and logged readings at their own minutes, over restarts, one run after another."""

from __future__ import annotations

from pathlib import Path

from runner.job.intents import BeginSitting, MakeLoad, StartPass, Type
from runner.job.moments import utc_text
from runner.job.rows import kind_of, to_body
from runner.journal import KeptRow
from runner.paper.soak_traces import traces
from runner.paper.totals import totals
from runner.paper.trace import Trace
from runner.procedure.model import Soak
from runner.session.at_work import ReadJob
from tests.job import test_loggers as logged
from tests.job.a_bench import Bench
from tests.job.an_oven import oven

KEY = ("Bake", "tray 1")


def baking() -> Bench:
    bench = oven()
    bench.do(MakeLoad("batch", "tray 1", ("F1", "F2")), StartPass(KEY))
    return bench


def read_of(bench: Bench) -> ReadJob:
    rows = [
        KeptRow(number, utc_text(one.at.utc), kind_of(one), to_body(one), "")
        for number, one in enumerate(bench.events, 1)
    ]
    return ReadJob(Path("41.db"), bench.job, bench.state, tuple(bench.events), tuple(rows))


def drawn_of(bench: Bench) -> list[Trace]:
    read, step = read_of(bench), bench.job.step(KEY, 1)
    assert isinstance(step, Soak)
    mine = [
        (number, one) for number, one in enumerate(bench.events, 1) if getattr(one, "part", "") == "tray 1"
    ]
    return traces(read, KEY, step, mine)


def at(trace: Trace, place: str) -> list[tuple[float, float]]:
    return [(round(one.minutes, 3), one.value) for one in trace.samples if one.place == place]


def test_each_round_stands_at_its_minute_whatever_the_wall_clock_was_set_to() -> None:
    bench = baking()
    bench.do(Type("200 201"))
    bench.later(minutes=20).clock_set(hours=-1)
    bench.do(Type("199 200"))
    (trace,) = drawn_of(bench)
    assert at(trace, "F1") == [(0, 200), (20, 199)] and (trace.low, trace.high) == (195, 205)
    assert [(one.start, one.end, one.whole) for one in trace.counted] == [(0, 20, True)]


def test_a_restart_in_between_takes_the_time_of_the_wall_clock() -> None:
    bench = baking()
    bench.do(Type("200 201"))
    bench.later(minutes=5).restart(minutes=15)
    bench.do(BeginSitting("bench"), Type("199 200"))
    bench.later(minutes=10)
    bench.do(Type("199 200"))
    (trace,) = drawn_of(bench)
    assert at(trace, "F2") == [(0, 201), (20, 200), (30, 200)]


def test_the_rows_of_a_logger_stand_at_their_own_minutes_and_the_hottest_is_told_of_the_total() -> None:
    bench = logged.at(logged.baking(), 35)
    logged.read(bench, [(0, "180.0"), *logged.every(10, 10, 30, "200.5")])
    logged.at(bench, 55)
    logged.read(bench, logged.every(10, 40, 50, "201.5"))
    (trace,) = drawn_of(bench)
    assert at(trace, "F1") == [(0, 180), (10, 200.5), (20, 200.5), (30, 200.5), (40, 201.5), (50, 201.5)]
    assert [(one.start, one.end, one.whole) for one in trace.counted][-1] == (30, 50, True)
    (heat,) = (one for one in totals(read_of(bench)) if one["total"] == "heat")
    assert heat["hottest"].startswith("201.5 degC (bake, F1, entry ")


def test_a_stretch_of_rows_of_which_only_a_part_counts_is_told_so() -> None:
    bench = logged.at(logged.baking(), 70)
    logged.read(bench, [*logged.every(10, 0, 20), (60, "200.0"), (70, "200.0")])
    (trace,) = drawn_of(bench)
    assert [one.whole for one in trace.counted] == [False]


def test_nothing_read_is_no_run_and_readings_before_a_whole_round_are_drawn() -> None:
    bench = baking()
    assert drawn_of(bench) == []
    bench.do(Type("200"))
    (trace,) = drawn_of(bench)
    assert at(trace, "F1") == [(0, 200)] and trace.counted == ()
