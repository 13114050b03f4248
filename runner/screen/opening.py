"""What a new job is asked for, one question after another, with the procedure's front page in view."""

from __future__ import annotations

from dataclasses import dataclass, replace

from runner.job.opening import Opening, names_to_ask, refuse_names, refuse_number, refuse_status
from runner.procedure.model import HAZARD_WORDS, Procedure
from runner.screen.asking import Question
from runner.screen.hazards import boxes
from runner.screen.rows import EMPTY, Row, row, wrapped
from runner.screen.start import OpenNew
from runner.session.clock import zone_here
from runner.shop.people import is_name


@dataclass(frozen=True, slots=True)
class Draft:
    """A job not yet opened: what is known of it. The next thing unknown is its question."""

    procedure: Procedure
    number: str
    who: str
    alone: bool | None
    named: tuple[tuple[str, tuple[str, ...]], ...]
    rehearsal: bool | None = False
    read: bool = False

    @classmethod
    def of(cls, start: OpenNew) -> Draft:
        named = tuple(start.named.items())
        rehearsal = True if refuse_status(start.procedure) else start.rehearsal
        return cls(start.procedure, start.number, start.who, start.alone, named, rehearsal)

    @property
    def is_whole(self) -> bool:
        return (
            bool(self.number and self.who)
            and None not in (self.alone, self.rehearsal)
            and not self._unnamed()
            and self.read
        )

    def asked(self) -> Opening:
        return Opening(
            self.number,
            self.who,
            dict(self.named),
            bool(self.alone),
            rehearsal=bool(self.rehearsal),
            zone=zone_here(),
        )

    @property
    def question(self) -> Question:
        if not self.number:
            return Question("Number of the new job?", lambda text: text)
        if not self.who:
            return Question("Who is at the bench?", lambda text: text)
        if self.rehearsal is None:
            return Question(
                "Real parts, or a rehearsal without them, which may be hurried and is never released?",
                lambda text: text,
                {"p": "real parts", "r": "rehearsal"},
            )
        if self.alone is None:
            return Question(
                "Does one person work and release alone? The record says so first.",
                lambda text: text,
                {"a": "alone", "t": "two or more"},
            )
        if self._unnamed():
            level = self._unnamed()[0]
            return Question(
                f"What is on the tags of each {level}? Blanks between, such as H1 H2.", lambda text: text
            )
        return Question(
            "The shop's own hazard assessment and local rules stand above this sheet. Read the above?",
            lambda text: text,
            {"o": "open the job"},
        )

    def answer(self, given: str) -> Draft | str:
        """The draft with one more answer, or a sentence why the answer won't do."""
        given = given.strip()
        if not self.number:
            refusal = refuse_number(given)
            return f"{refusal.sentence}; {refusal.fix}" if refusal else replace(self, number=given)
        if not self.who:
            return replace(self, who=given) if is_name(given) else f"'{given}' is no name"
        if self.rehearsal is None:
            return replace(self, rehearsal=given == "r")
        if self.alone is None:
            return replace(self, alone=given == "a")
        if self._unnamed():
            names = tuple(given.replace(",", " ").split())
            refusal = refuse_names(self._unnamed()[0], names)
            if refusal:
                return f"{refusal.sentence}; {refusal.fix}"
            return replace(self, named=(*self.named, (self._unnamed()[0], names)))
        return replace(self, read=True)

    def _unnamed(self) -> list[str]:
        known = dict(self.named)
        return [level for level in names_to_ask(self.procedure) if level not in known]


def summary(draft: Draft, width: int, height: int) -> list[Row]:
    """The front page: what the procedure is for and not for, and every hazard once."""
    one = draft.procedure
    mark = [(" REHEARSAL ", "mark"), ("  ", "")] if draft.rehearsal else []
    lines = [
        [*mark, (one.title, "strong")],
        row((f"revision {one.revision}, {one.status}: {one.changed}", "dim")),
    ]
    lines += wrapped(one.scope, width, first="for      ")
    if one.not_for:
        lines += wrapped(one.not_for, width, "strong", first="not for  ")
    lines.append(EMPTY)
    worst_first = sorted(one.hazards, key=lambda hazard: HAZARD_WORDS.index(hazard.word))
    return [*lines, *boxes(worst_first, width)]
