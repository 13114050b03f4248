"""The records of the shipped demos as a stranger reads them: their front is held whole, what stands behind it by what it must say."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from runner.paper.record import record
from runner.paper.text import as_text
from runner.session import dry_run
from runner.session.at_work import ReadJob, read_job
from runner.session.entries import read_entries
from runner.session.library import shipped_folder
from tests.session.a_bench_hand import demo_procedure

DEMOS = {
    "clean": "head-seats.entries.yaml",
    "troubled": "head-seats-troubled.entries.yaml",
    "gates": "head-seats-gates.entries.yaml",
}


class Demos:
    """Each demo as it was worked, and its record as text, made when it is first asked for."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._read: Demos = {}
        self._texts: dict[str, str] = {}

    def __getitem__(self, name: str) -> ReadJob:
        if name not in self._read:
            (self._folder / name).mkdir()
            self._read[name] = _worked(DEMOS[name], self._folder / name / "job.db")
        return self._read[name]

    def text(self, name: str) -> str:
        if name not in self._texts:
            self._texts[name] = as_text(self[name])
        return self._texts[name]


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Demos:
    return Demos(tmp_path_factory.mktemp("demos"))


def _worked(file: str, path: Path) -> ReadJob:
    entries, problems = read_entries((shipped_folder() / "demo" / file).read_text(encoding="utf-8"), file)
    assert entries is not None, problems
    at_work, stopped = dry_run.run(demo_procedure(), entries, path)
    at_work.close()
    assert (stopped is None) is not ("gates" in file), stopped
    return read_job(path)


def _without_hashes(text: str) -> str:
    """
    The record up to the procedure as used, which is the file itself; hashes change with each word of it, and the name of
    the machine with each machine.
    """
    front = re.sub(r"taken up on \S+", "taken up on …", text[: text.index("THE PROCEDURE AS USED")])
    return re.sub(r"sha256 [0-9a-f]{16}", "sha256 …", front)


@pytest.mark.parametrize("name", DEMOS)
def test_the_record_of_a_demo(name: str, read: Demos, golden: Callable[[str, str], None]) -> None:
    golden(f"record-{name}.txt", _without_hashes(read.text(name)))


def test_the_clean_job_has_no_deviation_but_a_skipped_note(read: Demos) -> None:
    assert [(one["part"], one["at"]) for one in record(read["clean"])["deviations"]] == [
        ("H1", "rehearsal_note")
    ]


@pytest.mark.parametrize(
    "said",
    [
        "people are typed names: no shop file said who they are, or which roles they hold",
        "concession by Olga Prince as owner",
        "scrap by Wren Hollis as inspector",
        "rework 'next oversize', 1 of at most 3",
        "oversize on rung 2, 0.25 mm",
        "rework 'cut again', 1 of at most 3",
        "rework 'floor again', 1 of at most 3",
        "rework 'other insert', 1 of at most 5",
        "deviation permit by Olga Prince",
        "not attended, 30 min 20 s after the call",
        "pocket_depths 3 corrected from 6.012 to 6.021",
        "'HP1 pocket released': out of date by entry",
        "released again by Wren Hollis",
        "'bore': out of date by entry",
        "measured again by Kit Farrow",
        "handed over: H1/IN is next",
        "taken on from Tam Oakley",
        "the machine was restarted",
        "the clock was set back by 1 h 0 min",
        "the second reading of bore lies 0.0085 mm from the first",
        "moved: the tag of H2 hung on H1",
        "126.1 s went by, and 'Insert home' was not told",
        "rework 'chill again', 1 of at most 2",
        "H1 taken out of oven 1: 'chill again' was begun",
        "STOPPED: H1 bridge was at 223 degC, over 220 degC",
        "the hardness of H1 decides",
        "read_in_time 42 min 40 s, at most 30 min",
        "the second reading of insert_depth lies 0.0115 mm from the first",
    ],
)
def test_what_went_wrong_stands_before_the_work_in_plain_words(said: str, read: Demos) -> None:
    text = " ".join(read.text("troubled").split())
    assert 0 <= text.find(said) < text.index("IN SHORT, by part") or said in text[: text.index("DEVIATIONS")]


def test_a_corrected_point_is_struck_and_its_old_figure_is_still_there(read: Demos) -> None:
    passes = {(one["stage"], one["part"]): one for one in record(read["troubled"])["passes"]}
    happened = [one for step in passes[("Measure the pocket", "H2/IN")]["steps"] for one in step["happened"]]
    depths = [
        (one["line"], one["superseded"]) for one in happened if one["line"].startswith("pocket_depths 3")
    ]
    assert depths[0] == ("pocket_depths 3 6.012 mm, depth micrometer", True)
    assert depths[1][0].startswith("pocket_depths 3 corrected from 6.012 to 6.021") and not depths[1][1]
    others = [one["superseded"] for one in happened if one["line"].startswith("pocket_depths 2")]
    assert others == [False]


def test_each_seat_is_told_in_short_with_its_insert_its_bore_its_fit_and_its_ways(
    read: Demos,
) -> None:
    told = {one["part"]: one for one in record(read["troubled"])["in short"]}
    assert told["H1/EX"]["values"][:2] == ["oversize 0.25 mm", "insert_lot E-325 piece 1"]
    assert "grip_measured 0.110 mm ± 0.004 mm" in told["H1/EX"]["values"]
    assert told["H1/EX"]["ways"] == [
        "rework 'next oversize', 1 of at most 3",
        "rework 'trim the band', 1 of at most 4",
    ]
    assert told["H1/IN"]["ways"][-1] == "rework 'chill again', 1 of at most 2"
    assert told["H3"]["standing"] == "scrap" and told["H3"]["ways"] == ["scrap by Wren Hollis"]


def test_an_instrument_that_no_shop_file_names_is_said_to_be_unknown(read: Demos) -> None:
    lines = record(read["clean"])["instruments"]
    assert "bore gauge: U 0.003 mm by the procedure; which one it was is not on record" in lines
