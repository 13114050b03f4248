"""What a procedure says, once read and found right. Plain frozen data; nothing here knows of a job or a screen."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from runner.engineering.materials import Property, as_text
from runner.formula.tree import SINCE, Tree
from runner.formula.values import Typed
from runner.quantities.quantity import Quantity
from runner.quantities.units import Unit
from runner.text.problem import Place

GRAMMAR = 1
"""The number of the language a procedure is written in; a job keeps it, and is read by it or refused."""
APPROVED = "approved"
"""The status of a procedure that real parts may go through."""
JOB = "job"
"""The level above all parts."""
WAYS_OUT = ("concession", "scrap", "return")
"""What may be decided on a nonconforming part, beside the reworks and repairs of the procedure."""
AGAIN_AT_MOST = 3
"""How often a reading may be measured again in one pass where the procedure doesn't say."""
MINUTES = "minutes"
"""Behind the name of a soak and a dot: the time that counted, where the name alone means what was read last."""
DECISIONS = ("simple", "guarded")
"""How a check decides: on the value as it is, or with the value inside its limits by its uncertainty U or more."""
HAZARD_WORDS = ("danger", "warning", "caution", "notice")
"""Signal words, worst first; `notice` is for harm to parts and never for harm to people (ANSI Z535)."""


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula as written, its tree (offsets count from the text's start), and where the text stands."""

    text: str
    tree: Tree
    place: Place


@dataclass(frozen=True, slots=True)
class Range:
    """`A to B`, or `TOLERANCE of NOMINAL`; either end may be open where a check says only at least or at most."""

    text: str
    low: Formula | None
    high: Formula | None
    tolerance: Formula | None = None
    nominal: Formula | None = None

    @property
    def written(self) -> tuple[Formula, ...]:
        """The formulas that stand in the file: the two ends, or the tolerance and the nominal."""
        pair = (self.tolerance, self.nominal) if self.nominal else (self.low, self.high)
        return tuple(one for one in pair if one)


@dataclass(frozen=True, slots=True)
class Hazard:
    word: str
    title: str
    hazard: str
    consequence: str
    avoid: str

    @property
    def asks(self) -> bool:
        """Whether a step with it is begun only after somebody acknowledged it."""
        return self.word in ("danger", "warning")


@dataclass(frozen=True, slots=True)
class PartLevel:
    """
    A level of the parts tree; `named` is empty where the names are asked when a job opens. Or a load: parts of the level
    `of`, put together at the bench for an oven or a freezer, and named there.
    """

    name: str
    inside: str
    named: tuple[str, ...]
    tag: str
    of: str = ""


def path_of(level: str, parts: Sequence[PartLevel]) -> tuple[str, ...]:
    """The levels from the job down to this one: ('job', 'head', 'seat'); the loads of a level stand before it."""
    inside = {part.name: part.inside for part in parts}
    path: list[str] = []
    while level != JOB:
        path += [level, *(load.name for load in reversed(parts) if load.of == level)]
        level = inside.get(level, JOB)
    return (JOB, *reversed(path))


def parted(name: str, called: Collection[str]) -> tuple[str, str]:
    """
    A name in a formula as the name before its dot and what is asked of that: ('bore', 'upper') of a level of a reading,
    ('EX', 'bore') of a part's value. A name that was taken in has a dot of its own: ('cold.bore', 'upper').
    """
    if SINCE in name:
        return name, ""
    owner, _, rest = name.partition(".")
    if owner in called and rest:
        inner, _, rest = rest.partition(".")
        owner = f"{owner}.{inner}"
    return (owner, rest) if rest else (name, "")


@dataclass(frozen=True, slots=True)
class Instrument:
    title: str
    reads_to: Quantity
    uncertainty: Quantity


@dataclass(frozen=True, slots=True)
class Given:
    """A value the procedure says, or takes from the table of materials; then `rows` are all that the table has of it."""

    name: str
    value: Quantity
    uncertainty: Quantity | None
    source: str
    line: int
    rows: tuple[Property, ...] = ()


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row for one part's name (`is_`), or for sizes over one bound, up to and including another."""

    is_: str
    over: Quantity | None
    up_to: Quantity | None
    values: tuple[Quantity, ...]
    source: str
    line: int


@dataclass(frozen=True, slots=True)
class Table:
    name: str
    looked_up_by: str
    columns: tuple[str, ...]
    rows: tuple[TableRow, ...]
    line: int


@dataclass(frozen=True, slots=True)
class TakenFile:
    """A file of shared steps that a procedure takes some of in: as its `from` calls it, and whole."""

    path: str
    text: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class Need:
    """What must be known where a group of steps is taken in, and in which sort of unit."""

    name: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class Taking:
    """One group of shared steps taken in at a place; outside, what it makes is known as `called.name`."""

    group: str
    called: str
    needs: tuple[Need, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class About:
    """What any step may carry. `number` counts from 1 in its stage, `place` is where it stands."""

    number: int
    place: Place
    key_point: str = ""
    reason: str = ""
    beware: tuple[Hazard, ...] = ()
    show: tuple[str, ...] = ()
    timed_as: str = ""
    only_if: tuple[Formula, ...] = ()
    """Conditions of the blocks it stands in, outermost first; where one isn't so, the step is not applicable."""
    may_skip: str = ""
    """The role that may skip it, with a reason."""
    good_for: Quantity | None = None
    """How long it stands; then it is done again before the pass goes on."""
    predict: str = ""
    """What an apprentice is asked to guess before the entry or the result is shown."""
    explain: str = ""
    """What an apprentice is asked to explain; whoever signs reads the answer."""
    taken: Taking | None = None
    """The taking that it came in by; then it stands in a shared file."""

    @property
    def line(self) -> int:
        return self.place.line

    @property
    def where(self) -> str:
        """'line 14', and of which file where that isn't the procedure's own."""
        return f"line {self.line} of {self.place.file}" if self.taken else f"line {self.line}"


@dataclass(frozen=True, slots=True)
class Do:
    """An act. Where it `ends` at a time, its text stays in view until that time is recorded."""

    about: About
    text: str
    ticks: tuple[str, ...]
    ends: str = ""


@dataclass(frozen=True, slots=True)
class Zero:
    about: About
    instrument: str
    unit: Unit
    on: str
    within: Range


@dataclass(frozen=True, slots=True)
class Read:
    """A reading of one value, of points, or of levels by axes. `points` holds the labels in the order they are read."""

    about: About
    name: str
    ask: str
    unit: Unit
    plausible: Range
    instrument: str
    points: tuple[str, ...]
    levels: tuple[str, ...] = ()
    axes: tuple[str, ...] = ()
    again_at_most: int = AGAIN_AT_MOST
    adds_to: str = ""
    """A total that the value adds to."""


@dataclass(frozen=True, slots=True)
class Choose:
    """One of the options is picked; none is picked beforehand."""

    about: About
    name: str
    ask: str
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Write:
    """A text is typed and kept as it is."""

    about: About
    name: str
    ask: str


@dataclass(frozen=True, slots=True)
class Rung:
    """The lowest rung of a ladder that is not below `least` is taken, never one below the rung the part is on."""

    about: About
    ladder: str
    least: Formula
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WorkOut:
    about: About
    name: str
    formula: Formula
    typed: Typed
    unit: Unit
    nearest: Quantity


@dataclass(frozen=True, slots=True)
class Check:
    """A value against `limits`, or a choice against the `options` that are met; then the limits say them and have no end."""

    about: About
    name: str
    limits: Range
    source: str
    routes: tuple[str, ...]
    """Concession, scrap, return, and titles of reworks and repairs."""
    decision: str
    """Its own, or '' for the procedure's."""
    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wait:
    about: About
    name: str
    starts: str
    least: Quantity
    source: str


@dataclass(frozen=True, slots=True)
class Window:
    """At most so long from one recorded time to another; it stands behind both, and is decided by itself."""

    about: About
    name: str
    starts: str
    ends: str
    most: Quantity
    source: str
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotBefore:
    """The work goes on at a time of day, the first one after `starts`; or once a condition is so."""

    about: About
    name: str
    clock: str
    """'06:00', or '' where there is a condition."""
    starts: str
    condition: Formula | None
    source: str


@dataclass(frozen=True, slots=True)
class Soak:
    """
    Time inside a band by what was read on the part itself, or on every part of a load. Two readings count when both are
    inside and no further apart than `every` and `grace`.
    """

    about: About
    name: str
    ask: str
    unit: Unit
    points: tuple[str, ...]
    instrument: str
    plausible: Range
    within: Range
    least: Quantity
    most: Quantity | None
    every: Quantity
    grace: Quantity | None
    never_over: Formula
    source: str
    adds_to: str
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AgainstTheClock:
    """
    Two acts, each told by a key, and the seconds that may lie between: `useful` while it will go well, `last` while it may.
    `ready` is ticked before it is armed; `least` is how soon after the first key the second one may come.
    """

    about: About
    name: str
    ready: tuple[str, ...]
    first_key: str
    second_key: str
    useful: Formula
    last: Formula
    least: Quantity
    hold_down: Quantity | None
    tell: tuple[str, ...]
    if_stuck: str
    routes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """The end of a block whose steps, from `first` on, are gone through until something is so, `at_most` times in all."""

    about: About
    name: str
    until: Formula
    at_most: int
    source: str
    routes: tuple[str, ...]
    first: int = 0


@dataclass(frozen=True, slots=True)
class HoldPoint:
    about: About
    title: str
    by: str
    must_see: tuple[str, ...]
    measures_again: str = ""
    """A reading of this pass that whoever releases reads too, without seeing the first."""
    agree_within: Quantity | None = None
    """How far the two means may lie apart."""


@dataclass(frozen=True, slots=True)
class WitnessPoint:
    """Somebody of a role is called; the work goes on once they came, or after a time without them."""

    about: About
    title: str
    by: str
    goes_on_after: Quantity


@dataclass(frozen=True, slots=True)
class SignOff:
    about: About
    text: str


Step = (
    Do
    | Zero
    | Read
    | Choose
    | Write
    | WorkOut
    | Rung
    | Check
    | Wait
    | Window
    | NotBefore
    | Soak
    | AgainstTheClock
    | Repeat
    | HoldPoint
    | WitnessPoint
    | SignOff
)


Routed = Check | Rung | Window | Soak | AgainstTheClock | Repeat
"""Steps that may stop a pass by themselves, and say what may be decided then."""


@dataclass(frozen=True, slots=True)
class Stage:
    """
    One stage of the work on every part of one level. `after` are the stages that must be done on this part, on the
    part it lies in and on all parts inside it; `after_all` those that must be done on every part there is.
    """

    number: int
    title: str
    for_each: str
    after: tuple[str, ...]
    after_all: tuple[str, ...]
    reason: str
    beware: tuple[Hazard, ...]
    steps: tuple[Step, ...]
    line: int


@dataclass(frozen=True, slots=True)
class Ladder:
    """Sizes in rising order, one of which each part of a level is on; it begins on the lowest and never goes down."""

    name: str
    for_each: str
    rungs: tuple[Quantity, ...]
    source: str
    line: int


@dataclass(frozen=True, slots=True)
class Total:
    """
    What adds up on a part over the whole job and never goes back: the time over a temperature where `over` says one, else
    the values that are added. Over `most` the work stops.
    """

    name: str
    for_each: str
    over: Quantity | None
    most: Quantity
    source: str
    routes: tuple[str, ...]
    line: int


@dataclass(frozen=True, slots=True)
class Rework:
    """
    What is done after a check that wasn't met: the steps of `stage` (none, or a pass of their own), a rung up where
    `climb` names a ladder, then everything on the part from `back_to` to that check again. `back_to` is the title of a
    stage, or the name of a reading, value or time; empty for the first reading of the pass that the check stands on.
    """

    title: str
    kind: str
    """'rework' where the part will meet its limit, 'repair' where it may not."""
    only_if: Formula | None
    climb: str
    back_to: str
    at_most: int
    stage: Stage


@dataclass(frozen=True, slots=True)
class Procedure:
    title: str
    id: str
    revision: str
    changed: str
    status: str
    written_by: str
    approved_by: str
    approved_on: str
    scope: str
    not_for: str
    decision: str
    roles: tuple[str, ...]
    released_by: str
    concessions_by: str
    prerequisites: tuple[str, ...]
    parts: tuple[PartLevel, ...]
    instruments: tuple[Instrument, ...]
    hazards: tuple[Hazard, ...]
    givens: tuple[Given, ...]
    tables: tuple[Table, ...]
    ladders: tuple[Ladder, ...]
    totals: tuple[Total, ...]
    reworks: tuple[Rework, ...]
    stages: tuple[Stage, ...]
    text: str = field(repr=False)
    taken_in: tuple[TakenFile, ...] = ()
    """Every file that shared steps came from."""
    called: frozenset[str] = frozenset()
    """What stands before the dot in the names of steps that were taken in."""

    def parted(self, name: str) -> tuple[str, str]:
        """What is kept under a name, and what is asked of it behind the last dot: see `parted`."""
        return parted(name, self.called)

    @property
    def materials(self) -> str:
        """Every row of the table of materials that a given stands on, as a table; '' where none does."""
        rows = dict.fromkeys(row for given in self.givens for row in given.rows)
        return as_text(rows) if rows else ""

    def stage(self, title: str) -> Stage:
        """A stage by its title, or the steps of a rework by the rework's."""
        for stage in self.stages:
            if stage.title == title:
                return stage
        return next(rework.stage for rework in self.reworks if rework.title == title)

    @property
    def every_stage(self) -> tuple[Stage, ...]:
        """The stages in their order, and behind them the steps of each rework that has any."""
        return (*self.stages, *(rework.stage for rework in self.reworks if rework.stage.steps))

    def rework(self, title: str) -> Rework | None:
        return next((one for one in self.reworks if one.title == title), None)

    def total(self, name: str) -> Total | None:
        return next((one for one in self.totals if one.name == name), None)

    def ladder(self, name: str) -> Ladder | None:
        return next((one for one in self.ladders if one.name == name), None)

    def level(self, name: str) -> PartLevel | None:
        return next((part for part in self.parts if part.name == name), None)

    def levels_down_to(self, name: str) -> tuple[str, ...]:
        """The levels from the job to this one: ('job', 'head', 'seat'); the loads of a level stand before it."""
        return path_of(name, self.parts)

    def instrument(self, title: str) -> Instrument | None:
        return next((one for one in self.instruments if one.title == title), None)
