"""A closed tool path measured by its length: stretches of it, points on it, the nearest place."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate
from math import atan2, hypot, pi

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

SHORT = 2e-4  # mm; a stretch shorter than two of a program's last decimals is nothing


@dataclass(frozen=True, slots=True)
class Ring:
    """A loop of segments and where each ends, in mm from the start."""

    segments: tuple[Segment, ...]
    ends: tuple[float, ...]

    @staticmethod
    def of(segments: Iterable[Segment]) -> "Ring":
        """The closed chain as a ring, segments of no length left out."""
        kept = tuple(segment for segment in segments if segment.length > SHORT)
        return Ring(kept, tuple(accumulate(segment.length for segment in kept)))

    def reversed(self) -> "Ring":
        """The same loop run the other way, from the same start."""
        return Ring.of(segment.reversed() for segment in reversed(self.segments))

    @property
    def length(self) -> float:
        """Once round."""
        return self.ends[-1]

    def index_at(self, s: float) -> int:
        """The segment that holds the place `s` mm from the start (once round begins anew)."""
        return min(bisect_right(self.ends, s % self.length), len(self.segments) - 1)

    def start_of(self, index: int) -> float:
        """Where a segment begins, in mm from the start."""
        return self.ends[index - 1] if index else 0.0

    def point(self, s: float) -> Point:
        """The place `s` mm from the start."""
        index, fraction = self._place(s)
        return self.segments[index].point_at(fraction)

    def direction(self, s: float) -> Point:
        """The way the loop runs there, a unit vector."""
        index, fraction = self._place(s)
        segment = self.segments[index]
        return segment.part(0.0, fraction).end_direction if fraction > 1e-9 else segment.start_direction

    def _place(self, s: float) -> tuple[int, float]:
        index = self.index_at(s)
        begin = self.start_of(index)
        return index, min((s % self.length - begin) / (self.ends[index] - begin), 1.0)

    def stretch(self, first: float, last: float) -> list[Segment]:
        """The segments from `first` to `last` mm, last > first; more than once round if it is longer."""
        found: list[Segment] = []
        base, s = first - first % self.length, first % self.length
        end, index = last - base, self.index_at(first)
        lap = 0.0
        while s < end - SHORT:
            begin, stop = lap + self.start_of(index), lap + self.ends[index]
            until = min(stop, end)
            if until - s > SHORT:
                length = stop - begin
                found.append(_part(self.segments[index], (s - begin) / length, (until - begin) / length))
            s, index = until, index + 1
            if index == len(self.segments):
                index, lap = 0, lap + self.length
        return found

    def nearest(self, point: Point) -> tuple[float, float]:
        """Where the loop comes nearest to the point (mm from the start), and how near."""
        places = ((*_nearest_on(segment, point), self.start_of(i)) for i, segment in enumerate(self.segments))
        distance, along, begin = min((round(d, 9), a, b) for d, a, b in places)
        return begin + along, distance


def ring_of(contour: Contour) -> Ring:
    """The contour as a ring, segments of no length left out."""
    segments = tuple(s for s in contour.segments if s.length > SHORT)
    return Ring(segments, tuple(accumulate(s.length for s in segments)))


def rings_of(contours: Iterable[Contour]) -> tuple[Ring, ...]:
    """All contours as rings; those of no length left out."""
    return tuple(ring for ring in map(ring_of_or_none, contours) if ring is not None)


def ring_of_or_none(contour: Contour) -> Ring | None:
    """The contour as a ring, or None where it is a mere point."""
    return ring_of(contour) if any(s.length > SHORT for s in contour.segments) else None


def _part(segment: Segment, first: float, last: float) -> Segment:
    return segment if first <= 1e-12 and last >= 1 - 1e-12 else segment.part(first, last)


def _nearest_on(segment: Segment, point: Point) -> tuple[float, float]:
    """Distance, and mm from the segment's start."""
    if segment.is_arc:
        return _nearest_on_arc(segment, point)
    (x, y), (x2, y2), (px, py) = segment.start, segment.end, point
    dx, dy = x2 - x, y2 - y
    fraction = min(max(((px - x) * dx + (py - y) * dy) / (dx * dx + dy * dy), 0.0), 1.0)
    return hypot(x + dx * fraction - px, y + dy * fraction - py), fraction * hypot(dx, dy)


def _nearest_on_arc(segment: Segment, point: Point) -> tuple[float, float]:
    arm, begin = point.minus(segment.centre), segment.start.minus(segment.centre)
    turned = atan2(begin.cross(arm), begin.dot(arm))
    fraction = turned / segment.sweep
    if fraction < 0:
        fraction = (turned + (2 * pi if segment.sweep > 0 else -2 * pi)) / segment.sweep
    fractions = [0.0, 1.0] + ([fraction] if fraction <= 1 else [])
    distance, best = min((segment.point_at(f).distance(point), f) for f in fractions)
    return distance, best * segment.length
