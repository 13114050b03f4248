"""A program killed at any moment has lost nothing that it told as kept, and the job goes on as if nothing had been."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from runner.job.events import ClockNoticed, Event, SittingBegun, WaitPassed, WitnessPassed
from runner.job.rows import to_body
from runner.journal import verify
from runner.session.at_work import read_job
from tests.session.a_bench_hand import opened
from tests.session.a_killed_bench import KILLS

ROOT = Path(__file__).resolve().parents[2]


def without_moments(events: tuple[Event, ...]) -> list[dict[str, Any]]:
    """The events but for when they were and who took the job up on which machine."""
    return [
        {
            "kind": type(one).__name__,
            **{
                name: value
                for name, value in to_body(one).items()
                if name not in ("at", "upto", "alarms")
                and not (
                    isinstance(one, WaitPassed | WitnessPassed) and name in ("started", "called", "lasted_s")
                )
            },
        }
        for one in events
        if not isinstance(one, SittingBegun)
    ]


def test_a_job_killed_again_and_again_has_every_entry_it_told_as_kept_and_ends_the_same(
    tmp_path: Path, released_job: Path
) -> None:
    path = tmp_path / "done.db"
    with opened(path, number="done") as at_work:
        acknowledged = dict([at_work.chain])
    child = subprocess.run(
        [sys.executable, "-m", "tests.session.a_killed_bench", str(path)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
        timeout=120,
        check=True,
    )
    kills = 0
    for line in child.stdout.splitlines():
        told, found, was_killed = json.loads(line)
        acknowledged.update(told)
        kills += was_killed
        assert all(found[count - 1][1] == head for count, head in acknowledged.items())
        untold = found[max(acknowledged) :]
        assert len({at for at, _ in untold}) <= 1  # at most one act was on disk and not yet told
    assert kills == KILLS

    job = read_job(path)
    assert verify(path).ok and job.state.released and len(job.rows) == max(acknowledged)
    assert without_moments(job.events) == without_moments(read_job(released_job).events)
    assert not any(isinstance(one, ClockNoticed) for one in job.events)
    sittings = sum(isinstance(one, SittingBegun) for one in job.events)
    assert 2 < sittings <= KILLS + 2
