"""`benchhand calc "FORMULA" NAME=VALUE…`: formulas worked outside a job, with their uncertainty and the working."""

from __future__ import annotations

import re
from argparse import Namespace, _SubParsersAction
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from runner.command.out import say
from runner.formula.check import check
from runner.formula.explain import with_values
from runner.formula.parse import parse
from runner.formula.tree import FormulaProblem, Name, Tree, names_in
from runner.formula.uncertain import COVERAGE, Measured, Propagated, Uncertain, UncertainGroup, propagate
from runner.formula.values import CannotBeWorked, Shape, Typed
from runner.procedure.scalars import why_no_name
from runner.quantities.kinds import NUMBER, Kind
from runner.quantities.quantity import NotAQuantity, Quantity, parse_quantity, show, show_number
from runner.quantities.units import Unit, of_kind, unit, usual
from runner.session.faults import FINE, PROBLEMS, WRONG_COMMAND, RunnerError
from runner.text.nearest import suggestion
from runner.text.problem import Place, Problem, render

_INPUT = re.compile(r"\s*([A-Za-z]\w*)\s*=(?!=)(.*)", re.DOTALL)
_WITH_U = re.compile(r"(.*?)\s*(?:\+/-|±)\s*(.*)")


@dataclass(frozen=True, slots=True)
class Given:
    """An input of the command line: its type, its value with uncertainty, and the text it was typed as."""

    typed: Typed
    value: Measured
    text: str


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "calc",
        help="work formulas out, with uncertainty and the working",
        description='Formulas and the values of their names, such as: calc "od - bore" od="42.510 mm +/- 0.003 mm" bore="42.370 mm +/- 0.003 mm". The uncertainty after +/- is U, with k = 2. Several readings stand in one value, blanks between.',
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
    with_u = _WITH_U.fullmatch(text)
    plain, u_text = (with_u[1], with_u[2]) if with_u else (text, "")
    if u_text and " " in u_text and re.fullmatch(r"[-+.\d\s/]+", plain):
        plain = f"{plain} {u_text.split()[-1]}"
    *numbers, symbol = plain.split() or [""]
    quantities = (
        [_quantity(f"{number} {symbol}", name) for number in numbers] if numbers else [_quantity(plain, name)]
    )
    u = _quantity(u_text if " " in u_text else f"{u_text} {_difference(symbol)}", name) if u_text else None
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
        return Given(Typed(quantities[0].kind), values[0], quantities[0].typed)
    shown = "(" + " ".join(numbers) + f") {symbol}"
    return Given(Typed(quantities[0].kind, Shape.POINTS), UncertainGroup((tuple(values),)), shown)


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
    try:
        result = propagate(
            tree, {name.name: inputs[name.name].value for name in names_in(tree)}, trials=20_000
        )
    except CannotBeWorked as why:
        say(f"{text} can't be worked out: {why}")
        return PROBLEMS
    if typed.is_condition:
        say(f"{text}: {'yes' if result.value else 'no'}")
        return FINE
    if typed.shape is not Shape.ONE:
        say(f"{text} is {typed.shape.value}; take mean(…), max(…) or spread(…) of it")
        return PROBLEMS
    shown_in = _unit_for(typed.kind, wanted)
    _tell(text, tree, result, shown_in, inputs)
    return FINE


def _look_up(name: Name, inputs: dict[str, Given]) -> Typed | FormulaProblem:
    if name.name in inputs:
        return inputs[name.name].typed
    fix = suggestion(name.name, inputs) if inputs else f"give it a value: {name.name}=…"
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


def _tell(text: str, tree: Tree, result: Propagated, shown_in: Unit, inputs: dict[str, Given]) -> None:
    step = _step(result, shown_in)
    symbol = f" {shown_in.symbol}" if shown_in.symbol else ""
    value = show_number(result.value, shown_in, step) + symbol
    if result.method:
        width = Unit(_difference(shown_in.symbol), Kind(shown_in.kind.exponents), shown_in.factor)
        say(f"{value} ± {show(result.expanded, width, step)}   (U, k = 2, by {result.method})")
    else:
        say(value)
    say(f"  {text}")
    if names_in(tree):
        say("  = " + with_values(text, tree, {name.name: inputs[name.name].text for name in names_in(tree)}))
    total = result.standard**2
    for source, part in sorted(result.parts.items(), key=lambda pair: -abs(pair[1])):
        say(f"  {part * part / total:>6.1%} of the uncertainty from {source}")


def _step(result: Propagated, shown_in: Unit) -> Fraction:
    """The step to show a result to: two digits of its uncertainty, else six digits of the value."""
    size = (
        result.expanded / float(shown_in.factor)
        if result.expanded
        else abs(result.value) / float(shown_in.factor) / 1e4
    )
    if not size:
        return Fraction(1, 1000)
    exponent = -12
    while Fraction(10) ** (exponent + 1) * 10 <= Fraction(size) and exponent < 12:
        exponent += 1
    return Fraction(10) ** exponent
