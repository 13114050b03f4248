"""The working: a formula with its names replaced by their values, so that a person can follow it with a pencil."""

from __future__ import annotations

from collections.abc import Mapping

from runner.formula.tree import Tree, names_in


def with_values(text: str, tree: Tree, shown: Mapping[str, str]) -> str:
    """
    The formula's text with each name replaced by what `shown` says it is: '42.510 mm - 42.370 mm'. A choice is shown in
    quotes, as options stand in formulas: '"EX" is "EX"'.
    """
    pieces, end = [], 0
    for name in sorted(names_in(tree), key=lambda name: name.offset):
        pieces += [text[end : name.offset], shown[name.name]]
        end = name.offset + name.length
    return "".join([*pieces, text[end:]])
