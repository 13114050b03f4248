"""Hold points, sign-offs and the release of a job: by whom, and by whom not."""

from __future__ import annotations

import pytest

from runner.job.events import HoldReleased, JobReleased, SignedOff
from runner.job.intents import (
    ChangePerson,
    Confirm,
    Dispose,
    MeasureAgain,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    StartPass,
    Stop,
    Suspend,
    TakeUp,
    Tick,
    Type,
)
from runner.shop.people import same_person
from tests.job.a_bench import FITTER, INSPECTOR, A, Bench

SAW = ("no burr left", "shim beside its hole")
SELF = [FITTER, "ADA FITCH", "ada  fitch", f" {FITTER}\t", "Ada\u00a0Fitch", "A\u200bda Fitch", "Ａda Fitch"]


def at_hold(*, alone: bool = False) -> Bench:
    return Bench(alone=alone).measure(upto="hold")


def all_done(*, alone: bool = False) -> Bench:
    """One frame through every stage, up to the release of the job."""
    bench = Bench(named={"frame": ["F1"]}, alone=alone).frame_glued().later(hours=2)
    for hole in ("A", "B"):
        bench.do(StartPass(("Cure", f"F1/{hole}")), Confirm(), Confirm())
    for foot in ("L", "R"):
        bench.do(StartPass(("Level", f"F1/{foot}")), Confirm())
    bench.do(StartPass(("Put away", "job")), Sign(FITTER))
    return bench


def test_somebody_without_entries_in_the_pass_releases_it_and_says_what_was_seen() -> None:
    bench = at_hold()
    bench.do(Release(f" {INSPECTOR} ", SAW))
    kept = bench.only(HoldReleased)
    assert (kept.by, kept.role, kept.saw, kept.solo) == (INSPECTOR, "inspector", SAW, False)


@pytest.mark.parametrize("by", SELF)
def test_whoever_has_entries_in_the_pass_does_not_release_it_however_the_name_is_typed(by: str) -> None:
    assert "has entries in this pass" in at_hold().refused(Release(by, SAW))


def test_changing_the_person_at_the_bench_makes_nobody_another() -> None:
    bench = at_hold()
    bench.do(ChangePerson(INSPECTOR))
    assert "has entries in this pass" in bench.refused(Release(FITTER, SAW))
    bench.do(Release(INSPECTOR, SAW))


def test_one_tick_in_the_pass_is_an_entry() -> None:
    bench = Bench().measure(upto="ring_size")
    bench.do(ChangePerson(INSPECTOR))
    bench.do(*(Type(text) for text in ("10.000", "10.000", "10.010 10.010 10.010", "0.01")))
    bench.do(ChangePerson(FITTER))
    bench.do(Type("4 4 4 4"), Confirm(), Confirm())
    assert "has entries in this pass" in bench.refused(Release(INSPECTOR, SAW))
    bench.do(Release("Cora Lind", SAW))


def test_a_release_is_no_entry_so_the_same_inspector_releases_again_what_was_measured_again() -> None:
    bench = at_hold()
    bench.do(ChangePerson(INSPECTOR), Release(INSPECTOR, SAW), ChangePerson(FITTER))
    bench.do(MeasureAgain("wall", "a web was read twice"), Type("4 4 4 4"), Release(INSPECTOR, SAW))
    assert not any(one.solo for one in bench.events if isinstance(one, HoldReleased))


def test_entries_in_another_pass_are_none_in_this_one() -> None:
    bench = at_hold()
    bench.do(ChangePerson(INSPECTOR), StartPass(("Face", "F1/L")), Confirm())
    bench.do(StartPass(A), Release(INSPECTOR, SAW))


def test_alone_the_same_person_releases_and_the_record_says_so() -> None:
    bench = at_hold(alone=True)
    bench.do(Release("ada fitch", SAW))
    assert bench.only(HoldReleased).solo


def test_a_second_person_in_a_shop_of_one_is_no_solo_release() -> None:
    bench = at_hold(alone=True)
    bench.do(Release(INSPECTOR, SAW))
    assert not bench.only(HoldReleased).solo


@pytest.mark.parametrize("saw", [(), ("no burr left",), ("no burr left", " "), ("", "", "")])
def test_each_line_that_must_be_seen_is_said(saw: tuple[str, ...]) -> None:
    assert "2 things must be seen" in at_hold().refused(Release(INSPECTOR, saw))


@pytest.mark.parametrize("by", ["", "  ", "\u200b", "42.36", "x", "!!"])
def test_a_release_has_a_name(by: str) -> None:
    assert at_hold().refused(Release(by, SAW)).startswith("a hold point is released by a named inspector")


@pytest.mark.parametrize(
    "intent", [Confirm(), Tick(1), Type("1"), Type(INSPECTOR), Sign(INSPECTOR), StartPass(A), TakeUp("why")]
)
def test_no_other_key_passes_a_hold_point(intent: object) -> None:
    bench = at_hold()
    bench.refused(intent)  # type: ignore[arg-type]
    assert bench.step == 15


def test_laying_aside_suspending_stopping_and_restarting_pass_no_hold_point() -> None:
    bench = at_hold()
    bench.do(StartPass(("Face", "F1/L")), StartPass(A), Suspend("night"))
    bench.restart(hours=12).do(Resume())
    bench.do(Stop("cannot do as written", "no inspector"), TakeUp("the inspector came"))
    assert bench.step == 15
    bench.do(Stop("nonconforming", "a scratch"))
    assert bench.refused(Dispose("concession", "Olga Prince", "it will do")).startswith(
        "'concession' is not offered"
    )


def test_a_hold_point_is_not_released_before_it_is_reached() -> None:
    bench = Bench().measure(upto="play")
    assert bench.refused(Release(INSPECTOR, SAW)) == "a reading is wanted here: Play of the pin, in mm"


def test_a_sign_off_is_the_own_name_of_the_person_at_the_bench() -> None:
    bench = Bench().measure(upto="sign")
    assert bench.refused(Sign(" ")) == "a sign-off is a typed name"
    assert bench.refused(Sign(INSPECTOR)) == f"{FITTER} is at the bench, and '{INSPECTOR}' was typed"
    bench.do(Sign("ada  FITCH"))
    assert bench.only(SignedOff).who == FITTER


def test_a_job_is_released_by_somebody_without_entries_in_it() -> None:
    bench = all_done()
    for by in SELF:
        assert "has entries in this job" in bench.refused(ReleaseJob(by, "two pins glued"))
    assert bench.refused(ReleaseJob("", "two pins glued")).startswith(
        "a job is released by a named inspector"
    )
    assert bench.refused(ReleaseJob(INSPECTOR, " ")).startswith("a job is released by a named inspector")
    bench.do(ReleaseJob(INSPECTOR, "two pins glued"))
    assert not bench.only(JobReleased).solo


def test_alone_a_job_is_released_by_whoever_did_it_and_the_record_says_so() -> None:
    bench = all_done(alone=True)
    bench.do(ReleaseJob(FITTER, "two pins glued"))
    assert bench.only(JobReleased).solo


def test_a_job_with_an_open_pass_is_not_released_and_the_first_one_is_named() -> None:
    bench = Bench().frame_glued()
    assert (
        bench.refused(ReleaseJob(INSPECTOR, "all"))
        == "14 passes are not done, the first is 'Measure' on F2/A"
    )


def test_a_released_job_takes_nothing_more() -> None:
    bench = all_done()
    bench.do(ReleaseJob(INSPECTOR, "two pins glued"))
    for intent in (
        ChangePerson("Cora Lind"),
        StartPass(A),
        Confirm(),
        Type("1"),
        MeasureAgain("bore", "why"),
        Stop("nonconforming", "why"),
        Suspend("why"),
        Resume(),
        ReleaseJob(INSPECTOR, "again"),
    ):
        assert bench.refused(intent) == "job 41 is released and can only be read"


@pytest.mark.parametrize(
    ("one", "two", "same"),
    [
        ("René Weiß", "rene\u0301 WEISS", True),
        ("Ada Fitch", "Ada  Fitch ", True),
        ("Ada Fitch", "Ada Finch", False),
        ("Ada Fitch", "AdaFitch", False),
    ],
)
def test_one_person_is_one_person_on_every_keyboard(one: str, two: str, same: bool) -> None:
    assert same_person(one, two) is same
