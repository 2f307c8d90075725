"""Where lines and arcs meet, one pair or many: by hand, and against GEOS on the flattened curves."""

import random

import pytest
import shapely

from cncpanel.geometry import meeting
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.meeting import TooDenseError, contour_meetings, holds, meetings
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

HALF = Segment(Point(-10, 0), Point(10, 0), -1.0)  # over the top


def test_lines_that_cross_share_a_point() -> None:
    across = meetings(Segment(Point(0, 0), Point(10, 10)), Segment(Point(0, 10), Point(10, 0)))
    assert across == [Point(5, 5)]


def test_lines_that_would_cross_beyond_their_ends_do_not() -> None:
    assert meetings(Segment(Point(0, 0), Point(1, 0)), Segment(Point(5, -1), Point(5, 1))) == []


def test_a_line_over_a_line_shares_the_ends_of_the_stretch() -> None:
    found = meetings(Segment(Point(0, 0), Point(10, 0)), Segment(Point(4, 0), Point(20, 0)))
    assert sorted(set(found)) == [Point(4, 0), Point(10, 0)]


def test_a_line_meets_only_the_half_of_the_circle_that_is_drawn() -> None:
    assert meetings(Segment(Point(-20, 5), Point(20, 5)), HALF) == [
        pytest.approx(Point(x, 5)) for x in (-(75**0.5), 75**0.5)
    ]
    assert meetings(Segment(Point(-20, -5), Point(20, -5)), HALF) == []


def test_a_tangent_circle_touches() -> None:
    touching = Segment(Point(0, 20), Point(0, 10), 1.0)
    assert any(p.distance(Point(0, 10)) < 1e-6 for p in meetings(HALF, touching))


def test_a_point_on_an_arc_is_held_and_its_mirror_is_not() -> None:
    assert holds(HALF, Point(0, 10))
    assert not holds(HALF, Point(0, -10))


def test_a_clean_contour_meets_nothing() -> None:
    rounded = Contour((Vertex(0, 0), Vertex(90, 0, 0.41421356), Vertex(100, 10), Vertex(100, 50), Vertex(0, 50)))
    assert list(contour_meetings([rounded, circle((30, 25), 10), circle((60, 25), 10)])) == []


def test_touching_contours_are_told_with_their_numbers() -> None:
    found = list(contour_meetings([circle((0, 0), 10), circle((20, 0), 10)]))
    assert {(m.first[0], m.second[0]) for m in found} == {(0, 1)}
    assert all(m.point.distance(Point(10, 0)) < 1e-5 for m in found)


def test_a_spike_is_told() -> None:
    spike = polygon([(0, 0), (100, 0), (100, 50), (100, 20), (100, 80), (0, 80)])
    assert [m.first[0] for m in contour_meetings([spike])] != []


def test_more_pairs_than_can_be_looked_at_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(meeting, "MOST_PAIRS", 100)
    with pytest.raises(TooDenseError):
        list(contour_meetings([circle((0, 0), r) for r in range(1, 40)]))


def test_pairs_agree_with_geos_on_flattened_curves() -> None:
    """3000 random pairs: where GEOS sees the chords clearly cross or stay clear, so do we."""
    chance = random.Random(5)
    clear = crossed = 0
    for _ in range(3000):
        one, other = (random_segment(chance) for _ in range(2))
        a, b = (shapely.LineString([*s.flattened(1e-4), s.end]) for s in (one, other))
        if a.distance(b) > 1e-3:
            assert meetings(one, other) == []
            clear += 1
        elif a.crosses(b):
            assert meetings(one, other) != []
            crossed += 1
    assert min(clear, crossed) > 300


def random_segment(chance: random.Random) -> Segment:
    start, end = (Point(chance.uniform(0, 10), chance.uniform(0, 10)) for _ in range(2))
    return Segment(start, end, chance.choice([0.0, chance.uniform(-1, 1)]))
