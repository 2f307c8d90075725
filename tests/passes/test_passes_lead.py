"""How walls are met and left: circles in the scrap and flat arcs that touch the wall; by geometry."""

from math import atan2, cos, hypot, sin

import pytest

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring, rings_of
from cncpanel.passes.lead import CIRCLE_RADII, Circle, circle_at, circle_beside, overlap, quiet_place, touching
from cncpanel.passes.trail import Trail

TOOL = 3.0  # its radius, mm
(RING,) = rings_of([polygon([(0, 0), (100, 0), (100, 60), (0, 60)])])
WIDE = CIRCLE_RADII[0] * TOOL
OUTSIDE = Area.box((-20, -40, 120, TOOL))
INSIDE = Area.box((-20, -TOOL, 120, 40))


def circle(scrap: Area) -> Circle:
    found = circle_at(RING, 50.0, CIRCLE_RADII[0], TOOL, scrap)
    assert found is not None
    return found


def test_a_lead_that_rounding_alone_bends_is_a_line() -> None:
    (way,) = touching(Point(0.0, 0.0), Point(1.0, 0.0), Point(9.0, 1e-15))
    assert way.bulge == 0.0


def test_a_circle_lies_on_the_scraps_side_and_touches_the_ring() -> None:
    """The ring runs counter-clockwise along its lower edge: inside is to the left."""
    left, right = circle(INSIDE), circle(OUTSIDE)
    assert (left.clockwise, right.clockwise) == (False, True)
    assert left.centre == pytest.approx((50, WIDE))
    assert right.centre == pytest.approx((50, -WIDE))
    assert left.touch == right.touch == Point(50, 0)


def test_the_widest_circle_that_fits_is_taken_at_the_middle_of_the_longest_side() -> None:
    found = circle_beside(RING, TOOL, INSIDE)
    assert found is not None
    assert (found.s, found.touch) == (50.0, Point(50, 0))
    narrow = circle_beside(RING, TOOL, Area.box((-20, -TOOL, 120, 2 * 0.6 * TOOL + TOOL)))
    assert narrow is not None
    assert narrow.centre.distance(narrow.touch) == pytest.approx(0.6 * TOOL)
    assert circle_beside(RING, TOOL, Area.box((-20, -TOOL, 120, TOOL))) is None


@pytest.mark.parametrize("scrap", [INSIDE, OUTSIDE], ids=["left", "right"])
def test_the_way_off_is_a_quarter_circle_away_from_the_ring(scrap: Area) -> None:
    """From (52, 0) along X: its end lies a radius on and a radius aside, and half way it is aside by r - r cos 45."""
    aside = 1 if scrap is INSIDE else -1
    trail = Trail(Point(52, 0), 2.0)
    circle(scrap).leave(trail, RING, 52.0, 1000.0)
    (step,) = trail.steps
    assert (step.x, step.y) == pytest.approx((52 + WIDE, aside * WIDE))
    assert step.bulge == pytest.approx(aside * (2**0.5 - 1))  # tan of a quarter of 90 degrees


@pytest.mark.parametrize("scrap", [INSIDE, OUTSIDE], ids=["left", "right"])
def test_a_circle_is_run_the_way_the_ring_runs(scrap: Area) -> None:
    trail = Trail(Point(50, 0), 2.0)
    found = circle(scrap)
    found.down(trail, -4.0, 10.0, 800.0)
    assert (trail.point.x, trail.point.y, trail.z) == pytest.approx((50, 0, -4))
    assert {step.bulge for step in trail.steps} == {-1.0 if found.clockwise else 1.0}
    level = len(trail.steps)
    found.flat(trail, 800.0)
    assert [(step.z, step.bulge) for step in trail.steps[level:]] == [(-4.0, trail.steps[0].bulge)] * 2


def test_a_last_round_goes_on_by_half_the_radius_or_an_eighth_of_a_short_ring() -> None:
    (small,) = rings_of([polygon([(0, 0), (2, 0), (2, 1), (0, 1)])])
    assert (overlap(RING, TOOL), overlap(small, TOOL)) == (1.5, 0.75)
    assert quiet_place(Ring.of(RING.segments)) == 50.0


@pytest.mark.parametrize("angle", [0.3, -0.3, 0.05])
def test_a_flat_arc_leaves_the_wall_along_it(angle: float) -> None:
    """The chord of an arc leaves its tangent by half the turn."""
    end = Point(10 * cos(angle), 10 * sin(angle))
    (arc,) = touching(Point(0, 0), Point(1, 0), end)
    assert arc.sweep == pytest.approx(2 * angle)
    assert atan2(arc.start_direction.y, arc.start_direction.x) == pytest.approx(0, abs=1e-12)
    assert hypot(arc.end.x - end.x, arc.end.y - end.y) == 0


def test_where_an_arc_would_turn_far_or_back_a_line_is_taken() -> None:
    steep, back = Point(cos(0.6), sin(0.6)), Point(-1, 0.1)
    assert [touching(Point(0, 0), Point(1, 0), end)[0].bulge for end in (steep, back)] == [0, 0]
    assert touching(Point(0, 0), Point(1, 0), Point(1e-4, 0)) == ()
