"""The record as plain text: readable on any screen and any printer, deviations first."""

from __future__ import annotations

import textwrap
from datetime import datetime
from typing import Any

from runner.job.moments import utc_from
from runner.paper.record import record
from runner.procedure.model import APPROVED
from runner.session.at_work import ReadJob
from runner.text.foreign import one_line, shown

WIDTH = 96
"""Columns: what an A4 page holds at ten points."""


def as_text(read: ReadJob) -> str:
    """The whole record as text, with no control character in it."""
    data = record(read)
    front = [*_head(data, read), *_deviations(data), *_in_short(data), *_instruments(data)]
    lines = [*front, *_passes(data, read), *_procedure(data), *_chain(data)]
    return shown("\n".join(lines)) + "\n"


def _release(data: dict[str, Any], read: ReadJob) -> list[str]:
    """When it was opened, and by whom it was released and what was said of it."""
    zone = one_line(data["times"]["zone"])
    by = read.events[0].who
    lines = _wrapped(
        f"opened {_local(data['times']['opened'], read)} by {by}; times are by the shop's clock, {zone}",
        "",
        "  ",
    )
    released = read.state.released
    if released is None:
        return [*lines, "not released"]
    who = f"released {_local(data['times']['released'], read)} by {released.by} as {released.role}: {released.statement}"
    return [*lines, *_wrapped(who, "", "  ")]


def _by_whom(procedure: dict[str, Any]) -> str:
    """Who wrote the procedure and who approved it; nobody is named as approver of what isn't approved."""
    written = f"written by {procedure['written by']}"
    if procedure["status"] != APPROVED:
        return written
    return f"{written}; approved by {procedure['approved by']}, {procedure['approved on']}"


def _head(data: dict[str, Any], read: ReadJob) -> list[str]:
    procedure = data["procedure"]
    lines = [
        "=" * WIDTH,
        f"RECORD OF JOB {one_line(data['job'])}    {data['standing'].upper()}",
        f"{one_line(procedure['title'])}",
        f"procedure {procedure['id']} revision {procedure['revision']}, {procedure['status']}, sha256 {procedure['sha256'][:16]}…",
        *_wrapped(_by_whom(procedure), "", "  "),
        f"parts: {', '.join(data['parts'])}",
        *_release(data, read),
        "=" * WIDTH,
        "",
    ]
    return [*lines, *(f"* {one_line(said)}" for said in data["honesty"]), ""]


def _deviations(data: dict[str, Any]) -> list[str]:
    lines = ["DEVIATIONS"]
    if not data["deviations"]:
        return [*lines, "  none", ""]
    sort = ""
    for one in data["deviations"]:
        if one["sort"] != sort:
            sort = one["sort"]
            lines += ["", f"  {sort}"]
        at = f", '{one['at']}'" if one["at"] else ""
        where = f"{one['part']}{at}: " if one["part"] and not one["what"].startswith(one["part"]) else ""
        by = f" (entered by {one['who']}, entry {one['entry']})" if one["who"] else ""
        lines += _wrapped(f"{where}{one['what']}{by}", "  - ", "    ")
    return [*lines, ""]


def _in_short(data: dict[str, Any]) -> list[str]:
    lines = ["IN SHORT, by part: what its hold points show, ± U (k = 2), and what was decided on it"]
    for one in data["in short"]:
        standing = f" {one['standing'].upper()}" if one["standing"] else ""
        said = "; ".join([*one["values"], *one["ways"]])
        lines += _wrapped(f"{one['part']}{standing}: {said}", "  ", "      ")
    return [*lines, ""] if data["in short"] else []


def _instruments(data: dict[str, Any]) -> list[str]:
    lines = [wrapped for one in data["instruments"] for wrapped in _wrapped(one, "  ", "      ")]
    return ["INSTRUMENTS", *lines, ""] if lines else []


def _passes(data: dict[str, Any], read: ReadJob) -> list[str]:
    lines: list[str] = []
    for one in data["passes"]:
        lines += ["-" * WIDTH, f"{one_line(one['stage']).upper()}    {one['part']}    {one['standing']}", ""]
        for step in one["steps"]:
            lines += _wrapped(
                f"{step['step']:>3}  {step['what']:<10} {step['says']}   [{step['standing']}]", "", " " * 16
            )
            for happened in step["happened"]:
                when = _local(happened["at"], read)
                mark = "SUPERSEDED, " if happened["superseded"] else ""
                by = f"entered by {happened['who']}" if happened["who"] else "noticed, or by nobody named"
                lines += _wrapped(
                    f"{mark}{happened['line']}   ({by}, {when}, entry {happened['entry']})",
                    " " * 6 + "> ",
                    " " * 8,
                )
        lines.append("")
    return lines


def _local(at: str, read: ReadJob) -> str:
    local: datetime = utc_from(at).astimezone(read.job.zone)
    return f"{local:%Y-%m-%d %H:%M:%S %z}"


def _procedure(data: dict[str, Any]) -> list[str]:
    lines = ["=" * WIDTH, "THE PROCEDURE AS USED", "", *_numbered(data["procedure"]["text"])]
    for taken in data["procedure"]["taken in"]:
        lines += [f"STEPS TAKEN IN FROM {one_line(taken['file'])}", "", *_numbered(taken["text"])]
    return lines


def _numbered(text: str) -> list[str]:
    return [*(f"{number:>5} | {one_line(said)}" for number, said in enumerate(text.split("\n"), 1)), ""]


def _chain(data: dict[str, Any]) -> list[str]:
    chain = data["chain"]
    return [
        "=" * WIDTH,
        f"{chain['count']} entries, head {chain['head']}",
        "check with: benchhand verify " + one_line(data["job"]),
    ]


def _wrapped(text: str, first: str, then: str) -> list[str]:
    return textwrap.wrap(
        one_line(text), WIDTH, initial_indent=first, subsequent_indent=then, drop_whitespace=True
    ) or [first]
