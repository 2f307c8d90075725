"""Chip thickness, speeds, forces and deflection against worked examples.

Sources: Helical Solutions "Common Milling Calculations"; Ingersoll 2011 catalogue p. 451; woodmagazine.com "speed";
Mitsubishi Materials tool courses; Dijet 2018 p. 551. Numbers said to be recomputed are arithmetic with those formulas.
"""

from math import pi, sqrt

import pytest

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.chip import max_chip, mean_chip, thinning_factor
from cncpanel.tooling.cut import Cut
from cncpanel.tooling.feeds import CuttingData, cutting_data
from cncpanel.tooling.force import cutting_power, deflection, tangential_force, tool_deflection
from cncpanel.tooling.materials import MATERIALS
from cncpanel.tooling.spindle_speed import peripheral_speed_m_s

INCH = 25.4
MPH = 0.44704  # m/s


def _tool(diameter: float, flutes: int = 2, **others: float) -> Tool:
    given: dict[str, object] = {
        "number": 1,
        "name": "tool",
        "kind": "up-cut",
        "diameter": diameter,
        "flutes": flutes,
        "cutting_length": 38,
        "stick_out": 38,
        "nut_diameter": 30,
        "shank_diameter": diameter,
        "plunges": True,
        "rpm_max": 24000,
        **others,
    }
    return Tool.model_validate(given)


def _machine(rpm: float, feed: float) -> Machine:
    """The nesting router with one speed and one highest feed, so that a printed example rules both."""
    machine = read_machine("nesting-router")
    spindle = machine.spindle.model_copy(update={"rpm_min": rpm, "rpm_max": rpm, "rpm_rated": None})
    return machine.model_copy(
        update={"spindle": spindle, "motion": machine.motion.model_copy(update={"feed_xy_max": feed})}
    )


def _at(ipm: float, rpm: float, flutes: int) -> CuttingData:
    """A full cut of a 1/2 in tool in MDF whose feed the machine limits to `ipm`."""
    tool = _tool(12.7, flutes)
    return cutting_data(tool, MATERIALS["mdf"], _machine(rpm, ipm * INCH), depth=6, width=12.7, kind="slot")


@pytest.mark.parametrize(
    ("ipm", "rpm", "flutes", "chip"),
    [
        (500, 15000, 2, 0.01667),  # printed .017: cutter-shop.com's own example
        (300, 18000, 2, 0.0083),  # printed .008: carbideprocessors.com chart
        (200, 18000, 3, 0.0037),  # printed .004: the same
    ],
)
def test_feed_over_rpm_and_flutes_is_the_printed_chip_load(ipm: float, rpm: float, flutes: int, chip: float) -> None:
    """Feeds are rounded down to whole 10 mm/min, 0.4 in/min."""
    assert _at(ipm, rpm, flutes).chip_per_tooth / INCH == pytest.approx(chip, rel=0.01)


def test_600_ipm_at_10000_rpm_is_the_printed_chip_load_but_more_than_the_table_gives() -> None:
    """D: 2 flutes 600 ipm at 10 000 -> .030; the same chart calls more than .017 breaking the edge."""
    assert pytest.approx(0.030) == 600 / (10000 * 2)
    assert _at(600, 10000, 2).chip_per_tooth / INCH == pytest.approx(0.026, rel=0.01)  # table A's middle, 1/2 in


@pytest.mark.parametrize(
    ("share", "factor"),
    [(0.5, 1), (0.25, 1.155), (0.2, 1.25), (0.15, 1.4), (0.1, 1.667), (0.05, 2.294), (0.03, 2.931), (0.02, 3.571)],
)
def test_chip_thinning_follows_the_table(share: float, factor: float) -> None:
    """Recomputed with Helical's formula; a web table's 1.35 at 15 % is wrong."""
    assert thinning_factor(share * 10, 10) == pytest.approx(factor, abs=5e-4)
    assert max_chip(0.1 * thinning_factor(share * 10, 10), share * 10, 10) == pytest.approx(0.1)


def test_the_worked_thinning_example_comes_out() -> None:
    """D .5 in, ae .05, target .003 -> .00500, Helical's formula."""
    assert 0.003 * thinning_factor(0.05, 0.5) == pytest.approx(0.005, abs=5e-6)


@pytest.mark.parametrize(("share", "mean"), [(0.05, 0.2217), (0.1, 0.3108), (0.5, 0.6366), (1.0, 0.6366)])
def test_the_mean_chip_follows_geometry(share: float, mean: float) -> None:
    """Recomputed: (1 - cos a) / a; a slot's is 2/pi."""
    assert mean_chip(1, share * 10, 10) == pytest.approx(mean, abs=5e-5)


def test_a_catalogue_milling_example_comes_out() -> None:
    """Ingersoll p. 451: D .375, z 4, 450 sfm, fz .004, ae .10, ap .125 -> 4584 rpm, 73.3 ipm, .91 in3/min, hm .002.

    Recomputed 4583.7; 73.34; 0.917; the mean chip .00207 by the handbook form fz sqrt(ae / D) (Kennametal-Stellram
    p. 87, for small ae), .00197 by exact geometry, which is ours: both print as .002.
    """
    rpm = 450 * 12 / (pi * 0.375)
    assert rpm == pytest.approx(4584, abs=0.5)
    assert peripheral_speed_m_s(0.375 * INCH, rpm) == pytest.approx(450 * 0.3048 / 60)
    tool = _tool(0.375 * INCH, 4)
    machine = _machine(rpm, 1e6)
    cut = Cut(
        tool=tool, material=MATERIALS["mdf"], machine=machine, depth=0.125 * INCH, width=0.1 * INCH, kind="profile"
    )
    feed = cut.centre_feed(rpm, 0.004 * INCH)
    assert feed / INCH == pytest.approx(73.34, abs=0.01)
    assert cut.removal_rate(feed) * 60 / INCH**3 == pytest.approx(0.917, abs=5e-4)
    assert 0.004 * sqrt(0.1 / 0.375) == pytest.approx(0.00207, abs=5e-6)
    assert mean_chip(0.004, 0.1, 0.375) == pytest.approx(0.00207, rel=0.06)
    assert round(mean_chip(0.004, 0.1, 0.375), 3) == 0.002


@pytest.mark.parametrize(
    ("inches", "rpm", "mph"), [(0.5, 10000, 14.87), (0.5, 25000, 37.2), (3, 10000, 89.2), (3, 25000, 223.1)]
)
def test_rim_speeds_are_the_printed_mph(inches: float, rpm: float, mph: float) -> None:
    """WOOD magazine: almost 15, 37, nearly 90, 223 mph."""
    assert peripheral_speed_m_s(inches * INCH, rpm) / MPH == pytest.approx(mph, abs=0.05)


@pytest.mark.parametrize(
    ("diameter", "rpm", "speed"), [(3.175, 18000, 3), (6.35, 18000, 6), (9.525, 24000, 12), (12.7, 24000, 16)]
)
def test_rim_speeds_of_router_bits(diameter: float, rpm: float, speed: float) -> None:
    """Recomputed: V = pi D n / 60000, for 18 000 and 24 000 rpm."""
    assert peripheral_speed_m_s(diameter, rpm) == pytest.approx(speed, abs=0.05)


def test_deflection_scales_as_the_tool_course_prints() -> None:
    """Mitsubishi: diameter x 2 -> 1/16 (25 -> 1.5 um); overhang x 2 -> x 8 (0.2 -> 1.6 mm)."""
    assert deflection(20, 38, 12) * 16 == pytest.approx(deflection(20, 38, 6))
    assert deflection(20, 80, 6) == pytest.approx(8 * deflection(20, 40, 6))
    assert pytest.approx(1.5, abs=0.07) == 25 / 16


@pytest.mark.parametrize(
    ("diameter", "length", "force", "solid", "fluted"),
    [
        (6.35, 38, 20, 7.64, 18.65),
        (6.00, 30, 20, 4.72, 11.51),
        (3.175, 20, 10, 8.91, 21.75),
        (9.525, 40, 30, 2.64, 6.45),
        (12.7, 50, 50, 2.72, 6.64),
    ],
)
def test_tools_bend_as_recomputed(diameter: float, length: float, force: float, solid: float, fluted: float) -> None:
    """um, E = 600 GPa, solid rod and 0.8 D for the flutes (Kops and Vo 1990); fluted over solid is 2.44."""
    assert deflection(force, length, diameter) * 1000 == pytest.approx(solid, abs=0.005)
    bent = tool_deflection(force, diameter=diameter, fluted=length, stick_out=length, shank_diameter=diameter)
    assert bent * 1000 == pytest.approx(fluted, abs=0.006)
    assert bent / deflection(force, length, diameter) == pytest.approx(2.44, abs=0.005)


@pytest.mark.parametrize(
    ("diameter", "depth", "chip", "feed", "removal", "watts", "newtons"),
    [
        (6.35, 6.35, 0.33, 11880, 7984, 279, 46.7),
        (6.35, 18.3, 0.165, 5940, 11504, 403, 67),
        (12.7, 18.3, 0.40, 14400, 55778, 1952, 163),
    ],
)
def test_slots_take_the_recomputed_power(
    diameter: float, depth: float, chip: float, feed: float, removal: float, watts: float, newtons: float
) -> None:
    """kc 35, 18 000 rpm, 2 flutes; P = ap ae vf kc / 60e6, Dijet p. 551."""
    tool, machine = _tool(diameter), read_machine("nesting-router")
    cut = Cut(tool=tool, material=MATERIALS["mdf"], machine=machine, depth=depth, width=diameter, kind="slot")
    assert cut.centre_feed(18000, chip) == pytest.approx(feed)
    assert cut.removal_rate(feed) == pytest.approx(removal, abs=0.5)
    power = cutting_power(cut.removal_rate(feed), cut.material.cutting_force)
    assert power == pytest.approx(watts, abs=0.5)
    force = tangential_force(power, peripheral_speed_m_s(diameter, 18000))
    assert force == pytest.approx(newtons, abs=0.4)
    assert cut.force_per_chip * chip == pytest.approx(force)


def test_half_an_inch_at_full_industrial_chip_load_is_too_much_for_a_trim_router() -> None:
    """Table A at full depth needs about 2 kW with 1/2 in: the desktop router's power holds the feed, and it says so."""
    desktop = read_machine("desktop-router")
    motion = desktop.motion.model_copy(update={"feed_xy_max": 20000.0, "rapid_xy": 20000.0})
    cutting = desktop.cutting.model_copy(update={"chip_load": "industrial"})
    machine = desktop.model_copy(update={"motion": motion, "cutting": cutting})
    data = cutting_data(_tool(12.7), MATERIALS["mdf"], machine, depth=18.3, width=12.7, kind="slot")
    assert data.power_w <= 350
    assert "feed held: the spindle gives 350 W at 18000 rpm" in data.limits
