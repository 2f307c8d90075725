"""Points and directions in the cabinet's frame: x to the visitor's left, y towards the visitor, z up; mm."""

from dataclasses import dataclass
from math import sqrt
from typing import NamedTuple


class Vector(NamedTuple):
    """A point or a direction."""

    x: float
    y: float
    z: float

    def plus(self, other: "Vector") -> "Vector":
        """The sum."""
        return Vector(self.x + other.x, self.y + other.y, self.z + other.z)

    def minus(self, other: "Vector") -> "Vector":
        """The difference."""
        return Vector(self.x - other.x, self.y - other.y, self.z - other.z)

    def scaled(self, factor: float) -> "Vector":
        """In the same direction, `factor` times as long."""
        return Vector(self.x * factor, self.y * factor, self.z * factor)

    def dot(self, other: "Vector") -> float:
        """The scalar product."""
        return self.x * other.x + self.y * other.y + self.z * other.z

    def cross(self, other: "Vector") -> "Vector":
        """The vector product, right-handed."""
        return Vector(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )

    @property
    def norm(self) -> float:
        """Its length."""
        return sqrt(self.dot(self))

    @property
    def mirrored(self) -> "Vector":
        """On the other side of the cabinet's middle."""
        return Vector(-self.x, self.y, self.z)


ORIGIN = Vector(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A panel in space: where its lower left of the show face lies, its x and y, and where its show face looks.

    A mirrored copy's frame is left-handed: its `out` is minus `along` x `up`.
    """

    origin: Vector
    along: Vector
    up: Vector
    out: Vector

    def at(self, x: float, y: float, depth: float = 0.0) -> Vector:
        """The point at (x, y) on the panel, `depth` mm below its show face."""
        face = self.origin.plus(self.along.scaled(x)).plus(self.up.scaled(y))
        return face.minus(self.out.scaled(depth))

    def local(self, point: Vector) -> tuple[float, float, float]:
        """(x, y, depth below the show face) of a point in space."""
        arm = point.minus(self.origin)
        return arm.dot(self.along), arm.dot(self.up), -arm.dot(self.out)

    @property
    def mirrored(self) -> "Frame":
        """Its mirror image on the other side of the middle."""
        return Frame(origin=self.origin.mirrored, along=self.along.mirrored, up=self.up.mirrored, out=self.out.mirrored)

    def turned_over(self, width: float) -> "Frame":
        """The mirror image's place taken by a plain copy `width` wide: its x runs the other way."""
        image = self.mirrored
        return Frame(origin=image.at(width, 0.0), along=image.along.scaled(-1.0), up=image.up, out=image.out)
