"""An area for yes-and-no questions: flattened, so never a source of paths that must be exact."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, sqrt

import numpy as np
import shapely
import shapely.affinity

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat_all
from cncpanel.geometry.segment import Bounds, Segment

CHORD = 0.005  # mm; questions are asked with more slack than this
ROUND = 32  # chords a quarter turn where discs are swept: 0.004 mm short at a 6 mm tool


@dataclass(frozen=True, slots=True)
class Area:
    """Any set of pieces of the plane, arcs as chords."""

    shape: shapely.Geometry

    @staticmethod
    def of(regions: Iterable[Region]) -> "Area":
        """What the regions cover."""
        return Area(flat_all(regions, CHORD))

    @staticmethod
    def box(bounds: Bounds) -> "Area":
        """The upright rectangle."""
        return Area(shapely.box(*bounds))

    @staticmethod
    def swept(chains: Iterable[Sequence[Segment]], radius: float) -> "Area":
        """What a disc of `radius` mm covers whose centre follows the chains."""
        lines = [line_of(chain) for chain in chains if chain]
        return Area(shapely.union_all(shapely.buffer(lines, radius, quad_segs=ROUND)))

    @staticmethod
    def along(chain: Sequence[Segment], distance: float) -> "Area":
        """What lies no further than `distance` mm beside the chain, nothing before its start or behind its end."""
        return Area(shapely.buffer(line_of(chain), distance, quad_segs=ROUND, cap_style="flat"))

    @property
    def is_empty(self) -> bool:
        """Whether nothing is in it."""
        return bool(self.shape.is_empty)

    @property
    def size(self) -> float:
        """In mm2."""
        return float(self.shape.area)

    @property
    def mean_width(self) -> float:
        """Of a strip: twice the area over the length round it, mm."""
        return float(2 * self.shape.area / self.shape.length) if self.shape.length else 0.0

    @property
    def widest(self) -> float:
        """The diameter of the largest disc that lies in one of its pieces, mm, to 0.001."""
        return max(
            (2 * float(shapely.maximum_inscribed_circle(part.shape, 5e-4).length) for part in self.parts), default=0.0
        )

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax)."""
        xmin, ymin, xmax, ymax = self.shape.bounds
        return xmin, ymin, xmax, ymax

    @property
    def inner_point(self) -> Point:
        """A point well inside; raises where the area is empty."""
        inside = self.shape.representative_point()
        return Point(inside.x, inside.y)

    @property
    def parts(self) -> "tuple[Area, ...]":
        """Its separate pieces."""
        return tuple(Area(part) for part in shapely.get_parts(self.shape) if part.area > 0)

    @property
    def outside(self) -> "Area":
        """What lies within 1 mm round its box and is not in it."""
        left, low, right, high = self.bounds
        return Area(shapely.difference(shapely.box(left - 1, low - 1, right + 1, high + 1), self.shape))

    def plus(self, other: "Area") -> "Area":
        """Both together."""
        return Area(shapely.union(self.shape, other.shape))

    def minus(self, other: "Area") -> "Area":
        """This without the other."""
        return Area(shapely.difference(self.shape, other.shape))

    def within(self, other: "Area") -> "Area":
        """What both cover."""
        return Area(shapely.intersection(self.shape, other.shape))

    def grown(self, distance: float) -> "Area":
        """Grown (or shrunk: negative) by `distance` mm, corners rounded."""
        return Area(shapely.buffer(self.shape, distance, quad_segs=ROUND))

    def spine(self, radius: float) -> Segment | None:
        """The shortest straight way of a disc that covers it all, of no length where one place will do.

        It lies along the middle of the narrowest rectangle round the area; None where the disc is too small for that.
        """
        corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(self.shape))[:4].tolist()
        if len(corners) < 4:
            return None
        a, b, c, d = (Point(x, y) for x, y in corners)
        if a.distance(b) < b.distance(c):
            a, b, c, d = b, c, d, a
        half, length = b.distance(c) / 2, a.distance(b)
        if half >= radius:
            return None
        begin, end = a.plus(d).times(0.5), b.plus(c).times(0.5)
        spared = end.minus(begin).times(min(sqrt(radius * radius - half * half) / length, 0.5))
        return Segment(begin.plus(spared), end.minus(spared))

    def turned(self, angle_deg: float, about: Point) -> "Area":
        """Turned by `angle_deg` counter-clockwise about a point."""
        return Area(shapely.affinity.rotate(self.shape, angle_deg, origin=(about.x, about.y)))

    def holds_disc(self, centre: Point, radius: float) -> bool:
        """Whether the disc lies wholly inside."""
        middle = shapely.Point(centre)
        return bool(self.shape.covers(middle) and self.shape.boundary.distance(middle) >= radius)

    def lattice(self, pitch: float) -> list[Point]:
        """The places inside whose coordinates are whole multiples of `pitch` mm, from the left, each column upwards."""
        if self.is_empty:
            return []
        xmin, ymin, xmax, ymax = self.bounds
        across = np.arange(ceil(xmin / pitch), floor(xmax / pitch) + 1) * pitch
        up = np.arange(ceil(ymin / pitch), floor(ymax / pitch) + 1) * pitch
        xs, ys = (grid.ravel() for grid in np.meshgrid(across, up, indexing="ij"))
        shapely.prepare(self.shape)
        inside = shapely.contains_xy(self.shape, xs, ys)
        return [Point(x, y) for x, y in zip(xs[inside].tolist(), ys[inside].tolist(), strict=True)]

    def holds_box(self, bounds: Bounds) -> bool:
        """Whether the upright rectangle lies wholly inside; quick when asked often of one area."""
        shapely.prepare(self.shape)
        return bool(shapely.covers(self.shape, shapely.box(*bounds)))

    def holds_line(self, start: Point, end: Point, slack: float) -> bool:
        """Whether the straight line from `start` to `end` leaves the area by `slack` mm at most."""
        line = shapely.LineString([start, end])
        shapely.prepare(self.shape)
        return bool(shapely.covers(self.shape, line)) or bool(shapely.covers(shapely.buffer(self.shape, slack), line))

    def spans(self, y: float) -> list[tuple[float, float]]:
        """The pieces (x0, x1) of the level line at `y` that lie inside, from the left."""
        if self.is_empty:
            return []
        xmin, _, xmax, _ = self.bounds
        cut = shapely.intersection(self.shape, shapely.LineString([(xmin - 1, y), (xmax + 1, y)]))
        parts = [part.bounds for part in shapely.get_parts(cut) if part.geom_type == "LineString" and part.length]
        return sorted((x0, x1) for x0, _, x1, _ in parts)

    def length_inside(self, start: Point, end: Point) -> float:
        """How much of the straight line lies inside, mm."""
        return float(shapely.intersection(shapely.LineString([start, end]), self.shape).length)

    def distance(self, point: Point) -> float:
        """From the point to the area, 0 inside."""
        return float(shapely.distance(self.shape, shapely.Point(point)))

    def rim_within(self, others: "Iterable[Area]", reach: float) -> float:
        """How much of the rim lies in any of the others or within `reach` mm of them, mm."""
        near = shapely.buffer(shapely.union_all([other.shape for other in others]), reach)
        return float(shapely.intersection(self.shape.boundary, near).length)

    def nearest(self, point: Point) -> Point:
        """Its place nearest to the point; it must not be empty."""
        line = shapely.shortest_line(self.shape, shapely.Point(point))
        return Point(*line.coords[0])

    def gap(self, other: "Area") -> float:
        """The shortest distance to the other area, 0 where they meet."""
        return float(shapely.distance(self.shape, other.shape))

    def overlap(self, other: "Area") -> float:
        """The area of what both cover, mm2."""
        return float(shapely.intersection(self.shape, other.shape).area)


def line_of(chain: Sequence[Segment], chord_error: float = CHORD) -> shapely.Geometry:
    """A chain of segments as a shapely line; raises IndexError for an empty chain."""
    points = [point for segment in chain for point in segment.flattened(chord_error)]
    return shapely.linestrings(np.array([*points, chain[-1].end]))


def strays(loops: Sequence[Contour], others: Sequence[Contour], distance: float) -> bool:
    """Whether a stretch of `loops` lies further than `distance` mm from all of `others`."""
    if not others:
        return bool(loops)
    near = shapely.union_all([line_of(loop.segments).buffer(distance, quad_segs=ROUND) for loop in others])
    return any(not near.covers(line_of(loop.segments)) for loop in loops)
