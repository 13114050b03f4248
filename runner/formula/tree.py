"""What a formula is made of, once parsed. `offset` and `length` say which characters of the formula a part came from."""

from __future__ import annotations

from dataclasses import dataclass

from runner.quantities.quantity import Quantity


@dataclass(frozen=True, slots=True)
class FormulaProblem:
    """One thing wrong with a formula; the offset counts characters from its start."""

    kind: str
    what: str
    fix: str
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Number:
    quantity: Quantity | None
    """None for a plain number; then `plain` has its text."""
    plain: str
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Name:
    """A value by its name; with a dot, `owner.value`: a table's column, or one row of a grouped reading."""

    name: str
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Call:
    function: str
    arguments: tuple[tuple[str | None, Tree], ...]
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Negative:
    value: Tree
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Binary:
    """`+ - * / ^` between two parts; `at` is where the sign stands."""

    sign: str
    left: Tree
    right: Tree
    at: int
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Comparison:
    sign: str
    left: Tree
    right: Tree
    at: int
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Logic:
    """`not`, or `and`/`or` between conditions; never `and` beside `or` in one condition."""

    word: str
    conditions: tuple[Tree, ...]
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Conditional:
    """`value if condition else other`."""

    value: Tree
    condition: Tree
    other: Tree
    offset: int
    length: int


Tree = Number | Name | Call | Negative | Binary | Comparison | Logic | Conditional


def names_in(tree: Tree) -> list[Name]:
    """Every name in the tree, in the order it is written, each place it stands."""
    match tree:
        case Name():
            return [tree]
        case Number():
            return []
        case Negative(value):
            return names_in(value)
        case Binary(left=left, right=right) | Comparison(left=left, right=right):
            return names_in(left) + names_in(right)
        case Call(arguments=arguments):
            return [name for _, argument in arguments for name in names_in(argument)]
        case Logic(conditions=conditions):
            return [name for condition in conditions for name in names_in(condition)]
        case Conditional(value, condition, other):
            return names_in(value) + names_in(condition) + names_in(other)
