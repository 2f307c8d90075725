"""Rectangles, rounded polygons, slots and arcs through three points."""

from math import pi, sqrt

import pytest

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.shape import arc_through, rectangle, rounded, slot


def test_a_rectangle_without_radii_is_its_four_corners() -> None:
    assert rectangle(1, 2, 30, 40) == polygon([(1, 2), (31, 2), (31, 42), (1, 42)])


def test_radii_go_round_from_the_lower_left() -> None:
    loop = rectangle(0, 0, 100, 50, (1, 2, 3, 4))
    assert [round(s.radius, 9) for s in loop.segments if s.is_arc] == [1, 2, 3, 4]
    assert loop.area == pytest.approx(5000 - (1 - pi / 4) * (1 + 4 + 9 + 16))


def test_radii_of_half_the_height_leave_no_side_between() -> None:
    loop = rectangle(0, 0, 100, 50, (25, 25, 25, 25))
    assert len(loop.vertices) == 6
    assert rectangle(0, 0, 50, 50, (25, 25, 25, 25)).area == pytest.approx(pi * 625)


def test_a_corner_turning_right_is_rounded_the_other_way() -> None:
    ell = rounded(
        [(Point(*p), 0.0) for p in ((0, 0), (20, 0), (20, 10))]
        + [(Point(10, 10), 4.0), (Point(10, 20), 0.0), (Point(0, 20), 0.0)]
    )
    (fillet,) = [s for s in ell.segments if s.is_arc]
    assert (fillet.start, fillet.end, fillet.bulge < 0) == (Point(14, 10), Point(10, 14), True)


@pytest.mark.parametrize(
    ("radii", "message"),
    [
        ((30, 30, 0, 0), r"radii do not fit on the side from \(0, 0\) to \(50, 0\): they take 60 of its 50 mm"),
        ((-1, 0, 0, 0), r"corner at \(0, 0\): radius -1 is negative"),
    ],
)
def test_radii_that_do_not_fit_are_named(radii: tuple[float, float, float, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        rectangle(0, 0, 50, 80, radii)


def test_a_spike_takes_no_radius() -> None:
    with pytest.raises(ValueError, match=r"corner at \(10, 0\): the outline turns right back"):
        rounded([(Point(0, 0), 0.0), (Point(10, 0), 1.0), (Point(5, 0), 0.0)])


def test_three_points_give_their_arc() -> None:
    arc = arc_through(Point(10, 0), Point(0, 10), Point(-10, 0))
    assert (arc.bulge, arc.radius) == (pytest.approx(1), pytest.approx(10))
    long = arc_through(Point(10, 0), Point(-10, 0), Point(0, -10))
    assert (long.sweep, long.radius) == (pytest.approx(1.5 * pi), pytest.approx(10))
    clockwise = arc_through(Point(0, 0), Point(1, 1), Point(2, 0))
    assert clockwise.bulge == pytest.approx(-1)
    assert arc_through(Point(0, 0), Point(1, 0), Point(3, 0)).bulge == 0


def test_three_points_of_which_two_are_one_give_no_arc() -> None:
    with pytest.raises(ValueError, match="an arc needs three different points"):
        arc_through(Point(0, 0), Point(0, 0), Point(3, 0))


def test_a_slot_is_two_lines_and_two_half_turns() -> None:
    loop = slot(Point(0, 0), Point(30, 40), 10)
    assert [s.bulge for s in loop.segments] == [0, 1, 0, 1]
    assert loop.area == pytest.approx(500 + 25 * pi)
    assert loop.bounds == pytest.approx((-5, -5, 35, 45))
    assert slot(Point(1, 1), Point(1, 1), 10).area == pytest.approx(25 * pi)


def test_a_triangle_with_its_incircle_as_radius_is_that_circle() -> None:
    height = 30 * sqrt(3) / 2
    loop = rounded([(Point(*p), height / 3) for p in ((0, 0), (30, 0), (15, height))])
    assert loop.area == pytest.approx(pi * (height / 3) ** 2)
