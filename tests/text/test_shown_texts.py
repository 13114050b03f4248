"""Text from outside is made safe to show, a caret stands under its spot, and the nearest word is offered."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.text.foreign import has_unprintable, one_line, shown
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Place, Problem, in_order, render, render_all


@given(st.text())
def test_nothing_that_steers_a_terminal_is_ever_shown(text: str) -> None:
    assert not has_unprintable(one_line(text))
    assert not has_unprintable(shown(text).replace("\n", ""))


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\r")))
def test_columns_stay_what_they_were_on_one_line(text: str) -> None:
    assert len(one_line(text)) == len(text)


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("\x1b[31mred", "\u241b[31mred"),
        ("\x9b31m", "\ufffd31m"),
        ("a\u202eb", "a\ufffdb"),
        ("[@click=app.quit]x[/]", "[@click=app.quit]x[/]"),
        ("Torque [Nm] max", "Torque [Nm] max"),
        ("a\tb", "a b"),
        ("a\r\nb", "a\u240ab"),
        ("µm °C é ×", "µm °C é ×"),
    ],
)
def test_a_control_character_becomes_its_picture_and_the_rest_stays(text: str, safe: str) -> None:
    assert one_line(text) == safe


def test_the_caret_stands_under_the_spot() -> None:
    problem = Problem("x", Place("a.yaml", 2, 5, 3), "what is wrong", "do this")
    assert render(problem, ["one", "ab: bad stuff"]) == (
        "a.yaml:2:5: what is wrong\n    2 | ab: bad stuff\n      |     ^^^\n  fix: do this"
    )


def test_the_caret_stands_under_the_spot_in_a_line_too_long_to_show() -> None:
    line = "a" * 500 + "BAD" + "c" * 500
    source, caret = render(Problem("x", Place("f", 1, 501, 3), "w", "f"), [line]).split("\n")[1:3]
    assert source[caret.index("^") : caret.rindex("^") + 1] == "BAD"
    assert len(source) < 140


def test_a_warning_says_so() -> None:
    assert render(Problem("x", Place("f", 1, 1), "w", "f", warning=True), ["a"]).startswith(
        "f:1:1: warning: w"
    )


def test_a_place_behind_the_file_is_told_without_a_line() -> None:
    assert render(Problem("x", Place("f", 9, 1), "w", "f"), ["a"]) == "f:9:1: w\n  fix: f"


def test_problems_come_by_place_and_each_once() -> None:
    late, early = Problem("x", Place("f", 2, 1), "late", "f"), Problem("x", Place("f", 1, 4), "early", "f")
    again = Problem("x", Place("f", 2, 1), "said again", "f")
    assert in_order([late, early, again]) == [early, late]
    assert render_all([late, early], {"f": ["a", "b"]}).index("early") < 10


def test_the_nearest_word_is_offered_or_up_to_four_that_exist() -> None:
    assert nearest("strok", ["stroke", "bore"]) == "stroke"
    assert suggestion("strok", ["stroke", "bore"]) == "did you mean 'stroke'?"
    assert suggestion("xyz", ["stroke", "bore"]) == "there is bore, stroke"
    assert suggestion("xyz", ["aa", "bb", "cc", "dd", "ee"]) == "there is aa, bb, cc, dd and others"
    assert suggestion("xyz", []) == "there is none yet"
