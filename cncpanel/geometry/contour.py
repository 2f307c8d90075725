"""Chains of lines and arcs: `Path` is open, `Contour` closed and counter-clockwise round material by custom."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sin
from typing import NamedTuple

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment


class Vertex(NamedTuple):
    """A corner, and the bulge of the segment that leaves it."""

    x: float
    y: float
    bulge: float = 0.0

    @property
    def point(self) -> Point:
        """The place without the bulge."""
        return Point(self.x, self.y)


def joined_bounds(boxes: Iterable[Bounds]) -> Bounds:
    """The box round all boxes; raises ValueError when there is none."""
    xmin, ymin, xmax, ymax = zip(*boxes, strict=True)
    return min(xmin), min(ymin), max(xmax), max(ymax)


@dataclass(frozen=True, slots=True)
class Path:
    """An open chain; the last vertex's bulge is 0 and unused."""

    vertices: tuple[Vertex, ...]

    @property
    def segments(self) -> tuple[Segment, ...]:
        """Its lines and arcs in order."""
        ends = self.vertices[1:]
        return tuple(Segment(a.point, b.point, a.bulge) for a, b in zip(self.vertices, ends, strict=False))

    @property
    def length(self) -> float:
        """Along the chain."""
        return sum(segment.length for segment in self.segments)

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax); raises ValueError for a chain without vertices."""
        return _bounds(self.vertices)

    def reversed(self) -> "Path":
        """The same chain run the other way."""
        return path_of([segment.reversed() for segment in reversed(self.segments)])


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed chain: the last vertex's segment returns to the first. A circle is two half turns."""

    vertices: tuple[Vertex, ...]

    @property
    def segments(self) -> tuple[Segment, ...]:
        """Its lines and arcs in order."""
        places = [Point(x, y) for x, y, _ in self.vertices]
        ends = places[1:] + places[:1]
        return tuple(Segment(a, b, v.bulge) for a, b, v in zip(places, ends, self.vertices, strict=True))

    @property
    def length(self) -> float:
        """Once round."""
        return sum(segment.length for segment in self.segments)

    @property
    def area(self) -> float:
        """Signed, positive when counter-clockwise; arcs counted exactly (shoelace and circle segments)."""
        total = 0.0
        for segment in self.segments:
            total += segment.start.cross(segment.end) / 2
            if segment.bulge:
                total += segment.radius**2 * (segment.sweep - sin(segment.sweep)) / 2
        return total

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax)."""
        return _bounds((*self.vertices, self.vertices[0]))

    def reversed(self) -> "Contour":
        """The same loop run the other way."""
        return contour_of([segment.reversed() for segment in reversed(self.segments)])

    @property
    def counter_clockwise(self) -> "Contour":
        """The loop run counter-clockwise."""
        return self if self.area >= 0 else self.reversed()

    def flattened(self, chord_error: float) -> list[Point]:
        """A polygon's points, not repeated at the end, no chord further than `chord_error` off.

        At least three points, however thin a loop of arcs is.
        """
        points = [point for segment in self.segments for point in segment.flattened(chord_error)]
        if len(points) > 2:
            return points
        return [point for segment in self.segments for point in (segment.start, segment.point_at(0.5))]

    def started_at(self, index: int) -> "Contour":
        """The same loop, begun at vertex `index`."""
        return Contour(self.vertices[index:] + self.vertices[:index])


def _bounds(chain: Sequence[Vertex]) -> Bounds:
    """The box round a chain from its first vertex to its last; no segment is made for what is straight."""
    xs, ys = [vertex.x for vertex in chain], [vertex.y for vertex in chain]
    for (x, y, bulge), (x2, y2, _) in pairwise(chain):
        if bulge:
            left, low, right, high = Segment(Point(x, y), Point(x2, y2), bulge).bounds
            xs += left, right
            ys += low, high
    return min(xs), min(ys), max(xs), max(ys)


def path_of(segments: Iterable[Segment]) -> Path:
    """The open chain of connected segments; an empty input gives a path without vertices."""
    chain = list(segments)
    vertices = [Vertex(s.start.x, s.start.y, s.bulge) for s in chain]
    return Path((*vertices, *(Vertex(s.end.x, s.end.y) for s in chain[-1:])))


def contour_of(segments: Iterable[Segment]) -> Contour:
    """The closed loop of segments of which each begins where the one before ended."""
    return Contour(tuple(Vertex(s.start.x, s.start.y, s.bulge) for s in segments))


def polygon(points: Iterable[tuple[float, float]]) -> Contour:
    """The loop of straight lines through `points`."""
    return Contour(tuple(Vertex(x, y) for x, y in points))


def circle(centre: tuple[float, float], radius: float) -> Contour:
    """A circle, counter-clockwise, as two half turns."""
    x, y = centre
    return Contour((Vertex(x + radius, y, 1.0), Vertex(x - radius, y, 1.0)))
