"""What a calculation says of itself, whole: its docstring, with the parameters that its module says once for all put in.

A parameter is written `name : kind, domain [unit]`, and under it, indented, what it means. What a module's docstring says of
one holds in every function of it whose own docstring doesn't say it.
"""

from __future__ import annotations

import inspect
import re
import sys

from runner.engineering.signature import Signature

_BEGINS = re.compile(r"(\w+) : ")


def described(calculation: Signature) -> str:
    """The docstring with every parameter in it, in the order they are given."""
    function = calculation.function
    lines = (inspect.getdoc(function) or "").split("\n")
    head, own, tail = _cut(lines)
    _, shared, _ = _cut((inspect.getdoc(sys.modules[function.__module__]) or "").split("\n"))
    names = [argument.name for argument in calculation.arguments]
    told = [line for name in names for line in own.pop(name, shared.get(name, []))]
    return "\n".join([*head, *told, *(line for left in own.values() for line in left), *tail])


def _cut(lines: list[str]) -> tuple[list[str], dict[str, list[str]], list[str]]:
    """The lines before the parameters, those of each parameter, and those after them, from Returns on."""
    end = next((at for at, line in enumerate(lines) if line.startswith("Returns ")), len(lines))
    begin = next((at for at, line in enumerate(lines[:end]) if _BEGINS.match(line)), end)
    parameters: dict[str, list[str]] = {}
    name = ""
    for line in lines[begin:end]:
        begun = _BEGINS.match(line)
        name = begun[1] if begun else name
        parameters.setdefault(name, []).append(line)
    return lines[:begin], parameters, lines[end:]
