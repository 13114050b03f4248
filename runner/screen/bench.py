"""The bench: open jobs with what is due next, and procedures to start. Opening a job asks what it needs, line by line."""

from __future__ import annotations

from pathlib import Path

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from runner.screen.door import content
from runner.screen.entry import Entry
from runner.screen.job import REPEAT_S, JobScreen
from runner.screen.look import Look
from runner.screen.opening import Draft, summary
from runner.screen.rows import EMPTY, Row, cut, fit, row, spread, window, wrapped
from runner.screen.start import OpenNew, Start, TakeUp
from runner.session.at_work import AtWork
from runner.session.clock import Clock
from runner.session.faults import RunnerError
from runner.session.identity import PinPad
from runner.session.library import ReadFile, procedure_files, read
from runner.session.shelf import Line, job_path, lines
from runner.session.watched import Watched
from runner.shop.people import is_name

_LINES = {"up": -1, "down": 1, "pageup": -8, "pagedown": 8}
"""Keys that move by lines, and how many; held down they go on."""


class BenchScreen(Screen[None]):
    """The list of everything that can be taken up or started, one of it marked."""

    def __init__(self, folder: Path, clock: Clock, look: Look, start: Start | None) -> None:
        super().__init__()
        self.folder, self.clock, self.look, self.start = folder, clock, look, start
        self.jobs: list[Line] = []
        self.files: list[ReadFile] = []
        self.marked = self.scrolled = 0
        self.said: list[Row] = []
        self.pad = PinPad()
        self._watched = Watched(folder)
        self.draft: Draft | None = None
        self.taking: Path | None = None
        self._pressed = ("", float("-inf"))
        self._drawn: dict[str, list[Row]] = {}

    def compose(self) -> ComposeResult:
        for name in ("head", "body", "said"):
            yield Static(id=name)
        yield Entry()
        yield Static(id="hints")

    def on_mount(self) -> None:
        self.query_one(Entry).focus()
        self.look_again()
        start, self.start = self.start, None
        match start:
            case OpenNew():
                self.begin(Draft.of(start))
            case TakeUp(path, who):
                self.take_up(path, who)
        self.paint()
        self.set_interval(5.0, self.tick)

    def on_resize(self) -> None:
        self.paint()

    def tick(self) -> None:
        # A screen under another one is current too; a job's must not wait until the shelf has been read.
        if self.is_attached and self.app.screen is self:
            self.jobs = lines(self.folder, self.clock.now(), self._watched.read)
            self.paint()

    def look_again(self) -> None:
        self.jobs = lines(self.folder, self.clock.now(), self._watched.read)
        self.files = []
        for path in procedure_files():
            try:
                self.files.append(read(path))
            except RunnerError:
                continue

    # what the entry line asks and tells

    @property
    def is_secret(self) -> bool:
        return False

    def wants(self, key: str) -> bool:
        if key in ("enter", "tab"):
            return False
        if self.look.is_too_small(self.app.size):
            return True
        if self.draft:
            return bool(self.draft.question.keys) or key in _LINES
        return self.taking is None and key in ("space", "up", "down", "q", "pageup", "pagedown")

    def press(self, key: str) -> None:
        held = key == self._pressed[0] and self.clock.now().boot - self._pressed[1] < REPEAT_S
        if not self.look.is_too_small(self.app.size) and (key in _LINES or not held):
            self._act_on(key)
        self._pressed = (key, self.clock.now().boot)
        self.paint()

    def _act_on(self, key: str) -> None:
        if key in _LINES:
            self.mark(_LINES[key])
        elif self.draft and key in self.draft.question.keys:
            self.answer(key)
        elif self.draft:
            self.complain("one of the keys below answers; nothing was entered")
        elif key == "space":
            self.choose()
        elif key == "q":
            self.app.exit()

    def submit(self, text: str) -> bool:
        if self.look.is_too_small(self.app.size):
            return False
        if self.taking:
            return self.take_up(self.taking, text)
        if self.draft and not self.draft.question.keys:
            return self.answer(text)
        self.complain(f"'{text}' was typed, and nothing is asked; the marked line is taken with space")
        return False

    def escape(self) -> None:
        if self.draft or self.taking:
            self.draft = self.taking = None
            self.said = [row("left; nothing was opened")]
        self.paint()

    def complain(self, sentence: str) -> None:
        self.said = wrapped(sentence, self.width, "bad", first="✗ ")
        self.paint()

    # acts

    def mark(self, by: int) -> None:
        """Another line marked, or the front page scrolled."""
        if self.draft:
            self.scrolled += by
            return
        self.marked = max(0, min(len(self.jobs) + len(self.files) - 1, self.marked + by))

    def choose(self) -> None:
        self.said = []
        if self.marked < len(self.jobs):
            line = self.jobs[self.marked]
            if line.problem:
                self.complain(line.problem)
            else:
                self.taking = line.path
            return
        if self.files:
            found = self.files[self.marked - len(self.jobs)]
            if found.procedure is None:
                self.complain(f"{found.name} has problems; `benchhand check {found.name}` shows them")
            else:
                self.begin(Draft.of(OpenNew(found.procedure, "", "", None, {}, rehearsal=None)))

    def begin(self, draft: Draft) -> None:
        self.draft, self.said, self.scrolled = draft, [], 0
        self._opened_if_whole()

    def answer(self, given: str) -> bool:
        assert self.draft
        answered = self.draft.answer(given)
        if isinstance(answered, str):
            self.complain(answered)
            return False
        number = answered.number
        if number and job_path(self.folder, number).exists():
            self.complain(f"job {number} exists already; give the new one another number")
            return False
        self.draft, self.said = answered, []
        self._opened_if_whole()
        self.paint()
        return True

    def _opened_if_whole(self) -> None:
        if self.draft is None or not self.draft.is_whole:
            return
        draft, self.draft = self.draft, None
        try:
            at_work = AtWork.open(
                job_path(self.folder, draft.number), draft.procedure, draft.asked(), self.clock, self.pad
            )
        except RunnerError as fault:
            self.complain(f"{fault.what}. {fault.fix}")
            return
        self.show_job(at_work, draft.who)

    def take_up(self, path: Path, who: str) -> bool:
        """Take a job up again, by a named person: who closed it at night is not always who opens it in the morning."""
        if not who:
            self.taking = path
            return False
        if not is_name(who):
            self.complain(f"'{who}' is no name")
            return False
        try:
            at_work = AtWork.resume(path, self.clock, self.pad)
        except RunnerError as fault:
            self.complain(f"{fault.what}. {fault.fix}")
            return False
        self.taking = None
        self.show_job(at_work, who)
        return True

    def show_job(self, at_work: AtWork, who: str) -> None:
        self.said = []
        self.app.push_screen(JobScreen(at_work, self.look, who), self.come_back)

    def come_back(self, _: None) -> None:
        self.look_again()
        self.query_one(Entry).focus()
        self.paint()

    # painting

    @property
    def width(self) -> int:
        return max(40, self.size.width)

    def paint(self) -> None:
        if not self.is_attached or not self.query("#body"):
            return
        if self.look.is_too_small(self.app.size):
            self.put(
                "body",
                wrapped(
                    f"This window is {self.app.size.width} columns by {self.app.size.height} rows; the bench needs 80 by 24.",
                    max(10, self.size.width - 2),
                ),
            )
            for name in ("head", "said", "hints"):
                self.put(name, [])
            return
        where = cut(f"jobs in {self.folder} ", self.width // 2)
        self.put(
            "head",
            [[(text, "bar") for text, _ in spread([(" benchhand", "bar")], [(where, "bar")], self.width)]],
        )
        asked = self._asked()
        said = [*fit(self.said, 4), *asked] or [EMPTY]
        self.put("said", said)
        self.put("hints", [self._hints()])
        height = self.size.height - 6 - len(said)
        shown, scrolled = window(self._body(height), height, self.scrolled if self.draft else 0)
        self.scrolled = scrolled if self.draft else 0
        self.put("body", shown)

    def put(self, name: str, shown: list[Row]) -> None:
        if self._drawn.get(name) != shown:
            self._drawn[name] = shown
            self.query_one(f"#{name}", Static).update(content(shown, self.look.styles))

    def _asked(self) -> list[Row]:
        if self.taking:
            return wrapped(f"Job {self.taking.stem}: who is at the bench?", self.width, "ask", first="? ")
        return wrapped(self.draft.question.ask, self.width, "ask", first="? ") if self.draft else []

    def _hints(self) -> Row:
        if self.draft and self.draft.question.keys:
            keys = [*self.draft.question.keys.items(), ("Esc", "leave it")]
        elif self.draft or self.taking:
            keys = [("Enter", "answers"), ("Esc", "leave it")]
        else:
            keys = [("↑ ↓", "mark"), ("space", "take it"), ("q", "quit")]
        return [piece for key, words in keys for piece in ((f" {key} ", "mark"), (f" {words}  ", ""))]

    def _body(self, height: int) -> list[Row]:
        if self.draft:
            return summary(self.draft, self.width, height)
        shown: list[Row] = [row(("Jobs", "strong"))]
        if not self.jobs:
            shown.append(row(("   none yet", "dim")))
        shown += [self._job(at, line) for at, line in enumerate(self.jobs)]
        shown += [EMPTY, row(("Procedures to start", "strong"))]
        shown += [self._file(at + len(self.jobs), found) for at, found in enumerate(self.files)]
        return shown

    def _job(self, at: int, line: Line) -> Row:
        mark, style = (" > ", "part") if at == self.marked else ("   ", "strong")
        if line.problem:
            return row(
                (mark, "ask"),
                (f"{cut(line.number, 12):<13}", style),
                (cut(f"! can't be read: {line.problem}", self.width - 18), "bad"),
            )
        rest = f"due {line.due_words}, {line.progress}" if line.due else f"{line.progress}, {line.title}"
        rest = f"REHEARSAL, {rest}" if line.rehearsal else rest
        room = max(10, self.width - 28)
        return row(
            (mark, "ask"), (f"{cut(line.number, 12):<13}", style), f"{line.standing:<12}", cut(rest, room)
        )

    def _file(self, at: int, found: ReadFile) -> Row:
        mark, style = (" > ", "part") if at == self.marked else ("   ", "strong")
        name = f"{cut(found.path.stem, 18):<20}"
        if found.procedure is None:
            return row((mark, "ask"), (name, style), ("! has problems", "bad"))
        one = found.procedure
        return row(
            (mark, "ask"),
            (name, style),
            f"rev {one.revision:<4}{one.status:<10}",
            cut(one.title, max(10, self.width - 42)),
        )
