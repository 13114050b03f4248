"""The language as plain text, from the reader's own tables: every item with its keys on one page, or one item key by key."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from runner.procedure.grammar import HEAD, LISTS, ItemKeys, items
from runner.procedure.meanings import ITEM_MEANS, Form, Shape, meaning_of
from runner.procedure.steps import ANY_STEP, KEYS

WIDTH = 80
_COLUMN = 20
"""Where what is said of an item or a key begins."""
_OPENING = (
    "What stands before the bar must be said, what stands behind it may be. In a list the first key of an item says what "
    "the item is; the others come in any order. `benchhand schema --reference ITEM` tells what each of its keys is for."
)


def reference() -> str:
    """Every item with a line of what it is and its keys, in the order of a file; then how values are written."""
    known = items()
    lines = [*_wrapped(_OPENING, "")]
    lines += ["", "THE HEAD, once, at the top", *_beside(HEAD, _keys_of(known[HEAD]))]
    for name, words in LISTS.items():
        lines += ["", _heading(name)]
        for at, word in enumerate(words):
            lines += _beside(word, ITEM_MEANS.get(word, ""))
            follows = known[words[at + 1]] if at + 1 < len(words) else None
            if follows is None or (follows.must, follows.may) != (known[word].must, known[word].may):
                lines += _beside("", _keys_of(known[word]))
    lines += ["", "HOW A VALUE IS WRITTEN"]
    for form in _forms(known.values()):
        lines += _beside(form.name, _how(form))
    return _page(lines)


def reference_of(word: str) -> str:
    """One item with each of its keys: whether it must be said, what it is for and how it is written. KeyError for no item."""
    item = items()[word]
    lines = [*_wrapped(f"{word}: {ITEM_MEANS.get(word, '')}", ""), ""]
    for key in item.keys:
        meaning = meaning_of(word, key)
        must = "must be said; " if key in item.must or key == item.first else ""
        how = f" ({must}{_how(meaning.form)})" if must or meaning.form.says else ""
        lines += _beside(key, meaning.says + how)
    for at, (must_in_it, _) in enumerate(item.ways):
        lines += _wrapped(f"{'or' if at else 'either'} {' and '.join(must_in_it)} must be said", "")
    return _page(lines)


def _heading(name: str) -> str:
    if name == "steps":
        return f"STEPS, in a stage or a rework; any may have {', '.join(ANY_STEP)}"
    return f"{name.upper()}, {'of a table' if name == 'rows' else 'a list of the head'}"


def _keys_of(item: ItemKeys) -> str:
    """'ask, unit | points, with': what must be said, and what may be."""
    if item.ways:
        return " or ".join(f"{', '.join(must)} | {', '.join(may)}" for must, may in item.ways)
    may = [key for key in item.may if not (item.word in KEYS and key in ANY_STEP)]
    return f"{', '.join(item.must)} | {', '.join(may)}".strip()


def _forms(of: Iterable[ItemKeys]) -> list[Form]:
    """Every form that some key takes, once by its name."""
    forms: dict[str, Form] = {}
    for item in of:
        for key in item.keys:
            form = meaning_of(item.word, key).form
            if form.says and not form.one_of and form.shape is not Shape.ITEMS:
                forms.setdefault(form.name, form)
    return list(forms.values())


def _how(form: Form) -> str:
    return f"{form.says}; {form.shape.value}" if form.shape is not Shape.TEXT else form.says


def _beside(word: str, says: str) -> list[str]:
    lines = _wrapped(says, " " * _COLUMN) or [""]
    return [f"  {word:<{_COLUMN - 2}}{lines[0].strip()}", *lines[1:]]


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _page(lines: Iterable[str]) -> str:
    return "\n".join(line.rstrip() for line in lines) + "\n"
