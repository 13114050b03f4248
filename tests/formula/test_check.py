"""What may be added, multiplied and compared, and what is said of the rest; all of it at once, each at its letters."""

from __future__ import annotations

import random

import pytest

from runner.engineering.calculations import CALCULATIONS
from runner.formula.check import check
from runner.formula.evaluate import work
from runner.formula.functions import FUNCTIONS
from runner.formula.parse import parse
from runner.formula.scan import LONGEST
from runner.formula.tree import FormulaProblem, Name
from runner.formula.values import CONDITION, CannotBeWorked, Group, Named, Shape, Typed, choice
from runner.quantities import kinds
from runner.quantities.kinds import Kind

TYPES = {
    "bore": Typed(kinds.LENGTH, Shape.LEVELS),
    "depths": Typed(kinds.LENGTH, Shape.POINTS),
    "od": Typed(kinds.LENGTH),
    "part_temp": Typed(kinds.TEMPERATURE),
    "gauge_temp": Typed(kinds.TEMPERATURE),
    "temps": Typed(kinds.TEMPERATURE, Shape.POINTS),
    "rise": Typed(kinds.TEMPERATURE_DIFFERENCE),
    "alpha": Typed(kinds.EXPANSION),
    "count": Typed(kinds.NUMBER),
    "lean": Typed(kinds.ANGLE),
    "seat": choice(),
    "state": choice("as new", "worn", "burnt"),
    "every head.od": Typed(kinds.LENGTH),
    "every head.bore": Typed(kinds.LENGTH, Shape.LEVELS),
    "every head.state": choice("worn"),
}
VALUES: dict[str, Named] = {
    "bore": Group(((0.0424, 0.0425), (0.0426, 0.0424))), "depths": Group(((0.006, 0.0061),)), "od": 0.0425,
    "part_temp": 295.0, "gauge_temp": 293.0, "temps": Group(((293.0, 294.0),)), "rise": 2.0, "alpha": 11.5e-6,
    "count": 3.0, "lean": 0.01, "seat": "EX", "state": "worn", "every head.od": Group(((0.0424, 0.0424, 0.0425),)),
}  # fmt: skip


def _look_up(name: Name) -> Typed | FormulaProblem | None:
    if name.name == "hushed":
        return None
    return TYPES.get(name.name) or FormulaProblem(
        "unknown-name", f"no '{name.name}'", "f", name.offset, name.length
    )


def _checked(text: str) -> tuple[Typed | None, list[FormulaProblem]]:
    tree = parse(text)
    assert not isinstance(tree, FormulaProblem), tree
    return check(tree, _look_up)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("20 degC + 5 K", kinds.TEMPERATURE),
        ("5 K + 20 degC", kinds.TEMPERATURE),
        ("20 degC - 5 K", kinds.TEMPERATURE),
        ("20 degC - -18 degC", kinds.TEMPERATURE_DIFFERENCE),
        ("part_temp - gauge_temp", kinds.TEMPERATURE_DIFFERENCE),
        ("abs(part_temp - gauge_temp)", kinds.TEMPERATURE_DIFFERENCE),
        ("2 * (part_temp - gauge_temp)", kinds.TEMPERATURE_DIFFERENCE),
        ("-rise", kinds.TEMPERATURE_DIFFERENCE),
        ("-18 degC", kinds.TEMPERATURE),
        ("mean(part_temp, gauge_temp)", kinds.TEMPERATURE),
        ("max(temps)", kinds.TEMPERATURE),
        ("spread(temps)", kinds.TEMPERATURE_DIFFERENCE),
        ("od * alpha * (part_temp - 20 degC)", kinds.LENGTH),
        ("od * alpha * rise", kinds.LENGTH),
        ("part_temp if rise > 1 K else gauge_temp", kinds.TEMPERATURE),
        ("od^2", kinds.AREA),
        ("od^-1 * od^2", kinds.LENGTH),
        ("sqrt(od^2)", kinds.LENGTH),
        ("od / od", kinds.NUMBER),
        ("sin(lean) * od", kinds.LENGTH),
        ("ovality(bore)", kinds.LENGTH),
        ("taper(bore) / spread(bore)", kinds.NUMBER),
        ("exp(ln(count))", kinds.NUMBER),
        ("alike(temps)", kinds.NUMBER),
        ("alike(every head.od)", kinds.NUMBER),
        ("spread(every head.od)", kinds.LENGTH),
        ("low(part_temp)", kinds.TEMPERATURE),
        ("high(od) - low(mean(depths))", kinds.LENGTH),
        ('od if seat is "EX" and state is not "worn" else 2 mm', kinds.LENGTH),
    ],
)
def test_sums_and_products_have_the_kind_that_physics_gives(text: str, kind: Kind) -> None:
    assert _checked(text) == (Typed(kind), [])


@pytest.mark.parametrize(
    ("text", "kind", "marked"),
    [
        ("20 degC + 20 degC", "kinds", "20 degC"),
        ("5 K - 20 degC", "kinds", "20 degC"),
        ("part_temp * 2", "temperature", "part_temp"),
        ("2 / part_temp", "temperature", "part_temp"),
        ("part_temp^2", "temperature", "part_temp"),
        ("-part_temp", "temperature", "part_temp"),
        ("--18 degC", "temperature", "-18 degC"),
        ("abs(part_temp)", "kinds", "abs(part_temp)"),
        ("od * alpha * part_temp", "temperature", "part_temp"),
        ("mean(part_temp, rise)", "kinds", "mean(part_temp, rise)"),
        ("(part_temp + gauge_temp) / 2", "kinds", "gauge_temp"),
        ("od if rise <= 1 degC else od", "kinds", "1 degC"),
        ("od if part_temp > 20 K else od", "kinds", "20 K"),
        ("part_temp if rise > 1 K else rise", "kinds", "rise"),
        ("od + 1", "kinds", "1"),
        ("od + od^2", "kinds", "od^2"),
        ("(od + 1 mm) * 2 + rise", "kinds", "rise"),
        ("od - (rise + 2 K)", "kinds", "rise + 2 K"),
        ("od if od > 2 else od", "kinds", "2"),
        ("sqrt(od)", "kinds", "sqrt(od)"),
        ("sin(od)", "kinds", "sin(od)"),
        ("ln(od)", "kinds", "ln(od)"),
        ("od^6 * od^6 * od", "power", "od^6 * od^6 * od"),
        ("od if od else od", "condition", "od"),
        ("od + (od > 1 mm)", "condition", "od > 1 mm"),
        ("mean((od > 1 mm))", "condition", "mean((od > 1 mm))"),
        ("bore - od", "group", "bore"),
        ("od * depths", "group", "depths"),
        ("od if depths > 1 mm else od", "group", "depths"),
        ("ovality(depths)", "kinds", "ovality(depths)"),
        ("taper(od)", "kinds", "taper(od)"),
        ("mean()", "kinds", "mean()"),
        ("mean(x1=od)", "named-input", "od"),
        ("maen(od)", "unknown-function", "maen"),
        ("od - bohr", "unknown-name", "bohr"),
        ("interference(bore, od)", "group", "bore"),
        ("interference(od)", "inputs", "interference(od)"),
        ("interference(ring_od=od, ring_od=od)", "inputs", "od"),
        ("interference(ring_od=od)", "inputs", "interference(ring_od=od)"),
        ("interference(ring_od=od, bohr=od)", "unknown-input", "od"),
        ("interference(od, bore=od)", "named-input", "interference(od, bore=od)"),
        ("at_20C(od, part_temp, alpha, gauge_temp, alpha)", "named-input", "at_20C(od, part_temp, alpha, gauge_temp, alpha)"),
        ("interference(od, rise)", "kinds", "rise"),
        ("low(depths)", "kinds", "low(depths)"),
        ("od - every head.od", "group", "every head.od"),
        ("mean(every head.bore)", "group", "every head.bore"),
        ('every head.state is "worn"', "group", "every head.state"),
        ("state + 1", "choice", "state"),
        ("mean(state)", "choice", "state"),
        ("alike(state, od)", "choice", "state"),
        ("od if state else od", "condition", "state"),
        ("state > 1 mm", "choice", "state"),
        ('od is "worn"', "choice", "od"),
        ('depths is not "worn"', "choice", "depths"),
        ('od if state is "wron" else od', "unknown-option", '"wron"'),
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_told_at_its_letters(text: str, kind: str, marked: str) -> None:
    _, problems = _checked(text)
    assert [one.kind for one in problems] == [kind]
    found = text[problems[0].offset : problems[0].offset + problems[0].length]
    assert found == marked
    assert problems[0].fix


def test_a_choice_is_asked_for_one_of_its_options() -> None:
    assert _checked('not state is "worn" or seat is "EX"') == (CONDITION, [])
    _, problems = _checked('state is "brunt"')
    assert problems[0].what == "'state' has no option called 'brunt'"
    assert problems[0].fix == "did you mean 'burnt'?"


def test_a_group_on_every_part_is_made_one_value_first() -> None:
    _, problems = _checked("mean(every head.bore)")
    assert problems[0].what == "'head.bore' is readings at several levels on each part"
    assert "work out one value on each part first" in problems[0].fix


def test_every_problem_of_a_formula_is_told_at_once() -> None:
    _, problems = _checked("(bohr + maen(od) - part_temp * 2) if depths > 1 mm else od^2 + 1")
    assert [one.kind for one in problems] == [
        "unknown-name",
        "unknown-function",
        "temperature",
        "kinds",
        "group",
    ]


def test_a_name_complained_of_elsewhere_brings_no_second_complaint() -> None:
    assert _checked("hushed * 2 + 20 degC - mean(hushed, od)") == (None, [])


ADDING = "temperature difference length number".split()
SAYS = {
    "temperature": "part_temp", "difference": "rise", "length": "od", "number": "count",
}  # fmt: skip
RULES = {
    ("temperature", "+", "temperature"): None,
    ("temperature", "+", "difference"): "temperature",
    ("difference", "+", "temperature"): "temperature",
    ("difference", "+", "difference"): "difference",
    ("temperature", "-", "temperature"): "difference",
    ("temperature", "-", "difference"): "temperature",
    ("difference", "-", "temperature"): None,
    ("difference", "-", "difference"): "difference",
}
KIND_OF = {"temperature": kinds.TEMPERATURE, "difference": kinds.TEMPERATURE_DIFFERENCE}


@pytest.mark.parametrize(("left", "sign", "right"), RULES)
def test_temperatures_and_differences_add_as_points_and_steps_on_a_scale(
    left: str, sign: str, right: str
) -> None:
    """Common practice, no source: a point and a step give a point, two points give a step, and no more."""
    typed, problems = _checked(f"{SAYS[left]} {sign} {SAYS[right]}")
    gives = RULES[left, sign, right]
    assert (typed, bool(problems)) == (Typed(KIND_OF[gives]) if gives else None, not gives)


@pytest.mark.parametrize("left", ADDING)
@pytest.mark.parametrize("right", ADDING)
@pytest.mark.parametrize("sign", "*/")
def test_a_temperature_on_its_scale_stands_in_no_product(left: str, sign: str, right: str) -> None:
    typed, problems = _checked(f"{SAYS[left]} {sign} {SAYS[right]}")
    refused = "temperature" in (left, right)
    assert (typed is None) == refused
    assert [one.kind for one in problems] == ["temperature"] * refused


WORDS = [
    *TYPES, "bohr", "20 degC", "5 K", "2 mm", "3", "0.5", "(", ")", "+", "-", "*", "/", "^2", "^-1", ",", "<", ">=", "if",
    "else", "and", "or", "not", *(f"{name}(" for name in [*FUNCTIONS, *list(CALCULATIONS)[:12]]), "reading=", "bore=", "°", "é", "..",
    "is", "every", "head.od", "state is", '"worn"', '"',
]  # fmt: skip


def _texts(dice: random.Random) -> str:
    good = "at_20C(reading=mean(bore), part_temperature=part_temp, part_expansion=alpha, gauge_temperature=gauge_temp, gauge_expansion=alpha)"
    match dice.randrange(3):
        case 0:
            return " ".join(dice.choice(WORDS) for _ in range(dice.randint(1, 12)))
        case 1:
            return "".join(
                chr(dice.choice([dice.randint(32, 126), dice.randint(0, 0x2FF)]))
                for _ in range(dice.randint(0, 20))
            )
        case _:
            text = dice.choice(
                [
                    good,
                    "abs(part_temp - 20 degC) * alpha * od",
                    "od if rise > 1 K and od < 2 mm else taper(bore)",
                    'low(od) if state is not "worn" else mean(every head.od)',
                ]
            )
            for _ in range(dice.randint(1, 3)):
                at, word = dice.randrange(len(text)), dice.choice(WORDS)
                text = dice.choice(
                    [
                        text[:at] + word + text[at:],
                        text[:at] + text[at + 3 :],
                        text[:at] + word + text[at + 2 :],
                    ]
                )
            return text


def test_no_text_makes_the_formula_rooms_stumble_and_every_problem_lies_inside_it() -> None:
    dice = random.Random(7)
    worked = 0
    for _ in range(2500):
        text = _texts(dice)
        tree = parse(text)
        typed = None
        problems = [tree] if isinstance(tree, FormulaProblem) else []
        if not isinstance(tree, FormulaProblem):
            typed, problems = check(tree, _look_up)
        for one in problems:
            assert 0 <= one.offset and one.length >= 1, (text, one)
            assert one.offset + one.length <= max(1, len(text)), (text, one)
            assert one.kind and one.what and one.fix, (text, one)
        if not problems and not isinstance(tree, FormulaProblem):
            assert typed is not None, text
            if typed.shape is Shape.ONE and not typed.is_condition:
                worked += 1
                try:
                    assert isinstance(work(tree, VALUES), float), text
                except CannotBeWorked as refused:
                    assert str(refused), text
        assert len(text) <= LONGEST or problems
    assert worked >= 10
