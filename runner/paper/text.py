"""The record as plain text: readable on any screen and any printer, deviations first."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from runner.job.moments import utc_from
from runner.paper.record import record
from runner.procedure.model import APPROVED
from runner.session.at_work import ReadJob
from runner.text.foreign import one_line, shown

WIDTH = 96
"""Columns: what an A4 page holds at ten points."""
MARK = "REHEARSAL | "
"""The margin of every line in the record of a rehearsal."""
NOBODY = "noticed, or by nobody named"
"""Who entered what nobody did."""


@dataclass(frozen=True, slots=True)
class Wrapped:
    """A text of as many lines as it takes, with what stands before the first and before the others."""

    text: str
    first: str
    then: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A line across the page."""

    sign: str


Line = str | Wrapped | Rule


def as_text(read: ReadJob) -> str:
    """The whole record as text, with no control character in it; of a rehearsal each line says that it is one."""
    data = record(read)
    front = [*_head(data, read), *_deviations(data), *_in_short(data), *_totals(data), *_timers(data, read)]
    lines = [*front, *_instruments(data), *_passes(data, read), *_around(data, read)]
    lines += [*_procedure(data), *_chain(data)]
    mark = MARK if data["rehearsal"] else ""
    laid = (one for line in lines for one in _laid(line, WIDTH - len(mark)))
    return "".join(f"{(mark + one).rstrip()}\n" for one in shown("\n".join(laid)).split("\n"))


def _laid(line: Line, width: int) -> list[str]:
    match line:
        case Wrapped(text, first, then):
            wrapped = textwrap.wrap(one_line(text), width, initial_indent=first, subsequent_indent=then)
            return wrapped or [first]
        case Rule(sign):
            return [sign * width]
        case _:
            return [line]


def _release(data: dict[str, Any], read: ReadJob) -> list[Line]:
    """When it was opened, and by whom it was released and what was said of it."""
    zone = one_line(data["times"]["zone"])
    by = read.events[0].who
    opened = f"opened {_local(data['times']['opened'], read)} by {by}; times are by the shop's clock, {zone}"
    lines: list[Line] = [Wrapped(opened, "", "  ")]
    released = read.state.released
    if released is None:
        return [*lines, "not released"]
    who = f"released {_local(data['times']['released'], read)} by {released.by} as {released.role}: {released.statement}"
    return [*lines, Wrapped(who, "", "  ")]


def _by_whom(procedure: dict[str, Any]) -> str:
    """Who wrote the procedure and who approved it; nobody is named as approver of what isn't approved."""
    written = f"written by {procedure['written by']}"
    if procedure["status"] != APPROVED:
        return written
    return f"{written}; approved by {procedure['approved by']}, {procedure['approved on']}"


def _head(data: dict[str, Any], read: ReadJob) -> list[Line]:
    procedure = data["procedure"]
    what = "A REHEARSAL, JOB" if data["rehearsal"] else "JOB"
    lines: list[Line] = [
        Rule("="),
        f"RECORD OF {what} {one_line(data['job'])}    {data['standing'].upper()}",
        f"{one_line(procedure['title'])}",
        f"procedure {procedure['id']} revision {procedure['revision']}, {procedure['status']}, sha256 {procedure['sha256'][:16]}…",
        Wrapped(_by_whom(procedure), "", "  "),
        f"parts: {', '.join(data['parts'])}",
        *_release(data, read),
        Rule("="),
        "",
    ]
    return [*lines, *(Wrapped(said, "* ", "  ") for said in data["honesty"]), ""]


def _deviations(data: dict[str, Any]) -> list[Line]:
    lines: list[Line] = ["DEVIATIONS"]
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
        lines.append(Wrapped(f"{where}{one['what']}{by}", "  - ", "    "))
    return [*lines, ""]


def _in_short(data: dict[str, Any]) -> list[Line]:
    lines: list[Line] = [
        "IN SHORT, by part: what its hold points show, ± U (k = 2), and what was decided on it"
    ]
    for one in data["in short"]:
        standing = f" {one['standing'].upper()}" if one["standing"] else ""
        said = "; ".join([*one["values"], *one["ways"]])
        lines.append(Wrapped(f"{one['part']}{standing}: {said}", "  ", "      "))
    return [*lines, ""] if data["in short"] else []


def _totals(data: dict[str, Any]) -> list[Line]:
    lines: list[Line] = ["TOTALS over the whole job, by part"]
    for one in data["totals"]:
        over = "OVER the" if one["over"] else "of the"
        entry = f", entry {one['entry']}" if one["entry"] else ""
        hottest = f"; hottest {one['hottest']}" if one["hottest"] else ""
        said = f"{one['came to']}, {over} {one['at most']} it may come to ({one['source']}){entry}{hottest}"
        lines.append(Wrapped(f"{one['part']} {one['total']}, {one['counts']}: {said}", "  ", "      "))
    return [*lines, ""] if data["totals"] else []


def _timers(data: dict[str, Any], read: ReadJob) -> list[Line]:
    lines: list[Line] = ["TIME, what was allowed and what it took"]
    for one in data["timers"]:
        at = f" at {_local(one['at'], read)}" if one["at"] else ""
        start = f" from {one['from']}{at}" if one["from"] else ""
        note = f" ({one['note']})" if one["note"] else ""
        said = f"{one['allowed']}; {one['took']}{start}; {one['came out']}{note}"
        lines.append(
            Wrapped(
                f"{one['part']} {one['sort']} {one['name']}: {said}, entry {one['entry']}", "  ", "      "
            )
        )
    return [*lines, ""] if data["timers"] else []


def _around(data: dict[str, Any], read: ReadJob) -> list[Line]:
    lines: list[Line] = [Rule("-"), "AROUND THE WORK", ""]
    for one in data["around"]:
        said = f"{one['line']}   ({one['who'] or NOBODY}, {_local(one['at'], read)}, entry {one['entry']})"
        lines.append(Wrapped(said, "  > ", "    "))
    return [*lines, ""]


def _instruments(data: dict[str, Any]) -> list[Line]:
    lines = [Wrapped(one, "  ", "      ") for one in data["instruments"]]
    return ["INSTRUMENTS", *lines, ""] if lines else []


def _passes(data: dict[str, Any], read: ReadJob) -> list[Line]:
    lines: list[Line] = []
    for one in data["passes"]:
        lines += [Rule("-"), f"{one_line(one['stage']).upper()}    {one['part']}    {one['standing']}", ""]
        for step in one["steps"]:
            asked = f"{step['step']:>3}  {step['what']:<10} {step['says']}   [{step['standing']}]"
            lines.append(Wrapped(asked, "", " " * 16))
            lines += [_happened(happened, read) for happened in step["happened"]]
            for trace in step.get("traces", ()):
                lines += ["", *(" " * 8 + row for row in trace["drawn"])]
                lines += [Wrapped(trace["key"], " " * 8, " " * 10), ""]
        lines.append("")
    return lines


def _happened(one: dict[str, Any], read: ReadJob) -> Wrapped:
    mark = "SUPERSEDED, " if one["superseded"] else ""
    by = f"entered by {one['who']}" if one["who"] else NOBODY
    said = f"{mark}{one['line']}   ({by}, {_local(one['at'], read)}, entry {one['entry']})"
    return Wrapped(said, " " * 6 + "> ", " " * 8)


def _local(at: str, read: ReadJob) -> str:
    local: datetime = utc_from(at).astimezone(read.job.zone)
    return f"{local:%Y-%m-%d %H:%M:%S %z}"


def _procedure(data: dict[str, Any]) -> list[Line]:
    lines = [Rule("="), "THE PROCEDURE AS USED", "", *_numbered(data["procedure"]["text"])]
    for taken in data["procedure"]["taken in"]:
        lines += [f"STEPS TAKEN IN FROM {one_line(taken['file'])}", "", *_numbered(taken["text"])]
    return lines


def _numbered(text: str) -> list[Line]:
    return [*(f"{number:>5} | {one_line(said)}" for number, said in enumerate(text.split("\n"), 1)), ""]


def _chain(data: dict[str, Any]) -> list[Line]:
    chain = data["chain"]
    return [
        Rule("="),
        f"{chain['count']} entries, head {chain['head']}",
        "check with: benchhand verify " + one_line(data["job"]),
    ]
