"""What somebody who comes to a job must know: where it stood, what ran on meanwhile, what isn't ordinary, what comes next."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from runner.job import events as e
from runner.job.job import Job
from runner.job.keeping import kept
from runner.job.moments import clock_words, elapsed, span_words
from runner.job.passes import Standing, may_begin, next_step, open_reworks, standing
from runner.job.state import PassKey, State
from runner.job.waits import since
from runner.paper.record import says
from runner.screen.rows import EMPTY, Row, row, wrapped
from runner.screen.view import View, last_done, unless_out_of_sight
from runner.session.at_work import ReadJob
from runner.session.shelf import due_words, waits

_LABEL = 14


def suspended(view: View, width: int) -> list[Row]:
    """The stop note, how long it was away, what ran on, and the last completed step, which a key confirms."""
    stop = view.state.suspended
    assert stop
    since_when = clock_words(stop.at.utc, view.job.zone, view.now.utc)
    away = span_words(elapsed(stop.at, view.now).lasted)
    return [
        row((" SUSPENDED ", "mark"), f"  by {stop.who} since {since_when}, {away} ago"),
        *wrapped(stop.because, width, "strong", first="  "),
        EMPTY,
        row("last completed step"),
        *wrapped(last_done(view.job, view.state), width, "strong", first="  "),
        EMPTY,
        *_said("went on", _ran_on(view), width, "no wait was running"),
        EMPTY,
        *wrapped("Look at the part: is the last completed step as it says? Then t goes on.", width),
    ]


def handed_over(view: View, width: int) -> list[Row]:
    """The handover page, which whoever takes the job on reads before they say who they are."""
    job, state = view.job, view.state
    given = state.handed_over
    assert given
    since_when = clock_words(given.at.utc, job.zone, view.now.utc)
    every = [*open_reworks(state), *job.keys()]
    done = sum(state.at(key).done for key in every)
    open_now = [_where(job, state, key) for key in every if _is_open(job, state, key)]
    following = [f"{title} on {part}" for title, part in may_begin(job, state)[:3]]
    return [
        row((" HANDED OVER ", "mark"), f"  by {given.who}, {since_when}"),
        *wrapped(given.note, width, "strong", first="  "),
        EMPTY,
        *_said("done", [f"{done} of {len(every)} passes"], width),
        *_said("open", open_now, width, "no pass is begun and not done"),
        *_said("running", _ran_on(view), width, "no wait"),
        *_said("out of date", _dated(job, state, every), width, "nothing"),
        *_said("held", _held(state), width, "no part is nonconforming"),
        *_said("allowed", allowed(job, state), width, "no concession, no permit"),
        *(_said("to be kept", found, width) if (found := kept(job, state)) else []),
        *_said("last done", [last_done(job, state)], width),
        *_said("next", following, width, "nothing may be begun now"),
    ]


def _said(label: str, lines: list[str], width: int, none: str = "") -> list[Row]:
    shown: list[Row] = []
    for at, line in enumerate(lines or [none]):
        first = f"{label if at == 0 else '':<{_LABEL}}"
        shown += wrapped(line, width, "strong" if lines else "dim", first=first)
    return shown


def _is_open(job: Job, state: State, key: PassKey) -> bool:
    return state.at(key).started and standing(job, state, key) in (Standing.IN_PROGRESS, Standing.HELD)


def _where(job: Job, state: State, key: PassKey) -> str:
    step = next_step(job, state, key)
    at = f"step {step.about.number} of {len(job.stage_of(key).steps)}, {says(step)}" if step else "at its end"
    return f"{key[0]} on {key[1]}: {at}"


def _ran_on(view: View) -> list[str]:
    """Waits with their clock time, and what was good only for so long and is older by now."""
    job, state, now = view.job, view.state, view.now
    ran = [due_words(due, job.zone, now) for due in waits(ReadJob(Path(), job, state, (), ()), now)]
    return [*ran, *_drifted(view)]


def _drifted(view: View) -> list[str]:
    job, state = view.job, view.state
    if view.key is None:
        return []
    found = state.at(view.key)
    old = []
    for step in job.stage_of(view.key).steps:
        lasts, number = step.about.good_for, step.about.number
        if lasts is None or number not in found.done_steps or number not in found.done_at:
            continue
        left = timedelta(seconds=float(lasts.si)) - since(state, found.done_at[number], view.now).lasted
        if left <= timedelta(0):
            old.append(
                f"step {number}, {says(step)}: good for {lasts.typed}, which is over; it is done again"
            )
        else:
            over = clock_words(view.now.utc + left, job.zone, view.now.utc)
            old.append(f"step {number}, {says(step)}: good for {lasts.typed}, until {over}")
    return old


def _dated(job: Job, state: State, every: list[PassKey]) -> list[str]:
    lines = []
    for key in every:
        dated = state.at(key).out_of_date
        if dated:
            count = "one step" if len(dated) == 1 else f"{len(dated)} steps"
            why = unless_out_of_sight(job, state, next(iter(dated.values())))
            lines.append(f"{key[0]} on {key[1]}: {count}, for {why}")
    return lines


def _held(state: State) -> list[str]:
    held = [f"{part} is nonconforming: {why}" for part, why in state.nonconforming.items()]
    stops = [
        f"{title} on {part}: {found.stop.exit}, {found.stop.because}"
        for (title, part), found in state.passes.items()
        if found.stop and found.stop.exit != e.NONCONFORMING
    ]
    return held + stops


def allowed(job: Job, state: State, part: str = "") -> list[str]:
    """Concessions and permits, each in a line; those that touch a part where one is named."""
    lines = []
    for one in state.allowed:
        if part and not _touches(one.part, part):
            continue
        step = job.step((one.stage, one.part), one.step)
        what = "permit" if isinstance(one, e.PermitGiven) else one.way
        name = getattr(step, "name", "") or f"step {one.step}"
        lines.append(f"{what} on {name}, {one.part}: {one.because}")
    return lines


def _touches(one: str, other: str) -> bool:
    """Whether two parts are one, or one lies in the other."""
    return f"{one}/".startswith(f"{other}/") or f"{other}/".startswith(f"{one}/")
