"""Corners between lines and arcs, rounded: the arc that touches both, and where it touches."""

from math import atan2, cos, pi, sin
from typing import NamedTuple

from cncpanel.geometry.crossing import Circle, Line, Primitive, crossing
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

SMOOTH = 1e-7  # sine; a corner this flat is none: at 1 m its bend is a ten-thousandth of a millimetre


class Fillet(NamedTuple):
    """The rounding of a corner: the fractions where the edges before and after meet it, and the arc."""

    before: float
    after: float
    arc: Segment


def alongside(segment: Segment, distance: float) -> Primitive | None:
    """The endless line or circle `distance` to the left of the segment; None where the arc has vanished."""
    if not segment.bulge:
        right = segment.start_direction.left.times(-1)
        return Line(right.x, right.y, right.dot(segment.start) - distance)
    radius = segment.radius - distance if segment.bulge > 0 else segment.radius + distance
    return Circle(*segment.centre, radius) if radius > 0 else None


def fraction_at(segment: Segment, point: Point) -> float:
    """How far along the segment, 0..1, the point on its line or circle lies; outside that range beyond the ends."""
    if not segment.bulge:
        along = segment.end.minus(segment.start)
        return point.minus(segment.start).dot(along) / along.dot(along)
    first, arm = segment.start.minus(segment.centre), point.minus(segment.centre)
    angle = atan2(first.cross(arm), first.dot(arm))
    share = angle / segment.sweep
    period = 2 * pi / abs(segment.sweep)
    return share if abs(share - 0.5) <= period / 2 else share + (period if share < 0.5 else -period)


def turn(before: Segment, after: Segment) -> float:
    """The angle by which the direction changes at the corner, positive to the left."""
    first, last = before.end_direction, after.start_direction
    return atan2(first.cross(last), first.dot(last))


def fillet(before: Segment, after: Segment, radius: float) -> Fillet | None:
    """The arc of `radius` that rounds the corner; None where no such arc touches both edges."""
    side = 1.0 if turn(before, after) > 0 else -1.0
    first, last = alongside(before, side * radius), alongside(after, side * radius)
    met = crossing(first, last, *before.end) if first and last else None
    if met is None:
        return None
    centre = Point(*met)
    start, end = _foot(before, centre), _foot(after, centre)
    return Fillet(fraction_at(before, start), fraction_at(after, end), arc_about(centre, start, end, side))


def _foot(segment: Segment, centre: Point) -> Point:
    if not segment.bulge:
        return segment.point_at(fraction_at(segment, centre))
    return segment.centre.plus(centre.minus(segment.centre).unit.times(segment.radius))


def arc_about(centre: Point, start: Point, end: Point, side: float) -> Segment:
    """The arc from start to end about `centre`, counter-clockwise where `side` (any size) is positive."""
    first, last = start.minus(centre), end.minus(centre)
    sign = 1.0 if side > 0 else -1.0
    angle = atan2(sign * first.cross(last), first.dot(last)) % (2 * pi)
    return Segment(start, end, sign * sin(angle / 4) / cos(angle / 4))
