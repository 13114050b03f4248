"""What every name would stand for if the readings still to be taken came as planned, worked by the job's own rules.

Nothing here happens to the job: it is a state beside its own, in which what isn't known yet is worked out when asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Protocol

from runner.formula.uncertain import propagate, work_measured
from runner.formula.values import CannotBeWorked
from runner.job.events import ReadingTaken, RungTaken, Share
from runner.job.instruments import instrument_for
from runner.job.job import Job, Refusal
from runner.job.moments import Moment
from runner.job.parts import Part
from runner.job.readings import shares_of
from runner.job.state import Known, State
from runner.job.values import find_all
from runner.job.working import take_rung
from runner.procedure.model import AgainstTheClock, Choose, Read, Soak, WorkOut, Write
from runner.trial.sheet import Sheet

Place = tuple[str, str]
"""A part's path, and a name kept there or a ladder."""


class Planned(Protocol):
    """What is meant to be read and picked where nothing was yet."""

    def points(self, foreseen: Foreseen, part: Part, step: Read) -> tuple[Fraction, ...]: ...

    def option(self, part: Part, step: Choose) -> str: ...


class Foreseen(Mapping[Place, Known]):
    """
    Everything known in a job, and what would be. `drawn` are the points of readings as they would be read now, before
    the planned ones. `with_doubt` where values are to carry their uncertainty.
    """

    def __init__(
        self,
        job: Job,
        state: State,
        sheet: Sheet,
        planned: Planned,
        drawn: Mapping[Place, tuple[Fraction, ...]],
        now: Moment,
        *,
        with_doubt: bool = False,
    ) -> None:
        self.job, self.real, self.sheet = job, state, sheet
        self.planned, self.drawn, self.now, self.with_doubt = planned, drawn, now, with_doubt
        self._made: dict[Place, Known | CannotBeWorked] = {}
        self.rungs: dict[Place, int] = {}
        self.state = replace(state, known=self, rungs=_Rungs(self), passes={})

    def with_drawn(self, place: Place, points: tuple[Fraction, ...]) -> Foreseen:
        """The same with one reading drawn otherwise; what doesn't stand on it is not worked out again."""
        other = Foreseen(
            self.job,
            self.real,
            self.sheet,
            self.planned,
            {place: points},
            self.now,
            with_doubt=self.with_doubt,
        )
        stands_on, name = self.sheet.stands_on, place[1]
        other._made = {at: one for at, one in self._made.items() if not stands_on(at[1], name)}
        other.rungs = {at: one for at, one in self.rungs.items() if not stands_on(at[1], name)}
        return other

    def __iter__(self) -> Iterator[Place]:
        return iter(self.real.known)

    def __len__(self) -> int:
        return len(self.real.known)

    def __contains__(self, place: object) -> bool:
        assert isinstance(place, tuple)
        return place in self._made or self._maker(place) is not None

    def __getitem__(self, place: Place) -> Known:
        if place not in self._made:
            try:
                self._made[place] = self._make(place)
            except CannotBeWorked as why:
                self._made[place] = why
        made = self._made[place]
        if isinstance(made, CannotBeWorked):
            raise made
        return made

    def _maker(self, place: Place) -> Part | None:
        making = self.sheet.makers.get(place[1])
        return self.job.parts.find(making[0].for_each, place[0]) if making else None

    def _make(self, place: Place) -> Known:
        part = self._maker(place)
        if part is None:
            raise KeyError(place)
        stage, step = self.sheet.makers[place[1]]
        known = self.real.known.get(place)
        if known and place not in self.drawn and self._stands(known):
            return known
        where = place[1], stage.title, part.path, step.about.number
        match step:
            case Read():
                points = self.drawn.get(place) or self.planned.points(self, part, step)
                return Known(*where, points=_taken(self, stage.title, part, step, points))
            case Choose():
                return Known(*where, answer=self.planned.option(part, step))
            case Write():
                return Known(*where, answer="as it should be")
            case WorkOut():
                return self._worked(part, step, where)
            case Soak() | AgainstTheClock():
                return Known(*where, worked=float(step.least.si))
        raise KeyError(place)

    def _stands(self, known: Known) -> bool:
        if known.step in self.real.at((known.stage, known.part)).out_of_date:
            return False
        return not known.points or known.points[-1].last

    def _worked(self, part: Part, step: WorkOut, where: tuple[str, str, str, int]) -> Known:
        tree = step.formula.tree
        found = find_all(self.job, self.state, part, [tree])
        inputs = {name: one.uncertain for name, one in found.items()}
        if not self.with_doubt:
            return Known(*where, worked=work_measured(tree, inputs))
        result = propagate(tree, inputs, f"{step.name} on {part.path}")
        return Known(
            *where,
            worked=result.value,
            shares=tuple(Share(source=a, part=b) for a, b in result.parts.items()),
        )


class _Rungs(Mapping[Place, int]):
    """The rung that each part is on or would come to."""

    def __init__(self, foreseen: Foreseen) -> None:
        self._foreseen = foreseen

    def __iter__(self) -> Iterator[Place]:
        return iter(self._foreseen.real.rungs)

    def __len__(self) -> int:
        return len(self._foreseen.real.rungs)

    def __getitem__(self, place: Place) -> int:
        seen = self._foreseen
        if place not in seen.rungs:
            seen.rungs[place] = self._taken(place)
        return seen.rungs[place]

    def _taken(self, place: Place) -> int:
        seen = self._foreseen
        making = seen.sheet.rungs.get(place[1])
        part = seen.job.parts.find(making[0].for_each, place[0]) if making else None
        if making is None or part is None:
            return seen.real.rungs[place]
        stage, step = making
        if step.about.number in seen.real.at((stage.title, part.path)).done_steps:
            return seen.real.rungs[place]
        stamp = {
            "at": seen.now,
            "who": "",
            "stage": stage.title,
            "part": part.path,
            "step": step.about.number,
        }
        state = replace(seen.state, rungs=seen.real.rungs)
        taken = take_rung(seen.job, state, part, step, stamp)  # type: ignore[arg-type]
        return taken.rung if isinstance(taken, RungTaken) else seen.real.rungs[place]


def _taken(
    seen: Foreseen, stage: str, part: Part, step: Read, points: tuple[Fraction, ...]
) -> tuple[ReadingTaken, ...]:
    return tuple(
        ReadingTaken(
            at=seen.now, who="", stage=stage, part=part.path, step=step.about.number, name=step.name, point=label,
            typed="", number=Fraction(0), unit=step.unit.symbol, si=si, instrument=step.instrument, gauge="",
            calibrated_until="", instrument_uncertainty="", shares=_shares(seen, part, step, label), questioned="",
            last=at == len(points), timed_as="", late="",
        )
        for at, (label, si) in enumerate(zip(step.points, points, strict=True), 1)
    )  # fmt: skip


def _shares(seen: Foreseen, part: Part, step: Read, label: str) -> tuple[Share, ...]:
    with_ = instrument_for(seen.job, seen.real, step.instrument, seen.now) if seen.with_doubt else None
    return (
        ()
        if isinstance(with_, Refusal)
        else shares_of(with_, f"{step.name} {label}".strip() + f" on {part.path}")
    )
