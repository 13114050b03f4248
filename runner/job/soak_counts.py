"""The counting of a soak: which of the time between two moments is proved to have been inside at every place, and why the rest isn't."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from enum import Enum

from runner.job.moments import span_words
from runner.job.traces import Dot, Lap, Trace, apart, is_gap, laps, longest, proved
from runner.procedure.model import Soak


class Why(Enum):
    """Why the time between two readings proves nothing."""

    UNREAD = "not read before it"
    BEFORE = "the reading before not inside"
    AFTER = "the reading after not inside"
    UNSURE = "nobody knows how long it was"
    GAP = "too long"


@dataclass(slots=True)
class Count:
    """
    The seconds that count up to `end`, which is where it was `enough` or where there was nothing more; how long it may have
    been inside, gaps and doubts in full; and what did not count.
    """

    end: Dot
    counted_s: float = 0.0
    enough: bool = False
    may_have_been_s: float = 0.0
    laps: int = 0
    lost_s: dict[Why, float] = field(default_factory=dict)
    gaps: dict[tuple[float, float], float] = field(default_factory=dict)
    """How long each was at the longest, by when it began and ended; at several places it is one."""

    def note(self, clocks: str) -> str:
        """Why time did not count, and what is to be said of the clocks, in a line; nothing where all is well."""
        said = []
        if self.laps == 1 and Why.BEFORE in self.lost_s:
            return "the reading before was not inside"
        if self.laps == 1 and Why.AFTER in self.lost_s:
            return "not inside; the time since the reading before does not count"
        outside = self.lost_s.get(Why.BEFORE, 0.0) + self.lost_s.get(Why.AFTER, 0.0)
        if outside:
            said.append(f"{span_words(timedelta(seconds=outside))} not inside and not counted")
        if Why.UNSURE in self.lost_s:
            return "; ".join([*said, f"{clocks}; the time since the reading before proves nothing"])
        if len(self.gaps) == 1:
            (span,) = self.gaps.values()
            said.append(f"a gap of {span_words(timedelta(seconds=span))} proves nothing, and does not count")
        elif self.gaps:
            span = max(self.gaps.values())
            said.append(
                f"{len(self.gaps)} gaps of up to {span_words(timedelta(seconds=span))} prove nothing, and do not count"
            )
        return "; ".join([*said, clocks] if clocks and self.counted_s else said)


def count(step: Soak, trace: Trace, start: Dot, end: Dot, total_s: float) -> Count:
    """What counts from `start` on: up to `end`, or up to where it is enough with what was counted before."""
    found, wanted_s = Count(end), float(step.least.si) - total_s
    allowed_s = float(step.every.si) + (float(step.grace.si) if step.grace else 0.0)
    for lap in laps(trace, start.proved, end.proved, proved):
        found.laps += 1
        why = _why_not(lap, allowed_s)
        if why is None:
            found.counted_s += lap.lasted_s
        else:
            found.lost_s[why] = found.lost_s.get(why, 0.0) + lap.lasted_s
        if why is Why.GAP:
            found.gaps |= {
                (one.proved, two.proved): apart(one, two)
                for one, two in lap.ends
                if one and two and is_gap(one, two, allowed_s)
            }
        if round(found.counted_s, 3) >= wanted_s:
            found.end = next(dot for one in trace.values() for dot in one if dot.proved == lap.end)
            break
    if not found.laps and start.unsure and not end.unsure:
        found.lost_s[Why.UNSURE] = 0.0
    found.enough = round(found.counted_s, 3) >= wanted_s
    for lap in laps(trace, start.longest, found.end.longest, longest):
        if any(all(dot and dot.inside for dot in side) for side in zip(*lap.ends, strict=True)):
            found.may_have_been_s += lap.lasted_s
    return found


def _why_not(lap: Lap, allowed_s: float) -> Why | None:
    """Why a lap doesn't count, or nothing where it does."""
    ends = [(before, after) for before, after in lap.ends if before and after]
    if len(ends) < len(lap.ends):
        return Why.UNREAD
    if not all(before.inside for before, _ in ends):
        return Why.BEFORE
    if not all(after.inside for _, after in ends):
        return Why.AFTER
    if any(before.unsure != after.unsure for before, after in ends):
        return Why.UNSURE
    return Why.GAP if any(is_gap(before, after, allowed_s) for before, after in ends) else None
