"""Events to rows and back: nothing is lost, nothing altered, and what doesn't fit is refused with a sentence."""

from __future__ import annotations

import json
import types
import typing
from dataclasses import fields, is_dataclass
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.job import events as e
from runner.job.events import Event
from runner.job.rows import UnknownEvent, from_row, kind_of, to_body
from tests.job.a_bench import Bench

KINDS = sorted(
    (
        kind
        for kind in vars(e).values()
        if isinstance(kind, type)
        and issubclass(kind, Event)
        and kind not in (Event, e.PassEvent, e.StepEvent)
    ),
    key=lambda kind: kind.__name__,
)
SEEN = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
"""Any text that a file can hold; half characters are none."""


def strategy(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a field, from what the field says it holds."""
    if typing.get_origin(hint) is tuple:
        inner = typing.get_args(hint)
        if inner[-1] is Ellipsis:
            return st.lists(strategy(inner[0]), max_size=3).map(tuple)
        return st.tuples(*(strategy(one) for one in inner))
    if is_dataclass(hint):
        return built(typing.cast(type, hint))
    simple: dict[Any, st.SearchStrategy[Any]] = {
        str: SEEN,
        int: st.integers(-(10**6), 10**6),
        bool: st.booleans(),
        float: st.floats(allow_nan=False, allow_infinity=False),
        Fraction: st.fractions(),
        datetime: st.datetimes(datetime(1970, 1, 1), datetime(2900, 1, 1)).map(
            lambda at: at.replace(tzinfo=UTC)
        ),
    }
    return simple[hint]


def built(kind: type) -> st.SearchStrategy[Any]:
    hints = typing.get_type_hints(kind)
    return st.builds(kind, **{field.name: strategy(hints[field.name]) for field in fields(kind)})


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_event_comes_back_from_its_row_as_it_was(kind: type[Event]) -> None:
    @settings(max_examples=20, deadline=None, derandomize=True, database=None)
    @given(built(kind))
    def holds(event: Event) -> None:
        body = json.loads(json.dumps(to_body(event), allow_nan=False))
        back = from_row(kind_of(event), body)
        assert back == event and type(back) is type(event)
        assert to_body(back) == to_body(event)

    holds()


def test_no_event_holds_a_field_that_may_be_of_two_sorts() -> None:
    for kind in KINDS:
        assert not any(isinstance(hint, types.UnionType) for hint in typing.get_type_hints(kind).values())


def test_kinds_are_written_in_words_with_hyphens_and_no_two_are_the_same() -> None:
    bench = Bench().measure()
    assert {"job-opened", "reading-taken", "pass-done"} <= {kind_of(one) for one in bench.events}
    assert len(KINDS) == 66


def reading() -> tuple[str, dict[str, Any]]:
    event = next(one for one in Bench().measure().events if isinstance(one, e.ReadingTaken))
    return kind_of(event), json.loads(json.dumps(to_body(event)))


def test_an_exact_number_is_written_as_a_fraction() -> None:
    kind, body = reading()
    assert body["si"] == "1/100" and body["typed"] == "10.000"
    assert from_row(kind, body) == next(
        one for one in Bench().measure().events if isinstance(one, e.ReadingTaken)
    )


def test_a_kind_that_nobody_knows_is_refused_by_name() -> None:
    with pytest.raises(
        UnknownEvent, match="an entry of the kind 'reading-guessed', which this program doesn't know"
    ):
        from_row("reading-guessed", {})


@pytest.mark.parametrize("kind", ["event", "pass-event", "step-event", "moment", "input", "", "Event"])
def test_what_is_no_event_by_itself_is_no_kind(kind: str) -> None:
    with pytest.raises(UnknownEvent):
        from_row(kind, {"at": None, "who": "x"})


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("si", 0.01),
        ("si", 1),
        ("si", "0.01"),
        ("si", "1/0"),
        ("si", "1e999999999"),
        ("si", "1e999999999/1"),
        ("si", "١/٢"),
        ("si", None),
        ("si", "1/" + "9" * 5000),
        ("step", "2"),
        ("step", True),
        ("step", 2.0),
        ("last", 1),
        ("typed", 10),
        ("typed", None),
        ("at", "2031-03-03"),
        ("at", {"utc": "yesterday", "boot": 1.0, "boot_id": "x"}),
        ("at", {"utc": "2031-03-03T07:30:00.000000Z", "boot": True, "boot_id": "x"}),
        ("at", {"utc": "2031-03-03T07:30:00.000000Z", "boot": 10**400, "boot_id": "x"}),
        ("at", {"utc": "2031-03-03T07:30:00.000000Z", "boot": 1.0}),
        ("at", []),
        ("at", None),
    ],
)
def test_a_row_that_holds_something_else_is_refused_with_a_sentence(field: str, value: Any) -> None:
    kind, body = reading()
    with pytest.raises(UnknownEvent, match="'reading-taken' that lacks something or holds something else"):
        from_row(kind, {**body, field: value})


def test_a_row_with_a_field_too_many_or_too_few_is_refused() -> None:
    kind, body = reading()
    for wrong in ({**body, "note": "x"}, {name: one for name, one in body.items() if name != "unit"}, {}):
        with pytest.raises(UnknownEvent):
            from_row(kind, wrong)
