"""Areas of boxes, strips and discs against their closed forms."""

from math import pi

import pytest
import shapely

from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

BOX = Area.box((10, 20, 110, 60))
NOTHING = Area.of(())


def test_a_strips_mean_width_is_twice_its_area_over_its_rim() -> None:
    assert Area.box((0, 0, 100, 2)).mean_width == pytest.approx(2 * 200 / 204)
    assert NOTHING.mean_width == 0.0
    assert (NOTHING.is_empty, NOTHING.size, BOX.is_empty, BOX.size) == (True, 0.0, False, 4000.0)


def test_a_swept_line_is_a_rectangle_with_a_disc_at_each_end() -> None:
    swept = Area.swept([[Segment(Point(0, 0), Point(30, 40))], []], 5)
    assert swept.size == pytest.approx(50 * 10 + 25 * pi, rel=1e-3)
    assert swept.bounds == pytest.approx((-5, -5, 35, 45), abs=1e-3)


def test_what_lies_round_an_area_within_a_millimetre_of_its_box() -> None:
    assert BOX.outside.size == pytest.approx(102 * 42 - 4000)
    assert BOX.outside.bounds == (9, 19, 111, 61)


def test_areas_are_added_taken_away_cut_and_grown() -> None:
    other = Area.box((60, 40, 160, 80))  # 50 x 20 of it in common
    assert BOX.plus(other).size == 4000 + 4000 - 1000
    assert BOX.minus(other).size == 3000
    assert BOX.within(other).size == BOX.overlap(other) == 1000
    assert BOX.grown(2).size == pytest.approx(4000 + 2 * 280 + 4 * pi, rel=1e-4)
    assert BOX.grown(-3).size == pytest.approx(94 * 34)
    assert BOX.turned(90, Point(10, 20)).bounds == pytest.approx((-30, 20, 10, 120))
    assert len(BOX.minus(Area.box((50, 0, 52, 99))).parts) == 2


def test_a_narrow_area_is_covered_by_a_disc_along_its_spine() -> None:
    """A disc of 5 over a strip 6 wide reaches 4 further along its middle than its own centre: 3-4-5."""
    spine = Area.box((0, 0, 50, 6)).spine(5)
    assert spine is not None
    assert sorted((spine.start, spine.end)) == [
        (pytest.approx(4), pytest.approx(3)),
        (pytest.approx(46), pytest.approx(3)),
    ]
    upright = Area.box((0, 0, 6, 50)).spine(5)
    assert upright is not None
    assert sorted((upright.start, upright.end)) == [
        (pytest.approx(3), pytest.approx(4)),
        (pytest.approx(3), pytest.approx(46)),
    ]
    spot = Area.box((0, 0, 6, 6)).spine(5)
    assert spot is not None
    assert spot.start.distance(spot.end) == pytest.approx(0)
    assert Area.box((0, 0, 50, 10)).spine(5) is None
    assert NOTHING.spine(5) is None


def test_discs_boxes_and_lines_are_held_up_to_the_rim() -> None:
    assert BOX.holds_disc(Point(30, 40), 20)
    assert not BOX.holds_disc(Point(30, 40), 20.001)
    assert not BOX.holds_disc(Point(0, 40), 5)
    assert BOX.holds_box((10, 20, 110, 60))
    assert not BOX.holds_box((9.99, 20, 110, 60))
    assert BOX.holds_line(Point(10, 20), Point(110, 20.0), 0.0)
    assert BOX.holds_line(Point(20, 30), Point(110.9, 40), 1.0)
    assert not BOX.holds_line(Point(20, 30), Point(111.1, 40), 1.0)


def test_a_lattice_has_the_whole_multiples_inside() -> None:
    assert Area.box((1, 1, 11, 6)).lattice(5) == [Point(5, 5), Point(10, 5)]
    fine = Area.box((-0.6, 0.1, 3.9, 2.9)).lattice(0.5)  # -0.5 to 3.5 across, 0.5 to 2.5 up
    assert fine == [Point(x / 2, y / 2) for x in range(-1, 8) for y in range(1, 6)]
    assert NOTHING.lattice(5) == []


def test_lengths_spans_and_distances() -> None:
    holed = BOX.minus(Area.box((40, 30, 60, 50)))
    assert holed.spans(40) == [(10, 40), (60, 110)]
    assert holed.spans(70) == []
    assert NOTHING.spans(0) == []
    assert holed.length_inside(Point(0, 40), Point(200, 40)) == 80
    assert BOX.distance(Point(113, 64)) == 5
    assert BOX.distance(Point(50, 30)) == 0
    assert BOX.gap(Area.box((113, 64, 120, 70))) == 5
    assert BOX.shape.contains(shapely.Point(holed.inner_point))
