"""A job at work on the screen: keys become intents, outcomes become lines, the state is what is shown."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from runner.job import events as e
from runner.job.events import Event
from runner.job.intents import (
    Acknowledge,
    Confirm,
    ConfirmPrerequisite,
    Intent,
    Resume,
    StartPass,
    Tick,
    Type,
)
from runner.job.job import Refusal
from runner.job.passes import next_step
from runner.job.waits import time_left
from runner.procedure.model import Do, HoldPoint, Read, SignOff, Step, Wait, Zero
from runner.screen import asking, pages, steps
from runner.screen.asking import Question
from runner.screen.door import content
from runner.screen.entry import Entry
from runner.screen.hints import hints
from runner.screen.look import Look
from runner.screen.outcomes import entered_in, kept_rows, not_kept_rows, refused_rows
from runner.screen.rows import EMPTY, Row, beside, fit, row, window, wrapped
from runner.session.at_work import AtWork, Kept, NotKept, ReadJob
from runner.session.faults import RunnerError
from runner.session.shelf import due_words, waits

REPEAT_S = 0.4
"""Seconds within which the same act key again is a held key, not a second press."""
_SCROLLING = ("up", "down", "pageup", "pagedown")
SIDE_FROM = 110
"""Columns from which the list of steps stands beside the step."""


class JobScreen(Screen[None]):
    """One job. Everything typed goes to the entry line; everything kept is on disk before it shows here."""

    def __init__(self, at_work: AtWork, look: Look) -> None:
        super().__init__()
        self.at_work, self.look = at_work, look
        self.said: list[Row] = []
        self.last_events: tuple[Event, ...] = ()
        self.question: Question | None = None
        self.view = ""
        self.marked = 0
        self.scrolled = 0
        self._pressed = ("", float("-inf"))
        self._drawn: dict[str, list[Row]] = {}
        self._is_typing = self._said_of_a_wait = False
        self._handed = ""
        self._not_kept = NotKept("the last entry is not on disk", "see that the disk can be written to")
        self._leaving = False

    def compose(self) -> ComposeResult:
        for name in ("head", "body", "said"):
            yield Static(id=name)
        yield Entry()
        yield Static(id="hints")

    def on_mount(self) -> None:
        self.query_one(Entry).focus()
        self.paint()
        self.set_interval(1.0, self.tick)

    def on_resize(self) -> None:
        self.paint()

    def tick(self) -> None:
        """Repaints what time alone changes; counts nothing."""
        if self.is_attached and self.is_current:
            self.paint()

    def _forget_a_wait(self) -> None:
        """What was said of a wait that was still running is no longer so when it is over."""
        state, step = self.at_work.state, self._step()
        if self._said_of_a_wait and isinstance(step, Wait) and state.in_hand:
            left = time_left(self.at_work.job, state, state.in_hand, step, self.at_work.now)
            if left and left[1].total_seconds() <= 0:
                self.say([])

    # what the entry line asks and tells

    def wants(self, key: str) -> bool:
        # Where nothing may be typed every key is wanted, so that no text piles up unseen or keeps r from being a key.
        if self.look.is_too_small(self.app.size) or self.at_work.is_waiting:
            return True
        if self.question:
            return bool(self.question.keys)
        if key in (*_SCROLLING, "f2", "f4", "f9"):
            return True
        return not self._is_board() and (key == "space" or (len(key) == 1 and key.isalpha()))

    def press(self, key: str) -> None:
        key = key.lower()  # with the capitals locked it is the same key
        is_quick = self.at_work.now.boot - self._pressed[1] < REPEAT_S
        if key in _SCROLLING:
            self._act_on(key)
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
        action = self._keys().get(key)
        if action is None:
            self.say([row((f"{key} does nothing here. ", "bad"), self._wanted())])
        done = action is not None and action() is not False
        self.paint()
        return done

    def submit(self, text: str) -> bool:
        if self.look.is_too_small(self.app.size):
            return False
        if self.question:
            return self.answer(text)
        if self._is_board():
            return self.choose_part(text)
        if self.view:
            self.complain(f"Esc goes back to the step first; '{text}' was not entered")
            return False
        step = self._step()
        if isinstance(step, Read | Zero):
            return self.do(Type(text))
        self.complain(f"'{text}' was typed, and no reading is wanted here; nothing was entered")
        return False

    def escape(self) -> None:
        if self.question:
            self.question = None
            self.say([row("left as it was; nothing was entered")])
        elif self.view:
            self.view, self.scrolled = "", 0
        self.paint()

    def complain(self, sentence: str) -> None:
        self.say([*wrapped(sentence, self.width, "bad", first="✗ ")])
        self.paint()

    # acts

    def do(self, intent: Intent) -> bool:
        """Hand an intent to the job; whether what was typed is used up."""
        self._handed = entered_in(intent)
        return self.show_outcome(lambda: self.at_work.act(intent))

    def show_outcome(self, handed: Callable[[], Kept | Refusal | NotKept]) -> bool:
        """Hand an act over and show what came of it; whether what was typed is used up."""
        try:
            outcome = handed()
        except RunnerError as fault:
            outcome = NotKept(fault.what, fault.fix)
        match outcome:
            case Kept(events):
                self.last_events, self.question, self.scrolled, self._leaving = events, None, 0, False
                self.say(kept_rows(events, self.width))
            case Refusal():
                self.say(refused_rows(outcome, self.width))
                self._said_of_a_wait = isinstance(self._step(), Wait)
            case NotKept():
                self._not_kept = outcome
        self.paint()
        return not isinstance(outcome, Refusal)

    def answer(self, given: str) -> bool:
        assert self.question
        answered = self.question.then(given)
        if isinstance(answered, str):
            self.complain(answered)
            return False
        if isinstance(answered, Question):
            self.question = answered
            self.say([])
            self.paint()
            return True
        return self.do(answered)

    def ask(self, question: Question | None) -> None:
        self.question = question
        if question is None:
            self.say([row(("there is nothing to ask about here", "bad"))])
        else:
            self.say([])

    def choose_part(self, text: str) -> bool:
        """Take a part in hand by what is on its tag: on the marked stage, else on the first stage open for it."""
        keys = pages.open_passes(self.at_work.job, self.at_work.state)
        mine = [key for key in keys if key[1].lower() == text.strip().lower()]
        if not mine:
            there = sorted({key[1] for key in keys})
            self.complain(
                f"no part with work open now is tagged '{text}'; open are {', '.join(there[:8]) or 'none'}"
            )
            return False
        marked = keys[self.marked] if self.marked < len(keys) else mine[0]
        key = marked if marked in mine else mine[0]
        self.view, self.marked = "", 0
        if key == self.at_work.state.in_hand:
            self.paint()
            return True
        return self.do(StartPass(key))

    def do_or_tick(self) -> None:
        state, step = self.at_work.state, self._step()
        if self._prerequisites_open():
            self.do(ConfirmPrerequisite(state.prerequisites + 1))
        elif isinstance(step, Do) and step.ticks and state.in_hand:
            made = state.at(state.in_hand).ticks.get(step.about.number, frozenset())
            self.do(Tick(min(number for number in range(1, len(step.ticks) + 1) if number not in made)))
        elif isinstance(step, Do | Wait):
            self.do(Confirm())
        else:
            self.say([row(("space does nothing here. ", "bad"), self._wanted())])

    def leave(self) -> None:
        if self.query_one(Entry).value:
            self.complain("there is text on the entry line; enter it or take it out first")
            return
        self.at_work.close()
        self.dismiss(None)

    # which keys mean what, where

    def _keys(self) -> dict[str, Callable[[], object]]:
        at_work, state = self.at_work, self.at_work.state
        if at_work.is_waiting:
            again: dict[str, Callable[[], object]] = {"r": lambda: self.show_outcome(at_work.try_again)}
            return {**again, **({"x": self.leave} if self._leaving else {"q": self.ask_to_leave})}
        keys: dict[str, Callable[[], object]] = {
            "q": self.leave,
            "f9": self.leave,
            "k": lambda: self.open_view("working"),
            "l": lambda: self.open_view("steps"),
        }
        keys["up"], keys["down"] = lambda: self.scroll_by(-1), lambda: self.scroll_by(1)
        keys["pageup"], keys["pagedown"] = lambda: self.scroll_by(-8), lambda: self.scroll_by(8)
        if state.released or self.view in ("working", "steps"):
            return keys
        if state.suspended:
            return {**keys, "t": lambda: self.do(Resume())}
        keys["s"] = keys["f4"] = lambda: self.ask(asking.suspend())
        keys["u"] = keys["f2"] = lambda: self.ask(asking.person())
        keys["space"] = self.do_or_tick
        if self._prerequisites_open():
            return keys
        keys["p"] = lambda: self.open_view("board")
        if state.completed:
            return {**keys, "r": lambda: self.ask(asking.release_job(at_work.job, state))}
        return {**keys, **self._step_keys()} if state.in_hand else keys

    def _step_keys(self) -> dict[str, Callable[[], object]]:
        at_work, state, step = self.at_work, self.at_work.state, self._step()
        key = state.in_hand
        assert key is not None
        stop = state.at(key).stop
        if stop:
            if stop.exit == e.NONCONFORMING:
                return {"d": lambda: self.ask(asking.decide(at_work.job, state, key))}
            return {"t": lambda: self.ask(asking.take_up())}
        keys: dict[str, Callable[[], object]] = {
            "a": lambda: self.do(Acknowledge()),
            "m": lambda: self.ask(asking.again(at_work.job, state, key)),
            "n": lambda: self.ask(asking.stop(e.NONCONFORMING, key[1])),
            "c": lambda: self.ask(asking.stop(e.CANNOT_MEASURE, key[1])),
            "w": lambda: self.ask(asking.stop(e.CANNOT_DO, key[1])),
        }
        if isinstance(step, HoldPoint):
            keys["r"] = lambda: self.ask(asking.release(at_work.job, state, key, step))
        if isinstance(step, SignOff):
            keys["g"] = lambda: self.ask(asking.sign(step))
        return keys

    def ask_to_leave(self) -> None:
        """What is not kept is lost with the screen: another key than the first one must say so."""
        self._leaving = True

    def open_view(self, name: str) -> None:
        self.view, self.scrolled = ("" if self.view == name else name), 0
        self.say([])

    def scroll_by(self, lines: int) -> None:
        if self._is_board():
            count = len(pages.open_passes(self.at_work.job, self.at_work.state))
            self.marked = max(0, min(count - 1, self.marked + lines))
        else:
            self.scrolled += lines

    def _step(self) -> Step | None:
        key = self.at_work.state.in_hand
        return next_step(self.at_work.job, self.at_work.state, key) if key else None

    def _prerequisites_open(self) -> bool:
        return self.at_work.state.prerequisites < len(self.at_work.job.procedure.prerequisites)

    def _is_board(self) -> bool:
        state = self.at_work.state
        if (
            state.released
            or state.suspended
            or self._prerequisites_open()
            or self.view in ("working", "steps")
        ):
            return False
        return self.view == "board" or (state.in_hand is None and not state.completed)

    def _wanted(self) -> str:
        match self._step():
            case Read(ask=ask):
                return f"A reading is wanted: {ask}"
            case Zero(instrument=instrument):
                return f"What the {instrument} reads is wanted."
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

    def paint(self) -> None:
        if not self.is_attached or not self.query("#body"):
            return
        if self.look.is_too_small(self.app.size):
            small = f"This window is {self.app.size.width} columns by {self.app.size.height} rows; the bench needs 80 by 24. Make it larger: nothing is lost."
            self.put("body", wrapped(small, max(10, self.size.width - 2)))
            for name in ("head", "said", "hints"):
                self.put(name, [])
            return
        self._forget_a_wait()
        now = self.at_work.now
        keys = hints(
            self.at_work.job,
            self.at_work.state,
            self._shows(),
            self.question,
            self.at_work.is_waiting,
            self.width,
        )
        self.put("head", pages.head(self.at_work.job, self.at_work.state, self._due(), self.width))
        waiting = self.at_work.is_waiting
        said = self._not_kept_rows() if waiting else fit(self.said, 3) or [EMPTY]
        asked = (
            wrapped(self.question.ask, self.width, "ask", first="? ") if self.question and not waiting else []
        )
        self.put("said", [*said, *asked])
        self.put("hints", keys)
        self.query_one(Entry).placeholder = self._placeholder()
        height = self.size.height - 5 - len(said) - len(asked) - len(keys) - 1
        self.put("body", self._body(now, self.width, height))

    def put(self, name: str, lines: list[Row]) -> None:
        if self._drawn.get(name) != lines:
            self._drawn[name] = lines
            self.query_one(f"#{name}", Static).update(content(lines, self.look.styles))

    def _not_kept_rows(self) -> list[Row]:
        told = self._not_kept
        return fit(not_kept_rows(self._handed, told.sentence, told.fix, self._leaving, self.width), 6)

    def _placeholder(self) -> str:
        """What the empty entry line is for now; nothing where it takes no text."""
        if self.at_work.is_waiting:
            return ""
        if self.question:
            return "" if self.question.keys else "type the answer"
        if self._is_board():
            return "type the tag"
        step = self._step()
        if self._shows() != "step" or not isinstance(step, Read | Zero):
            return ""
        return f"type the reading in {step.unit.symbol}"

    def _shows(self) -> str:
        """Which page is in view, for the hints."""
        state = self.at_work.state
        if self.view in ("working", "steps"):
            return self.view
        if state.released or state.suspended:
            return "released" if state.released else "suspended"
        if self._prerequisites_open():
            return "prerequisites"
        if self._is_board():
            return "board"
        return "completed" if state.completed else "step"

    def _body(self, now: object, width: int, height: int) -> list[Row]:
        job, state = self.at_work.job, self.at_work.state
        at = self.at_work.now
        key = state.in_hand or self._last_key()
        match self._shows():
            case "working":
                lines = pages.working(job, tuple(self.at_work.events), key, width) if key else []
            case "steps":
                count = len(job.stage_of(key).steps) if key else 0
                lines = (
                    pages.steps_list(job, state, key, width, count) if key else [row("No pass is in hand.")]
                )
            case "released":
                lines = pages.released(job, state, self.at_work.chain, width)
            case "suspended":
                lines = pages.suspended(job, state, at, width)
            case "prerequisites":
                lines = pages.prerequisites(job, state, width)
            case "board":
                lines = pages.board(job, state, self.marked, width, height)
            case "completed":
                lines = pages.completed(job, state, width)
            case _:
                return self._pass(width, height)
        return self._window(lines, height)

    def _pass(self, width: int, height: int) -> list[Row]:
        job, state, step = self.at_work.job, self.at_work.state, self._step()
        key = state.in_hand
        assert key is not None and step is not None
        room = width if width < SIDE_FROM else width * 3 // 5
        lines = steps.page(job, state, key, step, self.at_work.now, room)
        worked = steps.just_worked(self.last_events, room)
        if worked and len(lines) + len(worked) + 2 <= height:
            lines += [EMPTY, row(("worked out from what was just entered (k shows how)", "dim")), *worked]
        lines = self._window(lines, height)
        if width < SIDE_FROM:
            return lines
        return beside(lines, pages.steps_list(job, state, key, width - room - 3, height), room, 3)

    def _window(self, lines: list[Row], height: int) -> list[Row]:
        shown, self.scrolled = window(lines, height, self.scrolled)
        return shown

    def _last_key(self) -> tuple[str, str] | None:
        for event in reversed(self.at_work.events):
            if isinstance(event, e.PassEvent):
                return event.stage, event.part
        return None

    def _due(self) -> str:
        at_work = self.at_work
        read = ReadJob(Path(at_work.path), at_work.job, at_work.state, (), ())
        due = next(iter(waits(read, at_work.now)), None)
        return due_words(due, at_work.job.zone, at_work.now) if due else ""
