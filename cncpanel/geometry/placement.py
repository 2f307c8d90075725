"""Where a panel lies on its sheet: mirrored or not, then turned, then moved."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import cos, radians, sin

from cncpanel.geometry.contour import Contour, Path, Vertex
from cncpanel.geometry.point import Point

QUARTERS = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}  # cosine and sine


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Mirror first (x becomes -x), then turn counter-clockwise by `angle_deg`, then move by (x, y)."""

    x: float = 0.0
    y: float = 0.0
    angle_deg: float = 0.0
    mirrored: bool = False

    def point(self, point: tuple[float, float]) -> Point:
        """The placed point. Quarter turns are exact."""
        px, py = (-point[0] if self.mirrored else point[0]), point[1]
        c, s = _turn(self.angle_deg)
        return Point(self.x + px * c - py * s, self.y + px * s + py * c)

    def _placed(self, vertices: Iterable[Vertex]) -> Iterator[Vertex]:
        (c, s), hand = _turn(self.angle_deg), -1.0 if self.mirrored else 1.0
        for x, y, bulge in vertices:
            yield Vertex(self.x + hand * x * c - y * s, self.y + hand * x * s + y * c, hand * bulge)

    def path(self, path: Path) -> Path:
        """The placed path, run the same way."""
        return Path(tuple(self._placed(path.vertices)))

    def contour(self, contour: Contour) -> Contour:
        """The placed contour; a mirrored one is reversed so that it turns the same way round as before."""
        placed = Contour(tuple(self._placed(contour.vertices)))
        return placed.reversed() if self.mirrored else placed


def _turn(angle_deg: float) -> tuple[float, float]:
    angle = angle_deg % 360.0
    return QUARTERS.get(angle) or (cos(radians(angle)), sin(radians(angle)))
