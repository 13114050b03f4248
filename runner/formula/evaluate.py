"""A checked formula, worked: trees become closures over floats in SI. What has no answer is said in a sentence."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from fractions import Fraction

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import OutOfDomain
from runner.formula.check import arrange
from runner.formula.functions import FUNCTIONS
from runner.formula.tree import (
    Binary,
    Call,
    Comparison,
    Conditional,
    FormulaProblem,
    Logic,
    Name,
    Negative,
    Number,
    Tree,
)
from runner.formula.values import CannotBeWorked, Value

Names = Mapping[str, Value]
Worked = Callable[[Names], Value]


def work(tree: Tree, names: Names) -> float:
    """
    The result in SI, finite. `names` holds every name of the formula. Only for a formula that `check` found nothing
    wrong with. Raises CannotBeWorked with a sentence where these values have no answer.
    """
    return worked(compiled(tree), names)


def worked(formula: Worked, names: Names) -> float:
    """The result of a compiled formula, finite, or CannotBeWorked with a sentence: for working one many times."""
    try:
        result = formula(names)
    except OutOfDomain as refused:
        raise CannotBeWorked(str(refused)) from refused
    except ZeroDivisionError as refused:
        raise CannotBeWorked("it divides by nothing") from refused
    except (OverflowError, ValueError) as refused:
        raise CannotBeWorked("the result is too large to be anything real") from refused
    assert isinstance(result, float | int)
    if not math.isfinite(result):
        raise CannotBeWorked("the result is too large to be anything real")
    return float(result)


def compiled(tree: Tree) -> Worked:
    """The formula as one function of its names; a condition gives True or False."""
    match tree:
        case Number(quantity, plain):
            constant = float(quantity.si) if quantity else float(plain)
            return lambda names: constant
        case Name(name):
            return lambda names: names[name]
        case Negative(Number(quantity)) if quantity and quantity.kind.point:
            below = float(quantity.unit.offset * 2 - quantity.si)
            return lambda names: below
        case Negative(value):
            inner = compiled(value)
            return lambda names: -inner(names)  # type: ignore[operator]
        case Binary():
            return _binary(tree)
        case Comparison(sign, left, right):
            return _comparison(sign, compiled(left), compiled(right))
        case Logic(word, conditions):
            return _logic(word, [compiled(condition) for condition in conditions])
        case Conditional(value, condition, other):
            one, decides, two = compiled(value), compiled(condition), compiled(other)
            return lambda names: one(names) if decides(names) else two(names)
        case Call():
            return _call(tree)


def _binary(tree: Binary) -> Worked:
    left, right = compiled(tree.left), compiled(tree.right)
    match tree.sign:
        case "+":
            return lambda names: left(names) + right(names)  # type: ignore[operator]
        case "-":
            return lambda names: left(names) - right(names)  # type: ignore[operator]
        case "*":
            return lambda names: left(names) * right(names)  # type: ignore[operator]
        case "/":
            return lambda names: left(names) / right(names)  # type: ignore[operator]
        case _:
            return lambda names: left(names) ** int(right(names))  # type: ignore[arg-type, operator]


def _comparison(sign: str, left: Worked, right: Worked) -> Worked:
    match sign:
        case "<":
            return lambda names: left(names) < right(names)  # type: ignore[operator]
        case "<=":
            return lambda names: left(names) <= right(names)  # type: ignore[operator]
        case ">":
            return lambda names: left(names) > right(names)  # type: ignore[operator]
        case _:
            return lambda names: left(names) >= right(names)  # type: ignore[operator]


def _logic(word: str, conditions: list[Worked]) -> Worked:
    if word == "not":
        return lambda names: not conditions[0](names)
    if word == "and":
        return lambda names: all(condition(names) for condition in conditions)
    return lambda names: any(condition(names) for condition in conditions)


def _call(tree: Call) -> Worked:
    if tree.function in FUNCTIONS:
        function: Callable[..., float] = FUNCTIONS[tree.function].work
        inputs = [compiled(argument) for _, argument in tree.arguments]
    else:
        signature = CALCULATIONS[tree.function]
        function = signature.work
        ordered = arrange(tree, signature)
        assert not isinstance(ordered, FormulaProblem)
        inputs = [compiled(argument) for argument in ordered]
    return lambda names: function(*[one(names) for one in inputs])


def exact(tree: Tree, names: Mapping[str, Fraction]) -> Fraction | None:
    """The exact result in SI of a formula that only adds, subtracts, multiplies and divides exact values, else None."""
    match tree:
        case Number(quantity, plain):
            return quantity.si if quantity else Fraction(plain)
        case Name(name):
            return names.get(name)
        case Negative(Number(quantity)) if quantity and quantity.kind.point:
            return quantity.unit.offset * 2 - quantity.si
        case Negative(value):
            inner = exact(value, names)
            return None if inner is None else -inner
        case Binary(sign, left, right):
            one, two = exact(left, names), exact(right, names)
            if one is None or two is None or sign == "^" or (sign == "/" and two == 0):
                return None
            return {"+": one + two, "-": one - two, "*": one * two}.get(sign) if sign != "/" else one / two
        case _:
            return None
