"""A clock that stands so long before another one, for jobs begun a while ago that the program itself looks at now."""

from __future__ import annotations

from datetime import timedelta

from runner.job.moments import Moment, hurried
from runner.session.clock import Clock


class PastClock:
    """`ago` may be changed, to come nearer."""

    def __init__(self, clock: Clock, ago: timedelta) -> None:
        self._clock, self.ago = clock, ago

    def now(self) -> Moment:
        return hurried(self._clock.now(), -self.ago.total_seconds())
