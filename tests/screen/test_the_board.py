"""The board of a full job in a small window: every part's state can be brought into view by the arrows."""

from __future__ import annotations

from pathlib import Path

from runner.job.intents import Confirm, Intent, StartPass
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import procedure
from tests.screen.a_screen import a_job, resumed

STAGES = [f"Stage {letter}" for letter in "ABCDEFGHIJ"]
HEAD = """\
procedure: Ten stages on eight seats that do not exist
id: ten-stages
revision: 1
changed: invented for tests
status: approved
written by: nobody
approved by: an invented approver
approved on: 2031-01-15
scope: Nothing
not for: Anything
decision: simple
roles: [owner]
released by: owner
concessions by: owner
prerequisites:
  - Nothing
parts:
  - part: head
    tag: label
  - part: seat
    in: head
    named: [E1, I1, E2, I2]
    tag: label
stages:
"""
TEXT = HEAD + "".join(
    f"  - stage: {title}\n    for each: seat\n    after: [{before}]\n    steps:\n      - do: Work on {title}\n"
    for before, title in zip(["", *STAGES], STAGES, strict=False)
)


async def test_two_heads_of_four_seats_in_ten_stages_can_be_seen_and_taken_in_hand(
    tmp_path: Path, clock: SimulatedClock
) -> None:
    done: list[Intent] = [act for title in STAGES[:3] for act in (StartPass((title, "H1/E1")), Confirm())]
    at_work = a_job(tmp_path / "41.db", clock, *done, of=procedure(TEXT), level="head", named=("H1", "H2"))
    async with resumed(at_work, clock) as seen:
        drawn = await seen.text()
        assert drawn.count("\n") == 23 and "> H1/I1        Stage A" in drawn
        assert "✓ done" in drawn and ">Stage A" in drawn
        parts = {f"{head}/{seat}" for head in ("H1", "H2") for seat in ("E1", "I1", "E2", "I2")}
        for _ in range(3):
            grid = (await seen.text()).partition("Type what is on its tag.")[2]
            parts -= set(grid.split())
            await seen.keys("right")
        assert not parts
        await seen.keys(*("down" for _ in range(7)))
        assert " > H1/E1        Stage D" in await seen.text()
        await seen.keys("H2/I2\r")
        assert seen.at_work.state.in_hand == ("Stage A", "H2/I2")
