"""The command line: what each verb prints, and how it ends."""

from __future__ import annotations

import fcntl
import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
import time
import unicodedata
from pathlib import Path

import pytest

from runner.command.line import main
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import TEXT
from tests.screen.a_screen import MORNING, a_job, measured, to_the_end

ROOT = Path(__file__).resolve().parents[2]
ENTRIES = ROOT / "procedures" / "demo" / "head-seats.entries.yaml"
Said = tuple[int, str, str]


class Shop:
    """A folder with jobs and procedures in it, and what the commands say there."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys

    def run(self, *words: str) -> Said:
        """Exit code, what was printed, what was complained of."""
        code = main(words)
        said = self._capsys.readouterr()
        return code, said.out, said.err

    def job(self, number: str) -> Path:
        return self.folder / "jobs" / f"{number}.db"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shop:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BENCHHAND_JOBS", raising=False)
    monkeypatch.setenv("TZ", "UTC")
    return Shop(tmp_path, capsys)


def process(*words: str, cwd: Path, **env: str) -> subprocess.Popen[str]:
    """The program in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "runner", *words],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT), **env},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


# wrong command lines


@pytest.mark.parametrize(
    ("words", "what", "fix"),
    [
        (["jbos"], "'jbos' is not one of its verbs", "did you mean jobs?"),
        (["check"], "FILE is missing", "`benchhand check --help`"),
        (["verify", "41", "--count", "many"], "'many' is no whole number for --count", "`benchhand verify --help`"),
        (["open", "head-seats", "--job"], "--job wants something after it", "`benchhand open --help`"),
        (["jobs", "--all"], "nothing is known of '--all' here", "`benchhand --help`"),
        (["open", "head-seats", "--job", "4/1"], "'4/1' can't be a job number", "write letters"),
        (["open", "head-seats", "--who", "42"], "'42' is no name", "say who is at the bench"),
        (["open", "head-seats", "--named", "head"], "'head' names no part", "write it like head=H1,H2"),
        (["open", "head-seats", "--named", "hat=H1"], "'hat' is not a part that is named", "named are head"),
        (["open", "head-seats", "--named", "head=H1,h1"], "two parts can't both be called 'h1'", "its own name"),
    ],
)  # fmt: skip
def test_a_wrong_command_line_is_refused_in_two_lines(
    shop: Shop, words: list[str], what: str, fix: str
) -> None:
    code, out, err = shop.run(*words)
    assert (code, out) == (2, "")
    first, second = err.splitlines()
    assert what in first and second.startswith("  fix: ") and fix in second
    assert not re.search("error|invalid|please", err, re.IGNORECASE)
    assert list(shop.folder.iterdir()) == []


def test_a_job_number_in_use_is_refused_and_the_way_to_it_is_told(shop: Shop) -> None:
    a_job(shop.job("41"), SimulatedClock(MORNING)).close()
    code, _, err = shop.run("open", "head-seats", "--job", "41")
    assert code == 2 and "job 41 exists already" in err and "`benchhand resume 41`" in err


def test_the_screen_without_a_terminal_is_the_help_and_code_2(shop: Shop) -> None:
    for words in ([], ["open", "head-seats", "--job", "41", "--rehearsal"]):
        code, out, err = shop.run(*words)
        assert (code, out) == (2, "")
        assert err.startswith("the bench needs a terminal, and this is none")
        assert "exit codes" in err
    assert list(shop.folder.iterdir()) == []


# check and procedures


def test_check_finds_no_problem_in_what_is_shipped(shop: Shop) -> None:
    for file in sorted((ROOT / "procedures").glob("*.yaml")):
        code, out, err = shop.run("check", str(file))
        assert (code, err) == (0, "") and "no problem in" in out
    assert shop.run("check", "head-seats")[0] == 0


def test_check_tells_every_problem_of_every_file_in_one_run(shop: Shop) -> None:
    Path("one.yaml").write_text(TEXT.replace("points: 3", "points: 0"), encoding="utf-8")
    Path("two.yaml").write_text(TEXT.replace("mean(bore)", "maen(bore)"), encoding="utf-8")
    Path("good.yaml").write_text(TEXT, encoding="utf-8")
    code, out, err = shop.run("check", "one.yaml", "good.yaml", "two.yaml", "three.yaml")
    assert code == 1
    assert re.search(r"^one\.yaml:\d+:\d+: ", out, re.MULTILINE) and "one.yaml: 1 problem\n" in out
    assert re.search(r"^two\.yaml:\d+:\d+: ", out, re.MULTILINE) and "did you mean 'mean'?" in out
    assert "good.yaml: no problem in" in out
    assert "there is no procedure at three.yaml" in err


def test_a_file_that_is_no_procedure_is_told_from_one_that_is(shop: Shop) -> None:
    Path("binary.yaml").write_bytes(b"\xff\xfe\x00\x1b]0;x\x07")
    Path("empty.yaml").write_bytes(b"")
    Path("folder.yaml").mkdir()
    os.mkfifo("pipe.yaml")  # opened, it would be waited on for ever
    for name, said in (
        ("binary.yaml", "this is a binary file, not a text"),
        ("empty.yaml", "the file is empty"),
        ("folder.yaml", "folder.yaml is a folder, not a procedure"),
        ("pipe.yaml", "there is no procedure at pipe.yaml"),
        ("/proc/self/mem", "/proc/self/mem can't be read"),
    ):
        code, out, err = shop.run("check", name)
        assert code == 1 and said in out + err, name
        assert "fix: " in out + err and "\x1b" not in out + err


def test_a_procedure_that_may_only_be_read_is_checked(shop: Shop) -> None:
    path = Path("mine.yaml")
    path.write_text(TEXT, encoding="utf-8")
    path.chmod(0o444)
    Path(".").chmod(0o555)
    try:
        assert shop.run("check", "mine.yaml")[0] == 0
        assert sorted(os.listdir()) == ["mine.yaml"]
    finally:
        Path(".").chmod(0o755)


def test_a_misspelt_procedure_gets_the_nearest_one(shop: Shop) -> None:
    for verb in (["check"], ["open"], ["dry-run", "--entries", str(ENTRIES)]):
        code, _, err = shop.run(*verb, "head-saets")
        assert code == 1
        assert "there is no procedure at head-saets\n  fix: did you mean head-seats?" in err


def test_a_procedure_of_this_folder_called_without_its_ending_gets_its_whole_name(shop: Shop) -> None:
    Path("bushes.yaml").write_text(TEXT, encoding="utf-8")
    code, _, err = shop.run("show", "bushes")
    assert code == 1 and "fix: did you mean bushes.yaml?" in err


def test_check_loads_no_screen_and_no_database(tmp_path: Path) -> None:
    script = (
        "import sys\nfrom runner.command.line import main\ncode = main(['check', 'head-seats'])\n"
        "print(code, sorted(name for name in sys.modules if name.split('.')[0] in ('textual', 'rich')))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert ran.stdout.splitlines()[-1] == "0 []"


def test_procedures_lists_the_shops_own_first_and_goes_on_past_what_is_wrong(shop: Shop) -> None:
    folder = Path("procedures")
    folder.mkdir()
    (folder / "a-frame.yaml").write_text(TEXT, encoding="utf-8")
    (folder / "b-bad.yaml").write_text("procedure:\n", encoding="utf-8")
    (folder / "c-folder.yaml").mkdir()
    code, out, err = shop.run("procedures")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].split()[:4] == ["a-frame", "revision", "3", "approved"]
    assert "b-bad" in lines[1] and "benchhand check procedures/b-bad.yaml" in lines[1]
    assert "c-folder" in lines[2] and "can't be read" in lines[2]
    assert any(line.startswith("head-seats ") for line in lines[3:])


# jobs


def test_jobs_lists_every_job_with_its_state_and_what_is_due(shop: Shop) -> None:
    clock = SimulatedClock(MORNING)
    a_job(shop.job("41"), clock, *measured("bore")).close()
    a_job(shop.job("44"), clock, *to_the_end()).close()
    shop.job("45").write_bytes(b"no job at all")
    shop.job("46").mkdir()
    shop.job("47").symlink_to("nowhere.db")
    os.mkfifo(shop.job("48"))
    code, out, err = shop.run("jobs")
    assert (code, err) == (0, "")
    lines = {line.split()[0]: line for line in out.splitlines()}
    assert "running" in lines["41"] and "0 of 10 passes" in lines["41"]
    assert "completed" in lines["44"]
    for number in ("45", "46", "47", "48"):
        assert "can't be read" in lines[number]


def test_the_folder_of_jobs_is_as_asked_then_as_the_environment_says_then_here(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = SimulatedClock(MORNING)
    for folder, number in (("asked", "1"), ("told", "2"), ("jobs", "3")):
        a_job(shop.folder / folder / f"{number}.db", clock).close()
    assert shop.run("jobs")[1].startswith("3 ")
    monkeypatch.setenv("BENCHHAND_JOBS", "told")
    assert shop.run("jobs")[1].startswith("2 ")
    assert shop.run("--jobs", "asked", "jobs")[1].startswith("1 ")
    code, out, _ = shop.run("--jobs", "none", "jobs")
    whole = Path("none").absolute()
    assert code == 0 and out == f"no jobs in {whole}; `benchhand open PROCEDURE --job NO` opens one\n"
    assert shop.run("jobs", "--jobs", "asked")[1].startswith("1 ")


def test_a_job_that_is_not_there_gets_the_nearest_and_code_3(shop: Shop) -> None:
    a_job(shop.job("DEMO-1"), SimulatedClock(MORNING)).close()
    for verb in ("record", "verify", "resume"):
        code, out, err = shop.run(verb, "DEMO-2")
        assert (code, out) == (3, "")
        assert "there is no job DEMO-2 in jobs\n  fix: did you mean DEMO-1?" in err


def test_a_file_that_is_no_job_is_refused_with_code_3(shop: Shop) -> None:
    Path("jobs").mkdir()
    shop.job("41").write_bytes(b"no job at all")
    with sqlite3.connect("jobs/42.db") as other:
        other.execute("create table entry (seq integer primary key, note text)")
    other.close()
    for number in ("41", "42"):
        for verb in ("record", "verify"):
            code, out, err = shop.run(verb, number)
            assert (code, out) == (3, "") and "not a job file" in err and "fix: " in err


# dry-run


def test_a_dry_run_of_the_demo_comes_to_its_release(shop: Shop) -> None:
    code, out, err = shop.run("dry-run", "head-seats", "--entries", str(ENTRIES), "--record", "record.json")
    assert (code, err) == (0, "")
    assert re.search(r"^job DEMO-1 released; \d+ entries, head [0-9a-f]{16}$", out.splitlines()[-1])
    assert json.loads(Path("record.json").read_text(encoding="utf-8"))["standing"] == "released"
    assert sorted(os.listdir()) == ["record.json"]


def test_a_rehearsal_in_a_dry_run_ends_well_where_everything_is_done(shop: Shop) -> None:
    work, release, _ = ENTRIES.read_text(encoding="utf-8").partition("  - release job:")
    assert release
    Path("rehearsal.yaml").write_text(work.replace("invented: yes", "rehearsal: yes"), encoding="utf-8")
    code, out, err = shop.run(
        "dry-run", "head-seats", "--entries", "rehearsal.yaml", "--record", "record.json"
    )
    assert (code, err) == (0, "")
    assert out.splitlines()[-1].startswith("job DEMO-1 rehearsed to its end, and never released; ")
    assert json.loads(Path("record.json").read_text(encoding="utf-8"))["standing"] == "completed"


@pytest.mark.parametrize("part", ["H1/EX", "H1/IN", "H2/EX", "H2/IN"])
def test_a_bore_five_hundredths_too_large_stops_the_dry_run_at_its_gate(shop: Shop, part: str) -> None:
    lines = ENTRIES.read_text(encoding="utf-8").splitlines()
    at = next(
        number
        for number, line in enumerate(lines)
        if re.match(r"\s+bore: ", line) and _part_of(lines, number) == part
    )
    lead, _, readings = lines[at].partition("bore: ")
    lines[at] = f"{lead}bore: " + " ".join(f"{float(one) + 0.05:.3f}" for one in readings.split())
    Path("large.yaml").write_text("\n".join(lines), encoding="utf-8")
    code, _, err = shop.run("dry-run", "head-seats", "--entries", "large.yaml", "--quiet")
    assert code == 4
    said = re.search(
        rf"^large\.yaml:(\d+): the job stopped here: {part}: bore_20 is (\S+) mm, over the limit of (\S+) mm \((.+)\)$",
        err,
        re.MULTILINE,
    )
    assert said, err
    assert float(said[2]) > float(said[3])
    # The line is that of the pass, and the limit carries its source.
    assert 0 <= at + 1 - int(said[1]) < 20
    assert re.search("common practice|shop's own|published|maker's sheet|calculated", said[4])


def _part_of(lines: list[str], number: int) -> str:
    return next(
        line.partition("for: ")[2] for line in reversed(lines[:number]) if line.strip().startswith("for: ")
    )


def test_entries_that_are_wrong_themselves_are_code_1(shop: Shop) -> None:
    Path("bad.yaml").write_text(ENTRIES.read_text(encoding="utf-8").replace("pace: 20 s", "pace: fast"))
    Path("binary.yaml").write_bytes(b"\xff\x00\xfe")
    for name, said in (
        ("bad.yaml", "bad.yaml:"),
        ("binary.yaml", "binary file"),
        ("none.yaml", "there is no entries file at none.yaml"),
    ):
        code, _, err = shop.run("dry-run", "head-seats", "--entries", name)
        assert code == 1 and said in err, err
        assert err.count("fix: ") == 1
    code, _, err = shop.run("dry-run", "head-seats", "--entries", str(ENTRIES), "--record", "no/such/place")
    assert code == 3 and "can't be written to no/such/place" in err


# record and verify


@pytest.fixture
def job(shop: Shop) -> Path:
    """A job with a check that was not met and a part that was scrapped, done to its end."""
    clock = SimulatedClock(MORNING)
    a_job(shop.job("41"), clock, *to_the_end(), invented=True).close()
    return shop.job("41")


def test_the_record_is_text_without_control_characters_deviations_first(shop: Shop, job: Path) -> None:
    code, out, err = shop.run("record", "41")
    assert (code, err) == (0, "")
    assert not {sign for sign in out if unicodedata.category(sign) in ("Cc", "Cf") and sign != "\n"}
    order = [
        "RECORD OF JOB 41",
        "not released",
        "invented data",
        "DEVIATIONS",
        "scrap by Ben Stone",
        "MEASURE",
    ]
    places = [out.index(said) for said in order]
    assert places == sorted(places)
    assert "nonconforming: scored by the pin" in out
    for line in TEXT.splitlines():
        assert line in out
    assert all(len(line) <= 120 for line in out.splitlines())


def test_the_record_as_json_has_everything_and_the_procedure_whole(shop: Shop, job: Path) -> None:
    code, out, _ = shop.run("record", "41", "--json")
    told = json.loads(out)
    assert code == 0
    assert list(told).index("deviations") < list(told).index("passes")
    assert told["procedure"]["text"] == TEXT
    assert told["deviations"][0]["what"].startswith("scrap by Ben Stone as inspector")
    readings = [entry["typed"] for entry in told["entries"] if entry["kind"] == "reading-taken"]
    assert readings[:4] == ["10.000", "10.009", "10.010", "10.011"]
    assert told["chain"]["count"] == len(told["entries"])
    shop.run("record", "41", "--to", "41.json")
    assert json.loads(Path("41.json").read_text(encoding="utf-8")) == told


def test_the_record_of_a_file_named_by_its_path_is_the_same(shop: Shop, job: Path) -> None:
    assert shop.run("record", str(job)) == shop.run("record", "41")


def test_reading_a_record_changes_nothing_on_disk(shop: Shop, job: Path) -> None:
    def disk() -> dict[str, bytes]:
        return {path.name: path.read_bytes() for path in job.parent.iterdir()}

    before = disk()
    for words in (["record", "41"], ["verify", "41"], ["jobs"]):
        assert shop.run(*words)[0] == 0
    assert disk() == before


def test_verify_tells_count_and_head_and_holds_them_against_a_print(shop: Shop, job: Path) -> None:
    code, out, _ = shop.run("verify", "41")
    found = re.search(r"^(\d+) entries, head ([0-9a-f]{64})$", out, re.MULTILINE)
    assert code == 0 and found
    count, head = found.groups()
    assert shop.run("verify", "41", "--count", count, "--head", head[:16])[0] == 0
    assert shop.run("verify", "41", "--count", str(int(count) + 1))[0] == 5
    assert shop.run("verify", "41", "--head", "f" * 16)[0] == 5


def test_verify_names_the_entry_in_which_a_byte_was_changed(shop: Shop, job: Path) -> None:
    data = bytearray(job.read_bytes())
    at = data.index(b'"10.010"') + 5
    data[at] ^= 1
    job.write_bytes(data)
    code, out, err = shop.run("verify", "41")
    assert code == 5, (out, err)
    assert re.search(r"entry \d+", out)
    code, _, err = shop.run("record", "41")
    assert code == 3 and "entry" in err


def test_a_cut_tail_is_seen_only_against_a_print(shop: Shop, job: Path) -> None:
    _, out, _ = shop.run("verify", "41")
    printed = re.search(r"^(\d+) entries, head ([0-9a-f]{64})$", out, re.MULTILINE)
    assert printed
    with sqlite3.connect(job) as forger:
        for (name,) in forger.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            sql = forger.execute("select sql from sqlite_master where name = ?", [name]).fetchone()[0]
            forger.execute(f"drop trigger {name}")
            if "delete" in sql.lower().partition(" on ")[0]:
                forger.execute("delete from entry where seq > ?", [int(printed[1]) - 2])
            forger.execute(sql)
    forger.close()
    assert shop.run("verify", "41")[0] == 0
    for against in (["--count", printed[1]], ["--head", printed[2]]):
        code, out, _ = shop.run("verify", "41", *against)
        assert code == 5, out


# processes


def test_a_reader_that_goes_away_ends_it_quietly(tmp_path: Path) -> None:
    ran = process("dry-run", "head-seats", "--entries", str(ENTRIES), cwd=tmp_path)
    assert ran.stdout and ran.stderr
    ran.stdout.readline()
    ran.stdout.close()
    assert ran.stderr.read() == ""
    ran.stderr.close()
    assert ran.wait(30) == 0


def test_a_full_disk_behind_the_output_is_said(tmp_path: Path) -> None:
    with open("/dev/full", "w") as full:
        ran = subprocess.run(
            [sys.executable, "-m", "runner", "procedures"],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
        )
    assert ran.returncode == 3
    assert "No space left on device" in ran.stderr and "Traceback" not in ran.stderr


def test_control_c_ends_a_dry_run_with_130(tmp_path: Path) -> None:
    # A pipe made this small holds less than what it tells: until somebody reads on, it can't have come to its end.
    ran = process("dry-run", "head-seats", "--entries", str(ENTRIES), cwd=tmp_path, PYTHONUNBUFFERED="1")
    assert ran.stdout and ran.stderr
    fcntl.fcntl(ran.stdout, fcntl.F_SETPIPE_SZ, 4096)
    ran.stdout.read(1)  # it has begun
    ran.send_signal(signal.SIGINT)
    ran.stdout.read()
    ran.stdout.close()
    told = ran.stderr.read()
    ran.stderr.close()
    assert ran.wait(30) == 130, told
    assert "Traceback" not in told
    assert list(tmp_path.iterdir()) == []


def test_an_old_character_set_loses_signs_and_nothing_else(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    a_job(tmp_path / "41.db", clock, *to_the_end()).close()
    began = time.monotonic()
    ran = process("--jobs", ".", "record", "41", cwd=tmp_path, PYTHONIOENCODING="ascii")
    out, err = ran.communicate(timeout=30)
    assert (ran.returncode, err) == (0, "")
    assert "RECORD OF JOB 41" in out and out.isascii()
    assert time.monotonic() - began < 10


def test_the_version_is_told(shop: Shop) -> None:
    code, out, _ = shop.run("--version")
    assert code == 0 and re.fullmatch(r"benchhand \d+\.\d+\.\d+\n", out)


def test_a_draft_is_opened_only_as_a_rehearsal(shop: Shop) -> None:
    draft = TEXT.replace("status: approved", "status: draft")
    (shop.folder / "draft.yaml").write_text(draft, encoding="utf-8")
    code, _, err = shop.run("open", "draft.yaml", "--job", "41")
    assert code == 2 and "'small-frame' revision 3 is a draft, not approved" in err
    assert "--rehearsal" in err
