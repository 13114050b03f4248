"""A rehearsal: the same procedure with no real parts, whose clock may be hurried and which is never released."""

from __future__ import annotations

from runner.job import events as e
from runner.job.intents import Confirm, Hurry, ReleaseJob, Sign, StartPass
from runner.job.job import Refusal
from runner.job.moments import hurried
from runner.job.opening import Opening, open_job
from tests.job.a_bench import FITTER, INSPECTOR, MORNING, Bench
from tests.job.a_small_procedure import procedure


class Rehearsal(Bench):
    """A bench whose job is a rehearsal, on the clock that the job has."""

    def hurry(self, hours: float) -> None:
        self.do(Hurry(hours * 3600))
        self.now = hurried(self.now, hours * 3600)


def rehearsed() -> Rehearsal:
    return Rehearsal(named={"frame": ["F1"]}, rehearsal=True)


def test_a_rehearsal_is_hurried_over_its_waits_and_says_so_in_its_first_event() -> None:
    bench = rehearsed()
    assert bench.only(e.JobOpened).rehearsal and bench.state.is_rehearsal
    bench.frame_glued().do(StartPass(("Cure", "F1/A")))
    assert "2 h 0 min of 2 h left" in bench.refused(Confirm())
    bench.hurry(1.99)
    assert "left; it is done at" in bench.refused(Confirm())
    bench.hurry(0.02)
    bench.do(Confirm())
    assert bench.only(e.WaitPassed).lasted_s >= 7200
    assert not [one for one in bench.events if isinstance(one, e.ClockNoticed)]


def test_a_rehearsal_that_came_to_its_end_is_not_released() -> None:
    bench = rehearsed().frame_glued()
    bench.hurry(2)  # type: ignore[attr-defined]
    for hole in ("A", "B"):
        bench.do(StartPass(("Cure", f"F1/{hole}")), Confirm(), Confirm())
    for foot in ("L", "R"):
        bench.do(StartPass(("Level", f"F1/{foot}")), Confirm())
    bench.do(StartPass(("Put away", "job")), Sign(FITTER))
    assert bench.state.completed
    assert "no rehearsal is released" in bench.refused(ReleaseJob(INSPECTOR, "all of it"))


def test_a_job_with_real_parts_is_never_hurried() -> None:
    assert "only a rehearsal can be hurried" in Bench().refused(Hurry(60))


def test_no_hurry_goes_back_or_beyond_a_week() -> None:
    for seconds in (0.0, -60.0, float("nan"), float("inf"), 8 * 86400.0):
        assert "up to a week" in rehearsed().refused(Hurry(seconds))


def test_only_the_opening_makes_a_rehearsal() -> None:
    opened = open_job(procedure(), Opening("41", FITTER, {"frame": ["F1"]}, True), MORNING, "program 1")
    assert not isinstance(opened, Refusal) and not opened.rehearsal
