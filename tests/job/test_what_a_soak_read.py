"""What was read last in a soak by its name, and how long it counted: on the load, and on each part in it."""

from __future__ import annotations

from runner.job.events import ValueWorked
from runner.job.intents import MakeLoad, StartPass, Type
from tests.job.a_bench import Bench
from tests.job.an_oven import OVEN, oven
from tests.procedure.texts import kinds_of, problems_of, reading, stage, working

AFTER = """
      - work out: hottest
        as: max(bake)
        to the nearest: 1 degC
      - work out: was_in
        as: bake.minutes
        to the nearest: 1 min

  - stage: Take out
    for each: frame
    after: Bake
    steps:
      - work out: own_heat
        as: bake + 0 K
        to the nearest: 1 degC
      - work out: own_time
        as: bake.minutes
        to the nearest: 1 min
      - do: Lay it down
        show: [bake, bake.minutes]

  - stage: Fit
"""
TEXT = OVEN.replace("\n  - stage: Fit\n", AFTER.lstrip("\n") and AFTER)


def baked() -> Bench:
    bench = oven(text=TEXT)
    bench.do(MakeLoad("batch", "T1", ("F1", "F2")), StartPass(("Bake", "T1")), Type("200 201"))
    for round_ in ("201 203", "202 204", "200 205"):
        bench.later(minutes=20)
        bench.do(Type(round_))
    return bench


def worked(bench: Bench, name: str) -> ValueWorked:
    return [one for one in bench.events if isinstance(one, ValueWorked) and one.name == name][-1]


def test_on_the_load_the_name_is_what_was_read_last_on_every_part() -> None:
    bench = baked()
    assert worked(bench, "hottest").shown == "205 degC"
    assert worked(bench, "hottest").inputs[0].shown == "(200.0 205.0) degC"
    assert worked(bench, "was_in").shown == "60 min"


def test_on_a_part_in_the_load_it_is_its_own_reading() -> None:
    bench = baked()
    for frame, heat in (("F1", "200 degC"), ("F2", "205 degC")):
        bench.do(StartPass(("Take out", frame)))
        assert worked(bench, "own_heat").shown == heat
        assert worked(bench, "own_time").shown == "60 min"


def test_a_soak_has_nothing_else_behind_its_dot() -> None:
    soak = (
        "soak: warm\nask: How warm\nunit: degC\nplausible: 0 degC to 300 degC\nwithin: 90 degC to 110 degC\n"
        "at least: 5 min\nreading every: 2 min\nnever over: 120 degC\nsource: common practice\nif not: [scrap]"
    )
    (problem,) = problems_of(stage("A", "seat", soak, working("a", "warm.hours * 1")))
    assert problem.kind == "unknown-name" and problem.fix == "write warm.minutes for the time that counted"
    assert kinds_of(stage("A", "seat", soak, "work out: a\nas: warm - 20 degC\nto the nearest: 1 K")) == []
    points = soak.replace("unit: degC", "unit: degC\npoints: 2")
    assert kinds_of(stage("A", "seat", points, "work out: a\nas: warm - 20 degC\nto the nearest: 1 K")) == [
        "group"
    ]


def test_a_check_is_of_a_value_made_here_and_no_figure_of_the_procedure_or_of_another_part() -> None:
    check = "check: {}\nat most: 1 mm\nsource: common practice\nif not: [scrap]"
    assert kinds_of(stage("A", "seat", reading("bore"), check.format("allowed"))) == ["check-of"]
    other = stage("A", "seat", reading("bore")) + stage("B", "head", check.format("EX.bore"), after="A")
    assert kinds_of(other) == ["check-of"]
