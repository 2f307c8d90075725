"""Roundings between lines and arcs touch both."""

from math import pi, tan

import pytest

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.panel.fillet import fillet, turn

LINE = Segment(Point(0, 0), Point(100, 0))
ARCS = [
    Segment(Point(100, 0), Point(100, 80), 0.3),
    Segment(Point(100, 0), Point(100, 80), -0.3),
    Segment(Point(100, 0), Point(60, 70), 0.6),
    Segment(Point(100, 0), Point(160, 70), 0.1),
    Segment(Point(100, 0), Point(160, -70), -0.2),
    Segment(Point(100, 0), Point(100, 80)),
]


@pytest.mark.parametrize("after", ARCS)
@pytest.mark.parametrize("radius", [1.0, 5.0, 12.0])
def test_a_fillet_leaves_one_edge_and_joins_the_next_without_a_bend(after: Segment, radius: float) -> None:
    for first, second in ((LINE, after), (after.reversed(), LINE.reversed())):
        made = fillet(first, second, radius)
        assert made is not None
        assert made.arc.radius == pytest.approx(radius)
        before, behind = first.part(0, made.before), second.part(made.after, 1)
        assert before.end == pytest.approx(made.arc.start, abs=1e-9)
        assert behind.start == pytest.approx(made.arc.end, abs=1e-9)
        assert turn(before, made.arc) == pytest.approx(0, abs=1e-6)
        assert turn(made.arc, behind) == pytest.approx(0, abs=1e-6)


def test_a_fillet_too_wide_to_touch_an_arc_from_inside_is_none() -> None:
    quarter = Segment(Point(100, 0), Point(90, 10), tan(pi / 8))
    assert fillet(LINE, quarter, 4.9) is not None
    assert fillet(LINE, quarter, 5.1) is None
    assert fillet(LINE, quarter, 11.0) is None
