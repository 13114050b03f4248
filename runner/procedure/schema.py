"""A JSON Schema (draft 2020-12) of a procedure file, for editors that complete keys and tell of wrong ones as they are typed.

It is made from the reader's own tables. It takes whatever the reader takes and refuses wrong keys and forms; what needs
a second look at the file (names, kinds, order) is told by `benchhand check` alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from runner.procedure.grammar import HEAD, LISTS, ItemKeys, items
from runner.procedure.meanings import ITEM_MEANS, Meaning, Shape, meaning_of

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TYPED = ["string", "number", "boolean"]
"""What an editor may take a text for, which the reader keeps as it was typed: `revision: 1`, `points: 3`."""
Schema = dict[str, Any]


def schema() -> Schema:
    """The whole schema as JSON values, always in the same order."""
    known = items()
    lists = {word: _list(words) for word, words in LISTS.items()}
    return {
        "$schema": _DIALECT,
        "title": "A procedure for benchhand",
        "description": ITEM_MEANS[HEAD],
        "$ref": f"#/$defs/{HEAD}",
        "$defs": {**{word: _item(item) for word, item in known.items()}, **lists},
    }


def _list(words: Iterable[str]) -> Schema:
    """A list in which any of these items may stand. An editor takes the one whose first key is there."""
    of: list[Schema] = [{"$ref": f"#/$defs/{word}"} for word in words]
    return {"type": "array", "minItems": 1, "items": {"anyOf": of} if len(of) > 1 else of[0]}


def _item(item: ItemKeys) -> Schema:
    found: Schema = {
        "title": item.word,
        "description": ITEM_MEANS.get(item.word, ""),
        "type": "object",
        "properties": {key: _key(item, key) for key in item.keys},
        "required": [*([item.first] if item.first else []), *item.must],
        "additionalProperties": False,
    }
    if item.ways:
        found["anyOf"] = [{"required": [*must]} for must, _ in item.ways]
    return found


def _key(item: ItemKeys, key: str) -> Schema:
    meaning = meaning_of(item.word, key)
    told = {"title": f"{key} ({meaning.form.name})", "description": _told(item, key, meaning)}
    if key in LISTS and meaning.form.shape in (Shape.ITEMS, Shape.ANY):
        return {**told, "$ref": f"#/$defs/{key}"}
    return {**told, **_form(meaning, empty=item.word == "stage" and key.startswith("after"))}


def _told(item: ItemKeys, key: str, meaning: Meaning) -> str:
    """What a hover shows: what the key is for, how it is written, and whether it must be said."""
    first = f"{ITEM_MEANS.get(item.word, '')} " if key == item.first and item.word != HEAD else ""
    how = f"Written as {meaning.form.says}." if meaning.form.says else ""
    if meaning.form.shape is not Shape.TEXT and meaning.form.shape.value:
        how = f"{meaning.form.says.capitalize()}: {meaning.form.shape.value}."
    must = "Must be said." if key in item.must or key == item.first else ""
    return " ".join(said for said in (first.strip(), meaning.says, how, must) if said)


def _form(meaning: Meaning, *, empty: bool) -> Schema:
    form = meaning.form
    one: Schema = {"type": _TYPED}
    if form.pattern:
        one["pattern"] = form.pattern
    if form.longest:
        one["maxLength"] = form.longest
    if form.one_of:
        one = {"type": "string", "enum": [*form.one_of]}
    several: Schema = {"type": "array", "items": {"type": _TYPED}, **({} if empty else {"minItems": 1})}
    match form.shape:
        case Shape.TEXT:
            return one
        case Shape.WORDS:
            return {"anyOf": [several, one]}
        case Shape.VALUES | Shape.SENTENCES:
            return several
        case Shape.ITEMS:
            return {"type": "array"}
        case Shape.ANY:
            return {}
