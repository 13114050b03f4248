"""A checked formula gives the number that a pencil gives, or a sentence why it has none."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import Argument, OutOfDomain
from runner.formula.check import check
from runner.formula.evaluate import compiled, exact, work, work_condition
from runner.formula.explain import with_values
from runner.formula.parse import parse
from runner.formula.scan import LONGEST
from runner.formula.tree import Binary, FormulaProblem, Name, Negative, Number, Tree
from runner.formula.values import CannotBeWorked, Group, Typed, Value
from runner.quantities import kinds
from tests.formula.trees import arithmetic, written

BORE = Group(((0.04236, 0.04238, 0.04237), (0.04233, 0.04234, 0.04232)))


def _tree(text: str) -> Tree:
    found = parse(text)
    assert not isinstance(found, FormulaProblem), found
    return found


numbers = st.integers(0, 999).map(lambda thousandths: Number(None, f"{thousandths / 100:.2f}", 0, 1))
lettered = st.sampled_from(["a1", "b1"]).map(lambda name: Name(name, 0, 1))


@given(arithmetic(st.one_of(numbers, lettered)), st.floats(-100, 100), st.floats(-100, 100))
def test_arithmetic_gives_what_the_same_text_gives_in_floating_point(
    tree: Tree, a1: float, b1: float
) -> None:
    text = written(tree)
    assume(len(text) <= LONGEST)
    try:
        wanted = eval(text.replace("^", "**"), {"__builtins__": {}}, {"a1": a1, "b1": b1})
    except (ZeroDivisionError, OverflowError):
        wanted = math.nan
    if math.isfinite(wanted):
        assert work(_tree(text), {"a1": a1, "b1": b1}) == wanted
    else:
        with pytest.raises(CannotBeWorked):
            work(_tree(text), {"a1": a1, "b1": b1})


@given(
    arithmetic(st.one_of(numbers, lettered)),
    st.fractions(-9, 9, max_denominator=64),
    st.fractions(-9, 9, max_denominator=64),
)
def test_an_exact_result_is_exact_or_there_is_none(tree: Tree, a1: Fraction, b1: Fraction) -> None:
    def by_hand(part: Tree) -> Fraction:
        match part:
            case Number(_, plain):
                return Fraction(plain)
            case Name(name):
                return a1 if name == "a1" else b1
            case Negative(value):
                return -by_hand(value)
            case Binary(sign, left, right):
                one, two = by_hand(left), by_hand(right)
                return {"+": one + two, "-": one - two, "*": one * two}[sign] if sign != "/" else one / two
        raise AssertionError(part)

    result = exact(tree, {"a1": a1, "b1": b1})
    if result is None:
        assert "^" in written(tree) or "/" in written(tree)
    else:
        assert result == by_hand(tree)


@pytest.mark.parametrize(
    ("text", "si"),
    [
        ("0.0015 in", Fraction("0.0000381")),
        ("20 degC - -18 degC", Fraction(38)),
        ("-18 degC + 5 K", Fraction("260.15")),
        ("-18 degC", Fraction("255.15")),
        ("-68 degF", Fraction("459.67") * Fraction(5, 9) - Fraction(5, 9) * 68),
        ("nominal - 0.010 mm", Fraction("0.04236")),
        ("nominal / 2", Fraction("0.021185")),
        ("nominal^2", None),
        ("nominal / 0", None),
        ("unheard_of + 1 mm", None),
        ("mean(nominal)", None),
        ("nominal if nominal > 1 mm else nominal", None),
    ],
)
def test_a_limit_that_only_adds_and_multiplies_stays_exact(text: str, si: Fraction | None) -> None:
    assert exact(_tree(text), {"nominal": Fraction("0.04237")}) == si


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("mean(bore)", 0.04235),
        ("max(bore) - min(bore)", 0.00006),
        ("spread(bore)", 0.00006),
        ("ovality(bore)", 0.00002),  # upper level 42.36 to 42.38, lower 42.32 to 42.34
        ("taper(bore)", 0.00004),  # 42.37 less 42.33
        ("max(bore, 43 mm)", 0.043),
        ("abs(0.02 mm - 0.05 mm)", 0.00003),
        ("sqrt((3 mm)^2 + (4 mm)^2)", 0.005),
        ("sin(30 deg)", 0.5),
        ("tan(45 deg)", 1.0),
        ("cos(60 deg)", 0.5),
        ("ln(exp(2))", 2.0),
        ("1 mm if 1 mm < 2 mm and not 2 mm < 1 mm else 3 mm", 0.001),
        ("1 mm if 1 mm >= 2 mm or 2 mm <= 1 mm else 3 mm", 0.003),
        ("1 mm if 2 mm > 1 mm else 0 mm / 0", 0.001),  # the way not taken isn't worked
        ("-18 degC", 255.15),
        ("2 percent", 0.02),
        ("2^-2", 0.25),
    ],
)
def test_functions_give_what_they_say(text: str, wanted: float) -> None:
    assert work(_tree(text), {"bore": BORE}) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1 / 0", "divides by nothing"),
        ("0^-1", "divides by nothing"),
        ("sqrt(0 - 1)", "square root"),
        ("ln(0)", "logarithm"),
        ("exp(1000)", "too large"),
        ("exp(700) * exp(700)", "too large"),
        ("exp(700) * exp(700) - exp(700) * exp(700)", "too large"),
        ("interference(0 mm, 1 mm)", "is not a size"),
    ],
)
def test_what_has_no_answer_is_said_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(CannotBeWorked, match=says):
        work(_tree(text), {})


def test_a_condition_gives_yes_or_no() -> None:
    assert compiled(_tree("1 mm < 2 mm"))({}) is True
    assert compiled(_tree("1 mm < 2 mm and 3 mm < 2 mm"))({}) is False


def _some_value(argument: Argument, at: int) -> float:
    """A value inside an argument's own bounds, invented."""
    usual = {kinds.LENGTH: 0.03, kinds.TEMPERATURE: 400.0, kinds.EXPANSION: 1.5e-5, kinds.PRESSURE: 1e8}
    value = usual.get(argument.kind, 0.5) * (1 + 0.1 * at)
    low, high = max(argument.above, -1e30), min(argument.at_most, 1e30)
    return value if low < value <= high else low + (high - low) / 3


def _outcome(work_it: Callable[[], float]) -> float | str:
    try:
        return work_it()
    except (OutOfDomain, CannotBeWorked) as why:
        return str(why)


@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_calculation_can_be_called_from_a_formula_by_its_inputs_names_in_any_order(name: str) -> None:
    signature = CALCULATIONS[name]
    values = [_some_value(argument, at) for at, argument in enumerate(signature.arguments)]
    called = [argument.name for argument in signature.arguments]
    names: dict[str, Value] = {f"x_{one}": value for one, value in zip(called, values, strict=True)}
    types = {f"x_{argument.name}": Typed(argument.kind) for argument in signature.arguments}
    wanted = _outcome(lambda: signature.work(*values))
    for order in (called, called[::-1]):
        tree = _tree(f"{name}({', '.join(f'{one}=x_{one}' for one in order)})")
        assert check(tree, lambda found: types[found.name]) == (Typed(signature.gives), [])
        assert _outcome(lambda tree=tree: work(tree, names)) == wanted  # type: ignore[misc]
    if len(values) <= 3:
        tree = _tree(f"{name}({', '.join(f'x_{one}' for one in called)})")
        assert _outcome(lambda: work(tree, names)) == wanted


def test_the_working_shows_the_values_in_the_place_of_the_names() -> None:
    text = "insert_od - mean(bore) + insert_od * 0"
    shown = {"insert_od": "42.510 mm", "bore": "42.370 mm"}
    assert with_values(text, _tree(text), shown) == "42.510 mm - mean(42.370 mm) + 42.510 mm * 0"


def test_the_working_of_a_formula_without_names_is_the_formula() -> None:
    assert with_values("2 mm + 3 mm", _tree("2 mm + 3 mm"), {}) == "2 mm + 3 mm"


def test_a_number_without_a_unit_is_a_plain_number() -> None:
    assert check(_tree("3"), lambda _: None) == (Typed(kinds.NUMBER), [])


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ('seat is "EX"', True),
        ('seat is not "EX"', False),
        ('not seat is "EX" or state is "worn"', True),
        ('seat is "ex"', False),
        ("2 mm < 1 mm", False),
    ],
)
def test_a_condition_alone_holds_or_does_not(text: str, holds: bool) -> None:
    assert work_condition(_tree(text), {"seat": "EX", "state": "worn"}) is holds


def test_a_choice_decides_which_way_a_formula_goes() -> None:
    tree = _tree('0.12 mm if seat is "EX" else 0.10 mm')
    assert (work(tree, {"seat": "EX"}), work(tree, {"seat": "IN"})) == (0.00012, 0.0001)
    assert exact(tree, {}) is None


def test_the_working_of_a_condition_shows_the_choice() -> None:
    text = 'seat is not "EX" and bore_1 > 42 mm'
    shown = {"seat": '"IN"', "bore_1": "42.37 mm"}
    assert with_values(text, _tree(text), shown) == '"IN" is not "EX" and 42.37 mm > 42 mm'


def test_values_of_every_part_are_worked_as_one_group() -> None:
    text = "spread(every  seat.bore) + seat.bore"
    values: dict[str, Value] = {"every seat.bore": Group(((1.0, 3.0, 2.5),)), "seat.bore": 1.0}
    assert work(_tree(text), values) == 3.0
    assert with_values(text, _tree(text), {"every seat.bore": "(1 3 2.5) mm", "seat.bore": "1 mm"}) == (
        "spread((1 3 2.5) mm) + 1 mm"
    )


@pytest.mark.parametrize(
    ("readings", "same"),
    [
        ((42.37, 42.36, 42.37, 42.37), 3),
        ((42.37, 42.36), 1),
        ((42.37, 42.36, 42.37, 42.36), 2),
        ((42.37,), 1),
    ],
)
def test_readings_that_are_alike_are_counted(readings: tuple[float, ...], same: int) -> None:
    assert work(_tree("alike(bore)"), {"bore": Group((readings,))}) == same


def test_a_value_without_uncertainty_is_its_own_bound() -> None:
    assert work(_tree("low(bore_1) - high(bore_1)"), {"bore_1": 42.0}) == 0


def test_groups_and_values_are_taken_together() -> None:
    names: dict[str, Value] = {"a": Group(((1.0, 2.0), (4.0, 1.0))), "b": Group(((1.0, 9.0),)), "c": 4.0}
    for text, wanted in [
        ("min(a, b)", 1), ("max(a, c)", 4), ("max(c, b)", 9), ("mean(a)", 2), ("mean(a, c, c)", 16 / 6),
        ("spread(b, a)", 8), ("alike(a, b, c)", 3), ("alike(b, b)", 2),
    ]:  # fmt: skip
        assert work(_tree(text), names) == pytest.approx(wanted), text


def test_a_fraction_in_the_working_is_not_taken_for_a_division() -> None:
    text = "a1 * b1 / a1 - a1 + b1"
    shown = {"a1": "1-3/8 in", "b1": "2 mm"}
    assert with_values(text, _tree(text), shown) == "(1-3/8 in) * 2 mm / (1-3/8 in) - 1-3/8 in + 2 mm"
