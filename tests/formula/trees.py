"""Formula trees for tests: made at random, written out as a person would write them, and compared without places."""

from __future__ import annotations

from hypothesis import strategies as st

from runner.formula.tree import (
    Binary,
    Call,
    Comparison,
    Conditional,
    Is,
    Logic,
    Name,
    Negative,
    Number,
    Tree,
    parts_of,
)
from runner.quantities.quantity import Quantity, parse_quantity

NAMES = ("bore", "insert_od", "catalogue.od", "bore_20", "f1", "seat_E", "ifs", "order")


def _quantity(text: str) -> Tree:
    quantity = parse_quantity(text)
    assert isinstance(quantity, Quantity)
    return Number(quantity, text, 0, 1)


plain = st.sampled_from(["0", "2", "0.5", "10", "3.", ".25"]).map(lambda text: Number(None, text, 0, 1))
quantities = st.sampled_from(
    ["2 mm", "0.030 mm", "20 degC", "11.5 um/m/K", "3 N*m", "1 in", "3/8 in", "1-3/8 in"]
).map(_quantity)
names = st.sampled_from(NAMES).map(lambda name: Name(name, 0, 1))
every = st.sampled_from(("every seat.bore", "every E1.od")).map(lambda name: Name(name, 0, 1, every=True))
options = st.sampled_from(["EX", "not cleaned", "a > b", "'", "1-3/8 in"])
asked = st.builds(
    lambda name, option, negated: Is(name, option, negated, 0, 0, 1), names, options, st.booleans()
)
exponents = st.integers(-6, 6).map(
    lambda power: (
        Negative(Number(None, str(-power), 0, 1), 0, 1) if power < 0 else Number(None, str(power), 0, 1)
    )
)


def _joined(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    return st.one_of(
        st.builds(lambda sign, a, b: Binary(sign, a, b, 0, 0, 1), st.sampled_from("+-*/"), inner, inner),
        st.builds(lambda a, power: Binary("^", a, power, 0, 0, 1), inner, exponents),
        st.builds(lambda a: Negative(a, 0, 1), inner),
    )


def arithmetic(leaves: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    """Trees of `+ - * / ^` and minus signs."""
    return st.recursive(leaves, _joined, max_leaves=8)


def _more(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    called = st.sampled_from([None, "reading", "bore"])
    arguments = st.lists(st.tuples(called, inner), max_size=3).map(tuple)
    several = st.lists(inner, min_size=2, max_size=3).map(tuple)
    return st.one_of(
        _joined(inner),
        st.builds(
            lambda name, given: Call(name, given, 0, 1), st.sampled_from(["mean", "at_20C"]), arguments
        ),
        st.builds(
            lambda sign, a, b: Comparison(sign, a, b, 0, 0, 1),
            st.sampled_from(["<", "<=", ">", ">="]),
            inner,
            inner,
        ),
        st.builds(lambda word, some: Logic(word, some, 0, 1), st.sampled_from(["and", "or"]), several),
        st.builds(lambda a: Logic("not", (a,), 0, 1), inner),
        st.builds(lambda a, b, c: Conditional(a, b, c, 0, 1), inner, inner, inner),
    )


trees = st.recursive(st.one_of(plain, quantities, names, every, asked), _more, max_leaves=8)
"""Any formula, whether or not its kinds go together."""


def written(tree: Tree, wanted: int = -3) -> str:
    """The formula as text, with brackets only where the tree would be another one without them."""
    level, text = _written(tree)
    return text if level >= wanted else f"({text})"


def _written(tree: Tree) -> tuple[int, str]:
    match tree:
        case Number(quantity, plain):
            return 4, quantity.typed if quantity else plain
        case Name(name):
            return 4, name
        case Call(function, arguments):
            inside = [(f"{called}=" if called else "") + written(value, 0) for called, value in arguments]
            return 4, f"{function}({', '.join(inside)})"
        case Binary("^", left, right):
            return 3, f"{written(left, 4)}^{written(right)}"
        case Negative(value):
            return 3, f"-{written(value, 3)}"
        case Binary(sign, left, (Number(Quantity()) | Binary("^", Number(Quantity()))) as right) if (
            sign in "*/"
        ):
            # 3 / 8 in may be a fraction to the next reader, and is refused
            return 2, f"{written(left, 2)} {sign} ({written(right)})"
        case Binary(sign, left, right) if sign in "*/":
            return 2, f"{written(left, 2)} {sign} {written(right, 3)}"
        case Binary(sign, left, right):
            return 1, f"{written(left, 1)} {sign} {written(right, 2)}"
        case Conditional(value, condition, other):
            return 0, f"{written(value, 1)} if {written(condition)} else {written(other, 0)}"
        case Is(name, option, negated):
            return -1, f'{name.name} is {"not " if negated else ""}"{option}"'
        case Comparison(sign, left, right):
            return -1, f"{written(left, 1)} {sign} {written(right, 1)}"
        case Logic("not", (condition,)):
            return -2, f"not {written(condition, -2)}"
        case Logic(word, conditions):
            return -3, f" {word} ".join(written(condition, -2) for condition in conditions)


def shape(tree: Tree) -> object:
    """The tree without its places, to compare two."""
    match tree:
        case Number(quantity, plain):
            return (quantity.si, quantity.unit.symbol) if quantity else plain
        case Name(name):
            return name
        case Call(function, arguments):
            return function, tuple((called, shape(value)) for called, value in arguments)
        case Negative(value):
            return "minus", shape(value)
        case Binary(sign, left, right) | Comparison(sign, left, right):
            return sign, shape(left), shape(right)
        case Is(name, option, negated):
            return "is", name.name, option, negated
        case Logic(word, conditions):
            return word, *(shape(condition) for condition in conditions)
        case Conditional(value, condition, other):
            return "if", shape(value), shape(condition), shape(other)


def inside(tree: Tree) -> list[Tree]:
    """The tree and every part of it."""
    return [tree, *(one for part in parts_of(tree) for one in inside(part))]
