"""The feed along a path: bends, corners, and slopes that lie over one another."""

from itertools import pairwise
from math import radians, tan

import pytest
from passes_bench import shop, tool

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.passes.along import Bend, before_corners, bend_share, bend_width, fed
from cncpanel.passes.entry import OVER_TOP, descent
from cncpanel.passes.pace import pace

LINE = Segment(Point(0, 0), Point(10, 0))
LEFT = Segment(Point(10, 0), Point(14, 4), 0.41421356)  # a quarter of a circle of radius 4


def test_in_an_inside_bend_the_centre_goes_as_much_slower_as_its_circle_is_smaller_than_the_walls() -> None:
    assert bend_share(1.0) == pytest.approx(0.5)
    assert bend_share(4.0) == pytest.approx(0.8)


def test_in_a_bend_the_ring_that_goes_is_wider_than_the_cut_is_deep() -> None:
    ring = ((4.0 + 3.0) ** 2 - (4.0 + 3.0 - 0.5) ** 2) / 2 / 4.0  # mm2 a mm of the centre's way, radius 4, tool 3
    assert bend_width(0.5, 4.0 / 3.0, 3.0) == pytest.approx(ring)


def test_only_bends_towards_the_material_are_slower() -> None:
    bends = (Bend(12.0, 900.0), Bend(3.0, 500.0))
    assert [feed for _, feed in fed([LINE, LEFT], 1000.0, bends, 200.0)] == [1000.0, 500.0]
    assert [feed for _, feed in fed([LINE, LEFT], 1000.0, bends, 200.0, left=-1.0)] == [1000.0, 1000.0]


def test_the_way_before_an_inside_corner_is_cut_off_and_marked() -> None:
    up, down = Segment(Point(10, 0), Point(10, 5)), Segment(Point(10, 0), Point(10, -5))
    assert [(round(s.length, 6), near) for s, near in before_corners([LINE, up], 2.0)] == [
        (8.0, False),
        (2.0, True),
        (5.0, False),
    ]
    assert [near for _, near in before_corners([LINE, down], 2.0)] == [False, False]


def test_feeds_of_bends_fall_and_stay_within_the_machines() -> None:
    found = pace(shop(), tool(), 4.0, 12.0)
    feeds = [bend.feed for bend in found.finish_bends]
    assert feeds == sorted(feeds, reverse=True)
    assert 0 < feeds[-1] < feeds[0] < found.finish <= shop().machine.motion.feed_xy_max


def test_slopes_lie_over_one_another_and_only_the_last_is_passed_again() -> None:
    depths, length = (4.0, 8.0, 12.0), 300.0
    found = descent(length, depths, 5.0)
    step = 4.0 / tan(radians(5.0))
    assert [sloped for sloped, _ in found] == pytest.approx([step + OVER_TOP / tan(radians(5.0)), step, step])
    assert [flat for _, flat in found] == pytest.approx([length - step, length - step, length])
    ends = [sum(a + b for a, b in found[:n]) for n in range(3)]
    assert [(b - a) % length for a, b in pairwise(ends)] == pytest.approx([OVER_TOP / tan(radians(5.0)), 0.0], abs=1e-6)


def test_a_loop_shorter_than_its_slope_is_passed_again_at_every_depth() -> None:
    assert [flat for _, flat in descent(20.0, (4.0, 8.0), 5.0)] == [20.0, 20.0]
