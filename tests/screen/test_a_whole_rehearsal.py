"""The shipped procedure rehearsed from its first prerequisite to its last pass, by keys alone, its clock hurried over days."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from runner.job import events as e
from runner.job.opening import Opening
from runner.job.rows import kind_of
from runner.paper.text import as_text
from runner.procedure.reader import read_procedure
from runner.session.at_work import AtWork, read_job
from runner.session.clock import SimulatedClock
from runner.session.dry_run import run
from runner.session.entries import read_entries
from tests.screen.a_screen import Seen, resumed
from tests.screen.keys_of_acts import NOBODYS, acts_of, options_of

PROCEDURES = Path(__file__).resolve().parents[2] / "procedures"
HURRIED_FROM = timedelta(minutes=1)
"""What lasts less is waited for."""


async def go_on(seen: Seen, lasted: timedelta) -> None:
    """So much time gone by: hurried by its key where it is long and hands are free."""
    assert isinstance(seen.clock, SimulatedClock)
    if lasted >= HURRIED_FROM and not seen.job_screen.view.is_racing:
        await seen.burst("f11", f"{int(lasted.total_seconds())} s\r")
    seen.clock.run(max(timedelta(seconds=1), lasted % HURRIED_FROM))
    for _ in range(10):
        seen.job_screen.tick()


async def test_two_heads_are_rehearsed_in_two_oven_loads_by_keys_to_the_end(tmp_path: Path) -> None:
    text = (PROCEDURES / "head-seats.yaml").read_text(encoding="utf-8")
    made, _ = read_procedure(text, "head-seats.yaml")
    demo = (PROCEDURES / "demo" / "head-seats.entries.yaml").read_text(encoding="utf-8")
    entries, _ = read_entries(demo, "head-seats.entries.yaml")
    assert made and entries
    (tmp_path / "told").mkdir()
    told, stopped = run(made, entries, tmp_path / "told" / "41.db")
    told.close()
    assert stopped is None
    acts = list(acts_of(told.events, options_of(made)))

    clock = SimulatedClock(entries.opened)
    asked = Opening(
        "41", entries.acts[0].said, entries.named, entries.alone, rehearsal=True, zone=entries.zone
    )
    path = tmp_path / "41.db"
    at_work = AtWork.open(path, made, asked, clock)
    async with resumed(at_work, clock) as seen:
        before = entries.opened
        for act in acts[:-1]:  # no rehearsal is released
            await go_on(seen, act.at - before)
            before = act.at
            done = len(seen.at_work.events)
            for key in act.keys:
                clock.run(timedelta(seconds=1))
                await seen.burst(key)
            assert len(seen.at_work.events) > done, (act, await seen.text())
        assert "REHEARSAL" in await seen.text()
        assert seen.at_work.state.completed
    rehearsed = [kind_of(one) for one in at_work_events(path) if not isinstance(one, NOBODYS)]
    told_kinds = [kind_of(one) for one in told.events if not isinstance(one, NOBODYS)]
    assert rehearsed == told_kinds[:-1]
    loads = [one for one in at_work_events(path) if isinstance(one, e.LoadMade) and one.kind == "oven_load"]
    assert [one.parts for one in loads] == [("H1",), ("H2",)]
    lines = as_text(read_job(path)).splitlines()
    assert all(line.startswith("REHEARSAL") for line in lines)


def at_work_events(path: Path) -> tuple[e.Event, ...]:
    return read_job(path).events
