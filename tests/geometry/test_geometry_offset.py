"""Regions grown and shrunk: exact elements, whatever vanishes, splits or merges."""

from math import hypot, pi, sqrt

import pytest
from counting import counted

from cncpanel.geometry.combine import union
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.offset import Offsetter, offset, offset_contour
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.shape import rectangle, slot

PANEL = region_of(
    rectangle(0, 0, 400, 300, (10, 10, 10, 10)),
    [rectangle(50, 50, 80, 60, (8, 8, 8, 8)), rectangle(200, 50, 80, 60, (8, 8, 8, 8))],
)
BAR_BELLS = (region_of(circle((0, 0), 20)), region_of(circle((60, 0), 20)), region_of(rectangle(0, -4, 60, 8)))
ANYWHERE = (
    Placement(),
    Placement(angle_deg=90, x=12.5),
    Placement(angle_deg=33.3, x=-700, y=1234.5),
    Placement(mirrored=True, angle_deg=200, y=50),
)


@pytest.mark.parametrize("place", ANYWHERE)
@pytest.mark.parametrize("distance", [3.0, -3.0, 0.05, -7.9, 7.9])
def test_twelve_lines_and_twelve_arcs_give_back_as_many(place: Placement, distance: float) -> None:
    assert counted(offset((PANEL.placed(place),), distance)) == [[(4, 4)] * 3]


@pytest.mark.parametrize("place", ANYWHERE)
def test_vertices_come_back_to_a_nanometre(place: Placement) -> None:
    corners = ((10, -3), (390, -3), (403, 10), (403, 290), (390, 303), (10, 303), (-3, 290), (-3, 10))
    wanted = [place.point(corner) for corner in corners]
    (grown,) = offset((PANEL.placed(place),), 3.0)
    for point in wanted:
        assert min(point.distance(vertex.point) for vertex in grown.outer.vertices) < 1e-9


@pytest.mark.parametrize("beyond", [0.0, 1e-6, 1e-3, 0.01, 1.0])
@pytest.mark.parametrize("radius", [0.5, 3.0, 50.0])
def test_an_arc_as_narrow_as_the_distance_leaves_a_sharp_corner(radius: float, beyond: float) -> None:
    rounded = region_of(rectangle(0, 0, 400, 300, (radius,) * 4))
    for place in ANYWHERE:
        (found,) = offset((rounded.placed(place),), -radius - beyond)
        away = 2 * (radius + beyond)
        assert counted((found,)) == [[(4, 0)]]
        assert found.area == pytest.approx((400 - away) * (300 - away), abs=1e-6)


def test_a_sharp_outside_corner_gets_an_arc_and_an_inside_one_stays_sharp() -> None:
    ell = region_of(polygon([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)]))
    (grown,) = offset((ell,), 5)
    assert counted((grown,)) == [[(6, 5)]]
    assert any(vertex.point.distance(Point(45, 45)) < 1e-9 for vertex in grown.outer.vertices)
    (shrunk,) = offset((ell,), -5)
    assert counted((shrunk,)) == [[(6, 1)]]


def test_concave_arcs_widen_inwards_and_narrow_outwards() -> None:
    bitten = region_of(
        Contour((Vertex(0, 0), Vertex(40, 0, -1.0), Vertex(60, 0), Vertex(100, 0), Vertex(100, 50), Vertex(0, 50)))
    )
    (inside,) = offset((bitten,), -2)
    (outside,) = offset((bitten,), 2)
    assert {round(s.radius, 9) for s in inside.outer.segments if s.is_arc} == {12.0}
    assert {round(s.radius, 9) for s in outside.outer.segments if s.is_arc} == {8.0, 2.0}


def test_a_narrow_neck_splits_when_the_tool_is_wider() -> None:
    bell = union(BAR_BELLS)
    assert [len(offset(bell, distance)) for distance in (-1, -3.99, -4, -4.01, -19.9)] == [1, 1, 2, 2, 2]
    assert offset(bell, -20) == ()


def test_an_opening_closes_when_the_wall_grows_past_it() -> None:
    assert counted(offset((PANEL,), 29.9)) == [[(4, 4), (4, 0), (4, 0)]]
    assert counted(offset((PANEL,), 30.0)) == [[(4, 4)]]


def test_islands_between_walls_meet_the_wall() -> None:
    pocket = region_of(rectangle(0, 0, 100, 60), [circle((50, 30), 10)])
    found = offset((pocket,), -11)
    assert len(found) == 2
    assert {round(s.radius, 9) for r in found for s in r.outer.segments if s.is_arc} == {21.0}


def test_regions_that_grow_together_become_one() -> None:
    pair = (region_of(circle((0, 0), 10)), region_of(circle((25, 0), 10)))
    assert [len(offset(pair, distance)) for distance in (2.4, 2.6)] == [2, 1]
    (joined,) = offset(pair, 5)
    height = sqrt(15**2 - 12.5**2)
    for side in (height, -height):
        assert min(hypot(v.x - 12.5, v.y - side) for v in joined.outer.vertices) < 1e-9


def test_a_circle_stays_a_circle_of_two_halves() -> None:
    for distance in (5.0, -5.0):
        (found,) = offset((region_of(circle((3, 4), 20)),), distance)
        assert found == Region(circle((3, 4), 20 + distance))


def test_an_arc_of_more_than_half_a_turn_comes_back_in_two() -> None:
    keyhole = union((region_of(circle((0, 0), 20)), region_of(rectangle(0, -5, 60, 10))))
    (found,) = offset(keyhole, -1)
    big = [s for s in found.outer.segments if s.is_arc and s.radius > 10]
    assert len(big) == 2
    assert all(abs(s.bulge) <= 1 for s in big)
    assert sum(s.sweep for s in big) > pi


def test_points_on_a_line_are_one_line() -> None:
    dotted = polygon(
        [(0, 0), (10, 0), (10, 0), (20, 0), (20 + 1e-7, 0), (30, 0), (30, 1e-5), (30, 20), (15, 20), (0, 20)]
    )
    for distance, wanted in ((-3.0, (4, 0)), (3.0, (4, 4))):
        assert counted(offset((region_of(dotted),), distance)) == [[wanted]]


def test_a_circle_of_many_lines_stays_as_it_is_drawn() -> None:
    drawn = polygon([circle((0, 0), 50).segments[i // 90].point_at(i % 90 / 90) for i in range(180)])
    assert counted(offset((region_of(drawn),), -3)) == [[(180, 0)]]


@pytest.mark.parametrize("turn", [1e-9, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3])
def test_corners_that_hardly_turn_cost_no_more_than_their_arc(turn: float) -> None:
    bent = region_of(polygon([(0, 0), (50, -50 * turn), (100, 0), (100, 40), (0, 40)]))
    for distance in (6.0, -6.0):
        (found,) = offset((bent,), distance)
        assert len(found.outer.vertices) <= 10
        assert found.bounds[3] - found.bounds[1] == pytest.approx(40 + 2 * distance + 50 * turn, abs=5e-3)


def test_twenty_metres_are_no_trouble() -> None:
    field = region_of(rectangle(-20000, -20000, 40000, 40000, (100,) * 4), [circle((19000, 19000), 50)])
    (found,) = offset((field,), -6.35)
    assert counted((found,)) == [[(4, 4), (0, 2)]]
    assert found.bounds == pytest.approx((-19993.65, -19993.65, 19993.65, 19993.65), abs=1e-6)
    (far,) = offset((region_of(rectangle(19990, 19990, 10, 10, (1,) * 4)),), 0.5)
    assert far.bounds == pytest.approx((19989.5, 19989.5, 20000.5, 20000.5), abs=1e-9)


def test_nothing_left_is_an_empty_tuple() -> None:
    assert offset((), 3) == ()
    assert offset((region_of(circle((0, 0), 3)),), -3) == ()
    assert offset((region_of(slot(Point(0, 0), Point(50, 0), 8)),), -4) == ()
    assert list(Offsetter(()).levels(1, 1)) == []


def test_no_distance_changes_nothing() -> None:
    assert offset((PANEL,), 0.0) == (PANEL,)


def test_levels_follow_until_nothing_is_left() -> None:
    pocket = region_of(rectangle(0, 0, 100, 60, (5, 5, 5, 5)))
    found = list(Offsetter((pocket,)).levels(3, 2.5))
    assert [round(level[0].bounds[1], 9) for level in found] == [3 + 2.5 * i for i in range(11)]
    assert counted(found[0]) == [[(4, 4)]]
    assert all(counted(level) == [[(4, 0)]] for level in found[1:])


def test_levels_without_a_step_are_refused() -> None:
    with pytest.raises(ValueError, match="step 0 mm: it must be more than 0"):
        list(Offsetter((PANEL,)).levels(3, 0))


def test_one_offsetter_serves_many_distances_in_any_order() -> None:
    ready = Offsetter((PANEL,))
    for distance in (5.0, -5.0, 1.0, 5.0):
        assert ready.at(distance) == offset((PANEL,), distance)


def test_a_single_loop_is_taken_as_filled() -> None:
    (grown,) = offset_contour(rectangle(0, 0, 10, 10).reversed(), 1)
    assert grown.area == pytest.approx(100 + 40 + pi)
    assert offset_contour(rectangle(0, 0, 10, 10), -5) == ()


def test_results_do_not_depend_on_where_a_contour_starts() -> None:
    for start in range(8):
        turned = Region(PANEL.outer.started_at(start), PANEL.holes)
        (found,) = offset((turned,), -3)
        (wanted,) = offset((PANEL,), -3)
        for a, b in zip(found.outer.vertices, wanted.outer.vertices, strict=True):
            assert tuple(a) == pytest.approx(tuple(b), abs=1e-9)


@pytest.mark.parametrize("hair", [-0.001, 0.0, 0.0005, 0.001])
def test_crumbs_between_two_round_walls_are_not_taken_for_whole_circles(hair: float) -> None:
    ring = region_of(circle((0, 0), 18), [circle((0, 0), 12 - hair)])
    left = offset((ring,), -3)
    assert sum(region.area for region in left) <= 2 * pi * 15 * max(hair, 0) + 2 * pi * 15 * 0.002
