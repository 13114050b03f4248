"""Slips of whoever writes a first procedure: the message names what was meant."""

from __future__ import annotations

import pytest

from tests.procedure.texts import problems_of, reading, stage, working


def told(*steps: str) -> list[tuple[str, str]]:
    return [(one.what, one.fix) for one in problems_of(stage("A", "seat", *steps))]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("measure: bore\nask: Size\nunit: mm\nplausible: 0 mm to 90 mm", "read"),
        ("calculate: play\nas: 2 * 1 mm\nto the nearest: 0.001 mm", "work out"),
        ("step: Press the bush in", "do"),
        ("hold: bush is in\nby: inspector\nmust see:\n  - The oil hole is open", "hold point"),
    ],
)
def test_a_step_called_by_another_word_for_it_is_told_what_it_is_called_here(
    written: str, meant: str
) -> None:
    word = written.partition(":")[0]
    assert told(written) == [(f"'{word}' is no step", f"did you mean '{meant}'?")]


def test_a_step_by_a_word_that_nobody_knows_is_told_every_sort_of_step_there_is() -> None:
    ((_, fix),) = told("quux: the bush")
    assert all(f" {word}" in fix for word in ("do", "read", "work out", "check", "hold point", "sign off"))


@pytest.mark.parametrize(
    ("written", "meant"),
    [("max: 1 mm", "at most"), ("min: 1 mm", "at least"), ("between: 0 mm to 1 mm", "within")],
)
def test_a_limit_by_another_word_is_one_slip_and_is_told_its_key(written: str, meant: str) -> None:
    check = f"check: play\n{written}\nsource: common practice\nif not: [scrap]"
    word = written.partition(":")[0]
    assert told(reading("bore"), working("play", "bore"), check) == [
        (f"'{word}' is not a key of a check", f"did you mean '{meant}'?")
    ]


def test_two_ends_as_two_keys_are_told_as_the_range_they_are() -> None:
    check = "check: bore\nat least: 1 mm\nat most: 2 mm\nsource: common practice\nif not: [scrap]"
    assert told(reading("bore"), check) == [("a check with two limits", "write within: 1 mm to 2 mm")]


@pytest.mark.parametrize(
    ("written", "lacks"), [("22 to 30 mm", "22"), ("22 mm to 30", "30"), ("0.5 to 90 mm", "0.5")]
)
def test_a_range_with_one_unit_is_told_which_number_lacks_it_and_not_as_turned_round(
    written: str, lacks: str
) -> None:
    wrong = reading("bore").replace("0 mm to 90 mm", written)
    ((what, fix),) = told(wrong)
    assert what.startswith(f"{lacks} of what?") and f"such as {lacks} mm" in fix


def test_a_limit_of_a_value_that_is_itself_wrong_is_still_told_which_end_lacks_its_unit() -> None:
    check = "check: play\nwithin: 0.03 to 0.06 mm\nsource: common practice\nif not: [scrap]"
    found = told(working("play", "bohr * 2"), check)
    assert [what for what, _ in found][1:] == ["0.03 of what? 'play' is a length"]


@pytest.mark.parametrize(("points", "offered"), [("4 places", "points: 4,"), ("four", "points: 4,")])
def test_places_in_words_are_never_taken_as_one_place_measured_once(points: str, offered: str) -> None:
    ((what, fix),) = told(f"{reading('bore')}\npoints: {points}")
    assert "measured once" in what and offered in fix


def test_how_often_in_words_is_told_as_a_number_of_times() -> None:
    ((_, fix),) = told(f"{reading('bore')}\nagain at most: three times")
    assert fix.endswith("such as 3 times")


@pytest.mark.parametrize(("source", "more"), [("shop's own", "why"), ("maker's sheet", "which")])
def test_a_source_that_says_too_little_is_told_what_is_to_stand_behind_it(source: str, more: str) -> None:
    check = f"check: bore\nat most: 2 mm\nsource: {source}\nif not: [scrap]"
    ((what, fix),) = told(reading("bore"), check)
    assert what.endswith(f"without {more}") and f"{source}, …" in fix
