"""The record of a job that time ruled, as a stranger reads it: soaks drawn, seconds told, heat added up, and a rehearsal marked."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from runner.paper.deviations import TIMED
from runner.paper.record import as_json, record
from runner.paper.text import MARK, WIDTH, as_text
from runner.session import dry_run
from runner.session.at_work import ReadJob, read_job
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.session.test_what_entries_tell import entries
from tests.session.test_what_entries_tell_of_time import HEAD, REHEARSAL, WINDOW

TROUBLED = """\
  - pass: Coat
    for: F1
  - later: 61 min
  - pass: Coat
    for: F1
    typed:
      coat_batch: tin 3
  - exit: nonconforming
    for: F1
    because: the coat stood too long
  - route: concession
    for: F1
    by: Olga Rand
    because: it was wiped once more, and looked at
  - pass: Coat
    for: F1
  - load: batch
    called: tray 1
    of: [F1, F2]
  - soak: bake
    for: tray 1
    rounds:
      0 min: 150 196
      20 min: 196 199
      40 min: 198 201
  - open door: bake
    for: tray 1
    because: a probe had slipped
  - soak: bake
    for: tray 1
    rounds:
      70 min: 199 202
      90 min: 200 222
  - exit: nonconforming
    for: tray 1
    because: the thermostat ran away
  - route: concession
    for: tray 1
    by: Olga Rand
    because: hardness was read and holds
  - restart: 2 min
  - soak: bake
    for: tray 1
    rounds:
      110 min: 200 204
      130 min: 201 203
      150 min: 201 203
  - pass: Fit
    for: F1
    typed:
      open_for: 10
  - arm: drive
    for: F1
  - stand down: drive
    for: F1
    because: the phone rang
  - against the clock: drive
    for: F1
    second key: missed
  - estimate: drive
    for: F1
    reads: 12
    because: Cora counted aloud
  - pass: Fit
    for: F1
  - pass: Fit
    for: F2
    typed:
      open_for: 10
  - against the clock: drive
    for: F2
    second key: 21 s
  - later: 5 s
  - pass: Fit
    for: F2
    typed:
      open_for: 11
  - against the clock: drive
    for: F2
    second key: 9 s
  - clock set: 1 h
  - pass: Skim
    for: F2
    typed:
      cut: 0.2
      room: 21
"""
AGED = """\
totals:
  - total: ageing
    for each: frame
    ageing at: 195 degC
    energy: 128.7 kJ/mol
    at most: 10 h
    source: shop's own, invented
    if not: [concession, scrap]
"""
LONGER = (
    WINDOW.replace("at most: 120 min", "at most: 160 min")
    .replace("totals:\n", AGED)
    .replace("adds to: heat", "adds to: [heat, ageing]")
)
REHEARSED = """\
  - pass: Coat
    for: F1
  - hurry: 2 h
  - load: batch
    called: tray 1
    of: [F1]
  - soak: bake
    for: tray 1
    rounds:
      0 min: 199
      20 min: 200
"""


def worked(folder: Path, head: str, items: str, text: str = OVEN) -> ReadJob:
    read = entries(head + items, str(folder / "oven.entries.yaml"))
    at_work, _ = dry_run.run(procedure(text), read, folder / "8.db")
    at_work.close()
    return read_job(folder / "8.db")


@pytest.fixture(scope="module")
def troubled(tmp_path_factory: pytest.TempPathFactory) -> ReadJob:
    return worked(tmp_path_factory.mktemp("troubled"), HEAD, TROUBLED, LONGER)


@pytest.fixture(scope="module")
def rehearsed(tmp_path_factory: pytest.TempPathFactory) -> ReadJob:
    return worked(tmp_path_factory.mktemp("rehearsed"), REHEARSAL, REHEARSED)


def front(read: ReadJob) -> str:
    text = as_text(read)
    text = re.sub(r"taken up on \S+", "taken up on …", text[: text.index("THE PROCEDURE AS USED")])
    return re.sub(r"sha256 [0-9a-f]{16}", "sha256 …", text)


def test_the_record_of_a_job_in_which_time_went_wrong(
    troubled: ReadJob, golden: Callable[[str, str], None]
) -> None:
    golden("record-time.txt", front(troubled))


def test_the_record_of_a_rehearsal(rehearsed: ReadJob, golden: Callable[[str, str], None]) -> None:
    golden("record-rehearsal.txt", front(rehearsed))


def test_what_time_did_wrong_is_a_sort_of_its_own_among_the_deviations(troubled: ReadJob) -> None:
    told = [one["what"] for one in record(troubled)["deviations"] if one["sort"] == TIMED]
    for words in (
        "still_clean 1 h 2 min, at most 60 min",
        "a gap of 30 min 0 s proves nothing",
        "the oven was opened: a probe had slipped",
        "STOPPED: F2 was at 222 degC, over 220 degC",
        "MISSED: F1",
        "AN ESTIMATE put in later: Cora counted aloud",
        "F2: drive took 21.0 s, over the last limit of 20.0 s",
    ):
        assert any(words in one for one in told), words


def test_each_thing_that_time_ruled_is_told_with_what_was_allowed_and_what_it_took(troubled: ReadJob) -> None:
    told = {
        (one["part"], one["sort"], one["came out"].split(":")[0]): one for one in record(troubled)["timers"]
    }
    window = told["F1", "window", "MISSED"]
    assert (window["from"], window["at"], window["allowed"]) == (
        "cleaned",
        "2031-03-03T07:30:20.000000Z",
        "at most 60 min to coated",
    )
    hour = told["F1", "not before", "come"]
    assert (
        hour["allowed"].startswith("not before") and hour["from"] == "coated" and hour["took"].endswith("min")
    )
    assert told["F2", "against the clock", "OVER the last limit"]["took"] == "21.0 s"
    assert (
        told["F1", "against the clock", "LATE, and inside the last limit"]["took"]
        == "12.0 s (an estimate: Cora counted aloud)"
    )
    assert told["F2", "hold down", "let go"]["allowed"] == "at least 20 s"
    assert (
        told["tray 1", "soak", "done"]["took"] == "1 h 0 min counted in 8 rounds, may have lasted 2 h 30 min"
    )


def test_heat_is_told_for_each_part_with_its_limit_and_its_hottest_reading(troubled: ReadJob) -> None:
    told = {(one["part"], one["total"]): one for one in record(troubled)["totals"]}
    assert told["F2", "heat"]["hottest"].startswith("222 degC (bake, F2, entry ")
    assert (told["F2", "heat"]["came to"], told["F2", "heat"]["at most"]) == ("150.0 min", "3 h")
    assert told["F2", "stock"]["came to"] == "0.200 mm" and told["F2", "stock"]["hottest"] == ""
    assert told["F1", "stock"]["came to"] == "nothing"


def test_heat_as_ageing_is_told_by_what_it_was_worked(troubled: ReadJob) -> None:
    (told,) = (one for one in record(troubled)["totals"] if (one["part"], one["total"]) == ("F2", "ageing"))
    assert told["counts"] == "time that ages as at 195 degC, by 128.7 kJ/mol"
    assert told["hottest"].startswith("222 degC") and told["at most"] == "10 h" and told["entry"]


def test_every_line_of_a_rehearsals_record_says_so_and_fits_the_page(rehearsed: ReadJob) -> None:
    lines = as_text(rehearsed).splitlines()
    assert "RECORD OF A REHEARSAL, JOB 8" in lines[1]
    assert all(line.startswith(MARK.rstrip()) for line in lines)
    assert all(len(line) <= WIDTH for line in front(rehearsed).splitlines())


def test_every_group_of_values_in_a_rehearsals_json_says_so(rehearsed: ReadJob, troubled: ReadJob) -> None:
    def groups(value: Any) -> list[dict[str, Any]]:
        if isinstance(value, list):
            return [one for each in value for one in groups(each)]
        return (
            [value, *(one for each in value.values() for one in groups(each))]
            if isinstance(value, dict)
            else []
        )

    data = json.loads(as_json(rehearsed))
    assert next(iter(data)) == "rehearsal"
    assert all(one["rehearsal"] is True for one in groups(data)) and len(groups(data)) > 50
    assert record(troubled)["rehearsal"] is False and "rehearsal" not in record(troubled)["entries"][3]
    assert MARK.rstrip() not in as_text(troubled)


def test_a_hurry_is_printed_where_a_reader_sees_it_first(rehearsed: ReadJob) -> None:
    assert "hurried by 2 h 0 min" in [one["what"] for one in record(rehearsed)["deviations"]]
