"""Deviation from a polygon, and self-crossing."""

import pytest

from cncpanel.geometry.check import crosses_itself, worst_deviation
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.shape import rectangle

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def test_a_polygon_deviates_from_itself_by_nothing() -> None:
    assert worst_deviation(polygon(SQUARE), SQUARE) == 0


def test_chords_of_a_circle_deviate_by_their_chord_error() -> None:
    assert worst_deviation(circle((0, 0), 50), circle((0, 0), 50).flattened(0.01)) == pytest.approx(0.01, rel=0.1)


def test_whichever_strays_counts() -> None:
    assert worst_deviation(polygon(SQUARE), [*SQUARE[:2], (12.0, 5.0), *SQUARE[2:]]) == pytest.approx(2)
    assert worst_deviation(polygon([*SQUARE[:2], (12.0, 5.0), *SQUARE[2:]]), SQUARE) == pytest.approx(2)


def test_a_figure_of_eight_crosses_itself_in_its_middle() -> None:
    assert crosses_itself(polygon([(0, 0), (10, 10), (10, 0), (0, 10)])) == Point(5, 5)


def test_an_arc_may_cross_a_line_of_its_own_contour() -> None:
    looped = Contour((Vertex(0, 0), Vertex(10, 0, -5.0), Vertex(10, 2), Vertex(0, 2)))
    assert crosses_itself(looped) is not None


def test_simple_contours_do_not_cross() -> None:
    for loop in (rectangle(0, 0, 20, 10, (5, 5, 5, 5)), circle((0, 0), 3), polygon(SQUARE)):
        assert crosses_itself(loop) is None
