"""Letters of other alphabets that look like Latin ones, for names and titles that only seem to be the same.

A short list of what keyboards give, from memory of the Unicode list of confusables (UTS 39); not the whole of it.
"""

from __future__ import annotations

import re
import unicodedata

_LIKE = dict(
    zip(
        "\u0410\u0412\u0415\u041a\u041c\u041d\u041e\u0420\u0421\u0422\u0425\u0406\u0408\u0405\u0430\u0435\u043e\u0440\u0441\u0443\u0445\u0456\u0458\u0455\u0501\u051b\u051d"
        "\u0391\u0392\u0395\u0396\u0397\u0399\u039a\u039c\u039d\u039f\u03a1\u03a4\u03a5\u03a7\u03bf\u03bd",
        "ABEKMHOPCTXIJSaeopcyxijsdqwABEZHIKMNOPTYXov",
        strict=True,
    )
)
"""Cyrillic, then Greek, each with the Latin letter it looks like."""
_ALIKE = "".join(_LIKE) + "\uff21-\uff3a\uff41-\uff5a\U0001d400-\U0001d7ff"
_PAIR = re.compile(f"(?<=[A-Za-z])[{_ALIKE}]|[{_ALIKE}](?=[A-Za-z])")
_WORD = re.compile(r"\w+")


def mixed_word(text: str) -> re.Match[str] | None:
    """The first word of Latin letters and of others that look like them; a unit's or an angle's Greek letter is none."""
    pair = None if text.isascii() else _PAIR.search(text)
    if pair is None:
        return None
    return next((word for word in _WORD.finditer(text) if word.end() > pair.start()), None)


def letters_told(word: str) -> str:
    """The letters in a word that only look Latin, as U+0430, each once, at most three."""
    found = dict.fromkeys(f"U+{ord(sign):04X}" for sign in word if re.match(f"[{_ALIKE}]", sign))
    return ", ".join([*found][:3])


def as_seen(text: str) -> str:
    """What a text looks like: two that give the same can't be told apart on a screen."""
    return "".join(_LIKE.get(sign, sign) for sign in unicodedata.normalize("NFKC", text))
