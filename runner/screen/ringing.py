"""The alarms of the job on the screen: looked for at each tick, called until somebody answers, in sight until they are over."""

from __future__ import annotations

from runner.job.alarms import TOGETHER_S, Alarm, in_sight, notices
from runner.job.events import AlarmRef
from runner.job.intents import AnswerAlarm
from runner.job.moments import Moment
from runner.job.state import State
from runner.screen.acting import Acting
from runner.screen.alarms import notice, strip
from runner.screen.look import Look
from runner.screen.pulse import Pulse, with_shape
from runner.screen.rows import Row
from runner.screen.signals import Caller
from runner.screen.view import View


class Ringing:
    """Alarms and pulse of one job's screen."""

    def __init__(self, acting: Acting, look: Look) -> None:
        self._acting = acting
        self._caller = Caller(look.signals, look.write)
        self.pulse = Pulse(look.clock)
        self._over: set[AlarmRef] | None = None
        self._seen: tuple[State, Moment, list[Alarm]] | None = None

    def tick(self) -> None:
        """Looks what stands, and calls for it."""
        self.pulse.beat()
        view = self._acting.view
        if view.state.released:
            return
        boot = self.pulse.at_s
        # While hands are busy against the clock nothing sounds that can't be seen to before they are free.
        is_busy = view.is_racing and view.clock[1].started is not None
        ringing = self._ringing()
        self._caller.call([one.ref for one in ringing], _titled(view, ringing), boot, hush=is_busy)
        if is_busy:
            return
        over = {one.ref for one in notices(view.job, view.state, view.now)}
        if self._over is not None and over - self._over:
            self._caller.once(boot)
        self._over = over

    @property
    def is_ringing(self) -> bool:
        """Whether anything stands that nobody answered."""
        return bool(self._ringing())

    def answer(self) -> None:
        """The sound stops; what is to be done stays in sight."""
        self._acting.do_beside(AnswerAlarm())

    def leave(self) -> None:
        self._caller.leave()

    def on(self, head: list[Row], width: int) -> list[Row]:
        """The head with the pulse in its bar, and below it what stands."""
        view = self._acting.view
        if view.state.released:
            return with_shape(head, self.pulse.shape)
        found = self._in_sight(view)
        is_small = view.is_racing or all(_is_in_view(view, one) for one in self._ringing())
        lines = strip(view.job, found, view.state.alarms, view.now, width, is_small=is_small)
        new = [one for one in notices(view.job, view.state, view.now) if one.begins_s > -TOGETHER_S]
        return [
            *with_shape(head, self.pulse.shape),
            *self.pulse.said(width),
            *lines,
            *([] if view.is_racing else notice(view.job, new, width)),
        ]

    def _ringing(self) -> list[Alarm]:
        view = self._acting.view
        answered = view.state.alarms
        return (
            [] if view.state.released else [one for one in self._in_sight(view) if not answered.get(one.ref)]
        )

    def _in_sight(self, view: View) -> list[Alarm]:
        """What stands; worked out once for a state and a moment, though the tick, the page and a key all ask."""
        if self._seen is None or self._seen[0] is not view.state or self._seen[1] != view.now:
            self._seen = (view.state, view.now, in_sight(view.job, view.state, view.now))
        return self._seen[2]


def _is_in_view(view: View, alarm: Alarm) -> bool:
    """Whether the page itself is about an alarm, and tells in large figures what it is about."""
    ref, step = alarm.ref, view.step
    here = (*view.key, step.about.number) if view.key and step else ()
    return view.shows == "step" and (ref.stage, ref.part, ref.step) == here


def _titled(view: View, ringing: list[Alarm]) -> str:
    if not ringing:
        return ""
    more = f" (and {len(ringing) - 1} more)" if len(ringing) > 1 else ""
    mark = "REHEARSAL " if view.state.is_rehearsal else ""
    return f"{ringing[0].do} on {ringing[0].part}{more} · {mark}job {view.job.number}"
