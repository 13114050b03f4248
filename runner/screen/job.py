"""A job at work on the screen: keys become intents, outcomes become lines, the state is what is shown."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from runner.job.intents import ChangePerson, StartPass, Type
from runner.procedure.model import Read, Soak, Write, Zero
from runner.screen import hints, keys, painting
from runner.screen.acting import Acting
from runner.screen.alarms import KEY
from runner.screen.asking import Question, make_load
from runner.screen.board import open_passes, why_not
from runner.screen.door import content
from runner.screen.entry import Entry
from runner.screen.hints import wanted
from runner.screen.look import Look
from runner.screen.pulse import guard
from runner.screen.ringing import Ringing
from runner.screen.rows import EMPTY, Row, fit, row, wrapped
from runner.screen.view import OVER, View
from runner.session.at_work import AtWork
from runner.shop.people import same_person

REPEAT_S = 0.4
"""Seconds within which the same act key again is a held key, not a second press."""
TICK_S = 0.1
"""Seconds from one look at the clock to the next; but while a clock runs, only each tenth is painted."""
_SCROLLING = {"up": -1, "down": 1, "pageup": -8, "pagedown": 8}
_ASIDE = {"left": -1, "right": 1}
"""Keys that turn the board to other parts; elsewhere they are the entry line's."""


class JobScreen(Screen[None]):
    """One job. Everything typed goes to the entry line; everything kept is on disk before it shows here."""

    def __init__(self, at_work: AtWork, look: Look, who: str = "") -> None:
        super().__init__()
        self.at_work, self.look, self.who = at_work, look, who
        self.acting = Acting(at_work, lambda text: self.query_one(Entry).put_back(text), lambda: self.width)
        self.ringing = Ringing(self.acting, look)
        self.over = ""
        self.marked = self.scrolled = self._ticks = 0
        self._pressed = ("", float("-inf"))
        self._is_typing = False
        self._drawn: dict[str, list[Row]] = {}

    def compose(self) -> ComposeResult:
        for name in ("head", "body", "said"):
            yield Static(id=name)
        yield Entry()
        yield Static(id="hints")

    def on_mount(self) -> None:
        self.query_one(Entry).focus()
        is_another = self.view.is_nobody_there or not same_person(self.who, self.at_work.state.person)
        if self.who and is_another and not self.at_work.state.released:
            self.acting.do(ChangePerson(self.who))
        self.paint()
        self.ticking = self.set_interval(TICK_S, self.tick)
        self._guard = asyncio.create_task(guard(self.ringing.pulse, self.paint))

    def on_unmount(self) -> None:
        self._guard.cancel()
        self.ringing.leave()

    def on_resize(self) -> None:
        self.paint()

    def tick(self) -> None:
        """Has noted what time alone has brought about, and repaints what it changes; counts nothing."""
        self._ticks += 1
        if self.is_attached and self.is_current and (self._ticks % 10 == 0 or self.view.is_racing):
            self.acting.notice()
            self.ringing.tick()
            self.paint()

    @property
    def view(self) -> View:
        return replace(self.acting.view, over=self.over, marked=self.marked)

    @property
    def question(self) -> Question | None:
        return self.acting.question

    # what the entry line asks and tells

    @property
    def is_secret(self) -> bool:
        """Whether what is typed now is for nobody's eyes."""
        return bool(self.question and self.question.is_secret)

    def wants(self, key: str) -> bool:
        if key == KEY:
            return self.ringing.is_ringing
        is_racing = self.view.is_racing and not (self.question or self.at_work.is_waiting)
        if is_racing or key == "enter":
            return is_racing
        # Where nothing may be typed every key is wanted, so that no text piles up unseen or keeps r from being a key.
        if self.look.is_too_small(self.app.size) or self.at_work.is_waiting:
            return True
        if self.question:
            return bool(self.question.keys)
        if key in _SCROLLING or key in keys.FUNCTION_KEYS.values():
            return True
        if key in _ASIDE:
            return self.view.shows == "board"
        return not self.view.takes_text and (key == "space" or (len(key) == 1 and key.isalpha()))

    def press(self, key: str) -> None:
        key = key.lower()  # with the capitals locked it is the same key
        is_quick = self.at_work.now.boot - self._pressed[1] < REPEAT_S
        if key == KEY:
            self.ringing.answer()
            self.paint()
            return
        if self.view.is_racing and not (self.question or self.at_work.is_waiting):
            self._race(key, is_quick)
        elif key in _ASIDE or key in _SCROLLING:
            self.scroll_by(key)
        elif is_quick and (key == self._pressed[0] or self._is_typing):
            if key != self._pressed[0] and not self.question:
                self.acting.complain(
                    "letters are keys here, and that looked like a text; nothing more was done"
                )
            self._is_typing = True
        elif not self.look.is_too_small(self.app.size):
            self._is_typing = not self._act_on(key)
        # Reckoned from the end of the act: on a slow disk the repeats of a held key have queued up meanwhile.
        self._pressed = (key, self.at_work.now.boot)
        self.paint()

    def _race(self, key: str, is_quick: bool) -> None:
        """
        A key while the clock is armed or runs: space and Enter are the one key, what isn't told does nothing. Neither does
        a key close behind another, which is one held down or a gauge that sends a reading.
        """
        act = keys.by_key(self.view, "space" if key == "enter" else key)
        if act and not is_quick:
            self._carry_out(act.does, key)

    def _act_on(self, key: str) -> bool:
        """Whether the key did anything."""
        question = self.question
        if question and question.keys and not self.at_work.is_waiting:
            if key in question.keys:
                return self._acted(lambda: self.acting.answer(key))
            self.acting.complain("one of the keys below answers; nothing was entered")
            return False
        if self.at_work.is_waiting:
            act = next((one for one in keys.unkept(self.acting.is_leaving) if one.key == key), None)
        else:
            act = keys.by_key(self.view, key)
        if act is None:
            self.acting.say([row((f"{key} does nothing here. ", "bad"), wanted(self.view.step))])
            return False
        return self._acted(lambda: self._carry_out(act.does, key))

    def _acted(self, act: Callable[[], bool]) -> bool:
        """What an act gave; a page that shows something else now is shown from its top."""
        before = self.acting.last_events
        done = act()
        if self.acting.last_events is not before:
            self.scrolled = 0
        return done

    def _carry_out(self, does: keys.Does, key: str) -> bool:
        match does:
            case Question() if self.view.is_nobody_there and key not in ("u", "s", "t", "f2", "f4"):
                self.acting.ask_who_first(lambda: self._act_on(key))
            case Question():
                self.acting.ask(does)
            case keys.Show(page):
                self.over, self.scrolled = ("" if self.over == page else page), 0
                self.acting.say([])
            case keys.Leave():
                return self.leave()
            case keys.TryAgain():
                return self.acting.try_again()
            case keys.LeaveUnkept(is_sure):
                self.acting.is_leaving = True
                return self.leave() if is_sure else True
            case _:
                return self.acting.do(does)
        return True

    def submit(self, text: str) -> bool:
        if self.look.is_too_small(self.app.size):
            return False
        is_secret = self.is_secret
        taken = self._acted(lambda: self._take(text))
        self.paint()
        # A PIN never stays on the line, whatever came of it.
        return taken or is_secret

    def _take(self, text: str) -> bool:
        if self.question:
            return self.acting.answer(text)
        view = self.view
        if view.shows == "board":
            return self._take_in_hand(text)
        if view.over in OVER:
            self.acting.complain(f"Esc goes back to the step first; '{text}' was not entered")
            return False
        if view.shows == "step" and isinstance(view.step, Read | Zero | Soak | Write):
            return self.acting.do(Type(text))
        self.acting.complain(f"'{text}' was typed, and no reading is wanted here; nothing was entered")
        return False

    def escape(self) -> None:
        if self.question:
            self.acting.leave_question()
        elif self.over:
            self.over, self.scrolled = "", 0
        self.paint()

    def complain(self, sentence: str) -> None:
        self.acting.complain(sentence)
        self.paint()

    # acts of the screen's own

    def _take_in_hand(self, tag: str) -> bool:
        """
        Take a part in hand by what is on its tag: on the marked stage, else on the first stage open for it. The word of a
        load asks for a new one.
        """
        load = self.at_work.job.procedure.level(tag)
        if load and load.of:
            self.acting.ask(make_load(load.name, load.of))
            return True
        found = open_passes(self.at_work.job, self.at_work.state)
        mine = [key for key in found if key[1].lower() == tag.lower()]
        if not mine:
            self.acting.complain(why_not(self.at_work.job, self.at_work.state, tag))
            return False
        marked = found[self.marked] if self.marked < len(found) else mine[0]
        key = marked if marked in mine else mine[0]
        self.over, self.marked = "", 0
        return key == self.at_work.state.in_hand or self.acting.do(StartPass(key))

    def leave(self) -> bool:
        if self.query_one(Entry).value:
            self.acting.complain("there is text on the entry line; enter it or take it out first")
            return False
        self.at_work.close()
        self.dismiss(None)
        return True

    def scroll_by(self, key: str) -> None:
        if self.view.shows == "board" and key in _SCROLLING:
            count = len(open_passes(self.at_work.job, self.at_work.state))
            self.marked = max(0, min(count - 1, self.marked + _SCROLLING[key]))
            self.scrolled = 0
        else:
            self.scrolled += {**_SCROLLING, **_ASIDE}[key]

    # painting

    @property
    def width(self) -> int:
        return max(40, self.size.width)

    def paint(self) -> None:
        if not self.is_attached or not self.query("#body"):
            return
        if self.look.is_too_small(self.app.size):
            small = f"This window is {self.app.size.width} columns by {self.app.size.height} rows; the bench needs 80 by 24. Make it larger: nothing is lost."
            self.put("body", wrapped(small, max(10, self.size.width - 2)))
            for name in ("head", "said", "hints"):
                self.put(name, [])
            return
        self.acting.forget_a_wait()
        view = self.view
        acts, question = keys.acts(view), self.question
        said = fit(self.acting.said, 3) or [EMPTY]
        if self.at_work.is_waiting:
            question, said = None, self.acting.not_kept()
            foot = hints.laid(
                [(one.key, one.words) for one in keys.unkept(self.acting.is_leaving)], self.width
            )
        else:
            foot = hints.foot(view, acts, question, self.width)
        if question:
            said = [
                *said,
                *wrapped(question.ask, self.width, "ask", first="? "),
                *hints.choices(question, self.width),
            ]
        head = self.ringing.on(painting.head(view, self.width), self.width)
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
