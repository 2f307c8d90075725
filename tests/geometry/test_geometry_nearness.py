"""Near bodies: discs, slots and regions."""

import pytest

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.nearness import Body, body_bounds, covered, depths_inside, near_pairs
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment

SQUARE = Region(polygon([(0, 0), (100, 0), (100, 100), (0, 100)]))


def test_two_discs_are_as_far_apart_as_their_rims() -> None:
    (pair,) = near_pairs([Body(Point(0, 0), 5), Body(Point(13, 0), 6)], 3)
    assert pair.width == pytest.approx(2)
    assert pair.middle == pytest.approx((6, 0))


def test_discs_over_each_other_have_a_negative_width() -> None:
    (pair,) = near_pairs([Body(Point(0, 0), 5), Body(Point(8, 0), 5)], 3)
    assert pair.width == pytest.approx(-2)


def test_pairs_no_nearer_than_asked_are_left_out() -> None:
    assert near_pairs([Body(Point(0, 0), 5), Body(Point(14, 0), 5)], 4) == []


def test_a_slot_and_a_region_are_as_far_apart_as_their_walls() -> None:
    slot = Body(Segment(Point(110, 10), Point(110, 50)), 4)
    (pair,) = near_pairs([Body(SQUARE), slot], 7)
    assert (pair.first, pair.second) == (0, 1)
    assert pair.width == pytest.approx(6)
    assert pair.middle.x == pytest.approx(103)


@pytest.mark.parametrize(("x", "depth"), [(50, 45), (10, 5), (5, 0), (2, -3), (-20, -25)])
def test_depth_inside_counts_from_the_rim_and_is_negative_outside(x: float, depth: float) -> None:
    ((found, _),) = depths_inside([Body(Point(x, 50), 5)], SQUARE)
    assert found == pytest.approx(depth)


def test_a_region_across_the_boundary_has_no_depth() -> None:
    ((found, _),) = depths_inside([Body(Region(polygon([(90, 40), (110, 40), (110, 60)])))], SQUARE)
    assert found == 0


def test_points_are_covered_by_discs_and_regions_but_not_on_their_rims() -> None:
    bodies = [Body(SQUARE), Body(Point(200, 0), 10)]
    assert covered([Point(50, 50), Point(0, 50), Point(205, 0), Point(150, 0)], bodies) == [True, False, True, False]


def test_the_box_of_a_slot_takes_in_its_reach() -> None:
    assert body_bounds(Body(Segment(Point(0, 0), Point(10, 0)), 3)) == (-3, -3, 13, 3)
