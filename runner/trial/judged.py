"""How far a decision is from coming out one way or another, for the values as they would be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from runner.formula.tree import Comparison, Logic
from runner.formula.uncertain import COVERAGE, work_measured
from runner.formula.values import CannotBeWorked
from runner.job.limits import limits_for
from runner.job.parts import Part
from runner.job.state import State
from runner.job.values import find, find_all, is_so
from runner.job.verdicts import doubt_of
from runner.procedure.model import AgainstTheClock, Check, Formula, Read, Rung, WorkOut
from runner.trial.foreseen import Foreseen
from runner.trial.sheet import MET, OVER, UNDER, Deciding

FAR = 10.0
"""How far off a decision is whose values have no answer, or that can't come out so; one that is near lies under 2."""
Misses = Mapping[str, float]
"""How far it is from each way of coming out: nil for the one that it does, up to `FAR`."""
_NOWHERE: Misses = {}


def judged(one: Deciding, seen: Foreseen, part: Part) -> Misses:
    """How a decision on a part would come out."""
    try:
        return _judged(one, seen, part)
    except CannotBeWorked:
        return _NOWHERE


def miss(misses: Misses, wanted: str) -> float:
    return misses.get(wanted, FAR)


def _judged(one: Deciding, seen: Foreseen, part: Part) -> Misses:
    state, step = seen.state, one.step
    match one.sort, step:
        case "so", _:
            assert one.condition
            return _condition(seen, state, part, one.condition)
        case "check", Check(options=options) if options:
            return _yes_or_no(find(seen.job, state, part, step.name).shown in options, OVER)
        case "check", Check():
            return _check(seen, state, part, step)
        case "rung", Rung():
            return _rung(seen, state, part, step)
        case "worked", WorkOut(name=name):
            # Asked for by its own name, so that what was worked already is not worked again.
            return {MET: 0.0} if seen[(part.path, name)] else {}
        case "armed", AgainstTheClock(useful=useful):
            return _above_nil(_worked(seen, state, part, useful))
        case "total", Read():
            return _total(seen, part, step)
    return _NOWHERE


def _worked(seen: Foreseen, state: State, part: Part, formula: Formula) -> float:
    found = find_all(seen.job, state, part, [formula.tree])
    return work_measured(formula.tree, {name: each.uncertain for name, each in found.items()})


def _check(seen: Foreseen, state: State, part: Part, step: Check) -> Misses:
    value = find(seen.job, state, part, step.name)
    limits = limits_for(seen.job, state, part, step.limits, with_doubt=seen.with_doubt)
    guarded = (step.decision or seen.job.procedure.decision) == "guarded"
    guard = COVERAGE * doubt_of(value, limits) if seen.with_doubt and guarded else 0.0
    number, within = value.number, limits.drawn_in(guard) if guard else limits
    low, high = (bound.value if bound else None for bound in (within.low, within.high))
    scale = _scale(*(each for each in (low, high) if each is not None))
    exact = None if guard else value.exact
    under, over = within.is_under(number, exact), within.is_over(number, exact)
    found = {MET: 0.0}
    if under or over:
        assert (low if under else high) is not None
        found[MET] = _near((low - number if under else number - high) / scale)  # type: ignore[operator]
    if low is not None:
        found[UNDER] = 0.0 if under else _near((number - low) / scale)
    if high is not None:
        found[OVER] = 0.0 if over else _near((high - number) / scale)
    return found


def _rung(seen: Foreseen, state: State, part: Part, step: Rung) -> Misses:
    ladder = seen.job.procedure.ladder(step.ladder)
    assert ladder
    least, last = _worked(seen, state, part, step.least), float(ladder.rungs[-1].si)
    apart = (least - last) / _scale(last)
    return {MET: 0.0, OVER: _near(-apart)} if least <= last else {MET: _near(apart), OVER: 0.0}


def _condition(seen: Foreseen, state: State, part: Part, condition: Formula) -> Misses:
    found = find_all(seen.job, state, part, [condition.tree])
    so, apart = is_so(condition.tree, found), 0.0
    tree = condition.tree
    if isinstance(tree, Logic) and len(tree.conditions) == 1:
        tree = tree.conditions[0]
    if isinstance(tree, Comparison):
        sides = (replace(condition, tree=tree.left), replace(condition, tree=tree.right))
        left, right = (_worked(seen, state, part, each) for each in sides)
        apart = abs(left - right) / (max(abs(left), abs(right)) or 1.0)
    return {MET: 0.0, UNDER: _near(apart)} if so else {MET: _near(apart), UNDER: 0.0}


def _total(seen: Foreseen, part: Part, step: Read) -> Misses:
    total = seen.job.procedure.total(step.adds_to)
    assert total
    owner = next(each for each in seen.job.parts.outward(part) if each.level == total.for_each)
    most = float(total.most.si)
    after = (
        seen.real.totals.get((owner.path, total.name), 0.0)
        + find(seen.job, seen.state, part, step.name).number
    )
    apart = (after - most) / _scale(most)
    return {MET: 0.0, OVER: _near(-apart)} if after <= most else {MET: _near(apart), OVER: 0.0}


def _yes_or_no(met: bool, otherwise: str) -> Misses:
    return {MET: 0.0, otherwise: 1.5} if met else {MET: 1.5, otherwise: 0.0}


def _above_nil(value: float) -> Misses:
    return {MET: 0.0} if value > 0.0 else {MET: _near(-value)}


def _scale(*sizes: float) -> float:
    """What distances are measured by: how far the ends lie apart, or their size where there is one end."""
    apart = max(sizes) - min(sizes)
    return apart or abs(sizes[0]) or 1e-6


def _near(distance: float) -> float:
    """A distance as something between 1 and 2, so that near things can be told apart and far ones don't outweigh all else."""
    distance = max(0.0, distance)
    return 1.0 + distance / (1.0 + distance)
