"""Steps: equal, few, within every limit."""

import pytest

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.materials import MATERIALS
from cncpanel.tooling.step_down import compression_suits, step_downs
from cncpanel.tooling.step_limit import step_limit

MDF, ACRYLIC = MATERIALS["mdf"], MATERIALS["acrylic"]


def _tool(machine: Machine, number: int) -> Tool:
    return next(tool for tool in machine.tool if tool.number == number)


@pytest.fixture
def shop() -> Machine:
    """Steps of one diameter."""
    return read_machine("shop-router")


def test_a_stiff_machine_goes_a_diameter_deep_in_equal_steps(shop: Machine) -> None:
    assert step_downs(18.6, _tool(shop, 1), MDF, shop, "profile") == pytest.approx((4.65, 9.3, 13.95, 18.6))
    assert step_downs(18.0, _tool(shop, 1), MDF, shop, "profile") == pytest.approx((6, 12, 18))


def test_a_weak_machine_goes_half_a_diameter_deep() -> None:
    desktop = read_machine("desktop-router")
    assert step_downs(9.0, _tool(desktop, 1), MDF, desktop, "slot") == pytest.approx((3, 6, 9))


def test_a_shallow_recess_is_one_step(shop: Machine) -> None:
    assert step_downs(5, _tool(shop, 1), MDF, shop, "clear") == (5,)


def test_a_finish_pass_is_one_step(shop: Machine) -> None:
    assert step_downs(18.6, _tool(shop, 1), MDF, shop, "finish") == (18.6,)


def test_acrylic_takes_half_steps(shop: Machine) -> None:
    limit = step_limit(_tool(shop, 1), ACRYLIC, shop, "profile")
    assert (limit.depth, limit.rule) == (3, "0.5 x D in acrylic, common practice")


def test_the_rule_that_holds_is_named(shop: Machine) -> None:
    assert step_limit(_tool(shop, 1), MDF, shop, "slot").rule == "1 x D, the machine file's step_down_max"
    assert step_limit(_tool(shop, 5), MDF, shop, "mark").rule == "a v-bit's point, common practice"


def test_weak_tools_take_more_steps_until_the_chip_is_thick_enough(shop: Machine) -> None:
    """So long that a full step at the table's chip would bend it too far."""
    long = _tool(shop, 1).model_copy(update={"stick_out": 75.0, "cutting_length": 70.0})
    usual = step_downs(18, _tool(shop, 1), MDF, shop, "slot")
    assert len(step_downs(18, long, MDF, shop, "slot")) > len(usual)


def test_a_weak_spindle_takes_more_steps(shop: Machine) -> None:
    weak = shop.model_copy(update={"spindle": shop.spindle.model_copy(update={"power": 50.0})})
    assert len(step_downs(18, _tool(shop, 1), MDF, weak, "slot")) > 3


def test_a_compression_tool_first_goes_below_its_up_cut_part(shop: Machine) -> None:
    tool = _tool(shop, 4).model_copy(update={"up_cut_length": 12.0})
    depths = step_downs(18.5, tool, MDF, shop, "profile")
    assert depths == pytest.approx((12.5, 18.5))
    assert step_downs(10, tool, MDF, shop, "profile") == (10,)


def test_a_compression_tool_suits_only_depths_beyond_its_up_cut_part(shop: Machine) -> None:
    assert compression_suits(_tool(shop, 4), 18)
    assert not compression_suits(_tool(shop, 4), 6)
    assert compression_suits(_tool(shop, 1), 1)
