"""The first stages of the demo typed into the real program, which is killed ten times and taken up again each time."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from runner.journal import KeptRow, read_rows
from runner.paper.record import record
from runner.procedure.reader import read_procedure
from runner.session.at_work import read_job
from runner.session.dry_run import run
from runner.session.entries import Entries, read_entries
from tests.screen import keys_of_acts
from tests.terminal.a_terminal import ROOT, Terminal

PROCEDURE = ROOT / "procedures" / "head-seats.yaml"
ENTRIES = ROOT / "procedures" / "demo" / "head-seats.entries.yaml"
UP = "\x1b[A"
"""A key that does nothing at a step: two presses of one key with it between are no held key."""
NOT_BY_A_PERSON = ("job-opened", "sitting-begun", "clock-noticed")
SKIP = "\x1b[24~"
"""F12, which skips where a text is typed too."""
LAST = ("Measure the insert", "H2/IN")
"""The pass that these entries end with; the whole demo is walked by keys in tests/screen."""
KILLS = 10
AHEAD = 8
"""Acts whose keys are sent in one burst."""


@dataclass(frozen=True, slots=True)
class Act:
    """What one act of a person left in the file, and the keys that do it."""

    kinds: tuple[str, ...]
    keys: str


@pytest.fixture(scope="module")
def texts() -> tuple[str, Entries]:
    """
    The procedure, approved, and the entries of the demo for its first stages: windows, soaks and nights take the time that
    they take.
    """
    text = PROCEDURE.read_text(encoding="utf-8")
    entries, problems = read_entries(ENTRIES.read_text(encoding="utf-8"), ENTRIES.name)
    assert entries is not None, problems
    acts = entries.acts[: next(at for at, act in enumerate(entries.acts) if act.said == "Plan the fit")]
    return _approved(text), replace(entries, acts=acts)


def _approved(text: str) -> str:
    """The shipped draft as a procedure that a job with parts opens on, which has no limit from memory."""
    by = "written by: the shop\napproved by: an invented approver\napproved on: 2031-02-24\n"
    text = text.replace("status: draft\n", "status: approved\n").replace("written by: the shop\n", by)
    return text.replace("source: from memory,", "source: shop's own, invented for this test,")


def uninterrupted(folder: Path, text: str, entries: Entries) -> Path:
    """The job as one run leaves it that nothing interrupted."""
    procedure, problems = read_procedure(text, "head-seats.yaml")
    assert procedure is not None, problems
    path = folder / f"{entries.job}.db"
    at_work, stopped = run(procedure, entries, path)
    at_work.close()
    assert stopped and LAST in [key for key, found in at_work.state.passes.items() if found.done]
    return path


class Kept:
    """What a job's file holds of people's acts, read on as it grows."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._rows: list[KeptRow] = []

    @property
    def kinds(self) -> tuple[str, ...]:
        self._rows += read_rows(self.path, after=len(self._rows))
        return tuple(row.kind for row in self._rows if row.kind not in NOT_BY_A_PERSON)


def acts_of(path: Path) -> list[Act]:
    """The acts of a job with their keys as a terminal sends them."""
    job = read_job(path)
    return [
        Act(one.kinds, "".join(_sent(key) for key in one.keys))
        for one in keys_of_acts.acts_of(job.events, keys_of_acts.options_of(job.job.procedure))
    ]


def _sent(key: str) -> str:
    return SKIP if key == "f12" else f"{UP}{key}" if len(key) == 1 else key


def open_by_keys(terminal: Terminal, entries: Entries) -> None:
    terminal.wait_for("work and release alone?")
    terminal.send("a" if entries.alone else "t")
    for names in entries.named.values():
        terminal.wait_for("What is on the tags")
        terminal.send(" ".join(names) + "\r")
    terminal.wait_for("Read the above?")
    terminal.send("o")
    terminal.wait_for("Before anything else")


def at_rest(record_: dict[str, Any]) -> dict[str, Any]:
    """A record without what differs between any two jobs: times, sittings, the machine's name, hashes, invented or not."""
    passes = [
        {
            **one,
            "steps": [
                {
                    **step,
                    "happened": [
                        (
                            happened["kind"],
                            happened["who"],
                            None if step["what"] in ("wait", "witness point") else happened["line"],
                        )
                        for happened in step["happened"]
                    ],
                }
                for step in one["steps"]
            ],
        }
        for one in record_["passes"]
    ]
    entries = [
        {
            name: said
            for name, said in entry.items()
            if name not in ("seq", "at", "hash", "started", "called", "lasted_s")
        }
        for entry in record_["entries"]
        if entry["kind"] not in NOT_BY_A_PERSON
    ]
    procedure = {name: said for name, said in record_["procedure"].items() if name != "file"}
    kept = {name: record_[name] for name in ("record", "job", "standing", "alone", "parts")}
    # The entries' numbers count the sittings too.
    kept["deviations"] = [
        {name: said for name, said in one.items() if name not in ("entry", "when")}
        for one in record_["deviations"]
    ]
    return json.loads(json.dumps({**kept, "procedure": procedure, "passes": passes, "entries": entries}))


def test_the_demo_is_worked_by_keys_and_ten_kills_lose_nothing(
    tmp_path: Path, texts: tuple[str, Entries]
) -> None:
    text, entries = texts
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "head-seats.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "reference").mkdir()
    reference = uninterrupted(tmp_path / "reference", text, entries)
    acts = acts_of(reference)
    path = tmp_path / f"{entries.job}.db"
    who = entries.acts[0].said

    kept = Kept(path)
    chance = random.Random(42)
    kills = dict(zip(sorted(chance.sample(range(1, len(acts) - 1), KILLS)), _ways(), strict=False))
    done = 0
    opening = ("open", "head-seats", "--job", entries.job, "--who", who)
    while done < len(acts):
        words = opening if not path.exists() else ("resume", entries.job, "--who", who)
        with Terminal(*words, jobs=tmp_path) as terminal:
            if not path.exists():
                open_by_keys(terminal, entries)
            else:
                terminal.wait_for(f"at the bench {who}")
            until = min((at for at in kills if at >= done), default=len(acts))
            done = _work(terminal, kept, acts, done, until)
            if until in kills:
                done = _kill(terminal, kept, acts, done, kills.pop(until), chance)
    assert not kills
    job = read_job(path)
    assert job.state.at(LAST).done
    assert sum(row.kind == "sitting-begun" for row in job.rows) == 1 + KILLS
    assert at_rest(record(job)) == at_rest(record(read_job(reference)))


def _ways() -> list[str]:
    return ["before", "during", "during", "during", "after"] * 2


def _work(terminal: Terminal, kept: Kept, acts: Sequence[Act], done: int, until: int) -> int:
    """Acts done by keys, some of them ahead of the program; how many are on disk then."""
    while done < until:
        if acts[done].kinds[0] == "wait-passed":
            terminal.wait_for("✓ over")
        ahead = next((at for at in range(done + 1, until) if acts[at].kinds[0] == "wait-passed"), until)
        ahead = min(ahead, done + AHEAD)
        terminal.send("".join(act.keys for act in acts[done:ahead]))
        done = ahead
        _wait_for(terminal, kept, acts, done)
    return done


def _kill(
    terminal: Terminal, kept: Kept, acts: Sequence[Act], done: int, way: str, chance: random.Random
) -> int:
    """The program killed before, during or after a commit; how many acts are on disk, each of them whole."""
    keys = acts[done].keys
    terminal.send(keys[:-1] if way == "before" else keys)
    if way == "after":
        _wait_for(terminal, kept, acts, done + 1)
    elif way == "during":
        terminal.hear_for(chance.uniform(0.0, 0.03))
    terminal.kill()
    found = kept.kinds
    whole = {_count(acts, number): number for number in (done, done + 1)}
    assert len(found) in whole, (way, found[-5:], acts[done])
    now = whole[len(found)]
    assert now == {"before": done, "after": done + 1}.get(way, now)
    assert found == tuple(kind for act in acts[:now] for kind in act.kinds)
    return now


def _wait_for(terminal: Terminal, kept: Kept, acts: Sequence[Act], done: int) -> None:
    """Until so many acts are on disk, and no event more."""
    wanted = sum(len(act.kinds) for act in acts[:done])
    terminal.wait(lambda: len(kept.kinds) >= wanted, f"{acts[done - 1]}")
    assert len(kept.kinds) == wanted, acts[done - 1]


def _count(acts: Sequence[Act], number: int) -> int:
    return sum(len(act.kinds) for act in acts[:number])
