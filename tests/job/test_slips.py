"""Entries that look like slips: asked for a second time, the likely slip named, never put right by the program."""

from __future__ import annotations

import pytest

from runner.job.events import EntryQuestioned, ReadingTaken
from runner.job.intents import ChangePerson, Resume, StartPass, Stop, Suspend, TakeUp, Type
from tests.job.a_bench import A, B, Bench, named


def at_bore() -> Bench:
    return Bench().measure(upto="bore")


def question(bench: Bench, text: str) -> str:
    events = bench.do(Type(text))
    assert named(events) == ["entry-questioned"]
    assert isinstance(events[0], EntryQuestioned)
    return events[0].why


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ("100.1", "ten times too large"),
        ("1.001", "ten times too small"),
        ("254", "millimetres for inches"),
        ("0.3937", "inches for millimetres"),
        ("10010", "a thousand times too large"),
        ("0.01001", "a thousand times too small"),
        ("55", ""),
        ("-10.01", ""),
        ("0", ""),
        ("100.1 mm", "ten times too large"),
    ],
)
def test_an_implausible_reading_is_asked_again_and_the_likely_slip_is_named(typed: str, slip: str) -> None:
    why = question(at_bore(), typed)
    assert why.startswith(f"{typed} is outside what is plausible here (9 to 11.02 mm)")
    assert (f"; is it {slip}?" in why) if slip else ("; is it" not in why)


@pytest.mark.parametrize(
    ("typed", "asked"), [("9", 0), ("9.000", 0), ("8.999", 1), ("11.02", 0), ("11.0201", 1)]
)
def test_the_plausible_band_holds_its_own_ends(typed: str, asked: int) -> None:
    bench = at_bore()
    bench.do(Type(typed))
    assert sum(isinstance(one, EntryQuestioned) for one in bench.events) == asked


def test_an_implausible_reading_typed_twice_counts_as_typed_and_keeps_why_it_was_asked() -> None:
    bench = at_bore()
    why = question(bench, "100.1")
    bench.do(Type("100.1"))
    taken = [one for one in bench.events if isinstance(one, ReadingTaken)][-1]
    assert (taken.typed, taken.questioned, taken.si) == ("100.1", why, taken.number / 1000)


def test_a_questioned_text_is_not_a_reading() -> None:
    bench = at_bore()
    question(bench, "100.1")
    bench.do(Type("10.010 10.010 10.010"))
    assert bench.state.known[("F1/A", "bore")].points[0].typed == "10.010"
    assert bench.at(A).questioned is None


def test_another_text_is_questioned_anew_even_where_it_is_the_same_number() -> None:
    bench = at_bore()
    question(bench, "100.1")
    question(bench, "100.10")
    question(bench, "100.1")
    assert named(bench.do(Type("100.1"))) == ["reading-taken"]


def test_each_implausible_point_is_asked_by_itself() -> None:
    bench = at_bore()
    question(bench, "100.1")
    bench.do(Type("100.1"))
    question(bench, "100.1")


def test_an_implausible_reading_further_on_in_a_line_takes_none_of_it() -> None:
    bench = at_bore()
    sentence = bench.refused(Type("10.010 100.1 10.010"))
    assert "is it ten times too large?; type the readings before it first" in sentence
    assert ("F1/A", "bore") not in bench.state.known


def test_a_line_whose_first_reading_was_asked_again_is_taken_when_typed_again() -> None:
    bench = at_bore()
    question(bench, "100.1 10.010 10.010")
    bench.do(Type("100.1 10.010 10.010"))
    assert len(bench.state.known[("F1/A", "bore")].points) == 3


@pytest.mark.parametrize(
    ("typed", "echo"),
    [
        ("0.394 in", "0.394 in is 10.008 mm"),
        ("394 thou", "394 thou is 10.008 mm"),
        ("10010 um", "10010 um is 10.010 mm"),
    ],
)
def test_another_unit_is_echoed_in_the_one_shown_before_it_counts(typed: str, echo: str) -> None:
    bench = at_bore()
    assert question(bench, typed) == echo
    bench.do(Type(typed))
    taken = [one for one in bench.events if isinstance(one, ReadingTaken)][-1]
    assert (taken.typed, taken.unit, taken.questioned) == (typed, typed.split()[1], echo)


def test_the_unit_that_is_shown_may_be_typed_and_is_not_asked_about() -> None:
    assert named(at_bore().do(Type("10.010 mm"))) == ["reading-taken"]


@pytest.mark.parametrize("typed", ["10.01 degC", "10.01 kg", "10.01 N*m", "10.01 mil"])
def test_a_unit_of_another_sort_is_refused(typed: str) -> None:
    at_bore().refused(Type(typed))


@pytest.mark.parametrize(
    "typed",
    [
        "1.2.3",
        "1,250",
        "O.005",
        ".",
        "--3",
        "1e3",
        "",
        "1" * 40,
        "10\n.01x",
        "٣",
        "0x10",
        "nan",
        "inf",
        "1_000",
        "+",
        "1/0",
    ],
)
def test_no_malformed_number_is_taken_for_another(typed: str) -> None:
    bench = at_bore()
    bench.refused(Type(typed))
    assert ("F1/A", "bore") not in bench.state.known


def test_a_question_stays_with_its_step_through_a_night_another_pass_and_a_stop() -> None:
    bench = at_bore()
    question(bench, "100.1")
    bench.do(StartPass(B), StartPass(A), Suspend("night"))
    bench.restart(hours=12).do(Resume(), ChangePerson("Cora Lind"))
    bench.do(Stop("cannot measure", "no light"), TakeUp("a lamp"))
    assert named(bench.do(Type("100.1"))) == ["reading-taken"]


def test_a_question_of_one_part_answers_none_of_its_brother() -> None:
    bench = Bench().measure(upto="ring_size")
    question(bench, "500")
    bench.measure(B, upto="ring_size")
    question(bench, "500")
