"""Feeds and speeds: what clips them, in which order, and what is said of it."""

import pytest

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.feeds import CuttingData, cutting_data
from cncpanel.tooling.materials import MATERIALS

MDF = MATERIALS["mdf"]


def tool_of(machine: Machine, number: int, **changes: object) -> Tool:
    """A tool of the rack, with changes."""
    return next(tool for tool in machine.tool if tool.number == number).model_copy(update=changes)


def with_(machine: Machine, section: str, **changes: object) -> Machine:
    """The machine with values of one section changed."""
    return machine.model_copy(update={section: getattr(machine, section).model_copy(update=changes)})


@pytest.fixture
def shop() -> Machine:
    """Spindle by program, 6000 to 24 000 rpm."""
    return read_machine("shop-router")


def six(
    machine: Machine, kind: Kind = "slot", width: float = 6.0, depth: float = 6.0, **changes: object
) -> CuttingData:
    """The machine's 6 mm tool in MDF."""
    return cutting_data(tool_of(machine, 1, **changes), MDF, machine, depth=depth, width=width, kind=kind)


def test_nothing_clips_a_six_millimetre_slot(shop: Machine) -> None:
    data = six(shop)
    assert (data.rpm, data.feed, data.limits, data.warnings) == (18000, 6390, (), ())
    assert data.table == "cutter maker's table E (light)"
    assert data.chip_per_tooth == pytest.approx(6390 / 36000)
    assert (data.plunge_feed, data.ramp_feed) == (2130, 3190)


def test_a_slow_machine_slows_the_spindle_to_keep_the_chip(shop: Machine) -> None:
    data = six(with_(shop, "motion", feed_xy_max=4000.0))
    assert (data.rpm, data.feed) == (13100, 4000)  # table E's 0.152 mm: 4000 / 0.304 is 13 158, whole hundreds
    assert data.chip_per_tooth >= 0.152
    assert data.limits == (
        "feed held: 4000 mm/min is the machine's highest XY feed",
        "13100 rpm instead of 18000, so that the chip does not get too thin",
    )


def test_a_feed_that_only_reaches_into_the_range_leaves_the_speed_alone(shop: Machine) -> None:
    data = six(with_(shop, "motion", feed_xy_max=6000.0))
    assert (data.rpm, data.feed) == (18000, 6000)
    assert data.limits == ("feed held: 6000 mm/min is the machine's highest XY feed",)


def test_a_spindle_at_its_slowest_rubs_and_says_so(shop: Machine) -> None:
    data = six(with_(shop, "motion", feed_xy_max=600.0))
    assert (data.rpm, data.feed, data.rubs) == (6000, 600, True)
    assert data.warnings == ("chip 0.050 mm is below 0.061: it rubs, scorches, and embers reach the dust collector",)


def test_power_holds_the_feed_and_is_never_passed(shop: Machine) -> None:
    weak = with_(shop, "spindle", power=60.0, rpm_rated=None)
    data = six(weak)
    assert data.power_w <= 60
    assert data.chip_per_tooth >= 0.152
    assert data.rpm < 18000
    assert f"feed held: the spindle gives 60 W at {data.rpm:g} rpm" in data.limits


def test_below_its_rated_speed_a_spindle_has_less_power_and_slowing_helps_no_further(shop: Machine) -> None:
    data = six(with_(shop, "spindle", power=60.0, rpm_rated=18000.0))
    assert (data.rpm, data.power_available_w) == (18000, 60)
    assert data.power_w <= 60
    assert data.chip_per_tooth < 0.152


def test_a_long_thin_tool_takes_a_smaller_chip(shop: Machine) -> None:
    data = six(shop, stick_out=90.0, cutting_length=80.0)
    assert data.deflection_mm == pytest.approx(0.05, rel=0.02)
    assert data.limits[0].endswith("the tool bends 0.05 mm then")


def test_a_finish_pass_may_bend_half_as_much(shop: Machine) -> None:
    data = six(shop, "finish", width=0.6, depth=20.0, stick_out=120.0, cutting_length=100.0)
    assert data.deflection_mm <= 0.025
    assert "the tool bends 0.025 mm then" in data.limits[0]


def test_a_thin_cut_is_fed_faster_and_its_chip_is_told(shop: Machine) -> None:
    slot, thin = six(shop), six(shop, "profile", width=0.6)
    assert thin.chip_per_tooth > slot.chip_per_tooth
    assert thin.chip_thickness == pytest.approx(thin.chip_per_tooth * 0.6)  # 2 sqrt(0.1 x 0.9)


def test_a_deep_cut_is_derated_and_the_label_says_so(shop: Machine) -> None:
    data = six(shop, depth=12.0)
    assert data.chip_per_tooth == pytest.approx(0.1775 * 0.75, rel=0.01)
    assert data.table == "cutter maker's table E (light), 75% of it for the depth"


def test_a_cut_deeper_than_the_tables_is_warned_of(shop: Machine) -> None:
    data = six(shop, depth=20.0)
    assert "20 mm is deeper than 3 x the tool's diameter: no table goes there" in data.warnings


def test_a_bore_slows_the_centre_so_that_the_wall_gets_the_table_chip(shop: Machine) -> None:
    """Hole 9, tool 6: the centre's radius is 1.5 of the wall's 4.5."""
    still = with_(shop, "motion", acceleration_xy=1e6)
    data = six(still, "bore", width=9.0, depth=1.0)
    assert data.feed == 2130  # a third of 6390
    assert data.chip_per_tooth == pytest.approx(2130 * 3 / 36000)


def test_a_bore_is_no_faster_than_the_machine_turns_small_circles(shop: Machine) -> None:
    """v = sqrt(a r): 400 mm/s2 on radius 0.6 is 929 mm/min."""
    data = six(with_(shop, "motion", acceleration_xy=400.0), "bore", width=7.2, depth=0.3)
    assert data.feed == 920
    assert "as fast as the machine turns a circle of radius 0.60 mm" in " ".join(data.limits)


def test_a_bore_takes_out_its_whole_disc(shop: Machine) -> None:
    """Volume a turn over time a turn."""
    data = six(shop, "bore", width=9.0, depth=1.0)
    turn_minutes = 2 * 3.141592653589793 * 1.5 / data.feed
    assert data.removal_rate == pytest.approx(3.141592653589793 * 4.5**2 * 1.0 / turn_minutes / 60)


def test_a_dial_gives_one_of_its_speeds_and_its_mark() -> None:
    machine = read_machine("shop-router-inch")
    data = six(machine)
    assert (data.dial, data.rpm) == ("4", 18000)
    slow = six(with_(machine, "motion", feed_xy_max=4000.0))
    assert (slow.dial, slow.rpm) == ("2", 12500)


def test_a_dial_position_that_is_too_fast_for_the_tool_is_never_chosen() -> None:
    machine = read_machine("shop-router-inch")
    data = six(machine, rpm_max=13000.0)
    assert (data.dial, data.rpm) == ("2", 12500)
    assert "12500 rpm: the tool's highest" in data.limits


def test_a_fixed_spindle_keeps_its_speed_and_loses_chip() -> None:
    desktop = read_machine("desktop-router")
    data = six(desktop)
    assert (data.rpm, data.dial, data.feed) == (18000, None, 4000)
    assert data.chip_per_tooth == pytest.approx(4000 / 36000)
    assert data.plunge_feed == 600
    assert "plunge held: 600 mm/min is the machine's highest Z feed" in data.limits


def test_a_fixed_spindle_faster_than_the_charts_is_named() -> None:
    desktop = with_(read_machine("desktop-router"), "spindle", rpm_min=26000.0, rpm_max=26000.0)
    data = six(desktop)
    assert data.rpm == 26000
    assert "26000 rpm: the spindle's slowest" in data.limits


def test_a_drill_for_a_fixed_spindle_is_refused() -> None:
    desktop = read_machine("desktop-router")
    with pytest.raises(ValueError, match="cannot turn as slowly as 5 mm drill allows"):
        cutting_data(tool_of(desktop, 6), MDF, desktop, depth=9, width=5, kind="drill")


def test_a_drill_goes_down_at_its_own_speed(shop: Machine) -> None:
    data = cutting_data(tool_of(shop, 6), MDF, shop, depth=18, width=4.5, kind="drill")
    assert (data.rpm, data.feed, data.plunge_feed) == (6000, 810, 810)  # 0.03 x 4.5 a turn


def test_a_tool_without_a_highest_speed_follows_the_guide_and_says_so(shop: Machine) -> None:
    data = six(shop, rpm_max=None, diameter=60.0, shank_diameter=12.0)
    assert data.rpm == 16000
    assert data.warnings[-1] == ("the tool states no highest speed: 16000 rpm follows a general guide by diameter")


def test_an_asked_speed_is_kept(shop: Machine) -> None:
    data = cutting_data(tool_of(shop, 1), MDF, shop, depth=6, width=6, kind="slot", rpm=12000)
    assert (data.rpm, data.feed) == (12000, 4260)
    with pytest.raises(ValueError, match="30000 rpm is no speed for"):
        cutting_data(tool_of(shop, 1), MDF, shop, depth=6, width=6, kind="slot", rpm=30000)


def test_an_impossible_cut_is_refused(shop: Machine) -> None:
    with pytest.raises(ValueError, match="a bore is wider than its tool"):
        six(shop, "bore", width=6.0)
    with pytest.raises(ValueError, match="a cut has a depth and a width"):
        six(shop, depth=0.0)


def test_no_source_is_named_on_what_is_put_out() -> None:
    for name in ("desktop-router", "shop-router", "nesting-router", "shop-router-inch"):
        machine = read_machine(name)
        for material in MATERIALS.values():
            data = cutting_data(machine.tool[0], material, machine, depth=7, width=12, kind="slot")
            text = " ".join((data.table, data.force_label, *data.limits, *data.warnings)).lower()
            assert not [word for word in ("amana", "ast", "shop.com", "southeast", "onsrud") if word in text.split()]
            assert data.table.startswith(("cutter maker's table ", "cutter makers' tables "))
