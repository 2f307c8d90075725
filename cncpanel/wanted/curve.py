"""Lines and arcs by centre and sweep, and their points: the witness's own, fine enough to judge by."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import acos, atan, atan2, ceil, cos, hypot, pi, sin

from cncpanel.geometry.contour import Contour

FINE = 0.001  # mm; how far a chord may lie inside its arc: a tenth of what is judged

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Edge:
    """A line (centre None), or an arc of `sweep` radians round `centre`, counter-clockwise where positive."""

    start: Pair
    end: Pair
    centre: Pair | None = None
    sweep: float = 0.0

    @property
    def radius(self) -> float:
        """The arc's."""
        assert self.centre is not None
        return hypot(self.start[0] - self.centre[0], self.start[1] - self.centre[1])

    @property
    def length(self) -> float:
        """Along it."""
        if self.centre is None:
            return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])
        return self.radius * abs(self.sweep)

    def at(self, angle: float) -> Pair:
        """The point of the arc after turning by `angle` (signed) from its start."""
        assert self.centre is not None
        u, v = self.start[0] - self.centre[0], self.start[1] - self.centre[1]
        return (
            self.centre[0] + u * cos(angle) - v * sin(angle),
            self.centre[1] + u * sin(angle) + v * cos(angle),
        )

    def along(self, share: float) -> Pair:
        """The point at a share of its length."""
        if self.centre is not None:
            return self.at(self.sweep * share)
        return (
            self.start[0] + (self.end[0] - self.start[0]) * share,
            self.start[1] + (self.end[1] - self.start[1]) * share,
        )

    def stretch(self, first: float, last: float) -> "Edge":
        """The part between two shares of its length."""
        return Edge(self.along(first), self.along(last), self.centre, self.sweep * (last - first))

    def reversed(self) -> "Edge":
        """Run the other way."""
        return Edge(self.end, self.start, self.centre, -self.sweep)

    def points(self, chord: float = FINE) -> list[Pair]:
        """From the start up to but without the end; an arc's extremes along x and y are among them."""
        if self.centre is None:
            return [self.start]
        step = 2 * acos(max(1 - chord / self.radius, 0.0)) if self.radius > chord else pi / 2
        count = max(ceil(abs(self.sweep) / step), 1)
        turns = {self.sweep * i / count for i in range(count)} | set(self._extremes())
        return [self.at(turn) if turn else self.start for turn in sorted(turns, key=abs)]

    def _extremes(self) -> Iterable[float]:
        """The turns from the start at which the arc is farthest along an axis."""
        assert self.centre is not None
        begin = atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        sign = 1.0 if self.sweep > 0 else -1.0
        for quarter in range(4):
            turn = (sign * (quarter * pi / 2 - begin)) % (2 * pi)
            if 1e-9 < turn < abs(self.sweep) - 1e-9:
                yield sign * turn


def arc_by_bulge(start: Pair, end: Pair, bulge: float) -> Edge:
    """The edge of which `bulge` is the tangent of a quarter of the included angle."""
    if bulge == 0:
        return Edge(start, end)
    sweep = 4 * atan(bulge)
    dx, dy = end[0] - start[0], end[1] - start[1]
    height = (1 - bulge * bulge) / (4 * bulge)
    centre = (start[0] + end[0]) / 2 - dy * height, (start[1] + end[1]) / 2 + dx * height
    return Edge(start, end, centre, sweep)


def arc_by_three(start: Pair, through: Pair, end: Pair) -> Edge:
    """The arc from start through a point to the end; a line where the three lie on one."""
    ax, ay = through[0] - start[0], through[1] - start[1]
    bx, by = end[0] - start[0], end[1] - start[1]
    cross = ax * by - ay * bx
    if abs(cross) < 1e-12:
        return Edge(start, end)
    a, b = ax * ax + ay * ay, bx * bx + by * by
    ux, uy = (by * a - ay * b) / (2 * cross), (ax * b - bx * a) / (2 * cross)
    first, last = atan2(-uy, -ux), atan2(by - uy, bx - ux)
    counter = cross > 0  # start, through, end turn left
    sweep = (last - first) % (2 * pi) if counter else -((first - last) % (2 * pi))
    return Edge(start, end, (start[0] + ux, start[1] + uy), sweep)


def edges_of_contour(contour: Contour) -> list[Edge]:
    """A read contour's vertices as edges."""
    vertices = contour.vertices
    following = vertices[1:] + vertices[:1]
    return [arc_by_bulge((a.x, a.y), (b.x, b.y), a.bulge) for a, b in zip(vertices, following, strict=True)]


def flat(edges: Sequence[Edge]) -> list[Pair]:
    """The closed loop's points."""
    return [point for edge in edges for point in edge.points()]


def turned_area(edges: Sequence[Edge]) -> float:
    """The loop's signed area, by its points: positive counter-clockwise."""
    points = flat(edges)
    following = points[1:] + points[:1]
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, following, strict=True)) / 2
