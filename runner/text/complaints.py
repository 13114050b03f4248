"""What a YAML reader complains of, in our words. Readers word it differently, so the line itself is looked at too."""

from __future__ import annotations

import re
from collections.abc import Sequence

from runner.text.problem import Place, Problem

QUOTE_IT = "put the whole text in double quotes"
_SECOND_COLON = re.compile(r"^(\s*(?:- )*[^:#'\"\[]+: +)([^'\"\[{#|>].*?)(: | ?:$)")

_KEYLESS = re.compile(r"^(?:(?P<dash> *- +)| *)(?P<text>[A-Za-z](?:[^:#'\"{}]|:(?=\S))*)$")
"""A line that is neither a key with its text nor the beginning of a list."""


def complaint(said: str, place: Place, began: Place, lines: Sequence[str]) -> Problem:
    """The problem behind a complaint: `said` is its text, `place` where it was met, `began` where that thing began."""
    place, began = inside(place, lines), inside(began, lines)
    line = lines[place.line - 1] if lines else ""
    sign = line[place.column - 1 : place.column]
    said = said.lower()
    if "escape" in said:
        return escape(place, line)
    if "mapping values" in said and (colon := _SECOND_COLON.match(line)):
        at = Place(place.file, place.line, len(colon[1]) + len(colon[2]) + 1)
        what = f"a second colon in one line; YAML takes '{colon[2]}' for a key"
        return Problem("second-colon", at, what, f"leave the colon out, or {QUOTE_IT}")
    if "quoted scalar" in said or "end of stream" in said:
        return Problem("open-quote", began, "a quote that never ends", "close it, or leave both quotes out")
    if "sequence entries" in said:
        return Problem(
            "odd-start", place, "a dash in the middle of a line", f"begin a new line, or {QUOTE_IT}"
        )
    if "cannot start any token" in said or ("block node" in said and sign in (",", "]", "}")):
        return Problem("odd-start", place, f"a text can't begin with '{sign or '?'}'", QUOTE_IT)
    if "flow" in said:
        return _bracket(place, began, line, lines)
    if "tag" in said:
        return Problem("tag", place, "a tag", "leave '!' out, or put the text in quotes")
    if "anchor" in said or "alias" in said:
        return Problem("anchor", began, "'&' and '*' are signs of their own in YAML", QUOTE_IT)
    if "block scalar" in said:
        return block_text(began)
    return _colon_missing(place, lines) or _misplaced(place, line)


def escape(place: Place, line: str) -> Problem:
    """A backslash in double quotes that makes a sign of its own; the place may be a little behind it."""
    at = line.rfind("\\", 0, place.column)
    what = f"'{line[at : at + 2]}' in double quotes is a sign of its own, not the text you see"
    return Problem(
        "escape",
        Place(place.file, place.line, at + 1, 2) if at >= 0 else place,
        what if at >= 0 else "a character here does not show",
        "leave the backslash out, or use single quotes",
    )


def block_text(place: Place) -> Problem:
    return Problem(
        "block-text",
        place,
        "a text over several lines",
        "write it on one line, or as a list with a dash before each line",
    )


def inside(place: Place, lines: Sequence[str]) -> Place:
    """The nearest place that the file has: a reader may complain one line behind the last, or behind a line's end."""
    line = min(place.line, max(1, len(lines)))
    while line > 1 and line < place.line and not lines[line - 1].strip():
        line -= 1
    text = lines[line - 1].rstrip() if lines else ""
    end = len(text) if line < place.line else place.column
    column = max(1, min(end, len(text)))
    return Place(place.file, line, column, max(1, min(place.length, len(text) - column + 1)))


def _bracket(place: Place, began: Place, line: str, lines: Sequence[str]) -> Problem:
    start = lines[began.line - 1][began.column - 1 : began.column] if lines else ""
    if start not in ("[", "{"):
        began = place
    what, fix = "a bracket that is not closed", "close it, and put a comma between the words inside"
    return Problem("open-bracket", began, what, fix)


def _colon_missing(place: Place, lines: Sequence[str]) -> Problem | None:
    """The line above, where it has no colon of its own: what stands below it is complained of, and is right."""
    above = [
        at for at in range(place.line - 1) if lines[at].strip() and not lines[at].lstrip().startswith("#")
    ]
    found = _KEYLESS.match(lines[above[-1]]) if above else None
    if found is None or (found["dash"] and len(found["dash"]) != _indent(lines[place.line - 1])):
        return None
    text = found["text"].rstrip()
    at = Place(place.file, above[-1] + 1, found.start("text") + 1, len(text))
    colon = re.match(r"([^:\s][^:]*):(\S.*)", text)
    if colon:
        fix = f"write {colon[1]}: {colon[2]}"
        return Problem("colon-missing", at, "a colon without a blank behind it", fix)
    what = "a colon is missing here, between a key and its text"
    return Problem("colon-missing", at, what, "write the key, a colon, a blank, then the text")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def _misplaced(place: Place, line: str) -> Problem:
    before, sign = line[: place.column - 1].rstrip(), line[place.column - 1 : place.column]
    if sign in ("]", "}"):
        what = "a closing bracket without its opening one"
        return Problem("open-bracket", place, what, f"take it out, or {QUOTE_IT}")
    if before.endswith(("'", '"')) and sign not in ("", "-"):
        return Problem("after-quote", place, "text behind a closing quote", QUOTE_IT)
    what = "this line does not fit the one above it: its first letter stands in the wrong column, or a dash or a colon is missing"
    return Problem("indent", place, what, "line it up with the lines around it")
