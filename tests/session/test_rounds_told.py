"""Rounds of a block told in an entries file: an item for each, as at the bench; and how the record keeps them."""

from __future__ import annotations

from pathlib import Path

from runner.paper.record import record
from runner.session import dry_run
from runner.session.at_work import read_job
from runner.session.entries import read_entries
from tests.job.test_rounds import made

HEAD = """\
entries: small
revision: 1
job: 8
invented: yes
opened: 2031-03-03 07:30 +01:00
pace: 10 s
parts:
  - part: head
    named: [H1]
work:
  - person: Ada Fitch
  - pass: Hone
    for: H1/EX
    typed:
      wanted: 40.00
      bore: 39.90
"""
AGAIN = "  - pass: Hone\n    for: H1/EX\n    typed:\n      bore: 39.995\n"


def test_each_round_is_an_item_and_the_record_strikes_the_rounds_before_the_last(tmp_path: Path) -> None:
    entries, problems = read_entries(HEAD + AGAIN, "small.entries.yaml")
    assert entries is not None, problems
    at_work, _ = dry_run.run(made(), entries, tmp_path / "8.db")
    at_work.close()
    steps = record(read_job(tmp_path / "8.db"))["passes"][0]["steps"]
    read = [(one["line"], one["superseded"]) for one in steps[2]["happened"]]
    assert read == [("bore 39.90 mm", True), ("bore 39.995 mm", False)]
    ends = [one["line"] for one in steps[4]["happened"]]
    assert ends == [
        "honing: round 2 of at most 3, as 0.100 mm <= 0.01 mm is not so",
        "honing 2 rounds, 0.005 mm <= 0.01 mm, until stock_left <= 0.01 mm, at most 3 times"
        " (shop's own, invented): met",
    ]
    assert steps[4]["says"] == "honing: until stock_left <= 0.01 mm, at most 3 times"
