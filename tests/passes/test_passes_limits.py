"""What no pass may do: go deeper than its tool is long, or nearer to the table than its guard."""

import pytest
from passes_bench import PLACE, shop, shop_router, tool

from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import Bore, Drill
from cncpanel.passes.limits import deepest, named, within_limits


def bore(depth: float | None, reach: float = 22.0) -> Bore:
    cutter = tool().model_copy(update={"cutting_length": reach, "stick_out": reach + 5})
    return Bore(panel="side", feature="hole 1", centre=Point(50, 40), diameter=10, top=0, depth=depth, tool=cutter)


def told(operation: Bore, machine: Machine | None = None) -> list[str]:
    gathering = Gathering()
    well = within_limits(operation, PLACE, shop(machine), gathering)
    assert well == (not gathering.problems)
    return list(map(str, gathering.problems))


def router(**table: object) -> Machine:
    machine = shop_router()
    return machine.model_copy(update={"table": machine.table.model_copy(update=table)})


def test_a_tool_as_long_as_the_cut_is_deep_is_long_enough() -> None:
    assert told(bore(20.0, reach=20.0)) == []


def test_a_tool_that_is_too_short_is_told_with_both_lengths() -> None:
    assert told(bore(20.5, reach=20.0)) == [
        "job.toml:7: panel[0]: side, hole 1: T1 6 mm up-cut goes 20 mm deep at most (flutes 20, stick-out 25 mm), "
        "20.5 mm are needed in MDF 18, 18 mm thick (a longer tool, or less depth)"
    ]


def test_three_millimetres_of_spoilboard_stay_over_the_table_with_flatness_and_touch_off_out() -> None:
    """A board of 6 out of flat by 0.15 leaves 2.85; zeroed on an 18 mm sheet with 0.05 out that is 20.8 deep."""
    assert told(bore(20.8, reach=40.0), router(spoilboard=6.0)) == []
    assert told(bore(21.0, reach=40.0), router(spoilboard=6.0)) == [
        "job.toml:7: panel[0]: side, hole 1: T1 6 mm up-cut goes 3.05 mm below the sheet into a spoilboard of 6 mm "
        "(at most 2.85 mm: 3 mm always stay over the table)"
    ]


def test_where_z_is_set_on_the_table_the_touch_off_does_not_count() -> None:
    assert told(bore(20.85, reach=40.0), router(spoilboard=6.0, z_zero="table")) == []
    assert len(told(bore(20.86, reach=40.0), router(spoilboard=6.0, z_zero="table"))) == 1


def test_a_through_hole_goes_as_deep_as_the_machine_file_says_and_a_drill_by_its_point_more() -> None:
    assert deepest(bore(None), shop()) == 18 + shop_router().table.cut_through
    drill = Drill(panel="side", feature="h", centre=Point(50, 40), diameter=4.5, top=0, depth=None, tool=tool(6))
    assert deepest(drill, shop()) == pytest.approx(18 + shop_router().table.cut_through + 1.352, abs=1e-3)
    assert named(tool(6)) == f"T6 {tool(6).name}"
