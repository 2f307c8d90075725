"""A panel on paper: its lower left at a place on the picture, everything at one scale."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from cncpanel.drawing.paper import Stroke
from cncpanel.geometry.contour import Contour, Path, Vertex
from cncpanel.geometry.point import Point

CHORD = 0.01  # mm on paper; a fifth of the thinnest line


@dataclass(frozen=True, slots=True)
class Scaled:
    """Panel millimetres to paper millimetres: the panel's origin comes to `at`."""

    at: Point
    factor: float

    def point(self, point: tuple[float, float]) -> Point:
        """A place of the panel on paper."""
        return Point(self.at.x + point[0] * self.factor, self.at.y + point[1] * self.factor)

    def stroke(self, shape: Contour | Path, style: Stroke) -> Stroke:
        """The shape in the style's width, dash and shade; its arcs in chords too short to be seen."""
        vertices = tuple(Vertex(*self.point(v.point), v.bulge) for v in shape.vertices)
        if isinstance(shape, Contour):
            points = Contour(vertices).flattened(CHORD)
            return replace(style, points=tuple(points), closed=True)
        return replace(style, points=tuple(_chords(Path(vertices))), closed=False)


def _chords(path: Path) -> Iterator[Point]:
    for segment in path.segments:
        yield from segment.flattened(CHORD)
    yield path.vertices[-1].point
