"""A logger's file is read as it grows, whatever it is written like, and what can't be read is told by its line."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from runner.session.logger import LoggerFile, gaps, parse_rows

BERLIN = ZoneInfo("Europe/Berlin")
AT = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "line",
    [
        "2031-03-03T06:30:00Z,200.5",
        "2031-03-03 07:30:00;200,5",
        "2031-03-03T07:30:00+01:00\t200.5",
        "2031-03-03T01:30-0500,200.5",
        "03.03.2031 07:30;200,5",
        "3/3/2031 07:30:00,200.5,C,alarm off",
        "03.03.2031;07:30:00;200,5",
        '"2031-03-03 07:30:00","200.5"',
        "2031-03-03 07:30:00.000;200,5\r",
    ],
)
def test_a_row_is_read_however_the_logger_writes_it(line: str) -> None:
    (row,) = parse_rows(line, BERLIN).rows
    assert (row.utc, row.number, row.line) == (AT, Fraction("200.5"), 1)


def test_a_day_comes_before_its_month() -> None:
    (row,) = parse_rows("04.03.2031 07:30;20", BERLIN).rows
    assert row.utc == AT + timedelta(days=1)


def test_a_header_is_passed_over_and_a_line_that_says_nothing_is_told() -> None:
    reading = parse_rows(
        "Time;Temperature\n2031-03-03 07:30;200\nbattery low\n2031-13-03 07:30;200\n", BERLIN
    )
    assert [row.line for row in reading.rows] == [2]
    assert reading.said == (
        "line 3: no date, time and temperature could be read in it",
        "line 4: its date or time is none that there is",
    )


def test_rows_come_in_the_order_of_time_and_each_once() -> None:
    lines = ["2031-03-03 07:40;201", "2031-03-03 07:30;200", "2031-03-03 07:40;201", "2031-03-03 08:40;202"]
    rows = parse_rows("\n".join(lines), BERLIN).rows
    assert [row.number for row in rows] == [200, 201, 202]
    assert gaps(rows, timedelta(minutes=20)) == [(rows[1], rows[2])]


def test_two_temperatures_for_one_moment_are_told_and_neither_counts() -> None:
    reading = parse_rows("2031-03-03 07:30;200\n2031-03-03 07:30;300\n", BERLIN)
    assert reading.rows == () and reading.said == ("line 2: another temperature for the moment of line 1",)


@pytest.mark.parametrize("line", ["2031-10-26 02:30;200", "2031-03-30 02:30;200"])
def test_an_hour_that_a_change_shows_twice_or_never_is_not_guessed_at(line: str) -> None:
    reading = parse_rows(line, BERLIN)
    assert reading.rows == () and "which of the two" in reading.said[0]


def test_a_growing_file_is_read_on_from_where_it_was_and_half_a_line_is_left(tmp_path: Path) -> None:
    path = tmp_path / "oven.csv"
    path.write_bytes(b"Time;C\r\n2031-03-03 07:30;200\r\n2031-03-03 07:3")
    file = LoggerFile(path, BERLIN)
    assert [row.line for row in file.read().rows] == [2]
    assert file.read().rows == ()
    with path.open("ab") as more:
        more.write(b"5;201\n2031-03-03 07:40;x\n")
    reading = file.read()
    assert [(row.line, row.number) for row in reading.rows] == [(3, 201)]
    assert reading.said == ("line 4: no date, time and temperature could be read in it",)


def test_a_file_that_was_cut_or_is_gone_is_told(tmp_path: Path) -> None:
    path = tmp_path / "oven.csv"
    path.write_text("2031-03-03 07:30;200\n")
    file = LoggerFile(path, BERLIN)
    file.read()
    path.write_text("")
    assert file.read().said == ("oven.csv is shorter than it was; it is another file now",)
    path.unlink()
    assert file.read().said[0].startswith("oven.csv can't be read")


def test_hostile_lines_are_bounded_and_told_without_their_text() -> None:
    text = "x\n" + "\x1b[2J;" * 100 + "\n" + "2031-03-03 07:30;" + "9" * 5000 + "\n" + "=cmd()\n" * 1000
    reading = parse_rows(text, BERLIN)
    assert reading.rows == () and len(reading.said) == 21
    assert reading.said[0] == "line 2: it has 500 characters, and a row has at most 200"
    assert not any("\x1b" in one or "cmd" in one for one in reading.said)
