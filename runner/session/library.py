"""The procedures a shop can start with: those shipped, those in ./procedures, and any file by its path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import runner
from runner.engineering.materials import Materials, NotATable, merged, shipped
from runner.procedure.model import Procedure
from runner.procedure.places import Places
from runner.procedure.reader import read_bytes
from runner.procedure.taken_in import NotShared, name_beside
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.text import yaml_nodes
from runner.text.nearest import nearest
from runner.text.problem import Problem, render_all
from runner.text.yaml_nodes import LARGEST_FILE


@dataclass(frozen=True, slots=True)
class ReadFile:
    """A procedure file as read: the procedure where it has no problem, the problems, and the lines that they stand in by file."""

    path: Path
    name: str
    procedure: Procedure | None
    problems: list[Problem]
    sources: Mapping[str, Sequence[str]]

    @property
    def report(self) -> str:
        return render_all(self.problems, self.sources)


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
    here = Path(f"{word}.yaml")
    meant = str(here) if here.is_file() else close.stem if close else ""
    hint = f"did you mean {meant}? " if meant else ""
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
    sources: dict[str, list[str]] = {}

    def fetch(shared: str) -> bytes | NotShared:
        found = _beside(path, shared)
        if isinstance(found, bytes):
            sources[name_beside(str(path), shared)] = found.decode("utf-8-sig", errors="replace").split("\n")
        return found

    procedure, problems, text = read_bytes(data, str(path), materials_for(path), fetch)
    return ReadFile(path, str(path), procedure, problems, {**sources, str(path): text.split("\n")})


def _beside(path: Path, shared: str) -> bytes | NotShared:
    """A file of shared steps in the folder of a procedure or below it, wherever links lead."""
    at = path.parent / shared
    try:
        if not at.resolve().is_relative_to(path.parent.resolve()):
            what = f"'{shared}' is a link that leads out of the procedure's own folder"
            return NotShared("leads-out", what, "put the file itself beside the procedure")
        if at.is_file():
            with at.open("rb") as file:
                return file.read(4 * LARGEST_FILE + 1)
        near = nearest(at.name, [one.name for one in at.parent.glob("*.yaml")])
    except (OSError, RuntimeError, ValueError) as why:
        what = f"'{shared}' can't be read: {getattr(why, 'strerror', None) or 'no such name can be'}"
        return NotShared("no-shared-file", what, "look at who may read it")
    fix = f"did you mean {Path(shared).with_name(near).as_posix()}?" if near else "look at the name"
    return NotShared("no-shared-file", f"there is no file at {at}", fix)


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
