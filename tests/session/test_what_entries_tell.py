"""Each thing that a job can be asked, told by an item of an entries file; and the sentence at each kind of gate where it ends."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from runner.job import events as e
from runner.procedure.model import Procedure
from runner.procedure.reader import read_procedure
from runner.session import dry_run
from runner.session.acting import ACTING
from runner.session.entries import Entries, read_entries
from runner.session.faults import RunnerError
from runner.session.hand import Stopped
from runner.session.told import ITEMS
from runner.shop.pins import hash_pin
from runner.text.problem import render_all

PROCEDURE = """\
procedure: Pins in a frame, invented
id: pins
revision: 1
changed: first issue
status: approved
written by: the shop
approved by: an invented approver
approved on: 2031-01-15
scope: nothing real
decision: simple
roles: [fitter, inspector]
released by: inspector
concessions by: inspector
prerequisites:
  - Bench wiped
parts:
  - part: pin
    tag: engraved
instruments:
  - instrument: micrometer
    reads to: 0.001 mm
    uncertainty: 0.002 mm
ladders:
  - ladder: step
    for each: pin
    rungs: [0 mm, 0.5 mm]
    source: common practice
reworks:
  - rework: turn again
    only if: size > 10.02 mm
    back to: size
    at most: 1 time
  - rework: next step
    climb: step
    back to: Measure
    at most: 1 time
stages:
  - stage: Measure
    for each: pin
    steps:
      - zero: micrometer
        on: its faces
        within: 0.002 mm of 0 mm
      - read: size
        ask: Size of the pin
        unit: mm
        with: micrometer
        plausible: 9 mm to 12 mm
        good for: 1 h
      - check: size
        within: 9.98 mm + step to 10.02 mm + step
        source: common practice
        if not: [turn again, next step, concession]
      - choose: face
        ask: Look at its face
        options: [bright, dull]
      - write: remark
        ask: What else?
        may skip: fitter
      - do: Oil the pin
        timed as: oiled
      - witness point: first look
        by: inspector
        goes on after: 10 min
      - hold point: pin released
        by: inspector
        measures again: size
        agree within: 0.004 mm
        must see:
          - no burr
  - stage: Fit
    for each: pin
    steps:
      - wait: soaked
        starts: oiled
        at least: 2 h
        source: common practice
      - do: Push the pin home
      - sign off: fitted
"""
HEAD = """\
entries: pins
revision: 1
job: 7
invented: yes
opened: 2031-03-03 07:30 +01:00
pace: 10 s
parts:
  - part: pin
    named: [P1, P2]
work:
  - person: Ada Fitch
"""
ZERO = "  - pass: Measure\n    for: P1\n    typed:\n      micrometer: 0.000\n"
SIZE = ZERO + "      size: 10.001\n"
LOOKED = SIZE + "      face: bright\n      remark: none\n"
CALLED = LOOKED + "  - call witness: first look\n    for: P1\n"
SEEN = CALLED + "  - witness: first look\n    for: P1\n    by: Ben Stone\n"
RELEASE = "  - release: pin released\n    for: P1\n    by: Ben Stone\n    saw: each line\n    reads: 10.002\n"
Run = Callable[..., tuple[list[e.Event], Stopped | None]]


def procedure() -> Procedure:
    found, problems = read_procedure(PROCEDURE, "pins.yaml")
    assert found is not None, render_all(problems, {"pins.yaml": PROCEDURE.split("\n")})
    return found


def entries(text: str, file: str = "pins.entries.yaml") -> Entries:
    found, problems = read_entries(text, file)
    assert found is not None, render_all(problems, {file: text.split("\n")})
    return found


@pytest.fixture
def run(tmp_path: Path) -> Run:
    def worked(*items: str, head: str = HEAD) -> tuple[list[e.Event], Stopped | None]:
        told: list[e.Event] = []
        (tmp_path / "jobs").mkdir(exist_ok=True)
        read = entries(head + "".join(items), str(tmp_path / "pins.entries.yaml"))
        at_work, stopped = dry_run.run(procedure(), read, tmp_path / "jobs" / "7.db", told.append)
        at_work.close()
        return told, stopped

    return worked


def kinds(told: list[e.Event]) -> list[str]:
    return [type(one).__name__ for one in told]


def item(what: str, said: str, **keys: str) -> str:
    """One item as text; `for_` stands for the key that Python has for itself."""
    return f"  - {what}: {said}\n" + "".join(f"    {key.rstrip('_')}: {text}\n" for key, text in keys.items())


def test_every_item_that_can_be_told_is_done() -> None:
    assert set(ACTING) == set(ITEMS)


@pytest.mark.parametrize(
    ("items", "sentence"),
    [
        (ZERO, "'Measure' on P1 is in hand, and a reading is wanted here: Size of the pin, in mm"),
        (SIZE, "one of the options is wanted here: Look at its face (bright, dull)"),
        (SIZE + "      face: bright\n", "a text is wanted here: What else?"),
        (ZERO.replace("0.000", "0.009"), "reads 0.009 mm on its faces and should read 0.000 mm"),
        (ZERO + "      size: 10.030\n", "P1: size is 10.030 mm, over the limit of 10.020 mm"),
        (LOOKED, "witness point 'first look': the inspector is called, and comes or doesn't"),
        (SEEN, "hold point 'pin released' is released by an inspector"),
        (SEEN + RELEASE.replace("10.002", "10.009"), "the second reading of size lies 0.0080 mm from the first"),
        (
            SIZE + item("exit", "cannot measure", for_="P1", because="no light"),
            "P1: cannot measure (no light)",
        ),
        (
            SIZE + item("exit", "nonconforming", for_="P1", because="bent"),
            "P1: nonconforming (bent)",
        ),
        (SEEN + RELEASE + item("pass", "Fit", for_="P1"), "'fitted' is signed here with a name"),
    ],
)  # fmt: skip
def test_a_run_that_ends_at_a_gate_says_what_the_bench_says_there(
    run: Run, items: str, sentence: str
) -> None:
    _, stopped = run(items)
    assert stopped and sentence in stopped.sentence
    assert stopped.sentence.startswith("the entries end here, and job 7 is not released")


def test_a_choice_that_is_no_option_stops_the_run_at_what_was_typed(run: Run) -> None:
    _, stopped = run(SIZE + "      face: brigth\n")
    assert stopped and stopped.sentence == "'brigth' is none of the options"
    assert stopped.fix == "they are bright, dull" and stopped.line == HEAD.count("\n") + 6


def test_a_text_is_skipped_and_a_witness_does_not_come(run: Run) -> None:
    told, _ = run(
        SIZE + "      face: bright\n",
        item("skip", "remark", for_="P1", by="Ada Fitch", because="nothing to say"),
        item("pass", "Measure", for_="P1"),
        item("call witness", "first look", for_="P1"),
        item("not attended", "first look", for_="P1"),
    )
    (passed,) = [one for one in told if isinstance(one, e.WitnessPassed)]
    assert passed.by == "" and 600 <= passed.lasted_s < 660
    assert "StepSkipped" in kinds(told)


def test_a_rework_is_by_whoever_is_at_the_bench_and_is_no_solo_decision(run: Run) -> None:
    told, _ = run(
        ZERO + "      size: 10.030\n",
        item("expect", "held", for_="P1", at="size"),
        item("route", "turn again", for_="P1", because="a pass too few"),
        "  - pass: Measure\n    for: P1\n    typed:\n      size: 10.490\n",
        item("expect", "refused", says="was done 1 times"),
        item("route", "turn again", for_="P1", because="once more"),
        item("route", "next step", for_="P1", because="turned too far"),
    )
    begun = [one for one in told if isinstance(one, e.ReworkBegun)]
    assert [(one.title, one.by, one.count, one.solo) for one in begun] == [
        ("turn again", "Ada Fitch", 1, False),
        ("next step", "Ada Fitch", 1, False),
    ]
    assert begun[1].size == "0.5 mm"


def test_a_correction_puts_a_release_out_of_date_and_looking_again_closes_what_it_may(run: Run) -> None:
    told, stopped = run(
        SEEN + RELEASE,
        item("correct", "size", for_="P1", reads="10.003", because="read one line low"),
        item("expect", "out of date", for_="P1", at="pin released", stage="Measure"),
        SEEN.removeprefix(LOOKED),
        item("expect", "refused", says="is released anew"),
        item("still stands", "pin released", for_="P1", because="hardly changed"),
        RELEASE,
        item("expect", "done", for_="P1", stage="Measure"),
    )
    assert stopped and "passes are not done" in stopped.sentence
    assert kinds(told).count("HoldReleased") == 2


def test_readings_move_to_the_part_they_were_taken_on(run: Run) -> None:
    told, _ = run(
        SIZE,
        "  - pass: Measure\n    for: P2\n    typed:\n      micrometer: 0.000\n",
        item("move", "[size]", for_="P1", to="P2", because="the tags lay crossed"),
    )
    moved = [one for one in told if isinstance(one, e.ReadingTaken) and one.late]
    assert [(one.part, one.typed) for one in moved] == [("P2", "10.001")]


def test_a_permit_leaves_a_step_that_can_not_be_done_as_written(run: Run) -> None:
    told, _ = run(
        SIZE + "      face: dull\n",
        item("exit", "cannot do as written", for_="P1", because="nobody can write"),
        item("take up", "Measure", for_="P1", because="a pencil was found"),
        item("exit", "cannot do as written", for_="P1", because="no pencil after all"),
        item("expect", "refused", says="has entries in this pass"),
        item("permit", "Measure", for_="P1", by="Ada Fitch", because="it is clean"),
        item("permit", "remark", for_="P1", by="Ben Stone", because="told by word of mouth"),
        item("pass", "Measure", for_="P1"),
    )
    (given,) = [one for one in told if isinstance(one, e.PermitGiven)]
    assert (given.step, given.by) == (5, "Ben Stone")
    assert kinds(told)[-1] == "StepDone"


def test_a_handover_waits_for_whoever_takes_the_job_on(run: Run) -> None:
    told, _ = run(
        item("hand over", "the vice is loose"),
        item("expect", "refused", says="Ada Fitch handed the job over"),
        ZERO,
        item("person", "Ann Marsh"),
        item("accept", "read"),
        ZERO,
    )
    assert [one.given_by for one in told if isinstance(one, e.HandoverAccepted)] == ["Ada Fitch"]


def test_a_restart_takes_the_job_up_again_and_a_set_clock_makes_no_wait_shorter(run: Run) -> None:
    told, _ = run(
        SEEN + RELEASE,
        item("clock set", "-1 h"),
        item("restart", "5 min"),
        item("pass", "Fit", for_="P1"),
    )
    assert "SittingBegun" in kinds(told)
    noticed = [one.what for one in told if isinstance(one, e.ClockNoticed)]
    assert "the machine was restarted since the last entry" in noticed
    (passed,) = [one for one in told if isinstance(one, e.WaitPassed)]
    assert passed.lasted_s >= 7200 and passed.note


def test_what_stood_too_long_is_refused_until_it_is_measured_again(run: Run) -> None:
    told, _ = run(
        LOOKED,
        item("later", "2 h"),
        item("expect", "refused", says="it is good for 1 h"),
        item("call witness", "first look", for_="P1"),
        item("again", "size", for_="P1", because="it lay too long", reads="10.002"),
        item("pass", "Measure", for_="P1"),
        item("call witness", "first look", for_="P1"),
    )
    assert kinds(told)[-1] == "WitnessCalled"


def test_what_was_to_be_refused_and_was_done_stops_the_run_at_that_item(run: Run) -> None:
    text = item("expect", "refused", says="no") + item("suspend", "lunch")
    _, stopped = run(text)
    assert stopped and stopped.sentence == "'suspend: lunch' was expected to be refused, and was done"
    assert stopped.line == HEAD.count("\n") + 3


def test_a_refusal_in_other_words_than_expected_stops_the_run(run: Run) -> None:
    _, stopped = run(item("expect", "refused", says="blue") + item("resume", "read"))
    assert stopped and stopped.sentence == (
        "it was expected to be refused with 'blue', and the refusal says: the job is not suspended"
    )


SHOP = f"""\
shop: Pins that do not exist
people:
  - person: Ada Fitch
    roles: [fitter]
    pin: {hash_pin("240917", bytes(range(16)))}
  - person: Ben Stone
    roles: [inspector]
instruments:
  - instrument: M-1
    kind: micrometer
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: 2031-06-30
  - instrument: M-2
    kind: micrometer
    reads to: 0.001 mm
    uncertainty: 0.002 mm
    calibrated until: 2031-01-31
"""
WITH_SHOP = HEAD.replace("job: 7\n", "job: 7\nshop: pins-shop.yaml\n").replace(
    "  - person: Ada Fitch\n", '  - person: Ada Fitch\n    pin: "240917"\n'
)


def test_people_of_a_shop_file_are_asked_for_their_pin_and_its_instruments_are_named(
    run: Run, tmp_path: Path
) -> None:
    (tmp_path / "pins-shop.yaml").write_text(SHOP, encoding="utf-8")
    told, stopped = run(
        item("expect", "refused", says="M-2 was calibrated until 2031-01-31"),
        item("gauge", "micrometer", id="M-2"),
        item("gauge", "micrometer", id="M-1"),
        SIZE,
        head=WITH_SHOP,
    )
    assert stopped and "one of the options is wanted here" in stopped.sentence
    changed = next(one for one in told if isinstance(one, e.PersonChanged))
    assert (changed.who, changed.roles, changed.identified) == ("Ada Fitch", ("fitter",), "PIN")
    read = next(one for one in told if isinstance(one, e.ReadingTaken))
    assert (read.gauge, read.calibrated_until) == ("M-1", "2031-06-30")


@pytest.mark.parametrize(
    ("head", "sentence"),
    [
        (WITH_SHOP.replace('    pin: "240917"\n', ""), "the PIN of Ada Fitch is asked for"),
        (WITH_SHOP.replace("240917", "111111"), "that is not the PIN of Ada Fitch"),
    ],
)
def test_without_the_right_pin_nobody_is_at_the_bench(
    run: Run, tmp_path: Path, head: str, sentence: str
) -> None:
    (tmp_path / "pins-shop.yaml").write_text(SHOP, encoding="utf-8")
    _, stopped = run(ZERO, head=head)
    assert stopped and stopped.sentence == sentence
    assert "111111" not in repr(stopped) and "240917" not in repr(entries(head))


def test_a_shop_file_that_is_not_there_is_told_with_its_name(run: Run) -> None:
    with pytest.raises(RunnerError) as told:
        run(ZERO, head=WITH_SHOP)
    assert "there is no shop file at" in told.value.what and "pins-shop.yaml" in told.value.what


@pytest.mark.parametrize(
    ("text", "what", "fix"),
    [
        ("  - sign: fitted\n", "'sign' is nothing that an entries file tells", "items begin with"),
        ("  - witnes: look\n    for: P1\n", "'witnes' is nothing that an entries file tells", "did you mean 'witness'?"),
        ("  - expect: held\n", "this expect does not say 'for'", "add for: …"),
        ("  - expect: refused\n", "nothing follows that could be refused", "write the item behind it"),
        ("  - route: scrap\n    for: P1\n    because: x\n", "this route does not say 'by'", "add by: …"),
        ("  - clock set: 400000 h\n", "400000 h is too long", "write a time"),
        ("  - restart: -1 h\n", "-1 h is less than no time", "write a time"),
        ("  - correct: size\n    for: P1\n    reads: 1\n", "this correct does not say 'because'", "add because: …"),
    ],
)  # fmt: skip
def test_an_item_told_wrong_is_told_at_its_line(text: str, what: str, fix: str) -> None:
    found, problems = read_entries(HEAD + text, "x.yaml")
    assert found is None and len(problems) == 1
    assert problems[0].what.startswith(what) and problems[0].fix.startswith(fix)
    assert problems[0].place.line == HEAD.count("\n") + 1


def test_a_pin_that_is_no_text_is_told_without_it() -> None:
    found, problems = read_entries(HEAD + "  - person: Ann Marsh\n    pin: [1234]\n", "x.yaml")
    assert found is None and [one.kind for one in problems] == ["wrong-form"]
    assert "1234" not in problems[0].what + problems[0].fix


def test_a_shop_file_of_another_folder_is_not_taken() -> None:
    found, problems = read_entries(WITH_SHOP.replace("pins-shop.yaml", "../shop.yaml"), "x.yaml")
    assert found is None and [one.kind for one in problems] == ["shop-file"]


@pytest.mark.parametrize(
    ("items", "what", "fix"),
    [
        (item("again", "sise", for_="P1", because="x", reads="1"), "nothing that is entered is called 'sise'", "did you mean 'size'?"),
        (item("release", "pins released", for_="P1", by="B S", saw="each line"), "no step is called 'pins released'", "did you mean 'pin released'?"),
        (SIZE + item("route", "turn agan", for_="P1", because="x"), "no way out is called 'turn agan'", "did you mean 'turn again'?"),
    ],
)  # fmt: skip
def test_a_name_that_the_procedure_does_not_have_gets_the_nearest(
    run: Run, items: str, what: str, fix: str
) -> None:
    with pytest.raises(RunnerError) as told:
        run(items)
    assert told.value.what.endswith(what) and told.value.fix == fix
