"""Gates that nobody could open honestly, and instruments too coarse for what they decide."""

from __future__ import annotations

from collections.abc import Iterator

from runner.formula.bounds import CLOSE
from runner.formula.tree import Binary, Call, Name, Negative, Tree
from runner.procedure.bands import Bands, told
from runner.procedure.findings import Findings
from runner.procedure.model import Check, HoldPoint, Instrument, Procedure, Range, Read
from runner.text.problem import Problem

FINE_ENOUGH = 10
"""Limits lie at least so many last digits of the instrument apart: the rule of ten of the trade, common practice, no source."""
SURE_ENOUGH = 5
"""Limits lie at least so many U of the instrument apart: the golden rule of measurement, U a tenth to a fifth of the tolerance.
From memory. ISO 14253-1 has no such number: it takes U off the limits, which is `decision: guarded`."""


def gates(procedure: Procedure, bands: Bands, findings: Findings) -> list[Problem]:
    """Warnings, and a problem where a guarded check leaves nothing that could be proven inside."""
    _roles(procedure, findings)
    for stage in procedure.every_stage:
        for step in stage.steps:
            if isinstance(step, Check):
                _coarse(step, procedure, bands, findings)
    return findings.problems


def _roles(procedure: Procedure, findings: Findings) -> None:
    """Somebody measures and somebody else releases; with one role for both nothing says that there are two."""
    if len(set(procedure.roles)) != 1:
        return
    role = procedure.roles[0]
    holds = [step for stage in procedure.every_stage for step in stage.steps if isinstance(step, HoldPoint)]
    what = f"'{role}' is the only role, so whoever measures is of the role that releases"
    fix = "add the role of whoever releases to roles:, such as inspector"
    if holds:
        findings.doubt("one-role", holds[0].about.place, what, fix, role, "by")
    elif procedure.released_by == role:
        findings.doubt("one-role", 1, what, fix, role, "released by")


def _coarse(step: Check, procedure: Procedure, bands: Bands, findings: Findings) -> None:
    """Each instrument that a checked value comes from one to one, against how far the limits lie apart."""
    width = None if bands.is_wrong(step.about.place) else _apart(step.limits, bands)
    if not width:
        return
    guarded = (step.decision or procedure.decision) == "guarded"
    for title in dict.fromkeys(
        reading.instrument for reading in _stands_on(Name(step.name, 0, 0), bands, set())
    ):
        if instrument := procedure.instrument(title):
            _held_against(step, instrument, width, guarded, findings)


def _held_against(
    step: Check, instrument: Instrument, width: float, guarded: bool, findings: Findings
) -> None:
    place, title = step.limits.written[0].place, instrument.title
    digit, out_by = instrument.reads_to, instrument.uncertainty
    apart = told(width, digit.unit)
    if guarded and width <= 2 * float(out_by.si) * (1 + CLOSE):
        what = f"nothing is left between limits {apart} apart once the U of the {title} ({out_by.typed}) is taken off both"
        findings.wrong_at("never-met", place, what, "take a surer instrument, or wider limits")
    elif not guarded and width < SURE_ENOUGH * float(out_by.si) * (1 - CLOSE):
        ratio = f"{width / float(out_by.si):.1f} to 1"
        what = f"the {title} is too coarse: the limits lie {apart} apart, and its U is {out_by.typed}; that is {ratio}, and {SURE_ENOUGH} to 1 is the least (golden rule of measurement)"
        findings.doubt_at("too-coarse", place, what, "take a surer instrument, or write decision: guarded")
    elif width < FINE_ENOUGH * float(digit.si) * (1 - CLOSE):
        ratio = f"{width / float(digit.si):.1f} to 1"
        what = f"the {title} is too coarse: the limits lie {apart} apart, and it reads to {digit.typed}; that is {ratio}, and {FINE_ENOUGH} to 1 is the rule (common practice)"
        findings.doubt_at("too-coarse", place, what, "take an instrument that reads finer")


def _apart(limits: Range, bands: Bands) -> float:
    """How far two limits lie apart that don't move; 0 where they do, or where there is only one."""
    if limits.tolerance:
        tolerance = bands.of(limits.tolerance)
        return 2 * tolerance.low if tolerance and tolerance.low == tolerance.high else 0.0
    low, high = (
        (bands.of(limits.low) if limits.low else None),
        (bands.of(limits.high) if limits.high else None),
    )
    if low is None or high is None or low.low != low.high or high.low != high.high:
        return 0.0
    return high.low - low.low


def _stands_on(name: Name, bands: Bands, seen: set[str]) -> Iterator[Read]:
    """The readings that a value goes up and down with one to one, through sums, means and lengths at 20 degC."""
    made = bands.made(name)
    if made is None or made.name in seen:
        return
    seen.add(made.name)
    if isinstance(made, Read):
        yield made
    elif not bands.is_wrong(made.formula.place):
        for one in _one_to_one(made.formula.tree):
            yield from _stands_on(one, bands, seen)


def _one_to_one(tree: Tree) -> Iterator[Name]:
    match tree:
        case Name():
            yield tree
        case Negative(value):
            yield from _one_to_one(value)
        case Binary(sign="+" | "-", left=left, right=right):
            yield from _one_to_one(left)
            yield from _one_to_one(right)
        case Call(function="min" | "max" | "mean" | "abs", arguments=arguments):
            for _, argument in arguments:
                yield from _one_to_one(argument)
        case Call(function="at_20C" | "reading_at", arguments=arguments):
            for called, argument in arguments:
                if called in ("reading", "length"):
                    yield from _one_to_one(argument)
        case _:
            pass
