"""Lines of the section: a panel's outer face as seen from the side, and where such lines meet."""

from dataclasses import dataclass
from math import acos, degrees, radians, tan

from cncpanel.geometry.point import Point

PARALLEL = 1e-9  # the sine below which two lines do not meet


@dataclass(frozen=True, slots=True)
class Line:
    """A directed line in the section (y, z): `along` is a unit vector, the outside lies to its right."""

    start: Point
    along: Point

    @property
    def outwards(self) -> Point:
        """The direction that the outer face looks."""
        return self.along.left.times(-1.0)

    def at(self, way: float) -> Point:
        """The point `way` mm along it."""
        return self.start.plus(self.along.times(way))

    def inside(self, depth: float) -> "Line":
        """The parallel `depth` mm further in."""
        return Line(self.start.minus(self.outwards.times(depth)), self.along)

    def way(self, point: Point) -> float:
        """How far along it the foot of `point` lies."""
        return point.minus(self.start).dot(self.along)

    def crossing(self, other: "Line") -> float | None:
        """How far along it `other` crosses it; None when they are parallel."""
        sine = self.along.cross(other.along)
        if abs(sine) < PARALLEL:
            return None
        return other.start.minus(self.start).cross(other.along) / sine

    def turn_deg(self, following: "Line") -> float:
        """Degrees between the two directions."""
        return degrees(acos(max(-1.0, min(1.0, self.along.dot(following.along)))))


def line_through(first: tuple[float, float], second: tuple[float, float]) -> Line | None:
    """The line from the first point to the second; None when they are one."""
    start, end = Point(*first), Point(*second)
    return Line(start, end.minus(start).unit) if start.distance(end) > PARALLEL else None


def mitre_deg(interior_deg: float) -> float:
    """The bevel of each of two boards of one thickness that meet at this interior angle, convex.

    (180 - theta) / 2; common practice, no source.
    """
    return (180.0 - interior_deg) / 2.0


def set_back(thickness: float, interior_deg: float) -> float:
    """How far each of two square-cut boards stays from the outer corner so that their inner corners touch.

    T / tan(theta / 2), from the right triangle over half the angle.
    """
    return thickness / tan(radians(interior_deg) / 2.0)
