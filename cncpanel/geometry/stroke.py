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
LAP = 0.01  # mm


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
    first, last = chain[0], chain[-1]
    pieces += _cap(first.start, first.start_direction.times(-1.0), half, start, _lap(half, first))
    pieces += _cap(last.end, last.end_direction, half, end, _lap(half, last))
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
        return _cap(corner, first, half, "round", _lap(half, before, after))
    reach = -copysign(half, turn)
    begin, end = corner.plus(first.left.times(reach)), corner.plus(last.left.times(reach))
    back = begin.plus(end).minus(corner.times(2)).unit.times(_lap(half, before, after))
    return [Contour((Vertex(*corner.minus(back)), Vertex(*begin, tan(turn / 4)), Vertex(*end)))]


def _lap(half: float, *bands: Segment) -> float:
    """How far a piece reaches into its neighbours: rounding may leave sides apart that only lie on each other."""
    return min(LAP, half / 4, *(segment.chord / 4 for segment in bands), *(s.radius / 4 for s in bands if s.bulge))


def _cap(at: Point, along: Point, half: float, kind: End, lap: float) -> list[Contour]:
    side = along.left.times(half)
    right, left, back = at.minus(side), at.plus(side), at.minus(along.times(lap))
    if kind == "round":
        return [Contour((Vertex(*right, 1.0), Vertex(*left), Vertex(*back)))]
    ahead = along.times(half)
    return [polygon([right, right.plus(ahead), left.plus(ahead), left, back])] if kind == "square" else []
