"""Speeds, feeds and forces against a worked example (B); what cleans up and what is left against points on circles."""

from __future__ import annotations

import math

import pytest

from tests.published.both_ways import CALCULATIONS

work = {name: calculation.work for name, calculation in CALCULATIONS.items()}

INCH, POUND, HORSEPOWER = 0.0254, 4.4482216152605, 745.69987158


def test_the_turned_bar_of_the_textbook_is_met() -> None:
    # Manufacturing Engineering and Technology, example 22.1, p. 600: 0.5 to 0.48 in, 400 rpm, 8 in/min, 6 in:
    # 628 in/min, 0.123 in3/min, 0.75 min; unit power 4 W s/mm3 or 4/2.73 hp min/in3: 116 lb (B; book prints 118, C)
    speed = work["surface_speed"](0.5 * INCH, 400 / 60)
    assert speed / INCH * 60 == pytest.approx(628, abs=0.5)
    feed = 8 * INCH / 60
    assert work["feed_speed_of_turn"](0.02 * INCH, 400 / 60) == pytest.approx(feed)
    assert work["time_to_cut"](6 * INCH, feed) / 60 == pytest.approx(0.75)
    removal = work["turning_removal"](0.5 * INCH, 0.48 * INCH, feed)
    assert removal / INCH**3 * 60 == pytest.approx(0.123, abs=5e-4)
    power = work["cutting_power"](4 / 2.73 * HORSEPOWER * 60 / INCH**3, removal)
    mean_speed = work["surface_speed"](0.49 * INCH, 400 / 60)
    assert work["cutting_force"](power, mean_speed) / POUND == pytest.approx(116, abs=0.7)
    assert work["spindle_speed_for"](0.5 * INCH, speed) * 60 == pytest.approx(400)


def test_a_second_of_milling_takes_what_the_cutter_has_gone_over() -> None:
    # conservation: 4 teeth of 0.03 mm at 2000 rpm go 4 mm in a second; 60 mm wide, 0.1 deep is 24 mm3
    feed = work["feed_speed_of_teeth"](0.03e-3, 4.0, 2000 / 60)
    assert feed * 1e3 == pytest.approx(4.0)
    assert work["milling_removal"](60e-3, 0.1e-3, feed) * 1e9 == pytest.approx(24.0)


def test_the_notes_old_bore_cleans_up_at_42_14() -> None:
    # the shop's notes (D): largest 42.06, 0.04 off the guide
    assert work["clean_up_of_round"](42.06e-3, 0.04e-3) * 1e3 == pytest.approx(42.14)


@pytest.mark.parametrize(("mean", "oval", "off"), [(42.0, 0.06, 0.05), (50.0, 0.5, 0.3), (42.0, 0.0, 0.04)])
def test_the_clean_up_diameter_just_holds_an_oval_off_its_axis(mean: float, oval: float, off: float) -> None:
    long, short = (mean + oval / 2) / 2, (mean - oval / 2) / 2
    turns = [2 * math.pi * n / 3600 for n in range(3600)]
    worst = max(
        math.hypot(long * math.cos(t) + off * math.cos(way), short * math.sin(t) + off * math.sin(way))
        for way in (0.0, 0.5, math.pi / 2)
        for t in turns
    )
    mm = 1e-3
    assert work["clean_up_of_oval"](mean * mm, oval * mm, off * mm) / mm == pytest.approx(2 * worst, rel=1e-9)
    assert work["clean_up_of_round"](2 * long * mm, off * mm) / mm == pytest.approx(2 * worst, rel=1e-9)


def test_the_thinned_wall_is_nowhere_thinner_than_said() -> None:
    # the tool's edge goes round on R + tool / 2 + runout / 2, off by e; the ring's outside is an oval
    od, wall, tool, e, runout, oval = 42.5, 0.15, 12.0, 0.03, 0.02, 0.04
    mm = 1e-3
    path = work["thinning_path_radius"](od * mm, wall * mm, tool * mm) / mm
    edge = path + tool / 2 + runout / 2
    turns = [2 * math.pi * n / 3600 for n in range(3600)]
    left = []
    for t in turns:
        inside = math.hypot(edge * math.cos(t), edge * math.sin(t) + e)
        way = math.atan2(edge * math.sin(t) + e, edge * math.cos(t))
        outside = od / 2 - oval / 4 * -math.cos(2 * way)  # short across the direction the tool is off
        left.append(outside - inside)
    said = work["true_thinned_wall"](wall * mm, e * mm, runout * mm, oval * mm) / mm
    assert said == pytest.approx(min(left), abs=2e-6)
    set_to = work["wall_to_set"](said * mm, e * mm, runout * mm, oval * mm) / mm
    assert set_to == pytest.approx(wall)


def test_the_depth_stop_of_the_notes_leaves_0_3_of_8() -> None:
    # the shop's notes (common practice, no source): 7.7 of 8
    assert work["thinning_depth_stop"](8e-3, 0.2e-3, 0.1e-3) * 1e3 == pytest.approx(7.7)


@pytest.mark.parametrize("needed", [-0.1, 0.0, 0.01, 0.25, 0.2500001, 0.26, 0.5, 0.74, 0.75, 1.01])
def test_the_ladder_is_climbed_one_step_after_another(needed: float) -> None:
    steps = 0
    while steps * 0.25 < needed - 0.25e-6:
        steps += 1
    assert work["steps_to_oversize"](needed * 1e-3, 0.25e-3) == steps


def test_the_notes_insert_is_the_standard_42_51() -> None:
    # the shop's notes (D): clean-up 42.14, 0.02 to take, 0.15 tight; a 42.51 insert does, a 42.26 one doesn't
    assert work["steps_to_insert"](42.14e-3, 0.02e-3, 0.15e-3, 42.51e-3, 0.25e-3) == 0
    assert work["steps_to_insert"](42.14e-3, 0.02e-3, 0.15e-3, 42.26e-3, 0.25e-3) == 1


def test_walls_and_bridges_are_the_least_distance_of_two_circles() -> None:
    turns = [2 * math.pi * n / 3600 for n in range(3600)]
    least = min(21.25 - math.hypot(18.25 * math.cos(t) + 0.05, 18.25 * math.sin(t)) for t in turns)
    assert work["thinnest_wall"](42.5e-3, 36.5e-3, 0.05e-3) * 1e3 == pytest.approx(least)
    apart = min(math.hypot(49 - 25.175 * math.cos(t), 25.175 * math.sin(t)) - 21.18 for t in turns)
    assert work["bridge_between"](49e-3, 50.35e-3, 42.36e-3) * 1e3 == pytest.approx(apart)


def test_a_tool_that_always_bores_small_by_the_same_is_brought_to_size_in_one_setting() -> None:
    small_by = 8e-6
    setting = work["setting_from_last"](42.26e-3, 42.26e-3 - small_by, 42.36e-3)
    assert setting - small_by == pytest.approx(42.36e-3, rel=1e-12)
