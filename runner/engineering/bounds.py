"""Refusals that a bound on one argument can't say: a zero that is allowed, and two sizes that contradict each other."""

from __future__ import annotations

from runner.engineering.signature import OutOfDomain, shown
from runner.quantities.kinds import Kind


def not_negative(words: str, value: float, kind: Kind) -> None:
    """Refuses (OutOfDomain) a value below zero; zero itself is fine."""
    if value < 0:
        article = "an" if words[0] in "aeiou" else "a"
        raise OutOfDomain(
            f"{article} {words} of {shown(value, kind)} is below zero; leave it at 0 if there is none"
        )


def smaller(inner: str, small: float, outer: str, large: float, kind: Kind) -> None:
    """Refuses (OutOfDomain) a size that has to be smaller than another and isn't."""
    if small >= large:
        raise OutOfDomain(
            f"the {inner}, {shown(small, kind)}, has to be smaller than the {outer}, {shown(large, kind)}"
        )
