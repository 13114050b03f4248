"""Values that come from themselves."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from runner.formula.tree import Tree, names_in


def circle_through(name: str, maker: str, formula_of: Callable[[str], Tree | None]) -> str:
    """
    How a name comes from another that is being made from it: 'width from gap, gap from width'; nothing where it doesn't.
    `formula_of` gives the formula of a worked value.
    """
    used_by: dict[str, str] = {name: ""}
    todo = [name]
    while todo and maker not in used_by:
        one = todo.pop()
        tree = formula_of(one)
        for used in names_in(tree) if tree else ():
            if used.path[1] not in used_by:
                used_by[used.path[1]] = one
                todo.append(used.path[1])
    if maker not in used_by or maker == name:
        return ""
    chain = [maker]
    while used_by[chain[-1]]:
        chain.append(used_by[chain[-1]])
    chain = [*reversed(chain), name]
    return ", ".join(f"{one} from {other}" for one, other in pairwise(chain))
