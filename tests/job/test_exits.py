"""Honest exits, what is decided on a nonconforming part, and how the others go on."""

from __future__ import annotations

import pytest

from runner.job.events import (
    CANNOT_DO,
    CANNOT_MEASURE,
    NONCONFORMING,
    CheckDecided,
    Disposed,
    JobCompleted,
    NotWorked,
    PassDone,
    PassStopped,
)
from runner.job.intents import (
    Acknowledge,
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
from runner.job.passes import Standing, standing
from tests.job.a_bench import FITTER, INSPECTOR, A, B, Bench, named
from tests.job.a_small_procedure import TEXT, procedure

OWNER = "Olga Prince"
STEPS = {
    "a list to tick": "",
    "a reading": "ring_size",
    "a zero": "bore gauge",
    "points": "bore",
    "levels by axes": "wall",
    "a hold point": "hold",
    "a sign-off": "sign",
}


def at_step(where: str) -> Bench:
    bench = Bench()
    if where == "a list to tick":
        bench.do(StartPass(A))
        return bench
    return bench.measure(upto=STEPS[where])


def too_large() -> Bench:
    """Hole A measured over its limit, and its pass standing at the check."""
    return Bench().measure(bore="10.025 10.026 10.027")


def nonconforming() -> Bench:
    bench = too_large()
    bench.stop(NONCONFORMING, "drilled too large")
    return bench


@pytest.mark.parametrize("exit_", [CANNOT_MEASURE, CANNOT_DO, NONCONFORMING])
@pytest.mark.parametrize("where", STEPS)
def test_each_exit_is_taken_at_each_step_and_is_no_pass(where: str, exit_: str) -> None:
    bench = at_step(where)
    step, done = bench.step, bench.at(A).done_steps
    bench.stop(exit_)
    kept = bench.only(PassStopped)
    assert (kept.exit, kept.step, kept.because) == (exit_, step, "a crack shows")
    assert standing(bench.job, bench.state, A) is Standing.HELD
    assert bench.at(A).done_steps == done and not bench.at(A).done
    for intent in (Confirm(), Tick(1), Type("1"), Sign(FITTER), Acknowledge(), MeasureAgain("bore", "why")):
        assert bench.refused(intent) == f"this pass stands: {exit_} (a crack shows)"
    assert bench.refused(Release(INSPECTOR, ("no burr", "shim there"))).startswith("this pass stands")


@pytest.mark.parametrize("exit_", [CANNOT_MEASURE, CANNOT_DO, NONCONFORMING])
def test_each_exit_is_taken_where_a_check_was_not_met(exit_: str) -> None:
    bench = too_large()
    bench.stop(exit_)
    assert standing(bench.job, bench.state, A) is Standing.HELD


@pytest.mark.parametrize("exit_", [CANNOT_MEASURE, CANNOT_DO, NONCONFORMING])
def test_each_exit_is_taken_while_a_wait_runs_and_the_wait_runs_on(exit_: str) -> None:
    bench = Bench().frame_glued()
    bench.do(StartPass(("Cure", "F1/A")))
    bench.stop(exit_)
    bench.later(hours=2)
    if exit_ == NONCONFORMING:
        bench.do(Dispose("scrap", OWNER, "the frame bent"))
        bench.do(StartPass(("Cure", "F1/B")), Confirm())
    else:
        bench.do(TakeUp("glue found"), Confirm())


def test_an_exit_in_the_middle_of_a_reading_keeps_the_points_that_were_read() -> None:
    bench = Bench().measure(upto="bore")
    bench.do(Type("10.009 10.010"))
    bench.stop(CANNOT_MEASURE)
    bench.do(TakeUp("another gauge was fetched"))
    bench.do(Type("10.011"))
    assert bench.at(A).checked[6].shown == "10.010 mm"


@pytest.mark.parametrize("because", ["", "  ", "\t"])
def test_an_exit_says_why(because: str) -> None:
    assert Bench().measure(upto="bore").refused(Stop(CANNOT_DO, because)) == (
        "'cannot do as written' needs its reason"
    )


def test_no_other_word_is_a_way_out() -> None:
    assert Bench().measure(upto="bore").refused(Stop("skip", "why")) == "'skip' is no way out"


def test_a_stage_for_the_whole_job_can_be_stopped_but_the_job_is_no_part() -> None:
    bench = Bench(procedure(TEXT.replace("    after all: [Level]", "    after: []")))
    bench.do(StartPass(("Put away", "job")))
    assert "a part is nonconforming, not the job" in bench.refused(Stop(NONCONFORMING, "why"))
    bench.stop(CANNOT_DO)


@pytest.mark.parametrize("exit_", [CANNOT_MEASURE, CANNOT_DO])
def test_a_stopped_pass_is_taken_up_again_with_a_reason_and_goes_on_where_it_stood(exit_: str) -> None:
    bench = Bench().measure(upto="play")
    bench.stop(exit_)
    assert bench.refused(TakeUp(" ")) == "what has changed, so that it can go on?"
    step = bench.step
    bench.do(TakeUp("a new feeler"), Type("0.01"))
    assert bench.step == step + 2


def test_taking_up_again_does_not_lift_a_check_that_was_not_met() -> None:
    bench = too_large()
    bench.stop(CANNOT_DO)
    bench.do(TakeUp("looked at again"))
    assert bench.refused(Type("0.01")) == bench.only(CheckDecided).sentence
    assert not bench.at(A).done


def test_a_pass_that_goes_is_not_taken_up() -> None:
    assert Bench().measure(upto="play").refused(TakeUp("why")) == "this pass is not stopped"


def test_a_nonconforming_part_is_locked_and_its_brothers_are_not() -> None:
    bench = nonconforming()
    assert bench.refused(TakeUp("why not")) == "F1/A is nonconforming (drilled too large)"
    bench.measure(B)
    assert bench.at(B).done
    bench.measure(("Measure", "F2/A"))
    assert bench.at(("Measure", "F2/A")).done


def test_a_nonconforming_part_locks_its_other_stages_too() -> None:
    bench = Bench(
        procedure(
            TEXT.replace("after: [Glue]", "after: []")
            .replace("starts: glued", "starts: glued")
            .replace(
                "      - wait: cured\n        starts: glued\n        at least: 2 h\n"
                "        source: maker's sheet, the glue's tube\n",
                "",
            )
        )
    )
    bench.measure(bore="10.025 10.026 10.027")
    bench.stop(NONCONFORMING, "drilled too large")
    assert bench.refused(StartPass(("Cure", "F1/A"))) == "F1/A is nonconforming: drilled too large"
    bench.do(StartPass(("Cure", "F1/B")))


def loose() -> Bench:
    """The same frame with stages that keep no order, so that every lock but that of the part is open."""
    text = TEXT
    for after in ("after: [Measure, Face]", "after: [Cure]"):
        text = text.replace(after, "after: []")
    text = text.replace("    after all: [Level]\n", "    after: []\n")
    return Bench(procedure(text))


def test_a_nonconforming_frame_locks_what_lies_in_it() -> None:
    bench = loose()
    bench.do(StartPass(("Glue", "F1")))
    bench.stop(NONCONFORMING, "cracked")
    assert bench.refused(StartPass(A)) == "F1 is nonconforming: cracked"
    bench.do(StartPass(("Measure", "F2/A")))


def test_a_stopped_pass_of_a_nonconforming_part_is_not_taken_up_before_the_part_is_decided_on() -> None:
    bench = loose()
    bench.do(StartPass(A))
    bench.stop(CANNOT_DO, "no cloth")
    bench.do(StartPass(("Glue", "F1")))
    bench.stop(NONCONFORMING, "cracked")
    bench.do(StartPass(A))
    assert bench.refused(TakeUp("a cloth was found")) == "F1 is nonconforming: cracked"


def test_a_concession_on_a_hole_waits_for_the_decision_on_its_frame() -> None:
    bench = loose()
    bench.measure(bore="10.025 10.026 10.027")
    bench.stop(NONCONFORMING, "drilled too large")
    bench.do(StartPass(("Glue", "F1")))
    bench.stop(NONCONFORMING, "cracked")
    bench.do(StartPass(A))
    assert bench.refused(Dispose("concession", OWNER, "it will do")) == "F1 is nonconforming: cracked"


def test_a_frame_scrapped_takes_its_nonconforming_hole_along_and_the_job_can_still_be_completed() -> None:
    bench = loose()
    bench.measure(bore="10.025 10.026 10.027")
    bench.stop(NONCONFORMING, "drilled too large")
    for frame in ("F1", "F2"):
        bench.do(StartPass(("Glue", frame)))
        bench.stop(NONCONFORMING, "cracked")
        bench.do(Dispose("scrap", OWNER, "cracked through"))
    assert bench.refused(StartPass(A)) == "F1/A is no longer in this job"
    assert bench.refused(ReleaseJob(INSPECTOR, "nothing")) == (
        "1 passes are not done, the first is 'Put away' on job"
    )
    bench.do(StartPass(("Put away", "job")))
    assert named(bench.do(Sign(FITTER))) == ["signed-off", "pass-done", "job-completed"]


def test_a_concession_opens_its_check_and_nothing_else() -> None:
    bench = nonconforming()
    events = bench.do(Dispose("concession", OWNER, "a larger pin is at hand"))
    assert named(events) == ["disposed"]
    given = bench.only(Disposed)
    assert (given.way, given.by, given.role, given.step, given.solo) == (
        "concession",
        OWNER,
        "owner",
        6,
        False,
    )
    assert bench.at(A).checked[6].met is False
    bench.do(Type("0.05"))
    assert bench.refused(Type("4 4 4 4")).startswith("F1/A: play is 0.05 mm, over the limit of 0.0381 mm")


def test_a_concession_on_one_part_opens_nothing_on_its_brother() -> None:
    bench = nonconforming()
    bench.do(Dispose("concession", OWNER, "a larger pin is at hand"))
    bench.measure(B, bore="12.030 12.030 12.030")
    assert "over the limit" in bench.refused(Type("0.01"))


def test_a_concession_opens_no_step_but_a_check_that_was_not_met() -> None:
    bench = Bench().measure(upto="play")
    bench.stop(NONCONFORMING, "a crack shows")
    assert bench.refused(Dispose("concession", OWNER, "why")) == "'concession' is not offered here"


def test_a_check_that_has_no_verdict_is_not_conceded() -> None:
    text = TEXT.replace("        at most: 0.0381 mm\n", "        at most: shim.thickness\n").replace(
        "        up to: 1 mm\n", "        up to: 0.0300 mm\n"
    )
    bench = Bench(procedure(text)).measure(play="0.035")
    assert "no row for play = 0.035 mm" in bench.only(NotWorked).sentence
    bench.stop(NONCONFORMING, "no shim fits")
    assert bench.refused(Dispose("concession", OWNER, "it will do")) == (
        "a concession opens a check that was not met, and none stands here"
    )
    bench.do(Dispose("scrap", OWNER, "no shim fits"))


def test_only_what_the_procedure_offers_is_decided() -> None:
    bench = Bench().measure(wall="2.00 4.00 4.00 4.00")
    bench.stop(NONCONFORMING, "web too thin")
    assert bench.refused(Dispose("rework", OWNER, "why")) == "'rework' is not offered here"
    bench.do(Dispose("concession", OWNER, "lightly loaded"))


def test_a_denied_concession_leaves_a_part_its_end() -> None:
    bench = Bench().measure(wall="2.00 4.00 4.00 4.00")
    bench.stop(NONCONFORMING, "web too thin")
    bench.do(Dispose("scrap", OWNER, "no concession on a web"))
    assert bench.state.gone == {"F1/A": "scrap"}


@pytest.mark.parametrize(("by", "because"), [("", "why"), (" ", "why"), (OWNER, ""), (OWNER, "\n")])
def test_a_decision_has_a_name_and_a_reason(by: str, because: str) -> None:
    sentence = nonconforming().refused(Dispose("scrap", by, because))
    assert sentence == "'scrap' is decided by a named person for a reason"


@pytest.mark.parametrize("by", [FITTER, FITTER.upper(), f"  {FITTER.replace(' ', '   ')} ", "ada fitch"])
def test_nobody_with_entries_in_the_pass_decides_on_it(by: str) -> None:
    assert "has entries in this pass" in nonconforming().refused(Dispose("concession", by, "it will do"))


def test_alone_one_decides_for_oneself_and_the_record_says_so() -> None:
    bench = Bench(alone=True).measure(bore="10.025 10.026 10.027")
    bench.stop(NONCONFORMING, "drilled too large")
    bench.do(Dispose("concession", FITTER, "it will do"))
    assert bench.only(Disposed).solo


def test_nothing_is_decided_on_a_part_that_nobody_called_nonconforming() -> None:
    assert too_large().refused(Dispose("scrap", OWNER, "why")) == "F1/A is not nonconforming"
    bench = too_large()
    bench.stop(CANNOT_DO)
    assert bench.refused(Dispose("scrap", OWNER, "why")) == "F1/A is not nonconforming"


@pytest.mark.parametrize("way", ["scrap", "return"])
def test_a_part_taken_out_is_worked_on_no_more_and_the_stage_after_goes_on_without_it(way: str) -> None:
    bench = nonconforming()
    bench.do(Dispose(way, OWNER, "no use"))
    assert standing(bench.job, bench.state, A) is Standing.NOT_APPLICABLE
    assert bench.refused(StartPass(A)) == "F1/A is no longer in this job"
    bench.measure(B)
    for foot in ("L", "R"):
        bench.do(StartPass(("Face", f"F1/{foot}")), Confirm())
    bench.do(StartPass(("Glue", "F1")), Confirm())
    bench.later(hours=2)
    assert bench.refused(StartPass(("Cure", "F1/A"))) == "F1/A is no longer in this job"
    bench.do(StartPass(("Cure", "F1/B")), Confirm(), Confirm())
    bench.do(StartPass(("Level", "F1/L")), Confirm())


def test_a_scrapped_part_is_decided_on_once() -> None:
    bench = nonconforming()
    bench.do(Dispose("scrap", OWNER, "no use"))
    assert bench.refused(Dispose("concession", OWNER, "after all")) == "no pass is in hand"


def test_a_job_of_scrapped_parts_is_completed_by_the_last_scrapping() -> None:
    text = TEXT[: TEXT.index("  - stage: Put away")]
    bench = Bench(procedure(text), {"frame": ["F1"]})
    for key in (A, B, ("Face", "F1/L"), ("Face", "F1/R")):
        bench.do(StartPass(key))
        bench.stop(NONCONFORMING, "cracked")
        events = bench.do(Dispose("scrap", OWNER, "cracked through"))
        assert named(events) == ["disposed"]
    bench.do(StartPass(("Glue", "F1")))
    bench.stop(NONCONFORMING, "cracked")
    assert named(bench.do(Dispose("scrap", OWNER, "cracked through"))) == ["disposed", "job-completed"]
    assert not any(isinstance(one, PassDone) for one in bench.events)
    assert bench.only(JobCompleted)


def test_a_job_is_suspended_from_anywhere_with_a_note_and_taken_up_by_reading_the_last_step() -> None:
    for bench in (Bench(ready=False), at_step("a hold point"), nonconforming(), Bench().frame_glued()):
        assert bench.refused(Suspend(" ")) == "a stop needs a note: what is loose, hot or half done"
        last = bench.state.last_done
        bench.do(Suspend("lights out"))
        assert bench.refused(Suspend("again")) == "the job is suspended already"
        for intent in (Confirm(), StartPass(B), Stop(CANNOT_DO, "why"), ReleaseJob(INSPECTOR, "all")):
            assert bench.refused(intent) == "the job is suspended: lights out"
        bench.do(ChangePerson("Cora Lind"))
        assert bench.do(Resume())[0].last == last  # type: ignore[attr-defined]
        assert bench.refused(Resume()) == "the job is not suspended"


def test_a_pass_laid_aside_is_taken_in_hand_again_where_it_stood() -> None:
    bench = Bench().measure(upto="play")
    bench.do(StartPass(B))
    assert bench.refused(StartPass(B)) == "'Measure' on F1/B is in hand already"
    bench.do(StartPass(A))
    assert bench.step == 7
