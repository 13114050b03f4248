"""Between what a formula must come out: never narrower than what it can give, and nothing where that can't be told."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.formula.bounds import Bounds, bounds, truth
from runner.formula.evaluate import work
from runner.formula.parse import parse
from runner.formula.tree import Call, Comparison, Conditional, FormulaProblem, Name, Tree
from runner.formula.values import CannotBeWorked
from tests.formula.trees import NAMES, arithmetic, names, plain

BANDS = {"x": Bounds(1.0, 2.0), "y": Bounds(-1.0, 3.0), "t": Bounds(293.15, 303.15)}


def _tree(text: str) -> Tree:
    tree = parse(text)
    assert not isinstance(tree, FormulaProblem)
    return tree


def _known(name: Name) -> Bounds | None:
    return BANDS.get(name.name)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("x + y", 0, 5),
        ("x - y", -2, 3),
        ("x * y", -2, 6),
        ("y / x", -1, 3),
        ("-x", -2, -1),
        ("y ^ 2", 0, 9),
        ("x ^ -1", 0.5, 1),
        ("abs(y)", 0, 3),
        ("sqrt(x)", 1, math.sqrt(2)),
        ("max(x, y)", 1, 3),
        ("min(x, y)", -1, 2),
        ("mean(x, y)", -1, 3),
        ("spread(x, y)", 0, 4),
        ("5 if x > 0 else 7", 5, 5),
        ("5 if y > 0 else 7", 5, 7),
        ("interference(x, x)", -1, 1),
        ("low(x)", -math.inf, 2),
    ],
)
def test_a_formula_comes_out_between_what_its_names_allow(text: str, low: float, high: float) -> None:
    # by hand, from x between 1 and 2 and y between -1 and 3
    found = bounds(_tree(text), _known)
    assert found == Bounds(pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    "text", ["x / y", "unknown + x", "tan(x)", "contact_pressure(x)", "y ^ -2", "ln(-x)"]
)
def test_nothing_is_told_where_it_cannot_be(text: str) -> None:
    assert bounds(_tree(text), _known) is None


@pytest.mark.parametrize(
    ("text", "so"),
    [
        ("x > 0", True),
        ("x > 2", None),  # as large as it can be is too near to tell
        ("x > 2.1", False),
        ("not x > 2.1", True),
        ("x > 0 and y > 5", False),
        ("x > 0 and y > 0", None),
        ("x > 5 or y < 4", True),
        ("x < unknown", None),
    ],
)
def test_a_condition_is_told_only_where_it_is_sure(text: str, so: bool | None) -> None:
    assert truth(_tree(text), _known) is so


def _called(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    one = st.builds(
        lambda name, a: Call(name, ((None, a),), 0, 1),
        st.sampled_from(["abs", "sqrt", "exp", "ln", "sin", "cos"]),
        inner,
    )
    two = st.builds(
        lambda name, a, b: Call(name, ((None, a), (None, b)), 0, 1),
        st.sampled_from(["min", "max", "mean", "spread"]),
        inner,
        inner,
    )
    either = st.builds(
        lambda a, b, c, d: Conditional(a, Comparison("<", b, c, 0, 0, 1), d, 0, 1), inner, inner, inner, inner
    )
    return st.one_of(arithmetic(inner), one, two, either)


@given(
    tree=_called(_called(st.one_of(plain, names))),
    ends=st.lists(
        st.tuples(st.floats(-9, 9), st.floats(-9, 9)).map(sorted), min_size=len(NAMES), max_size=len(NAMES)
    ),
    shares=st.lists(st.floats(0, 1), min_size=len(NAMES), max_size=len(NAMES)),
)
def test_no_value_inside_the_bands_comes_out_beyond_the_bounds(
    tree: Tree, ends: list[list[float]], shares: list[float]
) -> None:
    bands = {name: Bounds(low, high) for name, (low, high) in zip(NAMES, ends, strict=True)}
    values = {
        name: min(high, low + share * (high - low))
        for name, (low, high), share in zip(NAMES, ends, shares, strict=True)
    }
    found = bounds(tree, lambda name: bands[name.name])
    try:
        value = work(tree, values)
    except CannotBeWorked:
        return
    if found:
        room = 1e-9 * max(1.0, abs(value))
        assert found.low - room <= value <= found.high + room
