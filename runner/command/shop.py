"""`benchhand shop`: the shop file beside the jobs, shown, changed and checked."""

from __future__ import annotations

from argparse import SUPPRESS, ArgumentParser, Namespace, _SubParsersAction
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from runner.command.out import complain, say
from runner.command.questions import NONE, Question, ask_pin, filled, has_terminal
from runner.session.clock import MachineClock, zone_here
from runner.session.faults import FINE, PROBLEMS, WRONG_COMMAND, RunnerError
from runner.session.shelf import jobs_folder
from runner.session.shop_file import judged, keep_shop, read_shop_file, shop_beside, shop_day, shop_path
from runner.shop.gauges import days_left, is_overdue
from runner.shop.model import Gauge, Master, Shop
from runner.shop.reader import MARKS
from runner.shop.writer import INSTRUMENT, MASTER, PERSON, Keys, Sheet, sheet_of
from runner.text.nearest import suggestion
from runner.text.problem import Problem

_HEAD = "shop"
_QUESTIONS: Mapping[str, tuple[Question, ...]] = {
    _HEAD: (
        Question("shop", "Name of the shop", "--title"),
        Question("zone", "Zone, such as Europe/Vienna", "--zone", must=False),
        Question("decimal mark", "Decimal mark, point or comma", "--decimal-mark"),
        Question("idle", "Time without an entry before the person lapses", "--idle", must=False),
    ),
    PERSON: (Question("roles", "Roles, commas between", "--role", several=True),),
    INSTRUMENT: (
        Question("kind", "Kind, as procedures call it", "--kind"),
        Question("reads to", "Reads to, such as 0.001 mm", "--reads-to"),
        Question("uncertainty", "Uncertainty U (k = 2) as last calibrated", "--uncertainty"),
        Question("calibrated until", "Calibrated until, such as 2031-06-30", "--until"),
        Question("expansion", "Expansion of its metal, such as 11.5 um/m/K", "--expansion", must=False),
    ),
    MASTER: (
        Question("size", "Size, such as 45.000 mm", "--size"),
        Question("uncertainty", "Uncertainty U (k = 2) as last calibrated", "--uncertainty"),
        Question("calibrated until", "Calibrated until, such as 2031-06-30", "--until"),
    ),
}
_NAMES = {PERSON: ("NAME", "as they sign"), INSTRUMENT: ("ID", "as engraved"), MASTER: ("ID", "as engraved")}
_VERBS = """
shop person NAME        somebody who works here: roles, and a PIN that is asked and not shown
shop instrument ID      a gauge by the id engraved on it
shop master ID          a setting ring, block or standard
shop set                name of the shop, zone, decimal mark, idle time
shop check              every problem of the file, where it was written by hand
"""


def add(verbs: _SubParsersAction[Any]) -> None:
    parser = verbs.add_parser(
        "shop",
        help="the shop file: people, instruments, masters",
        description="Alone it shows the shop. A PIN identifies; it does not protect: whoever can write the folder can change the file.",
    )
    parser.set_defaults(run=show)
    inner = parser.add_subparsers(title="verbs", metavar="VERB")
    for what in (PERSON, INSTRUMENT, MASTER):
        one = inner.add_parser(what, help=f"add, change or take away one {what}")
        metavar, words = _NAMES[what]
        one.add_argument("name", metavar=metavar, help=words)
        _add_options(one, what)
        one.add_argument("--gone", action="store_true", help="take it out of the file; records keep the name")
        one.set_defaults(run=change, what=what)
    pin = inner.choices[PERSON].add_mutually_exclusive_group()
    pin.add_argument("--pin", action="store_true", help="ask for a new PIN, on the terminal only")
    pin.add_argument("--no-pin", action="store_true", help="keep none")
    head = inner.add_parser("set", help="name of the shop, zone, decimal mark, idle time")
    _add_options(head, _HEAD)
    head.set_defaults(run=change_head)
    inner.add_parser("check", help="look for problems in the shop file").set_defaults(run=check)
    for one in inner.choices.values():
        one.add_argument("--jobs", metavar="FOLDER", default=SUPPRESS, help="where jobs are kept")


def _add_options(parser: ArgumentParser, what: str) -> None:
    for question in _QUESTIONS[what]:
        action = "append" if question.several else "store"
        extra = "" if question.must else "; none takes it away"
        parser.add_argument(
            question.option, dest=question.key, action=action, metavar="…", help=question.words + extra
        )


def _said(asked: Namespace, what: str) -> Keys:
    """What the options said, by the key of the file; blanks single, and nothing for what is to be taken away."""
    said: dict[str, str | tuple[str, ...]] = {}
    for question in _QUESTIONS[what]:
        given = getattr(asked, question.key)
        if isinstance(given, list):
            said[question.key] = tuple(" ".join(one.split()) for one in given)
        elif given is not None:
            said[question.key] = "" if given == NONE and not question.must else " ".join(given.split())
    return said


# changes


def change(asked: Namespace) -> int:
    """One person, instrument or master added, changed or taken away."""
    folder, what, name = jobs_folder(asked.jobs), asked.what, " ".join(asked.name.split())
    if not name:
        raise RunnerError(f"{_NAMES[what][0]} says nothing", f"write it {_NAMES[what][1]}", WRONG_COMMAND)
    before = shop_beside(folder)
    sheet = sheet_of(before)
    if asked.gone:
        if _said(asked, what) or getattr(asked, "pin", False) or getattr(asked, "no_pin", False):
            raise RunnerError("--gone goes with nothing else", "say one of the two", WRONG_COMMAND)
        return _keep(folder, before, _without(sheet, what, name), f"{name} is no longer in the shop file")
    if not before.title:
        sheet = _first(folder, sheet)
    old, said = sheet.item(what, name), _said(asked, what)
    pin_said = what == PERSON and (asked.pin or asked.no_pin)
    asks = old is None or not (said or pin_said)
    asks_pin = what == PERSON and not asked.no_pin and (asks or asked.pin)
    if asks_pin and not has_terminal():
        fix = "add --no-pin, or run it on a terminal"
        raise RunnerError("a PIN is asked for on a terminal only, and this is none", fix, WRONG_COMMAND)

    def judge(keys: Keys) -> list[Problem]:
        return judged(sheet.put(what, keys), folder)[1]

    now = old or {what: name}
    if problems := [one for one in judge({**now, **said}) if one.kind != "missing-key"]:
        return _refuse(problems)
    now = filled(now, said, _QUESTIONS[what], judge, asks=asks)
    if asks_pin or pin_said:
        now = {**now, "pin": "" if asked.no_pin else ask_pin(str(now[what]))}
    return _keep(folder, before, sheet.put(what, now), f"{now[what]} is in the shop file")


def _without(sheet: Sheet, what: str, name: str) -> Sheet:
    if sheet.item(what, name) is None:
        known = [str(one[what]) for one in sheet.items[what]]
        raise RunnerError(f"no {what} is called '{name}'", suggestion(name, known), WRONG_COMMAND)
    return sheet.without(what, name)


def _first(folder: Path, sheet: Sheet) -> Sheet:
    """The sheet of a shop that has no file yet, once its name is known."""
    if not has_terminal():
        raise RunnerError(
            "the shop has no name yet", "`benchhand shop set --title …` gives it one", WRONG_COMMAND
        )
    return _with_head(folder, sheet, {}, asks=True)


def change_head(asked: Namespace) -> int:
    """What the file says of the shop itself."""
    folder, said = jobs_folder(asked.jobs), _said(asked, _HEAD)
    before = shop_beside(folder)
    sheet = _with_head(folder, sheet_of(before), said, asks=not (before.title and said))
    return _keep(folder, before, sheet, f"kept in {shop_path(folder)}")


def _with_head(folder: Path, sheet: Sheet, said: Keys, *, asks: bool) -> Sheet:
    def judge(keys: Keys) -> list[Problem]:
        return judged(Sheet(keys, sheet.items), folder)[1]

    return Sheet(filled(sheet.head, said, _QUESTIONS[_HEAD], judge, asks=asks), sheet.items)


def _keep(folder: Path, before: Shop, sheet: Sheet, done: str) -> int:
    shop, problems = judged(sheet, folder)
    if shop is None:
        return _refuse(problems)
    keep_shop(folder, shop, instead_of=before)
    say(done)
    return FINE


def _refuse(problems: list[Problem]) -> int:
    for problem in problems:
        complain(problem.what, problem.fix)
    return WRONG_COMMAND


# looking


def show(asked: Namespace) -> int:
    """The shop as its file says it, and what can be done with it."""
    folder = jobs_folder(asked.jobs)
    shop = shop_beside(folder)
    if not shop.title:
        say(f"there is no shop file in {folder.absolute()} yet; the first of these makes it")
    else:
        _tell(shop, shop_day(shop, MachineClock().now()))
    say(_VERBS.rstrip("\n"))
    return FINE


def _tell(shop: Shop, day: date) -> None:
    mark = next(word for word, mark in MARKS.items() if mark == shop.decimal_mark)
    zone = shop.zone or f"{zone_here()}, this machine's"
    lapses = f"after {shop.idle.typed} without an entry" if shop.idle else "never"
    say(f"{shop.title}\n  zone {zone} · decimal {mark} · the person shown lapses {lapses}")
    _tell_rows(
        "people",
        [(one.name, ", ".join(one.roles), "PIN" if one.pin else "no PIN") for one in shop.people],
    )
    _tell_rows(
        "instruments",
        [
            (
                one.id,
                one.kind,
                f"reads to {one.reads_to.typed}",
                f"± {one.uncertainty.typed}",
                _calibration(one, day),
            )
            for one in shop.gauges
        ],
    )
    _tell_rows(
        "masters",
        [
            (one.id, one.size.typed, f"± {one.uncertainty.typed}", _calibration(one, day))
            for one in shop.masters
        ],
    )


def _tell_rows(title: str, rows: list[tuple[str, ...]]) -> None:
    say(f"\n{title}" if rows else f"\n{title}: none yet")
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))] if rows else []
    for row in rows:
        say("  " + "   ".join(f"{text:<{width}}" for text, width in zip(row, widths, strict=True)).rstrip())


def _calibration(thing: Gauge | Master, day: date) -> str:
    """How long a calibration holds yet; one that doesn't has its word and its glyph."""
    if is_overdue(thing, day):
        return f"✗ OVERDUE, calibrated until {thing.calibrated_until.isoformat()}"
    left = days_left(thing, day)
    return {0: "! today is its last day", 1: "✓ 1 day left"}.get(left, f"✓ {left} days left")


def check(asked: Namespace) -> int:
    """Every problem of the file, as `benchhand check` tells those of procedures."""
    folder = jobs_folder(asked.jobs)
    read = read_shop_file(folder)
    if read is None:
        raise RunnerError(f"there is no shop file in {folder}", "`benchhand shop set` makes one", PROBLEMS)
    if read.shop is None:
        say(f"{read.report}\n")
        say(f"{read.path}: {len(read.problems)} {'problem' if len(read.problems) == 1 else 'problems'}")
        return PROBLEMS
    shop = read.shop
    counts = f"people: {len(shop.people)}, instruments: {len(shop.gauges)}, masters: {len(shop.masters)}"
    say(f"{read.path}: no problem; {counts}")
    return FINE
