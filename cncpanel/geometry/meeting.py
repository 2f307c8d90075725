"""Where bounded lines and arcs meet: of two segments, and of all the segments of many contours."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor, sqrt

from cncpanel.geometry.contour import Contour, joined_bounds
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import SAME_POINT

JOINT = 0.01  # mm; neighbours that meet smoothly are one curve that near to their joint
PARALLEL = 1e-12  # sine; lines closer in direction are tested by their ends instead
CELLS = 4_000_000  # of the grid that all segments together may fill


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
    """Every place where contours cross or touch themselves or each other, or double back on themselves."""
    chains = [contour.segments for contour in contours]
    numbered = [((c, s), segment) for c, chain in enumerate(chains) for s, segment in enumerate(chain)]
    for first, second in _near_pairs([segment for _, segment in numbered]):
        (a, one), (b, other) = numbered[first], numbered[second]
        count = len(chains[a[0]])
        for point in _apart_from_joints(one, other, a, b, count):
            yield Meeting(a, b, point)


def _apart_from_joints(
    one: Segment, other: Segment, a: tuple[int, int], b: tuple[int, int], count: int
) -> list[Point]:
    """The points shared by two segments, without the joints that neighbours in a contour share anyway."""
    joints: list[Point] = []
    if a[0] == b[0]:
        joints += [one.end] if (a[1] + 1) % count == b[1] else []
        joints += [one.start] if (b[1] + 1) % count == a[1] else []
    found = meetings(one, other)
    reach = min(JOINT, min(one.length, other.length) / 4)
    return [p for p in found if all(p.distance(joint) > reach for joint in joints)]


def _near_pairs(segments: Sequence[Segment]) -> Iterator[tuple[int, int]]:
    """Pairs whose boxes touch, each once, by a grid of cells about as large as a segment."""
    if not segments:
        return
    boxes = [segment.bounds for segment in segments]
    cell = _cell_size(segments)
    grid: dict[tuple[int, int], list[int]] = defaultdict(list)
    for index, (xmin, ymin, xmax, ymax) in enumerate(boxes):
        for x in range(floor((xmin - SAME_POINT) / cell), floor((xmax + SAME_POINT) / cell) + 1):
            for y in range(floor((ymin - SAME_POINT) / cell), floor((ymax + SAME_POINT) / cell) + 1):
                grid[x, y].append(index)
    for (x, y), here in grid.items():
        for place, i in enumerate(here):
            for j in here[place + 1 :]:
                if _first_shared_cell(boxes[i], boxes[j], cell) == (x, y):
                    yield i, j


def _first_shared_cell(a: tuple[float, ...], b: tuple[float, ...], cell: float) -> tuple[int, int] | None:
    xmin, ymin = max(a[0], b[0]) - SAME_POINT, max(a[1], b[1]) - SAME_POINT
    if xmin > min(a[2], b[2]) + SAME_POINT or ymin > min(a[3], b[3]) + SAME_POINT:
        return None
    return floor(xmin / cell), floor(ymin / cell)


def _cell_size(segments: Sequence[Segment]) -> float:
    """As large as the mean segment, but no smaller than a grid of CELLS allows."""
    boxes = [segment.bounds for segment in segments]
    xmin, ymin, xmax, ymax = joined_bounds(boxes)
    mean = sum(segment.length for segment in segments) / len(segments)
    whole = max(xmax - xmin, ymax - ymin)
    areas = sum((b[2] - b[0]) * (b[3] - b[1]) for b in boxes)
    return max(mean, whole / 4000, sqrt(areas / CELLS), SAME_POINT)
