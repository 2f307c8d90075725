"""Where bounded lines and arcs meet: of two segments, and of all the segments of many contours."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import SAME_POINT

JOINT = 0.01  # mm; neighbours that meet smoothly are one curve that near to their joint
PARALLEL = 1e-12  # sine; lines closer in direction are tested by their ends instead
AT_ONCE = 64  # segments compared with all others in one go: memory stays small
MOST_PAIRS = 50_000_000  # compared in all; past it the contours are a pattern, not outlines

Floats = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


class TooDenseError(ValueError):
    """So many segments lie over each other that nobody can say in time whether they meet."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """A point that two segments share besides the joints of a contour: (contour, segment) numbers of both."""

    first: tuple[int, int]
    second: tuple[int, int]
    point: Point


def holds(segment: Segment, point: Point, within: float = SAME_POINT) -> bool:
    """Whether the point lies on the segment."""
    if min(point.distance(segment.start), point.distance(segment.end)) <= within:
        return True
    along, arm = segment.end.minus(segment.start), point.minus(segment.start)
    if not segment.bulge:
        share = arm.dot(along)
        return abs(along.cross(arm)) <= within * along.norm and 0 <= share <= along.dot(along)
    if abs(point.distance(segment.centre) - segment.radius) > within:
        return False
    return along.cross(arm) * segment.bulge <= 0


def meetings(a: Segment, b: Segment) -> list[Point]:
    """The points that two segments share; of a stretch that they share, the ends."""
    found = [p for p in _unbounded(a, b) if holds(a, p) and holds(b, p)]
    found += [p for p in (b.start, b.end) if holds(a, p)]
    found += [p for p in (a.start, a.end) if holds(b, p)]
    return found


def _unbounded(a: Segment, b: Segment) -> list[Point]:
    if not a.bulge:
        return _line_circle(a, b) if b.bulge else _lines(a, b)
    return _circles(a, b) if b.bulge else _line_circle(b, a)


def _lines(a: Segment, b: Segment) -> list[Point]:
    u, v = a.end.minus(a.start), b.end.minus(b.start)
    turn = u.cross(v)
    if abs(turn) <= PARALLEL * u.norm * v.norm:
        return []
    return [a.start.plus(u.times(b.start.minus(a.start).cross(v) / turn))]


def _line_circle(line: Segment, arc: Segment) -> list[Point]:
    along = line.end.minus(line.start).unit
    arm = arc.centre.minus(line.start)
    squared = arc.radius**2 - along.cross(arm) ** 2
    if squared < 0:
        return []
    middle, half = along.dot(arm), sqrt(squared)
    return [line.start.plus(along.times(middle + side)) for side in (-half, half)]


def _circles(a: Segment, b: Segment) -> list[Point]:
    between = b.centre.minus(a.centre)
    distance = between.norm
    if distance <= SAME_POINT:
        return []
    along = (distance**2 + a.radius**2 - b.radius**2) / (2 * distance)
    squared = a.radius**2 - along**2
    if squared < 0:
        return []
    unit, half = between.unit, sqrt(squared)
    foot = a.centre.plus(unit.times(along))
    return [foot.plus(unit.left.times(side)) for side in (-half, half)]


def contour_meetings(contours: Sequence[Contour]) -> Iterator[Meeting]:
    """Every place where contours cross or touch themselves or each other, or double back on themselves.

    Raises TooDenseError.
    """
    chains = [contour.segments for contour in contours]
    numbered = [((c, s), segment) for c, chain in enumerate(chains) for s, segment in enumerate(chain)]
    for first, second in _near_pairs([segment for _, segment in numbered]):
        (a, one), (b, other) = numbered[first], numbered[second]
        count = len(chains[a[0]])
        for point in _apart_from_joints(one, other, a, b, count):
            yield Meeting(a, b, point)


def _apart_from_joints(one: Segment, other: Segment, a: tuple[int, int], b: tuple[int, int], count: int) -> list[Point]:
    """The points shared by two segments, without the joints that neighbours in a contour share anyway."""
    joints: list[Point] = []
    if a[0] == b[0]:
        joints += [one.end] if (a[1] + 1) % count == b[1] else []
        joints += [one.start] if (b[1] + 1) % count == a[1] else []
    found = meetings(one, other)
    reach = min(JOINT, min(one.length, other.length) / 4)
    return [p for p in found if all(p.distance(joint) > reach for joint in joints)]


def _near_pairs(segments: Sequence[Segment]) -> Iterator[tuple[int, int]]:
    """Pairs that may meet, each once: boxes that touch, and of two lines neither wholly on one side of the other."""
    if not segments:
        return
    grown = np.array([-SAME_POINT, -SAME_POINT, SAME_POINT, SAME_POINT])
    boxes = np.array([segment.bounds for segment in segments]) + grown
    shapes = shapely.box(*boxes.T)
    tree = shapely.STRtree(shapes)
    table = _Table(segments)
    looked_at = 0
    for first in range(0, len(segments), AT_ONCE):
        one, other = tree.query(shapes[first : first + AT_ONCE])
        one = one + first
        looked_at += len(one)
        if looked_at > MOST_PAIRS:
            raise TooDenseError(f"more than {MOST_PAIRS} pairs of segments lie near each other")
        one, other = one[other > one], other[other > one]
        kept = ~table.apart(one, other)
        yield from zip(one[kept].tolist(), other[kept].tolist(), strict=True)


class _Table:
    """The segments' ends as columns, so that many pairs are judged in one sweep."""

    def __init__(self, segments: Sequence[Segment]) -> None:
        self.ends = np.array([(s.start.x, s.start.y, s.end.x, s.end.y) for s in segments])
        self.straight = np.array([not s.bulge for s in segments])

    def apart(self, one: Numbers, other: Numbers) -> Flags:
        """Whether both are lines, one of them clear of the other's whole straight line."""
        lines = self.straight[one] & self.straight[other]
        clear = self._on_one_side(one, other) | self._on_one_side(other, one)
        return np.asarray(lines & clear, dtype=np.bool_)

    def _on_one_side(self, line: Numbers, other: Numbers) -> Flags:
        x, y, ux, uy = self._along(line)
        reach = 2 * SAME_POINT * np.hypot(ux, uy)
        sides = [ux * (self.ends[other, i + 1] - y) - uy * (self.ends[other, i] - x) for i in (0, 2)]
        left = (sides[0] > reach) & (sides[1] > reach)
        right = (sides[0] < -reach) & (sides[1] < -reach)
        return np.asarray(left | right, dtype=np.bool_)

    def _along(self, line: Numbers) -> tuple[Floats, Floats, Floats, Floats]:
        x, y, end_x, end_y = self.ends[line].T
        return x, y, end_x - x, end_y - y
