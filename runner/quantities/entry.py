"""What a person typed at the bench, read as a number or refused with a sentence. Never another number than the one typed.

A bare number takes the unit shown. `.15`, `1-3/8`, `3/8`, `6 thou`, `-18` are numbers; `1,250`, `1e3`, `O.5`, `1 9/8` are not.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from runner.quantities.quantity import MOST_DIGITS, Quantity
from runner.quantities.units import Unit, at_the_bench, meant_by
from runner.text.foreign import has_unprintable, one_line


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a typed text is no reading: one sentence; the text stays for correction."""

    sentence: str


_DECIMAL = re.compile(r"([+-]?)(\d*)(?:\.(\d*))?")
_MIXED = re.compile(r"([+-]?)(?:(\d+)-)?(\d+)/(\d+)")
_SPLIT = re.compile(r"([0-9.,+/'_-]*[0-9.,])\s*([^\d\s.,+-]\S*)?")


def parse_entry(text: str, unit: Unit, mark: str = ".") -> Quantity | Refused:
    """
    The quantity in one typed text. `unit` is the one shown, `mark` the shop's decimal mark. Another unit of the same
    kind may be typed; whether it counts at once is for the caller to decide.
    """
    typed = text.strip()
    if not typed:
        return Refused("nothing was typed")
    if len(typed) > 60:
        return Refused("that is too long for a reading")
    plain = typed.replace("\u2212", "-")
    if has_unprintable(typed):
        return Refused(f"'{one_line(typed)}' has a sign that does not show")
    if not plain.isascii() and not re.search("[°µμ]", plain):
        return Refused(f"'{typed}' has a sign that no number has")
    match = None if re.search(r"\d[eE][+-]?\d", plain) else _SPLIT.fullmatch(plain)
    if not match:
        return Refused(_why_not(typed))
    number = _number(match[1], typed, mark)
    if isinstance(number, Refused):
        return number
    if not match[2]:
        return Quantity(number, unit, typed)
    found = at_the_bench(match[2])
    if found is None:
        meant = meant_by(match[2])
        return Refused(
            f"'{match[2]}' is not one of the shop's units"
            + (f"; {meant} is" if meant else f"; {unit.symbol} is asked for")
        )
    if found.kind != unit.kind:
        return Refused(f"'{match[2]}' is not {unit.kind.words}; {unit.symbol} is asked for")
    return Quantity(number, found, typed)


def split_entries(text: str) -> list[str]:
    """The readings on one line: blanks separate them, a unit word stays with the number before it."""
    words: list[str] = []
    for word in text.split():
        if words and not re.match(r"[0-9.,+\u2212-]", word):
            words[-1] += " " + word
        else:
            words.append(word)
    return words


def _number(text: str, typed: str, mark: str) -> Fraction | Refused:
    if sum(sign.isdigit() for sign in text) > MOST_DIGITS:
        return Refused(f"'{typed}' has more than {MOST_DIGITS} digits")
    other = "," if mark == "." else "."
    if other in text:
        shown = "a comma" if other == "," else "a point"
        return Refused(
            f"'{typed}' has {shown} in it; the mark here is '{mark}', as in {text.replace(other, mark, 1) if text.count(other) == 1 else '0' + mark + '15'}"
        )
    mixed = _MIXED.fullmatch(text)
    if mixed:
        return _mixed(mixed, typed)
    decimal = _DECIMAL.fullmatch(text.replace(mark, ".", 1) if mark != "." else text)
    if not decimal or not (decimal[2] or decimal[3]):
        return Refused(_why_not(typed))
    sign = -1 if decimal[1] == "-" else 1
    return sign * Fraction(f"{decimal[2] or '0'}.{decimal[3] or '0'}")


def _mixed(match: re.Match[str], typed: str) -> Fraction | Refused:
    over, under = int(match[3]), int(match[4])
    if under == 0:
        return Refused(f"'{typed}' divides by nothing")
    if over >= under:
        return Refused(f"'{typed}' has a fraction of one or more; write it as a mixed number such as 1-3/8")
    value = int(match[2] or 0) + Fraction(over, under)
    return -value if match[1] == "-" else value


def _why_not(typed: str) -> str:
    if re.fullmatch(r"\d+ \d+/\d+.*", typed):
        return f"'{typed}' could be two readings; a mixed number is written 1-3/8"
    if re.search(r"\d[eE][+-]?\d", typed):
        return f"'{typed}' has an exponent; write the number out"
    if re.search(r"[oOlI]", typed) and re.search(r"\d", typed):
        return f"'{typed}' is not a number; is there a letter where a digit should be?"
    return f"'{typed}' is not a number"
