"""
What formulas and `check` cost, as ratios to a floor in the same run: `python -m tests.bench`. Not a test; nothing here
passes or fails.
"""

from __future__ import annotations

import resource
import time
import timeit
from collections.abc import Callable, Mapping

import pint
import yaml

from runner.engineering.driving import last_limit_low
from runner.engineering.fits import joining_clearance
from runner.formula.evaluate import compiled
from runner.formula.parse import parse
from runner.formula.tree import FormulaProblem, Tree
from runner.formula.uncertain import Uncertain, propagate
from runner.procedure.reader import read_procedure
from tests.procedure.long_ones import long_one

Plain = Callable[[Mapping[str, float]], float]
VALUES = {
    "od": 0.04251,
    "bore": 0.04237,
    "al": 22e-6,
    "ring": 11.5e-6,
    "hot": 473.15,
    "cold": 255.15,
    "base": 293.15,
}
CASES: list[tuple[str, Plain]] = [
    ("od - bore", lambda n: n["od"] - n["bore"]),
    ("bore * al * (hot - base)", lambda n: n["bore"] * n["al"] * (n["hot"] - n["base"])),
    ("mean(od, bore) - min(od, bore)", lambda n: (n["od"] + n["bore"]) / 2 - min(n["od"], n["bore"])),
    (
        "joining_clearance(ring_od=od, bore=bore, ring_expansion=ring, bore_expansion=al, ring_temperature=cold, bore_temperature=hot)",
        lambda n: joining_clearance(n["od"], n["bore"], n["ring"], n["al"], n["cold"], n["hot"]),
    ),
]
"""Formulas and the same on plain floats, a function called with the same names on both sides."""


def main() -> None:
    print(f"{'formula':<60} {'plain':>9} {'ours':>9} {'ratio':>6} {'with U':>9} {'ratio':>7}")
    for text, plain in CASES:
        tree = _tree(text)
        ours = compiled(tree)
        floor, mine = _cost(lambda plain=plain: plain(VALUES)), _cost(lambda ours=ours: ours(VALUES))  # type: ignore[misc]
        measured = {name: Uncertain(value, {name: abs(value) * 1e-4}) for name, value in VALUES.items()}
        with_u = _cost(lambda tree=tree, measured=measured: propagate(tree, measured))  # type: ignore[misc]
        print(
            f"{text[:60]:<60} {_us(floor)} {_us(mine)} {mine / floor:6.2f} {_us(with_u)} {with_u / floor:7.0f}"
        )
    _against_pint()
    window = (0.04251, 0.04237, 11.5e-6, 22e-6, 255.15, 473.15, 295.15, 295.15, 900.0, 300.0, 8e-6, 0.3)
    print(f"the driving window's last limit, low estimate: {_us(_cost(lambda: last_limit_low(*window)))}")
    _checks()


def _checks() -> None:
    """Reading whole procedures: beside the bare YAML parse of both loaders, and how it grows."""
    print(
        f"{'check of':<14} {'ms':>8} {'a step':>9} {'libyaml':>9} {'ratio':>6} {'without':>9} {'ratio':>6} {'peak':>8}"
    )
    long_one(20)
    for steps in (100, 1_000, 10_000):
        text = long_one(steps)
        rounds = max(1, 2_000 // steps)
        mine = _seconds(lambda text=text: read_procedure(text, "x"), rounds)  # type: ignore[misc]
        fast = _seconds(lambda text=text: yaml.compose(text, Loader=yaml.CBaseLoader), rounds)  # type: ignore[misc]
        plain = _seconds(lambda text=text: yaml.compose(text, Loader=yaml.BaseLoader), 1)  # type: ignore[misc]
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        print(
            f"{steps:>8} steps {mine * 1e3:8.0f} {_us(mine / steps)} {fast * 1e3:7.0f}ms {mine / fast:6.1f}"
            f" {plain * 1e3:7.0f}ms {mine / plain:6.2f} {peak:5} MB"
        )


def _seconds(call: Callable[[], object], rounds: int) -> float:
    """Processor time of a call, the best of some rounds."""
    found = []
    for _ in range(rounds):
        began = time.process_time()
        call()
        found.append(time.process_time() - began)
    return min(found)


def _against_pint() -> None:
    registry: pint.UnitRegistry = pint.UnitRegistry(cache_folder=None)
    quantity = registry.Quantity
    bore, al, rise = quantity(42.37, "mm"), quantity(22e-6, "1/kelvin"), quantity(180.0, "delta_degC")
    theirs = _cost(lambda: bore * al * rise)
    ours = compiled(_tree("bore * al * rise"))
    values = {"bore": 0.04237, "al": 22e-6, "rise": 180.0}
    mine = _cost(lambda: ours(values))
    print(f"bore * al * rise on pint quantities {_us(theirs)}, ours {_us(mine)}: 1 to {theirs / mine:.0f}")


def _tree(text: str) -> Tree:
    tree = parse(text)
    assert not isinstance(tree, FormulaProblem)
    return tree


def _cost(call: Callable[[], object]) -> float:
    """Seconds a call, the best of five runs."""
    timer = timeit.Timer(call)
    count, _ = timer.autorange()
    return min(timer.repeat(5, max(1, count // 4))) / max(1, count // 4)


def _us(seconds: float) -> str:
    return f"{seconds * 1e6:7.2f}us"


if __name__ == "__main__":
    main()
