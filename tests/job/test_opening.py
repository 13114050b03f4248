"""Opening a job: its number, its names, its parts, and what must be confirmed before any pass begins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from runner.job.events import JobOpened, PrerequisiteConfirmed
from runner.job.intents import (
    ChangePerson,
    Confirm,
    ConfirmPrerequisite,
    ReleaseJob,
    StartPass,
    Stop,
    Suspend,
)
from runner.job.job import Refusal
from runner.job.opening import Opening, names_to_ask, open_job
from runner.procedure.model import Procedure
from tests.job.a_bench import FITTER, INSPECTOR, MORNING, A, Bench
from tests.job.a_small_procedure import TEXT, procedure


def opened(
    number: str = "41",
    who: str = FITTER,
    named: Mapping[str, Sequence[str]] | None = None,
    of: Procedure | None = None,
) -> JobOpened | Refusal:
    asked = Opening(number, who, {"frame": ["F1"]} if named is None else named, False)
    return open_job(of or procedure(), asked, MORNING, "program 1")


def refused(number: str = "41", who: str = FITTER, named: Mapping[str, Sequence[str]] | None = None) -> str:
    answer = opened(number, who, named)
    assert isinstance(answer, Refusal)
    return answer.sentence


def test_a_job_carries_the_whole_text_of_its_procedure_and_its_sum() -> None:
    import hashlib

    event = opened()
    assert isinstance(event, JobOpened)
    assert event.procedure_text == TEXT
    assert event.procedure_sha256 == hashlib.sha256(TEXT.encode()).hexdigest()
    assert (event.procedure_id, event.revision, event.grammar) == ("small-frame", "3", 1)
    assert event.named == (("frame", ("F1",)),)


@pytest.mark.parametrize("number", ["41", "DEMO-1", "a.b_c", "9" * 40])
def test_a_job_number_is_a_file_name_on_every_disk(number: str) -> None:
    assert isinstance(opened(number), JobOpened)


@pytest.mark.parametrize(
    "number", ["", "-1", ".41", "41.", "4 1", "4/1", "..", "../41", "41\n", "4\u00e9", "9" * 41, "a\x00b"]
)
def test_a_number_that_could_be_another_file_is_refused(number: str) -> None:
    assert "can't be a job number" in refused(number)


@pytest.mark.parametrize("who", ["", "   ", "\t"])
def test_somebody_opens_a_job(who: str) -> None:
    assert refused(who=who) == "nobody was named"


@pytest.mark.parametrize(
    ("named", "sentence"),
    [
        ({}, "no frame was named"),
        ({"frame": []}, "no frame was named"),
        ({"frame": ["F1", "f1"]}, "two parts can't both be called 'f1'"),
        ({"frame": ["job"]}, "'job' means the whole job"),
        ({"frame": ["F 1"]}, "'F 1' can't be the name of a frame"),
        ({"frame": ["F/1"]}, "'F/1' can't be the name of a frame"),
        ({"frame": [""]}, "'' can't be the name of a frame"),
        ({"frame": ["ABCDEFGHIJKLM"]}, "'ABCDEFGHIJKLM' can't be the name of a frame"),
        ({"frame": ["F1"], "hole": ["C"]}, "'hole' is not a part that is named at opening"),
        ({"frame": [f"F{n}" for n in range(101)]}, "505 parts in one job"),
    ],
)
def test_names_that_do_not_fit_the_parts_are_refused(named: dict[str, list[str]], sentence: str) -> None:
    assert refused(named=named) == sentence


@pytest.mark.parametrize(
    ("status", "sentence", "fix"),
    [
        ("draft", "'small-frame' revision 3 is a draft, not approved", "open it as a rehearsal"),
        ("in review", "'small-frame' revision 3 is in review, not approved", "open it as a rehearsal"),
        ("withdrawn", "'small-frame' revision 3 is withdrawn", "open the revision that replaced it"),
    ],
)
def test_no_real_part_goes_through_a_procedure_that_is_not_approved(
    status: str, sentence: str, fix: str
) -> None:
    answer = opened(of=replace(procedure(), status=status))
    assert isinstance(answer, Refusal) and answer.sentence == sentence and answer.fix.startswith(fix)


@pytest.mark.parametrize("status", ["draft", "in review", "withdrawn"])
@pytest.mark.parametrize("how", ["rehearsal", "invented"])
def test_a_rehearsal_and_invented_data_may_use_any(status: str, how: str) -> None:
    asked = replace(Opening("41", FITTER, {"frame": ["F1"]}, False), **{how: True})
    event = open_job(replace(procedure(), status=status), asked, MORNING, "program 1")
    assert isinstance(event, JobOpened)


def test_only_levels_without_names_are_asked() -> None:
    assert names_to_ask(procedure()) == ["frame"]


def test_two_parts_side_by_side_are_never_called_the_same() -> None:
    """What is locked or scrapped is kept by the part's path, so a hole A and a foot A would share their fate."""
    of = replace(
        procedure(),
        parts=tuple(
            replace(one, named=("a", "R")) if one.name == "foot" else one for one in procedure().parts
        ),
    )
    answer = opened(of=of)
    assert isinstance(answer, Refusal)
    assert answer.sentence == "a hole and a foot are both called F1/a"


def test_prerequisites_are_confirmed_one_by_one_in_their_order_before_any_pass_begins() -> None:
    bench = Bench(ready=False)
    first, second = procedure().prerequisites
    assert bench.refused(StartPass(A)) == f"a prerequisite is not confirmed: {first}"
    assert (
        bench.refused(ConfirmPrerequisite(2))
        == "prerequisites are confirmed one by one; the next is number 1"
    )
    for number in (0, -1, 3):
        bench.refused(ConfirmPrerequisite(number))
    bench.do(ConfirmPrerequisite(1))
    assert bench.only(PrerequisiteConfirmed).text == first
    assert bench.refused(Stop("cannot do as written", "why")) == f"a prerequisite is not confirmed: {second}"
    bench.refused(ConfirmPrerequisite(1))
    bench.do(Suspend("no glue"))
    assert bench.refused(ConfirmPrerequisite(2)) == "the job is suspended: no glue"


def test_nothing_is_confirmed_beyond_the_last_prerequisite() -> None:
    assert Bench().refused(ConfirmPrerequisite(3)) == "every prerequisite is confirmed"


def test_without_a_pass_in_hand_only_the_job_itself_can_be_acted_on() -> None:
    bench = Bench()
    assert bench.refused(Confirm()) == "no pass is in hand"
    assert bench.refused(ReleaseJob(INSPECTOR, "all")).startswith("19 passes are not done")
    bench.do(ChangePerson("  Cora   Lind "))
    assert bench.state.person == "Cora Lind"
    assert bench.refused(ChangePerson("Cora Lind")) == "Cora Lind is at the bench already"
    bench.refused(ChangePerson("  "))


@pytest.mark.parametrize(
    "key", [("Measure", "F1"), ("Measure", "F9/A"), ("Nowhere", "F1/A"), ("Glue", "job"), ("", "")]
)
def test_a_pass_that_is_not_in_the_job_is_not_begun(key: tuple[str, str]) -> None:
    assert Bench().refused(StartPass(key)).endswith("in this job")
