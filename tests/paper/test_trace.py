"""A soak drawn as text: where each reading stands, what is marked as outside, and what counted."""

from __future__ import annotations

from collections.abc import Callable

from runner.paper.trace import COLUMNS, Counted, Sample, Trace, drawn, key

ROUNDS = [
    (0, 140, 160),
    (20, 190, 199),
    (40, 200, 201),
    (60, 200, 204),
    (84, 200, 207),
    (100, 201, 200),
    (120, 200, 200),
]


def two_heads() -> Trace:
    """Two heads from cold: one lags, and one overshoots once after the door was open."""
    samples = [
        sample
        for at, one, two in ROUNDS
        for sample in (Sample(at, "H1 wall", one), Sample(at + 0.2, "H2 wall", two))
    ]
    return Trace(tuple(samples), "degC", 195, 205, (Counted(40, 60), Counted(100, 120)), (70,))


def row(lines: list[str], value: float) -> str:
    return next(line.split("|")[1] for line in lines if line.strip().startswith(f"{value:g} |"))


def test_a_trace_is_drawn_with_its_band(golden: Callable[[str, str], None]) -> None:
    golden("trace-two-heads.txt", "\n".join([*drawn(two_heads()), key(two_heads())]))


def test_a_reading_outside_is_a_small_letter_and_never_looks_like_one_inside() -> None:
    lines = drawn(Trace((Sample(0, "F1", 194.9), Sample(60, "F1", 195)), "degC", 195, 205))
    assert row(lines, 195)[0] == "a" and row(lines, 195).rstrip()[COLUMNS - 1] == "A"
    lines = drawn(
        Trace((Sample(0, "F1", 200), Sample(0, "F2", 194.9), Sample(0, "F3", 195)), "degC", 195, 205)
    )
    assert row(lines, 195)[0] == "!" and row(lines, 200)[0] == "A"


def test_a_band_narrower_than_a_row_is_still_drawn() -> None:
    lines = drawn(Trace((Sample(0, "F1", 20), Sample(9, "F1", 203)), "degC", 202, 204))
    assert sum("...." in line for line in lines) == 1


def test_what_counted_only_in_part_is_not_drawn_as_if_all_of_it_had() -> None:
    trace = Trace((Sample(0, "F1", 200), Sample(60, "F1", 200)), "degC", 195, 205, (Counted(0, 60, False),))
    assert drawn(trace)[-2].strip() == "-" * COLUMNS + "   counts" and "= counted, - in part" in key(trace)


def test_an_open_end_and_no_band_at_all_are_drawn_as_they_are() -> None:
    assert "." in row(drawn(Trace((Sample(0, "", 200),), "degC", 195, None)), 200)
    lines = drawn(Trace((Sample(0, "", 200), Sample(5, "", 210)), "degC"))
    assert "." not in "".join(lines) and "band" not in key(Trace((Sample(0, "", 200),), "degC"))


def test_a_trace_fits_its_page_however_hot_or_long_it_was() -> None:
    for last, hottest in ((0.5, 20.1), (30, 300), (5000, 1900)):
        lines = drawn(Trace((Sample(0, "F1", 20), Sample(last, "F1", hottest)), "degC", 15, 25))
        assert len(lines) <= 20 and max(map(len, lines)) <= COLUMNS + 14


def test_nothing_read_draws_nothing() -> None:
    assert drawn(Trace((), "degC", 195, 205)) == []
