"""A point in the plane, in millimetres, and the few vector sums the rest is written in."""

from math import hypot
from typing import NamedTuple


class Point(NamedTuple):
    """A place in the plane; also a vector."""

    x: float
    y: float

    def plus(self, other: "Point") -> "Point":
        """The vector sum."""
        return Point(self.x + other.x, self.y + other.y)

    def minus(self, other: "Point") -> "Point":
        """The vector from `other` to here."""
        return Point(self.x - other.x, self.y - other.y)

    def times(self, factor: float) -> "Point":
        """The vector stretched by `factor`."""
        return Point(self.x * factor, self.y * factor)

    def dot(self, other: "Point") -> float:
        """The scalar product."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: "Point") -> float:
        """The z of the vector product: positive where `other` lies to the left."""
        return self.x * other.y - self.y * other.x

    def distance(self, other: "Point") -> float:
        """How far apart, in mm."""
        return hypot(self.x - other.x, self.y - other.y)

    @property
    def norm(self) -> float:
        """The vector's length."""
        return hypot(self.x, self.y)

    @property
    def unit(self) -> "Point":
        """The vector of length 1 in this direction; raises ZeroDivisionError for the null vector."""
        length = hypot(self.x, self.y)
        return Point(self.x / length, self.y / length)

    @property
    def left(self) -> "Point":
        """The vector turned a quarter counter-clockwise."""
        return Point(-self.y, self.x)
