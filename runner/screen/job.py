"""A job at work on the screen: keys become intents, outcomes become lines, the state is what is shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from runner.job import events as e
from runner.job.decide import decide
from runner.job.events import Event
from runner.job.instruments import in_use
from runner.job.intents import ChangePerson, Intent, StartPass, Suspend, Type
from runner.job.job import Refusal
from runner.job.waits import time_left
from runner.procedure.model import Choose, HoldPoint, Read, SignOff, Wait, Write, Zero
from runner.screen import asking, hints, keys, painting
from runner.screen.asking import InTurn, Question, WithPin
from runner.screen.board import open_passes
from runner.screen.door import content
from runner.screen.entry import Entry
from runner.screen.look import Look
from runner.screen.outcomes import entered_in, kept_rows, not_kept_rows, refused_rows, went_rows
from runner.screen.rows import EMPTY, Row, fit, row, wrapped
from runner.screen.view import OVER, View, in_sight, out_of_sight
from runner.session.at_work import AtWork, Kept, NotKept, Outcome
from runner.session.faults import RunnerError
from runner.shop.people import same_person

REPEAT_S = 0.4
"""Seconds within which the same act key again is a held key, not a second press."""
_SCROLLING = {"up": -1, "down": 1, "pageup": -8, "pagedown": 8}


@dataclass(frozen=True, slots=True)
class _Held:
    """What waits until something that comes first is said: its text, which is never lost, and how it goes on."""

    text: str
    go_on: Callable[[], object]


class JobScreen(Screen[None]):
    """One job. Everything typed goes to the entry line; everything kept is on disk before it shows here."""

    def __init__(self, at_work: AtWork, look: Look, who: str = "") -> None:
        super().__init__()
        self.at_work, self.look, self.who = at_work, look, who
        self.said: list[Row] = []
        self.last_events: tuple[Event, ...] = ()
        self.question: Question | None = None
        self.over = ""
        self.marked = 0
        self.scrolled = 0
        self._pressed = ("", float("-inf"))
        self._drawn: dict[str, list[Row]] = {}
        self._is_typing = self._said_of_a_wait = self._is_leaving = False
        self._held: _Held | None = None
        self._handed = ""
        self._not_kept = NotKept("the last entry is not on disk", "see that the disk can be written to")

    def compose(self) -> ComposeResult:
        for name in ("head", "body", "said"):
            yield Static(id=name)
        yield Entry()
        yield Static(id="hints")

    def on_mount(self) -> None:
        self.query_one(Entry).focus()
        is_another = self.view.is_nobody_there or not same_person(self.who, self.at_work.state.person)
        if self.who and is_another and not self.at_work.state.released:
            self.do(ChangePerson(self.who))
        self.paint()
        self.set_interval(1.0, self.tick)

    def on_resize(self) -> None:
        self.paint()

    def tick(self) -> None:
        """Repaints what time alone changes; counts nothing."""
        if self.is_attached and self.is_current:
            self.paint()

    @property
    def view(self) -> View:
        at_work = self.at_work
        return View(
            at_work.job, at_work.state, at_work.now, at_work.events, self.over, self.marked, self.last_events
        )

    # what the entry line asks and tells

    @property
    def is_secret(self) -> bool:
        """Whether what is typed now is for nobody's eyes."""
        return bool(self.question and self.question.is_secret)

    def wants(self, key: str) -> bool:
        # Where nothing may be typed every key is wanted, so that no text piles up unseen or keeps r from being a key.
        if self.look.is_too_small(self.app.size) or self.at_work.is_waiting:
            return True
        if self.question:
            return bool(self.question.keys)
        if key in _SCROLLING or key in keys.FUNCTION_KEYS.values():
            return True
        return not self.view.takes_text and (key == "space" or (len(key) == 1 and key.isalpha()))

    def press(self, key: str) -> None:
        key = key.lower()  # with the capitals locked it is the same key
        is_quick = self.at_work.now.boot - self._pressed[1] < REPEAT_S
        if key in _SCROLLING and not self.at_work.is_waiting:
            self.scroll_by(_SCROLLING[key])
        elif is_quick and (key == self._pressed[0] or self._is_typing):
            if key != self._pressed[0] and not self.question:
                self.complain("letters are keys here, and that looked like a text; nothing more was done")
            self._is_typing = True
        elif not self.look.is_too_small(self.app.size):
            self._is_typing = not self._act_on(key)
        # Reckoned from the end of the act: on a slow disk the repeats of a held key have queued up meanwhile.
        self._pressed = (key, self.at_work.now.boot)

    def _act_on(self, key: str) -> bool:
        """Whether the key did anything."""
        if self.question and self.question.keys and not self.at_work.is_waiting:
            if key in self.question.keys:
                return self.answer(key)
            self.complain("one of the keys below answers; nothing was entered")
            return False
        if self.at_work.is_waiting:
            act = next((one for one in keys.unkept(self._is_leaving) if one.key == key), None)
        else:
            act = keys.by_key(self.view, key)
        if act is None:
            self.say([row((f"{key} does nothing here. ", "bad"), self._wanted())])
        done = act is not None and self._carry_out(act.does, key)
        self.paint()
        return done

    def _carry_out(self, does: keys.Does, key: str) -> bool:
        match does:
            case Question() if self.view.is_nobody_there and key not in ("u", "s", "t", "f2", "f4"):
                self._held = _Held("", lambda: self._act_on(key))
                self.ask(asking.person())
            case Question():
                self.ask(does)
            case keys.Show(page):
                self.over, self.scrolled = ("" if self.over == page else page), 0
                self.say([])
            case keys.Leave():
                return self.leave()
            case keys.TryAgain():
                return self._show_outcome(self.at_work.try_again)
            case keys.LeaveUnkept(is_sure):
                self._is_leaving = True
                return self.leave() if is_sure else True
            case _:
                return self.do(does)
        return True

    def submit(self, text: str) -> bool:
        if self.look.is_too_small(self.app.size):
            return False
        if self.question:
            # A PIN never stays on the line, whatever comes of it.
            return self.answer(text) or self.is_secret
        view = self.view
        if view.shows == "board":
            return self.choose_part(text)
        if view.over in OVER:
            self.complain(f"Esc goes back to the step first; '{text}' was not entered")
            return False
        if view.shows == "step" and isinstance(view.step, Read | Zero | Write):
            return self.do(Type(text))
        self.complain(f"'{text}' was typed, and no reading is wanted here; nothing was entered")
        return False

    def escape(self) -> None:
        if self.question:
            held, self._held, self.question = self._held, None, None
            self.say([row("left as it was; nothing was entered")])
            self._put_back(held)
        elif self.over:
            self.over, self.scrolled = "", 0
        self.paint()

    def complain(self, sentence: str) -> None:
        self.say([*wrapped(sentence, self.width, "bad", first="✗ ")])
        self.paint()

    def _put_back(self, held: _Held | None) -> None:
        if held and held.text:
            self.query_one(Entry).put_back(held.text)

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
            return self._show_outcome(lambda: refused)
        self.ask(asking.pin(name, intent))
        return True

    def _comes_first(self, intent: Intent) -> Question | None:
        """What must be said before an act: who is at the bench, and with which of the shop's instruments."""
        view = self.view
        if view.is_nobody_there and not isinstance(intent, ChangePerson | Suspend):
            return asking.person()
        step = view.step
        if (
            isinstance(intent, Type)
            and isinstance(step, Read | Zero)
            and len(view.job.shop.of_kind(step.instrument)) > 1
        ):
            if isinstance(in_use(view.job, view.state, step.instrument), Refusal):
                return asking.which_gauge(view.job, step.instrument, view.now)
        return None

    def _hand_over(self, intent: Intent, pin: str = "") -> bool:
        self._handed = entered_in(intent)
        return self._show_outcome(lambda: self.at_work.act(intent, pin))

    def _show_outcome(self, handed: Callable[[], Outcome]) -> bool:
        """Hand an act over and show what came of it; whether what was typed is used up."""
        try:
            outcome = handed()
        except RunnerError as fault:
            outcome = NotKept(fault.what, fault.fix)
        match outcome:
            case Kept(events):
                return self._show_kept(events)
            case Refusal():
                self.say(refused_rows(outcome, self.width))
                self._said_of_a_wait = isinstance(self.view.step, Wait)
            case NotKept():
                self._not_kept = outcome
        self.paint()
        return not isinstance(outcome, Refusal)

    def _show_kept(self, events: tuple[Event, ...]) -> bool:
        self.last_events, self.question, self.scrolled, self._is_leaving = events, None, 0, False
        is_done = not events or not all(isinstance(one, e.WentOutOfDate | e.ClockNoticed) for one in events)
        seen = in_sight(events, out_of_sight(self.at_work.job, self.at_work.state))
        self.say(kept_rows(seen, self.width) if is_done else went_rows(events, self.width))
        held, self._held = self._held, None
        if held and held.go_on() is False:
            self._put_back(held)
        self.paint()
        return is_done

    def answer(self, given: str) -> bool:
        assert self.question
        match self.question.then(given):
            case str(sentence):
                self.complain(sentence)
                return False
            case Question() as following:
                self.ask(following)
                self.paint()
                return True
            case WithPin(intent, pin):
                return self._hand_over(intent, pin)
            case InTurn(first, second):
                self._held = _Held("", lambda: self.do(second))
                return self.do(first)
            case intent:
                return self.do(intent)

    def ask(self, question: Question) -> None:
        self.question = question
        self.query_one(Entry).password = question.is_secret
        self.say([])

    def choose_part(self, text: str) -> bool:
        """Take a part in hand by what is on its tag: on the marked stage, else on the first stage open for it."""
        found = open_passes(self.at_work.job, self.at_work.state)
        mine = [key for key in found if key[1].lower() == text.strip().lower()]
        if not mine:
            there = ", ".join(sorted({key[1] for key in found})[:8]) or "none"
            self.complain(f"no part with work open now is tagged '{text}'; open are {there}")
            return False
        marked = found[self.marked] if self.marked < len(found) else mine[0]
        key = marked if marked in mine else mine[0]
        self.over, self.marked = "", 0
        if key == self.at_work.state.in_hand:
            self.paint()
            return True
        return self.do(StartPass(key))

    def leave(self) -> bool:
        if self.query_one(Entry).value:
            self.complain("there is text on the entry line; enter it or take it out first")
            return False
        self.at_work.close()
        self.dismiss(None)
        return True

    def scroll_by(self, lines: int) -> None:
        if self.view.shows == "board" and abs(lines) == 1:
            count = len(open_passes(self.at_work.job, self.at_work.state))
            self.marked = max(0, min(count - 1, self.marked + lines))
        else:
            self.scrolled += lines
        self.paint()

    def _wanted(self) -> str:
        match self.view.step:
            case Read(ask=ask):
                return f"A reading is wanted: {ask}"
            case Zero(instrument=instrument):
                return f"What the {instrument} reads is wanted."
            case Choose(ask=ask):
                return f"One of the options is wanted: {ask}"
            case HoldPoint():
                return "r releases the hold point."
            case SignOff():
                return "g signs."
            case _:
                return ""

    # painting

    @property
    def width(self) -> int:
        return max(40, self.size.width)

    def say(self, lines: list[Row]) -> None:
        self.said, self._said_of_a_wait = lines, False

    def _forget_a_wait(self, view: View) -> None:
        """What was said of a wait that was still running is no longer so when it is over."""
        if self._said_of_a_wait and isinstance(view.step, Wait) and view.key:
            left = time_left(view.job, view.state, view.key, view.step, view.now)
            if left and left[1].total_seconds() <= 0:
                self.say([])

    def paint(self) -> None:
        if not self.is_attached or not self.query("#body"):
            return
        if self.look.is_too_small(self.app.size):
            small = f"This window is {self.app.size.width} columns by {self.app.size.height} rows; the bench needs 80 by 24. Make it larger: nothing is lost."
            self.put("body", wrapped(small, max(10, self.size.width - 2)))
            for name in ("head", "said", "hints"):
                self.put(name, [])
            return
        view = self.view
        self._forget_a_wait(view)
        acts, question = keys.acts(view), self.question
        said = fit(self.said, 3) or [EMPTY]
        if self.at_work.is_waiting:
            question, said = None, self._not_kept_rows()
            foot = hints.laid([(one.key, one.words) for one in keys.unkept(self._is_leaving)], self.width)
        else:
            foot = hints.foot(view, acts, question, self.width)
        if question:
            said = [
                *said,
                *wrapped(question.ask, self.width, "ask", first="? "),
                *hints.choices(question, self.width),
            ]
        head = painting.head(view, self.width)
        entry = self.query_one(Entry)
        entry.password = self.is_secret
        entry.placeholder = "" if self.at_work.is_waiting else painting.placeholder(view, question)
        height = self.size.height - len(head) - 2 - len(said) - len(foot)
        body, self.scrolled = painting.body(
            view, acts, self.at_work.chain, (self.width, height), self.scrolled
        )
        for name, lines in (("head", head), ("body", body), ("said", said), ("hints", foot)):
            self.put(name, lines)

    def put(self, name: str, lines: list[Row]) -> None:
        if self._drawn.get(name) != lines:
            self._drawn[name] = lines
            self.query_one(f"#{name}", Static).update(content(lines, self.look.styles))

    def _not_kept_rows(self) -> list[Row]:
        told = self._not_kept
        return fit(not_kept_rows(self._handed, told.sentence, told.fix, self._is_leaving, self.width), 6)
