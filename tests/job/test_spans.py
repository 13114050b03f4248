"""How long it was between two recorded times, as a value in formulas: proved by the clocks, worked anew when one is recorded anew."""

from __future__ import annotations

from runner.job.events import CheckDecided, NotWorked, ValueWorked
from runner.job.intents import ChangePerson, Confirm, Correct, StartPass, Type
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_bench import FITTER, Bench
from tests.procedure.texts import HEAD, kinds_of, problems_of, reading, stage, working

RATE = "work out: lost\nas: (filled - left) / (looked - closed)\nto the nearest: 0.1 mm/h"
TEXT = HEAD + stage(
    "Leak",
    "seat",
    reading("filled"),
    "do: Close the valve\ntimed as: closed\nshow: [filled]",
    "read: left\nask: What is left\nunit: mm\nplausible: 0 mm to 90 mm\ntimed as: looked",
    RATE,
    "check: lost\nat most: 2 mm/h\nsource: common practice\nif not: [scrap]",
    "do: Wipe it",
)
LEAK = ("Leak", "H1/EX")


def made(text: str = TEXT) -> Procedure:
    procedure, problems = read_procedure(text, "small.yaml")
    assert procedure is not None, problems
    return procedure


def closed() -> Bench:
    bench = Bench(made(), {"head": ["H1"]})
    bench.do(StartPass(LEAK), Type("50"), Confirm())
    return bench


def worked(bench: Bench) -> ValueWorked:
    return [one for one in bench.events if isinstance(one, ValueWorked)][-1]


def test_the_time_between_two_acts_is_a_value_and_is_shown_in_the_working() -> None:
    bench = closed().later(minutes=30)
    bench.do(Type("49.5"))
    # by hand: 0.5 mm in half an hour
    assert worked(bench).shown == "1.0 mm/h"
    assert worked(bench).with_values == "(50 mm - 49.5 mm) / (30 min 0 s)"
    assert [one.name for one in worked(bench).inputs] == ["filled", "left", "looked since closed"]
    assert bench.only(CheckDecided).met


def test_a_clock_that_is_set_changes_nothing() -> None:
    bench = closed().clock_set(hours=2).later(minutes=30)
    bench.do(Type("49.5"))
    assert worked(bench).shown == "1.0 mm/h"


def test_over_a_restart_it_is_what_the_clocks_prove_and_the_input_says_so() -> None:
    bench = closed()
    bench.do(ChangePerson("Cora Lind"))
    bench.restart(minutes=30)
    bench.do(Type("49.5"))
    assert worked(bench).shown == "1.0 mm/h"
    assert "restarted" in worked(bench).inputs[-1].origin


def test_where_the_clock_stood_behind_after_a_restart_there_is_no_value() -> None:
    bench = closed().later(minutes=10)
    bench.do(ChangePerson(FITTER + " II"))
    bench.restart(hours=-3)
    bench.do(Type("49.5"))
    assert "how long it was from 'closed' to 'looked' is not known" in bench.only(NotWorked).sentence


def test_an_act_that_no_longer_stands_is_waited_for_and_its_new_time_counts() -> None:
    bench = closed().later(minutes=30)
    bench.do(Type("49.5"))
    bench.do(Correct(LEAK, "filled", "", "60", "wrong line"))
    assert bench.step == 2 and len([one for one in bench.events if isinstance(one, ValueWorked)]) == 1
    bench.do(Confirm())
    assert len([one for one in bench.events if isinstance(one, ValueWorked)]) == 1, (
        "looked before it was closed"
    )


MOMENTS = ("do: Fill it\ntimed as: closed", "do: Look\ntimed as: looked")


def test_one_time_alone_is_no_value_and_the_fix_says_what_is() -> None:
    (problem,) = problems_of(stage("A", "seat", *MOMENTS, working("a", "looked + 1 min")))
    assert problem.kind == "time" and "looked - …" in problem.fix


def test_the_difference_is_a_duration_and_both_times_must_be_recorded_by_then() -> None:
    hours = "work out: a\nas: looked - closed\nto the nearest: 1 min"
    assert kinds_of(stage("A", "seat", *MOMENTS, hours)) == []
    assert kinds_of(stage("A", "seat", *MOMENTS, working("a", "looked - closed"))) == ["kinds"]
    assert kinds_of(stage("A", "seat", MOMENTS[0], hours, MOMENTS[1])) == ["not-yet-known"]
    only = stage("A", "seat", *MOMENTS, "only if: looked - closed > 1 h\nsteps:\n  - do: Dry it")
    assert kinds_of(only) == []
