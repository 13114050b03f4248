"""Reworks and repairs: what may be done after a check that wasn't met, read from the head's list."""

from __future__ import annotations

from dataclasses import replace

from runner.procedure.items import Item, Keys, item_of
from runner.procedure.model import JOB, WAYS_OUT, Rework, Stage
from runner.procedure.said import Context
from runner.procedure.stages import read_steps
from runner.procedure.steps import MOST_AGAIN
from runner.text.nearest import nearest
from runner.text.problem import Problem
from runner.text.yaml_nodes import Entry, Mapping, Scalar

KINDS = ("rework", "repair")
MAY = ("only if", "climb", "steps", "back to")
KEYS: Keys = (("at most",), MAY)
"""What a rework or a repair must say and may say."""


def titles_of(head: Item) -> tuple[str, ...]:
    """What stands behind the first key of each rework, whether or not the rest of it is right."""
    firsts = [node.entries[0].value for node in head.items("reworks")]
    return tuple(first.text.strip() for first in firsts if isinstance(first, Scalar))


def read_reworks(head: Item, context: Context) -> tuple[Rework, ...]:
    """The reworks of a procedure; the level each is for follows from the checks that lead to it."""
    return tuple(filter(None, (_rework(node, context) for node in head.items("reworks"))))


def _rework(node: Mapping, context: Context) -> Rework | None:
    first = node.entries[0]
    kind = first.key.text
    if kind not in KINDS:
        meant = nearest(kind, KINDS)
        what = f"an item of 'reworks' begins with 'rework' or 'repair', and '{kind}' is neither"
        fix = "a rework is where the part will meet its limit, a repair where it may not"
        context.problems.append(Problem("rework-word", first.key.place, what, fix))
        if meant is None:
            return None
        kind = meant
        node = Mapping((Entry(replace(first.key, text=kind), first.value), *node.entries[1:]), node.place)
    item = item_of(node, kind, KEYS, context.problems)
    title = item.text(kind)
    if title in WAYS_OUT:
        what = f"'{title}' is a way out already"
        item.wrong("bad-name", item.place_of(kind), what, "take another title")
    stage = Stage(0, title, JOB, (), (), "", (), read_steps(item, context), item.place.line)
    rework = Rework(
        title=title,
        kind=kind,
        only_if=item.formula("only if"),
        climb=item.text("climb"),
        back_to=item.text("back to"),
        at_most=item.count("at most", 1, MOST_AGAIN) or 1,
        stage=stage,
    )
    return rework if title else None
