"""The shop file beside the jobs: read whole, judged, and kept in one piece or not at all."""

from __future__ import annotations

import os
import re
import secrets
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from runner.job.moments import Moment
from runner.journal import sync_folder
from runner.session.clock import is_zone, zone_here, zone_of
from runner.session.faults import NO_JOURNAL, PROBLEMS, RunnerError
from runner.shop.model import NO_SHOP, Shop
from runner.shop.reader import read_shop
from runner.shop.writer import Sheet, sheet_text, shop_text
from runner.text.problem import Problem, render_all
from runner.text.yaml_nodes import LARGEST_FILE, decode

_NAME = "shop.yaml"
_PIN = re.compile(r"(\bpin['\"]?\s*:\s*)([^\s,}#][^,}]*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ReadShop:
    """A shop file as read: the shop where it has no problem, the problems, and its lines without what is kept of PINs."""

    path: Path
    shop: Shop | None
    problems: list[Problem]
    lines: list[str]

    @property
    def report(self) -> str:
        return without_pin(render_all(self.problems, {str(self.path): self.lines}))


def shop_path(folder: Path) -> Path:
    return folder / _NAME


def shop_beside(folder: Path) -> Shop:
    """The shop of a folder of jobs, NO_SHOP where it has no file. Raises RunnerError with every problem of the file."""
    read = read_shop_file(folder)
    if read is None:
        return NO_SHOP
    if read.shop is None:
        raise RunnerError(read.report, "mend the file; `benchhand shop check` shows this again", PROBLEMS)
    return read.shop


def read_shop_file(folder: Path) -> ReadShop | None:
    """The shop file of a folder, whatever is in it; None where there is none. Raises RunnerError where it can't be read."""
    return read_shop_at(shop_path(folder))


def read_shop_at(path: Path) -> ReadShop | None:
    """A shop file by whatever name, whatever is in it; None where there is none. Raises RunnerError where it can't be read."""
    if path.exists() and not path.is_file():
        raise RunnerError(f"{path} is not a file", "move it out of the way", PROBLEMS)
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        return None
    except OSError as why:
        raise RunnerError(
            f"{path} can't be read: {why.strerror}", "look at who may read it", PROBLEMS
        ) from why
    text, problems = decode(data, str(path))
    if text is None:
        return ReadShop(path, None, problems, [])
    shop, problems = read_shop(text, str(path), is_zone)
    return ReadShop(path, shop, problems, [without_pin(line) for line in text.split("\n")])


def without_pin(line: str) -> str:
    """A line to be shown: somebody may have written a PIN into it, and what is kept of one is nobody's to read."""
    return _PIN.sub(lambda found: found[1] + "•" * len(found[2]), line)


def judged(sheet: Sheet, folder: Path) -> tuple[Shop | None, list[Problem]]:
    """The shop that a sheet tells of, or everything wrong with it."""
    return read_shop(sheet_text(sheet), str(shop_path(folder)), is_zone)


def keep_shop(folder: Path, shop: Shop, instead_of: Shop | None = None) -> Shop:
    """
    The shop as it is now kept, its text with it. Whoever reads the file meanwhile, or after a power cut, sees the old
    one or the new one whole. Raises RunnerError where it can't be kept, or where the file is no longer the one that
    this was made from.
    """
    shop = replace(shop, text=shop_text(shop))
    if instead_of is not None and shop_beside(folder).text != instead_of.text:
        raise RunnerError(
            "the shop file was changed by somebody else meanwhile, so this change is not kept",
            "look at it with `benchhand shop` and make the change again",
            NO_JOURNAL,
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _replace(shop_path(folder).resolve(), shop.text.encode())
    except OSError as why:
        raise RunnerError(
            f"the shop file can't be kept in {folder}: {why.strerror}",
            "look at the disk and at who may write there; the file is as it was",
            NO_JOURNAL,
        ) from why
    return shop


def _replace(path: Path, data: bytes) -> None:
    """The file with this in it, on disk, in one step; who may read it stays as it was."""
    mode = path.stat().st_mode & 0o777 if path.exists() else None
    new = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        with new.open("xb") as file:
            if mode is not None:
                os.chmod(new, mode)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(new, path)
    except BaseException:
        with suppress(OSError):
            new.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def shop_day(shop: Shop, now: Moment) -> date:
    """Which day it is at the shop: in its zone, or the machine's where it says none."""
    return now.utc.astimezone(zone_of(shop.zone or zone_here())).date()
