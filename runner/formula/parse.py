"""Words to a tree. A formula is a value or a condition; nothing in it can reach the program it is worked by.

value      sum, or `value if condition else value`
sum        product + product - …
product    power * power / …
power      -power, or atom ^ whole number
atom       number, name, every part.name, function(value, …), function(input=value, …), (value)
condition  value < value, name is "option", name is not "option", not condition, condition and condition …, condition or condition …
"""

from __future__ import annotations

from functools import lru_cache

from runner.formula.scan import RESERVED, Word, scan
from runner.formula.tree import (
    EVERY,
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

DEEPEST = 32
"""Brackets and functions inside one another."""
_COMPARISONS = ("<", "<=", ">", ">=")


@lru_cache(maxsize=1024)  # limits are often written alike, and a tree never changes
def parse(text: str) -> Tree | FormulaProblem:
    """The tree of a formula, or the first place where it stops being one."""
    words = scan(text)
    if isinstance(words, FormulaProblem):
        return words
    try:
        parser = _Parser(words)
        tree = parser.condition()
        parser.end()
    except _Stop as stop:
        return stop.problem
    return tree


class _Stop(Exception):
    def __init__(self, problem: FormulaProblem) -> None:
        self.problem = problem


class _Parser:
    def __init__(self, words: list[Word]) -> None:
        self.words, self.at, self.depth = words, 0, 0

    @property
    def word(self) -> Word:
        return self.words[self.at]

    def take(self, *texts: str) -> Word | None:
        word = self.word
        if word.sort in ("sign", "name") and word.text in texts:
            self.at += 1
            return word
        return None

    def stop(self, kind: str, what: str, fix: str, word: Word | None = None) -> _Stop:
        word = word or self.word
        if word.sort == "end" and self.at:
            word = self.words[self.at - 1]
        return _Stop(FormulaProblem(kind, what, fix, word.offset, word.length))

    def end(self) -> None:
        word = self.word
        if word.sort == "end":
            return
        if word.text == ")":
            raise self.stop(
                "bracket", "a closing bracket without its opening one", "take it out, or open one before"
            )
        if word.sort in ("name", "number"):
            before = self.words[self.at - 1]
            if word.text == "is":
                raise self.chained()
            if word.text in RESERVED:
                raise self.stop("odd-sign", f"'{word.text}' is out of place here", "take it out")
            if before.sort == "name" and before.text not in RESERVED:
                raise self.space_in_name(before)
            fix = "write + - * or / between two values"
            if word.quantity and "/" in word.text.split()[0]:
                fix = f"write + - * or / between them, or a mixed number: {before.text}-{word.text}"
            raise self.stop("sign-missing", f"a sign is missing before '{word.text}'", fix)
        if word.text == "=":
            raise self.stop(
                "odd-sign",
                "'=' stands only between a function's input and its value",
                'compare with < <= > or >=, and a choice with is: is "good"',
            )
        if word.sort == "text":
            raise self.lone_text()
        if word.text in (*_COMPARISONS, "is"):
            raise self.chained()
        raise self.stop("odd-sign", f"'{word.text}' is out of place here", "take it out")

    def chained(self) -> _Stop:
        what, fix = "two comparisons in one", "write them as two, with and between them"
        return self.stop("chained-comparison", what, fix)

    def space_in_name(self, first: Word) -> _Stop:
        """The complaint of words that stand side by side: most likely one name, written with blanks."""
        words = [first]
        for word in self.words[self.at :]:
            if word.sort not in ("name", "number") or word.quantity or word.text in RESERVED:
                break
            words.append(word)
        length = words[-1].offset + words[-1].length - first.offset
        name = "_".join(word.text for word in words)
        what, fix = "a name has no spaces in a formula", f"write {name}, or put a sign between them"
        return _Stop(FormulaProblem("space-in-name", what, fix, first.offset, length))

    def condition(self) -> Tree:
        start = self.word.offset
        first = self.negated()
        conditions, joined = [first], ""
        while word := self.take("and", "or"):
            if joined and word.text != joined:
                raise self.stop(
                    "and-with-or", "'and' and 'or' in one condition", "use one of them, or two steps", word
                )
            joined = word.text
            conditions.append(self.negated())
        if not joined:
            return first
        return Logic(joined, tuple(conditions), start, self.reach(start))

    def negated(self) -> Tree:
        if word := self.take("not"):
            self.deeper(word)
            inner = self.negated()
            self.depth -= 1
            return Logic("not", (inner,), word.offset, self.reach(word.offset))
        return self.comparison()

    def comparison(self) -> Tree:
        start = self.word.offset
        left = self.value()
        if sign := self.take(*_COMPARISONS):
            right = self.value()
            if self.word.text in _COMPARISONS:
                raise self.chained()
            return Comparison(sign.text, left, right, sign.offset, start, self.reach(start))
        return self.option(left, start) if self.take("is") else left

    def option(self, left: Tree, start: int) -> Tree:
        """What stands behind `is`; the option is a text, and in quotes, so that no name can be taken for it."""
        if not isinstance(left, Name):
            what, fix = "only a choice, by its name, is asked with 'is'", "compare values with < <= > or >="
            raise _Stop(FormulaProblem("choice", what, fix, left.offset, left.length))
        negated = bool(self.take("not"))
        word = self.word
        if word.sort != "text":
            raise self.unquoted(left)
        self.at += 1
        return Is(left, word.text[1:-1], negated, word.offset, start, self.reach(start))

    def unquoted(self, left: Name) -> _Stop:
        word, end = self.word, self.at
        while self.words[end].sort in ("name", "number") and self.words[end].text not in RESERVED:
            end += 1
        if end == self.at:
            return self.stop("option", "an option is missing behind 'is'", f'write {left.name} is "good"')
        length = self.words[end - 1].offset + self.words[end - 1].length - word.offset
        option = " ".join(one.text for one in self.words[self.at : end])
        fix = f'write {left.name} is "{option}"'
        return _Stop(FormulaProblem("option", "an option stands in quotes", fix, word.offset, length))

    def lone_text(self) -> _Stop:
        return self.stop("option", "an option stands only behind 'is'", f"write NAME is {self.word.text}")

    def value(self) -> Tree:
        start = self.word.offset
        value = self.sum()
        if not self.take("if"):
            return value
        self.deeper(self.word)
        condition = self.condition()
        if not self.take("else"):
            raise self.stop(
                "else-missing", "an 'if' without its 'else'", "write: value if condition else other value"
            )
        other = self.value()
        self.depth -= 1
        return Conditional(value, condition, other, start, self.reach(start))

    def sum(self) -> Tree:
        start = self.word.offset
        left = self.product()
        while sign := self.take("+", "-"):
            left = self.binary(start, sign, left, self.product())
        return left

    def product(self) -> Tree:
        start = self.word.offset
        left = self.power()
        while sign := self.take("*", "/"):
            left = self.binary(start, sign, left, self.power())
        return left

    def binary(self, start: int, sign: Word, left: Tree, right: Tree) -> Tree:
        """Two parts joined; `start` is where the first one began, its bracket included."""
        return Binary(sign.text, left, right, sign.offset, start, self.reach(start))

    def power(self) -> Tree:
        if sign := self.take("-", "+"):
            self.deeper(sign)
            value = self.power()
            self.depth -= 1
            return Negative(value, sign.offset, self.reach(sign.offset)) if sign.text == "-" else value
        start = self.word.offset
        base = self.atom()
        if not (sign := self.take("^")):
            return base
        minus = self.take("-")
        exponent = self.word
        if (
            exponent.sort != "number"
            or exponent.quantity
            or not exponent.text.isdigit()
            or int(exponent.text) > 6
        ):
            raise self.stop("power", "a power is a whole number from -6 to 6", "write it like bore^2")
        self.at += 1
        number: Tree = Number(None, exponent.text, exponent.offset, exponent.length)
        if minus:
            number = Negative(number, minus.offset, self.reach(minus.offset))
        if self.word.text == "^":
            raise self.stop("power", "two powers in a row", "put brackets round the first")
        return self.binary(start, sign, base, number)

    def atom(self) -> Tree:
        word = self.word
        if word.sort == "number":
            self.at += 1
            return Number(word.quantity, word.text, word.offset, word.length)
        if word.sort == "name" and word.text not in RESERVED:
            self.at += 1
            if opening := self.take("("):
                return self.call(word, opening)
            return Name(word.text, word.offset, word.length)
        if every := self.take("every"):
            return self.of_every_part(every)
        if opening := self.take("("):
            self.deeper(opening)
            value = self.condition()
            self.close(opening)
            return value
        if word.sort == "end":
            what, fix = "the formula stops in the middle", "write what comes after the last sign"
            raise self.stop("unfinished", what, fix)
        if word.sort == "text":
            raise self.lone_text()
        raise self.stop(
            "value-missing",
            f"a value is missing before '{word.text}'",
            "write a name or a number with its unit",
        )

    def of_every_part(self, every: Word) -> Tree:
        word = self.word
        fix = "write it like every seat.bore"
        if word.sort != "name" or word.text in RESERVED:
            raise self.stop("value-missing", "a part and its value are missing behind 'every'", fix, every)
        if "." not in word.text:
            raise self.stop(
                "every", f"'every' stands before a part and its value, and '{word.text}' is one name", fix
            )
        self.at += 1
        return Name(EVERY + word.text, every.offset, self.reach(every.offset), every=True)

    def call(self, name: Word, opening: Word) -> Tree:
        self.deeper(opening)
        arguments: list[tuple[str | None, Tree]] = []
        while self.word.text != ")" or self.word.sort != "sign":
            called = None
            if self.word.sort == "name" and self.words[self.at + 1].text == "=":
                called = self.word.text
                self.at += 2
            arguments.append((called, self.value()))
            if not self.take(","):
                break
        self.close(opening)
        return Call(name.text, tuple(arguments), name.offset, self.reach(name.offset))

    def close(self, opening: Word) -> None:
        if not self.take(")"):
            if self.word.sort == "end":
                raise self.stop("bracket", "a bracket that is not closed", "close it", opening)
            self.end()
        self.depth -= 1

    def deeper(self, word: Word) -> None:
        self.depth += 1
        if self.depth > DEEPEST:
            raise self.stop(
                "too-deep",
                f"more than {DEEPEST} brackets or signs inside one another",
                "split it into named parts",
                word,
            )

    def reach(self, offset: int) -> int:
        """How many characters from `offset` to the end of the last word taken."""
        last = self.words[self.at - 1]
        return last.offset + len(last.text) - offset
