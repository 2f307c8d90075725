"""A line or an arc from one point to another: the bulge says which.

The bulge is the tangent of a quarter of the included angle, positive counter-clockwise, 0 for a line
(the DXF reference's polyline bulge). An arc is less than a full turn; a circle is two halves.
"""

from dataclasses import dataclass
from math import acos, atan, ceil, cos, hypot, pi, sin

from cncpanel.geometry.point import Point

Bounds = tuple[float, float, float, float]
QUARTERS = tuple((cos(quarter * pi / 2), sin(quarter * pi / 2)) for quarter in range(4))


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
        (x, y), (x2, y2), bulge = self.start, self.end, self.bulge
        shift = (1.0 - bulge * bulge) / (4.0 * bulge)
        return Point((x + x2) / 2 - (y2 - y) * shift, (y + y2) / 2 + (x2 - x) * shift)

    @property
    def length(self) -> float:
        """Along the line or the arc."""
        (x, y), (x2, y2), bulge = self.start, self.end, self.bulge
        chord = hypot(x - x2, y - y2)
        return chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge)) * abs(4.0 * atan(bulge)) if bulge else chord

    @property
    def start_direction(self) -> Point:
        """The unit tangent at the start."""
        return self._turned(-self.sweep / 2)

    @property
    def end_direction(self) -> Point:
        """The unit tangent at the end."""
        return self._turned(self.sweep / 2)

    def _turned(self, angle: float) -> Point:
        (x, y), (x2, y2) = self.start, self.end
        length = hypot(x2 - x, y2 - y)
        ux, uy = (x2 - x) / length, (y2 - y) / length
        c, s = cos(angle), sin(angle)
        return Point(ux * c - uy * s, ux * s + uy * c)

    def point_at(self, fraction: float) -> Point:
        """The point at `fraction` (0..1) of the length."""
        if self.bulge:
            return self._about(self.centre, self.sweep * fraction)
        (x, y), (x2, y2) = self.start, self.end
        return Point(x + (x2 - x) * fraction, y + (y2 - y) * fraction)

    def _about(self, centre: Point, angle: float) -> Point:
        """The start turned about the centre."""
        x, y = centre
        dx, dy = self.start.x - x, self.start.y - y
        c, s = cos(angle), sin(angle)
        return Point(x + dx * c - dy * s, y + dx * s + dy * c)

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
        radius, turn, (x, y) = self.radius, self.sweep, self.centre
        step = 2 * acos(max(1 - chord_error / radius, -1.0)) if chord_error < 2 * radius else pi
        count = max(ceil(abs(turn) / min(max(step, 1e-4), pi / 2)), 1)
        points, dx, dy = [self.start], self.start.x - x, self.start.y - y
        for i in range(1, count):
            c, s = cos(turn * (i / count)), sin(turn * (i / count))
            points.append(Point(x + dx * c - dy * s, y + dx * s + dy * c))
        return points

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax), arcs' bulging sides included."""
        (x, y), (x2, y2) = self.start, self.end
        if not self.bulge:
            return min(x, x2), min(y, y2), max(x, x2), max(y, y2)
        xs, ys, dx, dy, bulge = [x, x2], [y, y2], x2 - x, y2 - y, self.bulge
        (cx, cy), radius = self.centre, self.radius
        for cosine, sine in QUARTERS:
            tip_x, tip_y = cx + radius * cosine, cy + radius * sine
            if (dx * (tip_y - y) - dy * (tip_x - x)) * bulge < 0:  # on the arc's side of the chord
                xs.append(tip_x)
                ys.append(tip_y)
        return min(xs), min(ys), max(xs), max(ys)
