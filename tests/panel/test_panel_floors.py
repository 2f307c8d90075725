"""Floors once overlaps are settled, and how they open at the rim."""

from math import pi

import pytest
from resolving import Resolve, assert_opened_exactly

from cncpanel.panel.rim import RUN_OUT

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def test_recesses_of_one_depth_are_one(resolved: Resolve) -> None:
    found = resolved(
        PANEL + 'recess = [{name = "x", size = [60, 40], at = [50, 50], depth = 6},'
        ' {name = "y", size = [60, 40], at = [90, 70], depth = 6}]'
    )
    (recess,) = found.panel.recesses
    assert recess.region.area == pytest.approx(2 * 2400 - 20 * 20)
    assert recess.name == "x + y"
    assert found.warnings == []


def test_recesses_that_only_touch_are_one_when_of_one_depth(resolved: Resolve) -> None:
    found = resolved(
        PANEL + "recess = [{size = [60, 40], at = [50, 50], depth = 6}, {size = [60, 40], at = [110, 50], depth = 6}]"
    )
    (recess,) = found.panel.recesses
    assert recess.region.bounds == pytest.approx((50, 50, 170, 90))


def test_of_two_depths_the_deeper_wins_with_a_warning(resolved: Resolve) -> None:
    found = resolved(
        PANEL + 'recess = [{name = "x", size = [60, 40], at = [50, 50], depth = 6},'
        ' {name = "y", size = [60, 40], at = [90, 70], depth = 8}]'
    )
    shallow, deep = found.panel.recesses
    assert (shallow.depth, deep.depth) == (6, 8)
    assert shallow.region.area == pytest.approx(2400 - 400)
    assert deep.region.area == pytest.approx(2400)
    assert found.warnings == [
        'panel[0].recess[0]: panel "a", recess "x": 6 mm deep, it overlaps recess "y", 8 mm deep: the deeper wins there'
    ]


def test_a_groove_through_a_shallower_recess_leaves_two_floors_and_no_false_web(resolved: Resolve) -> None:
    found = resolved(
        PANEL + "recess = [{size = [100, 100], at = [100, 100], depth = 4}]\n"
        "groove = [{path = [[50, 150], [250, 150]], width = 3, depth = 8}]"
    )
    assert [r.kind for r in found.panel.recesses] == ["recess", "recess", "groove"]
    assert len(found.warnings) == 1


def test_steps_are_deeper_without_a_warning_and_islands_stay(resolved: Resolve) -> None:
    found = resolved(
        PANEL + "recess = [{size = [100, 100], radius = 6, at = [100, 100], depth = 4,"
        " step = [{size = [40, 40], at = [110, 110], depth = 8}], island = [{diameter = 30, centre = [170, 170]}]}]"
    )
    floor, step = found.panel.recesses
    island = pi * 15**2
    assert floor.region.area == pytest.approx(10000 - (4 - pi) * 36 - 1600 - island)
    assert step.region.area == pytest.approx(1600)
    assert found.warnings == []


def test_a_step_no_deeper_than_its_recess_or_outside_it_is_told(resolved: Resolve) -> None:
    found = resolved(
        PANEL + "recess = [{size = [50, 50], at = [50, 50], depth = 8,"
        " step = [{size = [20, 20], at = [60, 60], depth = 8}, {size = [20, 20], at = [90, 60], depth = 9}]}]"
    )
    assert found.problems == [
        'panel[0].recess[0].step[0].depth: panel "a", recess[0], step[0]: '
        "depth 8 mm is no deeper than the recess, 8 mm",
        'panel[0].recess[0].step[1]: panel "a", recess[0], step[1]: the step reaches outside its recess',
    ]


def test_one_floor_with_two_tools_is_told(resolved: Resolve) -> None:
    found = resolved(
        PANEL + 'recess = [{size = [60, 40], at = [50, 50], depth = 6, tool = "six"},'
        ' {size = [60, 40], at = [90, 70], depth = 6, tool = "ten"}]'
    )
    text = "it and recess[1] are one floor and name different tools: six, ten"
    assert found.problems == [f'panel[0].recess[0]: panel "a", recess[0]: {text}']


def test_floors_are_judged_by_the_thinnest_reading(resolved: Resolve) -> None:
    sizes = "recess = [{size = [50, 50], at = [20, 50], depth = 15.8}, {size = [50, 50], at = [120, 50], depth = 15.9},"
    found = resolved(PANEL + sizes + " {size = [50, 50], at = [220, 50], depth = 17.9}]")
    assert found.problems == [
        'panel[0].recess[1].depth: panel "a", recess[1]: '
        "depth 15.9 mm leaves a floor of 1.9 mm at the thinnest reading of mdf, 17.8 mm",
        'panel[0].recess[2].depth: panel "a", recess[2]: '
        "depth 17.9 mm is more than the stock has: mdf is 17.8 mm at its thinnest reading",
    ]


def test_a_recess_inside_is_not_opened(resolved: Resolve) -> None:
    (recess,) = resolved(PANEL + "recess = [{size = [50, 50], at = [20, 50], depth = 6}]").panel.recesses
    assert recess.open_region == recess.region


@pytest.mark.parametrize(
    "feature",
    [
        "recess = [{size = [40, 300], at = [0, 0], depth = 9}]",
        "recess = [{size = [400, 300], at = [0, 0], depth = 6, island = [{diameter = 50, centre = [200, 150]}]}]",
        "recess = [{size = [100, 40], at = [0, 0], radius = [0, 10, 10, 0], depth = 6}]",
        'groove = [{path = [[0, 100], [100, 0]], width = 10, depth = 6, ends = "open"}]',
        'groove = [{path = [[0, 100], [200, 100]], width = 10, depth = 6, ends = ["square", "round"]}]',
        "groove = [{path = [[0, 150], {to = [200, 150], through = [100, 190]}, [200, 300]], width = 12, depth = 6,"
        ' ends = "open", wall = "right"}]',
        'rabbet = [{side = "top", width = 9, depth = 6, start = 50, stop = 200}]',
        "rabbet = [{edge = 0, width = 9, depth = 6}, {edge = 1, width = 9, depth = 6}]",
    ],
)
def test_what_meets_the_rim_is_opened_beyond_it_and_exact_inside(resolved: Resolve, feature: str) -> None:
    panel = resolved(PANEL + feature).panel
    assert any(recess.open_region.area > recess.region.area + 50 for recess in panel.recesses)
    assert_opened_exactly(panel)


def test_a_tool_on_a_square_rim_lies_wholly_within_the_open_region(resolved: Resolve) -> None:
    panel = resolved(PANEL + "groove = [{path = [[0, 100], [200, 100]], width = 12, depth = 6}]").panel
    xmin, ymin, _, ymax = panel.recesses[0].open_region.bounds
    assert (xmin, ymin, ymax) == pytest.approx((-RUN_OUT, 94 - RUN_OUT, 106 + RUN_OUT))
