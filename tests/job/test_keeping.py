"""What is to be kept so stays in view till the time it ends with is recorded, on every part that belongs with it."""

from __future__ import annotations

from runner.job.intents import Confirm, Dispose, StartPass, Stop, Type
from runner.job.keeping import kept
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_bench import INSPECTOR, Bench
from tests.procedure.texts import HEAD, reading, stage

KEEP = "keep: Keep water off the head\nends: cold"
TEXT = (
    HEAD
    + stage("Heat", "head", "do: Take it out", KEEP)
    + stage("Cool", "seat", reading("bore"), "do: Feel it\ntimed as: cold")
)
HEAT, EX, IN = ("Heat", "H1"), ("Cool", "H1/EX"), ("Cool", "H1/IN")
LINE = "Keep water off the head (H1, until cold)"


def made(text: str = TEXT) -> Procedure:
    procedure, problems = read_procedure(text, "small.yaml")
    assert procedure is not None, problems
    return procedure


def heated() -> Bench:
    bench = Bench(made(), {"head": ["H1"]})
    bench.do(StartPass(HEAT), Confirm())
    assert kept(bench.job, bench.state) == []
    bench.do(Confirm())
    return bench


def test_it_is_in_view_from_when_it_is_confirmed_whatever_else_is_in_hand() -> None:
    bench = heated()
    assert bench.at(HEAT).done, "it holds up nothing"
    assert kept(bench.job, bench.state) == [LINE]
    bench.do(StartPass(EX))
    assert kept(bench.job, bench.state) == [LINE]


def test_it_ends_when_the_time_is_recorded_on_every_part_inside() -> None:
    bench = heated()
    bench.do(StartPass(EX), Type("40"), Confirm())
    assert kept(bench.job, bench.state) == [LINE]
    bench.do(StartPass(IN), Type("40"), Confirm())
    assert kept(bench.job, bench.state) == []


def test_a_part_that_is_scrapped_is_not_waited_for() -> None:
    bench = heated()
    bench.do(StartPass(EX), Type("40"), Confirm())
    bench.do(StartPass(IN), Stop("nonconforming", "cracked"), Dispose("scrap", INSPECTOR, "cracked through"))
    assert kept(bench.job, bench.state) == []


def test_in_one_pass_it_ends_with_a_later_step_of_its_own() -> None:
    text = HEAD + stage("Fit", "seat", KEEP, "do: Drive it home", "do: Feel it\ntimed as: cold")
    bench = Bench(made(text), {"head": ["H1"]})
    bench.do(StartPass(("Fit", "H1/EX")), Confirm(), Confirm())
    assert kept(bench.job, bench.state) == ["Keep water off the head (H1/EX, until cold)"]
    bench.do(Confirm())
    assert kept(bench.job, bench.state) == []
