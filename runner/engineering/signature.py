"""What a calculation takes and gives: the name, kind and domain of each argument. The formula checker reads these.

`Signature.work` is the only road a formula takes to a function: what lies outside the domain is refused there, in a
sentence. Whether kinds fit is settled before, by the checker.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from runner.quantities import kinds
from runner.quantities.kinds import Kind

REFERENCE_TEMPERATURE = 293.15
# kelvin; 20 degC, at which every size is stated: ISO 1:2016. From memory.

HOTTEST = 2000.0
# kelvin; above the melting point of every metal in the shop, so a higher value is a slip. Common practice, no source.


class OutOfDomain(ValueError):
    """An input the physics has no answer for. The message is one sentence in the reader's words, no full stop."""


@dataclass(frozen=True, slots=True)
class Argument:
    """One input: its name in formulas and its kind; `above` and `at_most` bound it, in SI, where physics does.

    `called` is what a machinist calls it, where the name in formulas doesn't say it.
    """

    name: str
    kind: Kind
    above: float = -math.inf
    at_most: float = math.inf
    called: str = ""

    @property
    def words(self) -> str:
        """The name in words: 'ring OD' for ring_od."""
        if self.called:
            return self.called
        return " ".join(word.upper() if word in _ABBREVIATIONS else word for word in self.name.split("_"))


@dataclass(frozen=True, slots=True)
class Signature:
    """A calculation as formulas see it. `function` takes floats in SI, in the order of `arguments`, and gives one."""

    name: str
    arguments: tuple[Argument, ...]
    gives: Kind
    function: Callable[..., float]
    smooth: bool = True
    """False where it goes by steps or has a bend, so that it has no derivative there."""
    work: Callable[..., float] = field(init=False, repr=False, compare=False)
    """
    The result for these values, one for each argument in order, in SI. Refuses (OutOfDomain) a value that is no number,
    endless or outside its argument's bounds, and a result that is no number or endless.
    """

    def __post_init__(self) -> None:
        object.__setattr__(self, "work", self._guarded())

    def _guarded(self) -> Callable[..., float]:
        """
        The function behind one comparison an argument. It is written out and compiled for the number of arguments,
        because a loop over bounds costs more than most of the calculations behind it. The upper bounds are finite: so
        one comparison also catches what is endless or no number.
        """
        names = [f"a{at}" for at in range(len(self.arguments))]
        known: dict[str, object] = {"function": self._called, "refuse": self._refuse}
        for name, argument in zip(names, self.arguments, strict=True):
            known[f"above_{name}"], known[f"most_{name}"] = (
                argument.above,
                min(argument.at_most, sys.float_info.max),
            )
        inside = " and ".join(f"above_{name} < {name} <= most_{name}" for name in names) or "True"
        given = ", ".join(names)
        made: Callable[..., float] = eval(
            f"lambda {given}: function({given}) if {inside} else refuse({given})",
            {"__builtins__": {}, **known},
        )
        return made

    def _called(self, *values: float) -> float:
        try:
            result = self.function(*values)
        except ArithmeticError as failure:
            raise OutOfDomain(self._no_answer(values)) from failure
        if -math.inf < result < math.inf:
            return result
        raise OutOfDomain(self._no_answer(values))

    def _refuse(self, *values: float) -> float:
        raise OutOfDomain(next(filter(None, map(self._refusal, self.arguments, values))))

    def _refusal(self, argument: Argument, value: float) -> str:
        """Why this value can't be worked with, or nothing."""
        words, kind = argument.words, argument.kind
        if math.isnan(value):
            return f"the {words} came out as no number at all"
        if math.isinf(value):
            return f"the {words} came out endless"
        subject = f"{'an' if words[0] in 'aeiouAEIO' else 'a'} {words} of {shown(value, kind)}"
        if value <= argument.above:
            if kind == kinds.LENGTH and argument.above == 0:
                return f"{subject} is not a size"
            if kind == kinds.TEMPERATURE and argument.above == 0:
                return f"{subject} is not above absolute zero, {shown(0.0, kind)}"
            return f"{subject} is too low for {self.name}: it has to be above {shown(argument.above, kind)}"
        if value > argument.at_most:
            return f"{subject} is too high for {self.name}: the most is {shown(argument.at_most, kind)}"
        return ""

    def _no_answer(self, values: tuple[float, ...]) -> str:
        given = [
            f"{argument.words} {shown(value, argument.kind)}"
            for argument, value in zip(self.arguments, values, strict=True)
        ]
        return f"{self.name} has no answer for {', '.join(given)}"


def a_size(name: str, at_most: float = math.inf, called: str = "") -> Argument:
    """A length that has to be there: above zero."""
    return Argument(name, kinds.LENGTH, above=0.0, at_most=at_most, called=called)


def a_temperature(name: str) -> Argument:
    """A point on the temperature scale: above absolute zero, and not above `HOTTEST`."""
    return Argument(name, kinds.TEMPERATURE, above=0.0, at_most=HOTTEST)


def an_expansion(name: str, above: float = -1e-4) -> Argument:
    """A mean linear expansion per kelvin. Solids lie between about -1e-6 and 2e-4; ten times that is a slip of units."""
    return Argument(name, kinds.EXPANSION, above=above, at_most=1e-3)


def shown(value: float, kind: Kind) -> str:
    """An SI value in the unit a machinist reads it in: '42.5 mm', '-18 degC', '11.5 um/m/K'. For sentences only."""
    if kind == kinds.TEMPERATURE:
        return f"{_digits(value - _CELSIUS_ZERO)} degC"
    factor, unit = _READ_IN.get(kind, (1.0, ""))
    number = value * factor
    if math.isinf(number):  # the value is finite, and only the unit takes it past the largest float
        digits = Decimal(f"{Decimal(value) * Decimal(factor):.7e}")
        return f"{digits.normalize():e} {unit}".rstrip()
    return f"{_digits(number)} {unit}".rstrip()


def _digits(value: float) -> str:
    # Eight digits hide the last bits of a float and still tell 42.5 mm from 42.500001 mm. Adding 0 turns -0 to 0.
    return f"{value + 0.0:.8g}"


_CELSIUS_ZERO = 273.15
# kelvin; exact by the definition of the degree Celsius, SI Brochure 9th edition, 2.3.1. From memory.

_ABBREVIATIONS = frozenset({"od", "id"})

_READ_IN = {
    kinds.LENGTH: (1e3, "mm"),
    kinds.AREA: (1e6, "mm*mm"),
    kinds.VOLUME: (1e6, "cc"),
    kinds.MASS: (1e3, "g"),
    kinds.TIME: (1.0, "s"),
    kinds.TEMPERATURE_DIFFERENCE: (1.0, "K"),
    kinds.EXPANSION: (1e6, "um/m/K"),
    kinds.ANGLE: (180 / math.pi, "deg"),
    kinds.FORCE: (1.0, "N"),
    kinds.TORQUE: (1.0, "N*m"),
    kinds.PRESSURE: (1e-6, "MPa"),
    kinds.SPEED: (60.0, "m/min"),
    kinds.FREQUENCY: (60.0, "rpm"),
}
# factor from SI, and unit
