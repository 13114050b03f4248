"""Stages and the lists of steps in them, blocks laid flat: each step carries the conditions of the blocks it stands in."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from itertools import pairwise

from runner.procedure.head import level_of
from runner.procedure.items import MOST_PROBLEMS, Item, Keys, cut_at, item_of
from runner.procedure.model import HAZARD_WORDS, About, Do, Formula, PartLevel, Repeat, Stage, Step, Taking
from runner.procedure.other_words import meant_for
from runner.procedure.said import Context, hazards_at
from runner.procedure.steps import KEYS, read_step
from runner.procedure.taken_in import Taken
from runner.text.nearest import nearest, suggestion
from runner.text.problem import Problem
from runner.text.yaml_nodes import Entry, Mapping, Scalar, Sequence

BLOCK = "only if"
"""The first key of a block of steps."""
TAKE = "take steps"
STAGE: Keys = (("for each", "steps"), ("after", "after all", "order", "reason", "prerequisites", "beware"))
"""What a stage must say and may say."""
BLOCKS: dict[str, Keys] = {BLOCK: (("steps",), ()), TAKE: (("from", "called"), ())}
"""What stands among steps and is none, by its first key, and what it must say and may say."""
DEEPEST_BLOCK = 3
_BEGINS = frozenset((*KEYS, *BLOCKS))


def read_stages(head: Item, context: Context) -> tuple[Stage, ...]:
    stages: list[Stage] = []
    nodes = head.items("stages")
    titles = [title.text for node in nodes if isinstance(title := node.get("stage"), Scalar)]
    for node in nodes:
        item = item_of(node, "stage", STAGE, context.problems)
        for_each = level_of(item, context.lists.parts)
        after, after_all = _locks(item, [stage.title for stage in stages], titles)
        stages.append(
            Stage(
                number=len(stages) + 1,
                title=item.text("stage"),
                for_each=for_each,
                after=after,
                after_all=after_all,
                reason=item.text("reason"),
                beware=hazards_at(item, context),
                steps=read_steps(item, context),
                line=item.place.line,
                order=_order(item, for_each, context.lists.parts),
            )
        )
    return tuple(stages)


def _order(stage: Item, for_each: str, parts: Collection[PartLevel]) -> tuple[str, ...]:
    """The names of the parts of a stage, each once, in the order in which they are done."""
    if not stage.has("order"):
        return ()
    named = next((part.named for part in parts if part.name == for_each), ())
    if len(named) < 2:
        what = f"'{for_each}' has no names that are known before a job opens, so it has no order"
        stage.wrong("order", stage.place_of_key("order"), what, "take order: out, or give that part named:")
        return ()
    words = stage.words("order")
    for at, word in enumerate(words):
        if word.text not in named:
            what = f"no {for_each} is called '{word.text}'"
            stage.wrong("unknown-part", word.place, what, suggestion(word.text, named))
        elif word.text in [one.text for one in words[:at]]:
            stage.wrong("order", word.place, f"'{word.text}' stands in this order twice", "take one out")
    said = {nearest(word.text, named) or word.text for word in words}
    if missing := [name for name in named if name not in said]:
        what = f"this order leaves out {' and '.join(missing)}"
        stage.wrong("order", stage.place_of("order"), what, f"name every {for_each} there is")
    return tuple(word.text for word in words)


def _locks(stage: Item, above: list[str], titles: list[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What a stage comes after: the one above it where it says nothing, none where it says `after: []`."""
    node = stage.node.get("after")
    said_none = isinstance(node, Sequence) and not node.items
    if not stage.has("after") and not stage.has("after all"):
        return tuple(above[-1:]), ()
    after = () if said_none else _stages_above(stage, "after", above, titles)
    return after, _stages_above(stage, "after all", above, titles)


def _stages_above(stage: Item, key: str, above: list[str], titles: list[str]) -> tuple[str, ...]:
    found: list[str] = []
    for word in stage.words(key, titles):
        if word.text in above:
            found.append(word.text)
            continue
        if word.text in titles:
            what = f"'{stage.text('stage')}' can't come after itself, so neither it nor what comes after it could begin"
            if word.text != stage.text("stage"):
                what = f"'{stage.text('stage')}' can't come after '{word.text}', which stands below it; if that comes after this, neither could begin"
            fix = "write the stages in an order in which they can be done"
            stage.wrong("order", word.place, what, fix)
        else:
            stage.wrong(
                "unknown-stage", word.place, f"no stage is called '{word.text}'", suggestion(word.text, above)
            )
        found += above  # read as after all of them, so that nothing else is said of this slip
    return tuple(found)


def read_steps(item: Item, context: Context) -> tuple[Step, ...]:
    """The steps of a stage or a rework, in the order of the file."""
    steps: list[Step] = []
    if first := item.sentences("prerequisites"):
        place = item.place_of_key("prerequisites")
        steps.append(Do(About(1, place), "Make sure of this before the stage begins", first))
    _add_steps(steps, item, (), None, context)
    return tuple(steps)


def _add_steps(
    steps: list[Step], item: Item, outer: tuple[Formula, ...], taken: Taken | None, context: Context
) -> None:
    """The steps under an item, with the conditions of the blocks round them; `taken` where they come from a shared file."""
    nodes = item.items("steps")
    if isinstance(item.node.get("steps"), Sequence) and not nodes:
        what, fix = f"a {item.what} without steps", "write at least one, after a dash"
        item.wrong("empty", item.place_of_key("steps"), what, fix)
    for piece in (piece for node in nodes for piece in _acts(node, context)):
        match piece.entries[0].key.text:
            case "only if":
                block = Item(piece, "block", [BLOCK, "steps"], [], context.problems)
                condition = block.formula(BLOCK)
                condition = taken.formula(condition) if taken and condition else condition
                if len(outer) == DEEPEST_BLOCK:
                    what = f"blocks nested more than {DEEPEST_BLOCK} deep"
                    block.wrong("too-deep", block.place, what, "join two conditions with 'and'")
                _add_steps(steps, block, (*outer, condition) if condition else outer, taken, context)
            case "take steps":
                _take_in(steps, piece, outer, taken, context)
            case "repeat":
                first = len(steps) + 1
                meant = Item(piece, "repeat", [], [word for keys in KEYS["repeat"] for word in keys], []).node
                inside = Mapping(tuple(one for one in meant.entries if one.key.text == "steps"), piece.place)
                _add_steps(
                    steps, Item(inside, "repeat", [], ["steps"], context.problems), outer, taken, context
                )
                _add_step(steps, piece, outer, taken, context, first)
            case _:
                _add_step(steps, _without_condition(piece, context), outer, taken, context)


def _add_step(
    steps: list[Step],
    node: Mapping,
    outer: tuple[Formula, ...],
    taken: Taken | None,
    context: Context,
    first: int = 0,
) -> None:
    step = read_step(node, len(steps) + 1, outer, context)
    if step:
        step = replace(step, first=first) if isinstance(step, Repeat) else step
        steps.append(taken.step(step) if taken else step)


def _take_in(
    steps: list[Step], piece: Mapping, outer: tuple[Formula, ...], within: Taken | None, context: Context
) -> None:
    """The steps of a group of a shared file, as they are done here."""
    item = item_of(piece, TAKE, BLOCKS[TAKE], context.problems)
    if within:
        what = f"'{within.group.title}' is taken in itself, and takes in a group"
        item.wrong("group-in-group", item.place, what, "write those steps out here")
        return
    title, called = item.text(TAKE), item.name("called")
    shared = context.shared.get(item.text("from"))
    if shared is None or not (title and called):
        return  # told where it is wrong
    group = shared.groups.get(title)
    if group is None:
        if shared.groups and not shared.places.has(title, "group"):
            what, fix = f"no group there is called '{title}'", suggestion(title, list(shared.groups))
            item.wrong("unknown-group", item.place_of(TAKE), what, fix)
        return
    taking = Taking(title, called, group.needs, item.place)
    _add_steps(steps, group.item, outer, Taken(taking, group, shared.places, context.problems), context)


def _without_condition(node: Mapping, context: Context) -> Mapping:
    """A step without the condition that somebody wrote on it, which is told."""
    entry = next((entry for entry in node.entries if entry.key.text == BLOCK), None)
    if entry is None:
        return node
    what = f"'{BLOCK}' stands over steps of its own, not on a step"
    fix = f"write - {BLOCK}: … with steps: under it, and this step there"
    context.problems.append(Problem("condition-on-step", entry.key.place, what, fix))
    return Mapping(tuple(one for one in node.entries if one is not entry), node.place)


def _acts(node: Mapping, context: Context) -> list[Mapping]:
    """The steps in one item, each with what it is as its first key; a forgotten dash or another order is told."""
    node = _told_first(node, context)
    pieces = cut_at(node, _begins(node).__contains__)
    for before, piece in pairwise(pieces):
        key = piece.entries[0].key
        if node.get(key.text) is not piece.entries[0].value:
            continue  # said twice, and told as that
        its = {entry.key.place for entry in piece.entries}
        twice = [one for one in context.problems if one.kind == "duplicate-key" and one.place in its]
        for one in twice:  # only because two steps were read as one
            context.problems.remove(one)
        what = f"'{key.text}' begins a step of its own, and the one that begins on line {before.place.line} isn't over"
        context.problems.append(
            Problem("missing-dash", key.place, what, f"a new step begins with a dash: - {key.text}: …")
        )
    return pieces


def _begins(node: Mapping) -> frozenset[str]:
    """The keys that begin a step here; a condition without steps under it was meant for the step it stands on."""
    return _BEGINS if node.get("steps") or node.get("called") else frozenset(KEYS)


def _told_first(node: Mapping, context: Context) -> Mapping:
    first = node.entries[0]
    word = first.key.text
    if word in _BEGINS or len(context.problems) >= MOST_PROBLEMS:
        return node
    at = next((at for at, entry in enumerate(node.entries) if entry.key.text in _begins(node)), None)
    if at is not None:
        moved = node.entries[at]
        what, fix = (
            f"the first key of a step says what it is, and '{word}' doesn't",
            f"put {moved.key.text}: first",
        )
        context.problems.append(Problem("unknown-step", first.key.place, what, fix))
        return Mapping((moved, *node.entries[:at], *node.entries[at + 1 :]), node.place)
    meant = meant_for(word, _BEGINS)
    fix = f"did you mean '{meant}'?" if meant else f"a step is one of: {', '.join(KEYS)}"
    if word in HAZARD_WORDS:
        fix = "name the hazard under hazards: and write beware: [its title] at the step"
    context.problems.append(Problem("unknown-step", first.key.place, f"'{word}' is no step", fix))
    if meant is None:
        return node
    return Mapping((Entry(replace(first.key, text=meant), first.value), *node.entries[1:]), node.place)
