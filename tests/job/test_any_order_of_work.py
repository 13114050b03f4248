"""
Laws that hold whatever people ask, in whatever order, on trees of several shapes.

They are read from the events alone, by rules of their own, and held against the state that is shown.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from runner.job import events as e
from runner.job.decide import decide
from runner.job.events import Event
from runner.job.fold import fold
from runner.job.intents import (
    Acknowledge,
    BeginSitting,
    ChangePerson,
    Confirm,
    ConfirmPrerequisite,
    Dispose,
    Intent,
    MeasureAgain,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    StartPass,
    Stop,
    Suspend,
    TakeUp,
    Tick,
    Type,
)
from runner.job.job import Refusal
from runner.job.passes import next_step
from runner.job.rows import from_row, kind_of, to_body
from runner.job.state import PassKey
from runner.procedure.model import Check, Do, HoldPoint, Procedure, Read, SignOff, Wait, WorkOut, Zero
from tests.job.a_bench import Bench
from tests.job.a_small_procedure import TEXT, procedure

PEOPLE = ("Ada Fitch", "Ben Stone", "Cora Lind", "  ada  FITCH ")
HEAD = TEXT[: TEXT.index("parts:\n")]
INSTRUMENT = "instruments:\n  - instrument: dial\n    reads to: 0.01 mm\n    uncertainty: 0.01 mm\n"
WORK = """\
      - do: Ready it
        tick:
          - Washed
          - Dried
        timed as: {n}_ready
      - zero: dial
        on: nil
        within: 0.01 mm of 0 mm
      - read: {n}_size
        ask: Size
        unit: mm
        points: 2
        with: dial
        plausible: 1 mm to 9 mm
      - work out: {n}_mean
        as: mean({n}_size)
        to the nearest: 0.01 mm
      - check: {n}_mean
        at most: 5 mm
        source: common practice
        if not: [concession, scrap, return]
      - do: Set it
        show: [{n}_mean]
      - wait: {n}_rest
        starts: {n}_ready
        at least: 10 min
        source: common practice
      - hold point: {n} released
        by: inspector
        must see:
          - it is there
"""
SHORT = """\
      - read: {n}_depth
        ask: Depth
        unit: mm
        plausible: 0 mm to 9 mm
      - check: {n}_depth
        at most: 5 mm
        source: common practice
        if not: [concession]
      - sign off: {n} noted
"""


def written(parts: Sequence[tuple[str, str, str]], stages: Sequence[tuple[str, str, str, str]]) -> Procedure:
    """A procedure of parts (level, in, names) and stages (name, level, lock, steps)."""
    tree = "".join(
        f"  - part: {level}\n    in: {outer}\n    named: [{names}]\n    tag: label\n".replace(
            "    in: job\n", ""
        )
        for level, outer, names in parts
    )
    work = "".join(
        f"  - stage: {name}\n    for each: {level}\n    {lock}\n    steps:\n{steps.format(n=name)}"
        for name, level, lock, steps in stages
    )
    return procedure(f"{HEAD}parts:\n{tree}\n{INSTRUMENT}\nstages:\n{work}")


SHAPES: tuple[Procedure, ...] = (
    written(
        [("pin", "job", "p")], [("first", "pin", "after: []", WORK), ("last", "job", "after: [first]", SHORT)]
    ),
    written(
        [("box", "job", "X, Y"), ("pin", "box", "p, q")],
        [
            ("first", "pin", "after: []", SHORT),
            ("boxed", "box", "after: [first]", WORK),
            ("again", "pin", "after: [boxed]", SHORT),
        ],
    ),
    written(
        [("box", "job", "X"), ("lid", "box", "t"), ("pin", "lid", "p"), ("foot", "box", "l, r")],
        [
            ("loose", "box", "after: []", SHORT),
            ("pinned", "pin", "after: []", WORK),
            ("footed", "foot", "after: []", SHORT),
            ("shut", "lid", "after: [footed]", SHORT),
            ("done", "job", "after all: [shut, pinned, loose]", SHORT),
        ],
    ),
)


@dataclass(slots=True)
class Work:
    """A bench and what was shown after each act: how many events, and the state."""

    bench: Bench
    shown: list[tuple[int, object]]

    @property
    def here(self) -> PassKey | None:
        return self.bench.state.in_hand


def likely(bench: Bench, key: PassKey) -> list[Intent]:
    """What a person would ask at the step in hand."""
    step = next_step(bench.job, bench.state, key)
    match step:
        case Read():
            return [Type("4"), Type("4.5"), Type("6"), Type("4 4"), Type("0.15 in"), Type("40")]
        case Zero():
            return [Type("0"), Type("0"), Type("0.02")]
        case Do(ticks=ticks):
            return [Tick(1), Tick(2)] if ticks else [Confirm()]
        case Wait():
            return [Confirm()]
        case HoldPoint():
            return [Release("Ben Stone", ("yes",)), Release("Ada Fitch", ("yes",)), Release("Ben Stone", ())]
        case SignOff():
            return [Sign(bench.state.person)]
        case _:
            return [MeasureAgain(name, "why") for name in _readings(bench, key)]


def _readings(bench: Bench, key: PassKey) -> list[str]:
    return [step.name for step in bench.job.stage_of(key).steps if isinstance(step, Read)]


def unlikely(bench: Bench, key: PassKey) -> list[Intent]:
    """What a person might ask at any time, honestly or not."""
    names = [*_readings(bench, key), "no such"]
    return [
        *(MeasureAgain(name, "why") for name in names),
        *(Stop(exit_, "why") for exit_ in (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING)),
        TakeUp("it can"),
        TakeUp("it can"),
        *(Dispose(way, "Olga Prince", "why") for way in ("concession", "concession", "scrap", "return")),
        Dispose("concession", "Ada Fitch", "why"),
        Confirm(),
        Acknowledge(),
        Tick(2),
        Type("4"),
        Sign("Ada Fitch"),
        Release("Cora Lind", ("a", "b")),
    ]


def menu(bench: Bench) -> list[Intent]:
    """What may be asked next: mostly what brings the work on, so that it gets far."""
    state = bench.state
    always: list[Intent] = [
        *(StartPass(key) for key in bench.job.keys()),
        Suspend("night"),
        Resume(),
        BeginSitting("bench"),
        ConfirmPrerequisite(1),
        ReleaseJob("Olga Prince", "all of it"),
        *(ChangePerson(name) for name in PEOPLE),
    ]
    if state.suspended:
        return [Resume()] * len(always) + always
    key = state.in_hand
    if key is None:
        return [*(StartPass(key) for key in bench.job.keys())] * 3 + always
    found = state.at(key)
    if found.stop:
        return [*unlikely(bench, key), *always, *unlikely(bench, key)]
    if found.failed and not isinstance(found.failed, e.ZeroRead):
        stopped = Stop(e.NONCONFORMING, "it is")
        return likely(bench, key) * 6 + [stopped] * 6 + unlikely(bench, key) + always
    return likely(bench, key) * 8 + unlikely(bench, key) + always


def worked(shape: int, alone: bool, moves: bytes) -> Work:
    """A job after so many acts; of each pair of bytes one picks what is asked, the other what the clocks do."""
    bench = Bench(SHAPES[shape], {}, alone=alone)
    work = Work(bench, [(len(bench.events), bench.state)])
    for at in range(0, len(moves) - 1, 2):
        time = moves[at + 1]
        if time >= 250:
            bench.restart(minutes=time - 252)
        elif time >= 245:
            bench.clock_set(minutes=(time - 247) * 30)
        else:
            bench.later(seconds=time * 2)
        choices = menu(bench)
        bench.ask(choices[moves[at] * len(choices) // 256])
        work.shown.append((len(bench.events), bench.state))
        exits_are_open(bench)
    return work


def exits_are_open(bench: Bench) -> None:
    """Law: from every state a recorded exit, until the job is released."""
    state = bench.state
    if state.released:
        return
    way_out = Resume() if state.suspended else Suspend("lights out")
    assert not isinstance(decide(bench.job, state, way_out, bench.now), Refusal)
    key = state.in_hand
    if key is None or state.suspended or state.at(key).stop:
        return
    for exit_ in (e.CANNOT_MEASURE, e.CANNOT_DO, e.NONCONFORMING):
        answer = decide(bench.job, state, Stop(exit_, "why"), bench.now)
        if exit_ == e.NONCONFORMING and key[1] == "job":
            assert isinstance(answer, Refusal)
            continue
        assert not isinstance(answer, Refusal), (key, exit_, answer)
        stopped = fold(answer, state)
        assert not stopped.at(key).done and stopped.at(key).done_steps == state.at(key).done_steps


def in_pass(events: Sequence[Event], key: PassKey) -> list[e.PassEvent]:
    return [one for one in events if isinstance(one, e.PassEvent) and (one.stage, one.part) == key]


def proved(job: Bench, events: Sequence[Event], key: PassKey) -> None:
    """Law: a pass is done only over steps that were all done, checks met or conceded, holds released, none of it undone."""

    for step in job.job.stage_of(key).steps:
        number = step.about.number
        since: list[e.StepEvent] = []
        for one in events:
            if number in out_of_date_by(one, key):
                since = []
            elif isinstance(one, e.StepEvent) and (one.stage, one.part, one.step) == (*key, number):
                since.append(one)
        assert _is_proved(step, since), (key, step, since)


def out_of_date_by(event: Event, key: PassKey) -> set[int]:
    """The steps of a pass that an event leaves unproved: read anew, or standing on something that changed."""
    refs = [*getattr(event, "out_of_date", ()), *getattr(event, "done_again", ())]
    steps = {ref.step for ref in refs if (ref.stage, ref.part) == key}
    here = isinstance(event, e.ReadingSuperseded | e.WentOutOfDate) and (event.stage, event.part) == key
    return steps | ({event.step} if here and isinstance(event, e.StepEvent) else set())


def _is_proved(step: object, since: Sequence[e.StepEvent]) -> bool:
    match step:
        case HoldPoint(must_see=must_see):
            return any(isinstance(one, e.HoldReleased) and len(one.saw) >= len(must_see) for one in since)
        case Check():
            verdicts = [one for one in since if isinstance(one, e.CheckDecided)]
            given = any(isinstance(one, e.Disposed) and one.way == "concession" for one in since)
            return bool(verdicts) and (verdicts[-1].met or given)
        case Read(points=points):
            taken = [one for one in since if isinstance(one, e.ReadingTaken)]
            return [one.point for one in taken] == list(points) and taken[-1].last
        case Zero():
            return any(isinstance(one, e.ZeroRead) and one.good for one in since)
        case WorkOut():
            return any(isinstance(one, e.ValueWorked) for one in since)
        case Wait(least=least):
            return any(isinstance(one, e.WaitPassed) and one.lasted_s >= float(least.si) for one in since)
        case Do(ticks=ticks):
            ticked = {one.number for one in since if isinstance(one, e.TickMade)}
            return ticked == set(range(1, len(ticks) + 1)) and any(
                isinstance(one, e.StepDone) for one in since
            )
        case SignOff():
            return any(isinstance(one, e.SignedOff) for one in since)
    return False


def walked(events: Sequence[Event]) -> Iterator[tuple[Event, Mapping[str, str], Mapping[str, str]]]:
    """Each event with the parts that were locked and those that were gone before it."""
    locked: dict[str, str] = {}
    gone: dict[str, str] = {}
    for one in events:
        yield one, dict(locked), dict(gone)
        if isinstance(one, e.PassStopped) and one.exit == e.NONCONFORMING:
            locked[one.part] = one.because
        if isinstance(one, e.Disposed):
            locked.pop(one.part)
            if one.way != "concession":
                gone[one.part] = one.way


def outward(part: str) -> list[str]:
    names = part.split("/")
    return ["/".join(names[:depth]) for depth in range(len(names), 0, -1)]


def nothing_locked_moves(events: Sequence[Event]) -> None:
    """Law: on a nonconforming part, and inside it, nothing is done but deciding; on one that is gone, nothing at all."""
    for one, locked, gone in walked(events):
        if not isinstance(one, e.PassEvent):
            continue
        if any(part in gone for part in outward(one.part)):
            raise AssertionError(("moved after it was gone", one))
        if any(part in locked for part in outward(one.part)):
            assert isinstance(one, e.PassStarted | e.PassStopped | e.Disposed), one


def people_keep_apart(events: Sequence[Event], alone: bool) -> None:
    """Law: holds and concessions are given by somebody without entries in the pass, or it says solo, alone only."""
    workers: dict[tuple[str, str], set[str]] = {}
    for one in events:
        if not isinstance(one, e.PassEvent):
            continue
        mine = workers.setdefault((one.stage, one.part), set())
        if isinstance(one, e.HoldReleased | e.Disposed):
            own = " ".join(one.by.split()).casefold() in mine
            assert one.solo is own and (alone or not own)
        elif not isinstance(one, e.PassStarted):
            mine.add(" ".join(one.who.split()).casefold())


def order_is_kept(bench: Bench) -> None:
    """Law: nothing is begun on a part before what its lock names is done on what belongs to it and is still there."""
    done: set[PassKey] = set()
    for one, _, gone in walked(bench.events):
        if isinstance(one, e.PassStarted):
            stage = bench.job.procedure.stage(one.stage)
            for title in stage.after:
                before = bench.job.procedure.stage(title)
                for part in bench.job.parts.at(before.for_each):
                    near = part.path.split("/")[0] == one.part.split("/")[0] or "job" in (part.path, one.part)
                    inside = part.path.startswith(one.part + "/") or one.part.startswith(part.path + "/")
                    belongs = part.path == one.part or (near and inside) or "job" in (part.path, one.part)
                    if belongs and not any(outer in gone for outer in outward(part.path)):
                        assert (title, part.path) in done, one
            for title in stage.after_all:
                for part in bench.job.parts.at(bench.job.procedure.stage(title).for_each):
                    assert (title, part.path) in done or any(outer in gone for outer in outward(part.path)), (
                        one
                    )
        if isinstance(one, e.PassDone):
            assert (one.stage, one.part) not in done
            done.add((one.stage, one.part))


def the_end_is_the_end(bench: Bench) -> None:
    """Law: a job is completed and released over done passes of live parts only, and takes nothing more after."""
    done = {(one.stage, one.part) for one in bench.events if isinstance(one, e.PassDone)}
    for at, (one, _, gone) in enumerate(walked(bench.events)):
        if isinstance(one, e.JobCompleted | e.JobReleased):
            for stage, part in bench.job.keys():
                assert (stage, part) in done or any(outer in gone for outer in outward(part))
        if isinstance(one, e.JobReleased):
            assert at == len(bench.events) - 1


RUNS = settings(max_examples=60, deadline=None, derandomize=True, database=None)
MOVES = st.binary(min_size=160, max_size=360)


def _every_law(shape: int, alone: bool, moves: bytes) -> Work:
    work = worked(shape, alone, moves)
    bench = work.bench
    for at, one in enumerate(bench.events):
        if isinstance(one, e.PassDone):
            proved(bench, bench.events[:at], (one.stage, one.part))
    nothing_locked_moves(bench.events)
    people_keep_apart(bench.events, alone)
    order_is_kept(bench)
    the_end_is_the_end(bench)
    return work


@RUNS
@given(st.integers(0, len(SHAPES) - 1), st.booleans(), MOVES)
def test_no_order_of_work_gets_round_a_hold_a_check_a_lock_or_an_exit(
    shape: int, alone: bool, moves: bytes
) -> None:
    _every_law(shape, alone, moves)


@settings(RUNS, max_examples=20)
@given(st.integers(0, len(SHAPES) - 1), st.booleans(), MOVES)
def test_every_beginning_of_a_job_folds_to_the_state_that_was_shown_then(
    shape: int, alone: bool, moves: bytes
) -> None:
    work = worked(shape, alone, moves)
    events = [from_row(kind_of(one), json.loads(json.dumps(to_body(one)))) for one in work.bench.events]
    assert events == work.bench.events
    shown = dict(work.shown)
    state = fold([])
    for count, event in enumerate(events, 1):
        state = fold([event], state)
        assert state.positions == count
        if count in shown:
            assert state == shown[count]
    assert fold(events) == work.bench.state


@settings(RUNS, max_examples=20)
@given(st.integers(0, len(SHAPES) - 1), MOVES)
def test_time_between_two_events_never_runs_backwards_on_the_boot_clock_nor_unsaid_on_the_wall(
    shape: int, moves: bytes
) -> None:
    events = worked(shape, False, moves).bench.events
    for before, after in pairwise(events):
        back = after.at.utc < before.at.utc
        if after.at.boot_id == before.at.boot_id:
            assert after.at.boot >= before.at.boot
        if back or after.at.boot_id != before.at.boot_id:
            assert isinstance(after, e.ClockNoticed)


def test_these_jobs_come_far_enough_to_mean_something() -> None:
    """A law proved on jobs that never get anywhere proves nothing."""
    import random

    chance = random.Random(41)
    seen: dict[str, int] = {}
    for run in range(24):
        work = _every_law(run % len(SHAPES), run % 2 == 0, chance.randbytes(500))
        for one in work.bench.events:
            seen[kind_of(one)] = seen.get(kind_of(one), 0) + 1
    for kind in (
        "pass-done hold-released signed-off wait-passed check-decided disposed pass-taken-up reading-superseded "
        "entry-questioned zero-read clock-noticed job-suspended job-completed job-released pass-stopped"
    ).split():
        assert seen.get(kind, 0) >= 1, seen
