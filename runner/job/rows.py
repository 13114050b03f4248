"""Events to rows that a journal can keep, and back. Exact numbers stay exact: a fraction is written 'n/d'."""

from __future__ import annotations

import re
import types
import typing
from dataclasses import fields, is_dataclass
from datetime import datetime
from fractions import Fraction
from functools import cache
from typing import Any

from runner.job import events
from runner.job.events import Event
from runner.job.moments import utc_from, utc_text

_FRACTION = re.compile(r"-?\d{1,400}/\d{1,400}", re.ASCII)
"""Bounded, for a file may come from anywhere and '1e999999999' would be worked out."""


class UnknownEvent(ValueError):
    """A row of a kind or shape that this program does not know. The message is a sentence."""


def kind_of(event: Event) -> str:
    """The event's kind as a journal names it: reading-taken."""
    name = type(event).__name__
    return _hyphened(name)


def to_body(event: Event) -> dict[str, Any]:
    """The event as plain JSON values, by field."""
    return {field.name: _plain(getattr(event, field.name)) for field in fields(event)}


def from_row(kind: str, body: typing.Mapping[str, Any]) -> Event:
    """The event of a row. Raises UnknownEvent for a kind or a field that is not known or does not fit."""
    found = _KINDS.get(kind)
    if found is None:
        raise UnknownEvent(f"an entry of the kind '{kind}', which this program doesn't know")
    try:
        event: Event = _read(found, body)
        return event
    except (KeyError, TypeError, ValueError, ArithmeticError) as wrong:
        raise UnknownEvent(f"an entry '{kind}' that lacks something or holds something else") from wrong


def _hyphened(name: str) -> str:
    return "".join(f"-{letter.lower()}" if letter.isupper() else letter for letter in name).strip("-")


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    if isinstance(value, datetime):
        return utc_text(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value


@cache
def _shape(kind: type) -> dict[str, Any]:
    hints = typing.get_type_hints(kind)
    return {field.name: hints[field.name] for field in fields(kind)}


def _read(kind: type, body: Any) -> Any:
    shape = _shape(kind)
    if set(shape) != set(body):
        raise KeyError
    return kind(**{name: _value(hint, body[name]) for name, hint in shape.items()})


def _value(hint: Any, value: Any) -> Any:
    if typing.get_origin(hint) is tuple:
        inner = typing.get_args(hint)
        if not isinstance(value, list):
            raise TypeError
        if len(inner) == 2 and inner[1] is Ellipsis:
            return tuple(_value(inner[0], one) for one in value)
        return tuple(_value(one, part) for one, part in zip(inner, value, strict=True))
    if isinstance(hint, types.UnionType):
        raise TypeError
    if hint is Fraction:
        if not isinstance(value, str) or not _FRACTION.fullmatch(value):
            raise TypeError
        return Fraction(value)
    if hint is datetime:
        return utc_from(value)
    if hint is float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise TypeError
        return float(value)
    if is_dataclass(hint):
        return _read(typing.cast(type, hint), value)
    if type(value) is not hint:
        raise TypeError
    return value


_KINDS: dict[str, type[Event]] = {
    _hyphened(name): kind
    for name, kind in vars(events).items()
    if isinstance(kind, type)
    and issubclass(kind, Event)
    and kind not in (Event, events.PassEvent, events.StepEvent)
}
