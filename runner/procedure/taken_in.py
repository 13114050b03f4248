"""Steps that several procedures take in: the groups of a shared file, read anew at each taking, under names of their own there.

Which file is meant is judged here by its words alone; whoever calls gives a function that fetches it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from runner.formula.tree import Is, Name, Tree, names_in, rebuilt
from runner.procedure.formulas import with_formulas
from runner.procedure.head import Lists, read_lists
from runner.procedure.items import Item
from runner.procedure.model import Formula, Hazard, Instrument, Need, Step, TakenFile, Taking, parted
from runner.procedure.places import NAMING, Places
from runner.procedure.scalars import NAME, once
from runner.quantities.units import unit
from runner.text.problem import Place, Problem
from runner.text.yaml_nodes import Mapping as Node
from runner.text.yaml_nodes import Scalar, decode, read_yaml

MUST, MAY = ("groups",), ("instruments", "hazards")
GROUP_MUST, GROUP_MAY = ("group", "steps"), ("needs",)
_WORDS = {
    "name": ("check", *NAMING),
    "starts": ("starts",),
    "ends": ("ends",),
    "measures_again": ("measures again",),
}
"""The fields of steps that hold the name of a value, and the keys that it stands under."""


@dataclass(frozen=True, slots=True)
class NotShared:
    """Why a file can't be taken in: a kind as problems have one, what is wrong, and one thing to do."""

    kind: str
    what: str
    fix: str


Fetch = Callable[[str], bytes | NotShared]
"""Gives the bytes of the file that a procedure calls so in `from`."""


def nothing_beside(path: str) -> bytes | NotShared:
    """For a procedure that stands alone, such as one in a text."""
    return NotShared("no-shared-file", f"there is no file {path} beside this procedure", "look at the name")


@dataclass(frozen=True, slots=True)
class Group:
    """Steps under a title; `own` are the names they make."""

    title: str
    item: Item
    own: frozenset[str]
    needs: tuple[Need, ...]


@dataclass(frozen=True, slots=True)
class SharedFile:
    file: TakenFile
    places: Places
    lists: Lists
    groups: Mapping[str, Group]


def name_beside(file: str, path: str) -> str:
    """What a shared file is called where problems are told, beside the procedure that takes it in."""
    folder, slash, _ = file.replace("\\", "/").rpartition("/")
    return f"{folder}{slash}{path}"


def read_shared(
    said: Sequence[Scalar], fetch: Fetch, file: str, problems: list[Problem]
) -> dict[str, SharedFile]:
    """Every file that stands behind a `from`, by that word. What is wrong with one is told once."""
    found: dict[str, SharedFile] = {}
    for path, scalar in {one.text.strip(): one for one in reversed(said) if one.text.strip()}.items():
        data = _leads_out(path) or fetch(path)
        if isinstance(data, NotShared):
            problems.append(Problem(data.kind, scalar.place, data.what, data.fix))
        elif shared := _shared(path, data, name_beside(file, path), problems):
            found[path] = shared
    return found


def _leads_out(path: str) -> NotShared | None:
    """Why a path may not be followed: it stands in the folder of the procedure or below it, however it is written."""
    pieces = re.split(r"[/\\]", path)
    if path.startswith(("/", "\\", "~")) or re.match(r"[A-Za-z]:", path) or ".." in pieces:
        what = f"'{path}' leads out of the procedure's own folder"
        return NotShared("leads-out", what, "put the file beside the procedure, and write shared/NAME.yaml")
    if "\\" in path:
        return NotShared("leads-out", f"'{path}' has a backslash in it", "write / between folder and file")
    return None


def _shared(path: str, data: bytes, file: str, problems: list[Problem]) -> SharedFile | None:
    text, found = decode(data, file)
    root, more = read_yaml(text, file) if text is not None else (None, [])
    problems += [*found, *more]
    if root is None or text is None:
        return None
    if not isinstance(root, Node) or any(entry.key.text == "procedure" for entry in root.entries):
        what, fix = "this is no file of shared steps", "begin it with groups: and a list of them"
        problems.append(Problem("not-shared", root.place, what, fix))
        return None
    head = Item(root, "shared file", MUST, MAY, problems)
    groups = [group for node in head.items("groups") if (group := _group(node, problems))]
    places = Places(root)
    once(places.said("group"), "group", "give each group its own title", problems)
    by_title = {group.title: group for group in reversed(groups)}
    return SharedFile(TakenFile(path, text), places, read_lists(head), by_title)


def _group(node: Node, problems: list[Problem]) -> Group | None:
    item = Item(node, "group", GROUP_MUST, GROUP_MAY, problems)
    title, places = item.text("group"), Places(node)
    given = places.said(*NAMING)
    once(given, "name", "a name is given once in a group; take another", problems)
    own = frozenset(scalar.text for scalar in given)
    needs = [need for word in item.words("needs") if (need := _need(item, word, own))]
    return Group(title, item, own, tuple(needs)) if title else None


def _need(item: Item, word: Scalar, own: frozenset[str]) -> Need | None:
    name, _, symbol = word.text.partition(" ")
    measured = unit(symbol.strip())
    if not NAME.fullmatch(name) or measured is None:
        what = f"'{word.text}' is not a name and its unit"
        item.wrong("needs", word.place, what, "write what must be known, and in which unit: [bore mm]")
        return None
    if name in own:
        item.wrong("needs", word.place, f"this group makes '{name}' itself", "take it out of needs:")
        return None
    return Need(name, measured)


def joined(lists: Lists, shared: Iterable[SharedFile], problems: list[Problem]) -> Lists:
    """The lists of a procedure with the instruments and hazards of what it takes in; of one title there is one."""
    instruments: dict[str, Instrument] = {}
    hazards: dict[str, Hazard] = {}
    for own in lists.instruments:
        instruments.setdefault(own.title, own)
    for told in lists.hazards:
        hazards.setdefault(told.title, told)
    tried = lists.tried
    for one in shared:
        for instrument in one.lists.instruments:
            if instruments.setdefault(instrument.title, instrument) != instrument:
                problems.append(_otherwise(one, instrument.title, "instrument"))
        for hazard in one.lists.hazards:
            if hazards.setdefault(hazard.title, hazard) != hazard:
                problems.append(_otherwise(one, hazard.title, hazard.word))
        tried |= one.lists.tried
    return replace(
        lists, instruments=tuple(instruments.values()), hazards=tuple(hazards.values()), tried=tried
    )


def _otherwise(shared: SharedFile, title: str, key: str) -> Problem:
    place = shared.places.of(title, 1, key)
    assert place
    what = f"'{title}' says something else here than where the procedure has it from already"
    return Problem("said-otherwise", place, what, "say the same in both, or give one another title")


@dataclass(frozen=True, slots=True)
class Taken:
    """A group at one place where it is taken in: its own names are put behind the taking's, and others are held against its needs."""

    taking: Taking
    group: Group
    places: Places
    problems: list[Problem]

    def step(self, step: Step) -> Step:
        """A step of the group as it is done there."""
        step = with_formulas(step, self.formula)
        words = {name: getattr(step, name, "") for name in _WORDS}
        changed: dict[str, Any] = {
            name: self._word(word, step.about.place, *_WORDS[name]) for name, word in words.items() if word
        }
        about = replace(
            step.about,
            taken=self.taking,
            timed_as=self._called(step.about.timed_as),
            show=tuple(self._word(word, step.about.place, "show") for word in step.about.show),
        )
        return replace(step, about=about, **changed)

    def formula(self, formula: Formula) -> Formula:
        for name in names_in(formula.tree):
            if not self._is_known(name.name):
                self._outside(name.name, formula.place.right(name.offset, name.length))
        return replace(formula, tree=self._tree(formula.tree))

    def _tree(self, tree: Tree) -> Tree:
        if isinstance(tree, Name):
            return replace(tree, name=self._called(tree.name))
        if isinstance(tree, Is):
            return replace(tree, name=replace(tree.name, name=self._called(tree.name.name)))
        return rebuilt(tree, self._tree)

    def _word(self, word: str, near: Place, *keys: str) -> str:
        if not self._is_known(word):
            self._outside(word, self.places.of(word, near.line, *keys) or near)
        return self._called(word)

    def _called(self, name: str) -> str:
        return f"{self.taking.called}.{name}" if parted(name, ())[0] in self.group.own else name

    def _is_known(self, name: str) -> bool:
        known = self.group.own | {need.name for need in self.group.needs}
        return name in known or parted(name, ())[0] in self.group.own

    def _outside(self, name: str, place: Place) -> None:
        what = f"'{name}' is neither made in '{self.group.title}' nor among what it needs"
        fix = f"write needs: [{name} mm], in its own unit; parts and tables are the procedure's"
        self.problems.append(Problem("outside-group", place, what, fix))
