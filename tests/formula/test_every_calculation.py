"""Every calculation's worked example, as its docstring has it, comes out the same through a formula with units."""

from __future__ import annotations

import doctest
import sys
from collections.abc import Callable

import pytest

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import Signature
from runner.quantities import kinds
from tests.published.both_ways import both_ways, formula_of, in_words


class _Listening:
    """A calculation that works both ways and remembers what it was asked."""

    def __init__(self, signature: Signature, asked: dict[str, list[str]]) -> None:
        self.signature, self.asked = signature, asked
        self.both: Callable[..., float] = both_ways(signature)

    def __call__(self, *values: float) -> float:
        self.asked.setdefault(self.signature.name, []).append(formula_of(self.signature, values)[0])
        return self.both(*values)


def _asked_by_the_example(signature: Signature) -> dict[str, list[str]]:
    """The examples of a docstring run with every calculation in them listening: the formulas by calculation."""
    asked: dict[str, list[str]] = {}
    listening = {one.function.__name__: _Listening(one, asked) for one in CALCULATIONS.values()}
    known = dict(vars(sys.modules[signature.function.__module__]))
    known.update({name: one for name, one in listening.items() if known.get(name) is one.signature.function})
    for example in doctest.DocTestParser().get_examples(signature.function.__doc__ or ""):
        exec(compile(example.source, f"<example of {signature.name}>", "exec"), known)
    return asked


@pytest.mark.parametrize("name", CALCULATIONS)
def test_the_worked_example_comes_out_of_a_formula_too(name: str) -> None:
    asked = _asked_by_the_example(CALCULATIONS[name])
    assert asked.get(name), f"the example of {name} doesn't call it"


def test_the_formulas_are_written_with_units_and_not_with_bare_names() -> None:
    formulas = [text for one in CALCULATIONS.values() for text in _asked_by_the_example(one)[one.name]]
    with_names = [text for text in formulas if "given_" in text]
    assert len(with_names) < len(formulas) / 4, with_names


@pytest.mark.parametrize(
    ("value", "kind", "words"),
    [
        (0.0425, kinds.LENGTH, "42.5 mm"),
        (255.15, kinds.TEMPERATURE, "-18 degC"),
        (11.5e-6, kinds.EXPANSION, "11.5 um/m/K"),
        (0.33, kinds.NUMBER, "0.33"),
        (1 / 3, kinds.LENGTH, None),
        (float("inf"), kinds.NUMBER, None),
    ],
)
def test_a_value_is_written_so_that_it_reads_as_the_very_same(
    value: float, kind: kinds.Kind, words: str | None
) -> None:
    assert in_words(value, kind) == words
