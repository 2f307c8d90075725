"""A channel off what is open: slotted from beside it, then widened loop by loop, each a step from what was cut."""

import shapely

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.passes.fronts import CORE, STEP
from cncpanel.passes.opening import Opening
from cncpanel.passes.stroke import Seed, Stroke

DIAMETER = 6.0
SHARES = tuple(number / 16 for number in range(17))
WIDTH = 6.4  # mm of the tool's centres: 3.02 mm to each side of the core, between one step and two


def way(stroke: Stroke) -> shapely.LineString:
    places = [place for segment in stroke.chain for place in map(segment.point_at, SHARES)]
    return shapely.LineString([(place.x, place.y) for place in places])


def test_every_loop_of_a_channel_slotted_from_aside_lies_a_step_from_what_was_cut() -> None:
    opening = Opening(DIAMETER, 0.5, climb=True)
    opening._cleared.add(Area.box((-30.0, -20.0, -0.5, 20.0 + WIDTH)))
    channel = region_of(polygon([(0, 0), (40, 0), (40, WIDTH), (0, WIDTH)]))
    opening._open(channel, Area.box((-30.0, -20.0, 40.0, 20.0 + WIDTH)), 1)
    opening._flush()
    slot, *loops = opening.strokes
    assert isinstance(slot, Stroke)
    assert slot.slot
    gone = shapely.union(way(slot), shapely.box(-30.0, -20.0, -0.5, 20.0 + WIDTH))
    for loop in loops:
        assert isinstance(loop, Stroke)
        places = [shapely.Point(place) for place in way(loop).coords if 10 < place[0] < 30]
        assert max((place.distance(gone) for place in places), default=0) <= (STEP + CORE) * DIAMETER
        gone = shapely.union(gone, way(loop))
    for wall in (0.0, WIDTH):
        assert gone.buffer(0.02).covers(shapely.LineString([(10, wall), (30, wall)]))


def test_a_tool_that_does_not_plunge_comes_to_a_point_at_depth_from_what_is_cleared() -> None:
    point = region_of(polygon([(2.0, 0), (2.05, 0), (2.05, 0.05), (2.0, 0.05)]))
    for plunges in (True, False):
        opening = Opening(DIAMETER, 0.5, climb=True, plunges=plunges)
        opening._cleared.add(Area.box((-30.0, -20.0, -0.5, 20.0)))
        opening._walls = Area.box((-30.0, -20.0, 2.05, 20.0))
        opening._seed(point, 0.02, opening._walls)
        (only,) = opening.strokes
        assert plunges == isinstance(only, Seed)
        if isinstance(only, Stroke):
            assert only.slot
            assert opening._cleared.holds(only.chain[0].start)
            assert only.chain[-1].end.distance(point.outer.segments[0].start) < 0.1


def test_a_tool_that_does_not_plunge_comes_down_off_the_rim_of_what_is_cleared() -> None:
    opening = Opening(DIAMETER, 0.5, climb=True, plunges=False)
    opening._cleared.add(Area.box((-30.0, -20.0, -0.5, 20.0)))
    opening._walls = Area.box((-30.0, -20.0, 2.05, 20.0))
    (way,) = opening._into(Point(-0.4, 3.0), opening._cleared)
    assert way.start == Point(-1.0, 3.0)
    assert way.end == Point(-0.4, 3.0)
