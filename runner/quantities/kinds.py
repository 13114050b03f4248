"""What sort of thing a value is: a length, a temperature, a difference of temperatures, a plain number.

A kind is what the formula checker adds, multiplies and compares. It knows no units and no numbers.
A temperature (a point on the scale) and a difference of temperatures have the same dimensions and are two kinds:
20 degC + 5 K is 25 degC, and 20 degC + 20 degC is nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

BASES = ("length", "mass", "time", "temperature", "angle")


@dataclass(frozen=True, slots=True)
class Kind:
    """Exponents of length, mass, time, temperature and angle; `point` marks a temperature on its scale."""

    exponents: tuple[int, int, int, int, int]
    point: bool = False

    def times(self, other: Kind) -> Kind:
        return Kind(_five([a + b for a, b in zip(self.exponents, other.exponents, strict=True)]))

    def over(self, other: Kind) -> Kind:
        return Kind(_five([a - b for a, b in zip(self.exponents, other.exponents, strict=True)]))

    def to_the(self, power: int) -> Kind:
        return Kind(_five([a * power for a in self.exponents]))

    @property
    def words(self) -> str:
        """The kind as a machinist would say it, with its article: 'a length', 'a difference of two temperatures'."""
        known = _WORDS.get(self)
        if known:
            return known
        parts = [
            name if power == 1 else f"{name}^{power}"
            for name, power in zip(BASES, self.exponents, strict=True)
            if power
        ]
        return "a value in " + " ".join(parts)


def _five(exponents: list[int]) -> tuple[int, int, int, int, int]:
    a, b, c, d, e = exponents
    return (a, b, c, d, e)


NUMBER = Kind((0, 0, 0, 0, 0))
LENGTH = Kind((1, 0, 0, 0, 0))
AREA = Kind((2, 0, 0, 0, 0))
VOLUME = Kind((3, 0, 0, 0, 0))
MASS = Kind((0, 1, 0, 0, 0))
TIME = Kind((0, 0, 1, 0, 0))
TEMPERATURE = Kind((0, 0, 0, 1, 0), point=True)
TEMPERATURE_DIFFERENCE = Kind((0, 0, 0, 1, 0))
EXPANSION = Kind((0, 0, 0, -1, 0))
ANGLE = Kind((0, 0, 0, 0, 1))
FORCE = Kind((1, 1, -2, 0, 0))
TORQUE = Kind((2, 1, -2, 0, 0))
PRESSURE = Kind((-1, 1, -2, 0, 0))
SPEED = Kind((1, 0, -1, 0, 0))
FREQUENCY = Kind((0, 0, -1, 0, 0))

_WORDS = {
    NUMBER: "a plain number",
    LENGTH: "a length",
    AREA: "an area",
    VOLUME: "a volume",
    MASS: "a mass",
    TIME: "a time",
    TEMPERATURE: "a temperature",
    TEMPERATURE_DIFFERENCE: "a difference of two temperatures",
    EXPANSION: "an expansion per kelvin",
    ANGLE: "an angle",
    FORCE: "a force",
    TORQUE: "a torque or an energy",
    PRESSURE: "a pressure",
    SPEED: "a speed",
    FREQUENCY: "a rate",
}
