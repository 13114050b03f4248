"""One virtual job on its way: what is asked of it, what it answers, what time it is, and whether it still gets anywhere."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from runner.job import events as e
from runner.job.decide import decide
from runner.job.events import Event
from runner.job.fold import fold
from runner.job.intents import BeginSitting, Intent
from runner.job.job import Job, Refusal
from runner.job.moments import Moment
from runner.job.opening import Opening, job_of, names_to_ask, open_job
from runner.job.state import PassKey, State
from runner.procedure.model import Procedure, Rung, Step
from runner.trial.foreseen import Foreseen
from runner.trial.judged import judged, miss
from runner.trial.settled import Settled, Settling
from runner.trial.sheet import MET, OVER, UNDER, Sheet, Spot, is_guarded, without_doubts
from runner.trial.tally import Course, Seen, Tally
from runner.trial.wishes import Aim, Wishes, aims_of

WORKER, OTHER, DECIDER = "Ada Fitch", "Cora Lind", "Ben Stone"
"""Who works in virtual jobs, who takes over, and who releases and decides; invented, as all of it."""
OPENED = Moment(datetime(2031, 3, 3, 7, 30, tzinfo=UTC), 0.0, "trial")
PROGRAM = "trial"
ROUNDS = 3
"""How often a job may do all its steps over without getting anywhere new before it is said to go in circles."""
SHORTEST = 30
"""Acts that a job may take without getting anywhere, however short its procedure."""
_AGAIN = 3
"""A step that was come to so often since a job last got anywhere is one that it circles through."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What all virtual jobs of one trial share. `procedure` is as written, `job` and `opened` are of the one walked."""

    procedure: Procedure
    job: Job
    opened: e.JobOpened
    sheet: Sheet
    settled: Settled
    aims: list[Aim]
    guarded: bool
    seed: int


def prepared(procedure: Procedure, named: dict[str, tuple[str, ...]], seed: int) -> Trial | Refusal:
    """Everything that is looked for once, before the walk; or why no job can be opened with such parts."""
    names = {level: named.get(level, ("1",)) for level in names_to_ask(procedure)}
    plain = without_doubts(procedure)
    opened = open_job(
        plain, Opening("TRIAL", WORKER, {**named, **names}, alone=False, invented=True), OPENED, PROGRAM
    )
    if isinstance(opened, Refusal):
        return opened
    job, sheet, guarded = job_of(opened, plain, UTC, PROGRAM), Sheet(procedure), is_guarded(procedure)
    settled = Settling(job, fold([opened]), sheet, OPENED, guarded).settle()
    return Trial(procedure, job, opened, sheet, settled, aims_of(sheet), guarded, seed)


class Walk:
    """A job, its moment, its tally, and the passes that were found to stand or to wait."""

    def __init__(self, trial: Trial, index: int) -> None:
        self.trial, self.index = trial, index
        self.wishes = Wishes(trial.sheet, trial.settled.shares, trial.aims, trial.seed, index)
        self.tally = Tally()
        self.job = replace(trial.job, alone=self.wishes.alone)
        self.now, self.acts, self.waited_s = OPENED, 0, 0.0
        self.state: State = fold([replace(trial.opened, alone=self.wishes.alone)])
        self.answer: list[Event] = []
        self.refused = ""
        self.stuck: dict[PassKey, str] = {}
        self.ended = ""
        self._new_at = 0
        self._known: set[tuple[object, ...]] = set()
        self._lately: Counter[tuple[str, int]] = Counter()
        steps = sum(len(trial.job.stage_of(key).steps) for key in trial.job.keys())
        self._patience = SHORTEST + ROUNDS * steps
        self.act(BeginSitting("trial"))

    # acts and time

    def act(self, intent: Intent, after_s: float = 60.0) -> bool:
        """Whether the job took what was asked so many seconds after the act before; `answer` or `refused` say what then."""
        now = later(self.now, after_s)
        answer = decide(self.job, self.state, intent, now)
        if isinstance(answer, Refusal):
            self.refused = answer.sentence
            return False
        self.now, self.answer = now, answer
        self.acts += 1
        for event in answer:
            self._keep(event)
        self.job = self.job.as_loaded(self.state.loads)
        if self.acts - self._new_at > self._patience:
            self.circles()
        return True

    def pause(self, seconds: float) -> None:
        """Time goes by that nothing but a timer needs."""
        self.now = later(self.now, max(0.0, seconds))
        self.waited_s += max(0.0, seconds)

    def stands_at(self, key: PassKey, step: Step) -> None:
        """A pass was seen to stand at a step."""
        self.tally.reached[key[0], step.about.number] += 1

    # what comes of it

    def _keep(self, event: Event) -> None:
        before, self.state = self.state, fold([event], self.state)
        self.tally.note(event)
        if not isinstance(event, e.PassStarted):
            self.stuck.clear()
        if self._is_new(event):
            self._new_at, self._lately = self.acts, Counter()
        elif isinstance(event, e.StepEvent) and not isinstance(event, e.BranchDecided):
            self._lately[event.stage, event.step] += 1
        self._came(before, event)

    def _is_new(self, event: Event) -> bool:
        """Whether a job got somewhere by an event: something that happened there for the first time, or that can't for ever."""
        if isinstance(
            event, e.ReworkBegun | e.Disposed | e.PermitGiven | e.ReadingCorrected | e.AnswerCorrected
        ):
            return True
        if isinstance(event, e.ReadingSuperseded) and event.counts:
            return True
        if isinstance(event, e.SoakRound) and event.counted_s:
            return True
        if not isinstance(event, e.PassEvent):
            return False
        place = type(event), event.stage, event.part, getattr(event, "step", 0), getattr(event, "point", "")
        new = place not in self._known
        self._known.add(place)
        return new

    def _came(self, before: State, event: Event) -> None:
        """The wishes hear of what was decided."""
        if not isinstance(event, e.StepEvent):
            return
        step = self.job.step((event.stage, event.part), event.step)
        match event:
            case e.CheckDecided() if not isinstance(step, Rung) and not _is_timed(step):
                spot: Spot = (event.stage, event.step, "check", "")
                side = MET if event.met else self._side(before, spot, event.part)
            case e.CheckDecided() | e.RungTaken() if isinstance(step, Rung):
                spot, side = (
                    (event.stage, event.step, "rung", ""),
                    MET if isinstance(event, e.RungTaken) else OVER,
                )
            case e.BranchDecided():
                spot, side = (event.stage, event.step, "so", event.condition), MET if event.taken else UNDER
            case e.TotalOver():
                spot, side = (event.stage, event.step, "total", ""), OVER
            case e.CheckDecided() | e.ClockStopped():
                side = MET if event.met else UNDER if not getattr(event, "act", "x") else OVER
                spot = (event.stage, event.step, "done", "")
            case e.SoakStopped() | e.SecondReadingDisagrees():
                spot, side = (event.stage, event.step, "done", ""), OVER
            case e.ZeroRead(good=good):
                spot, side = (event.stage, event.step, "done", ""), MET if good else OVER
            case _:
                return
        self.wishes.came(spot, event.part, side)

    def _side(self, state: State, spot: Spot, path: str) -> str:
        one = next(one for one in self.trial.sheet.deciding if one.spot == spot)
        part = self.job.parts.find(one.stage.for_each, path)
        assert part
        seen = Foreseen(self.job, state, self.trial.sheet, self.wishes, {}, self.now)
        return UNDER if not miss(judged(one, seen, part), UNDER) else OVER

    # how it ends

    def released(self) -> None:
        self.ended = "released"
        lasted = (self.now.utc - OPENED.utc).total_seconds()
        self.tally.courses.append(Course(self.acts, self.waited_s, lasted))

    def circles(self) -> None:
        """The job is left, for it goes round and round."""
        order = {stage.title: stage.number or 1000 for stage in self.trial.procedure.every_stage}
        often = [spot for spot, count in self._lately.items() if count >= _AGAIN]
        circle = tuple(sorted(often, key=lambda spot: (order[spot[0]], spot[0], spot[1])))
        self.tally.circles[circle] = Seen(1, self.index)
        self.ended = "in circles"

    def dead_end(self, key: PassKey, number: int, sentence: str) -> None:
        self.tally.dead_ends[key[0], number] = Seen(1, self.index, sentence)
        self.ended = "at a dead end"


def _is_timed(step: Step) -> bool:
    return not hasattr(step, "decision")


def later(moment: Moment, seconds: float) -> Moment:
    return Moment(moment.utc + timedelta(seconds=seconds), moment.boot + seconds, moment.boot_id)
