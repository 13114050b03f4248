"""
One test for each row of published guidance that a job by itself can show: repeated parts, data, acceptance, holds and
signatures, interruptions, deviations, the record. The letters and numbers are those of our table of that guidance.
"""

from __future__ import annotations

import pytest

from runner.job import events as e
from runner.job.fold import fold
from runner.job.intents import (
    AcceptHandover,
    Attend,
    CallWitness,
    ChangePerson,
    Confirm,
    Correct,
    Dispose,
    HandOver,
    MeasureAgain,
    Permit,
    Release,
    ReleaseJob,
    Resume,
    Sign,
    StartPass,
    Stop,
    Suspend,
    TakeUp,
    Type,
)
from runner.job.passes import Standing, standing
from runner.job.rows import from_row, kind_of, to_body
from tests.job.a_bench import FITTER, INSPECTOR, Bench, named
from tests.job.a_ringed_plate import CLOSE, MATCH, NUMBER, PACK, RECEIVE, TEXT, P, PlateBench, Q
from tests.job.a_small_procedure import TEXT as SMALL
from tests.job.a_small_procedure import procedure

OWNER = "Olga Prince"
SEEN = ("no burr",)


def test_RB1_each_part_has_its_own_values_times_and_people_and_nothing_is_copied_down() -> None:
    bench = PlateBench().receive().bored(P)
    assert ("1/Q", "bore") not in bench.state.known
    bench.later(minutes=3).do(ChangePerson("Cora Lind"))
    bench.bored(Q, "10.004 10.004")
    first, second = (
        [
            one
            for one in bench.events
            if isinstance(one, e.ReadingTaken) and (one.part, one.name) == (part, "bore")
        ]
        for part in ("1/P", "1/Q")
    )
    assert {one.who for one in first} == {FITTER} and {one.who for one in second} == {"Cora Lind"}
    assert first[0].at != second[0].at


def test_RB3_one_bad_part_neither_blocks_its_brothers_nor_disappears() -> None:
    bench = PlateBench(names=("1", "2")).receive().receive(plate="2").bored(P)
    bench.bored(Q, "10.030 10.030", upto="lay").do(Type("4"), Stop("nonconforming", "too large"))
    bench.bored(("Bore", "2/P")).bored(("Bore", "2/Q"))
    bench.do(StartPass(("Match", "2")), Confirm())
    assert bench.refused(StartPass(MATCH)) == "'Match' on 1 comes after 'Bore', which is not done on 1/Q"
    assert standing(bench.job, bench.state, Q) is Standing.HELD
    assert bench.refused(ReleaseJob(INSPECTOR, "all")).endswith("the first is 'Bore' on 1/Q")


@pytest.mark.parametrize(
    "typed", ["1.2.3", "1,250", "O.005", ".", "--3", "1e3", "", "4" * 41, "10.0\n10.1x", "١٠", "0x1F", "inf"]
)
def test_DE1_a_malformed_number_is_refused_and_never_stored_as_another(typed: str) -> None:
    bench = PlateBench().receive().bored(upto="bore")
    bench.refused(Type(typed))
    assert ("1/P", "bore") not in bench.state.known


@pytest.mark.parametrize(
    ("typed", "slip"),
    [("100.0", "ten times too large"), ("1.000", "ten times too small"), ("254", "millimetres for inches")],
)
def test_DE2_a_likely_slip_is_named_and_what_is_typed_in_the_end_is_kept(typed: str, slip: str) -> None:
    bench = PlateBench().receive().bored(upto="bore")
    made = bench.do(Type(typed))
    assert isinstance(made[0], e.EntryQuestioned) and slip in made[0].why
    bench.do(Type(typed))
    assert bench.state.known[("1/P", "bore")].points[0].typed == typed


def test_DE3_a_worked_value_keeps_its_formula_its_inputs_where_from_and_its_margin() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    worked = next(one for one in bench.events if isinstance(one, e.ValueWorked) and one.name == "depth")
    assert (worked.formula, worked.with_values, worked.shown) == (
        "thickness - bore_mean",
        "20.0 mm - 10.001 mm",
        "9.999 mm",
    )
    assert [one.origin for one in worked.inputs] == [
        "read in step 4 of 'Receive' on 1",
        "worked out in step 4 of 'Bore' on 1/P",
    ]
    verdict = bench.at(P).checked[NUMBER["bore_check"]]
    assert (verdict.low, verdict.high, verdict.nominal, verdict.margin) == (
        "9.980 mm", "10.020 mm", "10.000 mm", "0.019 mm",
    )  # fmt: skip
    bench.do(Stop("cannot do as written", "the depth can't be right"))
    assert standing(bench.job, bench.state, P) is Standing.HELD


def test_DE4_a_changed_input_works_every_result_again_and_voids_every_signature_on_it() -> None:
    bench = PlateBench().packed()
    point = bench.state.known[("1", "thickness")].points[0].point
    bench.do(Correct(RECEIVE, "thickness", point, "20.5", "misread"))
    voided = {(ref.stage, ref.part, ref.step) for ref in bench.only(e.ReadingCorrected).out_of_date}
    assert {("Receive", "1", 7), ("Bore", "1/P", 14), ("Bore", "1/Q", 14)} <= voided
    shown = [one.shown for one in bench.events if isinstance(one, e.ValueWorked) and one.name == "depth"]
    assert shown == ["9.999 mm", "9.999 mm", "10.499 mm", "10.499 mm"]


def test_DE5_a_reading_names_its_instrument_and_all_with_one_are_found() -> None:
    bench = PlateBench().receive().bored(P).bored(Q)
    with_dial = [one for one in bench.events if isinstance(one, e.ReadingTaken) and one.instrument == "dial"]
    assert [(one.part, one.name) for one in with_dial] == [("1/P", "bore")] * 2 + [("1/Q", "bore")] * 2


def test_DE6_cannot_measure_is_an_answer_with_a_reason_that_is_no_pass() -> None:
    bench = PlateBench().receive().bored(upto="bore")
    assert bench.refused(Stop("cannot measure", " ")) == "'cannot measure' needs its reason"
    bench.do(Stop("cannot measure", "the dial is away"))
    assert standing(bench.job, bench.state, P) is Standing.HELD and not bench.at(P).done
    assert bench.refused(StartPass(MATCH)).startswith("'Match' on 1 comes after 'Bore', which is not done")


def test_AN1_a_verdict_keeps_its_criterion_whole_with_where_it_comes_from() -> None:
    verdict = Bench().measure(upto="play").only(e.CheckDecided)
    assert (verdict.low, verdict.high) == ("10.000 mm", "10.020 mm")
    assert (
        verdict.source == "maker's sheet, frame drawing 7" and verdict.limits == "drawing.low to drawing.high"
    )


GUARDED = SMALL.replace("decision: simple", "decision: guarded")


@pytest.mark.parametrize(
    ("bore", "decision", "met", "proven"),
    [
        ("10.020", "simple", True, True),
        ("10.021", "simple", False, True),
        ("10.010", "guarded", True, True),
        ("10.020", "guarded", False, False),
        ("10.019", "guarded", False, False),
        ("10.021", "guarded", False, True),
    ],
)
def test_AN2_one_declared_rule_decides_and_nearer_than_U_is_not_proven(
    bore: str, decision: str, met: bool, proven: bool
) -> None:
    # The rule is ISO 14253-1's: who proves conformity must be inside by U. From memory.
    bench = Bench(procedure(SMALL if decision == "simple" else GUARDED)).measure(
        bore=f"{bore} {bore} {bore}", upto="play"
    )
    verdict = bench.only(e.CheckDecided)
    assert (verdict.decision, verdict.met, verdict.proven) == (decision, met, proven)


def test_AN3_a_nonconforming_part_is_locked_until_an_authority_decides() -> None:
    bench = PlateBench().receive().bored(bore="10.030 10.030", upto="lay")
    bench.do(Type("4"), Stop("nonconforming", "0.01 over"))
    for intent in (Confirm(), Type("4"), MeasureAgain("bore", "why"), Sign(FITTER), TakeUp("it can")):
        bench.refused(intent)
    assert "has entries in this pass" in bench.refused(Dispose("concession", FITTER, "it will do"))
    bench.do(Dispose("concession", OWNER, "a larger ring"))
    given = bench.only(e.Disposed)
    assert (given.by, given.role, given.because, given.solo) == (OWNER, "owner", "a larger ring", False)


def test_AN3_alone_the_same_person_decides_and_that_is_on_the_record() -> None:
    bench = PlateBench(alone=True).receive().bored(bore="10.030 10.030", upto="lay")
    bench.do(Type("4"), Stop("nonconforming", "0.01 over"), Dispose("concession", FITTER, "a larger ring"))
    assert bench.only(e.Disposed).solo


def test_AN4_after_a_rework_the_first_reading_is_kept_and_the_limit_is_the_same() -> None:
    bench = PlateBench().receive().bored(bore="9.970 9.970", upto="lay")
    bench.do(Dispose("cut again", FITTER, "too small"), Type("0.5"), Confirm(), Sign(FITTER), StartPass(P))
    bench.type("10.000 10.002")
    verdicts = [one for one in bench.events if isinstance(one, e.CheckDecided) and one.name == "bore_mean"]
    assert [one.met for one in verdicts] == [False, True]
    assert len({(one.low, one.high, one.source) for one in verdicts}) == 1
    read = [one.typed for one in bench.events if isinstance(one, e.ReadingTaken) and one.name == "bore"]
    assert read == ["9.970", "9.970", "10.000", "10.002"]


def test_HP1_nothing_passes_a_hold_but_a_release_by_the_role_that_says_what_was_seen() -> None:
    bench = PlateBench().receive().bored(upto="hold")
    tried = (
        Confirm(),
        Type("10"),
        Sign(FITTER),
        Attend(INSPECTOR),
        Permit(OWNER, "why"),
        StartPass(MATCH),
        TakeUp("why"),
    )
    for intent in tried:
        bench.refused(intent)
    assert bench.refused(Release(INSPECTOR, (), "10.000 10.002")) == (
        "1 things must be seen, and 0 were said to be"
    )
    bench.do(Suspend("night"))
    bench.restart(hours=12).do(Resume(), ChangePerson("Cora Lind"))
    assert bench.step == NUMBER["wipe"]
    bench.do(Confirm())
    assert bench.step == NUMBER["hold"]
    assert not any(isinstance(one, e.HoldReleased) for one in bench.events)


@pytest.mark.parametrize("comes", [True, False])
def test_HP2_a_witness_point_keeps_whether_the_one_called_came(comes: bool) -> None:
    bench = PlateBench(TEXT.replace("        good for: 20 min\n", "")).receive().bored(upto="witness")
    bench.do(CallWitness())
    bench.later(minutes=15).do(Attend(INSPECTOR) if comes else Confirm())
    assert bench.only(e.WitnessPassed).by == (INSPECTOR if comes else "")
    assert bench.only(e.WitnessCalled).role == "inspector"


def test_HP3_a_signature_is_an_act_of_that_moment_and_a_later_change_voids_it() -> None:
    bench = PlateBench()
    bench.do(StartPass(RECEIVE), Type("bright"))
    assert bench.refused(Sign(FITTER)) == "a text is wanted here: What else shows"
    bench = PlateBench().receive()
    signed = bench.only(e.SignedOff)
    assert (signed.name, signed.text, signed.at, signed.who) == (FITTER, "received", bench.now, FITTER)
    bench.do(Correct(RECEIVE, "remark", "", "a dent", "overlooked"))
    assert bench.dated(RECEIVE) == {7} and not bench.at(RECEIVE).done


def test_HP4_an_independent_reading_is_by_another_person_and_must_agree() -> None:
    bench = PlateBench().receive().bored(upto="hold")
    assert "has entries in this pass" in bench.refused(Release(FITTER, SEEN, "10.000 10.002"))
    made = bench.do(Release(INSPECTOR, SEEN, "10.100 10.100"))
    assert named(made) == ["second-reading-disagrees"]
    bench.refused(Release(INSPECTOR, SEEN, "10.000 10.002"))


def test_IR2_a_stop_has_a_note_and_going_on_repeats_the_last_completed_step() -> None:
    bench = PlateBench().receive().bored(upto="bore")
    assert bench.refused(Suspend(" ")).startswith("a stop needs a note")
    bench.do(Suspend("ring P is clamped"))
    assert bench.refused(Type("10.000")) == "the job is suspended: ring P is clamped"
    bench.restart(hours=12).do(Resume())
    assert bench.only(e.JobResumed).last == "dial read back 10.000 mm (1/P, Bore, step 2)"


@pytest.mark.parametrize(("away", "again"), [(20, False), (21, True)])
def test_IR3_what_may_have_drifted_is_done_again_after_its_time_and_not_before(
    away: int, again: bool
) -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(Suspend("lunch"))
    bench.later(minutes=away).do(Resume(), Confirm())
    assert (1 in bench.at(P).out_of_date) is again


def test_IR4_a_job_handed_over_waits_until_it_is_accepted() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(HandOver("ring P not laid yet"))
    bench.refused(Confirm())
    bench.do(ChangePerson("Cora Lind"))
    bench.refused(Confirm())
    bench.do(AcceptHandover(), Confirm())
    assert bench.only(e.HandoverGiven).last == "bore 10.000 10.002 mm (1/P, Bore, step 3)"


@pytest.mark.parametrize("upto", ["wipe", "zero", "bore", "lay", "settled", "witness", "hold"])
def test_DV1_cannot_do_as_written_is_taken_on_every_step(upto: str) -> None:
    bench = PlateBench().receive().bored(upto=upto)
    bench.do(Stop("cannot do as written", "step and drawing differ"))
    assert bench.only(e.PassStopped).step == NUMBER[upto]
    assert bench.at(P).stop and not bench.at(P).done


def test_DV2_a_permit_is_for_one_step_of_one_part_and_stays_in_view() -> None:
    bench = PlateBench().receive().bored(upto="lay")
    bench.do(Stop("cannot do as written", "no ring"), Permit(OWNER, "laid by the maker"))
    bench.bored(Q, upto="lay")
    assert bench.step == NUMBER["lay"]
    assert [(one.part, one.step, one.by, one.because) for one in bench.state.allowed] == [
        ("1/P", NUMBER["lay"], OWNER, "laid by the maker")
    ]


def test_DV3_going_back_keeps_the_first_entry_and_reopens_what_depends_on_it() -> None:
    bench = PlateBench().packed()
    bench.do(Correct(P, "bore", "2", "10.004", "misread"))
    kept = bench.only(e.ReadingCorrected)
    assert (kept.was, kept.typed, kept.because) == ("10.002", "10.004", "misread")
    assert [one.typed for one in bench.events if isinstance(one, e.ReadingTaken) and one.part == "1/P"] == [
        "10.000",
        "10.002",
    ]
    assert {(ref.stage, ref.step) for ref in kept.out_of_date} == {
        *(
            ("Bore", NUMBER[name])
            for name in ("bore_mean", "bore_check", "depth", "lay", "settled", "witness", "hold")
        ),
        *(("Match", number) for number in (1, 2, 3, 4)),
    }
    assert all(not bench.at(key).out_of_date for key in (PACK, CLOSE, Q, RECEIVE))


def test_DV4_a_rework_is_counted_and_stops_at_its_maximum() -> None:
    bench = PlateBench().receive().bored(bore="9.970 9.970", upto="lay")
    for _ in range(2):
        bench.do(Dispose("cut again", FITTER, "small"), Type("0.5"), Confirm(), Sign(FITTER), StartPass(P))
        bench.type("9.970 9.970")
    assert bench.refused(Dispose("cut again", FITTER, "small")).endswith("which is the most")
    assert [one.count for one in bench.events if isinstance(one, e.ReworkBegun)] == [1, 2]


def test_RI1_nothing_overwrites_and_every_event_says_who_and_when() -> None:
    bench = PlateBench().packed()
    before = list(bench.events)
    bench.do(Correct(P, "bore", "2", "10.004", "misread"), MeasureAgain("bore", "tilted", P))
    assert bench.events[: len(before)] == before
    assert all(one.who == FITTER and one.at.utc.tzinfo for one in bench.events)
    for one in bench.events:
        if isinstance(one, e.ReadingCorrected | e.ReadingSuperseded | e.AnswerCorrected):
            assert one.because


def test_RI3_the_procedure_as_used_is_inside_the_first_event() -> None:
    bench = PlateBench()
    opened = bench.only(e.JobOpened)
    assert opened.procedure_text == TEXT and len(opened.procedure_sha256) == 64
    assert fold([from_row(kind_of(one), to_body(one)) for one in bench.events]) == bench.state


@pytest.mark.parametrize("name", ["shop", "The workshop", "crew", "everyone"])
def test_RI4_an_entry_is_one_persons_and_a_shared_name_is_nobodys(name: str) -> None:
    bench = PlateBench().receive().bored(upto="hold")
    bench.refused(ChangePerson(name))
    bench.refused(Release(name, SEEN, "10.000 10.002"))
    bench = PlateBench()
    bench.do(StartPass(RECEIVE), Type("bright"), Type("none"), Type("20.0"), Confirm())
    assert bench.refused(Sign("Ben Stone")) == "Ada Fitch is at the bench, and 'Ben Stone' was typed"
