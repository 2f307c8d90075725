"""The band along a path: every place whose nearest point of the path is within half the width."""

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, copysign, pi, tan
from typing import Literal

from cncpanel.geometry.carrier import LEAST_TURN
from cncpanel.geometry.combine import union
from cncpanel.geometry.contour import Contour, Path, Vertex, circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import SAME_POINT

End = Literal["round", "square", "flat"]


def stroke(path: Path, width: float, start: End, end: End) -> tuple[Region, ...]:
    """The band of `width` mm; flat ends stop at the path's end, square and round ones reach half of it on.

    Corners are rounded on their outer side. A path without length gives a disc for round ends, else ().
    """
    half = width / 2
    chain = [segment for segment in path.segments if segment.chord > SAME_POINT]
    if half <= SAME_POINT or not path.vertices:
        return ()
    if not chain:
        dot = region_of(circle(path.vertices[0].point, half))
        return (dot,) if start == end == "round" else ()
    pieces = [_band(segment, half) for segment in chain]
    for before, after in pairwise(chain):
        pieces += _wedge(before, after, half)
    pieces += _cap(chain[0].start, chain[0].start_direction.times(-1.0), half, start)
    pieces += _cap(chain[-1].end, chain[-1].end_direction, half, end)
    return union([region_of(piece) for piece in pieces])


def _band(segment: Segment, half: float) -> Contour:
    if not segment.bulge:
        side = segment.end.minus(segment.start).unit.left.times(half)
        a, b = segment.start, segment.end
        return polygon([a.minus(side), b.minus(side), b.plus(side), a.plus(side)])
    return Contour(tuple(_arc_band(segment, half)))


def _arc_band(segment: Segment, half: float) -> Iterator[Vertex]:
    """A piece of a ring, or of a disc where the width reaches past the arc's centre."""
    centre, radius = segment.centre, segment.radius
    outer, inner = (radius + half) / radius, (radius - half) / radius
    first, last = segment.start.minus(centre), segment.end.minus(centre)
    yield Vertex(*centre.plus(first.times(outer)), segment.bulge)
    yield Vertex(*centre.plus(last.times(outer)))
    if inner * radius <= SAME_POINT:
        yield Vertex(*centre)
    else:
        yield Vertex(*centre.plus(last.times(inner)), -segment.bulge)
        yield Vertex(*centre.plus(first.times(inner)))


def _wedge(before: Segment, after: Segment, half: float) -> list[Contour]:
    """The piece of a disc on the outer side of a corner."""
    first, last, corner = before.end_direction, after.start_direction, after.start
    turn = atan2(first.cross(last), first.dot(last))
    if abs(turn) < LEAST_TURN:
        return []
    if abs(turn) > pi - LEAST_TURN:
        return _cap(corner, first, half, "round")
    reach = -copysign(half, turn)
    begin, end = corner.plus(first.left.times(reach)), corner.plus(last.left.times(reach))
    return [Contour((Vertex(*corner), Vertex(*begin, tan(turn / 4)), Vertex(*end)))]


def _cap(at: Point, along: Point, half: float, kind: End) -> list[Contour]:
    side = along.left.times(half)
    right, left = at.minus(side), at.plus(side)
    if kind == "round":
        return [Contour((Vertex(*right, 1.0), Vertex(*left)))]
    ahead = along.times(half)
    return [polygon([right, right.plus(ahead), left.plus(ahead), left])] if kind == "square" else []
