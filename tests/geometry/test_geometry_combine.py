"""Regions joined, cut and compared, their own lines and arcs kept."""

from math import pi

import pytest
from counting import counted

from cncpanel.geometry.combine import (
    contains,
    difference,
    gap,
    intersection,
    opened,
    overlap_area,
    union,
    unreached,
)
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.shape import rectangle, slot

BOARD = region_of(rectangle(0, 0, 100, 60, (10, 10, 10, 10)))
ANYWHERE = (Placement(), Placement(angle_deg=33, x=7.7), Placement(mirrored=True, angle_deg=90, y=-1e4))


def test_a_disc_over_an_edge_gives_one_piece_with_their_arcs() -> None:
    disc = region_of(circle((100, 30), 15))
    assert counted(union((BOARD, disc))) == [[(5, 5)]]
    assert counted(difference((BOARD,), (disc,))) == [[(5, 5)]]
    assert counted(intersection((BOARD,), (disc,))) == [[(1, 1)]]
    assert overlap_area(BOARD, disc) == pytest.approx(pi * 225 / 2, abs=1e-9)


def test_a_circle_of_four_arcs_a_rounding_apart_is_a_circle() -> None:
    """As a drawing file holds it: the quarters' centres differ by 4e-7 mm, so that their chords cross at a joint."""
    quarters = Contour(
        (
            Vertex(31.919995999999998, 82.5, 0.4142136718749931),
            Vertex(29.999996000000003, 84.41999999999999, 0.4142136718750053),
            Vertex(28.079996, 82.5, 0.4142136718749941),
            Vertex(29.999996000000003, 80.58000000000001, 0.4142136718750079),
        )
    )
    drawn, plate = region_of(quarters), region_of(rectangle(0, 0, 160, 90))
    assert difference((drawn,), (plate,)) == ()
    assert overlap_area(drawn, plate) == pytest.approx(pi * 1.92**2, rel=1e-5)
    assert union((drawn, plate))[0].area == pytest.approx(160 * 90)
    (holed,) = difference((plate,), (drawn,))
    assert holed.area == pytest.approx(160 * 90 - pi * 1.92**2)


def test_a_disc_inside_becomes_a_hole_of_two_halves() -> None:
    (holed,) = difference((BOARD,), (region_of(circle((50, 30), 12)),))
    assert holed.holes == (circle((50, 30), 12).reversed(),)


@pytest.mark.parametrize("place", ANYWHERE)
def test_boards_side_by_side_are_one_without_a_seam(place: Placement) -> None:
    left, right = region_of(rectangle(0, 0, 50, 30)), region_of(rectangle(50, 0, 20, 30))
    step = region_of(rectangle(50, 5, 20, 10))
    left, right, step = (region.placed(place) for region in (left, right, step))
    assert counted(union((left, right))) == [[(4, 0)]]
    assert counted(union((left, step))) == [[(8, 0)]]
    assert counted(difference((left,), (right,))) == [[(4, 0)]]
    assert intersection((left,), (step,)) == ()


@pytest.mark.parametrize("place", ANYWHERE)
def test_slots_that_share_a_round_end_join_along_it(place: Placement) -> None:
    first = region_of(slot(Point(10, 10), Point(50, 10), 8)).placed(place)
    last = region_of(slot(Point(50, 10), Point(90, 10), 8)).placed(place)
    assert counted(union((first, last))) == [[(2, 2)]]


def test_a_region_less_itself_is_nothing() -> None:
    assert difference((BOARD,), (BOARD,)) == ()
    assert union((BOARD, BOARD)) == union((BOARD,))
    assert intersection((BOARD,), ()) == ()
    assert union(()) == ()


def test_arcs_over_the_same_circle_leave_no_slivers() -> None:
    half, whole = region_of(rectangle(-20, 0, 40, 20)), region_of(circle((0, 0), 20))
    (top,) = intersection((half,), (whole,))
    assert counted((top,)) == [[(1, 1)]]
    (rest,) = difference((whole,), (top,))
    assert counted((rest,)) == [[(1, 1)]]
    (again,) = union((top, rest))
    assert counted((again,)) == [[(0, 2)]]
    assert again.area == pytest.approx(400 * pi, abs=1e-9)


def test_pieces_come_from_left_to_right_and_start_lower_left() -> None:
    cut = difference((BOARD,), (region_of(rectangle(40, -5, 20, 70)),))
    assert [round(piece.bounds[0], 9) for piece in cut] == [0, 60]
    assert union(cut) == union(cut[::-1])
    assert cut[1].outer.vertices[0].point == Point(60, 0)


def test_slivers_are_dropped() -> None:
    assert difference((BOARD,), (region_of(rectangle(0, 0, 100, 60 - 1e-7)),)) == ()


def test_one_region_holds_another_within_the_slack() -> None:
    inner = region_of(rectangle(-0.5, 10, 20, 20))
    assert contains(BOARD, BOARD, 0.0)
    assert not contains(BOARD, inner, 0.49)
    assert contains(BOARD, inner, 0.51)
    assert contains(BOARD, region_of(rectangle(5, 15, 20, 20)), -4.9)
    assert not contains(BOARD, region_of(rectangle(5, 15, 20, 20)), -5.1)


def test_a_hole_that_is_covered_is_not_inside() -> None:
    holed = region_of(BOARD.outer, [circle((50, 30), 10)])
    assert not contains(holed, region_of(circle((50, 30), 12)), 1.0)


def test_the_gap_is_the_shortest_distance() -> None:
    assert gap(region_of(circle((0, 0), 10)), region_of(circle((30, 40), 15))) == pytest.approx(25, abs=4e-3)
    assert gap(BOARD, region_of(circle((50, 30), 5))) == 0


def test_a_round_tool_rounds_inside_corners_and_leaves_their_rest() -> None:
    square = region_of(rectangle(0, 0, 50, 30))
    assert counted(opened((square,), 3)) == [[(4, 4)]]
    left = unreached(square, 3, 0.1)
    assert counted(left) == [[(2, 1)]] * 4
    for piece in left:
        assert piece.area == pytest.approx((4 - pi) * 9 / 4, abs=1e-9)


def test_a_neck_that_the_tool_cannot_pass_is_unreached() -> None:
    rooms = union(
        (region_of(rectangle(0, 0, 30, 30)), region_of(rectangle(30, 12, 20, 5)), region_of(rectangle(50, 0, 30, 30)))
    )
    necks = [piece for piece in unreached(rooms[0], 3, 4) if piece.bounds[0] > 20 and piece.bounds[2] < 60]
    assert len(necks) == 1
    assert unreached(rooms[0], 3, 25) == ()


def test_all_corners_round_enough_leave_nothing() -> None:
    assert unreached(BOARD, 10, 0.0) == ()
    assert unreached(BOARD, 9.99, 0.0) == ()
    assert opened((BOARD,), 30.5) == ()


def test_a_polygon_of_chords_keeps_its_chords() -> None:
    star = region_of(polygon([(0, 0), (10, 4), (20, 0), (16, 10), (20, 20), (10, 16), (0, 20), (4, 10)]))
    assert counted(union((star,))) == [[(8, 0)]]
