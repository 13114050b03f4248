"""What must be so before a stage begins is ticked line by line, on each part, before its first step."""

from __future__ import annotations

from runner.job.intents import Confirm, StartPass, Tick
from runner.procedure.model import Choose
from runner.procedure.reader import read_procedure
from tests.job.a_bench import Bench
from tests.procedure.texts import HEAD, kinds_of, stage

READY = "    prerequisites:\n      - Torque plate on, tightened in three rounds\n      - Barrel at the temperature of the shop\n"
TEXT = HEAD + stage("Hone", "seat", "do: Hone it").replace("    steps:\n", READY + "    steps:\n")


def test_nothing_of_the_stage_is_done_before_each_line_is_ticked() -> None:
    procedure, problems = read_procedure(TEXT, "small.yaml")
    assert procedure is not None, problems
    bench = Bench(procedure, {"head": ["H1"]})
    bench.do(StartPass(("Hone", "H1/EX")), Tick(1))
    assert bench.refused(Confirm()) == "not ticked yet: Barrel at the temperature of the shop"
    bench.do(Tick(2), Confirm())
    assert bench.at(("Hone", "H1/EX")).done
    bench.do(StartPass(("Hone", "H1/IN")))
    assert bench.step == 1, "another part is another pass"


def test_sentences_in_brackets_are_told() -> None:
    cut = "    prerequisites: [Torque plate on, tightened in three rounds]\n"
    wrong = stage("Hone", "seat", "do: Hone it").replace("    steps:\n", cut + "    steps:\n")
    assert kinds_of(wrong) == ["brackets"]


def test_what_an_apprentice_is_asked_is_kept_with_the_step() -> None:
    asked = "choose: look\nask: What shows?\noptions: [a line, nothing]\npredict: Where would a crack run?\nexplain: Why there?"
    procedure, _ = read_procedure(HEAD + stage("Test", "seat", asked), "small.yaml")
    assert procedure is not None
    step = procedure.stages[0].steps[0]
    assert isinstance(step, Choose)
    assert (step.about.predict, step.about.explain) == ("Where would a crack run?", "Why there?")
    assert kinds_of(stage("Test", "seat", "do: Look\npredict: Where?")) == ["unknown-key"]
