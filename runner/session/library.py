"""The procedures a shop can start with: those shipped, those in ./procedures, and any file by its path."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import runner
from runner.engineering.materials import Materials, NotATable, merged, shipped
from runner.procedure.model import Procedure
from runner.procedure.places import Places
from runner.procedure.reader import read_bytes
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.text import yaml_nodes
from runner.text.nearest import nearest
from runner.text.problem import Problem, render_all


@dataclass(frozen=True, slots=True)
class ReadFile:
    """A procedure file as read: the procedure where it has no problem, the problems, and the lines they stand in."""

    path: Path
    name: str
    procedure: Procedure | None
    problems: list[Problem]
    lines: list[str]

    @property
    def report(self) -> str:
        return render_all(self.problems, {self.name: self.lines})


def shipped_folder() -> Path:
    """Where the shipped procedures are: inside an installed package, or beside it in a checkout."""
    package = Path(runner.__file__).parent
    inside = package / "shipped"
    return inside if inside.is_dir() else package.parent / "procedures"


def folders() -> list[Path]:
    """Where procedures are looked for, the shop's own first."""
    here = Path("procedures")
    shipped = shipped_folder()
    return [here, shipped] if here.is_dir() and here.resolve() != shipped.resolve() else [shipped]


def procedure_files() -> list[Path]:
    """Every procedure file in those folders; a shop's own file stands before a shipped one of the same name."""
    found: dict[str, Path] = {}
    for folder in folders():
        for path in sorted(folder.glob("*.yaml")):
            found.setdefault(path.name, path)
    return list(found.values())


def find(word: str) -> Path:
    """The procedure file meant by a path or a name ('head-seats'). Raises RunnerError where there is none."""
    path = Path(word)
    if path.is_file():
        return path
    known = procedure_files()
    for one in known:
        if word in (one.stem, one.name):
            return one
    if path.is_dir():
        raise RunnerError(f"{word} is a folder, not a procedure", "name one of the files in it", PROBLEMS)
    near = nearest(path.stem, [one.stem for one in known])
    close = next((one for one in known if one.stem == near), None)
    hint = f"did you mean {close.stem}? " if close else ""
    raise RunnerError(
        f"there is no procedure at {word}", f"{hint}`benchhand procedures` shows all there are", PROBLEMS
    )


def read(path: Path) -> ReadFile:
    """A procedure file read from disk, whatever is in it. Raises RunnerError where it can't be read at all."""
    try:
        data = path.read_bytes()
    except FileNotFoundError as missing:
        raise RunnerError(f"there is no file at {path}", "look at the name", PROBLEMS) from missing
    except OSError as unreadable:
        raise RunnerError(
            f"{path} can't be read: {unreadable.strerror}",
            "look at who may read it",
            NO_JOURNAL if path.suffix == ".db" else PROBLEMS,
        ) from unreadable
    procedure, problems, text = read_bytes(data, str(path), materials_for(path))
    return ReadFile(path, str(path), procedure, problems, text.split("\n"))


MATERIALS = "materials.toml"


def stands_on(word: str) -> list[Path]:
    """
    Every file that what `check` says of a procedure stands on, there or not: its own, the shop's tables of materials that
    it may take, and what it names under `from`.
    """
    try:
        path = find(word)
        text = path.read_text(encoding="utf-8-sig")
    except (RunnerError, OSError, UnicodeDecodeError):
        return [Path(word)]
    root, _ = yaml_nodes.read_yaml(text, str(path))
    named = Places(root).said("from") if isinstance(root, yaml_nodes.Mapping) else []
    return [path, *_tables_for(path), *(path.parent / one.text for one in named)]


def _tables_for(path: Path) -> list[Path]:
    """Where the shop's own table of materials is looked for, the nearer first."""
    return [path.parent / MATERIALS, Path("procedures") / MATERIALS]


def materials_for(path: Path) -> Materials | None:
    """
    The materials of a procedure file where the shop has its own: the shipped ones with the rows of `materials.toml`
    beside the file, else in ./procedures, over them. Raises RunnerError where that is no table.
    """
    own = next((at for at in _tables_for(path) if at.is_file()), None)
    if own is None:
        return None
    try:
        return merged(shipped(), own.read_text(encoding="utf-8"))
    except NotATable as why:
        raise RunnerError(
            "\n".join(f"{own}: {one}" for one in why.problems), "mend the table", PROBLEMS
        ) from why
    except (OSError, UnicodeDecodeError) as unreadable:
        raise RunnerError(
            f"{own} can't be read", "look at who may read it, and save it as UTF-8", PROBLEMS
        ) from unreadable


def procedure_at(word: str) -> Procedure:
    """The procedure meant by a path or name. Raises RunnerError with every problem where it has any."""
    found = read(find(word))
    if found.procedure is None:
        raise RunnerError(found.report, "mend the file; `benchhand check` shows this again", PROBLEMS)
    return found.procedure
