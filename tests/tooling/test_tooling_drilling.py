"""Drills, pecks and bores."""

import pytest

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.drilling import bore_pitch, can_bore, can_drill, pecks, point_length
from cncpanel.tooling.materials import MATERIALS


def _tool(machine: Machine, name: str) -> Tool:
    return next(tool for tool in machine.tool if tool.name == name)


def test_a_drill_needs_a_spindle_that_turns_slowly_enough() -> None:
    assert can_drill(_tool(read_machine("shop-router"), "4.5 mm drill"), read_machine("shop-router"))
    desktop = read_machine("desktop-router")
    assert not can_drill(_tool(desktop, "5 mm drill"), desktop)
    assert not can_drill(_tool(desktop, "6 mm up-cut"), desktop)


def test_a_shallow_hole_needs_no_peck() -> None:
    drill = _tool(read_machine("shop-router"), "4 mm drill")
    assert pecks(12, drill) == (12,)
    assert pecks(18, drill) == pytest.approx((6, 12, 18))


def test_a_drill_point_stands_out() -> None:
    """118 degrees: 0.3 of the diameter, any drill table."""
    assert point_length(_tool(read_machine("shop-router"), "4 mm drill")) == pytest.approx(1.2, abs=0.01)


@pytest.mark.parametrize(
    ("hole", "fits"), [(6, False), (7.1, False), (7.2, True), (9, True), (11.4, True), (11.6, False), (30, False)]
)
def test_a_six_millimetre_tool_bores_these(hole: float, fits: bool) -> None:
    assert can_bore(_tool(read_machine("shop-router"), "6 mm up-cut"), hole) is fits


def test_a_tool_that_does_not_plunge_needs_a_wider_hole() -> None:
    tool = _tool(read_machine("shop-router"), "12 mm compression")
    assert [can_bore(tool, hole) for hole in (15, 18)] == [False, True]


def test_a_drill_and_a_v_bit_bore_nothing() -> None:
    shop = read_machine("shop-router")
    assert [can_bore(_tool(shop, name), 7) for name in ("4 mm drill", "60 degree v-bit")] == [False, False]


def test_the_small_screw_holes_of_thin_board_can_be_bored_on_the_desktop_machine() -> None:
    desktop = read_machine("desktop-router")
    assert [tool.name for tool in desktop.tool if can_bore(tool, 3.5) and tool.reach >= 9.6] == ["2.5 mm up-cut"]


def test_the_pitch_of_a_bore_follows_the_ramp_angle_and_never_passes_a_step() -> None:
    shop = read_machine("shop-router")
    tool = _tool(shop, "6 mm up-cut")
    mdf = MATERIALS["mdf"]
    assert bore_pitch(tool, mdf, shop, 9) == pytest.approx(3.141592653589793 * 3 * 0.087489, rel=1e-4)
    steep = shop.model_copy(
        update={"cutting": shop.cutting.model_copy(update={"ramp_deg": 20.0, "step_down_max": 0.2})}
    )
    assert bore_pitch(tool, mdf, steep, 11) == pytest.approx(1.2)
