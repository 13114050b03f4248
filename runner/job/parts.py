"""The parts of one job: a tree fixed when it opens, and how parts of one level stand to parts of another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from runner.procedure.model import JOB, PartLevel
from runner.procedure.order import path_of


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """One part: its level and the names from the outermost down. The job itself is a part without names."""

    level: str
    names: tuple[str, ...]

    @property
    def path(self) -> str:
        """As people and records write it: 'H1/EX', or 'job'."""
        return "/".join(self.names) or JOB


WHOLE_JOB = Part(JOB, ())


class Parts:
    """Every part of a job. `named` gives the names asked at opening, by level; fixed ones come from the procedure."""

    def __init__(self, levels: Sequence[PartLevel], named: Mapping[str, Sequence[str]]) -> None:
        self.levels = tuple(levels)
        self._paths = {JOB: (JOB,), **{level.name: path_of(level.name, levels) for level in levels}}
        names = {level.name: level.named or tuple(named.get(level.name, ())) for level in levels}
        self._parts: dict[str, tuple[Part, ...]] = {JOB: (WHOLE_JOB,)}
        for level in levels:
            down = self._paths[level.name][1:]
            self._parts[level.name] = tuple(
                Part(level.name, one) for one in product(*(names[each] for each in down))
            )
        self._by_path = {
            level: {part.path.lower(): part for part in parts} for level, parts in self._parts.items()
        }

    def at(self, level: str) -> tuple[Part, ...]:
        return self._parts[level]

    def find(self, level: str, path: str) -> Part | None:
        """The part of a level by its path, whatever the case of its letters."""
        return self._by_path.get(level, {}).get(path.strip().lower())

    def outward(self, part: Part) -> tuple[Part, ...]:
        """The part, the one it lies in, and so on to the job."""
        down = self._paths[part.level]
        return tuple(Part(level, part.names[:depth]) for depth, level in reversed(list(enumerate(down))))

    def around(self, part: Part, level: str) -> tuple[Part, ...]:
        """
        The parts of another level that belong with this one: the one it lies in, all inside it, or, for levels side by
        side, all inside the innermost part that holds both.
        """
        for outer in self.outward(part):
            if level in self._paths[outer.level]:
                depth = self._paths[outer.level].index(level)
                return (Part(level, outer.names[:depth]),)
            if outer.level in self._paths[level]:
                depth = len(outer.names)
                return tuple(one for one in self._parts[level] if one.names[:depth] == outer.names)
        return self._parts[level]

    def inside(self, part: Part, level: str) -> tuple[Part, ...]:
        """All parts of a level that lie in a part, or the part itself if it is of that level."""
        return tuple(one for one in self._parts[level] if one.names[: len(part.names)] == part.names)

    def every(self, part: Part, word: str) -> tuple[Part, ...]:
        """The parts meant by 'every WORD' seen from a part: all of that level inside it, or all inside it called so."""
        if word in self._parts:
            return self.inside(part, word)
        return tuple(
            one for level in self.levels for one in self.inside(part, level.name) if one.names[-1] == word
        )

    def other(self, part: Part, name: str) -> Part | None:
        """The one child or brother of a part that is called so: the nearest, looking outward."""
        for outer in self.outward(part):
            for level in self.levels:
                if level.inside == outer.level:
                    found = self.find(level.name, "/".join([*outer.names, name]))
                    if found:
                        return found
        return None
