"""A formula is the tree it says, and the first place where it stops being one is told."""

from __future__ import annotations

import time
from fractions import Fraction

import pytest
from hypothesis import assume, given

from runner.formula.evaluate import exact
from runner.formula.parse import DEEPEST, parse
from runner.formula.scan import LONGEST, MOST_WORDS
from runner.formula.tree import Call, FormulaProblem, Tree, names_in
from tests.formula.trees import inside, shape, trees, written


def _tree(text: str) -> Tree:
    found = parse(text)
    assert not isinstance(found, FormulaProblem), found
    return found


@given(trees)
def test_a_formula_written_out_and_read_again_is_the_same_formula(tree: Tree) -> None:
    text = written(tree)
    assume(len(text) <= LONGEST)
    assert shape(_tree(text)) == shape(tree)


@given(trees)
def test_each_part_of_a_formula_knows_which_letters_it_came_from(tree: Tree) -> None:
    text = written(tree)
    assume(len(text) <= LONGEST)
    for part in inside(_tree(text)):
        written_part = text[part.offset : part.offset + part.length]
        assert shape(_tree(written_part)) == shape(part), written_part


@given(trees)
def test_blanks_change_nothing(tree: Tree) -> None:
    text = written(tree)
    wide = (
        text.replace("(", "( ")
        .replace(")", " )")
        .replace(" + ", "  +   ")
        .replace(" * ", "*")
        .replace(" - ", "-")
    )
    assume(len(wide) <= LONGEST)
    assert shape(_tree(f"  {wide}  ")) == shape(tree)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("a1 - b1 - c1", "(a1 - b1) - c1"),
        ("a1 / b1 * c1", "(a1 / b1) * c1"),
        ("-a1^2", "-(a1^2)"),
        ("a1 + b1 * c1", "a1 + (b1 * c1)"),
        ("2 mm/a1", "(2 mm) / a1"),
        ("2 mm*a1", "(2 mm) * a1"),
        ("+a1", "a1"),
        ("a1 if b1 < c1 else d1 if e1 < f1 else g1", "a1 if (b1 < c1) else (d1 if (e1 < f1) else g1)"),
        ("not a1 < b1 and c1 < d1", "(not (a1 < b1)) and (c1 < d1)"),
        ("5  mm", "5 mm"),
        ("a1-3/8 in", "a1 - (3/8 in)"),
        ("5 mm-1-3/8 in", "5 mm - (1-3/8 in)"),
        ("-1-3/8 in", "-(1-3/8 in)"),
        ("a1^2 / 8 in", "(a1^2) / (8 in)"),
        ("3/8 if a1 < b1 else c1", "(3 / 8) if a1 < b1 else c1"),
        ("every  seat.bore", "every seat.bore"),
        ('not a1 is "x" and b1 is not  "y"', '(not (a1 is "x")) and (b1 is not "y")'),
        ('a1 if seat is "EX" else b1', 'a1 if (seat is "EX") else b1'),
    ],
)
def test_what_binds_tighter_is_as_on_paper(one: str, other: str) -> None:
    assert shape(_tree(one)) == shape(_tree(other))


@pytest.mark.parametrize(
    ("text", "kind", "marked"),
    [
        ("", "unfinished", ""),
        ("   ", "unfinished", " "),
        ("bore -", "unfinished", "-"),
        ("bore - (", "unfinished", "("),
        ("(bore", "bracket", "("),
        ("mean(bore", "bracket", "("),
        ("bore)", "bracket", ")"),
        ("bore - / 2", "value-missing", "/"),
        ("mean(, bore)", "value-missing", ","),
        ("mean(bore bore)", "space-in-name", "bore bore"),
        ("insert od 20 - fit", "space-in-name", "insert od 20"),
        ("2 mm bore", "sign-missing", "bore"),
        ("5 mm 3 mm", "sign-missing", "3 mm"),
        ("(bore) 2", "sign-missing", "2"),
        ("a1 < b1 < c1", "chained-comparison", "<"),
        ("(a1 < b1) < c1 < d1", "chained-comparison", "<"),
        ("a1 < b1 and c1 < d1 or e1 < f1", "and-with-or", "or"),
        ("a1 if b1 < c1", "else-missing", "c1"),
        ("a1 = b1", "odd-sign", "="),
        ("a1 to b1", "odd-sign", "to"),
        ("3 / 8 in", "fraction", "3 / 8 in"),
        ("a1 + 3/ 8 in", "fraction", "3/ 8 in"),
        ("1.5/8 in", "fraction", "1.5/8 in"),
        ("a1 * 3/8 in", "fraction", "3/8 in"),
        ("a1 / 1-3/8 in", "fraction", "1-3/8 in"),
        ("a1^3/8 in", "fraction", "3/8 in"),
        ("10/8 in", "bad-number", "10/8 in"),
        ("1-9/8 in", "bad-number", "1-9/8 in"),
        ("3/0 in", "bad-number", "3/0 in"),
        ("1 3/8 in", "sign-missing", "3/8 in"),
        ("every", "value-missing", "every"),
        ("mean(every)", "value-missing", "every"),
        ("mean(every every)", "value-missing", "every"),
        ("every 2 mm", "value-missing", "every"),
        ("every bore", "every", "bore"),
        ("seat is EX", "option", "EX"),
        ("seat is not as new and a1 < b1", "option", "as new"),
        ("seat is", "option", "is"),
        ("seat is (EX)", "option", "("),
        ('seat is ""', "option", '""'),
        ('seat is "EX" is "IN"', "chained-comparison", "is"),
        ('seat is "EX" < 2', "chained-comparison", "<"),
        ('a1 < b1 is "IN"', "chained-comparison", "is"),
        ('seat = "EX"', "odd-sign", "="),
        ('seat "EX"', "option", '"EX"'),
        ('"EX" is seat', "option", '"EX"'),
        ('2 mm is "EX"', "choice", "2 mm"),
        ('seat is "EX', "odd-sign", '"'),
        ("seat is 'EX'", "odd-sign", "'"),
        ("seat is \u201cEX\u201d", "odd-sign", "\u201c"),
        ('seat is "E\x1bX"', "odd-sign", "\x1b"),
        ("a1^7", "power", "7"),
        ("a1^b1", "power", "b1"),
        ("a1^0.5", "power", "0.5"),
        ("a1^2 mm", "power", "2 mm"),
        ("a1^", "power", "^"),
        ("a1^2^2", "power", "^"),
        ("9^9^9^9", "power", "9"),
        ("1,5 mm", "decimal-comma", ","),
        ("max(1,5 mm, 2 mm)", "decimal-comma", ","),
        ("20 °C", "unknown-unit", "°C"),
        ("20 Nm", "unknown-unit", "Nm"),
        ("2 x bore", "unknown-unit", "x"),
        ("5mm", "bad-number", "5mm"),
        ("3bore", "bad-number", "3bore"),
        ("1e3", "bad-number", "1e3"),
        ("1234567890123456", "bad-number", "1234567890123456"),
        ("\u0663 mm", "odd-sign", "\u0663"),
        ("bore × 2", "odd-sign", "×"),
        ("bore // 2", "value-missing", "/"),
        ("bore ** 2", "value-missing", "*"),
        ("bore[0]", "odd-sign", "["),
        ("bore == 2", "odd-sign", "="),
        ("().__class__", "odd-sign", "."),
        ("__import__('os')", "odd-sign", "_"),
        ("lambda: 0", "odd-sign", ":"),
        ("'a' * 10^9", "odd-sign", "'"),
        ("bore.a.b.c", "odd-sign", "."),
        ("bore; bore", "odd-sign", ";"),
        ("bore\nbore", "odd-sign", "\n"),
        ("bore\x1b", "odd-sign", "\x1b"),
    ],
)
def test_what_is_no_formula_is_told_at_its_first_wrong_letter(text: str, kind: str, marked: str) -> None:
    found = parse(text)
    assert isinstance(found, FormulaProblem)
    assert (found.kind, text[found.offset : found.offset + found.length]) == (kind, marked)
    assert found.fix and "\x1b" not in found.what and "\n" not in found.what


@pytest.mark.parametrize(
    "text",
    [
        "(" * 400, "-" * 400, "(" * 200 + ")" * 200, "not " * 90 + "a1", "mean(" * 60 + "a1" + ")" * 60,
        "9" * 400, "a1+" * 130, "a" * 400, "a1" + "^9" * 150, "(" * 10_000, "[" * 10**6,
    ],
)  # fmt: skip
def test_a_formula_meant_to_take_time_is_refused_at_once(text: str) -> None:
    began = time.process_time()
    assert isinstance(parse(text), FormulaProblem)
    assert time.process_time() - began < 0.5


def test_a_formula_may_be_as_long_and_as_deep_as_the_limits_say_and_no_more() -> None:
    longest = "abcdef1 + " * 79 + "abcdefgh12"
    assert len(longest) == LONGEST
    assert parse(longest + "0") == FormulaProblem(
        "too-long", "a formula of 801 characters", "split it into named parts; 800 is the most", 799, 1
    )
    _tree(longest)
    _tree("(" * DEEPEST + "a1" + ")" * DEEPEST)
    deeper = parse("(" * (DEEPEST + 1) + "a1" + ")" * (DEEPEST + 1))
    assert isinstance(deeper, FormulaProblem) and deeper.kind == "too-deep" and deeper.offset == DEEPEST
    _tree("-".join(["a"] * (MOST_WORDS // 2)))
    too_many = parse("-".join(["a"] * (MOST_WORDS // 2 + 1)))
    assert isinstance(too_many, FormulaProblem) and too_many.kind == "too-long"


def test_the_names_of_a_formula_come_in_the_order_they_stand() -> None:
    tree = _tree("mean(bore) - at_20C(reading=od, gauge=ring) if f1 < f2 and not f3 > 1 else -bore^2")
    assert [name.name for name in names_in(tree)] == ["bore", "od", "ring", "f1", "f2", "f3", "bore"]


def test_inputs_keep_the_names_they_are_given_by() -> None:
    tree = _tree("interference(bore=b1, ring_od=2 mm)")
    assert isinstance(tree, Call)
    assert [called for called, _ in tree.arguments] == ["bore", "ring_od"]


def test_an_option_without_its_quotes_is_written_out_for_whoever_forgot_them() -> None:
    found = parse("seat is EX")
    assert isinstance(found, FormulaProblem)
    assert (found.what, found.fix) == ("an option stands in quotes", 'write seat is "EX"')


def test_the_value_of_every_part_is_named_apart_from_the_value_of_one() -> None:
    one, all_of_them = names_in(_tree("seat.bore - mean(every  seat.bore)"))
    assert (one.name, one.every, one.path) == ("seat.bore", False, ("seat", "bore"))
    assert (all_of_them.name, all_of_them.every, all_of_them.path) == (
        "every seat.bore",
        True,
        ("seat", "bore"),
    )
    assert names_in(_tree("bore"))[0].path == ("", "bore")


@pytest.mark.parametrize(
    ("text", "mm"), [("3/8 in", "9.525"), ("1-3/8 in", "34.925"), ("-1-3/8 in", "-34.925"), ("1/2 mm", "0.5")]
)
def test_a_fraction_with_its_unit_is_what_it_is_at_the_bench(text: str, mm: str) -> None:
    # 1 in is 25.4 mm, exactly: 3/8 of it is 9.525 mm
    assert exact(_tree(text), {}) == Fraction(mm) / 1000


def test_a_fraction_that_could_be_a_division_is_offered_both_ways() -> None:
    found = parse("3 / 8 in")
    assert isinstance(found, FormulaProblem)
    assert found.fix == "write 3 / (8 in), or 3/8 in without blanks for a fraction"
