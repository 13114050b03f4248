"""The shop file beside the jobs: kept whole or not at all, and never showing a PIN."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from runner.job.moments import Moment
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.session.shop_file import keep_shop, read_shop_file, shop_beside, shop_day, shop_path
from runner.shop.model import NO_SHOP, Person, Shop
from tests.shop.a_shop import KEPT, PIN, TEXT, a_shop

ROOT = Path(__file__).resolve().parents[2]


def test_a_folder_without_a_file_has_no_shop(tmp_path: Path) -> None:
    assert shop_beside(tmp_path) is NO_SHOP and shop_beside(tmp_path / "none") is NO_SHOP
    assert read_shop_file(tmp_path) is None


def test_what_was_kept_is_read_again(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "jobs"
    kept = keep_shop(folder, a_shop())
    assert shop_beside(folder) == kept == a_shop()
    assert shop_beside(folder).sha256 == kept.sha256
    assert [path.name for path in folder.iterdir()] == ["shop.yaml"]


def test_a_file_with_problems_is_told_with_its_lines_and_carets(tmp_path: Path) -> None:
    shop_path(tmp_path).write_text(TEXT.replace("20 min", "20"), encoding="utf-8")
    with pytest.raises(RunnerError) as told:
        shop_beside(tmp_path)
    assert told.value.code == PROBLEMS
    assert "shop.yaml:4:7: 20 of what?" in told.value.what and "^^" in told.value.what
    assert "`benchhand shop check`" in told.value.fix


def test_a_zone_that_this_machine_does_not_know_is_a_problem(tmp_path: Path) -> None:
    shop_path(tmp_path).write_text(TEXT.replace("Vienna", "Atlantis"), encoding="utf-8")
    with pytest.raises(RunnerError) as told:
        shop_beside(tmp_path)
    assert "no zone is called 'Europe/Atlantis'" in told.value.what


@pytest.mark.parametrize(
    "line", [f"pin: {PIN}", f"pin:{PIN}", f"PIN: {PIN}", f"'pin': {PIN}", f"pin: {KEPT}0"]
)
def test_a_pin_written_into_the_file_is_not_shown_with_its_problem(tmp_path: Path, line: str) -> None:
    shop_path(tmp_path).write_text(TEXT.replace(f"pin: {KEPT}", line), encoding="utf-8")
    with pytest.raises(RunnerError) as told:
        shop_beside(tmp_path)
    assert PIN not in told.value.what + told.value.fix and KEPT not in told.value.what
    assert ":9:" in told.value.what or ":10:" in told.value.what


@pytest.mark.parametrize("data", [b"\xff\xfe", b"shop: a\0b", b"shop: " + b"x" * 9_000_000])
def test_what_is_no_text_is_told_and_not_read(tmp_path: Path, data: bytes) -> None:
    shop_path(tmp_path).write_bytes(data)
    with pytest.raises(RunnerError) as told:
        shop_beside(tmp_path)
    assert told.value.code == PROBLEMS


def test_what_is_no_file_is_told(tmp_path: Path) -> None:
    shop_path(tmp_path).mkdir()
    with pytest.raises(RunnerError, match="is not a file"):
        shop_beside(tmp_path)
    (tmp_path / "pipe").mkdir()
    os.mkfifo(shop_path(tmp_path / "pipe"))
    with pytest.raises(RunnerError, match="is not a file"):
        shop_beside(tmp_path / "pipe")


def test_a_change_made_from_an_older_file_is_not_kept(tmp_path: Path) -> None:
    first = keep_shop(tmp_path, a_shop())
    second = keep_shop(tmp_path, replace(first, title="Heads"), instead_of=first)
    with pytest.raises(RunnerError, match="changed by somebody else") as told:
        keep_shop(tmp_path, replace(first, people=()), instead_of=first)
    assert told.value.code == NO_JOURNAL
    assert shop_beside(tmp_path) == second


def test_a_file_that_cannot_be_kept_leaves_the_old_one_and_nothing_beside_it(tmp_path: Path) -> None:
    before = keep_shop(tmp_path, a_shop())
    half = replace(before, title="half a character \ud800")
    with pytest.raises(UnicodeEncodeError):
        keep_shop(tmp_path, half)
    blocked = tmp_path / "blocked"
    blocked.write_text("no folder")
    with pytest.raises(RunnerError, match="can't be kept") as told:
        keep_shop(blocked, before)
    assert told.value.code == NO_JOURNAL
    assert shop_beside(tmp_path) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["blocked", "shop.yaml"]


def test_who_may_read_the_file_stays_as_it_was_and_a_link_stays_a_link(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    kept = keep_shop(elsewhere, a_shop())
    shop_path(elsewhere).chmod(0o640)
    shop_path(tmp_path).symlink_to(shop_path(elsewhere))
    keep_shop(tmp_path, replace(kept, title="Heads"))
    assert shop_path(tmp_path).is_symlink() and shop_beside(elsewhere).title == "Heads"
    assert shop_path(elsewhere).stat().st_mode & 0o777 == 0o640


_WRITER = """
import sys
from dataclasses import replace
from pathlib import Path
from runner.session.shop_file import keep_shop
from tests.shop.a_shop import a_shop
shop = a_shop()
print("ready", flush=True)
for number in range(10**6):
    keep_shop(Path(sys.argv[1]), replace(shop, title=f"Heads {number} " + "x" * 200))
"""


def test_a_killed_program_leaves_the_old_file_or_the_new_one_whole(tmp_path: Path) -> None:
    keep_shop(tmp_path, a_shop())
    for _ in range(2):
        with subprocess.Popen(
            [sys.executable, "-c", _WRITER, str(tmp_path)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
        ) as writer:
            assert writer.stdout and writer.stdout.readline() == b"ready\n"
            seen = [shop_beside(tmp_path).title for _ in range(20)]
            writer.send_signal(signal.SIGKILL)
        assert all(title.startswith("Heads ") for title in seen)
        assert shop_beside(tmp_path).people == a_shop().people


def test_the_day_is_the_shops_own() -> None:
    late = Moment(datetime(2031, 6, 30, 22, 30, tzinfo=UTC), 0.0, "boot")
    assert shop_day(Shop(title="Heads", zone="Europe/Vienna"), late) == date(2031, 7, 1)
    assert shop_day(Shop(title="Heads", zone="UTC-05:00"), late) == date(2031, 6, 30)


def test_a_person_with_a_pin_is_kept_without_it(tmp_path: Path) -> None:
    keep_shop(tmp_path, Shop(title="Heads", people=(Person("Ada Fitch", ("fitter",), KEPT),)))
    assert PIN not in shop_path(tmp_path).read_text(encoding="utf-8")
