"""Texts from outside that would do something to a terminal or a framework: on every page they are only shown."""

from __future__ import annotations

import dataclasses
import unicodedata
from pathlib import Path
from typing import Any

import pytest

from runner.job.intents import Sign, StartPass, Suspend
from runner.job.opening import Opening
from runner.procedure.model import Procedure
from runner.screen.start import OpenNew
from runner.session.at_work import AtWork
from runner.session.clock import SimulatedClock
from tests.job.a_small_procedure import TEXT, procedure
from tests.screen.a_screen import INSPECTOR, MORNING, Seen, a_job, bench, do, resumed

MARKUP = "[Nm][/x][@click=app.quit]x[/][ ]]["
CONTROLS = "\x1b]0;t\x07\x1b[31m\x9b1m\u202eabc\x00"
MARK = "zzz"
_SAID = (
    "Two pins glued into a frame that does not exist", "invented for tests", "Frames that do not exist", "Real frames",
    "Frames and gauges in one room since the morning", "A burr at the lip of the hole", "cut finger", "Gloves",
    "Ready the hole", "Lip deburred", "Hole wiped", "Size marked on the ring", "Bore, three places round",
    "Play of the pin", "Web beside the hole", "Lay the shim beside its hole", "no burr left", "hole marked",
    "maker's sheet, the glue's tube", "published, an invented table 4",
)  # fmt: skip


def hostile(text: str) -> Procedure:
    """The small frame with that text in everything that a procedure says, as a file may bring it into memory."""
    marked = TEXT
    for said in _SAID:
        assert said in marked, said
        marked = marked.replace(said, f"{said} {MARK}")
    made: Procedure = _replaced(procedure(marked), text)
    return dataclasses.replace(made, text=TEXT)


def _replaced(one: Any, text: str) -> Any:
    if isinstance(one, str):
        return one.replace(MARK, text)
    if isinstance(one, tuple):
        return tuple(_replaced(inner, text) for inner in one)
    if dataclasses.is_dataclass(one) and not isinstance(one, type):
        values = {field.name: getattr(one, field.name) for field in dataclasses.fields(one) if field.init}
        new = {name: _replaced(value, text) for name, value in values.items()}
        return dataclasses.replace(one, **new) if new != values else one
    return one


async def only_shown(seen: Seen, *said: str) -> None:
    """What is drawn holds these texts as they are, acts on nothing, and has no sign that a terminal would obey."""
    drawn = await seen.text()
    assert seen.app.is_running
    bad = {sign for sign in drawn if unicodedata.category(sign) in ("Cc", "Cf") and sign != "\n"}
    assert not bad, (bad, drawn)
    for strip in seen.app.screen._compositor.render_strips():
        for segment in strip:
            assert not (segment.style and "@click" in segment.style.meta), segment
    joined = "".join(drawn.split())
    for text in said:
        assert "".join(text.split()) in joined, drawn


@pytest.mark.parametrize("text", [MARKUP, CONTROLS], ids=["markup", "control characters"])
async def test_a_hostile_procedure_person_and_reason_are_only_shown(tmp_path: Path, text: str) -> None:
    clock = SimulatedClock(MORNING)
    who = f"Ada {text}"
    shown = MARKUP if text == MARKUP else "␛]0;t␇␛[31m\ufffd1m\ufffdabc␀"
    asked = Opening("41", who, {"frame": ("F1",)}, alone=True)
    at_work = AtWork.open(tmp_path / "41.db", hostile(text), asked, clock)
    async with bench(tmp_path / "none", clock, size=(108, 60)) as seen:
        await seen.show(at_work)
        await only_shown(seen, f"since the morning {shown}")
        await seen.keys(" ", " ", "F1/A\r")
        await only_shown(seen, f"A burr at the lip of the hole {shown}", f"[ ] Lip deburred {shown}")
        await seen.keys("a", " ", " ")
        await only_shown(seen, f"Size marked on the ring {shown}", f"ticked: Hole wiped {shown}")
        await seen.keys("10.000\r", "10.000\r")
        await only_shown(seen, f"Bore, three places round {shown}")
        await seen.keys("10.009 10.010 10.011\r", "0.06\r")
        await only_shown(seen, f"published, an invented table 4 {shown}")
        await seen.keys("k")
        await only_shown(seen)
        await seen.keys("escape", "l")
        await only_shown(seen)
        await seen.keys("escape", "c", "no feeler\r", "t", f"{MARKUP}found\r")
        await only_shown(seen, f"{MARKUP}found")
        await seen.keys("n", f"{MARKUP}scored\r", "d", "o", f"{INSPECTOR}\r", f"{MARKUP}it is\r")
        await only_shown(seen, f"{MARKUP}it is", f"Web beside the hole {shown}")
        await seen.keys("4.01 4.02 4.03 4.04\r")
        await only_shown(seen, f"Lay the shim beside its hole {shown}")
        await seen.keys(" ", " ")
        await only_shown(seen, f"no burr left {shown}")
        await seen.keys("r", f"{MARKUP}Ben\r")
        await only_shown(seen, f"{MARKUP}Ben, look: no burr left {shown}")
        await seen.keys("v", "v", "release\r", "g")
        await only_shown(seen, f"Type your name to sign: hole marked {shown}")
        await seen.keys("escape")
        do(at_work, Sign(at_work.state.person), Suspend(f"loose {text}"))
        seen.app.screen.paint()  # type: ignore[attr-defined]
        await only_shown(seen, f"loose {shown}")


async def test_a_wait_and_the_ends_of_a_hostile_job_are_only_shown(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    at_work = a_job(tmp_path / "41.db", clock, of=hostile(MARKUP), alone=True)
    async with bench(tmp_path / "none", clock, size=(108, 60)) as seen:
        await seen.show(at_work)
        for hole in "AB":
            await seen.keys(
                f"F1/{hole}\r", "n", f"{MARKUP}scored\r", "d", "s", "Ada Fitch\r", f"{MARKUP}deep\r"
            )
            await only_shown(seen)
        await seen.keys("F1/L\r", " ", "F1/R\r", " ", "F1\r", " ", "F1/L\r", " ", "F1/R\r", " ", "job\r")
        await only_shown(seen)
        await seen.keys("g", "Ada Fitch\r", "r", "Ada Fitch\r", f"{MARKUP}frame\r", "release\r")
        await only_shown(seen, f"{MARKUP}frame", "RELEASED")


async def test_a_hostile_front_page_and_bench_are_only_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    clock = SimulatedClock(MORNING)
    made = hostile(MARKUP)
    start = OpenNew(made, "41", "Ada Fitch", True, {"frame": ("F1",)})
    async with bench(Path("jobs"), clock, start, size=(108, 60)) as seen:
        await only_shown(
            seen, f"Two pins glued into a frame that does not exist {MARKUP}", f"Gloves {MARKUP}"
        )
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / f"{MARKUP.replace('/', '')}.db").write_text("nothing")
    (tmp_path / "jobs" / "\x1b[31m.db").write_text("nothing")
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "[@click=app.quit]x.yaml").write_text("procedure: '[@click=app.quit]x'\n")
    async with bench(Path("jobs"), clock, size=(108, 60)) as seen:
        await only_shown(seen, "[@click=app.quit]x", "␛[31m")
        for _ in range(6):
            await seen.keys(" ", "escape", "down")
            await only_shown(seen)


async def test_a_very_long_page_can_be_scrolled_and_keeps_the_marked_line_in_view(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    ticks = "".join(f"          - Bolt {number} tight\n" for number in range(1, 41))
    text = TEXT.replace("          - Lip deburred\n          - Hole wiped\n", ticks)
    needs = "".join(f"  - Thing {number} is so\n" for number in range(1, 41))
    text = text.replace("  - Glue inside its date\n", needs)
    async with resumed(a_job(tmp_path / "41.db", clock, of=procedure(text), ready=False), clock) as seen:
        for number in range(1, 41):
            await seen.keys(" ")
            assert f"> [ ] Thing {number} is so" in await seen.text()
        await seen.keys(" ", "F1/A\r")
        await seen.keys("a", *(" " for _ in range(20)))
        assert "> [ ] Bolt 21 tight" in await seen.text()
        await seen.keys("pageup", "pageup", "pageup")
        assert "A burr at the lip of the hole" in await seen.text()
        await seen.keys("pagedown", "pagedown", "pagedown", "pagedown", "pagedown", "pagedown")
        assert "Bolt 40 tight" in await seen.text()


async def test_the_last_of_many_parts_can_be_marked_on_the_board(tmp_path: Path) -> None:
    clock = SimulatedClock(MORNING)
    named = [f"F{number}" for number in range(1, 13)]
    at_work = a_job(tmp_path / "41.db", clock, StartPass(("Measure", "F1/A")), named=named)
    async with resumed(at_work, clock) as seen:
        await seen.keys("p", *("pagedown" for _ in range(6)))
        assert " > F12/R" in await seen.text()
