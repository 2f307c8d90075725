"""How far places lie from a tab's bar, and how far a bend's wall lies behind its tangent: by plain geometry."""

from math import hypot, sqrt

import pytest

from cncpanel.geometry.point import Point
from cncpanel.passes.bridge import Bar
from cncpanel.passes.spot import _bow

# 8 mm along Y about (10, 20), from 1 mm behind the wall to 6 mm before it, falling away over 3 mm on both sides
BAR = Bar(
    centre=Point(10, 20), along=Point(0, 1), across=Point(1, 0), width=8, inner=-1, outer=6, flank=3,
    middle=Point(12.5, 20), reach=hypot(7, 3.5),
)  # fmt: skip


@pytest.mark.parametrize(
    ("x", "y", "past", "off"), [(12, 30, 6, 0), (12, 10, 6, 0), (7, 20, -4, 2), (20, 17, -1, 4), (9, 24, 0, 0)]
)
def test_a_place_lies_past_a_bar_along_the_wall_and_off_it_across(x: float, y: float, past: float, off: float) -> None:
    place = Point(x, y)
    assert (past, off) == (BAR.past(place), BAR.off(place))
    assert BAR.distance(place) == pytest.approx(hypot(max(past, 0), off))
    assert BAR.distance_to_foot(place) == pytest.approx(hypot(max(past - 3, 0), off))


def test_a_bend_lies_behind_its_tangent_by_its_sagitta() -> None:
    """Width by turn is the radius: of 10 mm and a radian, the sagitta of a chord of 10 mm on a radius of 10."""
    assert _bow(10.0, 1.0) == pytest.approx(10 - sqrt(75))
    assert _bow(10.0, 4.0) == pytest.approx(5)  # no more than half a circle
    assert _bow(10.0, 0.0) == 0
