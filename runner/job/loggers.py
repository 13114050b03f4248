"""A temperature logger's file that stands for one place of a soak: its rows are readings there, each at its own moment.

A file has one channel and stands for one place, a point on a part. A soak with several places needs a reading at all of
them, from a file or typed. The rows are in the unit of the soak. Nobody answers for a row: somebody takes the file for a
place, and from then on the bench reads it. The logger's clock is believed as far as the bench's own clocks allow
(`traces.py`): a row of before the soak could begin, or of a time still to come, counts for nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from fractions import Fraction
from typing import Any

from runner.formula.values import CannotBeWorked
from runner.job import events as e
from runner.job.events import Event
from runner.job.instruments import instrument_for
from runner.job.intents import LoggerRow, ReadLogger, TakeLogger
from runner.job.job import Job, Refusal
from runner.job.limits import Limits, limits_for
from runner.job.moments import Moment, set_back, span_words
from runner.job.passes import next_step, refusal_to_begin, to_acknowledge
from runner.job.readings import shares_of
from runner.job.soaks import SAME_S, Fresh, judge, places
from runner.job.state import Logger, PassKey, Place, Soaking, State
from runner.job.waits import since
from runner.procedure.model import Soak
from runner.quantities.quantity import Quantity
from runner.text.foreign import has_unprintable, one_line

Answer = list[Event] | Refusal
Stamp = dict[str, Any]
AHEAD_S = 60.0
"""Seconds by which a logger's clock may be ahead of the bench's; its rows count as of now then."""
MOST_ROWS = 500
"""Of one event, so that no entry of a job file is longer than a page of figures."""
MOST_AT_ONCE = 30_000
"""Rows of one act: eight hours of a row a second."""
MOST_SAID, LONGEST_SAID, LONGEST_NAME, LONGEST_TYPED = 30, 200, 100, 20
"""Sentences about one act, and characters of each, of a file's name and of a figure: files come from anywhere."""


def take(job: Job, state: State, asked: TakeLogger, now: Moment, stamp: Stamp) -> Answer:
    """A file taken for one place of the soak that a pass stands at."""
    step = _soak_at(job, state, asked.key)
    if isinstance(step, Refusal):
        return step
    if warned := to_acknowledge(job.stage_of(asked.key), state.at(asked.key), step):
        return Refusal(f"read the warning first: {', '.join(hazard.title for hazard in warned)}")
    if not asked.file.strip() or len(asked.file) > LONGEST_NAME or has_unprintable(asked.file):
        return Refusal("a logger's file has a name that can be read, of at most 100 characters", "rename it")
    place = _place(job, state, asked, step)
    if isinstance(place, Refusal):
        return place
    found = _soaking(state, asked.key, step).loggers.get(asked.file)
    if found:
        return Refusal(f"{asked.file} stands for {words(found.place)} already", "a file stands for one place")
    with_ = instrument_for(job, state, step.instrument, now)
    if isinstance(with_, Refusal):
        return with_
    return [
        e.LoggerTaken(
            **_at(stamp, asked.key, step),
            name=step.name,
            file=asked.file,
            member=place[0],
            point=place[1],
            instrument=step.instrument,
            gauge=with_.gauge if with_ else "",
            calibrated_until=with_.calibrated_until if with_ else "",
            instrument_uncertainty=with_.uncertainty.typed if with_ else "",
            shares=shares_of(with_, f"{step.name} of {place[0]} {place[1]}".strip()),
        )
    ]


def _place(job: Job, state: State, asked: TakeLogger, step: Soak) -> Place | Refusal:
    """The place that is meant, in whatever letters it was written; the only one there is need not be named."""
    every = places(job, state, asked.key, step)
    meant = [
        one
        for one in every
        if asked.member.casefold() in ("", one[0].casefold())
        and asked.point.casefold() in ("", one[1].casefold())
    ]
    if len(meant) == 1:
        return meant[0]
    there = ", ".join(words(one) for one in every)
    if not meant:
        return Refusal(
            f"'{step.name}' is not read at '{one_line(f'{asked.member} {asked.point}'.strip())}'",
            f"it is read at {there}",
        )
    return Refusal(f"which place does {asked.file} stand for?", f"'{step.name}' is read at {there}")


def read(job: Job, state: State, asked: ReadLogger, now: Moment, stamp: Stamp) -> Answer:
    """What the bench read on in a file, and what the rows prove; nothing where nothing is new. `stamp` names nobody."""
    step = _soak_at(job, state, asked.key)
    if isinstance(step, Refusal):
        return step
    logger = _soaking(state, asked.key, step).loggers.get(asked.file)
    if logger is None:
        return Refusal(
            f"{one_line(asked.file)} stands for no place of '{step.name}'", "take it for one first"
        )
    if refusal := _refuse_file(state, asked, step, logger):
        return refusal
    said = tuple(one_line(one)[:LONGEST_SAID] for one in asked.said[:MOST_SAID])
    if not asked.rows and (not said or (said == logger.said and asked.read_bytes == logger.read_bytes)):
        return []
    if logger.place not in places(job, state, asked.key, step):
        return Refusal(f"{logger.place[0]} is no longer in this soak")
    try:
        plausible = limits_for(job, state, job.part_of(asked.key), step.plausible)
        rows = _sorted(state, asked, step, logger.place, plausible, now)
        here = _at(stamp, asked.key, step)
        judged = judge(job, state, asked.key, step, rows.fresh, now, here, rows.aside)
    except CannotBeWorked as why:
        return Refusal(f"the limits of '{step.name}' can't be worked out: {why}")
    if judged.enough_at:
        upto = judged.enough_at.boot + SAME_S
        rows.after = sum(one.at.boot > upto for one in rows.fresh)
        rows.fresh = [one for one in rows.fresh if one.at.boot <= upto]
    return [*_kept(asked, step, logger, rows, (*said, *rows.said(step)), here), *judged.events]


def _soak_at(job: Job, state: State, key: PassKey) -> Soak | Refusal:
    """The soak that a pass stands at, and goes on with; in hand or not."""
    found = state.at(key)
    if not found.started:
        return Refusal(f"'{key[0]}' on {key[1]} has not been begun", "begin it first")
    if found.stop:
        return Refusal(f"this pass stands: {found.stop.exit} ({found.stop.because})")
    if locked := refusal_to_begin(job, state, key):
        return locked
    step = next_step(job, state, key)
    if not isinstance(step, Soak):
        return Refusal(f"'{key[0]}' on {key[1]} does not stand at a soak")
    if found.failed and found.failed.step <= step.about.number:
        return Refusal(found.failed.sentence, "take one of the ways out")
    if state.hurried_s:
        return Refusal("this rehearsal was hurried, and a logger's clock was not", "type the readings")
    return step


def _refuse_file(state: State, asked: ReadLogger, step: Soak, logger: Logger) -> Refusal | None:
    if asked.begins != logger.read_bytes:
        return Refusal(f"{asked.file} was read on meanwhile", "look again")
    if len(asked.rows) > MOST_AT_ONCE:
        return Refusal(f"{len(asked.rows)} rows of {asked.file} are too many at once", "hand them in parts")
    for file, other in _soaking(state, asked.key, step).loggers.items():
        if other.sha256 and other.sha256 == asked.sha256 and other.place != logger.place:
            return Refusal(
                f"{asked.file} holds the same as {file}, which stands for {words(other.place)}",
                "name the file of this place",
            )
    return None


def _soaking(state: State, key: PassKey, step: Soak) -> Soaking:
    return state.at(key).soaks.get(step.about.number, Soaking())


def _at(stamp: Stamp, key: PassKey, step: Soak) -> Stamp:
    return {**stamp, "stage": key[0], "part": key[1], "step": step.about.number}


def words(place: Place) -> str:
    """A place as people say it: 'H1 rocker'."""
    return " ".join(place).strip()


@dataclass(slots=True)
class _Rows:
    """New rows by what becomes of them. Those of another time than the soak's are counted only, and not kept."""

    fresh: list[Fresh] = field(default_factory=list)
    late: list[Fresh] = field(default_factory=list)
    odd: list[Fresh] = field(default_factory=list)
    before: int = 0
    ahead: int = 0
    ahead_s: float = 0.0
    after: int = 0

    @property
    def aside(self) -> list[Fresh]:
        return [*self.late, *self.odd]

    def said(self, step: Soak) -> tuple[str, ...]:
        """What became of the rows that add nothing, a sentence for each sort."""
        found = []
        if self.before:
            found.append(f"{_rows(self.before)} of before {step.name} could begin")
        if self.late:
            found.append(f"{_rows(len(self.late))} of a time that was counted already")
        if self.odd:
            first = self.odd[0]
            assert first.row
            found.append(
                f"{_rows(len(self.odd))} for not being plausible, the first {first.typed} {first.unit} in line {first.row.line}"
            )
        if self.ahead:
            span = span_words(timedelta(seconds=self.ahead_s))
            found.append(f"{_rows(self.ahead)} for being ahead of the bench's clock, by up to {span}")
        if self.after:
            found.append(f"{_rows(self.after)} of after {step.name} was done")
        return tuple(found)


def _rows(number: int) -> str:
    return "1 row adds nothing," if number == 1 else f"{number} rows add nothing,"


def _sorted(
    state: State, asked: ReadLogger, step: Soak, place: Place, plausible: Limits, now: Moment
) -> _Rows:
    """The rows in the order of time, each with those of its sort."""
    rows, open_s = _Rows(), _open_for(state, asked.key, step, now) + SAME_S
    last_at = _soaking(state, asked.key, step).last_at
    counted_s = since(state, last_at, now).lasted.total_seconds() - SAME_S if last_at else None
    for row in sorted(asked.rows, key=lambda row: row.utc):
        ago_s = (now.utc - row.utc).total_seconds()
        if ago_s > open_s:
            rows.before += 1
            continue
        if ago_s < -AHEAD_S:
            rows.ahead, rows.ahead_s = rows.ahead + 1, max(rows.ahead_s, -ago_s)
            continue
        one = _fresh(row, step, place, now)
        if not plausible.meets(float(one.si), one.si):
            rows.odd.append(one)
        elif counted_s is not None and ago_s >= counted_s:
            rows.late.append(one)
        else:
            rows.fresh.append(one)
    return rows


def _fresh(row: LoggerRow, step: Soak, place: Place, now: Moment) -> Fresh:
    si = Quantity(Fraction(row.number), step.unit, row.typed).si
    return Fresh(
        place, one_line(row.typed)[:LONGEST_TYPED], step.unit.symbol, si, set_back(now, row.utc), row
    )


def _open_for(state: State, key: PassKey, step: Soak, now: Moment) -> float:
    """Seconds since the soak could have begun: since the step before it was done, or the pass begun, or either once more."""
    found = state.at(key)
    done = [at for number, at in found.done_at.items() if number <= step.about.number]
    opened = [*done, found.open_from] if found.open_from else done
    return min(since(state, one, now).lasted.total_seconds() for one in opened)


def _kept(
    asked: ReadLogger, step: Soak, logger: Logger, rows: _Rows, said: Sequence[str], here: Stamp
) -> list[Event]:
    """The rows as events, as many as it takes; what is to be said stands in the last of them."""
    kept = [(one, True) for one in rows.fresh] + [(one, False) for one in rows.aside]
    parts = [kept[at : at + MOST_ROWS] for at in range(0, len(kept), MOST_ROWS)] or [[]]
    return [
        e.LoggerRead(
            **here,
            name=step.name,
            file=asked.file,
            member=logger.place[0],
            point=logger.place[1],
            unit=step.unit.symbol,
            read_bytes=asked.read_bytes,
            read_lines=asked.read_lines,
            sha256=asked.sha256,
            rows=tuple(_row(one) for one, counts in part if counts),
            aside=tuple(_row(one) for one, counts in part if not counts),
            said=tuple(said) if part is parts[-1] else (),
        )
        for part in parts
    ]


def _row(one: Fresh) -> e.LoggedRow:
    assert one.row
    return e.LoggedRow(utc=one.row.utc, typed=one.typed, si=one.si)
