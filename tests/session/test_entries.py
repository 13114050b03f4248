"""Entries files: every problem in the reader's words, with its line, and all of them at once."""

from __future__ import annotations

import pytest

from runner.session.entries import read_entries
from runner.text.problem import render_all
from tests.session.a_bench_hand import demo_entries, demo_text


def problems(text: str) -> list[tuple[int, str, str]]:
    entries, found = read_entries(text, "demo.yaml")
    assert entries is None and found
    rendered = render_all(found, {"demo.yaml": text.split("\n")})
    assert all(f"demo.yaml:{one.place.line}:{one.place.column}: " in rendered for one in found)
    for word in ("Error", "invalid", "please", "None", "Traceback"):
        assert word not in rendered
    return [(one.place.line, one.kind, one.what) for one in found]


def changed(old: str, new: str) -> tuple[str, int]:
    text = demo_text()
    assert old in text
    return text.replace(old, new, 1), text[: text.index(old)].count("\n") + 1


@pytest.mark.parametrize(
    ("old", "new", "off", "what"),
    [
        ("pace: 20 s", "pase: 20 s", 0, "'pase' is not a key of a file of entries"),
        ("invented: yes", "colour: blue", 0, "'colour' is not a key of a file of entries"),
        ("invented: yes", "invented: perhaps", 0, "'perhaps' is none of: yes, no"),
        (
            "    by: Wren Hollis\n    saw",
            "    bye: Wren Hollis\n    saw",
            0,
            "'bye' is not a key of a release",
        ),
        (
            "  - pass: Counterbore",
            "  - stage: Counterbore",
            0,
            "'stage' is nothing that an entries file tells",
        ),
        ("    saw: each line\n", "", -3, "this release does not say 'saw'"),
        ("    saw: each line", "    saw: [one, two]", 0, "brackets cut a sentence at each comma"),
        ("      floor_swing: 0.006", "      floor_swing: [0.006]", 0, "one text is typed at a time"),
        (
            "      insert_temp: 21.5",
            "      insert_temp: 21.5\n      insert_temp: 23",
            1,
            "'insert_temp' is said twice",
        ),
        ("pace: 20 s", "pace: 20", 0, "20 of what?"),
        ("pace: 20 s", "pace: 20 mm", 0, "20 mm is a length, and 'pace' takes a time"),
        ("pace: 20 s", "pace: -20 s", 0, "-20 s is less than no time"),
        ("  - at: 2031-03-04 07:15 +01:00", "  - later: -1 h", 0, "-1 h is less than no time"),
        ("  - at: 2031-03-04 07:15 +01:00", "  - later: 99999999999 h", 0, "99999999999 h is too long"),
        (
            "  - at: 2031-03-04 07:15 +01:00",
            "  - at: 2031-13-04 07:15 +01:00",
            0,
            "'2031-13-04 07:15 +01:00' is not a time",
        ),
        (
            "  - at: 2031-03-04 07:15 +01:00",
            "  - at: 2031-03-04 07:15",
            0,
            "'2031-03-04 07:15' is not a time",
        ),
        (
            "  - at: 2031-03-04 07:15 +01:00",
            "  - at: 9999-12-31 23:59 +01:00",
            0,
            "'9999-12-31 23:59 +01:00' is not a time",
        ),
        (
            "  - at: 2031-03-04 07:15 +01:00",
            "  - at: 2031-03-04 07:15 +25:00",
            0,
            "'2031-03-04 07:15 +25:00' is not a time",
        ),
        ("  - at: 2031-03-04 07:15 +01:00", "  - at:", 0, "'at' says nothing"),
        ("pace: 20 s", "pace: 20 s\nzone: Mars/Base", 1, "no zone is called 'Mars/Base'"),
        ("pace: 20 s", "pace: 20 s\nzone: UTC+99:00", 1, "no zone is called 'UTC+99:00'"),
    ],
)
def test_each_problem_is_told_at_its_line(old: str, new: str, off: int, what: str) -> None:
    text, line = changed(old, new)
    found = problems(text)
    assert (line + off, what) in [(at, said[: len(what)]) for at, _, said in found], found


def test_a_file_that_is_no_yaml_is_told_at_the_line_where_it_breaks() -> None:
    text, line = changed("    typed:\n      centre_distance", "   typed:\n      centre_distance")
    ((at, _, what),) = problems(text)
    assert at == line and "does not fit the one above it" in what


@pytest.mark.parametrize(
    "text",
    ["", "- a\n- b\n", "just words\n", "entries: &a x\n", "entries: !!python/object x\n", "\tentries: x\n"],
)
def test_what_is_no_entries_file_is_told_to_be_none(text: str) -> None:
    assert problems(text)[0][0] == 1


def test_all_problems_are_told_in_one_reading_by_line() -> None:
    text = demo_text().replace("pace: 20 s", "pase: 20 s").replace("    by: Wren", "    bye: Wren", 1)
    text = text.replace("  - at: 2031-03-04 07:15 +01:00", "  - at: tomorrow")
    found = problems(text)
    assert [kind for _, kind, _ in found] == ["unknown-key", "bad-time", "unknown-key"]
    assert [line for line, _, _ in found] == sorted(line for line, _, _ in found)


def test_what_was_typed_stays_as_it_was_typed() -> None:
    text = (
        demo_text()
        .replace("insert_temp: 21.5", "insert_temp: 0.050", 1)
        .replace("standard_temp: 21.5", "standard_temp: no", 1)
    )
    first = next(act for act in demo_entries(text).acts if "insert_temp" in act.typed)
    assert first.typed["insert_temp"] == "0.050" and first.typed["standard_temp"] == "no"
    assert first.typed["standard_size"] == "50.000"


def test_without_a_zone_the_offset_of_the_opening_is_the_jobs_zone() -> None:
    assert demo_entries().zone == "UTC+01:00"
    assert (
        demo_entries(demo_text().replace("pace: 20 s", "pace: 20 s\nzone: Europe/Vienna")).zone
        == "Europe/Vienna"
    )
    assert (
        demo_entries(
            demo_text().replace("opened: 2031-03-03 07:30 +01:00", "opened: 2031-03-03 07:30 -03:30")
        ).zone
        == "UTC-03:30"
    )
