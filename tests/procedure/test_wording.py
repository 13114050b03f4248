"""Orders and what isn't one, one act and two: told only where plain English makes it sure."""

from __future__ import annotations

import pytest

from runner.procedure.wording import second_act, why_no_order

ORDERS = [
    "Clamp the head, guide in line with the spindle",
    "Write head and seat on the bag",
    "Lay the insert beside the micrometer standard until both are even",
    "Let the cutter turn five turns on the floor without feed",
    "Cut in steps towards gauge_stop and depth_stop",
    "Wash and dry the insert",
    "Practise the drop-in with everything cold",
    "Bore to nearly full depth",
    "Seat the insert",
    "Torque the bolts crosswise, in three rounds",
    "With the lid shut, lay the tray in",
    "If it chatters, stop the spindle",
    "Guide pins in by hand",
    "Bring head and barrel together",
    "Feed by hand until the chips run even",
    "Wear insulated gloves and goggles",
    "Use cleaned rags",
    "Spring the ring open no wider than the groove",
    "Head to the oven",
    "Chock the wheel",
    "Lapp the face",
    "Set it",
    "Look",
    "Wash the bridge and let it dry",
    "Set the head on the fire brick and leave it alone",
    "Screw nut and washer on",
    "Heat to 200 degC and no more",
    "Put plug and gasket back",
    "Ölstein nass machen",
    "Rotate until pin and hole line up",
]


@pytest.mark.parametrize("text", ORDERS)
def test_an_order_to_do_one_thing_is_left_alone(text: str) -> None:
    assert why_no_order(text) == ""
    assert second_act(text) is None


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("Clean the hole and measure the pin", "measure"),
        ("Set the stop, and then lock it", "lock"),
        ("Take the pilot out; wash and dry the pocket", "wash"),
        ("Lock the pilot. Turn the head over", "Turn"),
        ("Open the valve, close the drain", "close"),
        ("Loosen and remove the pin", "remove"),
        ("Oil the thread and carefully tighten the nut", "tighten"),
    ],
)
def test_a_second_act_is_found_where_it_begins(text: str, second: str) -> None:
    found = second_act(text)
    assert found is not None and text[found:].startswith(second)


@pytest.mark.parametrize(
    "text",
    [
        "The guides are fitted",
        "Fitting the guide",
        "Cooled overnight",
        "Guides fitted",
        "Spindle stopped",
        "It is cold",
    ],
)
def test_a_state_is_no_order(text: str) -> None:
    assert why_no_order(text)
