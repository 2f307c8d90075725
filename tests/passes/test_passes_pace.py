"""Feeds of one run against a formula of its own."""

import pytest
from passes_bench import made, plan, shop, tool

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import rectangle
from cncpanel.passes.pace import pace


@pytest.mark.parametrize("number", [1, 3])
def test_in_a_cleared_bend_the_teeth_at_the_wall_bite_as_on_a_straight(number: int) -> None:
    """The centre goes R - r over R as fast as the wall that it sweeps (as handbooks have it, from memory)."""
    cutter = tool(number)
    fed = pace(shop(), cutter, 5.0, 18.0)
    assert len(fed.clear_bends) == 6
    for bend in fed.clear_bends:
        wall = bend.radius + cutter.radius
        assert bend.feed == pytest.approx(fed.clear * (wall - cutter.radius) / wall, rel=0.01)
        assert bend.feed <= fed.clear * (wall - cutter.radius) / wall + 1e-9


@pytest.mark.parametrize("number", [1, 3])
def test_along_a_wall_the_feed_falls_with_the_bend_and_never_to_a_crawl(number: int) -> None:
    """No faster in a tighter bend, and no tooth bites farther into the wall than on the straight, down to a tenth."""
    cutter = tool(number)
    fed = pace(shop(), cutter, 5.0, 18.0)
    feeds = []
    for share in (9.0, 4.0, 2.0, 1.0, 0.5, 0.25, 0.1, 0.05):
        bend = Segment(Point(0.0, 0.0), Point(2 * share * cutter.radius, 0.0), fed.left)
        ((_, feed),) = fed.along_wall([bend], cutter.radius)
        feeds.append(feed)
        if 0.1 <= share <= 4:
            assert feed * (share + 1) / share <= fed.finish * 1.001
    assert feeds == sorted(feeds, reverse=True)
    assert feeds[-1] == feeds[-2] > 0.01 * fed.finish


def test_over_a_flat_tab_the_tool_goes_on_at_the_feed_it_has_beside_it() -> None:
    runs = made([(0, 50, 50)], [plan(0, rectangle(0, 0, 270, 150))])
    top, feeds = runs.tabs[0].top, []
    (outline,) = runs.runs
    z = outline.approach
    for step in outline.steps:
        if abs(step.z - z) < 1e-9 and abs(step.z - top) < 1e-6:
            feeds.append(step.feed)
        z = step.z
    assert len(feeds) >= len(runs.tabs)
    assert set(feeds) == {pace(shop(), tool(), 18.5 / 4, 18.5).slot}
