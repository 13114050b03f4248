"""Blocks gone through until something is so: each round is kept, the last one counts, and there is an end to it."""

from __future__ import annotations

from runner.job.events import CheckDecided, ReadingTaken, RoundBegun
from runner.job.intents import Acknowledge, Confirm, Correct, Dispose, MeasureAgain, StartPass, Stop, Type
from runner.job.nonconformance import ways_out
from runner.job.rounds import round_words
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_bench import FITTER, Bench
from tests.procedure.texts import HEAD, reading, stage, working

HONING = """repeat: honing
until: stock_left <= 0.01 mm
at most: 3 times
source: shop's own, invented
if not: [begin again, scrap]
steps:
  - do: Hone ten strokes
    beware: [flying grit]
    timed as: honed
  - read: bore
    ask: Bore
    unit: mm
    plausible: 0 mm to 90 mm
  - work out: stock_left
    as: wanted - bore
    to the nearest: 0.001 mm"""
TEXT = HEAD.replace(
    "stages:\n",
    """hazards:
  - warning: flying grit
    hazard: Grit flies
    consequence: eye hurt
    avoid: Goggles
reworks:
  - rework: begin again
    back to: wanted
    at most: 1 time
stages:
""",
) + stage(
    "Hone",
    "seat",
    reading("wanted"),
    HONING,
    working("left_at_last", "stock_left + 0 mm"),
    "do: Wash it\nshow: [left_at_last]",
)
HONE = ("Hone", "H1/EX")


def made(text: str = TEXT) -> Procedure:
    procedure, problems = read_procedure(text, "small.yaml")
    assert procedure is not None, problems
    return procedure


def at_the_hone() -> Bench:
    bench = Bench(made(), {"head": ["H1"]})
    bench.do(StartPass(HONE), Type("40.00"), Acknowledge())
    return bench


def hone(bench: Bench, size: str) -> None:
    bench.do(Confirm(), Type(size))


def test_another_round_is_begun_by_itself_while_the_condition_is_not_so() -> None:
    bench = at_the_hone()
    hone(bench, "39.90")
    begun = bench.only(RoundBegun)
    assert (begun.round, begun.at_most, begun.with_values) == (2, 3, "0.100 mm <= 0.01 mm")
    assert [ref.step for ref in begun.done_again] == [2, 3, 4]
    assert bench.step == 2, "the strokes come again"
    assert bench.refused(Acknowledge()) == "there is no danger or warning to acknowledge here"


def test_the_last_round_is_the_one_that_counts_and_every_round_is_kept() -> None:
    bench = at_the_hone()
    hone(bench, "39.90")
    hone(bench, "39.995")
    met = bench.only(CheckDecided)
    assert met.met and met.shown == "2 rounds, 0.005 mm <= 0.01 mm"
    assert [one.typed for one in bench.events if isinstance(one, ReadingTaken)] == [
        "40.00",
        "39.90",
        "39.995",
    ]
    assert bench.state.known[("H1/EX", "left_at_last")].shown == "0.005 mm"
    bench.do(Confirm())
    assert bench.at(HONE).done


def test_which_round_it_is_is_said_at_its_steps() -> None:
    bench = at_the_hone()
    hone(bench, "39.90")
    stage_ = bench.job.stage_of(HONE)
    said = [round_words(stage_, bench.at(HONE), step) for step in stage_.steps]
    assert said[0] == "" and said[-1] == ""
    assert said[1] == "honing, round 2 of at most 3, until stock_left <= 0.01 mm"


def test_after_the_last_round_that_may_be_the_work_stops_with_its_ways_out() -> None:
    bench = at_the_hone()
    for size in ("39.90", "39.92", "39.94"):
        hone(bench, size)
    failed = bench.at(HONE).failed
    assert isinstance(failed, CheckDecided) and not failed.met
    assert "after 3 rounds of honing, which is the most, 0.060 mm <= 0.01 mm is not so" in failed.sentence
    assert bench.refused(Confirm()) == failed.sentence
    assert ways_out(bench.job, bench.state, HONE) == ("begin again",)
    bench.do(Stop("nonconforming", "it is worn out"))
    assert ways_out(bench.job, bench.state, HONE) == ("begin again", "scrap", "return")


def test_a_rework_back_before_the_block_begins_its_rounds_anew() -> None:
    bench = at_the_hone()
    for size in ("39.90", "39.92", "39.94"):
        hone(bench, size)
    bench.do(Dispose("begin again", FITTER, "another stone"), Type("40.00"), Acknowledge())
    hone(bench, "39.98")
    assert [one.round for one in bench.events if isinstance(one, RoundBegun)] == [2, 3, 2]


def test_measuring_again_at_the_end_is_judged_anew_without_another_round() -> None:
    bench = at_the_hone()
    for size in ("39.90", "39.92", "39.94"):
        hone(bench, size)
    bench.do(MeasureAgain("bore", "the gauge was cold"), Type("39.995"))
    assert bench.at(HONE).failed is None
    assert bench.step == 7


def test_a_correction_that_turns_the_condition_begins_a_round_and_puts_what_came_after_out_of_date() -> None:
    bench = at_the_hone()
    hone(bench, "39.995")
    bench.do(Confirm())
    assert bench.at(HONE).done
    bench.do(Correct(HONE, "bore", "", "39.895", "a digit too high"))
    assert bench.only(RoundBegun).round == 2
    assert not bench.at(HONE).done
    bench.do(StartPass(HONE))
    assert bench.step == 2
    hone(bench, "39.999")
    assert bench.step == 7, "the wash showed a value of the round before"
    bench.do(Confirm())
    assert bench.at(HONE).done


def test_a_correction_within_the_block_counts_in_the_round_it_belongs_to() -> None:
    bench = at_the_hone()
    hone(bench, "39.90")
    bench.do(Correct(HONE, "wanted", "", "39.95", "read off the wrong line"))
    hone(bench, "39.945")
    assert bench.only(CheckDecided).met


def test_a_block_inside_another_counts_its_own_rounds_each_time() -> None:
    inner = HONING.replace("repeat: honing", "repeat: inner").replace("[begin again, scrap]", "[scrap]")
    outer = "\n".join(
        [
            "repeat: outer",
            "until: finish <= 1 um",
            "at most: 2 times",
            "source: shop's own, invented",
            "if not: [scrap]",
            "steps:",
            *(f"  {'- ' if at == 0 else '  '}{line}" for at, line in enumerate(inner.split("\n"))),
            "  - read: finish",
            "    ask: Roughness",
            "    unit: um",
            "    plausible: 0 um to 9 um",
        ]
    )
    head = TEXT[: TEXT.index("reworks:")] + "stages:\n"
    bench = Bench(made(head + stage("Hone", "seat", reading("wanted"), outer)), {"head": ["H1"]})
    bench.do(StartPass(HONE), Type("40.00"), Acknowledge())
    hone(bench, "39.90")
    hone(bench, "39.995")
    bench.do(Type("3"))
    hone(bench, "39.90")
    hone(bench, "39.995")
    bench.do(Type("0.5"))
    begun = [(one.name, one.round) for one in bench.events if isinstance(one, RoundBegun)]
    assert begun == [("inner", 2), ("outer", 2), ("inner", 2)]
    assert bench.at(HONE).done
