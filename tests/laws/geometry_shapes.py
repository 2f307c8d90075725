"""Strategies for contours and regions with lines and arcs of every kind, anywhere, turned and mirrored."""

from math import cos, pi, sin

import shapely
from hypothesis import assume
from hypothesis import strategies as st

from cncpanel.geometry.check import crosses_itself
from cncpanel.geometry.contour import Contour, Path, Vertex, circle
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.shape import rectangle, rounded, slot

BULGES = st.sampled_from((0.0, 0.0, 0.0, 0.3, -0.3, 1e-3, -1e-2)) | st.floats(-0.5, 0.5).map(lambda b: round(b, 4))
RADII = st.sampled_from((0.0, 3.0, 8.0))


def length(least: float, most: float) -> st.SearchStrategy[float]:
    return st.floats(least, most).map(lambda value: round(value, 3))


@st.composite
def rectangles(draw: st.DrawFn) -> Contour:
    width, height = draw(length(20, 100)), draw(length(20, 100))
    return rectangle(-width / 2, -height / 2, width, height, draw(st.tuples(RADII, RADII, RADII, RADII)))


@st.composite
def slots(draw: st.DrawFn) -> Contour:
    return slot(Point(0, 0), Point(draw(length(0, 60)), draw(length(1, 60))), draw(length(5, 40)))


@st.composite
def stars(draw: st.DrawFn) -> Contour:
    """Loops that bend in and out, by lines and by arcs."""
    count = draw(st.integers(3, 9))
    vertices = []
    for i in range(count):
        angle, reach = 2 * pi * (i + draw(st.floats(-0.3, 0.3))) / count, draw(length(20, 50))
        vertices.append(Vertex(reach * cos(angle), reach * sin(angle), draw(BULGES)))
    loop = Contour(tuple(vertices)).counter_clockwise
    assume(crosses_itself(loop) is None)
    return loop


@st.composite
def convex(draw: st.DrawFn) -> Contour:
    """Polygons on a circle, their corners sharp or rounded."""
    count = draw(st.integers(4, 7))
    radius = draw(st.sampled_from((0.0, 2.0, 5.0)))
    angles = [2 * pi * (i + draw(st.floats(-0.25, 0.25))) / count for i in range(count)]
    return rounded([(Point(50 * cos(angle), 50 * sin(angle)), radius) for angle in angles])


LOOPS = rectangles() | slots() | stars() | length(10, 50).map(lambda radius: circle((0, 0), radius))
PLACEMENTS = st.builds(
    Placement,
    x=length(-900, 900),
    y=length(-900, 900),
    angle_deg=st.sampled_from((0.0, 90.0)) | length(0, 360),
    mirrored=st.booleans(),
)


def shrunk(loop: Contour, factor: float, x: float, y: float) -> Contour:
    return Contour(tuple(Vertex(v.x * factor + x, v.y * factor + y, v.bulge) for v in loop.vertices))


@st.composite
def regions(draw: st.DrawFn) -> Region:
    outer = draw(LOOPS)
    room = shapely.Polygon(outer.flattened(0.001))
    assume(room.is_valid)
    room, holes = room.buffer(-0.5), []
    for _ in range(draw(st.integers(0, 2))):
        hole = shrunk(draw(LOOPS), 0.2, draw(length(-25, 25)), draw(length(-25, 25)))
        shape = shapely.Polygon(hole.flattened(0.001))
        if room.contains(shape):
            holes.append(hole)
            room = room.difference(shape.buffer(0.5))
    return region_of(outer, holes).placed(draw(PLACEMENTS))


@st.composite
def paths(draw: st.DrawFn) -> Path:
    x = y = 0.0
    heading = draw(st.floats(0, 6))
    vertices = []
    for _ in range(draw(st.integers(1, 4))):
        vertices.append(Vertex(x, y, draw(BULGES | st.sampled_from((0.9, -1.0, 1.3)))))
        heading += draw(st.sampled_from((0.0, pi / 2, -pi / 2)) | st.floats(-2, 2))
        step = draw(length(0.5, 50))
        x, y = x + step * cos(heading), y + step * sin(heading)
    return Path((*vertices, Vertex(x, y)))
