"""Run as a program: a job worked by children that are killed one after another, until one comes to the release.

Prints a line of JSON for each: what it had told as kept (count, head), what then was on disk (time, hash), and whether
it was killed.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from datetime import timedelta
from pathlib import Path

from runner.job.moments import utc_from
from runner.journal import read_rows
from runner.session.at_work import AtWork
from tests.session.a_bench_hand import BenchClock, demo_sheet, work_on

KILLS = 10
SHEET = demo_sheet()


def work(path: Path, told: int) -> None:
    """The job taken up and worked on, each act told through a pipe once it is acknowledged."""
    clock = BenchClock(utc_from(read_rows(path)[-1].at) + timedelta(seconds=20))
    os.write(told, b"begun\n")
    with AtWork.resume(path, clock) as at_work:
        os.write(told, b"%d %s\n" % (at_work.chain[0], at_work.chain[1].encode()))
        while work_on(at_work, clock, SHEET):
            os.write(told, b"%d %s\n" % (at_work.chain[0], at_work.chain[1].encode()))


def killed(path: Path, lines: int, moment: float) -> tuple[list[str], bool]:
    """What a child told until it was killed, a moment after so many lines (0: it is left alone)."""
    end, start = os.pipe()
    child = os.fork()
    if not child:
        os.close(end)
        work(path, start)
        os._exit(0)
    os.close(start)
    with os.fdopen(end, "rb") as told:
        heard = [told.readline() for _ in range(lines)]
        if lines:
            time.sleep(moment)
            os.kill(child, signal.SIGKILL)
        heard += told.readlines()
    _, status = os.waitpid(child, 0)
    return [line.decode() for line in heard if line.endswith(b"\n")], os.WIFSIGNALED(status)


def main(path: Path) -> None:
    chance = random.Random(41)
    for kill in range(KILLS + 1):
        lines = chance.randint(1, 35) if kill < KILLS else 0
        told, was_killed = killed(path, lines, chance.uniform(0, 0.006))
        acknowledged = [(int(line.split()[0]), line.split()[1]) for line in told[1:]]
        found = [(row.at, row.hash) for row in read_rows(path)]
        print(json.dumps([acknowledged, found, was_killed]), flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
