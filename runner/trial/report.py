"""The report of a trial, as text and as plain data. The same seed gives the same report, byte for byte."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from runner.procedure.model import Procedure
from runner.trial.findings import Finding, found_in, worth_knowing
from runner.trial.tally import Course, Tally


def as_data(procedure: Procedure, tally: Tally, jobs: int, seed: int) -> dict[str, Any]:
    """Everything that the report says, for programs."""
    return {
        "procedure": procedure.id,
        "revision": procedure.revision,
        "jobs": jobs,
        "seed": seed,
        "ends": dict(sorted(tally.ends.items())),
        "findings": [_finding(one) for one in found_in(procedure, tally)],
        "worth knowing": [_finding(one) for one in worth_knowing(procedure, tally)],
        "released": {name: _spread(tally.courses, of) for name, _, of in _MEASURES},
    }


def _finding(one: Finding) -> dict[str, Any]:
    return {"sort": one.sort, "line": one.line, "sentence": one.sentence}


def as_text(procedure: Procedure, tally: Tally, jobs: int, seed: int, file: str) -> list[str]:
    """The report's lines."""
    ends = ", ".join(
        f"{count} {how}" for how, count in sorted(tally.ends.items(), key=lambda one: (-one[1], one[0]))
    )
    count = "one virtual job" if jobs == 1 else f"{jobs} virtual jobs"
    lines = [
        f"{procedure.title} ({procedure.id} revision {procedure.revision})",
        f"{count}, seed {seed}: {ends}",
        "",
    ]
    found = found_in(procedure, tally)
    lines += [_line(file, one) for one in found]
    lines += [""] if found else []
    known = worth_knowing(procedure, tally)
    if known:
        lines += ["worth knowing, and no finding:", *(f"  {_line(file, one)}" for one in known), ""]
    if tally.courses:
        lines.append(
            "from opening to release, on paper (a minute an act, 8 hours a night): median, and 10 to 90 percent"
        )
        for name, show, of in _MEASURES:
            low, median, high = (show(one) for one in _spread(tally.courses, of))
            lines.append(f"  {name:<16} {median:>12}   {low} to {high}")
        lines.append("")
    what = "nothing found" if not found else f"{len(found)} {'finding' if len(found) == 1 else 'findings'}"
    return [*lines, f"{file}: {what}"]


def _line(file: str, one: Finding) -> str:
    return f"{file}:{one.line}: {one.sentence}" if one.line else f"{file}: {one.sentence}"


def _spread(courses: Sequence[Course], of: Callable[[Course], float]) -> list[float]:
    """The 10 %, the median and the 90 % of something over jobs; nothing where none was released."""
    sizes = sorted(of(one) for one in courses)
    return [round(sizes[round(share * (len(sizes) - 1))], 3) for share in (0.1, 0.5, 0.9)] if sizes else []


def _hours(seconds: float) -> str:
    minutes = round(seconds / 60)
    return f"{minutes // 60} h {minutes % 60:02d} min"


_MEASURES: tuple[tuple[str, Callable[[float], str], Callable[[Course], float]], ...] = (
    ("acts", lambda size: f"{size:.0f}", lambda one: one.acts),
    ("waited", _hours, lambda one: one.waited_s),
    ("critical time", _hours, lambda one: one.lasted_s),
)
