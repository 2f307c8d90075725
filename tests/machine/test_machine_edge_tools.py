"""Form tools' values among themselves: each contradiction at its own key."""

import pytest
from pydantic import ValidationError

from cncpanel.machine.contradiction import contradictions
from cncpanel.machine.tool import Tool

ROUND_OVER = {
    "number": 1,
    "name": "r",
    "kind": "round-over",
    "diameter": 16,
    "flutes": 2,
    "cutting_length": 20,
    "stick_out": 30,
    "nut_diameter": 30,
    "shank_diameter": 8,
    "plunges": False,
    "rpm_max": 22000,
    "profile_radius": 6,
    "tip_radius": 2,
}


def told(**changes: object) -> list[tuple[str, str]]:
    with pytest.raises(ValidationError) as raised:
        Tool.model_validate(ROUND_OVER | changes)
    return [(str(one.key[-1]), one.text) for one in contradictions(raised.value)]


def test_flutes_shorter_than_radius_and_what_is_under_it() -> None:
    text = "7 mm from the tip is less than the radius and what is under it"
    assert told(cutting_length=7, tip_length=2) == [("cutting_length", text)]


def test_a_bearing_is_given_whole_and_never_presses_on_the_wall() -> None:
    assert told(pilot_diameter=4) == [("pilot_length", "missing")]
    text = "the bearing is wider than the small end, 4 mm: it would press on the finished wall"
    assert told(pilot_diameter=9, pilot_length=8) == [("pilot_diameter", text)]


def test_other_tools_have_neither_bearing_nor_straight_part() -> None:
    flat = {"kind": "up-cut", "diameter": 6, "profile_radius": None, "tip_radius": None}
    assert told(**flat, pilot_length=5, pilot_diameter=4, tip_length=1) == [
        ("pilot_diameter", "up-cut tools have none"),
        ("pilot_length", "up-cut tools have none"),
        ("tip_length", "up-cut tools have none"),
    ]
