"""Uncertainty through formulas: shared sources, exact derivatives, draws at corners."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from runner.formula.parse import parse
from runner.formula.tree import FormulaProblem, Tree
from runner.formula.uncertain import (
    DERIVATIVES,
    DRAWS,
    Measured,
    Uncertain,
    UncertainGroup,
    has_corner,
    propagate,
    work_measured,
)
from runner.formula.values import CannotBeWorked


def _tree(text: str) -> Tree:
    tree = parse(text)
    assert not isinstance(tree, FormulaProblem), tree
    return tree


def _u(text: str, **inputs: Measured) -> float:
    return propagate(_tree(text), inputs).standard


def test_the_difference_of_two_readings_with_one_gauge_does_not_carry_its_error() -> None:
    one = Uncertain(0.0425, {"micrometer": 2e-6, "last digit 1": 3e-7})
    two = Uncertain(0.0423, {"micrometer": 2e-6, "last digit 2": 4e-7})
    assert _u("one - two", one=one, two=two) == pytest.approx(5e-7)
    assert _u("one + two", one=one, two=two) == pytest.approx(math.hypot(4e-6, 5e-7))


def test_two_gauges_add_their_errors_in_squares() -> None:
    od, bore = Uncertain(0.0425, {"micrometer": 3e-6}), Uncertain(0.0423, {"bore gauge": 4e-6})
    assert _u("od - bore", od=od, bore=bore) == pytest.approx(5e-6)


def test_a_value_and_itself_have_no_difference_to_doubt() -> None:
    x = Uncertain(3.0, {"x": 0.1})
    result = propagate(_tree("x - x"), {"x": x})
    assert result.value == 0.0 and result.standard == 0.0


def test_what_is_given_without_doubt_brings_none() -> None:
    result = propagate(_tree("x * 2"), {"x": Uncertain(3.0)})
    assert (result.value, result.expanded, result.method) == (6.0, 0.0, "")


_SMOOTH = [
    "a + b - c",
    "a * b / c",
    "a^3 * b^-2",
    "sqrt(a) * exp(b / 10) + ln(c)",
    "sin(a) * cos(b) + tan(c / 9)",
    "mean(a, b, c) * a",
    "-a * (b - -c)",
    "a / (b * c) + mean(a * b, c)",
]


@pytest.mark.parametrize("text", _SMOOTH)
@given(a=st.floats(0.5, 3.0), b=st.floats(0.5, 3.0), c=st.floats(0.5, 3.0))
def test_derivatives_agree_with_small_steps(text: str, a: float, b: float, c: float) -> None:
    tree = _tree(text)
    values = {"a": a, "b": b, "c": c}
    result = propagate(tree, {name: Uncertain(value, {name: 1e-3}) for name, value in values.items()})
    assert result.method == DERIVATIVES
    for name in values:
        step = 1e-6

        def at(by: float, name: str = name) -> float:
            moved = {key: Uncertain(value + (by if key == name else 0.0)) for key, value in values.items()}
            return propagate(tree, moved).value

        slope = (at(step) - at(-step)) / (2 * step)
        assert result.parts.get(name, 0.0) == pytest.approx(1e-3 * slope, rel=1e-5, abs=1e-9)


def test_a_calculation_s_slopes_are_taken_to_many_digits() -> None:
    # d/d(od) of od * (1 + a * (T - 20 degC)), by hand
    result = propagate(
        _tree("expanded(od, a, t)"),
        {
            "od": Uncertain(0.05, {"od": 1e-6}),
            "a": Uncertain(22e-6, {"a": 1e-6}),
            "t": Uncertain(473.15, {"t": 2.0}),
        },
    )
    wanted = {"od": 1e-6 * (1 + 22e-6 * 180), "a": 1e-6 * 0.05 * 180, "t": 2.0 * 0.05 * 22e-6}
    for source, part in wanted.items():
        assert result.parts[source] == pytest.approx(part, rel=1e-8)


def test_units_never_change_an_uncertainty() -> None:
    x, y = Uncertain(0.042, {"x": 1e-6}), Uncertain(0.041, {"y": 2e-6})
    assert _u("(x - y) * 25.4 / 25.4", x=x, y=y) == pytest.approx(_u("x - y", x=x, y=y), rel=1e-12)


def test_the_spread_of_readings_with_one_gauge_is_doubted_by_their_last_digits_alone() -> None:
    readings = [Uncertain(0.0425 + at * 2e-6, {"gauge": 3e-6, f"digit {at}": 2.9e-7}) for at in range(3)]
    result = propagate(_tree("spread(od)"), {"od": UncertainGroup((tuple(readings),))})
    assert result.method == DRAWS and result.value == pytest.approx(4e-6)
    # Largest less smallest of readings well apart: two last digits, in squares.
    assert result.standard == pytest.approx(2.9e-7 * math.sqrt(2), rel=0.1)
    assert "gauge" not in result.parts


def test_draws_agree_with_derivatives_where_the_corner_is_far_away() -> None:
    inputs: dict[str, Measured] = {"a": Uncertain(2.9, {"a": 0.1}), "b": Uncertain(2.0, {"b": 0.2})}
    smooth = propagate(_tree("a - b"), inputs)
    drawn = propagate(_tree("abs(a - b)"), inputs, trials=20_000)
    assert drawn.method == DRAWS
    assert drawn.standard == pytest.approx(smooth.standard, rel=0.03)
    assert drawn.expanded == pytest.approx(1.96 * smooth.standard, rel=0.05)
    for source in ("a", "b"):
        assert drawn.parts[source] == pytest.approx(smooth.parts[source], rel=0.1)


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("abs(a - b)", "b - a"),
        ("a if a < b else c", "a"),
        ("(a if a > b else c) * 2", "c * 2"),
        ("-abs(b - a) + c", "c - b + a"),
    ],
)
def test_a_corner_far_away_is_no_corner(text: str, same: str) -> None:
    inputs: dict[str, Measured] = {
        "a": Uncertain(2.0, {"a": 0.1}),
        "b": Uncertain(5.0, {"b": 0.2}),
        "c": Uncertain(7.0, {"c": 0.3, "a": 0.05}),
    }
    ours, theirs = propagate(_tree(text), inputs), propagate(_tree(same), inputs)
    assert ours.method == DERIVATIVES and ours.value == pytest.approx(theirs.value)
    assert ours.parts == pytest.approx(dict(theirs.parts))


def test_the_same_inputs_draw_the_same_answer() -> None:
    inputs: dict[str, Measured] = {"a": Uncertain(5.0, {"a": 0.1}), "b": Uncertain(5.05, {"b": 0.2})}
    assert propagate(_tree("max(a, b)"), inputs) == propagate(_tree("max(a, b)"), inputs)


def test_the_larger_of_two_equal_values_is_doubted_as_theory_says() -> None:
    # The maximum of two independent standard normal values has variance 1 - 1/pi (order statistics, any handbook).
    inputs: dict[str, Measured] = {"a": Uncertain(0.0, {"a": 1.0}), "b": Uncertain(0.0, {"b": 1.0})}
    result = propagate(_tree("max(a, b)"), inputs, trials=40_000)
    assert result.standard == pytest.approx(math.sqrt(1 - 1 / math.pi), rel=0.03)


def test_what_is_left_of_a_corner_has_a_source_of_its_own() -> None:
    inputs: dict[str, Measured] = {"a": Uncertain(0.0, {"a": 1.0})}
    result = propagate(_tree("abs(a)"), inputs, "size", trials=20_000)
    # |x| of a normal x is not correlated with x: all of it is the rest. Variance 1 - 2/pi (half-normal distribution).
    assert set(result.parts) == {"the rest of size"}
    assert result.standard == pytest.approx(math.sqrt(1 - 2 / math.pi), rel=0.03)


@given(st.sampled_from(_SMOOTH))
def test_smooth_formulas_have_no_corner(text: str) -> None:
    assert not has_corner(_tree(text))
    assert has_corner(_tree(f"max({text}, a)")) and has_corner(_tree(f"a if a < b else {text}"))


def test_a_value_whose_doubt_reaches_where_there_is_no_answer_says_so() -> None:
    with pytest.raises(CannotBeWorked, match="within its uncertainty"):
        propagate(_tree("abs(ln(a))"), {"a": Uncertain(0.1, {"a": 0.5})})


def test_an_input_near_the_edge_of_a_calculation_is_still_worked() -> None:
    result = propagate(
        _tree("interference(od, bore)"), {"od": Uncertain(1e-9, {"od": 1e-6}), "bore": Uncertain(0.01)}
    )
    assert result.parts["od"] == pytest.approx(1e-6, rel=1e-6)


@given(st.lists(st.floats(0.9, 1.1), min_size=2, max_size=5))
def test_a_mean_of_more_readings_is_never_doubted_more(values: list[float]) -> None:
    assume(len(set(values)) > 1)
    group = UncertainGroup(
        (tuple(Uncertain(value, {f"digit {at}": 0.01}) for at, value in enumerate(values)),)
    )
    assert _u("mean(bore)", bore=group) == pytest.approx(0.01 / math.sqrt(len(values)))


OD, BORE = Uncertain(42.51, {"od": 0.003}), Uncertain(42.37, {"bore": 0.004})


def test_low_and_high_lie_u_to_either_side() -> None:
    # U is twice 0.003, by hand
    assert propagate(_tree("low(od)"), {"od": OD}).value == pytest.approx(42.504)
    assert propagate(_tree("high(od)"), {"od": OD}).value == pytest.approx(42.516)
    # 3 and 4 in squares make 5: U 0.010, by hand
    result = propagate(_tree("low(od - bore)"), {"od": OD, "bore": BORE})
    assert (result.value, result.parts, result.method) == (pytest.approx(0.13), {}, "")
    assert work_measured(_tree("low(od - bore) * 2"), {"od": OD, "bore": BORE}) == pytest.approx(0.26)


def test_what_was_taken_to_the_safe_side_is_doubted_no_more() -> None:
    result = propagate(_tree("low(od) - bore"), {"od": OD, "bore": BORE})
    assert result.value == pytest.approx(0.134) and result.parts == {"bore": pytest.approx(-0.004)}


def test_low_of_low_goes_no_lower() -> None:
    assert propagate(_tree("low(low(od))"), {"od": OD}).value == propagate(_tree("low(od)"), {"od": OD}).value


def test_low_is_taken_of_a_formula_with_a_corner_too() -> None:
    inputs: dict[str, Measured] = {"a": Uncertain(0.0, {"a": 1.0}), "b": Uncertain(0.0, {"b": 1.0})}
    whole = propagate(_tree("max(a, b)"), inputs)
    assert propagate(_tree("low(max(a, b))"), inputs).value == pytest.approx(whole.value - whole.expanded)


def test_low_where_the_formula_does_not_go_is_not_worked() -> None:
    none: dict[str, Measured] = {"a": Uncertain(0.0), "od": OD}
    assert propagate(_tree("low(1 / a) if a > 0 else low(od)"), none).value == pytest.approx(42.504)
    with pytest.raises(CannotBeWorked, match="divides by nothing"):
        propagate(_tree("low(1 / a)"), none)


def test_low_is_never_the_value_itself_because_its_uncertainty_has_no_answer() -> None:
    edge: dict[str, Measured] = {"a": Uncertain(0.0, {"a": 1.0})}
    with pytest.raises(CannotBeWorked, match="uncertainty has no answer"):
        work_measured(_tree("low(sqrt(a))"), edge)
    with pytest.raises(CannotBeWorked, match="uncertainty has no answer"):
        propagate(_tree("low(sqrt(a)) > 0"), edge)


def test_alike_counts_what_was_read_whatever_the_readings_may_be_out_by() -> None:
    group = UncertainGroup((tuple(Uncertain(value, {f"digit {value}": 0.1}) for value in (1.0, 2.0, 1.0)),))
    result = propagate(_tree("alike(bore)"), {"bore": group})
    assert (result.value, result.parts) == (2.0, {})


def test_a_condition_carries_no_uncertainty() -> None:
    for text, value in [("od > bore", 1.0), ('seat is "EX"', 1.0), ('not seat is "EX" or od < bore', 0.0)]:
        result = propagate(_tree(text), {"od": OD, "bore": BORE, "seat": "EX"})
        assert (result.value, result.parts, result.expanded, result.method) == (value, {}, 0.0, "")


@pytest.mark.parametrize(
    ("condition", "way"),
    [
        ('seat is "EX"', "od"),
        ('seat is not "EX"', "bore"),
        ('seat is "EX" and od > bore', "od"),
        ('seat is "IN" or od < bore', "bore"),
        ('not seat is "IN"', "od"),
        ("rank >= 3", "od"),
    ],
)
def test_a_choice_is_no_corner(condition: str, way: str) -> None:
    inputs: dict[str, Measured | str] = {"od": OD, "bore": BORE, "seat": "EX", "rank": Uncertain(3.0)}
    result = propagate(_tree(f"od if {condition} else bore"), inputs)
    assert result.method == DERIVATIVES and set(result.parts) == {way}


def test_a_choice_stays_the_same_in_every_draw() -> None:
    result = propagate(_tree('max(a, b) if seat is "EX" else a'), {"a": OD, "b": BORE, "seat": "IN"})
    assert result.method == DERIVATIVES
    drawn = propagate(_tree('a if a > b or seat is "IN" else b'), {"a": OD, "b": OD, "seat": "EX"})
    assert drawn.value == OD.value


def test_a_slope_that_is_not_there_is_told_in_a_sentence() -> None:
    with pytest.raises(CannotBeWorked, match="uncertainty has no answer"):
        propagate(_tree("sqrt(a)"), {"a": Uncertain(0.0, {"a": 1.0})})
    with pytest.raises(CannotBeWorked, match="too large"):
        propagate(_tree("a * b"), {"a": Uncertain(1.0, {"a": 1e300}), "b": Uncertain(1e300)})


def test_few_degrees_of_freedom_widen_the_uncertainty() -> None:
    # Student's t for 95 %, both sides: 2.26 with 9 degrees, 2.05 with 29 (JCGM 100:2008, table G.2)
    one: dict[str, Measured] = {"a": Uncertain(5.0, {"a": 0.1})}
    few = propagate(_tree("a"), one, degrees={"a": 9})
    assert (few.degrees, round(few.coverage, 2), round(few.expanded, 3)) == (pytest.approx(9), 2.26, 0.226)
    assert "Student's t for 95 % with 9 degrees of freedom" in few.method
    assert round(propagate(_tree("a"), one, degrees={"a": 29}).coverage, 2) == 2.05
    many = propagate(_tree("a"), one, degrees={"a": 30})
    assert (many.coverage, many.expanded, many.method) == (2.0, 0.2, DERIVATIVES)


def test_few_degrees_widen_what_was_drawn_by_as_much() -> None:
    inputs: dict[str, Measured] = {"a": Uncertain(5.0, {"a": 0.1}), "b": Uncertain(5.0, {"b": 0.0001})}
    few = propagate(_tree("max(a, 0) + b"), inputs, trials=20_000, degrees={"a": 9})
    assert few.method.startswith(DRAWS) and few.expanded == pytest.approx(0.226, rel=0.05)
