"""What a name stands for on the part in hand: from it outward, with how it is shown and where it came from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from runner.formula.tree import EVERY, SINCE, Tree, names_in
from runner.formula.uncertain import COVERAGE, Measured, Uncertain, UncertainGroup, plain, work_measured
from runner.formula.values import CannotBeWorked, Named
from runner.job.events import Input, ReadingTaken, Share
from runner.job.job import Job
from runner.job.moments import elapsed, same_boot, span_words
from runner.job.parts import Part
from runner.job.state import Known, State, Timed
from runner.procedure.model import MINUTES, Ladder, Read, Soak, Table, TableRow, Total
from runner.quantities.quantity import Quantity, fine_step, show, show_number
from runner.quantities.units import Unit, unit

NEAR = 1e-9
"""Relative: floats this near to a bound stand on it, for they were worked from exact readings."""


@dataclass(frozen=True, slots=True)
class Found:
    """A name's value: with its uncertainty, exactly where it is exact, as shown, and where from."""

    uncertain: Measured | str
    exact: Fraction | None
    shown: str
    origin: str
    source: str = ""
    uncertainty: str = ""

    @property
    def whole(self) -> str:
        """As shown, with its U where it has one."""
        return f"{self.shown} ± {self.uncertainty}" if self.uncertainty else self.shown

    @property
    def number(self) -> float:
        """The plain value of a name that the checker knows to be one number."""
        assert isinstance(self.uncertain, Uncertain)
        return self.uncertain.value

    @property
    def value(self) -> Named:
        """The plain value, for formulas: of a choice its option."""
        return self.uncertain if isinstance(self.uncertain, str) else plain(self.uncertain)


class NotKnownYet(CannotBeWorked):
    """A name whose value has not been made yet, or no longer stands. The message is one sentence, no full stop."""


def find(job: Job, state: State, part: Part, name: str) -> Found:
    """
    The value of a name on a part. Raises CannotBeWorked where it has none, such as a size that no row of a table covers,
    and NotKnownYet where it will have one once other work is done.
    """
    if name.startswith(EVERY):
        return _of_every(job, state, part, name)
    if SINCE in name:
        return _of_span(job, state, part, *name.split(SINCE))
    owner, value = job.procedure.parted(name)
    table = next((one for one in job.procedure.tables if one.name == owner), None)
    if table and value:
        return _of_table(job, state, part, table, value)
    given = next((one for one in job.procedure.givens if one.name == name), None)
    if given:
        quantity, u = given.value, given.uncertainty
        # What one row of the table may be out by is one source, in whichever given it stands.
        source = f"{given.rows[0].what} of {given.rows[0].material}" if given.rows else f"given {name}"
        parts = {source: float(u.number * u.unit.factor) / COVERAGE} if u else {}
        measured = Uncertain(float(quantity.si), parts)
        origin, doubt = f"given, {given.source}", u.typed if u else ""
        return Found(measured, quantity.si, quantity.typed, origin, given.source, doubt)
    ladder = job.procedure.ladder(name)
    if ladder:
        return _of_ladder(job, state, part, ladder)
    total = job.procedure.total(name)
    if total:
        return _of_total(job, state, part, total)
    level = job.procedure.level(name)
    if level:
        outer = next(one for one in job.parts.outward(part) if one.level == level.name)
        return Found(outer.names[-1], None, outer.names[-1], "the part in hand")
    other = job.parts.other(part, owner) if value else None
    if other:
        return _current(job, state, known_outward(job, state, other, value), value, other)
    return _current(job, state, known_outward(job, state, part, owner), owner, part, value)


def known_outward(job: Job, state: State, part: Part, name: str) -> Known | None:
    """The reading, worked value or answer of that name on the part or the nearest part that it lies in."""
    for outer in job.parts.outward(part):
        if (outer.path, name) in state.known:
            return state.known[(outer.path, name)]
    return None


def places_of(job: Job, part: Part, name: str) -> list[tuple[str, str]]:
    """Where a name in a formula on this part may be kept: the paths of parts, each with the plain name there."""
    if name.startswith(EVERY):
        owner, _, value = name.removeprefix(EVERY).partition(".")
        return [(one.path, value) for one in job.parts.every(part, owner)]
    if SINCE in name:
        return [place for one in name.split(SINCE) for place in places_of(job, part, one)]
    owner, value = job.procedure.parted(name)
    table = next((one for one in job.procedure.tables if one.name == owner), None)
    if table:
        return places_of(job, part, table.looked_up_by)
    other = job.parts.other(part, owner) if value else None
    if other:
        return [(outer.path, value) for outer in job.parts.outward(other)]
    return [(outer.path, owner) for outer in job.parts.outward(part)]


def find_all(job: Job, state: State, part: Part, trees: Iterable[Tree]) -> dict[str, Found]:
    """Every name in these formulas with what it stands for."""
    return {name.name: find(job, state, part, name.name) for tree in trees for name in names_in(tree)}


def _current(job: Job, state: State, known: Known | None, name: str, part: Part, level: str = "") -> Found:
    """What is known, unless it no longer stands."""
    if known is None:
        raise NotKnownYet(f"'{name}' has not been measured yet on {part.path}")
    why = state.at((known.stage, known.part)).out_of_date.get(known.step)
    if why:
        raise NotKnownYet(f"'{name}' on {known.part} is out of date: {why}")
    if known.points and not known.points[-1].last:
        raise NotKnownYet(f"'{name}' is not whole yet on {known.part}")
    if isinstance(step := job.step((known.stage, known.part), known.step), Soak) and level != MINUTES:
        return _of_soak(job, state, known, step, part)
    return _of_known(job, known, level)


def _of_soak(job: Job, state: State, known: Known, step: Soak, part: Part) -> Found:
    """What was read last in a soak: on the part or on what it lies in, else on every part in the load."""
    traces = state.at((known.stage, known.part)).soaks[known.step].traces
    outward = {outer.path for outer in job.parts.outward(part)}
    mine = [place for place in traces if place[0] in outward] or list(traces)
    last = [max(traces[place], key=lambda one: (one.at.marks, one.at.at.boot)) for place in mine]
    where = f"the last readings of step {known.step} of '{known.stage}' on {known.part}"
    nearest = fine_step(step.unit)
    found = tuple(Uncertain(float(one.si), _parts(one.shares)) for one in last)
    if len(last) == 1:
        return Found(found[0], last[0].si, show(last[0].si, step.unit, nearest), where)
    shown = " ".join(show_number(one.si, step.unit, nearest) for one in last)
    return Found(UncertainGroup((found,)), None, f"({shown}) {step.unit.symbol}", where)


def recorded(job: Job, state: State, part: Part, name: str) -> Timed:
    """When something was done, on the part or the nearest that it lies in. Raises NotKnownYet where that no longer stands."""
    for outer in job.parts.outward(part):
        timed = state.times.get((outer.path, name))
        if timed is None:
            continue
        for stage in job.procedure.every_stage:
            found = state.at((stage.title, outer.path))
            for number, why in found.out_of_date.items():
                step = stage.steps[number - 1]
                if stage.for_each == outer.level and name in (step.about.timed_as, getattr(step, "name", "")):
                    raise NotKnownYet(f"'{name}' on {outer.path} is out of date: {why}")
        return timed
    raise NotKnownYet(f"'{name}' has not been done yet on {part.path}")


def _of_span(job: Job, state: State, part: Part, later: str, earlier: str) -> Found:
    """How long it was between two recorded times, by what the clocks prove. What they can't prove is no value."""
    start, end = recorded(job, state, part, earlier), recorded(job, state, part, later)
    if start.at != end.at and same_boot(end.at, start.at):
        raise NotKnownYet(f"'{later}' was done before '{earlier}' on {part.path}")
    spent = elapsed(start.at, end.at, state.marks[start.marks : end.marks])
    if spent.unknown:
        raise CannotBeWorked(f"how long it was from '{earlier}' to '{later}' is not known: {spent.note}")
    origin = f"recorded times{f', {spent.note}' if spent.note else ''}"
    return Found(Uncertain(spent.lasted.total_seconds()), None, span_words(spent.lasted), origin)


def _of_every(job: Job, state: State, part: Part, name: str) -> Found:
    """The value of each part there is, those apart that were scrapped or returned."""
    owner, _, value = name.removeprefix(EVERY).partition(".")
    live = [one for one in job.parts.every(part, owner) if not _gone(job, state, one)]
    found = [_current(job, state, known_outward(job, state, one, value), value, one) for one in live]
    if not found:
        raise CannotBeWorked(f"no {owner} is left of which '{value}' could be taken")
    values = tuple(one.uncertain for one in found if isinstance(one.uncertain, Uncertain))
    assert len(values) == len(found)
    shown = "(" + ", ".join(f"{one.path} {each.shown}" for one, each in zip(live, found, strict=True)) + ")"
    return Found(UncertainGroup((values,)), None, shown, f"{value} of {len(found)} parts")


def _gone(job: Job, state: State, part: Part) -> bool:
    return any(outer.path in state.gone for outer in job.parts.outward(part))


def _of_total(job: Job, state: State, part: Part, total: Total) -> Found:
    owner = next(one for one in job.parts.outward(part) if one.level == total.for_each)
    sum_ = state.totals.get((owner.path, total.name), 0.0)
    shown_in = minutes() if total.over else total.most.unit
    shown = show(sum_, shown_in, fine_step(shown_in))
    return Found(Uncertain(sum_), None, shown, f"added up on {owner.path}")


def minutes() -> Unit:
    found = unit("min")
    assert found
    return found


def _of_ladder(job: Job, state: State, part: Part, ladder: Ladder) -> Found:
    owner = next(one for one in job.parts.outward(part) if one.level == ladder.for_each)
    rung = state.rungs.get((owner.path, ladder.name), 1)
    size = ladder.rungs[rung - 1]
    origin = f"rung {rung} of {len(ladder.rungs)} of {ladder.name}, {ladder.source}"
    return Found(Uncertain(float(size.si)), size.si, size.typed, origin, ladder.source)


def is_so(tree: Tree, found: dict[str, Found]) -> bool:
    """Whether a condition is so for these values. Raises CannotBeWorked where they leave it without an answer."""
    return bool(work_measured(tree, {name: one.uncertain for name, one in found.items()}))


def inputs_of(found: dict[str, Found]) -> tuple[Input, ...]:
    return tuple(Input(name=name, shown=one.whole, origin=one.origin) for name, one in found.items())


def _of_known(job: Job, known: Known, level: str) -> Found:
    where = f"step {known.step} of '{known.stage}' on {known.part}"
    if known.answer is not None:
        return Found(known.answer, None, known.answer, f"answered in {where}")
    if known.worked is not None:
        measured = Uncertain(known.worked, _parts(known.shares))
        return Found(measured, None, known.shown, f"worked out in {where}", uncertainty=known.uncertainty)
    step = job.step((known.stage, known.part), known.step)
    assert isinstance(step, Read)
    points = known.points
    if len(step.points) == 1:
        only = points[0]
        shown = only.typed if only.typed.endswith(only.unit) else f"{only.typed} {only.unit}"
        return Found(_measured(only), only.si, shown, f"read in {where}")
    rows = len(step.axes) or len(points)
    levels = tuple(tuple(map(_measured, points[at : at + rows])) for at in range(0, len(points), rows))
    if level:
        at = step.levels.index(level)
        levels, points = (levels[at],), points[at * rows : (at + 1) * rows]
    shown = "(" + " ".join(one.typed for one in points) + f") {step.unit.symbol}"
    return Found(UncertainGroup(levels), None, shown, f"read in {where}")


def _measured(point: ReadingTaken) -> Uncertain:
    return Uncertain(float(point.si), _parts(point.shares))


def _parts(shares: tuple[Share, ...]) -> dict[str, float]:
    return {share.source: share.part for share in shares}


def _of_table(job: Job, state: State, part: Part, table: Table, column: str) -> Found:
    row = _row(job, state, part, table)
    quantity: Quantity = row.values[table.columns.index(column)]
    which = row.is_ or f"over {row.over.typed} up to {row.up_to.typed}" if row.over and row.up_to else row.is_
    return Found(
        Uncertain(float(quantity.si)),
        quantity.si,
        quantity.typed,
        f"table {table.name}, {which}: {row.source}",
        row.source,
    )


def _row(job: Job, state: State, part: Part, table: Table) -> TableRow:
    level = job.procedure.level(table.looked_up_by)
    if level:
        name = next(outer.names[-1] for outer in job.parts.outward(part) if outer.level == level.name)
        for row in table.rows:
            if row.is_ == name:
                return row
        raise CannotBeWorked(f"the table '{table.name}' has no row for {name}")
    key = find(job, state, part, table.looked_up_by)
    size = key.exact if key.exact is not None else key.number
    for row in table.rows:
        if row.over and row.up_to and _over(size, row.over.si) and not _over(size, row.up_to.si):
            return row
    raise CannotBeWorked(f"the table '{table.name}' has no row for {table.looked_up_by} = {key.shown}")


def _over(size: Fraction | float, bound: Fraction) -> bool:
    if isinstance(size, Fraction):
        return size > bound
    return size > float(bound) + NEAR * abs(float(bound))
