"""The parts of one job: a tree fixed when it opens, the loads made of them, and how parts stand to one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from runner.procedure.model import JOB, PartLevel, path_of


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


@dataclass(frozen=True, slots=True)
class Load:
    """Parts put together at the bench: the load's kind, and their paths."""

    kind: str
    parts: tuple[str, ...]


class Parts:
    """
    Every part of a job. `named` gives the names asked at opening, by level; fixed ones come from the procedure. `loads`
    are those made at the bench so far, oldest first: each by its name with its kind and the paths of the parts in it.
    """

    def __init__(
        self,
        levels: Sequence[PartLevel],
        named: Mapping[str, Sequence[str]],
        loads: Mapping[str, Load] | None = None,
    ) -> None:
        self.levels, self.named, self.loads = tuple(levels), named, dict(loads or {})
        self._of = {level.name: level.of for level in levels if level.of}
        self._paths = {
            level: tuple(one for one in path_of(level, levels) if one not in self._of or one == level)
            for level in (JOB, *(level.name for level in levels))
        }
        names = {level.name: level.named or tuple(named.get(level.name, ())) for level in levels}
        self._parts: dict[str, tuple[Part, ...]] = {JOB: (WHOLE_JOB,)}
        for level in levels:
            down = self._paths[level.name][1:]
            mine = (Part(level.name, one) for one in product(*(names[each] for each in down)))
            made = (Part(level.name, (name,)) for name, load in self.loads.items() if load.kind == level.name)
            self._parts[level.name] = tuple(made if level.of else mine)
        self._by_path = {
            level: {part.path.lower(): part for part in parts} for level, parts in self._parts.items()
        }
        self._outward: dict[Part, tuple[Part, ...]] = {}

    def with_loads(self, loads: Mapping[str, Load]) -> Parts:
        """The same parts with these loads made."""
        return Parts(self.levels, self.named, loads)

    def at(self, level: str) -> tuple[Part, ...]:
        return self._parts[level]

    def find(self, level: str, path: str) -> Part | None:
        """The part of a level by its path, whatever the case of its letters."""
        return self._by_path.get(level, {}).get(path.strip().lower())

    def is_load(self, level: str) -> bool:
        return level in self._of

    def put_in(self, kind: str) -> str:
        """The level of the parts that are put into a kind of load."""
        return self._of[kind]

    def outward(self, part: Part) -> tuple[Part, ...]:
        """The part, the loads it lies in now, the part it lies in, and so on to the job."""
        if part not in self._outward:
            self._outward[part] = self._all_outward(part)
        return self._outward[part]

    def _all_outward(self, part: Part) -> tuple[Part, ...]:
        down = self._paths[part.level]
        found: list[Part] = []
        for depth, level in reversed(list(enumerate(down))):
            one = Part(level, part.names[:depth])
            found += [one, *self._loads_of(one)]
        return tuple(found)

    def _loads_of(self, part: Part) -> list[Part]:
        return [
            load for kind, of in self._of.items() if of == part.level and (load := self.load_of(part, kind))
        ]

    def load_of(self, part: Part, kind: str) -> Part | None:
        """The newest load of a kind that a part was put into, if any."""
        mine = [name for name, load in self.loads.items() if load.kind == kind and part.path in load.parts]
        return Part(kind, (mine[-1],)) if mine else None

    def members(self, load: Part) -> tuple[Part, ...]:
        """The parts in a load; none for what is no load."""
        if not self.is_load(load.level):
            return ()
        found = (self.find(self._of[load.level], path) for path in self.loads[load.path].parts)
        return tuple(part for part in found if part)

    def around(self, part: Part, level: str) -> tuple[Part, ...]:
        """
        The parts of another level that belong with this one: the one it lies in, all inside it, or, for levels side by
        side, all inside the innermost part that holds both. Of a load that is what belongs with any part in it.
        """
        if self.is_load(level) and level != part.level:
            inside = self.around(part, self._of[level])
            loads = [load for one in inside if (load := self.load_of(one, level))]
            return tuple(dict.fromkeys(loads))
        if self.is_load(part.level) and level not in (part.level, JOB):
            found = (one for member in self.members(part) for one in self.around(member, level))
            return tuple(dict.fromkeys(found))
        for outer in self.outward(part):
            if level in self._paths[outer.level]:
                depth = self._paths[outer.level].index(level)
                return (Part(level, outer.names[:depth]),)
            if outer.level in self._paths[level]:
                depth = len(outer.names)
                return tuple(one for one in self._parts[level] if one.names[:depth] == outer.names)
        return self._parts[level]

    def without_load(self, part: Part, kind: str) -> tuple[Part, ...]:
        """The parts that belong with this one and should be in a load of a kind, and are in none."""
        return tuple(one for one in self.around(part, self._of[kind]) if self.load_of(one, kind) is None)

    def inside(self, part: Part, level: str) -> tuple[Part, ...]:
        """All parts of a level that lie in a part, or the part itself if it is of that level."""
        if self.is_load(part.level) and level != part.level:
            return tuple(one for member in self.members(part) for one in self.inside(member, level))
        return tuple(one for one in self._parts[level] if one.names[: len(part.names)] == part.names)

    def every(self, part: Part, word: str) -> tuple[Part, ...]:
        """The parts meant by 'every WORD' seen from a part: all of that level inside it, or all inside it called so."""
        if word in self._parts:
            return self.inside(part, word)
        return tuple(
            one
            for level in self.levels
            if not level.of
            for one in self.inside(part, level.name)
            if one.names[-1] == word
        )

    def other(self, part: Part, name: str) -> Part | None:
        """The one child or brother of a part that is called so: the nearest, looking outward."""
        for outer in self.outward(part):
            for level in self.levels:
                if level.inside == outer.level and not level.of:
                    found = self.find(level.name, "/".join([*outer.names, name]))
                    if found:
                        return found
        return None
