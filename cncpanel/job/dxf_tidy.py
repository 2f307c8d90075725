"""What a drawing holds twice, strokes (either way round) and lines laid over lines: dropped and counted."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, floor, inf

from cncpanel.geometry.contour import Contour, joined_bounds
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.job.dxf_stroke import Stroke

SAME_DIRECTION = 1e-3  # rad; lines farther apart in direction part by more than the tolerance within 50 mm
SHARE = 4  # a stroke is its neighbour's double only within a fourth of its own length: short ones stay apart


_Seen = dict[tuple[int, int], list[tuple[Stroke, float]]]


@dataclass(frozen=True, slots=True)
class Tidied:
    """The strokes that stay, and how many went."""

    strokes: tuple[Stroke, ...]
    doubles: int
    overlaps: int


def tidied(strokes: Sequence[Stroke], tolerance: float) -> Tidied:
    """Without doubles and with overlapping collinear lines joined; the first drawn of two stays."""
    single = without_doubles(strokes, tolerance)
    lines = [s for s in single if _is_line(s)]
    joined = _joined_lines(lines, tolerance) if lines else []
    others = [s for s in single if not _is_line(s)]
    return Tidied((*others, *joined), len(strokes) - len(single), len(lines) - len(joined))


def _is_line(stroke: Stroke) -> bool:
    return len(stroke.segments) == 1 and not stroke.segments[0].bulge


def without_doubles(strokes: Sequence[Stroke], tolerance: float) -> list[Stroke]:
    """The strokes, of those that cover each other the first."""
    cell = 4 * tolerance
    seen: _Seen = defaultdict(list)
    kept = []
    for stroke in strokes:
        landmark = _landmark(stroke)
        length = stroke.length
        if any(_same(stroke, length, other, tolerance) for other in _around(seen, landmark, cell)):
            continue
        seen[_cell(landmark, cell)].append((stroke, length))
        kept.append(stroke)
    return kept


def _landmark(stroke: Stroke) -> Point:
    """The same point for a stroke and its double, whichever way round and wherever a closed one begins."""
    if stroke.closed:
        return Point(*stroke.bounds[:2])
    return stroke.start.plus(stroke.end).times(0.5)


def _cell(point: Point, size: float) -> tuple[int, int]:
    return floor(point.x / size), floor(point.y / size)


def _around(seen: "_Seen", point: Point, size: float) -> Iterator[tuple[Stroke, float]]:
    x, y = _cell(point, size)
    for i in (x - 1, x, x + 1):
        for j in (y - 1, y, y + 1):
            yield from seen.get((i, j), ())


def _same(stroke: Stroke, length: float, other: tuple[Stroke, float], tolerance: float) -> bool:
    """Whether one covers the other: alike in length, ends and shape."""
    first, first_length = other
    near = min(tolerance, length / SHARE)
    if abs(length - first_length) > 4 * near or stroke.closed != first.closed:
        return False
    if stroke.closed:
        return _same_loop(stroke, first, near)
    return _same_open(stroke, first, near) or _same_open(stroke.reversed(), first, near)


def _same_open(a: Stroke, b: Stroke, near: float) -> bool:
    if a.start.distance(b.start) > near or a.end.distance(b.end) > near:
        return False
    shares = (0.25, 0.5, 0.75)
    return all(p.distance(q) <= near for p, q in zip(_points(a, shares), _points(b, shares), strict=True))


def _points(stroke: Stroke, shares: Iterable[float]) -> list[Point]:
    lengths = [segment.length for segment in stroke.segments]
    return [_point_at(stroke, lengths, share * sum(lengths)) for share in shares]


def _point_at(stroke: Stroke, lengths: list[float], along: float) -> Point:
    for segment, length in zip(stroke.segments, lengths, strict=True):
        if along <= length:
            return segment.point_at(along / length)
        along -= length
    return stroke.end


def _same_loop(a: Stroke, b: Stroke, near: float) -> bool:
    """Boxes alike, and points of the one on the other."""
    if any(abs(p - q) > near for p, q in zip(a.bounds, b.bounds, strict=True)):
        return False
    on = [i / 16 for i in range(16)]
    return _lie_on(_points(a, on), b.segments, near) and _lie_on(_points(b, on), a.segments, near)


def _lie_on(points: Iterable[Point], segments: Sequence[Segment], near: float) -> bool:
    return all(any(distance_to(s, p) <= near for s in segments) for p in points)


def covered(strokes: Sequence[Stroke], contours: Iterable[Contour], tolerance: float) -> bool:
    """Whether the strokes only repeat parts of one contour."""
    shares = [i / 8 for i in range(9)]
    points = [p for stroke in strokes for p in _points(stroke, shares)]
    return any(_lie_on(points, contour.segments, tolerance) for contour in contours)


def distance_to(segment: Segment, point: Point) -> float:
    """How far the point lies from the segment, mm."""
    ends = min(point.distance(segment.start), point.distance(segment.end))
    along, arm = segment.end.minus(segment.start), point.minus(segment.start)
    if segment.bulge:
        faces = segment.point_at(0.5).minus(segment.centre)
        inside = abs(_turn(faces, point.minus(segment.centre))) <= abs(segment.sweep) / 2
        return abs(point.distance(segment.centre) - segment.radius) if inside else ends
    share = arm.dot(along) / along.dot(along) if along.dot(along) else -1.0
    return abs(along.cross(arm)) / along.norm if 0 <= share <= 1 else ends


def _turn(a: Point, b: Point) -> float:
    return atan2(a.cross(b), a.dot(b))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """A line by direction (0..pi), distance from the drawing's middle, and stretch along the direction."""

    angle: float
    offset: float
    first: float
    last: float
    start: Point
    end: Point
    source: str

    @property
    def stroke(self) -> Stroke:
        """Back as a stroke."""
        return Stroke((Segment(self.start, self.end),), False, self.source)


def _joined_lines(lines: list[Stroke], tolerance: float) -> list[Stroke]:
    xmin, ymin, xmax, ymax = joined_bounds(line.bounds for line in lines)
    middle = Point((xmin + xmax) / 2, (ymin + ymax) / 2)
    runs = sorted((_run(line, middle) for line in lines), key=lambda run: run.angle)
    result: list[Stroke] = []
    for alike in _clusters(runs, [run.angle for run in runs], SAME_DIRECTION):
        alike.sort(key=lambda run: run.offset)
        for row in _clusters(alike, [run.offset for run in alike], tolerance):
            result.extend(_joined_row(row, tolerance))
    return result


def _run(line: Stroke, middle: Point) -> _Run:
    """The line turned so that its angle lies between just under 0 and just under pi."""
    start, end = line.start, line.end
    along = end.minus(start).unit
    if along.y < -SAME_DIRECTION or (along.x < 0 and along.y < SAME_DIRECTION):
        start, end, along = end, start, along.times(-1.0)
    first, last = along.dot(start.minus(middle)), along.dot(end.minus(middle))
    return _Run(
        angle=atan2(along.y, along.x),
        offset=along.cross(start.minus(middle)),
        first=first,
        last=last,
        start=start,
        end=end,
        source=line.source,
    )


def _clusters(runs: list[_Run], keys: list[float], gap: float) -> list[list[_Run]]:
    """Sorted runs cut wherever the key jumps by more than `gap`."""
    result: list[list[_Run]] = []
    before = -inf
    for run, key in zip(runs, keys, strict=True):
        if key - before > gap:
            result.append([])
        result[-1].append(run)
        before = key
    return result


def _joined_row(row: list[_Run], tolerance: float) -> list[Stroke]:
    """The lines of one row, those that overlap by more than the tolerance made into one."""
    row.sort(key=lambda run: (run.first, run.last))
    kept: list[_Run] = []
    for run in row:
        if kept and kept[-1].last - run.first > tolerance and _in_line(kept[-1], run, tolerance):
            kept[-1] = kept[-1] if run.last <= kept[-1].last else replace(kept[-1], last=run.last, end=run.end)
        else:
            kept.append(run)
    return [run.stroke for run in kept]


def _in_line(a: _Run, b: _Run, tolerance: float) -> bool:
    """Whether b's ends lie on a's line, prolonged, within the tolerance."""
    along = a.end.minus(a.start).unit
    near = min(tolerance, (a.last - a.first) / SHARE, (b.last - b.first) / SHARE)
    return all(abs(along.cross(p.minus(a.start))) <= near for p in (b.start, b.end))
