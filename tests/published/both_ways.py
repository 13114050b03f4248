"""Every calculation by two roads: called directly, and through the text of a formula with units. Both must agree."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from runner.engineering import calculations
from runner.engineering.signature import OutOfDomain, Signature
from runner.formula.check import check
from runner.formula.evaluate import work
from runner.formula.parse import parse
from runner.formula.tree import FormulaProblem
from runner.formula.uncertain import Uncertain, propagate
from runner.formula.values import CannotBeWorked, Typed
from runner.quantities.kinds import NUMBER, Kind
from runner.quantities.quantity import MOST_DIGITS, Quantity, parse_quantity
from runner.quantities.units import unit, usual


def in_words(value: float, kind: Kind) -> str | None:
    """An SI value as formulas write it, or None where no number of at most 15 digits in the usual unit is that very float."""
    if not math.isfinite(value):
        return None
    if kind == NUMBER:
        number = _digits(Fraction(value))
        return number if float(number) == value and _few(number) else None
    symbol = unit(usual(kind))
    if symbol is None or symbol.kind != kind:
        return None
    text = f"{_digits((Fraction(value) - symbol.offset) / symbol.factor)} {symbol.symbol}"
    read = parse_quantity(text) if _few(text) else None
    return text if isinstance(read, Quantity) and float(read.si) == value else None


def _digits(exact: Fraction) -> str:
    # Thirteen digits: enough for any worked example, and too few to carry the noise of a float's last bits into the text.
    return f"{Decimal(f'{Decimal(exact.numerator) / Decimal(exact.denominator):.12e}').normalize():f}"


def _few(text: str) -> bool:
    return sum(sign.isdigit() for sign in text) <= MOST_DIGITS


def formula_of(signature: Signature, values: tuple[float, ...]) -> tuple[str, dict[str, float]]:
    """The text of a formula that calls it with these values and their units; a value no text says exactly gets a name."""
    given, named = [], {}
    for argument, value in zip(signature.arguments, values, strict=True):
        text = in_words(value, argument.kind)
        if text is None:
            text = f"given_{argument.name}"
            named[text] = value
        given.append(f"{argument.name}={text}" if len(values) > 1 else text)
    return f"{signature.name}({', '.join(given)})", named


def by_formula(signature: Signature, *values: float) -> float:
    """The result through scan, parse, check and evaluate. Raises CannotBeWorked as a procedure's formula does."""
    text, named = formula_of(signature, values)
    tree = parse(text)
    assert not isinstance(tree, FormulaProblem), (text, tree)
    kinds = {f"given_{argument.name}": argument.kind for argument in signature.arguments}
    typed, problems = check(tree, lambda name: Typed(kinds[name.name]))
    assert not problems and typed == Typed(signature.gives), (text, problems)
    result = work(tree, named)
    assert propagate(tree, {name: Uncertain(value) for name, value in named.items()}).value == result, text
    return result


def both_ways(signature: Signature) -> Callable[..., float]:
    """The calculation as one function: it works its values by both roads, and fails where they come to different ends."""

    def both(*values: float) -> float:
        try:
            direct = signature.work(*values)
        except OutOfDomain as refused:
            try:
                by_formula(signature, *values)
            except CannotBeWorked as why:
                assert str(why) == str(refused)
            else:
                raise AssertionError(f"only the formula has an answer for {values}") from None
            raise
        assert by_formula(signature, *values) == direct, formula_of(signature, values)
        return direct

    return both


def _twofold(signature: Signature) -> Signature:
    both = replace(signature)
    object.__setattr__(both, "work", both_ways(signature))
    return both


CALCULATIONS: Mapping[str, Signature] = {
    name: _twofold(signature) for name, signature in calculations.CALCULATIONS.items()
}
"""As in runner/engineering, but that each `work` goes both ways: a check that takes its calculations from here checks both."""
