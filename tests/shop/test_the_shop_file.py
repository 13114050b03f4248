"""What a shop file says, what is wrong with one, and that a written one reads back the same."""

from __future__ import annotations

import hashlib
import re
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.procedure.items import MOST_PROBLEMS
from runner.quantities.quantity import Quantity, parse_quantity
from runner.shop.gauges import days_left, is_overdue
from runner.shop.model import NO_SHOP, Gauge, Master, Person, Shop
from runner.shop.people import is_name, is_shared
from runner.shop.reader import read_shop
from runner.shop.writer import MASTER, PERSON, sheet_of, sheet_text, shop_text
from runner.text.foreign import has_unprintable
from tests.shop.a_shop import KEPT, PIN, TEXT, a_shop

# reading


def test_a_shop_file_is_read_as_it_is_written() -> None:
    shop = a_shop()
    assert (shop.title, shop.zone, shop.decimal_mark) == ("Heads that do not exist", "Europe/Vienna", ",")
    assert shop.lapses_after == timedelta(minutes=20)
    assert shop.people == (
        Person("Ada Fitch", ("fitter",), KEPT),
        Person("Ben Stone", ("fitter", "inspector")),
    )
    gauge = shop.gauges[0]
    assert (gauge.id, gauge.kind, gauge.calibrated_until) == ("BG-1", "bore gauge", date(2031, 6, 30))
    assert (gauge.reads_to.si, gauge.uncertainty.typed) == (Fraction(1, 10**6), "0.003 mm")
    assert gauge.expansion and gauge.expansion.si == Fraction(115, 10**7)
    assert shop.masters[0].size.typed == "45.000 mm"
    assert shop.text == TEXT and shop.sha256 == hashlib.sha256(TEXT.encode()).hexdigest()


def test_a_shop_needs_no_more_than_its_name() -> None:
    shop = a_shop("shop: Small\n")
    assert (shop.zone, shop.decimal_mark, shop.idle, shop.lapses_after) == ("", ".", None, None)
    assert not shop.people and not shop.gauges and not shop.masters


def test_no_shop_knows_nobody_and_has_no_hash() -> None:
    assert NO_SHOP.person("Ada Fitch") is None and NO_SHOP.gauge("BG-1") is None and NO_SHOP.sha256 == ""


def test_people_and_gauges_are_found_however_they_are_typed() -> None:
    shop = a_shop()
    assert shop.person(" ada  FITCH ") is shop.people[0] and shop.person("Ada Finch") is None
    assert shop.gauge("bg-1") is shop.gauges[0] and shop.gauge("R45") is None
    assert shop.master("r45") is shop.masters[0]
    assert shop.of_kind("Bore  gauge") == (shop.gauges[0],) and shop.of_kind("micrometer") == ()


def test_a_calibration_holds_through_the_whole_of_its_last_day() -> None:
    gauge, master = a_shop().gauges[1], a_shop().masters[0]
    assert not is_overdue(gauge, date(2031, 1, 31)) and days_left(gauge, date(2031, 1, 31)) == 0
    assert is_overdue(gauge, date(2031, 2, 1)) and days_left(gauge, date(2031, 2, 1)) == -1
    assert not is_overdue(master, date(2031, 2, 1)) and days_left(master, date(2031, 6, 29)) == 1


# wrong files

WRONG = [
    ("shop: Heads that do not exist", "shop:", "empty", "'shop' says nothing"),
    ("shop: Heads that do not exist", "shopp: Heads", "unknown-key", "'shopp' is not a key of a shop file"),
    ("zone: Europe/Vienna", "zone: Europe/Atlantis", "unknown-zone", "no zone is called 'Europe/Atlantis'"),
    ("decimal mark: comma", "decimal mark: ','", "not-an-option", "',' is none of: point, comma"),
    ("idle: 20 min", "idle: 20", "unit-missing", "20 of what?"),
    ("idle: 20 min", "idle: 20 mm", "kinds", "20 mm is a length, and 'idle' takes a time"),
    ("idle: 20 min", "idle: 5 s", "bad-time", "5 s is too short"),
    ("idle: 20 min", "idle: 20 h", "bad-time", "20 h is too long"),
    ("person: Ada Fitch", "person: 417", "bad-name", "'417' is no name"),
    ("person: Ada Fitch", "person: " + "Ada " * 12, "too-long", "a name of 47 characters"),
    ("person: Ada Fitch", "person: The Shop", "shared-name", "'The Shop' would sign for many"),
    ("person: Ada Fitch", "person: Everybody", "shared-name", "'Everybody' would sign for many"),
    ("person: Ada Fitch", "person: Fitter", "shared-name", "'Fitter' is a role"),
    (
        "person: Ada Fitch",
        "person: ben  STONE",
        "said-twice",
        "'Ben Stone' is here twice; the first is on line 7",
    ),
    ("roles: [fitter]", "roles: []", "empty", "'roles' says nothing"),
    ("roles: [fitter]", "", "missing-key", "this person does not say 'roles'"),
    ("roles: [fitter]", "roles: [Fitter]", "bad-name", "'Fitter' can't be a role"),
    ("roles: [fitter]", "roles: [head of the shop]", "bad-name", "'head of the shop' can't be a role"),
    ("roles: [fitter]", "roles: [fitter, fitter]", "said-twice", "the role 'fitter' is given twice"),
    (f"pin: {KEPT}", f"pin: {PIN}", "bad-pin", "a PIN itself never stands in a file"),
    (f"pin: {KEPT}", f"pin: {KEPT[:-1]}", "bad-pin", "a PIN itself never stands in a file"),
    (f"pin: {KEPT}", f"pin: {KEPT.replace('16384', '1073741824')}", "bad-pin", "a PIN itself never"),
    ("instrument: BG-1", "instrument: bore gauge no. 1", "bad-name", "'bore gauge no. 1' can't be an id"),
    (
        "instrument: BG-1",
        "instrument: r45",
        "said-twice",
        "two things are called 'R45'; the first is on line 14",
    ),
    (
        "instrument: BG-1",
        "instrument: p.2",
        "said-twice",
        "two things are called 'P.2'; the first is on line 14",
    ),
    ("    kind: bore gauge\n", "", "missing-key", "this instrument does not say 'kind'"),
    ("reads to: 0.001 mm", "reads to: 0,001 mm", "decimal-comma", "a comma in a number"),
    ("reads to: 0.001 mm", "reads to: 0 mm", "bad-number", "'reads to' of nil or less"),
    ("reads to: 0.001 mm", "reads to: 1 K", "kinds", "it reads a difference of two temperatures"),
    ("uncertainty: 1 K", "uncertainty: 1 degC", "kinds", "its uncertainty is a temperature"),
    ("expansion: 11.5 um/m/K", "expansion: 11.5 um", "kinds", "'expansion' takes an expansion per kelvin"),
    ("expansion: 11.5 um/m/K", "expansion: 0 um/m/K", "bad-number", "'expansion' of nil or less"),
    ("calibrated until: 2031-01-31", "calibrated until: 31.01.2031", "bad-date", "'31.01.2031' is not a day"),
    ("calibrated until: 2031-01-31", "calibrated until: 2031-02-29", "bad-date", "'2031-02-29' is not a day"),
    ("calibrated until: 2031-01-31", "calibrated until: 20310131", "bad-date", "'20310131' is not a day"),
    ("size: 45.000 mm", "size: 45.000", "unit-missing", "45.000 of what?"),
    ("size: 45.000 mm", "size: 0 mm", "bad-number", "a size of nil or less"),
    ("size: 45.000 mm", "size: 45 kg", "kinds", "the value is a mass, and its uncertainty is a length"),
]


@pytest.mark.parametrize(
    ("right", "wrong", "kind", "what"), WRONG, ids=[f"{one[2]}: {one[1]}" for one in WRONG]
)
def test_each_mistake_is_told_once_on_its_line(right: str, wrong: str, kind: str, what: str) -> None:
    assert right in TEXT
    text = TEXT.replace(right, wrong, 1)
    shop, problems = read_shop(text, "shop.yaml", lambda name: name == "Europe/Vienna")
    assert shop is None
    assert [problem.kind for problem in problems] == [kind], problems
    [told] = problems
    assert what in told.what and told.fix
    assert not re.search(r"error|invalid|please|\.$", told.what + told.fix, re.IGNORECASE)
    changed = [
        number
        for number, (one, two) in enumerate(zip(text.split("\n"), TEXT.split("\n"), strict=False), 1)
        if one != two
    ]
    assert told.kind in ("missing-key", "said-twice", "empty", "kinds") or told.place.line == changed[0]


def test_every_mistake_of_a_file_is_told_at_once() -> None:
    text = TEXT
    wrong = [one for one in WRONG if one[0] in ("idle: 20 min", "roles: [fitter]", "size: 45.000 mm")]
    for right, bad in {right: bad for right, bad, _, _ in wrong}.items():
        text = text.replace(right, bad, 1)
    shop, problems = read_shop(text, "shop.yaml")
    assert shop is None and [problem.kind for problem in problems] == ["bad-time", "said-twice", "kinds"]


def test_a_message_about_a_pin_never_repeats_it() -> None:
    _, problems = read_shop(TEXT.replace(KEPT, PIN), "shop.yaml")
    assert problems and all(PIN not in problem.what + problem.fix for problem in problems)


@pytest.mark.parametrize(
    "text", ["", "- shop: Small\n", "shop\n", "shop: [a\n", "shop: Small\nshop: Big\n", "\tshop: x\n"]
)
def test_what_is_no_shop_file_is_told_and_not_read(text: str) -> None:
    shop, problems = read_shop(text, "shop.yaml")
    assert shop is None and len(problems) == 1
    assert "procedure" not in problems[0].what


def test_a_file_of_nothing_but_mistakes_ends_soon() -> None:
    text = "shop: Small\npeople:\n" + "  - person: shop\n" * 5000
    shop, problems = read_shop(text, "shop.yaml")
    assert shop is None and len(problems) == MOST_PROBLEMS


# writing


def _quantity(text: str) -> Quantity:
    found = parse_quantity(text)
    assert isinstance(found, Quantity)
    return found


def _is_plain(text: str) -> bool:
    return text == " ".join(text.split()) and bool(text) and not has_unprintable(text)


texts = st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=30).filter(
    _is_plain
)
names = texts.filter(lambda name: is_name(name) and not is_shared(name))
roles = st.lists(
    st.from_regex(r"[a-zäöü]{2,9}([ -][a-z]{2,9})?", fullmatch=True), min_size=1, max_size=3, unique=True
)
ids = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._-]{0,11}", fullmatch=True)
sizes = st.integers(1, 10**6).map(lambda steps: _quantity(f"{steps / 1000:.3f} mm"))
days = st.dates()
people = st.builds(Person, names, roles.map(tuple), st.sampled_from(["", KEPT]))
gauges = st.builds(Gauge, ids, texts, sizes, sizes, days, st.sampled_from([None, _quantity("11.5 um/m/K")]))
masters = st.builds(Master, ids, sizes, sizes, days)
shops = st.builds(
    Shop,
    title=texts,
    zone=st.sampled_from(["", "Europe/Vienna", "UTC+01:00"]),
    decimal_mark=st.sampled_from([".", ","]),
    idle=st.sampled_from([None, _quantity("20 min"), _quantity("1 h 30 min")]),
    people=st.lists(people, max_size=2).map(tuple),
    gauges=st.lists(gauges, max_size=2).map(tuple),
    masters=st.lists(masters, max_size=2).map(tuple),
)


@given(shops)
def test_what_is_written_reads_back_the_same(shop: Shop) -> None:
    back, problems = read_shop(shop_text(shop), "shop.yaml")
    if {problem.kind for problem in problems} & {"said-twice", "shared-name"}:
        return  # two of one name, or one called like a role: no shop that a file could tell of
    assert back == shop, problems
    assert shop_text(back) == back.text


@pytest.mark.parametrize(
    "title",
    ["yes", "12:30", "0.050", "A & B: heads # and seats", 'it\'s "ours"', "- x", "[x]", "@", "Weiß, K."],
)
def test_a_name_that_yaml_could_misread_stays_what_was_typed(title: str) -> None:
    assert a_shop(shop_text(Shop(title=title))).title == title


def test_a_change_on_the_sheet_takes_the_place_of_what_was_called_the_same() -> None:
    sheet = sheet_of(a_shop())
    changed = sheet.put(PERSON, {"person": "ADA FITCH", "roles": ("inspector",)})
    changed = changed.put(MASTER, {**(sheet.item(MASTER, "r45") or {}), "master": "R46"})
    shop = a_shop(sheet_text(changed))
    assert [person.name for person in shop.people] == ["ADA FITCH", "Ben Stone"]
    assert [master.id for master in shop.masters] == ["R45", "R46"]
    assert [one.id for one in a_shop(sheet_text(changed.without(MASTER, "R45"))).masters] == ["R46"]
