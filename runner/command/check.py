"""`benchhand check FILE…`: every problem of procedure files, in one run. Editors call it, so it loads no screen."""

from __future__ import annotations

import json
from argparse import Namespace, _SubParsersAction
from collections.abc import Callable, Sequence
from typing import Any

from runner.command.out import complain_of, say
from runner.command.watching import watch
from runner.session.faults import FINE, PROBLEMS, RunnerError
from runner.session.library import ReadFile, find, read, stands_on
from runner.text.problem import Problem

LAYOUT = 1
"""The number of the JSON's layout; it changes when a program that reads it would have to."""
_Checked = ReadFile | RunnerError


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "check",
        help="look for problems in procedure files",
        description="Every problem of the files, with its line, a caret and one fix.",
    )
    parser.add_argument(
        "files", nargs="+", metavar="FILE", help="a procedure file, or the name of a shipped one"
    )
    parser.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="text for people, json for editors and other programs: one document, or with --watch one a line",
    )
    parser.add_argument(
        "--watch",
        action="store_true",
        help="check anew whenever one of the files is saved, or what it takes in; Ctrl+C ends it",
    )
    parser.set_defaults(run=run)


def run(asked: Namespace) -> int:
    tell: Callable[[Sequence[str]], int] = _tell
    if asked.format == "json":
        tell = _tell_on_one_line if asked.watch else _tell_as_json
    if not asked.watch:
        return tell(asked.files)
    if asked.format == "text":
        say("checked anew at each save; Ctrl+C ends it")
    watch(asked.files, stands_on, tell)


def _checked(word: str) -> _Checked:
    try:
        return read(find(word))
    except RunnerError as why:
        return why


def _wrong(found: ReadFile) -> list[Problem]:
    return [problem for problem in found.problems if not problem.warning]


def _tell(words: Sequence[str]) -> int:
    code = FINE
    for word in words:
        found = _checked(word)
        if isinstance(found, RunnerError):
            code = complain_of(found)
            continue
        if found.problems:
            say(found.report)
            say()
        warned = len(found.problems) - len(_wrong(found))
        extra = f", {warned} {'warning' if warned == 1 else 'warnings'}" if warned else ""
        if wrong := len(_wrong(found)):
            code = PROBLEMS
            say(f"{found.name}: {wrong} {'problem' if wrong == 1 else 'problems'}{extra}")
        else:
            stages, steps = _counted(found)
            in_all = f"{stages} {'stage' if stages == 1 else 'stages'}, {steps} {'step' if steps == 1 else 'steps'}"
            say(f"{found.name}: no problem in {in_all}{extra}")
    return code


def _counted(found: ReadFile) -> tuple[int, int]:
    """How many stages and steps a procedure has, where it could be read."""
    stages = found.procedure.stages if found.procedure else ()
    return len(stages), sum(len(stage.steps) for stage in stages)


def _tell_as_json(words: Sequence[str]) -> int:
    code, data = _as_json(words)
    say(json.dumps(data, indent=1))
    return code


def _tell_on_one_line(words: Sequence[str]) -> int:
    code, data = _as_json(words)
    say(json.dumps(data))
    return code


def _as_json(words: Sequence[str]) -> tuple[int, dict[str, Any]]:
    """The exit code, and what was found in each file; a file that can't be read has one problem without a line."""
    code, files = FINE, []
    for word in words:
        found = _checked(word)
        if isinstance(found, RunnerError):
            code = found.code
            files.append(_file(word, [_unread(word, found)], (0, 0)))
            continue
        code = PROBLEMS if _wrong(found) else code
        files.append(_file(found.name, [_problem(one) for one in found.problems], _counted(found)))
    return code, {"check": LAYOUT, "files": files}


def _file(name: str, problems: list[dict[str, Any]], counted: tuple[int, int]) -> dict[str, Any]:
    fine = all(one["warning"] for one in problems)
    return {"file": name, "fine": fine, "stages": counted[0], "steps": counted[1], "problems": problems}


def _problem(problem: Problem) -> dict[str, Any]:
    place = problem.place
    return {
        "kind": problem.kind,
        "warning": problem.warning,
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "end_column": place.column + place.length,
        "what": problem.what,
        "fix": problem.fix,
    }


def _unread(word: str, why: RunnerError) -> dict[str, Any]:
    nowhere = {"line": None, "column": None, "end_column": None}
    return {
        "kind": "not-read",
        "warning": False,
        "file": word,
        **nowhere,
        "what": why.what,
        "fix": why.fix,
    }
