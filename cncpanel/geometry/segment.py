"""A line or an arc from one point to another: the bulge says which.

The bulge is the tangent of a quarter of the included angle, positive counter-clockwise, 0 for a line
(the DXF reference's polyline bulge). An arc is less than a full turn; a circle is two halves.
"""

from dataclasses import dataclass
from math import acos, atan, ceil, cos, pi, sin

from cncpanel.geometry.point import Point

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Segment:
    """A line (bulge 0) or an arc. Lengths mm, angles radians."""

    start: Point
    end: Point
    bulge: float = 0.0

    @property
    def is_arc(self) -> bool:
        """Whether it is curved."""
        return self.bulge != 0.0

    @property
    def chord(self) -> float:
        """The straight distance between the ends."""
        return self.start.distance(self.end)

    @property
    def sweep(self) -> float:
        """The signed included angle, radians; 0 for a line."""
        return 4.0 * atan(self.bulge)

    @property
    def radius(self) -> float:
        """The arc's radius; raises ZeroDivisionError for a line."""
        return self.chord * (1.0 + self.bulge * self.bulge) / (4.0 * abs(self.bulge))

    @property
    def centre(self) -> Point:
        """The arc's centre; raises ZeroDivisionError for a line."""
        shift = (1.0 - self.bulge * self.bulge) / (4.0 * self.bulge)
        across = self.end.minus(self.start).left
        middle = Point((self.start.x + self.end.x) / 2, (self.start.y + self.end.y) / 2)
        return middle.plus(across.times(shift))

    @property
    def length(self) -> float:
        """Along the line or the arc."""
        return self.radius * abs(self.sweep) if self.bulge else self.chord

    @property
    def start_direction(self) -> Point:
        """The unit tangent at the start."""
        return self._turned(-self.sweep / 2)

    @property
    def end_direction(self) -> Point:
        """The unit tangent at the end."""
        return self._turned(self.sweep / 2)

    def _turned(self, angle: float) -> Point:
        along = self.end.minus(self.start).unit
        c, s = cos(angle), sin(angle)
        return Point(along.x * c - along.y * s, along.x * s + along.y * c)

    def point_at(self, fraction: float) -> Point:
        """The point at `fraction` (0..1) of the length."""
        if not self.bulge:
            return self.start.plus(self.end.minus(self.start).times(fraction))
        centre, angle = self.centre, self.sweep * fraction
        arm = self.start.minus(centre)
        c, s = cos(angle), sin(angle)
        return Point(centre.x + arm.x * c - arm.y * s, centre.y + arm.x * s + arm.y * c)

    def part(self, first: float, last: float) -> "Segment":
        """The stretch between two fractions of the length, first < last."""
        start = self.start if first <= 0 else self.point_at(first)
        end = self.end if last >= 1 else self.point_at(last)
        if not self.bulge:
            return Segment(start, end)
        angle = self.sweep * (min(last, 1.0) - max(first, 0.0)) / 4
        return Segment(start, end, sin(angle) / cos(angle))

    def reversed(self) -> "Segment":
        """The same curve run the other way."""
        return Segment(self.end, self.start, -self.bulge)

    def flattened(self, chord_error: float) -> list[Point]:
        """Points from start up to but without the end, no chord further than `chord_error` off."""
        if not self.bulge:
            return [self.start]
        radius, sweep = self.radius, abs(self.sweep)
        step = 2 * acos(max(1 - chord_error / radius, -1.0)) if chord_error < 2 * radius else pi
        count = max(ceil(sweep / min(max(step, 1e-4), pi / 2)), 1)
        return [self.start] + [self.point_at(i / count) for i in range(1, count)]

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax), arcs' bulging sides included."""
        xs, ys = [self.start.x, self.end.x], [self.start.y, self.end.y]
        if self.bulge:
            centre, radius = self.centre, self.radius
            for quarter in range(4):
                angle = quarter * pi / 2
                tip = Point(centre.x + radius * cos(angle), centre.y + radius * sin(angle))
                if self._holds_direction(tip.minus(centre)):
                    xs.append(tip.x)
                    ys.append(tip.y)
        return min(xs), min(ys), max(xs), max(ys)

    def _holds_direction(self, arm: Point) -> bool:
        """Whether a ray from the centre along `arm` meets the arc."""
        side = self.end.minus(self.start).cross(self.centre.plus(arm).minus(self.start))
        return side * self.bulge < 0
