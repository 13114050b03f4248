"""A procedure that nobody approved opens at the bench as a rehearsal, without a question whether it is one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from runner.screen.opening import Draft, summary
from runner.screen.start import OpenNew
from tests.job.a_small_procedure import procedure


def draft(status: str) -> Draft:
    made = replace(procedure(), status=status)
    answered = Draft.of(OpenNew(made, "41", "Ada Fitch", None, {"frame": ("F1",)}, rehearsal=None))
    assert isinstance(answered, Draft)
    return answered


@pytest.mark.parametrize("status", ["draft", "in review", "withdrawn"])
def test_what_is_not_approved_is_a_rehearsal_and_its_front_page_says_so(status: str) -> None:
    opened = draft(status)
    assert opened.asked().rehearsal
    assert "rehearsal" not in opened.question.ask.lower()
    assert "REHEARSAL" in "".join(text for text, _ in summary(opened, 80, 24)[0])


def test_what_is_approved_is_asked_about() -> None:
    assert "a rehearsal" in draft("approved").question.ask
