"""Names of people: when two of them are one person's, and what is no person's name at all.

A name that several people share tells nobody afterwards who did the work, so a shop file refuses it.
"""

from __future__ import annotations

import unicodedata

SHARED = frozenset(
    "all anybody anyone apprentice bench crew everybody everyone guest inspector machinist nobody operator shift shop"
    " somebody someone staff team user workshop".split()
)
"""Names that would be a login for many."""
LONGEST_NAME = 40
"""Characters, so that a name fits beside the job's number on the small screen."""


def same_person(one: str, two: str) -> bool:
    """Whether two typed names are one person's: blanks, case and how a keyboard builds its accents don't make another."""
    return person_key(one) == person_key(two)


def is_name(text: str) -> bool:
    """Whether a text can be a person's name: a gauge's number, sent by a slip of its button, is none."""
    return sum(sign.isalpha() for sign in text) >= 2


def person_key(name: str) -> str:
    """A typed name as the one person it means; signs that nobody sees are left out."""
    plain = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())
    seen = "".join(sign for sign in plain if unicodedata.category(sign) != "Cf")
    return " ".join(seen.split())


def is_shared(name: str) -> bool:
    """Whether a name is one that many could go by: 'the shop', 'Everybody'."""
    return person_key(name).removeprefix("the ") in SHARED
