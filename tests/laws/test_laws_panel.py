"""Laws of panels: whatever is drawn, floors never overlap, stay inside, and open only beyond the rim."""

from math import pi

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cncpanel.geometry.combine import intersection, overlap_area
from cncpanel.geometry.contour import contour_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import rectangle
from cncpanel.panel.fillet import fillet, fraction_at, turn
from cncpanel.panel.rim import RUN_OUT, opened_at_rim

coordinate = st.integers(-50, 50).map(float)
bulge = st.sampled_from([0.0, 0.0, 0.2, -0.2, 0.6, -0.6])


@given(coordinate, coordinate, coordinate, coordinate, bulge, bulge, st.floats(0.5, 8))
def test_a_fillet_touches_both_edges_smoothly(
    x: float, y: float, x2: float, y2: float, first: float, second: float, radius: float
) -> None:
    corner, before, after = Point(0.0, 0.0), Point(x, y), Point(x2, y2)
    assume(min(before.norm, after.norm) > 1)
    a, b = Segment(before, corner, first), Segment(corner, after, second)
    assume(0.05 < abs(turn(a, b)) < pi - 0.05)
    made = fillet(a, b, radius)
    assume(made is not None and made.before > 0.01 and made.after < 0.99)
    assert made is not None
    assert made.arc.radius == pytest.approx(radius, rel=1e-6)
    assert a.point_at(made.before) == pytest.approx(made.arc.start, abs=1e-6)
    assert b.point_at(made.after) == pytest.approx(made.arc.end, abs=1e-6)
    assert a.part(0, made.before).end_direction == pytest.approx(made.arc.start_direction, abs=1e-5)
    assert b.part(made.after, 1).start_direction == pytest.approx(made.arc.end_direction, abs=1e-5)


@given(coordinate, coordinate, bulge, st.floats(0, 1))
def test_the_fraction_of_a_point_gives_the_point_back(x: float, y: float, bend: float, share: float) -> None:
    assume(abs(x) + abs(y) > 1)
    segment = Segment(Point(0.0, 0.0), Point(x, y), bend)
    assert fraction_at(segment, segment.point_at(share)) == pytest.approx(share, abs=1e-9)


@given(
    st.integers(-20, 90),
    st.integers(-20, 90),
    st.integers(8, 60),
    st.integers(8, 60),
    st.sampled_from([0.0, 3.0]),
    st.sampled_from([0.0, 12.0]),
)
def test_what_opens_at_the_rim_is_exact_inside_and_bounded_outside(
    x: int, y: int, width: int, height: int, radius: float, corner: float
) -> None:
    whole = Region(rectangle(0, 0, 100, 100, (corner,) * 4))
    drawn = Region(rectangle(x, y, width, height, (radius,) * 4))
    for region in intersection((drawn,), (whole,)):
        opened = opened_at_rim(region, whole)
        assert overlap_area(opened, whole) == pytest.approx(region.area, abs=0.02)
        assert overlap_area(opened, region) == pytest.approx(region.area, abs=0.02)
        left, low, right, high = opened.bounds
        assert min(left, low) >= -RUN_OUT - 1e-6
        assert max(right, high) <= 100 + RUN_OUT + 1e-6


def test_a_region_that_only_comes_near_the_rim_is_not_opened() -> None:
    whole, inner = Region(rectangle(0, 0, 100, 100)), Region(rectangle(0.02, 10, 30, 30))
    assert opened_at_rim(inner, whole) == inner


def test_an_arc_on_an_arc_rim_is_found() -> None:
    rim = contour_of([Segment(Point(0, 0), Point(100, 0), 0.5), Segment(Point(100, 0), Point(0, 0))])
    whole = Region(rim.counter_clockwise)
    (region,) = intersection((whole,), (Region(rectangle(40, -60, 20, 55)),))
    assert opened_at_rim(region, whole).area > region.area + 20 * RUN_OUT
