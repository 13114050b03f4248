"""Kinds and names of a formula, checked before any job starts. All problems at once, at their columns."""

from __future__ import annotations

from collections.abc import Callable

from runner.engineering.calculations import CALCULATIONS
from runner.engineering.signature import Signature
from runner.formula.functions import FUNCTIONS
from runner.formula.tree import (
    Binary,
    Call,
    Comparison,
    Conditional,
    FormulaProblem,
    Is,
    Logic,
    Name,
    Negative,
    Number,
    Tree,
)
from runner.formula.values import CONDITION, Shape, Typed
from runner.quantities.kinds import NUMBER, TEMPERATURE, TEMPERATURE_DIFFERENCE, Kind
from runner.text.nearest import suggestion

LookUp = Callable[[Name], Typed | FormulaProblem | None]
"""
What a name stands for: its type, a problem, or None where it has been complained of elsewhere. For a name with `every`
it is asked what one part's value is.
"""
MOST_POWERS = 12


def check(tree: Tree, look_up: LookUp) -> tuple[Typed | None, list[FormulaProblem]]:
    """The type of a formula's result, or None where its problems leave it unknown."""
    checker = _Checker(look_up)
    return checker.type_of(tree), checker.problems


class _Checker:
    def __init__(self, look_up: LookUp) -> None:
        self.look_up = look_up
        self.problems: list[FormulaProblem] = []

    def wrong(self, kind: str, what: str, fix: str, tree: Tree) -> None:
        self.problems.append(FormulaProblem(kind, what, fix, tree.offset, tree.length))

    def type_of(self, tree: Tree) -> Typed | None:
        match tree:
            case Number(quantity):
                return Typed(quantity.kind if quantity else NUMBER)
            case Name():
                return self.name(tree)
            case Negative(value):
                return self.negative(value)
            case Binary():
                return self.binary(tree)
            case Comparison():
                return self.comparison(tree)
            case Is():
                return self.option(tree)
            case Logic(conditions=conditions):
                for condition in conditions:
                    self.condition(condition)
                return CONDITION
            case Conditional():
                return self.conditional(tree)
            case Call():
                return self.call(tree)

    def name(self, tree: Name) -> Typed | None:
        found = self.look_up(tree)
        if isinstance(found, FormulaProblem):
            self.problems.append(found)
            return None
        if found is None or not tree.every:
            return found
        if found.shape is not Shape.ONE:
            what = f"'{'.'.join(tree.path)}' is {found.shape.value} on each part"
            fix = "work out one value on each part first, and take every one of those"
            self.wrong("group", what, fix, tree)
            return None
        return Typed(found.kind, Shape.POINTS)

    def one(self, tree: Tree) -> Kind | None:
        """The kind of a part that must be one value."""
        typed = self.type_of(tree)
        if typed is None:
            return None
        if typed.is_condition:
            self.wrong(
                "condition",
                "a condition where a value should be",
                "write: value if condition else other value",
                tree,
            )
            return None
        if typed.shape is Shape.CHOICE:
            self.wrong("choice", f"'{_text(tree)}' is a choice, not a value", _ask_it(tree), tree)
            return None
        if typed.shape is not Shape.ONE:
            fix = f"take one from it: mean({_text(tree)}), max({_text(tree)}), spread({_text(tree)})"
            self.wrong("group", f"'{_text(tree)}' is {typed.shape.value}, and one is wanted here", fix, tree)
            return None
        return typed.kind

    def condition(self, tree: Tree) -> None:
        typed = self.type_of(tree)
        if typed and not typed.is_condition:
            is_choice = typed.shape is Shape.CHOICE
            what = f"{'a choice' if is_choice else 'a value'} where a condition should be"
            self.wrong(
                "condition", what, _ask_it(tree) if is_choice else "compare it with < <= > or >=", tree
            )

    def negative(self, value: Tree) -> Typed | None:
        kind = self.one(value)
        if isinstance(value, Number) and kind == TEMPERATURE:
            return Typed(TEMPERATURE)
        if kind and kind.point:
            self.wrong(
                "temperature", "a temperature has no opposite", "take a difference of two temperatures", value
            )
            return None
        return Typed(kind) if kind else None

    def binary(self, tree: Binary) -> Typed | None:
        left, right = self.one(tree.left), self.one(tree.right)
        if left is None or right is None:
            return None
        if tree.sign in "+-":
            kind = self.sum(tree, left, right)
        elif tree.sign == "^":
            kind = self.power(tree, left)
        else:
            kind = self.product(tree, left, right)
        return Typed(kind) if kind else None

    def sum(self, tree: Binary, left: Kind, right: Kind) -> Kind | None:
        adding = tree.sign == "+"
        if left == right and not left.point:
            return left
        if left.point and right.point and not adding:
            return TEMPERATURE_DIFFERENCE
        if left.point and right == TEMPERATURE_DIFFERENCE:
            return TEMPERATURE
        if adding and right.point and left == TEMPERATURE_DIFFERENCE:
            return TEMPERATURE
        verb, joint = ("add", "to") if adding else ("take", "from")
        part = tree.right
        if left.point and right.point:
            self.wrong(
                "kinds", "two temperatures can't be added", "write a difference in K, or mean(a, b)", part
            )
        else:
            fix = (
                "write the number with its unit"
                if NUMBER in (left, right)
                else "look at which value was meant"
            )
            if {left, right} == {TEMPERATURE, TEMPERATURE_DIFFERENCE}:
                fix = "write this as a difference, in K"
            self.wrong("kinds", f"can't {verb} {right.words} {joint} {left.words}", fix, part)
        return None

    def product(self, tree: Binary, left: Kind, right: Kind) -> Kind | None:
        for kind, part in ((left, tree.left), (right, tree.right)):
            if kind.point:
                doing = "multiplied" if tree.sign == "*" else "divided"
                self.wrong(
                    "temperature",
                    f"a temperature can't be {doing}; only a difference can",
                    "subtract another temperature first, such as 20 degC",
                    part,
                )
                return None
        return self.bounded(left.times(right) if tree.sign == "*" else left.over(right), tree)

    def power(self, tree: Binary, base: Kind) -> Kind | None:
        if base.point:
            self.wrong(
                "temperature",
                "a temperature has no powers",
                "take a difference of two temperatures",
                tree.left,
            )
            return None
        negative = isinstance(tree.right, Negative)
        number = tree.right.value if isinstance(tree.right, Negative) else tree.right
        assert isinstance(number, Number)
        exponent = int(number.plain)
        return self.bounded(base.to_the(-exponent if negative else exponent), tree)

    def bounded(self, kind: Kind, tree: Tree) -> Kind | None:
        if any(abs(power) > MOST_POWERS for power in kind.exponents):
            self.wrong(
                "power",
                "a result with powers that nothing in a shop has",
                "look at which value was meant",
                tree,
            )
            return None
        return kind

    def comparison(self, tree: Comparison) -> Typed:
        left, right = self.one(tree.left), self.one(tree.right)
        if left is not None and right is not None and left != right:
            self.wrong(
                "kinds",
                f"{left.words} can't be compared with '{_text(tree.right)}', which is {right.words}",
                _compare_fix(tree, left, right),
                tree.right,
            )
        return CONDITION

    def option(self, tree: Is) -> Typed:
        typed = self.name(tree.name)
        if typed is None:
            return CONDITION
        if typed.shape is not Shape.CHOICE:
            what = typed.kind.words if typed.shape is Shape.ONE else typed.shape.value
            fix = "compare it with < <= > or >="
            self.wrong("choice", f"'{tree.name.name}' is {what}, not a choice", fix, tree.name)
        elif typed.options and tree.option not in typed.options:
            what = f"'{tree.name.name}' has no option called '{tree.option}'"
            fix = suggestion(tree.option, typed.options)
            self.problems.append(FormulaProblem("unknown-option", what, fix, tree.at, len(tree.option) + 2))
        return CONDITION

    def conditional(self, tree: Conditional) -> Typed | None:
        value, other = self.one(tree.value), self.one(tree.other)
        self.condition(tree.condition)
        if value is None or other is None:
            return None
        if value != other:
            self.wrong(
                "kinds",
                f"one way this is {value.words}, the other way {other.words}",
                "both ways must give the same sort of value",
                tree.other,
            )
            return None
        return Typed(value)

    def call(self, tree: Call) -> Typed | None:
        if tree.function in FUNCTIONS:
            return self.function(tree)
        signature = CALCULATIONS.get(tree.function)
        if signature:
            return self.calculation(tree, signature)
        near = suggestion(tree.function, [*FUNCTIONS, *CALCULATIONS])
        self.problems.append(
            FormulaProblem(
                "unknown-function",
                f"no calculation is called '{tree.function}'",
                near,
                tree.offset,
                len(tree.function),
            )
        )
        for _, argument in tree.arguments:
            self.type_of(argument)
        return None

    def function(self, tree: Call) -> Typed | None:
        types = [self.type_of(argument) for _, argument in tree.arguments]
        for called, argument in tree.arguments:
            if called:
                self.wrong(
                    "named-input",
                    f"{tree.function} takes its values without names",
                    f"leave out '{called} ='",
                    argument,
                )
                return None
        known = [typed for typed in types if typed]
        if len(known) < len(types):
            return None
        if any(typed.is_condition for typed in known):
            self.wrong("condition", "a condition where a value should be", "give it a value", tree)
            return None
        for typed, (_, argument) in zip(known, tree.arguments, strict=True):
            if typed.shape is Shape.CHOICE:
                what = f"'{_text(argument)}' is a choice, not a value"
                self.wrong("choice", what, _ask_it(argument), argument)
                return None
        gives = FUNCTIONS[tree.function].gives(known)
        if isinstance(gives, str):
            self.wrong(
                "kinds",
                f"{tree.function}: {gives}",
                f"{tree.function} gives {FUNCTIONS[tree.function].says}",
                tree,
            )
            return None
        return gives

    def calculation(self, tree: Call, signature: Signature) -> Typed | None:
        ordered = arrange(tree, signature)
        if isinstance(ordered, FormulaProblem):
            self.problems.append(ordered)
            for _, argument in tree.arguments:
                self.type_of(argument)
            return None
        for wanted, given in zip(signature.arguments, ordered, strict=True):
            kind = self.one(given)
            if kind is not None and kind != wanted.kind:
                self.wrong(
                    "kinds",
                    f"'{wanted.name}' of {signature.name} is {wanted.kind.words}, and this is {kind.words}",
                    "look at which value was meant",
                    given,
                )
        return Typed(signature.gives)


def arrange(call: Call, signature: Signature) -> list[Tree] | FormulaProblem:
    """The arguments in the signature's order; more than three inputs must be given by name, for nobody counts commas."""
    names = [argument.name for argument in signature.arguments]
    shape = f"{signature.name}({', '.join(names)})"
    by_name = [called for called, _ in call.arguments if called]
    if (by_name and len(by_name) < len(call.arguments)) or (
        len(names) > 3 and call.arguments and not by_name
    ):
        fix = f"write {signature.name}({', '.join(name + '=…' for name in names)})"
        return FormulaProblem(
            "named-input",
            f"each input of {signature.name} is given by its name",
            fix,
            call.offset,
            call.length,
        )
    if not by_name:
        if len(call.arguments) != len(names):
            return FormulaProblem(
                "inputs",
                f"{signature.name} takes {len(names)} inputs, and here are {len(call.arguments)}",
                f"write {shape}",
                call.offset,
                call.length,
            )
        return [argument for _, argument in call.arguments]
    given: dict[str, Tree] = {}
    for called, argument in call.arguments:
        assert called
        if called not in names:
            return FormulaProblem(
                "unknown-input",
                f"{signature.name} has no input called '{called}'",
                suggestion(called, names),
                argument.offset,
                argument.length,
            )
        if called in given:
            return FormulaProblem(
                "inputs", f"'{called}' is given twice", "keep one", argument.offset, argument.length
            )
        given[called] = argument
    missing = [name for name in names if name not in given]
    if missing:
        return FormulaProblem(
            "inputs",
            f"{signature.name} still needs {', '.join(missing)}",
            f"write {shape}, each with its name",
            call.offset,
            call.length,
        )
    return [given[name] for name in names]


def _compare_fix(tree: Comparison, left: Kind, right: Kind) -> str:
    number = tree.right.quantity if isinstance(tree.right, Number) else None
    if left == TEMPERATURE_DIFFERENCE and right == TEMPERATURE and number:
        return f"write {number.typed.split()[0]} K"
    return "write the number with its unit" if right == NUMBER else "compare values of one sort"


def _ask_it(tree: Tree) -> str:
    return f'ask it with is, such as: {_text(tree)} is "good"'


def _text(tree: Tree) -> str:
    match tree:
        case Name(name):
            return name
        case Number(quantity, plain):
            return quantity.typed if quantity else plain
        case Call(function):
            return f"{function}(…)"
        case _:
            return "this"
