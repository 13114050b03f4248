"""`benchhand calc "FORMULA" NAME=VALUE…`: formulas worked outside a job, with their uncertainty and the working."""

from __future__ import annotations

import math
import re
from argparse import Namespace, _SubParsersAction
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from typing import Any

from runner.command.out import say
from runner.formula.check import check
from runner.formula.evaluate import exact
from runner.formula.explain import with_values
from runner.formula.parse import parse
from runner.formula.tree import FormulaProblem, Name, Tree, names_in
from runner.formula.uncertain import COVERAGE, Measured, Propagated, Uncertain, UncertainGroup, propagate
from runner.formula.values import CannotBeWorked, Shape, Typed, choice
from runner.procedure.scalars import why_no_name
from runner.quantities.kinds import NUMBER, Kind
from runner.quantities.quantity import NotAQuantity, Quantity, parse_quantity, show
from runner.quantities.units import Unit, of_kind, unit, usual
from runner.session.faults import FINE, PROBLEMS, WRONG_COMMAND, RunnerError
from runner.text.nearest import suggestion
from runner.text.problem import Place, Problem, render

_INPUT = re.compile(r"\s*([A-Za-z]\w*)\s*=(?!=)(.*)", re.DOTALL)
_WITH_U = re.compile(r"(.*?)\s*(?:\+/-|±)\s*(.*?)(?:(?<=[A-Za-z])\s*/\s*(\d+))?")
_CHOICE = re.compile(r'"([^"]+)"')
_DIGITS = 6
"""Significant digits of a result that no uncertainty says more or less of, where the exact one isn't short."""
_SHORT = 12
"""Digits of an exact result that are still all shown."""


@dataclass(frozen=True, slots=True)
class Given:
    """
    An input of the command line: its type, its value with uncertainty, the text it was typed as, the exact value where
    it is one number without uncertainty, and the degrees of freedom behind its uncertainty.
    """

    typed: Typed
    value: Measured | str
    text: str
    exact: Fraction | None = None
    degrees: float = math.inf


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "calc",
        help="work formulas out, with uncertainty and the working",
        description='Formulas and the values of their names, such as: calc "od - bore" od="42.510 mm +/- 0.003 mm" bore="42.370 mm +/- 0.003 mm". The uncertainty after +/- is U, with k = 2; degrees of freedom may stand behind it: +/- 0.003 mm /9. Several readings stand in one value, blanks between. A choice stands in quotes: seat=\'"EX"\'.',
    )
    parser.add_argument(
        "words", nargs="+", metavar="FORMULA | NAME=VALUE", help="formulas, and values by name, in any order"
    )
    parser.add_argument("--in", dest="unit", metavar="UNIT", help="the unit to show results in")
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    inputs: dict[str, Given] = {}
    formulas: list[str] = []
    for word in asked.words:
        match = _INPUT.fullmatch(word)
        if match and "(" not in word[: match.end(1)]:
            inputs[match[1]] = _given(match[1], match[2].strip())
        else:
            formulas.append(word)
    if not formulas:
        raise RunnerError(
            "no formula was given, only values",
            'write one, such as: calc "od - bore" od="42.51 mm" bore="42.37 mm"',
            WRONG_COMMAND,
        )
    codes = [_one(text, inputs, asked.unit) for text in formulas]
    return max(codes, default=FINE)


def _given(name: str, text: str) -> Given:
    why = why_no_name(name)
    if why:
        raise RunnerError(why[0], why[1], PROBLEMS)
    if chosen := _CHOICE.fullmatch(text):
        return Given(choice(), chosen[1], text)
    with_u = _WITH_U.fullmatch(text)
    plain, u_text = (with_u[1], with_u[2]) if with_u else (text, "")
    degrees = float(with_u[3]) if with_u and with_u[3] else math.inf
    if degrees < 1:
        what, fix = f"'{name}' has no degrees of freedom", "write 1 or more behind the /, or leave it out"
        raise RunnerError(what, fix, PROBLEMS)
    if u_text and " " in u_text and re.fullmatch(r"[-+.\d\s/]+", plain):
        plain = f"{plain} {u_text.split()[-1]}"
    *numbers, symbol = plain.split() or [""]
    if mixed := re.search(r"(\d+) (\d+/\d+)", plain):
        what = f"'{mixed[0]}' of '{name}' could be two readings or a mixed number"
        raise RunnerError(what, f"write {mixed[1]}-{mixed[2]}, or each reading with a point", PROBLEMS)
    quantities = (
        [_quantity(f"{number} {symbol}", name) for number in numbers] if numbers else [_quantity(plain, name)]
    )
    u = (
        _quantity(u_text if " " in u_text or not numbers else f"{u_text} {_difference(symbol)}", name)
        if u_text
        else None
    )
    if u and u.kind.exponents != quantities[0].kind.exponents:
        raise RunnerError(
            f"'{name}' is {quantities[0].kind.words}, and its uncertainty is {u.kind.words}",
            "write both in units of one sort",
            PROBLEMS,
        )
    standard = float(u.number * u.unit.factor) / COVERAGE if u else 0.0
    parts = {name: standard} if standard else {}
    values = [Uncertain(float(quantity.si), parts) for quantity in quantities]
    if len(values) == 1:
        exact_value = None if parts else quantities[0].si
        return Given(Typed(quantities[0].kind), values[0], quantities[0].typed, exact_value, degrees)
    shown = "(" + " ".join(numbers) + f") {symbol}"
    return Given(
        Typed(quantities[0].kind, Shape.POINTS), UncertainGroup((tuple(values),)), shown, degrees=degrees
    )


def _difference(symbol: str) -> str:
    return {"degC": "K", "degF": "K"}.get(symbol, symbol)


def _quantity(text: str, name: str) -> Quantity:
    found = parse_quantity(text)
    if not isinstance(found, NotAQuantity):
        return found
    plain = re.fullmatch(r"[+-]?\d+(\.\d*)?", text.strip())
    if plain:
        number = unit("times")
        assert number
        return Quantity(Fraction(text.strip()), number, text.strip())
    raise RunnerError(f"{name}: {found.what}", found.fix, PROBLEMS)


def _one(text: str, inputs: dict[str, Given], wanted: str | None) -> int:
    """One formula's result and working, or every problem it has with the caret under the spot."""
    tree = parse(text)
    problems = [tree] if isinstance(tree, FormulaProblem) else []
    typed = None
    if not isinstance(tree, FormulaProblem):
        typed, problems = check(tree, lambda name: _look_up(name, inputs))
    if problems or typed is None or isinstance(tree, FormulaProblem):
        for problem in problems:
            place = Place("formula", 1, problem.offset + 1, problem.length)
            say(render(Problem(problem.kind, place, problem.what, problem.fix), [text]))
        return PROBLEMS
    if typed.shape is not Shape.ONE:
        instead = (
            "ask it with is" if typed.shape is Shape.CHOICE else "take mean(…), max(…) or spread(…) of it"
        )
        say(f"{text} is {typed.shape.value}; {instead}")
        return PROBLEMS
    used = {name.name: inputs[name.name] for name in names_in(tree)}
    degrees = {name: given.degrees for name, given in used.items() if given.degrees < math.inf}
    try:
        values = {name: given.value for name, given in used.items()}
        result = propagate(tree, values, trials=20_000, degrees=degrees)
    except CannotBeWorked as why:
        say(f"{text} can't be worked out: {why}")
        return PROBLEMS
    if typed.is_condition:
        say(f"{text}: {'yes' if result.value else 'no'}")
        _tell_working(text, tree, used)
        return FINE
    _tell(text, tree, result, _unit_for(typed.kind, wanted), used)
    return FINE


def _look_up(name: Name, inputs: dict[str, Given]) -> Typed | FormulaProblem:
    if name.name in inputs:
        return inputs[name.name].typed
    fix = suggestion(name.name, inputs) if inputs else f"give it a value: {name.name}=…"
    if "." in name.name:
        fix = "here are no parts and tables: take a plain name, and give it the value or the readings"
    return FormulaProblem("unknown-name", f"'{name.name}' has no value here", fix, name.offset, name.length)


def _unit_for(kind: Kind, wanted: str | None) -> Unit:
    if wanted:
        found = unit(wanted)
        if found is None or found.kind != kind:
            known = of_kind(kind)
            raise RunnerError(
                f"'{wanted}' is not a unit for {kind.words}",
                f"take one of {known}" if known else "leave --in out",
                PROBLEMS,
            )
        return found
    if kind == NUMBER:
        return Unit("", NUMBER, Fraction(1))
    found = unit(usual(kind))
    if found and found.kind == kind:
        return found
    return Unit(_base_symbol(kind), kind, Fraction(1))


def _base_symbol(kind: Kind) -> str:
    """A kind that no unit of the shop has, in SI base units: 'kg/m/s'."""
    symbols = ("m", "kg", "s", "K", "rad")
    over = [symbol for symbol, power in zip(symbols, kind.exponents, strict=True) for _ in range(power)]
    under = [symbol for symbol, power in zip(symbols, kind.exponents, strict=True) for _ in range(-power)]
    return "/".join(["*".join(over) or "1", *under]) if over or under else ""


def _tell(text: str, tree: Tree, result: Propagated, shown_in: Unit, used: dict[str, Given]) -> None:
    exacts = {name: given.exact for name, given in used.items() if given.exact is not None}
    precise = None if result.method else exact(tree, exacts)
    shown_in = _with_power(result, shown_in)
    step = _step(result, precise, shown_in)
    value = show(result.value if precise is None else precise, shown_in, step).rstrip()
    if result.method:
        width = Unit(_difference(shown_in.symbol), Kind(shown_in.kind.exponents), shown_in.factor)
        u = show(result.expanded, width, step).rstrip()
        say(f"{value} ± {u}   (U, k = {result.coverage:.3g}, by {result.method})")
    else:
        say(value)
    _tell_working(text, tree, used)
    total = result.standard
    for source, part in sorted(result.parts.items(), key=lambda pair: -abs(pair[1])):
        say(f"  {(part / total) ** 2:>6.1%} of the uncertainty from {source}")
    if result.degrees < math.inf:
        say(f"  {result.degrees:.1f} degrees of freedom in effect")


def _tell_working(text: str, tree: Tree, used: dict[str, Given]) -> None:
    say(f"  {text}")
    if used:
        say("  = " + with_values(text, tree, {name: given.text for name, given in used.items()}))


def _with_power(result: Propagated, shown_in: Unit) -> Unit:
    """The unit with a power of ten where a result in it would be a row of noughts."""
    size = max(abs(result.value), result.expanded)
    power = _leading(Fraction(size) / shown_in.factor) if size and not shown_in.offset else 0
    if -7 < power < 12:
        return shown_in
    symbol = f"× 10^{power} {shown_in.symbol}".rstrip()
    return Unit(symbol, shown_in.kind, shown_in.factor * Fraction(10) ** power)


def _step(result: Propagated, precise: Fraction | None, shown_in: Unit) -> Fraction:
    """The step to show a result to: two digits of its uncertainty, else six of the value, or all of an exact short one."""
    if result.expanded:
        return Fraction(10) ** (_leading(Fraction(result.expanded) / shown_in.factor) - 1)
    size = abs(Fraction(result.value)) / shown_in.factor
    if not size:
        return Fraction(1, 1000)
    leading = _leading(size)
    step = Fraction(10) ** (leading + 1 - _DIGITS)
    if precise is not None:
        number = (precise - shown_in.offset) / shown_in.factor
        finest = Fraction(10) ** (leading + 1 - _SHORT)
        if (number / finest).denominator == 1:
            while (number / step).denominator != 1:
                step /= 10
    return step


def _leading(size: Fraction) -> int:
    """The power of ten of a size's first digit: 42.5 gives 1, 0.03 gives -2."""
    return Context(prec=_DIGITS).divide(Decimal(size.numerator), Decimal(size.denominator)).adjusted()
