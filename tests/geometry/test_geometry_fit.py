"""Lines and arcs through the points of free-form curves."""

from itertools import pairwise
from math import cos, pi, sin

import pytest

from cncpanel.geometry.check import worst_deviation
from cncpanel.geometry.contour import contour_of
from cncpanel.geometry.fit import fit
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment


def oval(count: int) -> list[Point]:
    return [Point(100 * cos(2 * pi * i / count), 60 * sin(2 * pi * i / count)) for i in range(count)]


def test_an_oval_takes_few_arcs_within_tolerance() -> None:
    segments = fit(oval(2000), 0.004, closed=True)
    assert len(segments) <= 40
    assert worst_deviation(contour_of(segments), oval(2000)) <= 0.005


def test_arcs_meet_without_a_kink_that_can_be_felt() -> None:
    for a, b in pairwise(fit(oval(2000), 0.004, closed=True)):
        assert abs(a.end_direction.cross(b.start_direction)) < 0.01


def test_a_circle_is_two_half_turns() -> None:
    points = [Point(50 * cos(2 * pi * i / 720), 50 * sin(2 * pi * i / 720)) for i in range(720)]
    segments = fit(points, 0.004, closed=True)
    assert [round(s.bulge, 6) for s in segments] == [1, 1]


def test_corners_stay_corners() -> None:
    square = [Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)]
    segments = fit(square, 0.004, closed=True)
    assert [s.bulge for s in segments] == [0, 0, 0, 0]
    assert {s.start for s in segments} == set(square)


def test_points_along_a_line_are_one_line() -> None:
    assert fit([Point(i, 2.0 * i) for i in range(50)], 0.004, closed=False) == [Segment(Point(0, 0), Point(49, 98))]


def test_a_line_into_an_arc_is_both() -> None:
    turn = [Point(50 + 20 * sin(i / 200), 20 - 20 * cos(i / 200)) for i in range(1, 315)]
    segments = fit([Point(i, 0) for i in range(51)] + turn, 0.004, closed=False)
    assert len(segments) <= 3
    assert segments[-1].radius == pytest.approx(20, rel=1e-3)


@pytest.mark.parametrize("closed", [True, False])
def test_too_few_points_give_nothing(closed: bool) -> None:
    assert fit([], 0.004, closed) == []
    assert fit([Point(1, 1)], 0.004, closed) == []
    assert fit([Point(1, 1)] * 5, 0.004, closed) == []


def test_repeated_points_and_turning_back_do_no_harm() -> None:
    there = [Point(0, 0), Point(0, 0), Point(5, 0), Point(10, 0), Point(10, 0), Point(5, 0)]
    segments = fit(there, 0.004, closed=False)
    assert [(s.start, s.end) for s in segments] == [(Point(0, 0), Point(10, 0)), (Point(10, 0), Point(5, 0))]
    assert len(fit([Point(0, 0), Point(5, 0), Point(0, 0)], 0.004, closed=True)) == 2
