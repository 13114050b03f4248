"""How steps and hazards are worded, where it likely misleads: only warnings, and only where plain English makes it sure.

One act a step, told as an order (INL field-worker procedure guidance 2.2.2; DOE-STD-1029). A signal word by who is hurt (ANSI Z535.4).
"""

from __future__ import annotations

import re

from runner.procedure.findings import Findings
from runner.procedure.model import HAZARD_WORDS, Choose, Do, Hazard, Procedure
from runner.procedure.shop_words import (
    ACTS,
    CLEANING,
    HARM,
    HURT,
    NO_BEGINNING,
    NO_ED,
    NO_ING,
    ONLY_ACTS,
    POINTERS,
    RESTING,
    SAYS_NOTHING,
    SURE_HURT,
    THINGS,
)
from runner.text.problem import Place, Problem

_WORD = re.compile(r"[A-Za-z][A-Za-z'-]*")
_JOINED = re.compile(
    r"(?P<how>[;.]|,? and then|,? then|,? and|,) (?:(?:carefully|slowly|gently) )?(?P<word>[A-Za-z]+)\b(?= ?(?P<next>[A-Za-z]*))"
)
_CONDITION = frozenset(
    "if when while once until after before with without where unless as in on at by for from".split()
)
"""Words that begin what stands before the act."""
_SIGNAL = re.compile(rf"\s*({'|'.join(HAZARD_WORDS)})\b\s*[:!-]", re.IGNORECASE)


def wording(procedure: Procedure, findings: Findings) -> list[Problem]:
    """The warnings about words."""
    _markup(findings)
    for hazard in procedure.hazards:
        _signal_word(hazard, findings)
    for stage in procedure.every_stage:
        for step in stage.steps:
            match step:
                case Do():
                    _act(step, findings)
                case Choose():
                    _options(step, findings)
                case _:
                    pass
    return findings.problems


_FORMULAS = (
    "as",
    "only if",
    "when",
    "until",
    "within",
    "at least",
    "at most",
    "plausible",
    "useful limit",
    "last limit",
)
_MARKS = re.compile(
    r"(?P<link>\b(?:[a-z]{3,10}:/|(?:javascript|data|mailto):|www\.)\S+)"
    r"|</?[A-Za-z!][^<>]*>|\]\(|\[/?(?:[biu]|bold|italic|link|[a-z]*red|green|blue|yellow|@click)\b[^\]]*\]|\[/\]",
    re.IGNORECASE,
)


def _markup(findings: Findings) -> None:
    """Texts are shown as they are written: what would be bold or a link elsewhere stands there with its signs."""
    for scalar in (one for places in findings.every_file for one in places.texts("source", *_FORMULAS)):
        if found := _MARKS.search(scalar.text):
            place = scalar.place
            if scalar.plain_to_file:
                place = place.right(found.start(), len(found[0]))
            what, fix = (
                f"'{found[0][:40]}' would be shown as it is written",
                "leave out the signs that only a web page reads",
            )
            if found["link"]:
                what, fix = (
                    f"'{found[0][:40]}' can't be followed at the bench",
                    "say where it is in words, or name it as a source",
                )
            findings.doubt_at("link" if found["link"] else "markup", place, what, fix)


def _act(step: Do, findings: Findings) -> None:
    text, here = step.text, step.about.place
    if said := _SIGNAL.match(text):
        what = (
            f"a {said[1].lower()} written as a step: it would stand where the act should, and ask for nothing"
        )
        fix = "describe it under hazards: and write beware: [its title] at the step it is for"
        findings.doubt("hazard-in-text", here, what, fix, text, "do")
    elif why := why_no_order(text):
        findings.doubt(
            "no-verb",
            here,
            f"a step tells what to do, and this {why}",
            "begin with the act: Lock the pilot",
            text,
            "do",
        )
    elif not step.ticks and (second := second_act(text)) is not None:
        place = findings.said_at(here, text, "do")
        what, fix = "two acts in one step", "write two steps, or one with a tick list"
        word = _WORD.match(text, second)
        if place and word:
            findings.doubt_at("two-acts", place.right(second, len(word[0])), what, fix)


def why_no_order(text: str) -> str:
    """Why a text is no order to do something, or nothing where it is one or may be."""
    words = [word.lower() for word in _WORD.findall(text)]
    if not words or not text[:1].isascii():
        return ""
    first, second = words[0], words[1] if len(words) > 1 else ""
    if first in NO_BEGINNING:
        return f"begins with '{words[0]}'"
    if first.endswith("ing") and len(first) > 4 and first not in NO_ING and first not in ACTS:
        return f"begins with '{first}', which says what goes on"
    if first in ACTS or second in POINTERS or first in _CONDITION:
        return ""
    if first.endswith("ed") and len(first) > 4 and first not in NO_ED:
        return f"begins with '{first}', which says how something is"
    state = next((word for word in words[1:3] if word.endswith("ed") and word not in NO_ED), "")
    if state:
        return f"says how something is: '{state}'"
    if first in THINGS:
        return f"begins with a thing: '{first}'"
    return ""


def second_act(text: str) -> int | None:
    """Where a second act begins in a text that tells one, or None."""
    first, *rest = [word.lower() for word in _WORD.findall(text)[:2]] or [""]
    if first in _CONDITION or (first not in ACTS and not POINTERS.intersection(rest)):
        return None
    for joined in _JOINED.finditer(text):
        how, word, follows = joined["how"].strip(" ,"), joined["word"].lower(), joined["next"].lower()
        if word not in ACTS - RESTING or (how == "and" and {first, word} <= CLEANING):
            continue
        if how in (";", ".") or "then" in how or follows in POINTERS or (how == "and" and word in ONLY_ACTS):
            return joined.start("word")
    return None


def _options(step: Choose, findings: Findings) -> None:
    if all(option.lower() in SAYS_NOTHING for option in step.options):
        what = f"'{step.options[0]}' says how it was judged, not what was seen"
        fix = "let the options name what is seen: [clean all round, chatter, torn]"
        findings.doubt("state-not-seen", step.about.place, what, fix, step.options[0], "options")


def _signal_word(hazard: Hazard, findings: Findings) -> None:
    words = {word.lower() for word in _WORD.findall(hazard.consequence)}
    if hazard.word == "notice" and words & SURE_HURT:
        what = f"a notice is for harm to a part; this one says '{hazard.consequence}'"
        fix = "write caution, or warning where it could kill or maim"
    elif hazard.word != "notice" and words & HARM and not words & HURT:
        what = f"a {hazard.word} is for hurt to a person; this one says '{hazard.consequence}'"
        fix = "write notice, or say how it hurts somebody"
    else:
        return
    findings.doubt("signal-word", _place_of(hazard, findings), what, fix, hazard.title, hazard.word)


def _place_of(hazard: Hazard, findings: Findings) -> Place | int:
    found = (places.of(hazard.title, 1, hazard.word) for places in findings.every_file)
    return next((place for place in found if place), 1)
