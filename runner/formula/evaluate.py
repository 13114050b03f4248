"""A checked formula, worked: trees become closures over floats in SI. What has no answer is said in a sentence."""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from fractions import Fraction
from functools import lru_cache

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
    Is,
    Logic,
    Name,
    Negative,
    Number,
    Tree,
)
from runner.formula.values import CannotBeWorked, Named

Names = Mapping[str, Named]
Worked = Callable[[Names], Named]


def work(tree: Tree, names: Names) -> float:
    """
    The result in SI, finite. `names` holds every name of the formula, a choice by the option chosen. Only for a formula
    that `check` found nothing wrong with. Nothing here is uncertain, so that `low` and `high` give the value itself. Raises CannotBeWorked with a sentence where these values have no answer.
    """
    return worked(compiled(tree), names)


def work_condition(tree: Tree, names: Names) -> bool:
    """Whether a checked condition holds for these values. Raises CannotBeWorked as `work` does."""
    return work(tree, names) != 0


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


@lru_cache(maxsize=4096)
def compiled(tree: Tree) -> Worked:
    """
    The formula as one function of its names; a condition gives True or False.

    A checked tree is turned into one expression and compiled once, because a chain of small functions costs several
    times as much at each working. Only what is below can get into it: the text of a formula never does.
    """
    functions: list[Callable[..., object]] = []
    body = _expression(tree, functions)
    arguments = ast.arguments(
        posonlyargs=[], args=[ast.arg("names")], kwonlyargs=[], kw_defaults=[], defaults=[]
    )
    whole = ast.fix_missing_locations(ast.Expression(ast.Lambda(arguments, body)))
    known: dict[str, object] = {f"f{at}": function for at, function in enumerate(functions)}
    made: Worked = eval(compile(whole, "<formula>", "eval"), {"__builtins__": {}, **known})
    return made


_OPERATORS: Mapping[str, ast.operator] = {
    "+": ast.Add(),
    "-": ast.Sub(),
    "*": ast.Mult(),
    "/": ast.Div(),
    "^": ast.Pow(),
}
_COMPARES: Mapping[str, ast.cmpop] = {"<": ast.Lt(), "<=": ast.LtE(), ">": ast.Gt(), ">=": ast.GtE()}


def _expression(tree: Tree, functions: list[Callable[..., object]]) -> ast.expr:
    match tree:
        case Number(quantity, plain):
            return ast.Constant(float(quantity.si) if quantity else float(plain))
        case Name(name):
            return ast.Subscript(ast.Name("names", ast.Load()), ast.Constant(name), ast.Load())
        case Negative(Number(quantity)) if quantity and quantity.kind.point:
            return ast.Constant(float(quantity.unit.offset * 2 - quantity.si))
        case Negative(value):
            return ast.UnaryOp(ast.USub(), _expression(value, functions))
        case Binary(sign="^", left=left, right=right):
            return ast.BinOp(_expression(left, functions), ast.Pow(), ast.Constant(_whole(right)))
        case Binary(sign=sign, left=left, right=right):
            return ast.BinOp(_expression(left, functions), _OPERATORS[sign], _expression(right, functions))
        case Comparison(sign=sign, left=left, right=right):
            return ast.Compare(
                _expression(left, functions), [_COMPARES[sign]], [_expression(right, functions)]
            )
        case Is(name, option, negated):
            same: ast.cmpop = ast.NotEq() if negated else ast.Eq()
            return ast.Compare(_expression(name, functions), [same], [ast.Constant(option)])
        case Logic("not", conditions):
            return ast.UnaryOp(ast.Not(), _expression(conditions[0], functions))
        case Logic(word, conditions):
            joined = ast.And() if word == "and" else ast.Or()
            return ast.BoolOp(joined, [_expression(condition, functions) for condition in conditions])
        case Conditional(value, condition, other):
            parts = [_expression(part, functions) for part in (condition, value, other)]
            return ast.IfExp(*parts)
        case Call():
            return _call(tree, functions)


def _whole(tree: Tree) -> int:
    """A power, which the parser lets be nothing but a whole number."""
    if isinstance(tree, Negative):
        return -_whole(tree.value)
    assert isinstance(tree, Number)
    return int(tree.plain)


def _call(tree: Call, functions: list[Callable[..., object]]) -> ast.expr:
    if tree.function in FUNCTIONS:
        function: Callable[..., object] = FUNCTIONS[tree.function].work
        inputs = [argument for _, argument in tree.arguments]
    else:
        signature = CALCULATIONS[tree.function]
        function = signature.work
        ordered = arrange(tree, signature)
        assert not isinstance(ordered, FormulaProblem)
        inputs = ordered
    functions.append(function)
    name = ast.Name(f"f{len(functions) - 1}", ast.Load())
    return ast.Call(name, [_expression(one, functions) for one in inputs], [])


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
