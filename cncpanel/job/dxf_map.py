"""The plane's linear maps: how a block's drawing comes to lie in the drawing that uses it."""

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, isclose, isfinite, pi, sin, sqrt, tan

from cncpanel.geometry.fit import fit
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import FIT, FLATTEN, SAME_POINT

SAME_SHAPE = 1e-7  # of the size; axes this alike draw a circle: far below PATH on the largest panel
HALF_TURN_SLACK = 1e-9  # of a half turn; rounding must not split an exact half circle in two
LARGEST = 1e9  # mm; coordinates beyond lose more than PATH to rounding


@dataclass(frozen=True, slots=True)
class Map:
    """x' = a x + c y + e, y' = b x + d y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def point(self, x: float, y: float) -> Point:
        """Where a point goes."""
        return Point(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def vector(self, x: float, y: float) -> Point:
        """Where an arrow goes."""
        return Point(self.a * x + self.c * y, self.b * x + self.d * y)

    def after(self, first: "Map") -> "Map":
        """`first`, then this one."""
        (a, b), (c, d) = self.vector(first.a, first.b), self.vector(first.c, first.d)
        e, f = self.point(first.e, first.f)
        return Map(a, b, c, d, e, f)

    @property
    def mirrors(self) -> bool:
        """Whether it turns left into right."""
        return self.a * self.d - self.b * self.c < 0

    @property
    def keeps_circles(self) -> bool:
        """Whether it stretches alike in every direction."""
        return round_axes(Point(self.a, self.b), Point(self.c, self.d))

    @property
    def usable(self) -> bool:
        """Whether every number is finite and of a size that drawings have."""
        return all(isfinite(v) and abs(v) < LARGEST for v in (self.a, self.b, self.c, self.d, self.e, self.f))


MIRROR = Map(a=-1.0)  # what an extrusion of -Z does to the plane (DXF reference, arbitrary axis rule)


def round_axes(u: Point, v: Point) -> bool:
    """Whether the half axes u, v draw a circle."""
    size = u.dot(u) + v.dot(v)
    return abs(u.dot(u) - v.dot(v)) <= SAME_SHAPE * size and abs(u.dot(v)) <= SAME_SHAPE * size


def turned_segments(centre: Point, u: Point, v: Point, start: float, sweep: float) -> list[Segment]:
    """The curve centre + u cos t + v sin t, for t from `start` over `sweep` (radians, up to a full turn).

    Arcs of at most half a turn where u and v draw a circle; else arcs fitted within the tolerances. A whole
    turn closes on the very point it began with.
    """
    if round_axes(u, v):
        return _arcs(centre, u, v, start, sweep)
    most = sqrt(u.dot(u) + v.dot(v))
    count = max(ceil(abs(sweep) * sqrt(most / (8 * FLATTEN))), 8)  # sagitta = t^2 |p''| / 8
    points = _points(centre, u, v, start, sweep, count)
    if isclose(abs(sweep), 2 * pi, abs_tol=1e-9):
        return fitted(points[:-1], closed=True)
    return fitted(points, closed=False)


def fitted(points: list[Point], closed: bool) -> list[Segment]:
    """Lines and arcs through a free-form curve's points; none where all points are one."""
    kept = [p for i, p in enumerate(points) if i == 0 or p.distance(points[i - 1]) > SAME_POINT]
    if len(kept) < 2:
        return []
    return fit(kept, FIT, closed)


def _points(centre: Point, u: Point, v: Point, start: float, sweep: float, count: int) -> list[Point]:
    angles = [start + sweep * i / count for i in range(count + 1)]
    return [centre.plus(u.times(cos(t))).plus(v.times(sin(t))) for t in angles]


def _arcs(centre: Point, u: Point, v: Point, start: float, sweep: float) -> list[Segment]:
    whole = isclose(abs(sweep), 2 * pi, abs_tol=1e-9)
    count = 2 if whole else max(ceil(abs(sweep) / pi - HALF_TURN_SLACK), 1)
    points = _points(centre, u, v, start, sweep, count)
    if whole:
        points[-1] = points[0]
    side = 1.0 if u.cross(v) > 0 else -1.0
    bulge = side * tan(sweep / count / 4)
    return [Segment(p, q, bulge) for p, q in pairwise(points)]


def mapped_segments(segment: Segment, place: Map) -> list[Segment]:
    """A line or an arc as it comes to lie; an arc under an uneven stretch becomes part of an ellipse."""
    start, end = place.point(*segment.start), place.point(*segment.end)
    if not segment.bulge or place.keeps_circles:
        return [Segment(start, end, -segment.bulge if place.mirrors else segment.bulge)]
    centre, arm = segment.centre, segment.start.minus(segment.centre)
    u, v = place.vector(*arm), place.vector(*arm.left)
    curve = turned_segments(place.point(*centre), u, v, 0.0, segment.sweep)
    return _ended(curve, start, end)


def _ended(curve: list[Segment], start: Point, end: Point) -> list[Segment]:
    """The curve with its ends put exactly where its neighbours expect them."""
    if not curve:
        return [Segment(start, end)]
    curve[0] = Segment(start, curve[0].end, curve[0].bulge)
    curve[-1] = Segment(curve[-1].start, end, curve[-1].bulge)
    return curve
