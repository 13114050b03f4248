"""What time brings, told by the items of an entries file: soaks, acts against the clock, hours that come, rehearsals."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from runner.job import events as e
from runner.session import dry_run
from runner.session.at_work import read_job
from runner.session.entries import read_entries
from runner.session.faults import RunnerError
from runner.session.hand import Stopped
from runner.shop.pins import hash_pin
from tests.job.a_small_procedure import procedure
from tests.job.an_oven import OVEN
from tests.session.test_what_entries_tell import entries, item, kinds

HEAD = """\
entries: small-frame
revision: 3
job: 8
invented: yes
opened: 2031-03-03 07:30 +00:00
pace: 10 s
parts:
  - part: frame
    named: [F1, F2]
work:
  - person: Ada Fitch
"""
LINES = HEAD.count("\n")
TRAY = "  - load: batch\n    called: tray 1\n    of: [F1, F2]\n"
OPEN_FOR = "  - pass: Fit\n    for: F1\n    typed:\n      open_for: 10\n"
Run = Callable[..., tuple[list[e.Event], Stopped | None]]


def soak(*rounds: str, **keys: str) -> str:
    lines = "".join(f"      {one}\n" for one in rounds)
    return item("soak", "bake", for_="tray 1", **keys) + f"    rounds:\n{lines}"


def drive(**keys: str) -> str:
    text = item("against the clock", "drive", for_="F1", **keys)
    return text.replace("second_key", "second key")


@pytest.fixture
def run(tmp_path: Path) -> Run:
    def worked(
        *items: str, head: str = HEAD, text: str = OVEN, folder: str = "jobs"
    ) -> tuple[list[e.Event], Stopped | None]:
        told: list[e.Event] = []
        (tmp_path / folder).mkdir(exist_ok=True)
        read = entries(head + "".join(items), str(tmp_path / "oven.entries.yaml"))
        at_work, stopped = dry_run.run(procedure(text), read, tmp_path / folder / "8.db", told.append)
        at_work.close()
        return told, stopped

    return worked


def test_the_rounds_of_a_soak_are_read_at_their_minutes(run: Run) -> None:
    told, _ = run(TRAY, soak("0 min: 200 201", "20 min: 199 200", "40 min: 200 200", "60 min: 200 201"))
    assert [one.total_s for one in told if isinstance(one, e.SoakRound)] == [0, 1200, 2400, 3600]
    assert "SoakDone" in kinds(told)


def test_a_soak_goes_on_in_a_second_item_and_counts_from_its_first_round(run: Run) -> None:
    told, _ = run(
        TRAY,
        soak("0 min: 200 201", "20 min: 200 201"),
        item("open door", "bake", for_="tray 1", because="a thermocouple hung loose"),
        item("clock set", "-1 h"),
        soak("40 min: 200 201", "60 min: 200 200"),
        item("expect", "done", for_="tray 1", stage="Bake"),
    )
    assert [one.because for one in told if isinstance(one, e.DoorOpened)] == ["a thermocouple hung loose"]
    assert [one.total_s for one in told if isinstance(one, e.SoakRound)] == [0, 1200, 2400, 3600]


def test_a_round_may_be_typed_part_by_part(run: Run) -> None:
    told, _ = run(TRAY, soak("0 min: 200", "1 min: 201"))
    assert [(one.member, one.last) for one in told if isinstance(one, e.SoakPoint)] == [
        ("F1", False),
        ("F2", True),
    ]


def test_a_part_taken_out_of_the_oven_is_not_read_any_more(run: Run) -> None:
    told, _ = run(
        TRAY,
        soak("0 min: 200 201", "20 min: 200 201"),
        item("leave", "tray 1", for_="F2", because="it is wanted elsewhere"),
        soak("40 min: 200", "60 min: 200"),
        item("expect", "done", for_="tray 1", stage="Bake"),
    )
    assert kinds(told).count("SoakDone") == 1


def test_a_job_with_a_load_is_read_and_taken_up_again(run: Run, tmp_path: Path) -> None:
    told, _ = run(
        TRAY,
        soak("0 min: 200 201"),
        item("leave", "tray 1", for_="F2", because="wanted"),
        item("restart", "1 h"),
    )
    found = read_job(tmp_path / "jobs" / "8.db")
    assert found.events[-len(told) :] == tuple(told)
    assert found.job.parts.loads["tray 1"].parts == ("F1",)


def test_a_soak_that_stopped_is_expected_with_words_of_its_sentence(run: Run) -> None:
    hot = TRAY + soak("0 min: 200 201", "20 min: 200 224")
    told, _ = run(hot, item("expect", "held", for_="tray 1", at="bake", says="F2 was at 224 degC"))
    assert kinds(told).count("SoakStopped") == 1
    _, stopped = run(hot, item("expect", "held", for_="tray 1", at="bake", says="F1 was at"), folder="again")
    assert stopped
    assert stopped.sentence == "tray 1 was expected to be held at bake with 'F1 was at', and is not"


def test_a_reading_that_can_hardly_be_is_typed_twice_where_the_item_says_so(run: Run) -> None:
    strange = soak("0 min: 310 200")
    _, stopped = run(TRAY, strange)
    assert stopped and "outside what is plausible here" in stopped.sentence
    assert stopped.fix == "add twice: [0 min] where it was typed twice"
    told, _ = run(TRAY, soak("0 min: 310", "1 min: 200", twice="[0 min]"), folder="twice")
    assert "SoakStopped" in kinds(told)


def test_an_act_against_the_clock_is_made_ready_told_by_two_keys_and_held_down(run: Run) -> None:
    told, _ = run(OPEN_FOR, drive(second_key="9 s"), item("pass", "Fit", for_="F1"))
    assert kinds(told)[-7:] == [
        "TickMade", "ClockArmed", "ClockStarted", "ClockStopped", "HeldDown", "StepDone", "PassDone",
    ]  # fmt: skip
    (one,) = [one for one in told if isinstance(one, e.ClockStopped)]
    assert one.taken_s == 9 and one.met
    (held,) = [one for one in told if isinstance(one, e.HeldDown)]
    assert 20 <= held.held_s < 20.1


def test_armed_it_is_stood_down_and_armed_anew_without_a_second_tick(run: Run) -> None:
    told, _ = run(
        OPEN_FOR,
        item("arm", "drive", for_="F1"),
        item("stand down", "drive", for_="F1", because="the phone rang"),
        drive(second_key="4 s"),
    )
    assert [one.because for one in told if isinstance(one, e.ClockStoodDown)] == ["the phone rang"]
    assert kinds(told).count("ClockArmed") == 2 and kinds(told).count("HeldDown") == 1


def test_a_second_key_that_comes_sooner_than_it_can_is_refused_and_comes_again(run: Run) -> None:
    told, _ = run(
        OPEN_FOR,
        item("expect", "refused", says="that was 1.0 s after the first key"),
        drive(second_key="1 s"),
        drive(second_key="8 s"),
    )
    assert [one.taken_s for one in told if isinstance(one, e.ClockStopped)] == [8.0]


def test_a_second_key_that_comes_too_late_goes_its_way_by_itself(run: Run) -> None:
    told, _ = run(
        OPEN_FOR,
        drive(second_key="21 s"),
        item("expect", "held", for_="F1", at="drive", says="over the last limit of 20.0 s"),
        item("later", "1 s"),
        OPEN_FOR.replace("10", "12"),
        drive(second_key="6 s"),
        item("pass", "Fit", for_="F1"),
        item("expect", "done", for_="F1", stage="Fit"),
    )
    assert kinds(told).count("ReworkBegun") == 1


def test_a_missed_second_key_is_noted_at_the_last_limit_and_may_be_put_in_later(run: Run) -> None:
    told, _ = run(
        OPEN_FOR,
        drive(second_key="missed"),
        item("expect", "held", for_="F1", at="drive", says="20.0 s went by"),
        item("estimate", "drive", for_="F1", reads="14", because="Cora counted aloud"),
        item("pass", "Fit", for_="F1"),
        item("expect", "done", for_="F1", stage="Fit"),
    )
    missed, put_in = (one for one in told if isinstance(one, e.ClockStopped))
    assert (missed.act, missed.met, round(missed.taken_s, 2)) == ("", False, 20.0)
    assert (put_in.estimated, put_in.taken_s, put_in.met) == ("Cora counted aloud", 14.0, True)


def test_a_missed_second_key_that_nobody_puts_in_goes_its_way_after_a_while(run: Run) -> None:
    told, stopped = run(OPEN_FOR, drive(second_key="missed"), item("later", "1 h"))
    (missed,) = [one for one in told if isinstance(one, e.ClockStopped)]
    (begun,) = [one for one in told if isinstance(one, e.ReworkBegun)]
    assert 120 <= (begun.at.utc - missed.at.utc).total_seconds() < 121
    assert stopped and "a reading is wanted here: Seconds it stays open" in stopped.sentence


def test_a_machine_that_went_off_between_the_keys_missed_the_second(run: Run) -> None:
    told, _ = run(OPEN_FOR, drive(), item("restart", "1 min"), item("expect", "held", for_="F1", at="drive"))
    assert [one.met for one in told if isinstance(one, e.ClockStopped)] == []
    told, _ = run(
        OPEN_FOR,
        drive(),
        item("restart", "1 min"),
        item("later", "1 s"),
        item("expect", "held", for_="F1", at="drive"),
        folder="again",
    )
    assert [one.met for one in told if isinstance(one, e.ClockStopped)] == [False]


def test_an_hour_of_the_day_is_come_to_by_itself_and_a_window_is_missed_only_by_later(run: Run) -> None:
    told, _ = run(item("pass", "Coat", for_="F1"))
    (came,) = [one for one in told if isinstance(one, e.TimeCame)]
    assert came.at.utc.strftime("%d %H:%M") == "04 06:00" and kinds(told)[-1] == "PassDone"
    assert [one.met for one in told if isinstance(one, e.CheckDecided)] == [True]


WINDOW = OVEN.replace(
    "      - do: Coat it\n", "      - write: coat_batch\n        ask: Which tin?\n      - do: Coat it\n"
)


def test_a_window_that_was_missed_is_expected_by_its_name(run: Run) -> None:
    told, _ = run(
        item("pass", "Coat", for_="F1"),
        item("later", "61 min"),
        item("pass", "Coat", for_="F1") + "    typed:\n      coat_batch: tin 3\n",
        item("expect", "held", for_="F1", at="still_clean", says="over the 60 min allowed"),
        item("route", "clean again", for_="F1", because="the frame stood in the dust"),
        text=WINDOW,
    )
    assert kinds(told)[-2:] == ["ReworkBegun", "PassStarted"]


def test_a_condition_that_is_not_so_is_waited_for_until_it_is_read_again(run: Run) -> None:
    warm = "  - pass: Skim\n    for: F1\n    typed:\n      cut: 0.1\n      room: 24\n"
    told, stopped = run(warm)
    assert stopped and "'cool' is waited for here" in stopped.sentence
    told, _ = run(
        warm,
        item("again", "room", for_="F1", because="it had cooled", reads="22"),
        item("pass", "Skim", for_="F1"),
        item("expect", "done", for_="F1", stage="Skim"),
        folder="again",
    )
    assert kinds(told).count("TimeCame") == 1


REHEARSAL = HEAD.replace("job: 8\n", "job: 8\nrehearsal: yes\n").replace("[F1, F2]", "[F1]")


def test_a_rehearsal_is_hurried_and_at_its_end_when_everything_is_done(run: Run) -> None:
    told, stopped = run(
        item("pass", "Coat", for_="F1"),
        item("hurry", "2 h"),
        "  - pass: Skim\n    for: F1\n    typed:\n      cut: 0.1\n      room: 20\n",
        TRAY.replace("[F1, F2]", "[F1]"),
        soak("0 min: 200", "20 min: 200"),
        item("hurry", "20 min"),
        soak("41 min: 200", "60 min: 200"),
        OPEN_FOR,
        drive(second_key="9 s"),
        item("expect", "refused", says="no rehearsal is released"),
        item("release job", "all of it", by="Ben Stone"),
        item("pass", "Fit", for_="F1"),
        head=REHEARSAL,
    )
    assert stopped is None and kinds(told)[-1] == "JobCompleted"
    assert [one.seconds for one in told if isinstance(one, e.ClockHurried)] == [7200, 1200]
    assert [one.total_s for one in told if isinstance(one, e.SoakRound)][-1] >= 3600


def test_a_rehearsal_that_is_not_done_is_not_at_its_end(run: Run) -> None:
    _, stopped = run(item("hurry", "1 h"), head=REHEARSAL)
    assert stopped and stopped.sentence.startswith("the entries end here, and job 8 is not at its end: ")


def test_only_a_rehearsal_is_hurried(run: Run) -> None:
    _, stopped = run(item("hurry", "1 h"))
    assert stopped and stopped.sentence == "only a rehearsal can be hurried; here time takes its time"
    assert stopped.line == LINES + 1


SHOP = f"""\
shop: Pins that do not exist
idle: 10 min
people:
  - person: Ada Fitch
    roles: [fitter]
    pin: {hash_pin("240917", bytes(range(16)))}
"""


def test_whoever_is_at_the_bench_says_so_again_where_it_was_forgotten_meanwhile(
    run: Run, tmp_path: Path
) -> None:
    (tmp_path / "pins.yaml").write_text(SHOP, encoding="utf-8")
    head = HEAD.replace("job: 8\n", "job: 8\nshop: pins.yaml\n") + '    pin: "240917"\n'
    told, _ = run(
        TRAY,
        soak("0 min: 200 200", "20 min: 200 200"),
        item("restart", "1 min"),
        soak("40 min: 200 200"),
        head=head,
    )
    assert [one.total_s for one in told if isinstance(one, e.SoakRound)] == [0, 1200, 2400]
    changed = [one for one in told if isinstance(one, e.PersonChanged)]
    assert [(one.who, one.identified) for one in changed] == [("Ada Fitch", "PIN")] * 3


@pytest.mark.parametrize(
    ("items", "line", "what", "fix"),
    [
        (TRAY + soak("20 min: 200 200"), 7, "the first round of 'bake' was not read yet", "begin its rounds at 0 min"),
        (TRAY + soak("0 min: 200 200", "5 s: 200 200"), 8, "5 s is past already", "put the items in the order"),
        (OPEN_FOR + drive() + item("later", "9 s") + drive(second_key="8 s"), 8, "8 s is past already", "put the items"),
        (item("soak", "bakes", for_="tray 1") + "    rounds:\n      0 min: 1\n", 1, "no step is called 'bakes'", "did you mean 'bake'?"),
        (item("arm", "drove", for_="F1"), 1, "no step is called 'drove'", "did you mean 'drive'?"),
    ],
)  # fmt: skip
def test_what_does_not_fit_the_job_is_told_with_its_line(
    run: Run, items: str, line: int, what: str, fix: str
) -> None:
    with pytest.raises(RunnerError) as told:
        run(items)
    assert told.value.what.endswith(what) and told.value.fix.startswith(fix)
    assert f"oven.entries.yaml:{LINES + line}: " in told.value.what


@pytest.mark.parametrize(
    ("items", "sentence"),
    [
        (item("soak", "Turn it over", for_="F1") + "    rounds:\n      0 min: 1\n", "'Coat' on F1 does not stand at 'Turn it over'"),
        (item("soak", "Clean it", for_="F1") + "    rounds:\n      0 min: 1\n", "'Clean it' is no soak"),
        (item("arm", "Clean it", for_="F1"), "'Clean it' is not against the clock"),
        (OPEN_FOR + item("estimate", "drive", for_="F1", reads="9", because="x"), "no key was missed here"),
        (TRAY + item("open door", "bake", for_="tray 1", because="to look"), "the soak has not begun"),
        (OPEN_FOR + item("stand down", "drive", for_="F1", because="x"), "'drive' is armed here"),
        (TRAY + soak("0 min: 200 200 200"), "3 readings were typed, and 2 are wanted in this round"),
    ],
)  # fmt: skip
def test_what_the_bench_would_not_take_stops_the_run_there(run: Run, items: str, sentence: str) -> None:
    _, stopped = run(items)
    assert stopped and stopped.sentence.startswith(sentence)
    assert stopped.line > LINES


@pytest.mark.parametrize(
    ("text", "off", "what", "fix"),
    [
        ("  - soak: bake\n    for: T\n", 0, "this soak does not say 'rounds'", "add rounds: …"),
        ("  - soak: bake\n    for: T\n    rounds: 200\n", 2, "'rounds' is a list of times", "write 0 min, a colon"),
        ("  - soak: bake\n    for: T\n    rounds:\n      first: 200\n", 3, "'first' is not a number with its unit", ""),
        ("  - soak: bake\n    for: T\n    rounds:\n      0: 200\n", 3, "0 of what?", "add the unit"),
        ("  - soak: bake\n    for: T\n    rounds:\n      0 mm: 200\n", 3, "0 mm is a length, and a round stands", "write how long"),
        ("  - soak: bake\n    for: T\n    rounds:\n      -1 min: 200\n", 3, "-1 min is less than no time", "write a time"),
        ("  - soak: bake\n    for: T\n    rounds:\n      0 min: [200, 201]\n", 3, "'0 min' takes one text", "write 0 min:"),
        ("  - soak: bake\n    for: T\n    rounds:\n      0 min:\n", 3, "'0 min' says nothing", "write it"),
        ("  - soak: bake\n    for: T\n    rounds:\n      20 min: 1\n      1200 s: 1\n", 4, "1200 s does not come after 20 min", "put the rounds"),
        ("  - open door: bake\n    for: T\n", 0, "this open door does not say 'because'", "add because: …"),
        ("  - against the clock: drive\n    for: T\n    second key: soon\n", 2, "'soon' is not a number with its unit", ""),
        ("  - against the clock: drive\n    for: T\n    second key: -9 s\n", 2, "-9 s is less than no time", "write a time"),
        ("  - stand down: drive\n    for: T\n", 0, "this stand down does not say 'because'", "add because: …"),
        ("  - estimate: drive\n    for: T\n    reads: 9\n", 0, "this estimate does not say 'because'", "add because: …"),
        ("  - hurry: soon\n", 0, "'soon' is not a number with its unit", ""),
        ("  - hurry: -1 h\n", 0, "-1 h is less than no time", "write a time"),
        ("  - expect: done\n    for: F1\n    says: a word\n", 2, "what is done says nothing", "leave says: out"),
    ],
)  # fmt: skip
def test_an_item_told_wrong_is_told_at_its_line(text: str, off: int, what: str, fix: str) -> None:
    found, problems = read_entries(HEAD + text, "x.yaml")
    assert found is None and len(problems) == 1, problems
    assert problems[0].what.startswith(what) and problems[0].fix.startswith(fix), problems[0]
    assert problems[0].place.line == LINES + 1 + off


def test_whether_it_is_a_rehearsal_is_yes_or_no() -> None:
    found, problems = read_entries(HEAD.replace("job: 8\n", "job: 8\nrehearsal: maybe\n"), "x.yaml")
    assert found is None and [one.what for one in problems] == ["'maybe' is none of: yes, no"]
