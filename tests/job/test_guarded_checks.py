"""A guarded check takes a value only inside its limits by its uncertainty or more (ISO 14253-1); nearer is not proven."""

from __future__ import annotations

import pytest

from runner.job.events import CheckDecided, ReadingTaken, ValueWorked
from runner.job.intents import Type
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from tests.job.a_bench import A, Bench
from tests.job.a_small_procedure import TEXT


def _guarded() -> Procedure:
    text = TEXT.replace(
        "        within: drawing.low to drawing.high\n        if not",
        "        within: drawing.low to drawing.high\n        decision: guarded\n        if not",
        1,
    )
    procedure, problems = read_procedure(text, "guarded.yaml")
    assert procedure, problems
    return procedure


def _verdict(bore: str, of: Procedure | None = None) -> CheckDecided:
    bench = Bench(of or _guarded()).measure(upto="bore")
    return next(event for event in bench.do(Type(bore)) if isinstance(event, CheckDecided))


# The gauge's U is 0.002 mm (k = 2), its last digit 0.001 mm: u of a mean of three is
# sqrt(0.001^2 + 3 * (0.001 / sqrt(12) / 3)^2) = 0.00101 mm, so U is 0.0020 mm.
@pytest.mark.parametrize(
    ("bore", "met", "proven"),
    [
        ("10.010 10.010 10.010", True, True),
        ("10.017 10.017 10.017", True, True),
        ("10.018 10.018 10.019", False, False),
        ("10.020 10.020 10.020", False, False),
        ("10.021 10.021 10.021", False, True),
        ("10.001 10.001 10.001", False, False),
        ("9.999 9.999 9.999", False, True),
    ],
)
def test_inside_by_less_than_the_uncertainty_is_not_proven(bore: str, met: bool, proven: bool) -> None:
    verdict = _verdict(bore)
    assert (verdict.met, verdict.proven, verdict.decision) == (met, proven, "guarded")
    assert ("not proven" in verdict.sentence) is (not proven)


def test_not_proven_stops_the_pass_as_not_met_does() -> None:
    bench = Bench(_guarded()).measure(upto="bore")
    bench.do(Type("10.019 10.019 10.019"))
    failed = bench.at(A).failed
    assert isinstance(failed, CheckDecided) and not failed.proven
    assert "not proven" in bench.refused(Type("0.01"))


def test_the_simple_rule_takes_the_same_value() -> None:
    text_verdict = _verdict("10.019 10.019 10.019", Bench().job.procedure)
    assert text_verdict.met and text_verdict.proven and text_verdict.decision == "simple"


def test_a_verdict_tells_how_likely_it_is_wrong() -> None:
    # On the limit half of all true values lie outside: the shared-risk rule of ILAC-G8:09/2019, below 50 %.
    on_the_limit = _verdict("10.020 10.020 10.020", Bench().job.procedure)
    assert on_the_limit.met and on_the_limit.risk == "50 percent"
    assert _verdict("10.010 10.010 10.010").risk == "under 1 percent"
    # Inside by U, k = 2: below 2.5 % (ILAC-G8:09/2019, guard band w = U), 2 % rounded.
    assert _verdict("10.018 10.018 10.018", Bench().job.procedure).risk in ("2 percent", "3 percent")


def test_a_reading_carries_its_gauge_and_its_last_digit() -> None:
    bench = Bench().measure(upto="bore")
    taken = [event for event in bench.do(Type("10.009 10.010 10.011")) if isinstance(event, ReadingTaken)]
    gauges = [share.part for event in taken for share in event.shares if share.source == "bore gauge"]
    assert gauges == pytest.approx([1e-6] * 3)
    digits = {share.source for event in taken for share in event.shares if share.source != "bore gauge"}
    assert len(digits) == 3


def test_a_copied_figure_is_taken_as_it_stands() -> None:
    bench = Bench().measure(upto="ring_size")
    taken = next(event for event in bench.do(Type("10.000")) if isinstance(event, ReadingTaken))
    assert taken.shares == ()


def test_a_worked_value_says_its_uncertainty_and_how_it_was_found() -> None:
    bench = Bench().measure(upto="bore")
    worked = next(event for event in bench.do(Type("10.009 10.010 10.011")) if isinstance(event, ValueWorked))
    assert (worked.uncertainty, worked.method) == ("0.002 mm", "derivatives")
