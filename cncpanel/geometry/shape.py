"""Contours that panels are made of: rectangles, rounded polygons, slots; and the arc through three points."""

from collections.abc import Sequence
from math import atan2, pi, tan

from cncpanel.geometry.contour import Contour, Vertex, contour_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import SAME_POINT

Corner = tuple[Point, float]


def rectangle(
    x: float, y: float, width: float, height: float, radii: tuple[float, float, float, float] = (0, 0, 0, 0)
) -> Contour:
    """The rectangle with its lower left at (x, y); radii from there counter-clockwise. Errors: `rounded`."""
    corners = (Point(x, y), Point(x + width, y), Point(x + width, y + height), Point(x, y + height))
    return rounded(list(zip(corners, radii, strict=True)))


def rounded(points_with_radius: Sequence[Corner]) -> Contour:
    """The polygon through the points, each corner rounded by its radius (0: sharp).

    Raises ValueError where a radius is negative or takes more of a side than there is.
    """
    count = len(points_with_radius)
    points = [point for point, _ in points_with_radius]
    turns = [_turn(points[i - 1], points[i], points[(i + 1) % count]) for i in range(count)]
    used = [_used(corner, turn) for corner, turn in zip(points_with_radius, turns, strict=True)]
    for i, point in enumerate(points):
        _check_side(point, points[(i + 1) % count], used[i], used[(i + 1) % count])
    vertices: list[Vertex] = []
    for i, point in enumerate(points):
        vertices += _corner(points[i - 1], point, points[(i + 1) % count], used[i], turns[i])
    loop = contour_of(s for s in Contour(tuple(vertices)).segments if s.chord > SAME_POINT)
    return loop if loop.vertices else Contour(tuple(vertices))


def arc_through(start: Point, middle: Point, end: Point) -> Segment:
    """The arc by way of `middle`; a line where the three lie in one. ValueError where two are one point."""
    if min(middle.distance(start), middle.distance(end)) < SAME_POINT or start.distance(end) < SAME_POINT:
        given = ", ".join(map(_named, (start, middle, end)))
        raise ValueError(f"an arc needs three different points, not {given}")
    turn = _turn(start, middle, end)
    flat = abs(middle.minus(start).cross(end.minus(start))) / start.distance(end) < SAME_POINT
    return Segment(start, end, 0.0 if flat and abs(turn) < pi / 2 else tan(turn / 2))


def slot(a: Point, b: Point, width: float) -> Contour:
    """The outline that a round of diameter `width` leaves from a to b; a circle where they are one point."""
    along = b.minus(a).unit if a.distance(b) > SAME_POINT else Point(1.0, 0.0)
    side = along.left.times(width / 2)
    right, left = a.minus(side), a.plus(side)
    if a.distance(b) <= SAME_POINT:
        return Contour((Vertex(*right, 1.0), Vertex(*left, 1.0)))
    return Contour((Vertex(*right), Vertex(*b.minus(side), 1.0), Vertex(*b.plus(side)), Vertex(*left, 1.0)))


def _turn(before: Point, at: Point, after: Point) -> float:
    """How far the direction turns at a corner, radians, positive to the left."""
    first, last = at.minus(before), after.minus(at)
    return atan2(first.cross(last), first.dot(last))


def _used(corner: Corner, turn: float) -> float:
    """How much of each side the corner's arc takes."""
    point, radius = corner
    if radius < 0:
        raise ValueError(f"corner at {_named(point)}: radius {radius:g} is negative")
    if radius and abs(turn) > pi - 1e-6:
        raise ValueError(f"corner at {_named(point)}: the outline turns right back, no radius fits there")
    return radius * tan(abs(turn) / 2) if radius else 0.0


def _check_side(a: Point, b: Point, first: float, last: float) -> None:
    if first + last and first + last > a.distance(b) + SAME_POINT:
        raise ValueError(
            f"radii do not fit on the side from {_named(a)} to {_named(b)}: "
            f"they take {first + last:g} of its {a.distance(b):g} mm"
        )


def _corner(before: Point, at: Point, after: Point, used: float, turn: float) -> list[Vertex]:
    if used < SAME_POINT:
        return [Vertex(*at)]
    begin, end = at.plus(before.minus(at).unit.times(used)), at.plus(after.minus(at).unit.times(used))
    return [Vertex(*begin, tan(turn / 4)), Vertex(*end)]


def _named(point: Point) -> str:
    return f"({point.x:g}, {point.y:g})"
