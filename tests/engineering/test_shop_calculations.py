"""What holds for every calculation of measurement, seats, springs, volumes, leaks, machining and threads alike."""

from __future__ import annotations

import doctest
import inspect
import math
import re
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.engineering import (
    conformity,
    forms,
    leaks,
    machining,
    repeatability,
    seats,
    springs,
    thinning,
    threads,
    volumes,
)
from runner.engineering.signature import OutOfDomain, Signature
from runner.formula.evaluate import work
from runner.formula.parse import parse
from runner.formula.tree import FormulaProblem

ALL = [
    signature
    for module in (
        conformity, repeatability, forms, seats, springs, volumes, leaks, machining, thinning, threads,
    )
    for signature in module.SIGNATURES
]  # fmt: skip

every = pytest.mark.parametrize("calculation", ALL, ids=[calculation.name for calculation in ALL])

hostile = st.one_of(
    st.floats(-1e300, 1e300),
    st.floats(-10, 10),
    st.floats(1e-12, 1e3),
    st.sampled_from(
        [0.0, -0.0, 1.0, 2.0, 3.0, 5e-324, 1e-300, math.pi / 2, math.pi / 4, math.nan, math.inf, -math.inf]
    ),
)


@every
@settings(max_examples=12, deadline=None, derandomize=True)
@given(data=st.data())
def test_whatever_is_put_in_comes_out_as_a_number_or_one_sentence(
    calculation: Signature, data: st.DataObject
) -> None:
    values = data.draw(st.tuples(*[hostile] * len(calculation.arguments)))
    try:
        result = calculation.work(*values)
    except OutOfDomain as refusal:
        sentence = str(refusal)
        assert not sentence.endswith(".")
        assert "_" not in sentence.replace(calculation.name, "")
        assert not re.search(r"\b(error|invalid|please|float|nan|inf|None)\b", sentence)
    else:
        assert isinstance(result, float)
        assert math.isfinite(result)


def _example(calculation: Signature) -> tuple[float, ...]:
    """The arguments of the calculation's last worked example."""
    seen: list[tuple[float, ...]] = []

    def noted(*values: float) -> float:
        seen.append(values)
        return calculation.function(*values)

    examples = doctest.DocTestParser().get_examples(inspect.getdoc(calculation.function) or "")
    names = {**vars(sys.modules[calculation.function.__module__]), calculation.function.__name__: noted}
    eval(examples[-1].source, names)
    return seen[-1]


COUNTS = re.compile(r"number of (trials|parts|appraisers)$")
# go by whole numbers and have no slope


@every
def test_a_hair_on_an_input_moves_the_result_by_as_much_of_a_hair(calculation: Signature) -> None:
    values = _example(calculation)
    centre = calculation.work(*values)
    for place, argument in enumerate(calculation.arguments):
        if COUNTS.search(argument.words):
            continue

        def at(factor: float, place: int = place) -> float:
            return calculation.work(*values[:place], values[place] * factor, *values[place + 1 :])

        # one side only, for an example may stand at the end of its domain
        coarse, fine = (centre - at(1 - 1e-7)) / 1e-7, (centre - at(1 - 1e-9)) / 1e-9
        assert fine == pytest.approx(coarse, rel=0.01, abs=abs(centre) * 1e-4), argument.name


@pytest.mark.parametrize(
    ("formula", "published", "within"),
    [
        # each number and how sure it is stands in tests/published
        ("coverage_factor(level=0.99, degrees=16)", 2.92, 0.005),
        ("expanded_uncertainty(uncertainty=0.032 um, level=0.99, degrees=16.7) / (0.001 um)", 93, 0.5),
        ("gauge_repeatability(mean_range=0.3417 mm, trials=3) / (1 mm)", 0.20188, 1e-5),
        ("rate_from_wire(shear_modulus=81370 MPa, wire=11 mm, mean_diameter=55 mm, active_coils=5) / (1 N / (1 mm))", 179.01, 0.005),
        ("compression_ratio(swept=swept_volume(bore=170 mm, stroke=300 mm), clearance=1025 cc)", 7.643, 5e-4),
        (
            "width_growth(seat_cut=0.1 mm, top_cut=0 mm, throat_cut=0 mm, seat_angle=45 deg, top_angle=30 deg,"
            " throat_angle=60 deg) / (1 mm)",
            0.528,
            5e-4,
        ),
        ("torque_for_tension(nut_factor=0.2, diameter=0.75 in, tension=107342.3 N) / (1 N*m)", 3619.7 * 0.1129848, 0.05),
        ("surface_speed(diameter=0.5 in, spindle_speed=400 rpm) / (1 in) * (60 s)", 628, 0.5),
        ("metric_stress_area(diameter=8 mm, pitch=1.25 mm) / (1 mm * 1 mm)", 36.6, 0.05),
        (
            "wall_at_yield(interference=0.2 mm, ring_od=400 mm, hub_od=500 mm, ring_modulus=200 GPa, ring_poisson=0.3,"
            " hub_modulus=200 GPa, hub_poisson=0.3, ring_yield=56.25 MPa) / (1 mm)",
            50.0,
            0.05,
        ),
        (
            "leak_down_loss(supply=80 psi + 1 bar, reading=60 psi + 1 bar, barometer=1 bar)",
            0.25,
            1e-12,
        ),
    ],
)  # fmt: skip
def test_published_numbers_come_out_of_a_formula_too(formula: str, published: float, within: float) -> None:
    tree = parse(formula)
    assert not isinstance(tree, FormulaProblem), tree
    assert work(tree, {}) == pytest.approx(published, abs=within)
