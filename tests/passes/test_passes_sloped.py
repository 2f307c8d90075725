"""Tabs with flanks: where they go, what they leave, what is reckoned to hold."""

from math import radians, tan

import pytest
import shapely
from passes_bench import made, moves, plan, sheet, shop_router, steepest_entry, swept, tool

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.job.model import Settings
from cncpanel.passes.bridge import Heights, bar_at
from cncpanel.passes.run import SheetRuns, Tab
from cncpanel.passes.sheet import sheet_runs

SLOPED = Settings(tab_shape="sloped")
BOX = polygon([(0, 0), (300, 0), (300, 200), (0, 200)])
RAMP = tan(radians(5))
RADIUS = 3.0


def foot(tab: Tab, depth: float) -> shapely.Geometry:
    """Where a tool that goes to `depth` under the sheet may leave wood: a bar as long as the tab is there."""
    half = tab.width / 2 + (depth + tab.top) / RAMP + RADIUS
    a, b = tab.centre.plus(tab.along.times(half)), tab.centre.minus(tab.along.times(half))
    return shapely.LineString([a, b]).buffer(14, cap_style="flat")


def cut_box() -> SheetRuns:
    return made([(0, 100, 100)], [plan(0, BOX)], settings=SLOPED)


@pytest.mark.parametrize("depth", [16.5, 17.0, 18.0])
def test_at_every_depth_the_kerf_is_open_but_for_what_the_slopes_leave(depth: float) -> None:
    runs = cut_box()
    part = shapely.box(100, 100, 400, 300)
    kerf = part.buffer(6, quad_segs=64).difference(part.buffer(0.01, quad_segs=64))
    left = kerf.difference(swept(runs.runs, -depth).buffer(0.01))
    assert left.difference(shapely.union_all([foot(tab, depth) for tab in runs.tabs])).area < 0.01
    assert left.area > 0


def test_the_core_stays_whole_and_the_slopes_rise_to_it() -> None:
    runs = cut_box()
    just_under, deeper = swept(runs.runs, runs.tabs[0].top - 0.001), swept(runs.runs, -17.0)
    for tab in runs.tabs:
        out = tab.centre.plus(tab.along.left.times(-RADIUS))
        ends = [out.plus(tab.along.times(side * (tab.width / 2 - 0.02))) for side in (-1, 1)]
        assert not just_under.intersects(shapely.LineString(ends))
        rising = out.plus(tab.along.times(tab.width / 2 + 1.0 / RAMP - 0.2))  # one mm under the top there
        assert not deeper.contains(shapely.Point(rising))
        past = out.plus(tab.along.times(tab.width / 2 + 1.0 / RAMP + 0.2))
        assert deeper.contains(shapely.Point(past))


def test_the_tool_is_never_lifted_or_lowered_on_the_spot_below_the_sheets_top() -> None:
    for run in cut_box().runs:
        assert not [move for move in moves(run) if move[0][:2] == move[1][:2] and min(move[0][2], move[1][2]) < -1]
        assert steepest_entry(run) <= RAMP + 1e-6


def test_what_holds_is_reckoned_by_the_width_at_the_top() -> None:
    flat = made([(0, 100, 100)], [plan(0, BOX)])
    assert {tab.grip for tab in cut_box().tabs} == {tab.grip for tab in flat.tabs}


def test_a_round_part_and_a_small_one_get_upright_tabs_and_hang_on_them() -> None:
    small = polygon([(0, 0), (60, 0), (60, 50), (0, 50)])
    runs = made([(0, 100, 100), (1, 300, 100)], [plan(0, circle((60, 60), 60)), plan(1, small)], settings=SLOPED)
    assert {tab.flank_deg for tab in runs.tabs} == {None}
    assert len(runs.tabs) >= 5


def test_flanks_lie_on_their_own_straight_stretch_and_not_on_one_another() -> None:
    runs = cut_box()
    whole = [foot(tab, 18.5) for tab in runs.tabs]
    assert {tab.flank_deg for tab in runs.tabs} == {5.0}
    for number, one in enumerate(whole):
        assert all(one.intersection(other).area < 1e-6 for other in whole[:number])
        tab = runs.tabs[number]
        end = tab.width / 2 + 2.5 / RAMP
        along = [tab.centre.plus(tab.along.times(side * end)) for side in (-1, 1)]
        assert shapely.box(99.99, 99.99, 400.01, 300.01).covers(shapely.LineString(along))


def test_slopes_that_would_leave_a_floor_are_told() -> None:
    gathering, shallow = Gathering(), shop_router(ramp_deg=2.0)
    high = SLOPED.model_copy(update={"tab_height": 4.0})

    sheet_runs(sheet([(0, 100, 100)]), {0: plan(0, BOX, cutter=tool())}, shallow, high, gathering)
    assert [problem.text for problem in gathering.problems] == [
        "sloped tabs keep the tool up over 272 mm of the wall, 129 mm on either slope"
    ]


def test_beside_a_flank_the_tool_gets_down_to_its_foot_before_the_next_tab() -> None:
    wide = tool(4)
    strip = polygon([(0, 0), (150, 0), (150, 60), (0, 60)])
    runs = made([(0, 3, 3), (0, 300, 200)], [plan(0, strip, cutter=wide)], settings=SLOPED)
    for tab in runs.tabs:
        for other in runs.tabs:
            same_row = other is not tab and abs(tab.along.cross(other.along)) < 1e-6
            off = other.centre.minus(tab.centre)
            if same_row and abs(off.cross(tab.along)) < 1e-6 and (tab.flank_deg or other.flank_deg):
                flanks = sum(2.5 / RAMP for one in (tab, other) if one.flank_deg)
                assert abs(off.dot(tab.along)) >= tab.width + flanks + wide.cut_diameter + 1.0 - 1e-6


def test_a_disc_that_only_grazes_a_foots_corner_goes_almost_down_to_it() -> None:
    bar = bar_at(Point(0, 0), Point(1, 0), Point(0, 1), width=8, inner=-0.2, outer=6.0, flank=2.5 / RAMP)
    over, beside = Point(20, 3), Point(20, 6.0 + 2.9)
    assert bar.past(over) == bar.past(beside) == 16
    assert (bar.off(over), bar.off(beside)) == (0.0, pytest.approx(2.9))
    heights = Heights(radius=3.0, top=-16.0, slope=RAMP)
    assert heights.least(over, [bar]) == pytest.approx(-16 - (16 - 3) * RAMP)
    assert heights.least(beside, [bar]) == pytest.approx(-16 - (16 - (9 - 2.9**2) ** 0.5) * RAMP)
