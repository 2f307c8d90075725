"""Arcs as a control can take them: ends and centre in whole counts, tested as the control tests them.

The centre is worked out from the rounded ends. Where it still fails the test (coarse decimals), it is moved
by one count; else the arc is halved; else it becomes chords. NISTIR 6556 section 3.5.3.2: the radii at both
ends may differ by 0.002 mm (0.0002 inch, which is more; the stricter holds here).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from math import atan2, cos, sin, tau

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.output.rs274_number import Scale

RADIUS_MISMATCH = 0.0018  # mm; the test's 0.002 less what a control's own arithmetic may add
OFF_PATH = 0.005  # mm; the path tolerance, also for chords
SHORTEST = 0.01  # mm; a shorter arc is a line: rounding could turn it into nothing or a full circle
SMALLEST = 0.05  # mm; a smaller radius is chords
LARGEST = 4000.0  # mm; a larger radius is chords: a control with 7 digits loses 0.002 mm there
HALF_TURN = 1.0 + 1e-9  # the bulge of half a turn, with room for binary
SPLITS = 3  # how often an arc is halved before it becomes chords
NUDGES = sorted(product((-1, 0, 1), repeat=2), key=lambda shift: (abs(shift[0]) + abs(shift[1]), shift))

Counts = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Move:
    """A line or an arc to `end`, in counts; `centre` counts from the start (I, J)."""

    end: Counts
    centre: tuple[int, int] | None = None
    is_clockwise: bool = False


@dataclass(frozen=True, slots=True)
class Curve:
    """An arc that climbs evenly from `low` to `high` (program Z, mm)."""

    segment: Segment
    low: float
    high: float

    def halves(self) -> tuple["Curve", "Curve"]:
        """The arc in two."""
        middle = (self.low + self.high) / 2
        first, second = self.segment.part(0, 0.5), self.segment.part(0.5, 1)
        return Curve(first, self.low, middle), Curve(second, middle, self.high)


def arc_moves(start: Counts, curve: Curve, scale: Scale, *, arcs: bool, splits: int = SPLITS) -> Iterator[Move]:
    """Moves from `start` (where the tool is, in counts) along the curve."""
    if not arcs or _is_odd(curve.segment):
        yield from _chords(curve, scale)
    elif abs(curve.segment.bulge) > HALF_TURN:
        yield from _halved(start, curve, scale, splits)
    elif found := _arc(start, curve, scale):
        yield found
    elif splits:
        yield from _halved(start, curve, scale, splits - 1)
    else:
        yield from _chords(curve, scale)


def _is_odd(segment: Segment) -> bool:
    return segment.length < SHORTEST or not SMALLEST <= segment.radius <= LARGEST


def _halved(start: Counts, curve: Curve, scale: Scale, splits: int) -> Iterator[Move]:
    for half in curve.halves():
        for move in arc_moves(start, half, scale, arcs=True, splits=splits):
            yield move
            start = move.end


def _end(curve: Curve, scale: Scale) -> Counts:
    return scale.count(curve.segment.end.x), scale.count(curve.segment.end.y), scale.count(curve.high)


def _chords(curve: Curve, scale: Scale) -> Iterator[Move]:
    if curve.segment.length >= SHORTEST:
        points = curve.segment.flattened(OFF_PATH)
        for number, point in enumerate(points[1:], start=1):
            z = curve.low + (curve.high - curve.low) * number / len(points)
            yield Move((scale.count(point.x), scale.count(point.y), scale.count(z)))
    yield Move(_end(curve, scale))


def _arc(start: Counts, curve: Curve, scale: Scale) -> Move | None:
    """The arc in counts, or None when no centre near by passes the test."""
    end = _end(curve, scale)
    first, last = _point(start, scale), _point(end, scale)
    if first == last:
        return None
    centre = Segment(first, last, curve.segment.bulge).centre
    near = scale.count(centre.x - first.x), scale.count(centre.y - first.y)
    middle = curve.segment.point_at(0.5)
    for i, j in NUDGES:
        tried = near[0] + i, near[1] + j
        if _holds(first, last, tried, curve.segment.bulge, middle, scale):
            return Move(end, tried, curve.segment.bulge < 0)
    return None


def _point(counts: Counts, scale: Scale) -> Point:
    return Point(scale.length(counts[0]), scale.length(counts[1]))


def _holds(first: Point, last: Point, offset: tuple[int, int], bulge: float, middle: Point, scale: Scale) -> bool:
    """Whether the control accepts the arc and runs through the drawn middle.

    The middle also rules out an arc that rounding turned the wrong way round or into nearly a full circle.
    """
    centre = Point(first.x + scale.length(offset[0]), first.y + scale.length(offset[1]))
    radius = first.distance(centre)
    if offset == (0, 0) or abs(radius - last.distance(centre)) > RADIUS_MISMATCH:
        return False
    begins, ends = (atan2(p.y - centre.y, p.x - centre.x) for p in (first, last))
    sweep = (ends - begins) % tau if bulge > 0 else -((begins - ends) % tau)
    halfway = begins + sweep / 2
    through = Point(centre.x + radius * cos(halfway), centre.y + radius * sin(halfway))
    return through.distance(middle) <= OFF_PATH
