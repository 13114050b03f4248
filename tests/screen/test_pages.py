"""Every page as text at two sizes, reached by the keys that reach it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from datetime import timedelta
from pathlib import Path

import pytest

from runner.job.fold import apply
from runner.job.intents import (
    Confirm,
    Intent,
    StartPass,
    Suspend,
    Tick,
    Type,
)
from runner.job.passes import next_step
from runner.job.state import PassKey, State
from runner.procedure.model import Choose, Do, Read, Write, Zero
from runner.procedure.reader import read_procedure
from runner.screen import steps
from runner.screen.keys import acts
from runner.screen.rows import plain
from runner.screen.view import View
from runner.session.at_work import AtWork
from runner.session.clock import SimulatedClock
from runner.session.dry_run import run
from runner.session.entries import read_entries
from tests.job.a_small_procedure import TEXT
from tests.screen.a_screen import (
    FITTER,
    INSPECTOR,
    Seen,
    a_job,
    bench,
    do,
    glued,
    measured,
    resumed,
    to_the_end,
)

PROCEDURES = Path(__file__).resolve().parents[2] / "procedures"
ROOM = 14
"""Rows for a step in 24: less the head and a gap 5, a line of what was said, the entry line and three of keys."""
Look = Callable[[Seen, str], Awaitable[None]]


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The jobs of a shop that has one procedure of its own beside those shipped."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TZ", "UTC")
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "small-frame.yaml").write_text(TEXT, encoding="utf-8")
    return Path("jobs")


async def test_the_bench_and_the_questions_that_open_a_job(
    jobs: Path, clock: SimulatedClock, look: Look
) -> None:
    async with bench(jobs, clock) as seen:
        await look(seen, "bench-empty")
        await seen.keys(" ")
        await look(seen, "opening-number")
        await seen.keys("4/1\r")
        await look(seen, "opening-number-refused")
        await seen.keys("41\r", f"{FITTER}\r")
        await look(seen, "opening-rehearsal")
        await seen.keys("p")
        await look(seen, "opening-alone")
        await seen.keys("t")
        await look(seen, "opening-tags")
        await seen.keys("F1 F2\r")
        await look(seen, "opening-front-page")
        await seen.keys("o")
        await look(seen, "job-prerequisites")
        await seen.keys(" ", " ")
        await look(seen, "job-board")


async def test_the_bench_with_jobs_in_every_state(jobs: Path, clock: SimulatedClock, look: Look) -> None:
    a_job(jobs / "41.db", clock, *measured("bore")).close()
    a_job(jobs / "42.db", clock, Suspend("the shim is loose")).close()
    a_job(jobs / "43.db", clock, *glued()).close()
    a_job(jobs / "44.db", clock, *to_the_end()).close()
    (jobs / "45.db").write_bytes(b"no job at all")
    clock.run(timedelta(minutes=30))
    async with bench(jobs, clock) as seen:
        await seen.keys("down")
        await look(seen, "bench-jobs")
        await seen.keys(" ")
        await look(seen, "bench-who")


async def test_each_kind_of_step(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    at_work = a_job(tmp_path / "41.db", clock)
    async with resumed(at_work, clock) as seen:
        await seen.keys("F1/A\r")
        await look(seen, "job-warning")
        await seen.keys("a", " ")
        await look(seen, "job-ticks")
        await seen.keys(" ")
        await look(seen, "job-reading")
        await seen.keys("10.000\r", "10.05\r")
        await look(seen, "job-zero-failed")
        await seen.keys("10.001\r", "10.009\r", "12.5\r")
        await look(seen, "job-reading-asked-again")
        await seen.keys("10.010 10.011\r")
        await look(seen, "job-worked-out")
        await seen.keys("k")
        await look(seen, "job-working")
        await seen.keys("escape", "l")
        await look(seen, "job-steps")
        await seen.keys("escape", "0.01\r", "4.01 4.02\r")
        await look(seen, "job-levels")
        await seen.keys("4.03 4.04\r")
        await look(seen, "job-do")
        await seen.keys(" ", " ")
        await look(seen, "job-hold")
        await seen.keys("r")
        await look(seen, "job-hold-name")
        await seen.keys(f"{FITTER}\r")
        await look(seen, "job-hold-name-refused")
        await seen.keys(f"{INSPECTOR}\r")
        await look(seen, "job-hold-seen")
        await seen.keys("v", "v")
        await look(seen, "job-hold-word")
        await seen.keys("release\r")
        await look(seen, "job-sign-off")
        await seen.keys("g")
        await look(seen, "job-sign-off-name")


def work_to(
    at_work: AtWork, key: PassKey, typed: Mapping[PassKey, Mapping[str, str]], until: str = ""
) -> None:
    """A pass by what is typed in it, up to a reading of that name or its end."""
    do(at_work, StartPass(key))
    while step := next_step(at_work.job, at_work.state, key):
        match step:
            case Read(name=name) if name == until:
                return
            case Do(ticks=ticks):
                acts: list[Intent] = [Tick(at) for at in range(1, len(ticks) + 1)]
                do(at_work, *(acts or [Confirm()]))
            case Zero(instrument=instrument):
                do(at_work, Type(typed[key][instrument]))
            case Read(name=name) | Choose(name=name) | Write(name=name):
                do(at_work, Type(typed[key][name]))
            case other:
                raise AssertionError(other)


async def test_a_check_that_is_not_met(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    made, _ = read_procedure((PROCEDURES / "head-seats.yaml").read_text(encoding="utf-8"), "head-seats.yaml")
    demo = (PROCEDURES / "demo" / "head-seats.entries.yaml").read_text(encoding="utf-8")
    entries, _ = read_entries(demo, "head-seats.entries.yaml")
    assert made and entries
    typed = {(act.said, act.keys["for"]): act.typed for act in entries.acts if act.typed}
    at_work = a_job(tmp_path / "41.db", clock, of=made, named=("H1", "H2"), level="head", invented=True)
    work_to(at_work, ("Take in the head", "H1"), typed)
    work_to(at_work, ("Choose the insert", "H1/EX"), typed)
    work_to(at_work, ("Measure the insert", "H1/EX"), typed, until="insert_od")
    do(at_work, Type("42.511 42.512"))
    async with resumed(at_work, clock) as seen:
        await seen.keys("42.535\r")
        await look(seen, "job-check-not-met")


@pytest.mark.parametrize("told", ["head-seats", "head-seats-troubled"])
def test_every_step_of_the_demo_fits_a_window_of_80_by_24(tmp_path: Path, told: str) -> None:
    made, _ = read_procedure((PROCEDURES / "head-seats.yaml").read_text(encoding="utf-8"), "head-seats.yaml")
    demo = (PROCEDURES / "demo" / f"{told}.entries.yaml").read_text(encoding="utf-8")
    entries, _ = read_entries(demo, f"{told}.entries.yaml")
    assert made and entries
    at_work, stopped = run(made, entries, tmp_path / "41.db")
    at_work.close()
    assert stopped is None
    state = State()
    for event in at_work.events:
        state = apply(state, event)
        job = at_work.job.as_loaded(state.loads)
        step = next_step(job, state, state.in_hand) if state.in_hand else None
        if state.in_hand and step:
            view = View(job, state, event.at)
            shown = steps.page(view, acts(view), 80)
            assert len(shown) <= ROOM, plain(shown)


async def test_the_ways_out(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    async with resumed(a_job(tmp_path / "41.db", clock, *measured("wall", play="0.06")), clock) as seen:
        await look(seen, "job-check-failed")
        await seen.keys("m")
        await look(seen, "job-again-why")
        await seen.keys("escape", "c", "no feeler thin enough\r")
        await look(seen, "job-cannot-measure")
        await seen.keys("t", "a thin one is here\r", "n", "scored by the pin\r")
        await look(seen, "job-nonconforming")
        await seen.keys("d")
        await look(seen, "job-decide")
        await seen.keys("o")
        await look(seen, "job-decide-name")
        await seen.keys("escape", "p")
        await look(seen, "job-board-held")
        await seen.keys("escape", "s", "the pin is still in\r")
        await look(seen, "job-suspended")


async def test_a_wait_before_and_after_it_is_over(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    at_work = a_job(tmp_path / "41.db", clock, *glued(), StartPass(("Cure", "F1/A")))
    clock.run(timedelta(minutes=30))
    async with resumed(at_work, clock) as seen:
        await look(seen, "job-wait")
        await seen.keys(" ")
        await look(seen, "job-wait-refused")
        clock.run(timedelta(hours=2))
        await look(seen, "job-wait-over")


async def test_the_ends_of_a_job(tmp_path: Path, clock: SimulatedClock, look: Look) -> None:
    at_work = a_job(tmp_path / "41.db", clock, *to_the_end())
    async with resumed(at_work, clock) as seen:
        await look(seen, "job-completed")
        await seen.keys("r", f"{INSPECTOR}\r", "one frame, glued\r")
        await look(seen, "job-release-word")
        await seen.keys("release\r")
        await look(seen, "job-released")
        await seen.pilot.resize_terminal(40, 10)
        assert "40 columns by 10 rows" in await seen.words()
