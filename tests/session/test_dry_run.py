"""A whole job from an entries file: by the same road as at the bench, to its release or to the sentence it stopped at."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from runner.job.events import CheckDecided, Event, JobReleased, WaitPassed
from runner.job.intents import Suspend
from runner.journal import verify
from runner.session import dry_run
from runner.session.at_work import AtWork, Kept, read_job
from runner.session.faults import PROBLEMS, RunnerError
from runner.session.hand import Stopped
from tests.session.a_bench_hand import BenchClock, demo_entries, demo_procedure, demo_text

SEATS = ["H1/EX", "H1/IN", "H2/EX", "H2/IN"]


@pytest.fixture
def run(tmp_path: Path) -> Iterator[_Runner]:
    yield _Runner(tmp_path)


class _Runner:
    """Dry runs of the demo with something changed, each in its own file."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.count = folder, 0

    def __call__(self, text: str) -> tuple[list[Event], Stopped | None]:
        self.count += 1
        path = self.folder / f"{self.count}.db"
        told: list[Event] = []
        at_work, stopped = dry_run.run(demo_procedure(), demo_entries(text), path, told.append)
        at_work.close()
        assert verify(path).ok
        assert read_job(path).events[-len(told) :] == tuple(told)
        return told, stopped


def changed(*pairs: tuple[str, str], text: str = "") -> str:
    text = text or demo_text()
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def line_of(text: str, said: str) -> int:
    return text[: text.index(said)].count("\n") + 1


def pocket(seat: str) -> str:
    """What the demo says of one seat's bore and floor."""
    found = re.search(
        rf"  - pass: Measure the pocket\n    for: {seat}\n(?:(?!- pass).)*?floor_finish: .*?\n",
        demo_text(),
        re.DOTALL,
    )
    assert found
    return found[0]


def test_the_demo_comes_to_its_release(run: _Runner) -> None:
    told, stopped = run(demo_text())
    assert stopped is None
    assert isinstance(told[-1], JobReleased) and not told[-1].solo
    waited = [one for one in told if isinstance(one, WaitPassed) and one.name == "time_in_freezer"]
    assert len(waited) == 4 and all(one.lasted_s >= 7200 for one in waited)
    assert all(one.met for one in told if isinstance(one, CheckDecided))


@pytest.mark.parametrize("seat", SEATS)
def test_a_bore_five_hundredths_too_large_stops_at_its_pocket(run: _Runner, seat: str) -> None:
    """All else is as in the demo, whose later entries are still there; the machinist cut past the size to stop at."""
    mine = pocket(seat)
    bore = re.search(r"      bore: (.*)\n", mine)
    assert bore
    larger = " ".join(f"{float(one) + 0.05:.3f}" for one in bore[1].split())
    text = demo_text().replace(mine, mine.replace(bore[1], larger))
    told, stopped = run(text)
    failed = [one for one in told if isinstance(one, CheckDecided) and not one.met]
    assert stopped and [one.name for one in failed] == ["bore_20"] and told[-1] is failed[0]
    assert stopped.sentence == failed[0].sentence
    value, limit = re.findall(r"(\d+\.\d{3}) mm", stopped.sentence)[:2]
    assert stopped.sentence == (
        f"{seat}: bore_20 is {value} mm, over the limit of {limit} mm (0.010 mm of bore_wanted; common practice)"
    )
    assert 0.035 < float(value) - float(limit) < 0.045
    assert stopped.line == line_of(text, larger)


def test_an_implausible_entry_counts_only_where_the_entries_say_it_was_typed_twice(run: _Runner) -> None:
    text = changed(("insert_temp: 21.5", "insert_temp: 55"))
    _, stopped = run(text)
    assert stopped and "outside what is plausible here" in stopped.sentence
    assert stopped.fix == "add twice: [insert_temp] where it was typed twice"
    assert stopped.line == line_of(text, "insert_temp: 55")
    told, _ = run(
        changed(
            (
                "    typed:\n      insert_lot: E-311 piece 4",
                "    twice: [insert_temp]\n    typed:\n      insert_lot: E-311 piece 4",
            ),
            (
                "insert_temp: 21.5",
                "insert_temp: 55",
            ),
        )
    )
    assert any(getattr(one, "questioned", "") for one in told)


def test_a_release_by_the_machinist_stops_the_run(run: _Runner) -> None:
    text = changed(("    by: Wren Hollis\n    saw", "    by: tam  OAKLEY\n    saw"))
    _, stopped = run(text)
    assert stopped and "has entries in this pass" in stopped.sentence
    assert stopped.line == line_of(text, "  - release: HP1 pocket released")


def test_a_reading_wrong_and_measured_again_goes_on_to_the_release(run: _Runner) -> None:
    mine = pocket("H1/EX")
    typed = "      bore: 42.400 42.399 42.403 42.399 42.403 42.402\n"
    assert typed in mine
    first = mine[: mine.index(typed)] + typed.replace("42.40", "42.50").replace("42.39", "42.49")
    rest = mine[mine.index("      depth micrometer") :]
    again = (
        "  - expect: held\n    for: H1/EX\n    at: bore_20\n"
        "  - again: bore\n    for: H1/EX\n    because: gauge not home\n    reads: 42.400 42.399 42.403 42.399 42.403 42.402\n"
        f"  - pass: Measure the pocket\n    for: H1/EX\n    typed:\n{rest}"
    )
    told, stopped = run(demo_text().replace(mine, first + again))
    assert stopped is None
    assert [
        one.met
        for one in told
        if isinstance(one, CheckDecided) and (one.name, one.part) == ("bore_20", "H1/EX")
    ] == [
        False,
        True,
    ]


def test_a_scrapped_seat_lets_the_others_go_on_to_the_release(run: _Runner) -> None:
    mine = pocket("H2/IN")
    text = demo_text().replace(
        mine,
        "  - pass: Measure the pocket\n    for: H2/IN\n"
        "  - exit: nonconforming\n    for: H2/IN\n    because: cracked\n"
        "  - route: scrap\n    for: H2/IN\n    by: Olga Prince\n    because: cracked through\n",
    )
    items = re.split(r"(?m)^(?=  - )", text[text.index("work:\n") :])
    gone = [at for at, item in enumerate(items) if "for: H2/IN" in item]
    route = next(at for at in gone if items[at].startswith("  - route"))
    kept = "".join(item for at, item in enumerate(items) if at <= route or at not in gone)
    kept = kept.replace("of: [H2/EX, H2/IN]", "of: [H2/EX]")
    _, stopped = run(text[: text.index("work:\n")] + kept)
    assert stopped is None


def test_a_suspended_night_and_an_exit_taken_up_again_are_told_like_all_else(run: _Runner) -> None:
    text = changed(
        (
            "  - at: 2031-03-04 07:15 +01:00\n",
            "  - suspend: closing\n  - at: 2031-03-04 07:15 +01:00\n  - resume: read\n"
            "  - pass: Counterbore\n    for: H1/EX\n"
            "  - exit: cannot measure\n    for: H1/EX\n    because: no battery\n"
            "  - expect: held\n    for: H1/EX\n"
            "  - take up: Counterbore\n    for: H1/EX\n    because: battery changed\n",
        )
    )
    told, stopped = run(text)
    assert stopped is None
    assert {"JobSuspended", "JobResumed", "PassStopped", "PassTakenUp"} <= {
        type(one).__name__ for one in told
    }


def test_what_is_expected_and_is_not_so_stops_the_run_at_its_line(run: _Runner) -> None:
    text = changed(("  - at: 2031-03-04", "  - expect: held\n    for: H1/EX\n  - at: 2031-03-04"))
    _, stopped = run(text)
    assert stopped == Stopped(line_of(text, "  - expect: held"), "H1/EX was expected to be held, and is not")


def test_entries_that_end_before_the_release_say_what_is_open(run: _Runner) -> None:
    whole = demo_text()
    half = whole[: whole.index("  - pass: Counterbore")]
    _, stopped = run(half)
    assert stopped and stopped.sentence.endswith(
        "69 passes are not done, the first is 'Counterbore' on H1/EX"
    )
    assert stopped.line == line_of(half, "  - at:")


@pytest.mark.parametrize(
    ("old", "new", "what", "fix"),
    [
        (
            "pass: Counterbore",
            "pass: Counterbor",
            "no stage is called 'Counterbor'",
            "did you mean 'Counterbore'?",
        ),
        (
            "for: H1/EX",
            "for: H3/EX",
            "'Choose the insert' is for each seat, and none is called 'H3/EX'",
            "did you mean",
        ),
        ("for: H1/EX", "for: H1", "'Choose the insert' is for each seat, and none is called 'H1'", ""),
        (
            "      insert_temp: 21.5\n",
            "      insert_temp: 21.5\n      bored: 3\n",
            "nothing asked for 'bored' on H1/EX in 'Measure the insert' then",
            "look at the order",
        ),
        (
            "at: 2031-03-04 07:15",
            "at: 2031-03-02 07:15",
            "2031-03-02 07:15 +01:00 is past already",
            "put the items in the order",
        ),
    ],
)
def test_what_does_not_fit_the_job_is_told_with_file_and_line_and_frees_the_job(
    tmp_path: Path, old: str, new: str, what: str, fix: str
) -> None:
    text = changed((old, new))
    path = tmp_path / "41.db"
    with pytest.raises(RunnerError) as told:
        dry_run.run(demo_procedure(), demo_entries(text), path)
    where = line_of(
        text, "bored: 3" if "bored" in new else f"- {new}" if not new.startswith("for") else "- pass: Choose"
    )
    assert told.value.what == f"demo.yaml:{where}: {what}"
    assert fix in told.value.fix and told.value.code == PROBLEMS
    with AtWork.resume(path, BenchClock()) as at_work:
        assert isinstance(at_work.act(Suspend("the lock was free")), Kept)


@pytest.mark.parametrize(
    ("old", "new"), [("revision: 3", "revision: 1"), ("entries: head-seats", "entries: head-guides")]
)
def test_entries_of_another_procedure_or_revision_are_not_run(tmp_path: Path, old: str, new: str) -> None:
    with pytest.raises(RunnerError) as told:
        dry_run.run(demo_procedure(), demo_entries(changed((old, new))), tmp_path / "41.db")
    assert told.value.code == PROBLEMS and "and this is head-seats revision 3" in told.value.what
    assert list(tmp_path.iterdir()) == []


def test_items_after_the_release_are_refused(run: _Runner) -> None:
    _, stopped = run(demo_text() + "  - suspend: too late\n")
    assert stopped and stopped.sentence == "job DEMO-1 is released and can only be read"
