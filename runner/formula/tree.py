"""What a formula is made of, once parsed. `offset` and `length` say which characters of the formula a part came from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from runner.quantities.quantity import Quantity

EVERY = "every "
SINCE = " since "
"""Between two names of times: what `later - earlier` is called as one value, so that nobody takes it for two."""


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
    """
    A value by its name; with a dot, `owner.value`: a table's column, one row of a grouped reading, a value of another
    part. With `every` it is one value from each part, and `name` begins with that word, as `every seat.bore` does: so
    that whoever gathers values by their names can't give the one for the other.
    """

    name: str
    offset: int
    length: int
    every: bool = False

    @property
    def path(self) -> tuple[str, str]:
        """What stands before and behind the dot, without `every`: ('seat', 'bore'); nothing before it: ('', 'bore')."""
        before, dot, value = self.name.removeprefix(EVERY).partition(".")
        return (before, value) if dot else ("", before)


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
class Is:
    """Whether a choice, or a level's name, is that option; `at` is where the quoted option stands."""

    name: Name
    option: str
    negated: bool
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


Tree = Number | Name | Call | Negative | Binary | Comparison | Is | Logic | Conditional


def rebuilt(tree: Tree, change: Callable[[Tree], Tree]) -> Tree:
    """The same part of a formula with each part directly inside it changed."""
    match tree:
        case Number() | Name() | Is():
            return tree
        case Negative(value):
            return replace(tree, value=change(value))
        case Binary(left=left, right=right) | Comparison(left=left, right=right):
            return replace(tree, left=change(left), right=change(right))
        case Call(arguments=arguments):
            return replace(tree, arguments=tuple((called, change(one)) for called, one in arguments))
        case Logic(conditions=conditions):
            return replace(tree, conditions=tuple(change(one) for one in conditions))
        case Conditional(value, condition, other):
            return replace(tree, value=change(value), condition=change(condition), other=change(other))


def parts_of(tree: Tree) -> tuple[Tree, ...]:
    """What stands directly inside a part of a formula, in the order it is written."""
    match tree:
        case Number() | Name():
            return ()
        case Is(name):
            return (name,)
        case Negative(value):
            return (value,)
        case Binary(left=left, right=right) | Comparison(left=left, right=right):
            return left, right
        case Call(arguments=arguments):
            return tuple(argument for _, argument in arguments)
        case Logic(conditions=conditions):
            return conditions
        case Conditional(value, condition, other):
            return value, condition, other


def names_in(tree: Tree) -> list[Name]:
    """Every name in the tree, in the order it is written, each place it stands."""
    return [tree] if isinstance(tree, Name) else [name for part in parts_of(tree) for name in names_in(part)]
