"""A program killed at any moment has lost nothing that it told as kept, and the job goes on as if nothing had been."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from runner.job.events import ClockNoticed, Event, SittingBegun, WaitPassed
from runner.job.rows import to_body
from runner.journal import verify
from runner.session.at_work import AtWork, read_job
from tests.session.a_bench_hand import BenchClock, demo_sheet, opened, work_on

ROOT = Path(__file__).resolve().parents[2]
KILLS = 10
WORKER = """
import sys
from datetime import timedelta
from pathlib import Path
from runner.session.at_work import AtWork, read_job
from tests.session.a_bench_hand import BenchClock, demo_sheet, work_on

path, sheet = Path(sys.argv[1]), demo_sheet()
clock = BenchClock(read_job(path).state.last_at.utc + timedelta(seconds=20))
print("ready", flush=True)
with AtWork.resume(path, clock) as at_work:
    print(*at_work.chain, flush=True)
    while work_on(at_work, clock, sheet):
        print(*at_work.chain, flush=True)
print("released", flush=True)
"""


def started(path: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", WORKER, str(path)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
    )


def killed_after(worker: subprocess.Popen[str], lines: int, moment: float) -> list[str]:
    """What a worker had acknowledged when it was killed, a moment after so many lines."""
    assert worker.stdout
    told = [line for _ in range(lines) if (line := worker.stdout.readline())]
    time.sleep(moment)
    worker.send_signal(signal.SIGKILL)
    told += worker.stdout.read().split("\n")
    worker.wait()
    worker.stdout.close()
    return [line.strip() for line in told if line.strip()]


def without_moments(events: tuple[Event, ...]) -> list[dict[str, Any]]:
    """The events but for when they were and who took the job up on which machine."""
    kept = [one for one in events if not isinstance(one, SittingBegun)]
    return [
        {
            "kind": type(one).__name__,
            **{
                name: value
                for name, value in to_body(one).items()
                if name != "at" and not (isinstance(one, WaitPassed) and name in ("started", "lasted_s"))
            },
        }
        for one in kept
    ]


def test_a_job_killed_again_and_again_has_every_entry_it_told_as_kept_and_ends_the_same(
    tmp_path: Path,
) -> None:
    chance = random.Random(41)
    path, clock, sheet = tmp_path / "41.db", BenchClock(), demo_sheet()
    with opened(path, clock) as at_work:
        acknowledged = dict([at_work.chain])
    ended = False
    for kill in range(KILLS + 1):
        worker = started(path)
        lines = chance.randint(1, 35) if kill < KILLS else 10**6
        told = killed_after(worker, lines, chance.uniform(0, 0.004))
        ended = told[-1] == "released"
        for line in told:
            count, _, head = line.partition(" ")
            if count.isdigit() and len(head) == 64:
                acknowledged[int(count)] = head
        rows = read_job(path).rows
        assert max(acknowledged) <= len(rows)
        assert all(rows[count - 1].hash == head for count, head in acknowledged.items())
        assert (
            len({row.at for row in rows[max(acknowledged) :]}) <= 1
        )  # at most one act was kept and not yet told
        if ended:
            break
    assert ended and verify(path).ok
    found = read_job(path)
    assert found.state.released and len(found.rows) == max(acknowledged)
    assert 2 <= sum(isinstance(one, SittingBegun) for one in found.events) <= KILLS + 2

    whole = tmp_path / "whole" / "41.db"
    with opened(whole, BenchClock()) as at_work:
        while work_on(at_work, at_work.clock, sheet):  # type: ignore[arg-type]
            pass
    uninterrupted = read_job(whole).events
    assert without_moments(found.events) == without_moments(uninterrupted)
    assert not any(isinstance(one, ClockNoticed) for one in found.events)


def test_a_worker_left_alone_takes_nothing_from_one_that_is_killed(tmp_path: Path) -> None:
    """The lock of a killed program is free at once."""
    path = tmp_path / "41.db"
    opened(path).close()
    worker = started(path)
    killed_after(worker, 3, 0)
    last = read_job(path).state.last_at
    assert last
    with AtWork.resume(path, BenchClock(last.utc)) as at_work:
        assert work_on(at_work, at_work.clock, demo_sheet())  # type: ignore[arg-type]
