"""A formula's text as words: numbers with their units, names, signs. Bounded in length and count."""

from __future__ import annotations

import re
from dataclasses import dataclass

from runner.formula.tree import FormulaProblem
from runner.quantities.quantity import NotAQuantity, Quantity, parse_quantity
from runner.quantities.units import meant_by, unit

LONGEST = 800
"""Characters in one formula."""
MOST_WORDS = 200
RESERVED = ("if", "else", "and", "or", "not", "is", "to", "of", "every")
"""Words of the formula language, which no value can be called."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word: `sort` is number, name, sign, text (with its quotes) or end. A number with a unit carries its quantity."""

    sort: str
    text: str
    offset: int
    quantity: Quantity | None = None

    @property
    def length(self) -> int:
        return max(1, len(self.text))


_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")
_FRACTION = re.compile(r"(?:[0-9]+-)?[0-9]+/[0-9]+(?= )")
_UNIT = re.compile(r" *([A-Za-z]+(?:[/*][A-Za-z]+)*)")
_OTHER = re.compile(r" \([+-]?[0-9.][0-9./-]* [^\s()]+\)")
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*(?:\.[A-Za-z][A-Za-z0-9_]*){0,2}")
_TEXT = re.compile(r'"([^"]*)"')
_SIGN = re.compile(r"<=|>=|[-+*/^()<>,=]")


def scan(text: str) -> list[Word] | FormulaProblem:
    """The words of a formula with an end word behind them, or the first thing that is no word."""
    if len(text) > LONGEST:
        return FormulaProblem(
            "too-long",
            f"a formula of {len(text):,} characters",
            f"split it into named parts; {LONGEST} is the most",
            LONGEST - 1,
            1,
        )
    words: list[Word] = []
    at = 0
    while at < len(text):
        if text[at] == " ":
            at += 1
            continue
        word = _word(text, at)
        if not isinstance(word, FormulaProblem):
            word = _with_other_unit(text, word)
        if not isinstance(word, FormulaProblem):
            word = _two_ways(words, word) or word
        if isinstance(word, FormulaProblem):
            return word
        words.append(word)
        at += len(word.text)
        if len(words) > MOST_WORDS:
            return FormulaProblem(
                "too-long", "a formula with too many parts", "split it into named parts", at - 1, 1
            )
    words.append(Word("end", "", len(text.rstrip())))
    return words


def _word(text: str, at: int) -> Word | FormulaProblem:
    if fraction := _FRACTION.match(text, at):
        unit_behind = _UNIT.match(text, fraction.end())
        symbol = _longest_unit(unit_behind[1]) if unit_behind else None
        if unit_behind and symbol:
            return _fraction(text[at : unit_behind.start(1) + len(symbol)], fraction[0], symbol, at)
    if number := _NUMBER.match(text, at):
        return _number(text, number)
    if name := _NAME.match(text, at):
        if any(len(piece) > 40 for piece in name[0].split(".")):
            return FormulaProblem(
                "too-long", "a name longer than 40 letters", "give it a shorter one", at, len(name[0])
            )
        return Word("name", name[0], at)
    if sign := _SIGN.match(text, at):
        return Word("sign", sign[0], at)
    if quoted := _TEXT.match(text, at):
        return _option(quoted, at)
    return _odd(text, at)


def _with_other_unit(text: str, word: Word) -> Word | FormulaProblem:
    """A quantity with the other unit behind it, as its source prints it: `0.05 mm (0.002 in)`, which is one value."""
    other = _OTHER.match(text, word.offset + len(word.text)) if word.quantity else None
    if other is None:
        return word
    both = parse_quantity(f"{word.text}{other[0]}")
    if isinstance(both, NotAQuantity):
        return FormulaProblem(both.kind, both.what, both.fix, word.offset + both.offset, both.length)
    return Word("number", word.text + other[0], word.offset, both)


def _option(quoted: re.Match[str], at: int) -> Word | FormulaProblem:
    odd = next((sign for sign in quoted[1] if not sign.isprintable()), None)
    if odd is not None:
        at += quoted[0].index(odd)
        return FormulaProblem(
            "odd-sign", "a character that does not show, in an option", "take it out", at, 1
        )
    if not quoted[1].strip():
        what, fix = "an option without a name", 'write it between the quotes: "good"'
        return FormulaProblem("option", what, fix, at, len(quoted[0]))
    return Word("text", quoted[0], at)


def _fraction(written: str, number: str, symbol: str, at: int) -> Word | FormulaProblem:
    """A fraction with its unit is one quantity, as at the bench: `1-3/8 in`."""
    quantity = parse_quantity(f"{number} {symbol}")
    if isinstance(quantity, NotAQuantity):
        return FormulaProblem(quantity.kind, quantity.what, quantity.fix, at, len(written))
    return Word("number", written, at, quantity)


def _two_ways(words: list[Word], word: Word) -> FormulaProblem | None:
    """The complaint of a division that one reader takes for a fraction of a unit and the next one doesn't."""
    if not word.quantity or not words:
        return None
    before = words[-1]
    if "/" in word.text.split()[0]:
        if before.text not in ("*", "/", "^"):
            return None
        what = f"'{before.text} {word.text}' could be read in two ways"
        return FormulaProblem("fraction", what, f"write ({word.text})", word.offset, word.length)
    over = words[-2] if len(words) > 1 and before.text == "/" else None
    if over is None or over.sort != "number" or over.quantity or (len(words) > 2 and words[-3].text == "^"):
        return None
    fix = f"write {over.text} / ({word.text})"
    under = word.text.split()[0]
    if over.text.isdigit() and under.isdigit() and int(over.text) < int(under):
        fix += f", or {over.text}/{word.text} without blanks for a fraction"
    what = f"'{over.text} / {word.text}' could be read in two ways"
    return FormulaProblem("fraction", what, fix, over.offset, word.offset + word.length - over.offset)


def _number(text: str, number: re.Match[str]) -> Word | FormulaProblem:
    start, end = number.span()
    if sum(sign.isdigit() for sign in number[0]) > 15:
        return FormulaProblem(
            "bad-number",
            "a number with more than 15 digits",
            "write the digits that matter",
            start,
            end - start,
        )
    if re.match(r",[0-9]", text[end:]):
        fix = "write a point; procedures use the point, whatever the bench types"
        if text.count("(", 0, start) > text.count(")", 0, start):
            fix = "write a point, or a blank behind the comma between two values"
        return FormulaProblem("decimal-comma", "a comma in a number", fix, end, 1)
    if re.match(r"[A-Za-z_]", text[end : end + 1]):
        word = re.match(r"[A-Za-z0-9_/*]+", text[end:])
        assert word
        if unit(word[0]):
            return FormulaProblem(
                "bad-number",
                "a number and its unit stand apart by one blank",
                f"write {number[0]} {word[0]}",
                start,
                end - start + len(word[0]),
            )
        return FormulaProblem(
            "bad-number",
            f"'{number[0]}{word[0]}' is neither a number nor a name",
            "a name begins with a letter",
            start,
            end - start + len(word[0]),
        )
    behind = _UNIT.match(text, end)
    if not behind or behind[1].split("/")[0].split("*")[0] in RESERVED:
        if odd := re.match(r" ?([°%µμ\"]\w*)", text[end:]):
            return FormulaProblem(
                "unknown-unit",
                f"'{odd[1]}' is not one of the shop's units",
                f"write {number[0]} {meant_by(odd[1]) or 'and one of them'}",
                end + odd.start(1),
                len(odd[1]),
            )
        return Word("number", number[0], start)
    symbol = _longest_unit(behind[1])
    if symbol is None:
        meant = meant_by(behind[1])
        fix = (
            f"write {number[0]} {meant}"
            if meant
            else "put a sign between them, or write one of the shop's units"
        )
        if behind[1] in ("x", "X"):
            fix = "write * for times"
        return FormulaProblem(
            "unknown-unit",
            f"'{behind[1]}' is not one of the shop's units",
            fix,
            behind.start(1),
            len(behind[1]),
        )
    whole = text[start : behind.start(1) + len(symbol)]
    quantity = parse_quantity(f"{number[0]} {symbol}")
    assert not isinstance(quantity, NotAQuantity)
    return Word("number", whole, start, quantity)


def _longest_unit(written: str) -> str | None:
    """The unit at the front of `mm/step`: as many of the joined words as are units, so that a name may follow a sign."""
    pieces = re.split(r"(?=[/*])", written)
    for count in range(len(pieces), 0, -1):
        symbol = "".join(pieces[:count])
        if unit(symbol):
            return symbol
    return None


def _odd(text: str, at: int) -> FormulaProblem:
    sign = text[at]
    fixes = {
        "×": "write * for times",
        "·": "write * for times",
        "÷": "write / for divided by",
        "−": "write the plain minus",
        "[": "use round brackets",
        "]": "use round brackets",
        "{": "use round brackets",
        "%": "write percent behind the number",
        "'": 'an option stands in plain double quotes: is "good"',
        "\u201c": 'an option stands in plain double quotes: is "good"',
        "\u201d": 'an option stands in plain double quotes: is "good"',
        '"': "close the option with a second one",
    }
    shown = f"'{sign}'" if sign.isprintable() else "a character that does not show"
    return FormulaProblem(
        "odd-sign", f"{shown} has no meaning in a formula", fixes.get(sign, "take it out"), at, 1
    )
