"""Acts handed to a job, one after another: what must be said first is asked first, and what came of each is told.

It knows the job and the question that is open, and nothing of how they are shown.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from runner.job import events as e
from runner.job.alarms import to_raise
from runner.job.decide import decide
from runner.job.events import Event
from runner.job.instruments import in_use
from runner.job.intents import ANYBODYS, Intent, Notice, Type
from runner.job.job import Refusal
from runner.job.waits import time_left
from runner.procedure.model import Read, Soak, Wait, Zero
from runner.screen import asking
from runner.screen.asking import InTurn, Question, WithPin
from runner.screen.outcomes import entered_in, kept_rows, not_kept_rows, refused_rows, went_rows
from runner.screen.rows import Row, fit, row, wrapped
from runner.screen.view import View, in_sight, out_of_sight
from runner.session.at_work import AtWork, Kept, NotKept, Outcome
from runner.session.faults import RunnerError


@dataclass(frozen=True, slots=True)
class _Held:
    """What waits until something that comes first is said: its text, which is never lost, and how it goes on."""

    text: str
    go_on: Callable[[], object]


class Acting:
    """One job's acts. `put_back` is told a text that was not taken after all; `width` is that of what is said."""

    def __init__(self, at_work: AtWork, put_back: Callable[[str], None], width: Callable[[], int]) -> None:
        self.at_work, self._put_back, self._width = at_work, put_back, width
        self.said: list[Row] = []
        self.last_events: tuple[Event, ...] = ()
        self.question: Question | None = None
        self.is_leaving = self._said_of_a_wait = False
        self._held: _Held | None = None
        self._handed = ""
        self._not_kept = NotKept("the last entry is not on disk", "see that the disk can be written to")

    @property
    def view(self) -> View:
        at_work = self.at_work
        return View(at_work.job, at_work.state, at_work.now, at_work.events, last_events=self.last_events)

    # what is told

    def say(self, lines: list[Row]) -> None:
        self.said, self._said_of_a_wait = lines, False

    def complain(self, sentence: str) -> None:
        self.say(wrapped(sentence, self._width(), "bad", first="✗ "))

    def not_kept(self) -> list[Row]:
        """What the disk refused, which stands nowhere else."""
        told = self._not_kept
        return fit(not_kept_rows(self._handed, told.sentence, told.fix, self.is_leaving, self._width()), 6)

    def forget_a_wait(self) -> None:
        """What was said of a wait that was still running is no longer so when it is over."""
        view = self.view
        if self._said_of_a_wait and isinstance(view.step, Wait) and view.key:
            left = time_left(view.job, view.state, view.key, view.step, view.now)
            if left and left[1].total_seconds() <= 0:
                self.say([])

    # questions

    def ask(self, question: Question) -> None:
        self.question = question
        self.say([])

    def ask_who_first(self, then: Callable[[], object]) -> None:
        """Who is at the bench, before something that asks more than that."""
        self._held = _Held("", then)
        self.ask(asking.person())

    def answer(self, given: str) -> bool:
        """Whether an answer was taken."""
        assert self.question
        match self.question.then(given):
            case str(sentence):
                self.complain(sentence)
                return False
            case Question() as following:
                self.ask(following)
                return True
            case WithPin(intent, pin):
                return self._hand_over(intent, pin)
            case InTurn(first, second):
                self._held = _Held("", lambda: self.do(second))
                return self.do(first)
            case intent:
                return self.do(intent)

    def leave_question(self) -> None:
        held, self._held, self.question = self._held, None, None
        self.say([row("left as it was; nothing was entered")])
        if held and held.text:
            self._put_back(held.text)

    # acts

    def do(self, intent: Intent) -> bool:
        """Hand an intent to the job, once it is said who does it and with what; whether what was typed is used up."""
        first = self._comes_first(intent)
        if first:
            typed = intent.text if isinstance(intent, Type) else ""
            self._held = _Held(typed, lambda: self.do(intent))
            self.ask(replace(first, ask=f"{first.ask} Then '{typed}' is entered.") if typed else first)
            return True
        name = self.at_work.asks_pin(intent)
        if not name:
            return self._hand_over(intent)
        refused = decide(self.at_work.job, self.at_work.state, intent, self.at_work.now)
        if isinstance(refused, Refusal):
            return self._show(lambda: refused)
        self.ask(asking.pin(name, intent))
        return True

    def try_again(self) -> bool:
        return self._show(self.at_work.try_again)

    def notice(self) -> None:
        """What time alone has brought about is noted, while a clock runs and where an alarm is to be raised."""
        job, state = self.at_work.job, self.at_work.state
        has_clock = any(one.started for found in state.passes.values() for one in found.clocks.values())
        if has_clock or to_raise(job, state, self.at_work.now):
            self.do_beside(Notice())

    def do_beside(self, intent: Intent) -> None:
        """An act beside what is asked and typed at the moment, which stays as it is; an alarm is told in its own place."""
        if self.at_work.is_waiting:
            return
        question, held = self.question, self._held
        self._held = None
        outcome = self._handed_over(lambda: self.at_work.act(intent))
        events = outcome.events if isinstance(outcome, Kept) else ()
        told = [one for one in events if not isinstance(one, e.AlarmRaised | e.AlarmAnswered)]
        if told or isinstance(outcome, NotKept):
            self._handed = ""
            self._tell(outcome)
        self.question, self._held = question, held

    def _comes_first(self, intent: Intent) -> Question | None:
        """What must be said before an act: who is at the bench, and with which of the shop's instruments."""
        view = self.view
        if view.is_nobody_there and not isinstance(intent, ANYBODYS):
            return asking.person()
        step = view.step
        if not isinstance(intent, Type) or not isinstance(step, Read | Zero | Soak):
            return None
        there = view.job.shop.of_kind(step.instrument)
        if len(there) > 1 and isinstance(in_use(view.job, view.state, step.instrument), Refusal):
            return asking.which_gauge(view.job, step.instrument, view.now)
        return None

    def _hand_over(self, intent: Intent, pin: str = "") -> bool:
        self._handed = entered_in(intent)
        return self._show(lambda: self.at_work.act(intent, pin))

    def _show(self, handed: Callable[[], Outcome]) -> bool:
        """Hand an act over and tell what came of it; whether what was typed is used up."""
        return self._tell(self._handed_over(handed))

    def _handed_over(self, handed: Callable[[], Outcome]) -> Outcome:
        try:
            return handed()
        except RunnerError as fault:
            return NotKept(fault.what, fault.fix)

    def _tell(self, outcome: Outcome) -> bool:
        match outcome:
            case Kept(events):
                return self._show_kept(events)
            case Refusal():
                self.say(refused_rows(outcome, self._width()))
                self._said_of_a_wait = isinstance(self.view.step, Wait)
                return False
            case NotKept():
                self._not_kept = outcome
                return True

    def _show_kept(self, events: tuple[Event, ...]) -> bool:
        self.last_events, self.question, self.is_leaving = events, None, False
        is_done = not events or not all(isinstance(one, e.WentOutOfDate | e.ClockNoticed) for one in events)
        seen = in_sight(events, out_of_sight(self.at_work.job, self.at_work.state))
        self.say(kept_rows(seen, self._width()) if is_done else went_rows(events, self._width()))
        held, self._held = self._held, None
        if held and held.go_on() is False and held.text:
            self._put_back(held.text)
        return is_done
