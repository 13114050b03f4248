"""Steps taken in from a shared file, worked: their values are the part's own, under the name they were taken in by."""

from __future__ import annotations

from runner.job.events import JobOpened, ReadingCorrected, ReadingTaken, TimeCame, ValueWorked
from runner.job.intents import Confirm, Correct, StartPass, Type
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_bench import Bench
from tests.procedure.test_steps_taken_in import COLD, SHARED, WALL, WARM, beside
from tests.procedure.texts import HEAD, reading, stage, working

TEXT = (
    HEAD
    + stage("Temper", "head", COLD, "do: Warm it", WARM, working("rise", "warm.part_temp - cold.part_temp"))
    + stage("Measure", "seat", reading("bore"), WALL, "do: Show it\nshow: [boss.wall, boss.outside]")
).replace("nearest: 0.001 mm", "nearest: 1 K", 1)
TEMPER, MEASURE = ("Temper", "H1"), ("Measure", "H1/EX")


def made() -> Procedure:
    procedure, problems = read_procedure(TEXT, "small.yaml", None, beside())
    assert procedure is not None, problems
    return procedure


def tempered() -> Bench:
    bench = Bench(made(), {"head": ["H1"]})
    bench.do(StartPass(TEMPER), Type("21"), Type("21"), Confirm(), Confirm())
    bench.do(Type("31"), Type("30"), Confirm())
    return bench


def test_a_job_keeps_the_shared_file_whole_with_its_hash() -> None:
    opened = Bench(made(), {"head": ["H1"]}).only(JobOpened)
    (kept,) = opened.taken_in
    assert (kept.path, kept.text, len(kept.sha256)) == ("shared/steps.yaml", SHARED, 64)


def test_each_taking_has_its_own_readings_and_its_own_condition_to_wait_for() -> None:
    bench = tempered()
    names = [one.name for one in bench.events if isinstance(one, ReadingTaken)]
    assert names == ["cold.part_temp", "cold.gauge_temp", "warm.part_temp", "warm.gauge_temp"]
    assert [one.due for one in bench.events if isinstance(one, TimeCame)] == [
        "abs(21 degC - 21 degC) <= 1 K",
        "abs(31 degC - 30 degC) <= 1 K",
    ]
    assert bench.only(ValueWorked).shown == "10 K"


def test_the_condition_of_a_taking_waits_for_its_own_readings() -> None:
    bench = Bench(made(), {"head": ["H1"]})
    bench.do(StartPass(TEMPER), Type("25"), Type("21"))
    assert "abs(25 degC - 21 degC) <= 1 K" in bench.refused(Confirm())


def test_a_need_is_the_parts_own_value_and_a_correction_of_it_puts_the_taken_steps_out_of_date() -> None:
    bench = tempered()
    bench.do(StartPass(MEASURE), Type("40.00"), Type("46.0 46.0 46.0 46.0"))
    # by hand: (46.0 - 40.00) / 2
    assert [one.shown for one in bench.events if isinstance(one, ValueWorked)][-1] == "3.00 mm"
    bench.do(Confirm())
    assert bench.at(MEASURE).done
    bench.do(Correct(MEASURE, "bore", "", "41.00", "read a millimetre low"))
    assert [one.shown for one in bench.events if isinstance(one, ValueWorked)][-1] == "2.50 mm"
    assert list(bench.at(MEASURE).out_of_date) == [5], "the act that showed the wall"


def test_a_reading_taken_in_is_corrected_by_its_whole_name() -> None:
    bench = tempered()
    bench.do(Correct(TEMPER, "warm.part_temp", "", "30", "a digit too high"))
    assert bench.only(ReadingCorrected).name == "warm.part_temp"
    assert [one.shown for one in bench.events if isinstance(one, ValueWorked)][-1] == "9 K"
    assert bench.at(TEMPER).done is False, "the wait stood on it"
