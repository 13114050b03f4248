"""The working: a formula with its names replaced by their values, so that a person can follow it with a pencil."""

from __future__ import annotations

import re
from collections.abc import Mapping

from runner.formula.tree import Tree, names_in

_FRACTION = re.compile(r"[+-]?(?:\d+-)?\d+/\d")


def with_values(text: str, tree: Tree, shown: Mapping[str, str]) -> str:
    """
    The formula's text with each name replaced by what `shown` says it is: '42.510 mm - 42.370 mm'. A choice is shown in
    quotes, as options stand in formulas: '"EX" is "EX"'. A fraction beside * / ^ has brackets: '(3/8 in) * 2'.
    """
    pieces, end = [], 0
    for name in sorted(names_in(tree), key=lambda name: name.offset):
        before, after = text[end : name.offset], text[name.offset + name.length :]
        joined = before.rstrip().endswith(("*", "/", "^")) or after.lstrip().startswith(("*", "/", "^"))
        value = shown[name.name]
        pieces += [before, f"({value})" if joined and _FRACTION.match(value) else value]
        end = name.offset + name.length
    return "".join([*pieces, text[end:]])
