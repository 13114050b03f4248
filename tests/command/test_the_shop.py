"""`benchhand shop` and `benchhand jobs --with`: made, shown, changed and checked, asked only on a terminal."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from runner.command.line import main
from runner.job.intents import MeasureAgain, Type
from runner.session.clock import SimulatedClock
from runner.session.shop_file import keep_shop, shop_beside, shop_path
from runner.shop.pins import fits
from tests.screen.a_screen import FITTER, MORNING, a_job, do, measured
from tests.shop.a_shop import KEPT, PIN, TEXT, a_shop
from tests.terminal.a_terminal import Terminal

Run = Callable[..., tuple[int, str, str]]
BORE_GAUGE = (
    "--kind",
    "bore gauge",
    "--reads-to",
    "0.001 mm",
    "--uncertainty",
    "0.003 mm",
    "--until",
    "2031-06-30",
)


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs the program in a folder of its own: exit code, what was printed, what was complained of."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BENCHHAND_JOBS", raising=False)
    monkeypatch.setenv("TZ", "UTC")

    def one(*words: str) -> tuple[int, str, str]:
        code = main(words)
        said = capsys.readouterr()
        return code, said.out, said.err

    return one


def test_without_a_file_it_says_how_one_is_made(run: Run) -> None:
    code, out, err = run("shop")
    assert (code, err) == (0, "") and "there is no shop file in" in out and "shop person NAME" in out
    assert not Path("jobs").exists()
    code, _, err = run("shop", "check")
    assert code == 1 and "there is no shop file in jobs\n  fix: `benchhand shop set` makes one" in err


def test_a_shop_is_made_and_changed_from_the_command_line(run: Run) -> None:
    assert run("shop", "set", "--title", "Heads", "--zone", "Europe/Vienna", "--idle", "20 min")[0] == 0
    assert run("shop", "person", "Ada Fitch", "--role", "fitter", "--role", "inspector", "--no-pin")[0] == 0
    assert run("shop", "instrument", "BG-1", *BORE_GAUGE, "--expansion", "11.5 um/m/K")[0] == 0
    assert (
        run("shop", "master", "R45", "--size", "45 mm", "--uncertainty", "0.001 mm", "--until", "2031-06-30")[
            0
        ]
        == 0
    )
    shop = shop_beside(Path("jobs"))
    assert shop.title == "Heads" and shop.people[0].roles == ("fitter", "inspector")
    assert shop.gauges[0].kind == "bore gauge" and shop.masters[0].size.typed == "45 mm"

    assert run("shop", "set", "--idle", "none", "--decimal-mark", "comma")[0] == 0
    assert run("shop", "person", "ada  fitch", "--role", "fitter")[1] == "Ada Fitch is in the shop file\n"
    assert run("shop", "instrument", "bg-1", "--until", "2032-06-30", "--expansion", "none")[0] == 0
    assert run("shop", "master", "r45", "--gone")[1] == "r45 is no longer in the shop file\n"
    shop = shop_beside(Path("jobs"))
    assert (shop.idle, shop.decimal_mark, shop.masters) == (None, ",", ())
    assert [(one.name, one.roles) for one in shop.people] == [("Ada Fitch", ("fitter",))]
    [gauge] = shop.gauges
    assert (gauge.id, gauge.calibrated_until.year, gauge.expansion) == ("BG-1", 2032, None)


def test_a_change_of_roles_leaves_the_pin_and_no_pin_takes_it_away(run: Run) -> None:
    keep_shop(Path("jobs"), a_shop())
    assert run("shop", "person", "Ada Fitch", "--role", "inspector")[0] == 0
    assert shop_beside(Path("jobs")).people[0].pin == KEPT
    assert run("shop", "person", "Ada Fitch", "--no-pin")[0] == 0
    assert shop_beside(Path("jobs")).people[0].pin == ""


@pytest.mark.parametrize(
    ("words", "what", "fix"),
    [
        (["person"], "NAME is missing", "`benchhand shop person --help`"),
        (["person", " "], "NAME says nothing", "as they sign"),
        (["instrument", "", *BORE_GAUGE], "ID says nothing", "as engraved"),
        (
            ["person", "Cora \udcff", "--no-pin", "--role", "fitter"],
            "a character that does not show",
            "take it out",
        ),
        (["parson", "Ada"], "'parson' is not one of its verbs", "did you mean person?"),
        (["person", "Cora Lind", "--no-pin"], "--role is missing", "run this on a terminal"),
        (
            ["person", "Cora Lind", "--role", "fitter"],
            "a PIN is asked for on a terminal only",
            "add --no-pin",
        ),
        (["person", "Ada Fitch", "--pin"], "a PIN is asked for on a terminal only", "add --no-pin"),
        (["person", "Ada Fitch", "--pin", "--no-pin"], "--no-pin and --pin don't go together", "--help"),
        (["person", "Ada Fitch", "--pin", "2409"], "nothing is known of '2409' here", "--help"),
        (["person", "Ada Finch", "--gone"], "no person is called 'Ada Finch'", "did you mean 'Ada Fitch'?"),
        (["person", "Ada Fitch", "--gone", "--role", "x"], "--gone goes with nothing else", "one of the two"),
        (
            ["person", "Everyone", "--role", "fitter", "--no-pin"],
            "'Everyone' would sign for many",
            "of their own",
        ),
        (["person", "Cora", "--role", "Fitter", "--no-pin"], "'Fitter' can't be a role", "small letters"),
        (
            ["instrument", "BG-9"],
            "--kind and --reads-to and --uncertainty and --until are missing",
            "say it with",
        ),
        (["instrument", "BG 9", *BORE_GAUGE], "'BG 9' can't be an id", "what is engraved"),
        (["instrument", "R45", *BORE_GAUGE], "two things are called 'R45'", "as it is engraved"),
        (["instrument", "BG-1", "--uncertainty", "0.003"], "0.003 of what?", "add the unit"),
        (["instrument", "BG-1", "--until", "June"], "'June' is not a day", "like 2031-06-30"),
        (["instrument", "BG-1"], "nothing was said to change", "--expansion"),
        (["master", "R45", "--size", "0 mm"], "a size of nil or less", "like 45.000 mm"),
        (["set"], "nothing was said to change", "--title"),
        (["set", "--zone", "Atlantis"], "no zone is called 'Atlantis'", "or leave it out"),
        (["set", "--zone"], "--zone wants something after it", "--help"),
    ],
)
def test_a_wrong_command_line_is_refused_and_changes_nothing(
    run: Run, words: list[str], what: str, fix: str
) -> None:
    before = keep_shop(Path("jobs"), a_shop()).text
    code, out, err = run("shop", *words)
    assert (code, out) == (2, "")
    first, second = err.splitlines()
    assert what in first and second.startswith("  fix: ") and fix in second
    assert not re.search("error|invalid|please", err, re.IGNORECASE)
    assert shop_path(Path("jobs")).read_text(encoding="utf-8") == before


def test_without_a_terminal_the_first_person_needs_a_shop_with_a_name(run: Run) -> None:
    code, _, err = run("shop", "person", "Ada Fitch", "--role", "fitter", "--no-pin")
    assert code == 2 and "the shop has no name yet\n  fix: `benchhand shop set --title …`" in err
    code, _, err = run("shop", "set", "--idle", "20 min")
    assert code == 2 and "--title is missing" in err
    assert not Path("jobs").exists()


def test_the_shop_is_shown_with_what_is_overdue_in_a_word_and_a_sign(run: Run) -> None:
    keep_shop(Path("jobs"), a_shop(TEXT.replace("2031-01-31", "2020-01-31")))
    code, out, err = run("shop")
    assert (code, err) == (0, "")
    assert "zone Europe/Vienna · decimal comma · the person shown lapses after 20 min" in out
    assert re.search(r"^  Ada Fitch   fitter +PIN$", out, re.MULTILINE)
    assert re.search(r"^  Ben Stone   fitter, inspector   no PIN$", out, re.MULTILINE)
    assert re.search(r"^  BG-1   bore gauge .*✓ \d+ days left$", out, re.MULTILINE)
    assert re.search(r"^  P\.2 .*✗ OVERDUE, calibrated until 2020-01-31$", out, re.MULTILINE)
    assert re.search(r"^  R45   45\.000 mm   ± 0\.001 mm   ✓ \d+ days left$", out, re.MULTILINE)
    assert "scrypt" not in out


def test_check_tells_every_problem_of_the_file_and_ends_with_1(run: Run) -> None:
    keep_shop(Path("jobs"), a_shop())
    code, out, _ = run("shop", "check")
    assert code == 0 and out == "jobs/shop.yaml: no problem; people: 2, instruments: 2, masters: 1\n"
    wrong = TEXT.replace("20 min", "20").replace(KEPT, PIN).replace("Vienna", "Atlantis")
    shop_path(Path("jobs")).write_text(wrong, encoding="utf-8")
    code, out, err = run("shop", "check")
    assert (code, err) == (1, "") and out.endswith("jobs/shop.yaml: 3 problems\n")
    for told in ("no zone is called", "20 of what?", "a PIN itself never stands in a file", "^^"):
        assert told in out
    assert PIN not in out
    for words in (["shop"], ["shop", "set", "--title", "Heads"], ["shop", "person", "Cora", "--gone"]):
        code, _, err = run(*words)
        assert code == 1 and "20 of what?" in err and PIN not in err
    assert shop_path(Path("jobs")).read_text(encoding="utf-8") == wrong


def test_on_a_terminal_what_is_not_said_is_asked_and_the_pin_is_never_shown(tmp_path: Path) -> None:
    with Terminal("shop", "person", "Ada Fitch", jobs=tmp_path) as terminal:
        for wanted, keys in (
            ("Name of the shop:", "Heads"),
            ("Zone, such as Europe/Vienna [may be left out]:", "Europe/Atlantis"),
            ("no zone is called 'Europe/Atlantis'", "UTC+01:00"),
            ("Decimal mark, point or comma [point]:", ""),
            ("the person lapses [may be left out]:", ""),
            ("Roles, commas between:", "Fitter"),
            ("'Fitter' can't be a role", "fitter, inspector"),
            ("PIN of Ada Fitch, 4 to 12 digits", "12a4"),
            ("a PIN has 4 to 12 digits and nothing else", PIN),
            ("the same once more:", "240918"),
            ("the two were not the same", PIN),
        ):
            terminal.wait_for(wanted)
            terminal.wait(lambda: terminal.screen.text.rstrip().endswith(":"), "the question")
            terminal.send(keys + "\r")
        terminal.wait(lambda: terminal.screen.text.count("the same once more:") == 2, "the second time")
        terminal.send(PIN + "\r")
        terminal.wait_for("Ada Fitch is in the shop file")
        assert terminal.ends_within(20) == 0
        assert PIN.encode() not in terminal.drawn
    shop = shop_beside(tmp_path)
    assert (shop.title, shop.zone, shop.decimal_mark) == ("Heads", "UTC+01:00", ".")
    assert shop.people[0].roles == ("fitter", "inspector") and fits(PIN, shop.people[0].pin)


def test_on_a_terminal_an_id_that_cannot_be_is_refused_before_anything_is_asked(tmp_path: Path) -> None:
    keep_shop(tmp_path, a_shop())
    with Terminal("shop", "master", "BG-1", jobs=tmp_path) as terminal:
        terminal.wait_for("two things are called 'BG-1'")
        assert terminal.ends_within(20) == 2


def test_leaving_a_question_changes_nothing(tmp_path: Path) -> None:
    before = keep_shop(tmp_path, a_shop()).text
    for key in ("\x03", "\x04"):
        with Terminal("shop", "master", "R46", jobs=tmp_path) as terminal:
            terminal.wait_for("Size, such as 45.000 mm:")
            terminal.hear_for(
                0.3
            )  # a Ctrl-C between the question and its reading is seen only with the next key
            terminal.send(key)
            assert terminal.ends_within(20) == 130
    assert shop_path(tmp_path).read_text(encoding="utf-8") == before


def test_every_reading_with_an_instrument_is_listed_over_all_jobs(run: Run) -> None:
    clock = SimulatedClock(MORNING)
    at_work = a_job(Path("jobs/41.db"), clock, *measured("play"))
    do(at_work, MeasureAgain("bore", "burr left"), Type("10.012 10.013 10.014"))
    at_work.close()
    a_job(Path("jobs/42.db"), clock).close()
    code, out, err = run("jobs", "--with", "Bore gauge")
    assert (code, err) == (0, "")
    first, second = [line for line in out.splitlines() if " bore " in line]
    assert first.startswith("41 ") and first.endswith(f"2031-03-03 07:30 {FITTER}   superseded")
    assert "F1/A   Measure   bore 10.009 mm, 10.010 mm, 10.011 mm" in first
    assert "bore 10.012 mm, 10.013 mm, 10.014 mm" in second and second.endswith(FITTER)
    assert not any(line.startswith("42 ") for line in out.splitlines())


def test_an_instrument_that_no_reading_names_is_said_with_the_way_to_those_of_its_kind(run: Run) -> None:
    keep_shop(Path("jobs"), a_shop())
    code, out, _ = run("jobs", "--with", "BG-1")
    assert code == 0 and out.startswith("no reading with 'BG-1' in ")
    assert '`benchhand jobs --with "bore gauge"`' in out


def test_a_job_that_cannot_be_read_is_said_where_readings_are_looked_for(run: Run) -> None:
    a_job(Path("jobs/41.db"), SimulatedClock(MORNING), *measured("play")).close()
    shutil.copy("jobs/41.db", "jobs/42.db")
    Path("jobs/42.db").write_bytes(Path("jobs/42.db").read_bytes()[:9000])
    code, out, _ = run("jobs", "--with", "bore gauge")
    assert code == 3 and "42           can't be read: " in out and "41 " in out
