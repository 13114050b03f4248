"""Every item of the language with its keys, gathered from the tables that the reader reads by. Nothing is said here anew."""

from __future__ import annotations

from dataclasses import dataclass

from runner.procedure import material_given, reworks, stages, steps, totals
from runner.procedure.head import HEAD_MAY, HEAD_MUST, LISTED, ROW
from runner.procedure.items import Keys
from runner.procedure.model import HAZARD_WORDS

HEAD, ROW_OF_A_TABLE = "procedure", "row"
LISTS: dict[str, tuple[str, ...]] = {
    "parts": ("part", "load"),
    "instruments": ("instrument",),
    "hazards": HAZARD_WORDS,
    "givens": ("given",),
    "tables": ("table",),
    "ladders": ("ladder",),
    "totals": ("total",),
    "reworks": reworks.KINDS,
    "stages": ("stage",),
    "steps": (*steps.KEYS, *stages.BLOCKS),
    "rows": (ROW_OF_A_TABLE,),
}
"""The keys that hold a list of items, and what may stand in each, by the first key of the item."""


@dataclass(frozen=True, slots=True)
class ItemKeys:
    """
    One item: its first key (none in a row of a table), what it must say and may say beside that, each in the order in
    which it is best written. `ways` are there where an item may be said in more than one way: what must be said in each.
    """

    word: str
    first: str
    must: tuple[str, ...]
    may: tuple[str, ...]
    ways: tuple[Keys, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        return (*((self.first,) if self.first else ()), *self.must, *self.may)


def items() -> dict[str, ItemKeys]:
    """Every item by its first key, the head first."""
    must = tuple(key for key in HEAD_MUST if key != HEAD)
    found = {HEAD: ItemKeys(HEAD, HEAD, must, HEAD_MAY)}
    for word, keys in {**LISTED, "total": totals.KEYS, **dict.fromkeys(reworks.KINDS, reworks.KEYS)}.items():
        found[word] = ItemKeys(word, word, *keys)
    found["given"] = _two_ways(LISTED["given"], material_given.KEYS)
    found[ROW_OF_A_TABLE] = ItemKeys(ROW_OF_A_TABLE, "", *ROW)
    found["stage"] = ItemKeys("stage", "stage", *stages.STAGE)
    for word, (said, may) in steps.KEYS.items():
        found[word] = ItemKeys(word, word, said, (*may, *steps.ANY_STEP))
    for word, keys in stages.BLOCKS.items():
        found[word] = ItemKeys(word, word, *keys)
    return found


def _two_ways(*ways: Keys) -> ItemKeys:
    """A given, which says its value or the material that has it."""
    may = tuple(dict.fromkeys(key for must, may in ways for key in (*must, *may)))
    return ItemKeys("given", "given", (), may, ways)
